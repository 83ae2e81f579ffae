"""Grafts recorded: one, or one on each of a run of hosts, as one entry that draws down the wood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, code_list, count
from graftbook.actions.grafts import graft_cautions, graft_hosts, graft_text
from graftbook.actions.grafts.graft_cautions import Doubts
from graftbook.actions.grafts.graft_hosts import Host, Hosts
from graftbook.actions.grafts.graft_text import GraftWords
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import standing_place, subjects
from graftbook.actions.plants import stage_notes
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import drawing, plan_reserved
from graftbook.book import graft_queries, tag_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.stage_queries import Newest
from graftbook.codes import Code, read_many
from graftbook.errors import NotFound, Refused, UsageProblem
from graftbook.season import turn
from graftbook.trade.methods import Method

MOST_EACH = 20


@dataclass(frozen=True)
class _Grafting:
    """One grafting: what goes on what, by which method, on which day, and the values all its grafts share."""

    wood: drawing.Wood
    hosts: Hosts
    method: Method
    day: date
    values: Mapping[str, Any]
    each: int = 1

    @property
    def on_hosts(self) -> tuple[Host, ...]:
        """The host of every graft: each host as many times as grafts go on it."""
        return tuple(host for host in self.hosts.rows for _ in range(self.each))


def graft(
    desk: Desk, wood: str, hosts: str, method: str, words: GraftWords, *, left_out: str | None = None,
    on: str | None = None, who: str | None = None, yes: bool = False, tag: str | None = None, receiver: str | None = None,
    each: int = 1,
) -> Recorded:  # fmt: skip
    """Record one graft on each host, or `each` of them (double budding: 2), and draw down the wood, all as one entry.

    `receiver` is someone who was given sticks of this wood and made the grafts of those: nothing is drawn from the store.

    Doubts of fit do not stand in the way and are kept with each graft; what the trade's tables call impossible is refused
    unless `yes`; `tag` names blank tags given out ahead, one for each host. Raises Refused for an over-draw, dead wood or
    hosts, and days that cannot be; NotFound for a blank tag there is not.
    """
    day = desk.day(on)
    with desk.book.write("graft", desk.person(who)) as unit:
        job = _job(desk, unit.session, (wood, hosts, method), words, left_out, day, each)
        bundle, units = job.wood.bundle, desk.settings.units
        found = graft_cautions.doubts(unit.session, bundle, job.hosts.rows, job.method, day, job.values, units)
        _refuse_barred(found, yes)
        hand = drawing.in_hand(unit.session, [bundle])[bundle.id]
        if receiver is None:
            drawn = drawing.draw_all(hand, job.values.get("buds"), job.wood.stick, len(job.on_hosts))
        else:
            drawn = drawing.of_given(unit.session, hand, bundle, job.wood.stick, receiver, day, len(job.on_hosts))
        before = _grafted_before(unit.session, desk, job)
        kept = tuple(plan_reserved.kept_for_others(unit.session, day, {host.code for host in job.hosts.rows}))
        noted = stage_notes.on_day(unit.session, job.hosts.feet.values(), day)
        rows = _rows(job, found, drawn, noted, _numbers(unit, tag, len(drawn)), receiver or unit.entry.who)
        unit.add_many(Graft, rows)
        entry = unit.commit(_line(unit.session, job, rows))
    notes = (
        *drawing.left_words(hand, drawn),
        *graft_hosts.attempts_words(job.hosts, day),
        *kept,
        *graft_cautions.notes_of(found),
    )
    kinds = (bundle.taxon, *{plant.taxon for plant in job.hosts.feet.values()})
    safety = graft_cautions.safety(kinds, job.values.get("seal"), before)
    return Recorded(f"{entry.summary}.", entry.id, tuple(row["code"] for row in rows), notes, safety)


def _numbers(unit: Any, tag: str | None, number: int) -> Sequence[int]:
    if tag is not None:
        return claim(unit.session, tag, number)
    first = unit.next_number("G", number)
    return range(first, first + number)


def _grafted_before(session: Session, desk: Desk, job: _Grafting) -> frozenset[str | None]:
    """The kinds grafted earlier this season, for which cautions were given already."""
    season = turn.season_of(job.day, desk.settings.hemisphere)
    return graft_queries.kinds_grafted(session, *turn.season_bounds(season, desk.settings.hemisphere))


def _job(
    desk: Desk, session: Session, named: tuple[str, str, str], words: GraftWords, left_out: str | None, day: date,
    each: int,
) -> _Grafting:  # fmt: skip
    if not 1 <= each <= MOST_EACH:
        raise UsageProblem(f"from 1 to {MOST_EACH} grafts on each host", str(each))
    wood, hosts, method_name = named
    method = own_tables.method_named(session, method_name)
    meant = drawing.wood_meant(session, wood, day)
    rows = subjects.things_meant(session, hosts, left_out)
    found = graft_hosts.hosts_on(session, rows, day)
    values = graft_text.read(desk, words)
    graft_text.check_buds(method.method, method.is_bud, values.get("buds"))
    graft_text.check_tied(values, day)
    if values.get("buds") is None:
        values["buds"] = drawing.usual_buds(method, meant.bundle.buds_per_stick)
    if values.get("tie") is not None:
        values.setdefault("tied_on", day)
    return _Grafting(meant, found, method, day, values, each)


def _refuse_barred(found: Sequence[Doubts], yes: bool) -> None:
    barred = [line for each in found for line in each.worded(each.barred)]
    if barred and not yes:
        more = f" And {len(barred) - 10} more" if len(barred) > 10 else ""
        raise Refused(" ".join(barred[:10]) + more, "", "Record it anyway with --yes")  # fmt: skip


def _rows(
    job: _Grafting, found: Sequence[Doubts], drawn: Sequence[Any], noted: Mapping[int, Newest], numbers: Sequence[int],
    who: str | None,
) -> list[dict[str, Any]]:  # fmt: skip
    doubts = {code: each for each in found for code in each.codes}
    shared = {
        **job.values, "method": job.method.method, "unit": "bud" if job.method.is_bud else "graft", "made_on": job.day,
        "bundle_id": job.wood.bundle.id, "stick": job.wood.stick, "who": who,
    }  # fmt: skip
    rows = []
    for number, host, one in zip(numbers, job.on_hosts, drawn, strict=True):
        column = "host_plant_id" if isinstance(host, Plant) else "host_graft_id"
        own = {"number": number, "code": f"G{number}", column: host.id, "cautions": doubts[host.code].of(host.code),
               "sticks_drawn": one.sticks, "buds_left": one.buds_left}  # fmt: skip
        plant = job.hosts.feet[host.code]
        place = host.place if isinstance(host, Plant) else standing_place.of_graft(host.place, plant).place
        rows.append({"place": place, "stage": noted[plant.id].stage, **shared, **own})
    return rows


def _line(session: Session, job: _Grafting, rows: Sequence[Mapping[str, Any]]) -> str:
    bundle = job.wood.bundle
    shown = shown_names.of(session, [bundle]).of(bundle)
    kind = f" {shown.written}" if shown.cultivar is not None else ""
    stick = f"/{job.wood.stick}" if job.wood.stick is not None else ""
    hosts = code_list(host.code for host in job.hosts.rows)
    codes = code_list(row["code"] for row in rows)
    made = count(len(rows), "bud" if job.method.is_bud else "graft")
    twice = f", {job.each} on each," if job.each > 1 else ""
    return (
        f"{codes}: {made} of {bundle.code}{stick}{kind} on {hosts}{twice} by {job.method.method}, {job.day.isoformat()}"
    )


def claim(session: Session, text: str, number: int) -> list[int]:
    """The numbers of blank tags for so many grafts, in the order written. Raises UsageProblem for another count of tags,
    NotFound for codes never given out or used already."""
    wanted: tuple[Code, ...] = read_many(text)
    if len(wanted) != number:
        raise UsageProblem(f"{count(number, 'tag')}, one for each graft", f"{len(wanted)} in {text}")
    free = {code for code, _on, _what in tag_queries.unused(session)}
    stray = [code.base for code in wanted if code.base not in free]
    if stray:
        raise NotFound(
            f"no unused blank tag {code_list(stray)}", "", "List those there are with: graftbook tags blanks"
        )
    return [code.number for code in wanted]
