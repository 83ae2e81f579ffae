"""Wood in store in the order it is best used, and everything the book has on one bundle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.facts import FactRow, note_rows
from graftbook.actions.desk.results import Report, code_list, count, page_notes
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown
from graftbook.actions.trade.own_tables import own_keeping
from graftbook.actions.wood.wood import one_bundle
from graftbook.book import find, match_queries, plant_queries, wood_queries
from graftbook.book.balances import Balance, balances
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle, Movement, Stay
from graftbook.errors import UsageProblem
from graftbook.units import show_length, show_range, show_temperature

if TYPE_CHECKING:
    from graftbook.season.keeping import Keeping

# Wood not looked at for so long is named under the list: a rule of this book, no source.
LOOK_AGAIN_DAYS = 14

TO_THE_FRONT = frozenset({"use first", "past the usual time", "past the longest known"})


@dataclass(frozen=True)
class WoodRow:
    """One bundle of the list. Lengths in mm, temperature in C; `sticks` came in, `sticks_left` whole ones are left, with
    `buds_in_hand` on the one that was opened; `age_days` counts from the day it was cut. `keeping` is how it stands, `keeps` how
    long such wood keeps, `keeping_words` both in full. `cultivar` is what it is or might be, `sure` how sure that is, None where
    nobody gave a name."""

    code: str
    cultivar: str | None
    taxon: str | None
    sticks: int
    sticks_left: int
    buds_in_hand: int
    size: str
    diameter_min_mm: float | None
    diameter_max_mm: float | None
    length_mm: float | None
    buds_per_stick: int | None
    wood_kind: str
    source: str | None
    donor: str | None
    cut_on: date | None
    received_on: date | None
    age_days: int | None
    keeping: str
    keeps: str
    keeping_words: str
    condition: str | None
    usual_days: int | None
    longest_days: int | None
    basis: str
    store: str | None
    packing: str | None
    temperature_c: float | None
    sure: str | None
    shown: ClassVar = ("code", "cultivar", "sticks_left", "size", "age_days", "keeping", "keeps", "store")
    headings: ClassVar = {"sticks_left": "sticks left", "age_days": "days old"}


def list_wood(
    desk: Desk, *, empty: bool = False, as_of: str | None = None, limit: int = 200, page: int = 1, first: bool = False,
    unseen: int | None = None, store: str | None = None,
) -> Report:  # fmt: skip
    """One page of the bundles with sticks left on a day, what is expected to go first first; `empty` lists the used-up
    as well, `as_of` None means today.

    `first` keeps those whose time is running out or past, `unseen` those not looked at for so many days, `store` those in
    one store, under any spelling of it, and says what is to be done to empty it.
    """
    from graftbook.season.keeping import use_first

    if unseen is not None and unseen < 1:
        raise UsageProblem("a number of days from 1 up", str(unseen))
    with desk.book.read() as session:
        day = desk.day(as_of, future=True)
        held = balances(session, as_of=day)
        came = [line for line in wood_queries.bundle_lines(session) if (line.received_on or line.cut_on or day) <= day]
        lines = [line for line in came if empty or _held(held, line.id).any_left]
        seen = match_queries.inspections(session, day)
        stores = {line.store for line in lines if line.store}
        lines = [line for line in lines if store is None or naming.key(line.store or "") == naming.key(store)]
        if unseen is not None:
            lines = [line for line in lines if _days_unseen(day, line, seen) >= unseen]
        clock = _Clock(session, day)
        hastiest = use_first((line, clock.of(line, seen.get(line.id, []))) for line in lines)
        # Used-up wood is only looked up, never used: it stands last.
        order = sorted(hastiest, key=lambda pair: not _held(held, pair[0].id).any_left)
        if first:
            order = [pair for pair in order if pair[1].state in TO_THE_FRONT]
            lines = [line for line, _ in order]
        start = (page - 1) * limit
        names = shown_names.of_ids(session, day, bundles=[line.id for line, _ in order[start : start + limit]])
    rows = tuple(
        _row(desk, line, names.bundle(line.id), keeping, _held(held, line.id))
        for line, keeping in order[start : start + limit]
    )
    notes = (
        *page_notes(len(rows), len(order), limit, page, "bundle"),
        *_hands([line for line, _ in order[start : start + limit]], held),
        *_not_looked_at(day, lines, held, seen),
        *(_to_empty(order, held, store, stores) if store is not None else ()),
        *(("Keeping times are bands from practice, not promises: try the green under the bark.",) if rows else ()),
    )
    total = sum(_held(held, line.id).left for line in lines)
    return Report(WoodRow, rows, notes, {"as_of": day, "total": len(order), "sticks_left": total, "page": page})


class _Clock:
    """How bundles stand on a day, by the tables and the grower's own rows."""

    def __init__(self, session: Session, on: date) -> None:
        self._own = own_keeping(session)
        self._stays = wood_queries.temperatures(session)
        self._on = on

    def of(self, bundle: Any, looks: list[tuple[date, str]]) -> Keeping:
        from graftbook.season.keeping import clock

        return clock(
            bundle.taxon or "", bundle.wood_kind, bundle.cut_on, bundle.temperature_c, looks, self._on, self._own,
            self._stays.get(bundle.id, ()), bundle.received_on,
        )  # fmt: skip


def _held(held: Mapping[int, Balance], bundle_id: int) -> Balance:
    return held.get(bundle_id, Balance())


def _row(desk: Desk, line: Any, shown: Shown, keeping: Keeping, balance: Balance) -> WoodRow:
    size = show_range(line.diameter_min_mm, line.diameter_max_mm, desk.settings.units)
    return WoodRow(
        code=line.code, cultivar=shown.cultivar, sure=shown.sure, taxon=line.taxon, sticks=balance.came_in,
        sticks_left=balance.left, buds_in_hand=balance.buds_in_hand, size=size, diameter_min_mm=line.diameter_min_mm,
        diameter_max_mm=line.diameter_max_mm, length_mm=line.length_mm, buds_per_stick=line.buds_per_stick,
        wood_kind=line.wood_kind, source=line.cut_plant or line.cut_graft, donor=line.donor, cut_on=line.cut_on,
        received_on=line.received_on, age_days=keeping.age_days, keeping=_standing(keeping), keeps=keeps(keeping),
        keeping_words=keeping.words, condition=keeping.condition, usual_days=keeping.usual_days,
        longest_days=keeping.longest_days, basis=keeping.basis, store=line.store, packing=line.packing,
        temperature_c=line.temperature_c,
    )  # fmt: skip


def _standing(keeping: Keeping) -> str:
    """The state of a bundle, with what was seen on it where that was not sound."""
    seen = keeping.condition
    return keeping.state if seen in (None, "sound", "dead") else f"{keeping.state} ({seen})"


def keeps(keeping: Keeping) -> str:
    """How long such wood keeps, as a band in a grower's words; '' where the tables are silent."""
    from graftbook.season.keeping import about

    usual, longest = keeping.usual_days, keeping.longest_days
    if usual is None or longest is None or about(usual) == about(longest):
        days = usual if usual is not None else longest
        return "" if days is None else about(days)
    low, high = about(usual).removeprefix("about ").split(), about(longest).removeprefix("about ").split()
    return f"{low[0]}-{high[0]} {high[1]}" if low[1] == high[1] else f"{' '.join(low)} to {' '.join(high)}"


def _hands(lines: Sequence[Any], held: Mapping[int, Balance]) -> tuple[str, ...]:
    """The sticks that were opened and have buds left."""
    opened = [f"{line.code} {held[line.id].buds_in_hand}" for line in lines if _held(held, line.id).buds_in_hand]
    return (f"Buds on a stick in hand: {', '.join(opened)}.",) if opened else ()


def _not_looked_at(
    day: date, lines: list[Any], held: Mapping[int, Balance], seen: Mapping[int, list]
) -> tuple[str, ...]:
    late = [
        line.code
        for line in lines
        if _held(held, line.id).any_left and _days_unseen(day, line, seen) >= LOOK_AGAIN_DAYS
    ]
    return (f"Not looked at for two weeks or more: {code_list(tuple(late))}.",) if late else ()


def _days_unseen(day: date, line: Any, seen: Mapping[int, list]) -> int:
    """Days since a bundle was last looked at, or came; -1 where neither is known."""
    days = [on for on, _ in seen.get(line.id, [])] + [on for on in (line.received_on or line.cut_on,) if on is not None]
    return (day - max(days)).days if days else -1


def _to_empty(
    order: Sequence[tuple[Any, Keeping]], held: Mapping[int, Balance], store: str, stores: set[str]
) -> tuple[str, ...]:
    """What is to be done with all that lies in a store, so that it can be cleared."""
    left = [(line, kept) for line, kept in order if _held(held, line.id).any_left]
    if not left:
        known = f" Wood lies in: {', '.join(sorted(stores))}." if stores else ""
        return (f"No sticks lie in {store!r}.{known}",)
    groups: dict[str, list[str]] = {
        "use first": [],
        "try the green under the bark, else discard": [],
        "keep or move": [],
    }
    for line, kept in left:
        gone = kept.state in ("past the longest known", "spoilt")
        name = (
            "try the green under the bark, else discard"
            if gone
            else "use first"
            if kept.state in TO_THE_FRONT
            else "keep or move"
        )
        groups[name].append(line.code)
    said = "; ".join(f"{name}: {code_list(tuple(codes))}" for name, codes in groups.items() if codes)
    sticks = sum(_held(held, line.id).left for line, _ in left)
    return (f"To empty {store}, {count(sticks, 'stick')} in {count(len(left), 'bundle')}: {said}.",)


def show_wood(desk: Desk, text: str) -> Report:
    """Everything the book has on one bundle: facts, how it keeps, what moved, what was seen, the grafts that used it."""
    with desk.book.read() as session:
        bundle = one_bundle(session, text)
        looks, stays = wood_queries.inspections_of(session, bundle.id), wood_queries.stays_of(session, bundle.id)
        keeping = _Clock(session, desk.today).of(bundle, [(look.on, look.condition) for look in looks])
        rows = (
            *_facts(desk, session, bundle, keeping, balances(session, [bundle.id])[bundle.id]),
            *(_movement(session, row) for row in wood_queries.movements(session, bundle.id)),
            *(FactRow("stores", stay.on, stay.store or "store not said", _stay(stay, desk)) for stay in stays),
            *(FactRow("looked at", look.on, look.condition, look.note or "") for look in looks),
            *(_graft(graft, host) for graft, host in wood_queries.grafts_from(session, bundle.id)),
            *note_rows(plant_queries.caution_notes(session, bundle_id=bundle.id)),
        )
    return Report(
        FactRow, rows, (f"What was written, and when: graftbook history {bundle.code}",),
        {"as_of": desk.today, "code": bundle.code}, title=f"{bundle.code}, a bundle of wood", group="section",
    )  # fmt: skip


def _facts(desk: Desk, session: Session, bundle: Bundle, keeping: Keeping, balance: Balance):
    unit, shown = desk.settings.units, shown_names.of(session, [bundle]).of(bundle)
    plant = find.by_one_id(session, Plant, bundle.cut_plant_id)
    graft = find.by_one_id(session, Graft, bundle.cut_graft_id)
    source = plant.code if plant is not None else graft.code if graft is not None else None
    hand = f", {count(balance.buds_in_hand, 'bud')} on the stick in hand" if balance.buds_in_hand else ""
    used = f"{balance.left} of {balance.came_in}, {balance.used} opened for grafts{hand}"
    plain = (
        (None, "species", bundle.taxon), (None, "cultivar", shown.fact(bundle.cultivar_typed)),
        (None, "sticks left", used), (bundle.cut_on, "cut", f"from {source}" if source else None),
        (bundle.received_on, "received", f"from {bundle.donor}" if bundle.donor else None),
        (None, "thickness", show_range(bundle.diameter_min_mm, bundle.diameter_max_mm, unit)),
        (None, "length", show_length(bundle.length_mm, unit)), (None, "buds a stick", bundle.buds_per_stick),
        (None, "kind of wood", bundle.wood_kind), (bundle.stored_on, "store", bundle.store), (None, "packing", bundle.packing),
        (None, "temperature", show_temperature(bundle.temperature_c, desk.settings.temperature)),
        (None, "keeping", f"{keeping.state}: {keeping.words}"), (None, "note", bundle.note),
    )  # fmt: skip
    for on, name, value in plain:
        if value not in (None, "") or (on is not None and name in ("cut", "received")):
            yield FactRow("facts", on, name, str(value if value is not None else "from where is not recorded"))


def _stay(stay: Stay, desk: Desk) -> str:
    degrees = show_temperature(stay.temperature_c, desk.settings.temperature)
    return ", ".join(part for part in (degrees, stay.packing, stay.note) if part) or "temperature not said"


def _movement(session: Session, row: Movement) -> FactRow:
    to = f" to {row.receiver}" if row.receiver else ""
    if row.stick is not None:
        to = f", stick {row.stick},{to}"
    if row.into_bundle_id is not None:
        to = f" into {find.by_id(session, Bundle, [row.into_bundle_id])[row.into_bundle_id].code}"
    counted = f", counted {row.counted}" if row.counted is not None else ""
    said = f"; {row.note}" if row.note else ""
    return FactRow("sticks in and out", row.on, row.kind, f"{row.sticks:+d}{counted}{to}{said}")


def _graft(graft: Graft, host: str | None) -> FactRow:
    return FactRow(
        "grafts made from it", graft.made_on, graft.code,
        f"{graft.method} on {host}, {count(graft.sticks_drawn, 'stick')} opened",
    )  # fmt: skip
