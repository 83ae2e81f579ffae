"""want: cultivars that so many living trees are wanted of, by priority, on so many sites, for whom."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import numbers
from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, count
from graftbook.actions.desk.typed import blank, whole
from graftbook.actions.plan import want_counts
from graftbook.actions.plan.want_counts import Had
from graftbook.book import asking, limits
from graftbook.book import plan_queries as queries
from graftbook.book.plans import Want
from graftbook.codes import MOST_IN_A_RANGE
from graftbook.errors import NotFound, Refused, UsageProblem


@dataclass(frozen=True)
class WantWords:
    """A want's facts as typed. None means not said; an empty text takes a fact away when amending."""

    cultivar: str | None = None
    trees: str | None = None
    living: str | None = None
    sites: str | None = None
    priority: str | None = None
    for_whom: str | None = None
    stock: str | None = None
    species: str | None = None
    note: str | None = None


@dataclass(frozen=True)
class WantRow:
    """One want: `trees` living trees wanted, `living` of them a must (None: none is), on `sites` sites or more.

    `alive` counts what was grafted since and grows, `waiting` what was grafted since and is not decided, `have_sites` the
    sites it stands on. `state` is `open`, `done` or `withdrawn`.
    """

    want: int
    cultivar: str
    trees: int
    living: int | None
    sites: int
    priority: int
    for_: str | None
    stock: str | None
    alive: int
    waiting: int
    have_sites: int
    state: str
    on: date
    note: str | None
    shown: ClassVar = ("want", "cultivar", "trees", "living", "sites", "priority", "for_", "stock", "alive", "waiting")
    headings: ClassVar = {"living": "must live", "for_": "for", "waiting": "not yet"}


@dataclass(frozen=True)
class GraftOfWant:
    """A graft made of what is wanted since it was: where it stands and how it does."""

    code: str
    made_on: date
    host: str | None
    site: str | None
    method: str
    outcome: str


def add(desk: Desk, words: WantWords, on: str | None = None, who: str | None = None) -> Recorded:
    """Write down a want. Raises Refused for one that cannot be met by any plan, such as more sites than trees."""
    with desk.book.write("want add", desk.person(who)) as unit:
        values, notes = _values(desk, unit.session, words)
        values = {**USUAL, **values}
        _refuse_contradictory(values)
        notes += _twice(unit.session, values)
        number = asking.next_number(unit.session, Want)
        want = unit.add(Want, number=number, on=desk.day(on), who=unit.entry.who, **values)
        entry = unit.commit(f"Want {want.number}: {want_line(want)}")
    return Recorded(f"{entry.summary}.", entry.id, (), notes)


def amend(desk: Desk, number: int, words: WantWords, who: str | None = None) -> Recorded:
    """Mend a want. Raises NotFound, and Refused as add."""
    with desk.book.write("want amend", desk.person(who)) as unit:
        want = one(unit.session, number)
        values, notes = _values(desk, unit.session, words)
        if not values:
            raise UsageProblem("something to mend, such as --living 2 or --priority 1", "nothing")
        _refuse_contradictory({"trees": want.trees, "living": want.living, "sites": want.sites, **values})
        unit.amend(want, **values)
        entry = unit.commit(f"Mended want {want.number}: {want_line(want)}")
    return Recorded(f"{entry.summary}.", entry.id, (), notes)


def end(
    desk: Desk, numbers: str, how: str, on: str | None = None, who: str | None = None, note: str | None = None
) -> Recorded:
    """End wants: `how` is `done` or `withdrawn`. Raises NotFound, Refused for those ended already or a day before them."""
    day = desk.day(on)
    with desk.book.write(f"want {how}", desk.person(who)) as unit:
        wants = [one(unit.session, number) for number in read_numbers(numbers)]
        refuse_ended(wants)
        early = [f"want {want.number} on {want.on.isoformat()}" for want in wants if want.on > day]
        if early:
            raise Refused(
                f"these wants began after {day.isoformat()}: {'; '.join(early)}", "", "Give the right day with --on"
            )
        for want in wants:
            notes = "\n".join(part for part in (want.note, blank(note)) if part)
            unit.amend(want, **{f"{how}_on": day, "note": notes or None})
        names = ", ".join(f"{want.number} ('{want.cultivar}')" for want in wants)
        what = "Done with" if how == "done" else "Withdrew"
        entry = unit.commit(f"{what} {'want' if len(wants) == 1 else 'wants'} {names}, {day.isoformat()}")
    return Recorded(f"{entry.summary}.", entry.id)


def list_wants(desk: Desk, every: bool = False, as_of: str | None = None) -> Report:
    """Wants that stand, highest priority first, with what there is of each; with `every`, ended ones too."""
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        wants = queries.wants(session, standing=not every)
        had = want_counts.had(session, desk.settings.hemisphere, wants, day)
        rows = tuple(_row(want, had[want.number]) for want in sorted(wants, key=lambda w: (w.priority, w.number)))
    notes = () if rows else ("Write one down: graftbook want add 'Stoneway Pearmain' 3 --living 2 --sites 2",)
    return Report(WantRow, rows, notes, {"as_of": day}, title=f"Wants as of {day.isoformat()}, highest priority first")


def show(desk: Desk, number: int, as_of: str | None = None) -> Report:
    """One want, with every graft made of it since. Raises NotFound."""
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        want = one(session, number)
        had = want_counts.had(session, desk.settings.hemisphere, [want], day)[number]
        rows = tuple(
            GraftOfWant(g.row.code, g.row.made_on, g.row.host, g.site or None, g.row.method, g.outcome)
            for g in had.grafts
        )
        facts = {"as_of": day, "want": number, "cultivar": want.cultivar, "trees": want.trees, "living": want.living,
                 "sites": want.sites, "priority": want.priority, "for": want.for_whom, "stock": want.clone,
                 "state": state(want), "on": want.on, "alive": had.alive, "waiting": had.waiting}  # fmt: skip
        notes = (_had_words(had), *((f"Note: {want.note}",) if want.note else ()))
        since = want.done_on or want.withdrawn_on or want.on
        title = f"Want {number}, {state(want)} since {since.isoformat()}: {want_line(want)}"
    return Report(GraftOfWant, rows, notes, facts, title=title)


def one(session: Session, number: int) -> Want:
    """A want by its number. Raises NotFound."""
    found = queries.wants(session, [number], standing=False)
    if not found:
        raise NotFound(f"no want {number}", "", "List them with: graftbook want list --all")
    return found[0]


def read_numbers(text: str) -> list[int]:
    """Numbers as typed, such as `3`, `3,5` or `3-7`, each once. Raises UsageProblem."""
    found: dict[int, None] = {}
    for _, named in ranges(text):
        if not named or len(named) > MOST_IN_A_RANGE:
            raise UsageProblem("numbers such as 3, 3,5 or 3-7", repr(text))
        found.update(dict.fromkeys(named))
    return list(found)


def ranges(text: str) -> Iterator[tuple[str, range]]:
    """The parts of numbers as typed, such as `3` or `3-7`, each with its numbers; none where a part is none of these."""
    for part in re.split(r"[,;\s]+", text.strip()):
        yield part, numbers.run(part, 1) or range(0)


def refuse_ended(wants: Sequence[Want]) -> None:
    """Refuse wants that are done or withdrawn, with the day."""
    ended = [(want, want.done_on or want.withdrawn_on) for want in wants]
    over = [f"want {want.number} was {state(want)} on {on.isoformat()}" for want, on in ended if on is not None]
    if over:
        raise Refused(
            f"not open any more: {'; '.join(over)}",
            "",
            "See what has ended, and what has not: graftbook want list --all",
        )


def state(want: Want) -> str:
    """Whether a want stands: `open`, `done` or `withdrawn`."""
    return "done" if want.done_on is not None else "withdrawn" if want.withdrawn_on is not None else "open"


def want_line(want: Want) -> str:
    """A want in words: `3 trees of 'Stoneway Pearmain', 2 of them a must, on 2 sites, priority 1, on MM.106, for the school`."""
    parts = [f"{count(want.trees, 'tree')} of '{want.cultivar}'"]
    parts += [f"{want.living} must live"] if want.living is not None else []
    parts += [f"on {want.sites} sites"] if want.sites > 1 else []
    parts += [f"priority {want.priority}"]
    parts += [f"on {want.clone}"] if want.clone is not None else []
    parts += [f"for {want.for_whom}"] if want.for_whom is not None else []
    return ", ".join(parts)


def _values(desk: Desk, session: Session, words: WantWords) -> tuple[dict[str, Any], tuple[str, ...]]:
    values: dict[str, Any] = {}
    notes: list[str] = []
    if words.cultivar is not None:
        name = naming.Cultivars.of(session).name(words.cultivar)
        if not naming.key(name.kept):
            raise UsageProblem("the cultivar that is wanted", "nothing")
        values |= {"cultivar": name.kept, "cultivar_typed": name.typed}
        notes += [name.note] if name.note else []
    for field in ("trees", "living", "sites", "priority"):
        text = getattr(words, field)
        if text is not None:
            empty = field == "living" and not text.strip()
            values[field] = None if empty else whole(text, _MEANING[field], *limits.bounds(Want, field))
    for field, text in (("for_whom", words.for_whom), ("note", words.note)):
        if text is not None:
            values[field] = blank(text)
    if words.stock is not None:
        clone = naming.clone(words.stock) if words.stock.strip() else None
        values |= {"clone": clone and clone.kept, "clone_typed": clone and clone.typed}
        notes += [clone.note] if clone is not None and clone.note else []
    if words.species is not None:
        values["taxon"] = naming.taxon(words.species, words.cultivar).kept if words.species.strip() else None
    return values, tuple(notes)


_MEANING = {
    "trees": "how many trees are wanted", "living": "how many of them must live", "sites": "on how many sites",
    "priority": "a priority (1 the highest)",
}  # fmt: skip


def _refuse_contradictory(values: Mapping[str, Any]) -> None:
    wrong = [name for name, _ in wrong_with({key: value for key, value in values.items() if value is not None})]
    if wrong:
        trees = values["trees"]
        asked = [
            f"{values[name]} must live" if name == "living" else f"{values[name]} sites are asked for" for name in wrong
        ]
        raise Refused(
            f"{' and '.join(asked)}, but only {count(trees, 'tree')} {'is' if trees == 1 else 'are'} wanted",
            next_step=f"Want more trees, or lower {' and '.join(f'--{name}' for name in wrong)}",
        )


def _twice(session: Session, values: Mapping[str, Any]) -> tuple[str, ...]:
    others = [want for want in queries.wants(session) if want.cultivar == values["cultivar"]]
    if not others:
        return ()
    already = "; ".join(f"want {want.number}: {want_line(want)}" for want in others)
    return (f"This cultivar is wanted already ({already}). Both stand; withdraw one if they are the same.",)


def _row(want: Want, had: Had) -> WantRow:
    return WantRow(
        want.number, want.cultivar, want.trees, want.living, want.sites, want.priority, want.for_whom, want.clone,
        had.alive, had.waiting, len(had.sites), state(want), want.on, want.note,
    )  # fmt: skip


def _had_words(had: Had) -> str:
    if not had.grafts:
        return "Nothing was grafted of it since."
    places = ", ".join(sorted(site for site in had.sites if site))
    alive = f"{had.alive} alive{f' on {places}' if places else ''}"
    return f"{count(len(had.grafts), 'graft')} made of it since: {alive}, {had.waiting} not decided yet."


USUAL = {"sites": 1, "priority": 2}


def wrong_with(values: dict[str, Any]) -> Iterable[tuple[str, str]]:
    """What cannot be of a want: the name of the value, and what would be accepted."""
    trees = values.get("trees", 1)
    for header in ("living", "sites"):
        if (values.get(header) or 1) > trees:
            yield header, f"no more than the {trees} wanted; or want more trees"
    if "done_on" in values and "withdrawn_on" in values:
        yield "withdrawn_on", "a want either done or withdrawn, not both"
