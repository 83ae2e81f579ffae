"""Looks recorded and listed: what was seen on one graft or on whole rows, never overwritten."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded, Report, code_list, count, filled, first_of
from graftbook.actions.desk.typed import blank
from graftbook.actions.names import shown_names
from graftbook.actions.outcome import standing_place, states, subjects
from graftbook.actions.outcome.alive import DEAD, NOT_ALIVE
from graftbook.actions.outcome.plant_days import why_absent
from graftbook.actions.rounds import double_buds
from graftbook.book import find, limits, living_queries, look_queries
from graftbook.book.grafts import BUD_STATES, UNION_WORDS, Graft, Look
from graftbook.book.living_queries import LastLook
from graftbook.errors import Refused, UsageProblem

STOCK_FATES = ("alive", "weak", "dead", "unsure")

# States that lose something, and so may have a cause and a union to blame.
LOSSES = frozenset({"dead", "shrivelled", "stalled", "not-set", "not-found"})

# States in which there is no shoot to measure.
SHOOTLESS = frozenset({"no-movement", "swelling", "set", "not-set", "not-found"})

_MOVED = frozenset({"pushing", "growing"})

_STILL = frozenset({"no-movement", "swelling"})


@dataclass(frozen=True)
class LookWords:
    """What was seen beside the state, as typed; None means not said."""

    shoot: str | None = None
    cause: str | None = None
    union: str | None = None
    stock_fate: str | None = None
    photo: str | None = None
    note: str | None = None


@dataclass(frozen=True)
class LookRow:
    """One look. `union` says whether the union was to blame for a loss: yes, no, unsure; None where nothing was said;
    `cultivar` is what the graft is or might be today."""

    graft: str
    on: date
    state: str
    shoot_mm: float | None
    cause: str | None
    union: str | None
    stock_fate: str | None
    who: str | None
    photo: str | None
    note: str | None
    cultivar: str | None
    shown: ClassVar = ("graft", "cultivar", "on", "state", "shoot_mm", "cause", "union", "who")
    headings: ClassVar = {"who": "by", "union": "union?"}


def look_at(
    desk: Desk, place: str, row: str | None, seen: str, words: LookWords, *, left_out: str | None = None,
    on: str | None = None, who: str | None = None,
) -> Recorded:  # fmt: skip
    """Record one look at every graft that lives at a place, or in a row of it, as one entry.

    Raises as `look`, and NotFound where none lives there.
    """
    states.state(double_buds.read(seen)[0])
    with desk.book.read() as session:
        codes = standing_place.living_at(session, place, row, desk.day(on))
    return look(desk, ",".join(codes), seen, words, left_out=left_out, on=on, who=who)


def look(
    desk: Desk, text: str, seen: str, words: LookWords, *, left_out: str | None = None, on: str | None = None,
    who: str | None = None,
) -> Recorded:  # fmt: skip
    """Record one look at each graft named, all as one entry; a plant stands for its only open graft.

    Raises UsageProblem for what is no state or does not go with it, Refused for a day before a graft was made and for a
    bud's state on a graft. A look that contradicts the one before is kept, and the contradiction said.
    """
    day = desk.day(on)
    seen, number, counted = double_buds.read(seen)
    state = states.state(seen)
    values = {"on": day, "state": state, "who": desk.person(who), **_read(desk, state, words)}
    with desk.book.write("look", desk.person(who)) as unit:
        buds: dict[str, tuple[str, ...]] = {}
        if state in BUD_STATES:
            meant = double_buds.spread(unit.session, text, day, left_out)
            double_buds.check(meant.buds, text, counted)
            text, left_out, buds = meant.text, meant.left_out, meant.buds
        failed = double_buds.not_set(buds, number)
        grafts = subjects.grafts_meant(unit.session, text, day, left_out)
        _refuse(grafts, state, day)
        notes = (*_notes(unit.session, grafts, state, day), *_of_stock(values))
        other = {"state": "not-set", "note": values.get("note") or double_buds.NOT_SAID}
        told = {"note": values.get("note") or double_buds.NOT_SAID} if failed else {}
        unit.add_many(
            Look, [{**values, **(other if graft.code in failed else told), "graft_id": graft.id} for graft in grafts]
        )
        codes = tuple(graft.code for graft in grafts)
        entry = unit.commit(
            f"{code_list(codes)}: {_seen_words(grafts, values, desk.settings.units, len(failed))}, {day.isoformat()}"
        )
    return Recorded(f"{entry.summary}.", entry.id, codes, (*notes, *_of_buds(buds, state, number)))


def _read(desk: Desk, state: str, words: LookWords) -> dict[str, Any]:
    shoot = desk.length(words.shoot, limits.length(Look, "shoot_mm")) if words.shoot is not None else None
    if shoot and state in SHOOTLESS:
        raise UsageProblem(
            f"no shoot on a graft seen {state}", f"--shoot {words.shoot}", "A shoot that lengthens is growing"
        )
    for option, value in (("--cause", words.cause), ("--union", words.union)):
        if value is not None and state not in LOSSES:
            losses = [word for word in states.STATES if word in LOSSES]
            raise UsageProblem(f"{option} with a loss: {', '.join(losses)}", f"it with {state}")
    values: dict[str, Any] = {
        "shoot_mm": shoot, "cause": blank(words.cause), "union_fault": _one_of("--union", words.union, UNION_WORDS),
        "stock_fate": _one_of("--stock-fate", words.stock_fate, STOCK_FATES), "photo": _photo(words.photo),
        "note": blank(words.note),
    }  # fmt: skip
    return {name: value for name, value in values.items() if value is not None}


def _one_of(option: str, text: str | None, words: Sequence[str]) -> str | None:
    word = blank(text)
    if word is not None and word.casefold() not in words:
        raise UsageProblem(f"{option} as one of {', '.join(words)}", repr(text))
    return word.casefold() if word is not None else None


def _photo(text: str | None) -> str | None:
    name = blank(text)
    if name is not None and not Path(name).expanduser().is_file():
        raise UsageProblem("a photo that is there", repr(name), "Give the path of the file")
    return name


def _refuse(grafts: Sequence[Graft], state: str, day: date) -> None:
    early = [f"{graft.code}, {why}" for graft in grafts if (why := why_absent(graft, day)) is not None]
    if early:
        raise Refused(
            f"these were not made yet on {day.isoformat()}: {first_of(early)}", next_step="Give the right day with --on"
        )
    not_buds = [graft.code for graft in grafts if graft.unit != "bud"]
    if state in BUD_STATES and not_buds:
        are = "are not buds" if len(not_buds) > 1 else "is not a bud"
        raise Refused(
            f"only a bud can be {state.replace('-', ' ')}; {code_list(not_buds)} {are}",
            next_step="Leave grafts out with --except, or say what the scion did",
        )


def _of_buds(buds: Mapping[str, tuple[str, ...]], state: str, number: int | None) -> Iterator[str]:
    """On stocks with several buds of one budding: of how many it was recorded, and how to say otherwise."""
    if not buds:
        return
    stocks = f"{code_list(buds)} {'has' if len(buds) == 1 else 'have'} several buds"
    if number is not None:
        yield f"{stocks}: {number} of each {'is' if number == 1 else 'are'} recorded as set; {double_buds.NOT_SAID}."
    else:
        where = f"Where only one set: graftbook look {next(iter(buds))} one set."
        yield f"{stocks}: each is recorded as {state.replace('-', ' ')}. {where}"


def _seen_words(grafts: Sequence[Graft], values: Mapping[str, Any], unit: str, failed: int = 0) -> str:
    buds = sum(graft.unit == "bud" for graft in grafts)
    counted = [count(len(grafts) - buds, "graft")] if len(grafts) > buds else []
    counted += [count(buds, "bud")] if buds else []
    shoot = values.get("shoot_mm")
    more = [f"shoot {units.show_length(shoot, unit)}"] if shoot is not None else []
    more += [f"{failed} of them not set"] if failed else []
    more += [values["cause"]] if "cause" in values else []
    more += [states.UNION_BLAME[values["union_fault"]]] if "union_fault" in values else []
    return ", ".join((f"{' and '.join(counted)} {values['state']}", *more))


def _notes(session: Session, grafts: Sequence[Graft], state: str, day: date) -> Iterator[str]:
    """What the person should know: contradictions with the look before, looks later than this one, stocks that died."""
    ids = [graft.id for graft in grafts]
    before = living_queries.last_looks(session, day, ids)
    after = living_queries.last_looks(session, date.max, ids, day + timedelta(days=1))
    groups: dict[str, list[str]] = {}
    for graft in grafts:
        last, later = before.get(graft.id), after.get(graft.id)
        if last is not None:
            for sentence in _against(last, state, day):
                groups.setdefault(sentence, []).append(graft.code)
        if later is not None:
            sentence = f"already looked at later, {later.state} on {later.on.isoformat()}; that look stays the last."
            groups.setdefault(sentence, []).append(graft.code)
    for sentence, codes in groups.items():
        yield f"{code_list(codes)}: {sentence}"


def _of_stock(values: Mapping[str, Any]) -> Iterable[str]:
    if values.get("stock_fate") == "dead":
        yield "Nothing more is grafted on a stock seen dead. If it is dead for good, say so: graftbook stock died CODE."


def _against(last: LastLook, state: str, day: date) -> Iterable[str]:
    then = f"{last.state} on {last.on.isoformat()}"
    if last.state in DEAD and state not in NOT_ALIVE:
        yield f"seen {then}, and {state} now; both looks stay and the later one counts."
    elif last.state in _MOVED and state in _STILL:
        yield f"seen {then}, which {state} contradicts; both looks stay and the later one counts."
    elif last.on == day and last.state != state:
        yield f"looked at the same day and found {last.state}; both looks stay and this one counts."


def list_looks(
    desk: Desk, text: str | None = None, *, since: str | None = None, state: str | None = None, limit: int = 200
) -> Report:
    """Looks by day, oldest first: those at the grafts named and at every graft on the plants named (None: any graft)."""
    first = desk.day(since, future=True) if since is not None else None
    word = states.state(state) if state is not None else None
    with desk.book.read() as session:
        ids = subjects.at_or_on(session, text)[0] if text is not None else None
        found = look_queries.looks_at(session, ids, first, word, limit)
        grafts = find.by_id(session, Graft, [one.graft_id for one in found])
        names = shown_names.of(session, grafts.values())
        rows = tuple(
            filled(LookRow, one, graft=graft.code, union=one.union_fault, cultivar=names.of(graft).cultivar)
            for one, graft in ((one, grafts[one.graft_id]) for one in found)
        )
    notes = (f"The newest {limit:,} looks; --limit N shows more.",) if len(rows) == limit else ()
    return Report(LookRow, rows, notes, {"as_of": desk.today})
