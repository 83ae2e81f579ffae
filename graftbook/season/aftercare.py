"""What the grafts want now: looks, ties, stock shoots, stakes, and judging, from the table of aftercare.

Many grafts are lost in the months after the knife, to ties nobody remembered and shoots nobody rubbed off. So each
rule of the table is laid on each living graft, and what was done is taken off. The reminders of the table apply as they
stand; a row of the grower's own takes the place of the trade's for the same kind of care wherever it fits. What has
lapsed is not carried on for ever: looks, shoots and stakes end with the season in which the graft must grow; a tie, a
bud to head back, a take to judge and a graft nobody looked at stay on the list one season more.

Days are calendar days, and places with cold springs run late. Where the warmth a graft has had is given, a
rule that names a warmth goes by it and not by its days; a rule that names a length of shoot is due when that was measured,
if that comes first. Each thing due says which of the three made it so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta

from graftbook.errors import UsageProblem
from graftbook.season import turn
from graftbook.season.care_facts import Due, GraftFacts, WarmthOf
from graftbook.season.care_rules import RULES, GraftDates, spring_move, started
from graftbook.trade import methods
from graftbook.trade.aftercare import Rule

# Months in which what is grafted or budded counts as summer work: a rule of this book.
SUMMER_MONTHS = (("north", (7, 8, 9, 10)), ("south", (1, 2, 3, 4)))
FORGOTTEN_WEEKS = 6
ONE_MORE_SEASON = timedelta(days=365)

# Kept on the list a season longer than the rest, because neglect of them kills late.
_LASTING = frozenset({"release tie", "head back", "judge"})
# Of no use while trees rest.
_IN_GROWTH = frozenset({"rub off", "tie check"})
# Without days of their own, these wait for what was seen to grow.
_BY_GROWTH = frozenset({
    "release tie", "rub off", "head back", "stake", "keep one shoot", "lasting tag", "harden off", "pot on",
})  # fmt: skip
# Whoever does one of these looks at the graft anyway, so no plain look is asked for beside it.
_ARE_LOOKS = frozenset({"check set", "judge", "forgotten"})


class CareRound:
    """One walk round the grafts on one day: the rules sorted out once, then asked for each graft.

    Parameters
    ----------
    rules : those of the table and the grower's own.
    on, hemisphere : the day asked about; `north` or `south`.
    horizon_days : 0 or more; what falls due within so many days is added.
    forgotten_weeks : 1 or more; a graft not looked at for so long is put on the list in the growing season.
    warmth : when a graft has had a sum of degree-days; None where no warmth is known at all, then days are counted.

    Raises UsageProblem for a hemisphere, horizon or number of weeks that cannot be. The rules are common practice; each row
    of the table names its basis and source.
    """

    def __init__(
        self,
        rules: Iterable[Rule],
        on: date,
        hemisphere: str,
        horizon_days: int = 0,
        forgotten_weeks: int = FORGOTTEN_WEEKS,
        warmth: WarmthOf | None = None,
    ) -> None:
        if horizon_days < 0:
            raise UsageProblem("a number of days ahead of 0 or more", str(horizon_days))
        if forgotten_weeks < 1:
            raise UsageProblem("a number of weeks of 1 or more", str(forgotten_weeks))
        self._growing = turn.growing_season(on, hemisphere)
        self._rules = tuple(rule for rule in rules if rule.is_default or rule.basis == "own")
        self._on, self._hemisphere = on, hemisphere
        self._until = on + timedelta(days=horizon_days)
        self._weeks = forgotten_weeks
        self._warmth = warmth
        self._summer = dict(SUMMER_MONTHS)[hemisphere]
        self._dates: dict[tuple[date, str], GraftDates] = {}
        self._timely: dict[tuple[object, ...], tuple[Rule, ...]] = {}

    def due(self, graft: GraftFacts) -> tuple[Due, ...]:
        """What one graft wants on the day, the longest due first; nothing for a dead one."""
        if graft.made_on > self._on:
            return ()
        dates = self._dates_of(graft)
        items = [] if graft.state == "not-found" else list(self._by_rules(graft, dates))
        items += self._forgotten(graft, dates)
        return tuple(sorted(_without_doubles(items, self._on), key=lambda item: (item.since, item.what)))

    def _by_rules(self, graft: GraftFacts, dates: GraftDates) -> Iterator[Due]:
        established = _established(graft, dates)
        for rule in self._rules_for(graft, dates):
            if established and rule.rule != "release tie":
                continue
            driven = self._driven(graft, rule)
            if driven is None:
                continue
            set_out, by = driven
            since = RULES[rule.rule](graft, set_out, dates)
            if since is not None and since <= self._until:
                yield _item(graft, set_out, dates, since, by)

    def _driven(self, graft: GraftFacts, rule: Rule) -> tuple[Rule, str] | None:
        """The rule with its days as warmth or growth make them, and what drives it; None where it is not warm enough yet."""
        if rule.warmth_from is None and rule.shoot_mm is None:
            return rule, "growth" if rule.after_from is None and rule.rule in _BY_GROWTH else "calendar"
        start = started(graft, rule)
        if rule.warmth_from is not None and rule.warmth_base_c is not None:
            reached = None if self._warmth is None else self._warmth(graft, rule.warmth_base_c, rule.warmth_from)
            if reached is not None:
                if reached.on is None:
                    return None
                return replace(rule, after_from=(reached.on - start).days, after_to=None), "warmth"
            if rule.after_from is None and rule.shoot_mm is None:
                return None
        return _by_shoot(graft, rule, start)

    def _forgotten(self, graft: GraftFacts, dates: GraftDates) -> list[Due]:
        last = graft.made_on if graft.last_look_on is None else graft.last_look_on
        since = last + timedelta(weeks=self._weeks)
        over = _established(graft, dates) or self._on > dates.deadline + ONE_MORE_SEASON
        if over or not self._growing or since > self._on:
            return []
        weeks = (self._on - last).days // 7
        ago = f"Not looked at for {weeks} week{'' if weeks == 1 else 's'}"
        why = f"{ago}{'' if graft.last_look_on is not None else ', never since it was made'}: see how it stands."
        return [Due(graft.code, "forgotten", since, None, why, "common practice", "")]

    def _dates_of(self, graft: GraftFacts) -> GraftDates:
        key = (graft.made_on, graft.method)
        found = self._dates.get(key)
        if found is None:
            method = methods.find(graft.method)
            found = self._dates[key] = GraftDates(
                season_end=turn.season_end_after(graft.made_on, self._hemisphere),
                deadline=turn.growth_deadline(graft.made_on, self._hemisphere),
                spring=turn.spring_after(graft.made_on, self._hemisphere),
                judge_days=methods.USUAL_JUDGE_DAYS if method is None else method.judge_days,
            )
        return found

    def _rules_for(self, graft: GraftFacts, dates: GraftDates) -> tuple[Rule, ...]:
        """The rules that fit grafts made like this one on the same day and can be due by now, sorted out once."""
        key = (graft.made_on, graft.unit, graft.method, graft.tie, graft.taxon, graft.bench, graft.wood)
        found = self._timely.get(key)
        if found is None:
            season = "summer" if graft.made_on.month in self._summer else "spring"
            fitting = [rule for rule in self._rules if _fits(rule, graft, {season, "bench" if graft.bench else ""})]
            own = {rule.rule for rule in fitting if rule.basis == "own"}
            at_bench = {rule.rule for rule in fitting if rule.rule == "judge" and rule.season == "bench"}
            fitting = [rule for rule in fitting if rule.rule not in at_bench or rule.season or rule.basis == "own"]
            kept = (rule for rule in fitting if not rule.is_off and (rule.basis == "own" or rule.rule not in own))
            found = tuple(rule for rule in kept if self._is_timely(rule, graft.made_on, dates))
            self._timely[key] = found
        return found

    def _is_timely(self, rule: Rule, made_on: date, dates: GraftDates) -> bool:
        end = dates.deadline + ONE_MORE_SEASON if rule.rule in _LASTING else dates.deadline
        resting = not self._growing and self._on > dates.season_end and rule.rule in _IN_GROWTH
        by_days = rule.warmth_from is None and rule.shoot_mm is None and rule.rule not in ("judge", "head back")
        days = rule.after_from if by_days and rule.after_from is not None else 0
        return self._on <= end and not resting and made_on + timedelta(days=days) <= self._until


def _fits(rule: Rule, graft: GraftFacts, seasons: set[str]) -> bool:
    # A heading back not counted in days names the season it is done in, not that of the grafting.
    season = "" if rule.rule == "head back" and rule.after_from is None else rule.season
    return (
        rule.unit in (graft.unit, "any")
        and (not rule.methods or graft.method in rule.methods)
        and (not rule.tie or rule.tie.casefold() in (graft.tie or "").casefold())
        and (not rule.taxon or (graft.taxon or "").startswith(rule.taxon))
        and (not rule.wood or rule.wood == (graft.wood or ("summer" if "summer" in seasons else "dormant")))
        and (not season or season in seasons)
    )


def _established(graft: GraftFacts, dates: GraftDates) -> bool:
    return graft.state == "growing" and graft.state_on is not None and graft.state_on > dates.deadline


def _by_shoot(graft: GraftFacts, rule: Rule, start: date) -> tuple[Rule, str] | None:
    """The rule due from when a shoot long enough was measured, where that is before its days are over.

    Without days of its own it waits while the shoot is measured too short; a shoot never measured is due once seen growing.
    """
    grown = next((on for on, mm in graft.shoots if rule.shoot_mm is not None and mm >= rule.shoot_mm), None)
    if grown is None and rule.after_from is None and graft.shoots:
        return None
    if grown is None or (rule.after_from is not None and start + timedelta(days=rule.after_from) <= grown):
        return rule, "calendar" if rule.after_from is not None else "growth"
    return replace(rule, after_from=(grown - start).days, after_to=None), "growth"


def _item(graft: GraftFacts, rule: Rule, dates: GraftDates, since: date, by: str) -> Due:
    span = None if rule.after_from is None or rule.after_to is None else rule.after_to - rule.after_from
    until = since + timedelta(days=span) if span else None
    if rule.rule == "head back" and rule.after_from is None and graft.unit == "bud" and dates.sleeps:
        by = "growth" if spring_move(graft, dates)[1] else "calendar"
    elif rule.rule == "head back" and rule.after_from is not None and since == graft.state_on:
        by = "growth"
    return Due(graft.code, rule.rule, since, until, rule.words, rule.basis, rule.source, by)


def _without_doubles(items: list[Due], on: date) -> Iterator[Due]:
    """Of plain looks fallen due only the latest, and none beside what is a look itself; no tie to check and release."""
    now = [item for item in items if item.since <= on]
    kinds = {item.what for item in now}
    latest = max((item.since for item in now if item.what == "look"), default=None)
    for item in items:
        covered = item.what == "look" and item.since <= on and (item.since != latest or kinds & _ARE_LOOKS)
        if not covered and not (item.what == "tie check" and "release tie" in kinds):
            yield item
