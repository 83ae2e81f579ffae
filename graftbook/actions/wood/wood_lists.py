"""Wood in store in the order it is best used, and everything the book has on one bundle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar, NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.facts import FactRow, note_rows
from graftbook.actions.desk.results import Report, Usual, code_list, count, filled, page_notes
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown
from graftbook.actions.names.wood_kept import PAST, SPENT, URGENT, StoreClock
from graftbook.actions.wood import wood_source
from graftbook.actions.wood.wood import one_bundle
from graftbook.book import find, plant_queries, wood_queries
from graftbook.book.balances import Balance, balances
from graftbook.book.grafts import Graft
from graftbook.book.wood import Bundle, Movement, Stay
from graftbook.errors import UsageProblem
from graftbook.season.keeping import Keeping, about, use_first
from graftbook.units import show_length, show_range, show_temperature

# Wood not looked at for so long is named under the list: a rule of this book, no source.
LOOK_AGAIN_DAYS = 14

TO_THE_FRONT = URGENT | {PAST}


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
    if unseen is not None and unseen < 1:
        raise UsageProblem("a number of days from 1 up", str(unseen))
    day = desk.day(as_of, future=True)
    with desk.book.read() as session:
        found, stores = _lying(session, day, empty, store, unseen)
        # Used-up wood is only looked up, never used: it stands last.
        order = sorted(use_first((each, each.kept) for each in found), key=lambda pair: not pair[0].left.any_left)
        if first:
            order = [pair for pair in order if pair[1].state in TO_THE_FRONT]
            found = [each for each, _ in order]
        here = [each for each, _ in order[(page - 1) * limit : page * limit]]
        names = shown_names.of_ids(session, day, bundles=[each.line.id for each in here])
    rows = tuple(_row(desk, each, names.bundle(each.line.id)) for each in here)
    hands = [f"{each.line.code} {each.left.buds_in_hand}" for each in here if each.left.buds_in_hand]
    late = [each.line.code for each in found if each.left.any_left and each.days_unseen >= LOOK_AGAIN_DAYS]
    notes = (
        *page_notes(len(rows), len(order), limit, page, "bundle"),
        *((f"Buds on a stick in hand: {', '.join(hands)}.",) if hands else ()),
        *((f"Not looked at for two weeks or more: {code_list(late)}.",) if late else ()),
        *((_to_empty([each for each, _ in order], store, stores),) if store is not None else ()),
        *(
            (Usual("Keeping times are bands from practice, not promises: try the green under the bark."),)
            if rows
            else ()
        ),
    )
    total = sum(each.left.left for each in found)
    return Report(WoodRow, rows, notes, {"as_of": day, "total": len(order), "sticks_left": total, "page": page})


class _Lying(NamedTuple):
    """A bundle in store by its columns, what is left of it, the days since it was last looked at or came (-1: neither is
    known), and how it has kept."""

    line: Any
    left: Balance
    days_unseen: int
    kept: Keeping


def _lying(
    session: Session, day: date, empty: bool, store: str | None, unseen: int | None
) -> tuple[list[_Lying], set[str]]:
    """Bundles by number, those of one store and unseen for so many days where asked for; and every store wood lies in."""
    held, clock = balances(session, as_of=day), StoreClock(session, day)
    came = [line for line in wood_queries.bundle_lines(session) if (line.received_on or line.cut_on or day) <= day]
    lines = [(line, held.get(line.id, Balance())) for line in came]
    lines = [(line, left) for line, left in lines if empty or left.any_left]
    stores = {line.store for line, _ in lines if line.store}
    found = []
    for line, left in lines:
        days = [on for on, _ in clock.looks(line.id)] + [on for on in (line.received_on or line.cut_on,) if on]
        ago = (day - max(days)).days if days else -1
        here = store is None or naming.key(line.store or "") == naming.key(store)
        if here and (unseen is None or ago >= unseen):
            found.append(_Lying(line, left, ago, clock.of(line)))
    return found, stores


def _row(desk: Desk, wood: _Lying, shown: Shown) -> WoodRow:
    line, left, kept = wood.line, wood.left, wood.kept
    return filled(
        WoodRow, line, kept, cultivar=shown.cultivar, sure=shown.sure, sticks=left.came_in, sticks_left=left.left,
        buds_in_hand=left.buds_in_hand, size=show_range(line.diameter_min_mm, line.diameter_max_mm, desk.settings.units),
        source=line.cut_plant or line.cut_graft, keeping=_standing(kept), keeps=keeps(kept), keeping_words=kept.words,
    )  # fmt: skip


def _standing(keeping: Keeping) -> str:
    """The state of a bundle, with what was seen on it where that was not sound."""
    seen = keeping.condition
    return keeping.state if seen in (None, "sound", "dead") else f"{keeping.state} ({seen})"


def keeps(keeping: Keeping) -> str:
    """How long such wood keeps, as a band in a grower's words; '' where the tables are silent."""
    usual, longest = keeping.usual_days, keeping.longest_days
    if usual is None or longest is None or about(usual) == about(longest):
        days = usual if usual is not None else longest
        return "" if days is None else about(days)
    low, high = about(usual).removeprefix("about ").split(), about(longest).removeprefix("about ").split()
    return f"{low[0]}-{high[0]} {high[1]}" if low[1] == high[1] else f"{' '.join(low)} to {' '.join(high)}"


def _to_empty(order: Sequence[_Lying], store: str, stores: set[str]) -> str:
    """What is to be done with all that lies in a store, so that it can be cleared."""
    left = [each for each in order if each.left.any_left]
    if not left:
        known = f" Wood lies in: {', '.join(sorted(stores))}." if stores else ""
        return f"No sticks lie in {store!r}.{known}"
    urgent, spent, rest = "use first", "try the green under the bark, else discard", "keep or move"
    groups: dict[str, list[str]] = {urgent: [], spent: [], rest: []}
    for each in left:
        state = each.kept.state
        groups[spent if state in SPENT else urgent if state in TO_THE_FRONT else rest].append(each.line.code)
    steps = "; ".join(f"{name}: {code_list(codes)}" for name, codes in groups.items() if codes)
    sticks = sum(each.left.left for each in left)
    return f"To empty {store}, {count(sticks, 'stick')} in {count(len(left), 'bundle')}: {steps}."


def show_wood(desk: Desk, text: str) -> Report:
    """Everything the book has on one bundle: facts, how it keeps, what moved, what was seen, the grafts that used it."""
    with desk.book.read() as session:
        bundle = one_bundle(session, text)
        looks, stays = wood_queries.inspections_of(session, bundle.id), wood_queries.stays_of(session, bundle.id)
        keeping = StoreClock(session, desk.today).of(bundle)
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
    source = wood_source.of_ids(session, bundle.cut_plant_id, bundle.cut_graft_id, desk.today).code
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
    note = f"; {row.note}" if row.note else ""
    return FactRow("sticks in and out", row.on, row.kind, f"{row.sticks:+d}{counted}{to}{note}")


def _graft(graft: Graft, host: str | None) -> FactRow:
    return FactRow(
        "grafts made from it", graft.made_on, graft.code,
        f"{graft.method} on {host}, {count(graft.sticks_drawn, 'stick')} opened",
    )  # fmt: skip
