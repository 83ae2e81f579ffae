"""The sticks in store as a plan asks for them: what each can be cut into, how worn it is, and why some may not be used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.desk.results import code_list, count
from graftbook.actions.grafts import matching
from graftbook.actions.names import shown_names
from graftbook.actions.plan.circumstances import Circumstances, Cutter, size_class
from graftbook.actions.wood import drawing
from graftbook.actions.wood.drawing import InHand
from graftbook.actions.wood.plan_reserved import Reserved
from graftbook.book import wood_queries
from graftbook.book.wood import Bundle
from graftbook.errors import NoPlan, UsageProblem
from graftbook.fit import cutting, notes
from graftbook.fit.cutting import Rules, Stick
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.gate import GateContext
from graftbook.fit.plan_facts import PieceFact, StickFact, WayFact
from graftbook.trade.pairs import Verdict

WORN = {"swelling": 0.9, "drying": 0.95, "mould": 0.95}

NOT_KNOWN_WEAR = 0.5

MOST_WAYS = 60

PAST = "throw it away, or plan it with --doubtful."
"""What to do with wood too old to count on."""

_NOBODY = StockFacts("", "")

_NOTHING_KNOWN = GateContext(Verdict("unknown", (), "", "", "", ()))


@dataclass(frozen=True)
class PieceKind:
    """Pieces that may stand for one another: `facts` as the gates ask for them, `buds`, and the methods for which they are
    long enough, by name."""

    key: str
    facts: WoodFacts
    buds: int
    methods: frozenset[str]


@dataclass
class PlanWood:
    """The wood of a plan. `bundles` are those behind the sticks, by the key of the stick; `kinds` the kinds of pieces by
    key, `keys` the keys by what makes a kind; `notes` whole sentences on what was assumed, `unused` on wood that cannot be
    planned with as it is recorded."""

    sticks: list[StickFact] = field(default_factory=list)
    bundles: dict[str, Bundle] = field(default_factory=dict)
    kinds: dict[str, PieceKind] = field(default_factory=dict)
    keys: dict[Any, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    unused: list[str] = field(default_factory=list)


def gather(session: Session, cultivars: Iterable[str], asked: Circumstances, kept: Reserved) -> PlanWood:
    """The sticks left that are surely of one of some cultivars, whose names they go by; those left out, and those kept for
    other plans, excepted.

    Raises NoPlan naming every bundle whose numbers contradict each other.
    """
    labels = {naming.key(name): name for name in cultivars}
    here = [bundle for bundle in wood_queries.bundles(session) if bundle.code not in asked.left_out]
    names = shown_names.of(session, here)
    called = {bundle.id: naming.key(names.of(bundle).single or "") for bundle in here}
    found = [bundle for bundle in here if called[bundle.id] in labels]
    bundles = [bundle for bundle in found if bundle.taxon is not None]
    facts = matching.wood_facts(session, bundles, asked.day)
    maybe = [bundle for bundle in here if called[bundle.id] not in labels
             and any(naming.key(name) in labels for name in names.of(bundle).names)]  # fmt: skip
    hands = drawing.in_hand(session, [*bundles, *maybe])
    kept.take_sticks(hands)
    wood, wrong = PlanWood(), []
    for bundle, fact in zip(bundles, facts, strict=True):
        hand = hands[bundle.id]
        if hand.any_left:
            try:
                _add(wood, bundle, labels[called[bundle.id]], fact, hand, asked)
            except UsageProblem as error:
                wrong.append(f"{bundle.code}: {error.found} where {error.expected} can be")
    if wrong:
        raise NoPlan(
            f"these sticks cannot be as they are recorded: {'; '.join(wrong)}",
            next_step="Mend each with graftbook wood amend CODE --buds N --length SIZE, or leave it out with --without CODE",
        )
    nameless = [bundle.code for bundle in found if bundle.taxon is None]
    in_doubt = [bundle.code for bundle in maybe if hands[bundle.id].any_left]
    wood.unused += _unused(tuple(nameless), tuple(in_doubt))
    wood.notes += _assumed(wood)
    return wood


def _unused(nameless: tuple[str, ...], in_doubt: tuple[str, ...]) -> Iterator[str]:
    if nameless:
        yield (f"Of {code_list(nameless)} no kind is recorded, so nothing was planned with it: graftbook wood amend {nameless[0]} "
               "--species NAME.")  # fmt: skip
    if in_doubt:
        yield (f"{code_list(in_doubt)} may be of a cultivar that is wanted, or may not, so nothing was planned with it. Once you "
               f"know: graftbook name {in_doubt[0]} NAME.")  # fmt: skip


def _add(wood: PlanWood, bundle: Bundle, label: str, fact: WoodFacts, hand: InHand, asked: Circumstances) -> None:
    barred = tuple(_barred(fact, asked))
    opened = int(bool(hand.buds_left))
    for name, many, buds in (("hand", opened, hand.buds_left), ("", hand.left, bundle.buds_per_stick)):
        if many <= 0:
            continue
        ways = tuple(_ways(wood, bundle, fact, buds, asked))
        key = f"{bundle.code}/{name}" if name else bundle.code
        wood.bundles[key] = bundle
        sound = buds or max((sum(piece.buds for piece in way) for way in ways), default=1)
        wood.sticks.append(StickFact(key, bundle.code, label, ways, sound, many, _wear(fact), barred))


def _barred(fact: WoodFacts, asked: Circumstances) -> Iterator[str]:
    if fact.condition == "dead":
        yield f"{fact.code} was dead when last looked at."
    if fact.cut_on is not None and fact.cut_on > asked.day:
        yield f"{fact.code} is cut on {fact.cut_on.isoformat()}, after the day of grafting."
    longest = None if fact.keeping is None else fact.keeping.longest_days
    old = fact.surely_days
    if not asked.words.doubtful and longest is not None and old is not None and old > longest:
        came = "was cut" if fact.age_days is not None else "came"
        yield f"{fact.code} {came} {old} days ago, past the {longest} days such wood is known to keep: {PAST}"
    yield from noted(fact, _NOBODY, asked)


def noted(wood: WoodFacts, stock: StockFacts, asked: Circumstances) -> Iterator[str]:
    """The grower's own notes on health and rights that hold on the day and may bar, in the grower's words."""
    for gate in () if asked.words.despite_notes else (notes.health_note, notes.rights_note):
        found = gate(wood, stock, asked.methods[0], asked.day, _NOTHING_KNOWN)
        if found.outcome == "caution":
            yield found.reason


def _wear(fact: WoodFacts) -> float:
    """How near its end the wood is, 0 to 1: its age against how long such wood usually keeps, and what was seen of it."""
    seen = WORN.get(fact.condition or "", 0.0)
    usual = None if fact.keeping is None else fact.keeping.usual_days
    old = fact.surely_days
    if old is None or not usual:
        return max(NOT_KNOWN_WEAR, seen)
    known = 0.0 if fact.age_days is not None else NOT_KNOWN_WEAR
    return round(max(min(1.0, max(0.0, old / usual)), known, seen), 3)


def _ways(wood: PlanWood, bundle: Bundle, fact: WoodFacts, buds: int | None, asked: Circumstances) -> Iterator[WayFact]:
    """Every way to cut one stick that some method can use, each once."""
    seen: set[WayFact] = set()
    cutter = asked.cutter(fact)
    for rules in cutter.rules:
        for pieces in _cuts(bundle, fact, buds, rules):
            way = tuple(_piece(wood, fact, piece, cutter) for piece in pieces)
            if way and way not in seen and len(seen) < MOST_WAYS:
                seen.add(way)
                yield way


def _cuts(bundle: Bundle, fact: WoodFacts, buds: int | None, rules: Rules) -> Iterator[WayFact]:
    """The ways to cut one stick, of pieces that have no kind yet; one cut anywhere is as thick as the bundle's thickest."""
    ends, thick = fact.diameter_mm, None if fact.diameter_mm is None else fact.diameter_mm[1]
    if buds is None:
        yield (PieceFact("", max(rules.buds), 0, thick),)
    elif ends is None or bundle.length_mm is None:
        for sizes in _by_buds(buds, sorted(set(rules.buds), reverse=True)):
            yield tuple(PieceFact("", each, 0, thick) for each in sizes)
    else:
        for way in cutting.patterns(_stick(bundle, ends, buds), rules):
            lengths = (round(round(piece.to_mm, 2) - round(piece.from_mm, 2), 2) for piece in way.pieces)
            yield tuple(
                PieceFact("", piece.buds, piece.lost, round(piece.butt_mm, 2), length)
                for piece, length in zip(way.pieces, lengths, strict=True)
            )


def _by_buds(buds: int, sizes: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every way to share so many buds out to scions of these numbers, the largest first, with no room for one more."""
    if len(sizes) == 1:
        yield (sizes[0],) * (buds // sizes[0])
        return
    for number in range(buds // sizes[0], -1, -1):
        for rest in _by_buds(buds - number * sizes[0], sizes[1:]):
            yield (sizes[0],) * number + rest


def _stick(bundle: Bundle, ends: tuple[float, float], buds: int) -> Stick:
    """One stick, or what is left of the stick in hand: its tip end, with so many buds."""
    length, per_stick = bundle.length_mm or 0.0, bundle.buds_per_stick or buds
    whole = Stick(ends[1], ends[0], length, per_stick)
    if buds >= per_stick:
        return Stick(ends[1], ends[0], length, buds)
    used = whole.sound_mm * (per_stick - buds) / per_stick
    return Stick(whole.diameter_at(used), ends[0], length - used, buds)


def _piece(wood: PlanWood, fact: WoodFacts, cut: PieceFact, cutter: Cutter) -> PieceFact:
    """The piece with the kind that it is of, which is a new one where there was none like it."""
    diameter = fact.diameter_mm
    if cut.length_mm is not None and cut.butt_mm is not None:
        diameter = (size_class(cut.butt_mm),) * 2
    fits = cutter.methods(cut.buds, cut.butt_mm, cut.length_mm)
    known = fact.code, cut.buds, diameter, fits
    if known not in wood.keys:
        facts = replace(fact, code="", diameter_mm=diameter, sticks_left=1, buds_in_hand=0)
        key = wood.keys.setdefault((facts, cut.buds, fits), f"{cut.buds} of kind {len(wood.kinds) + 1}")
        wood.kinds.setdefault(key, PieceKind(key, facts, cut.buds, fits))
        wood.keys[known] = key
    return PieceFact(wood.keys[known], cut.buds, cut.lost, cut.butt_mm, cut.length_mm)


def _assumed(wood: PlanWood) -> Iterator[str]:
    """What was assumed of the wood, in whole sentences."""
    bundles = {bundle.code: bundle for bundle in wood.bundles.values()}.values()
    if uncounted := tuple(bundle.code for bundle in bundles if bundle.buds_per_stick is None):
        yield f"Buds a stick were not counted for {code_list(uncounted)}: one scion is planned from each stick."
    counted = (bundle for bundle in bundles if bundle.buds_per_stick is not None)
    if no_length := tuple(bundle.code for bundle in counted if bundle.length_mm is None):
        yield f"No length is recorded for {code_list(no_length)}: pieces are planned by buds alone."
    if bare := tuple(each.code for each in bundles if each.diameter_min_mm is None and each.diameter_max_mm is None):
        yield (f"The diameter of {code_list(bare)} is not known, so no joint could be judged: measure a stick, then graftbook "
               f"wood amend {bare[0]} --diameter 6-9mm.")  # fmt: skip


def wood_words(wood: PlanWood) -> str:
    """The wood in a clause: `2 bundles, 12 sticks, 60 buds`."""
    usable = [stick for stick in wood.sticks if not stick.barred]
    buds = sum(stick.buds * stick.many for stick in usable)
    sticks = sum(stick.many for stick in usable)
    return f"{count(len({stick.bundle for stick in usable}), 'bundle')}, {count(sticks, 'stick')}, {count(buds, 'bud')}"
