"""Whether a thing answers to what is known of it, and how near it comes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache, lru_cache

from graftbook.actions.desk import naming, typed
from graftbook.actions.outcome import standing_place
from graftbook.actions.plants.find_names import NamesToFind, ThingNames, known
from graftbook.book import graft_queries, limits
from graftbook.book.finding_queries import GraftLine, PlantLine, WoodLine
from graftbook.book.plants import Plant
from graftbook.codes import read_one
from graftbook.errors import UsageProblem
from graftbook.lineage import positions
from graftbook.lineage.positions import Spot
from graftbook.units import show_length

NO_SPOT = Spot()


@dataclass(frozen=True)
class Thing:
    """A plant, graft or bundle with all it may be found by. `name` is what it is called; `names` all it may be known by, that
    first, with every name its clone was ever given."""

    id: int
    code: str
    kind: str
    name: str | None
    names: tuple[str, ...]
    host: str | None = None
    place: str | None = None
    row: str | None = None
    order: int | None = None
    limb: str | None = None
    spot: Spot = NO_SPOT
    where: str | None = None
    on: date | None = None
    state: str | None = None
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sought:
    """What is known of the thing; None and empty never narrow. `words` are parts of a name or code, `code` a whole one."""

    words: tuple[str, ...] = ()
    code: str | None = None
    spot: Spot = NO_SPOT
    within_mm: float = 0.0
    place: tuple[str, ...] = ()
    row: tuple[str, ...] = ()
    order: int | None = None
    beside: frozenset[str] | None = None
    marks: tuple[str, ...] = ()
    made: str | None = None

    @property
    def has_spot(self) -> bool:
        """Whether a position on a host was asked."""
        return self.spot != NO_SPOT


@dataclass(frozen=True)
class Held:
    """What the book holds that may be meant, with what it is called and was ever called; `on_host` the ids of the grafts on
    the host that was named, None where none was: then only those are to be found, and the rest is there to tell where they
    stand."""

    plants: Sequence[PlantLine]
    grafts: Sequence[GraftLine]
    bundles: Sequence[WoodLine]
    called: NamesToFind
    on_host: frozenset[int] | None = None


_key = lru_cache(maxsize=20_000)(naming.key)

_CODE_PART = re.compile(r"[pwg]?\d*$")

_TAG_CODE = re.compile(r"[PWG]\d+-[A-Z0-9]$", re.I)


def pieces(text: str | None, what: str = "what is sought") -> tuple[str, ...]:
    """The words of a text without case and accents; empty for None. Raises UsageProblem for a text of signs alone."""
    found = tuple(key for word in (text or "").split() if (key := naming.key(word)))
    if text and not found:
        raise UsageProblem(f"letters or digits for {what}", repr(text))
    return found


def code_among(text: str | None) -> tuple[str | None, str | None]:
    """A code as it stands on a tag, with its check character, and the other words. Raises UsageProblem for a wrong one."""
    words = (text or "").split()
    tags = [word for word in words if _TAG_CODE.match(word)]
    if not tags:
        return None, text
    return read_one(tags[0]).base, " ".join(word for word in words if word != tags[0]) or None


def order(text: str | None) -> int | None:
    """A number in the row as typed. Raises UsageProblem."""
    return typed.whole(text, "a place in the row", *limits.bounds(Plant, "order")) if text is not None else None


def of_plant(plant: PlantLine, called: ThingNames, above: Iterable[ThingNames] = ()) -> Thing:
    """A plant as a thing to find; a stock is also known by what was grafted on it (`above`), under all the names of that."""
    shown = called.shown
    name = shown.cultivar or plant.clone or shown.name
    names = known(name, plant.cultivar_typed, plant.clone, *called.others, plant.taxon)
    grafted = sorted({one.shown.name for one in above if one.shown.name is not None})
    if grafted:
        name = f"{name or 'stock'} with {', '.join(grafted[:3])}"
        names = (*names, *grafted, *dict.fromkeys(other for one in above for other in one.others))
    return Thing(
        plant.id, plant.code, plant.kind, name, names, None, plant.place, plant.row, plant.order, None, NO_SPOT, plant.site,
        plant.acquired_on, "dead" if plant.died_on is not None else None, known(plant.note, plant.lot, plant.container),
    )  # fmt: skip


def of_graft(graft: GraftLine, host: str, plant: PlantLine, called: ThingNames) -> Thing:
    """A graft as a thing to find; it stands where it was put, else where its plant stands."""
    shown, here = called.shown, standing_place.of_graft(graft.place, plant)
    return Thing(
        graft.id, graft.code, "graft", shown.name, known(shown.name, *called.others, shown.taxon), host, *here, graft.limb,
        Spot(graft.bearing_deg, graft.height_mm), graft.position, graft.made_on, None,
        known(graft.note, graft.position, graft.tie, graft.limb),
    )  # fmt: skip


def of_wood(bundle: WoodLine, called: ThingNames) -> Thing:
    """A bundle as a thing to find."""
    name = called.shown.name
    names = known(name, bundle.cultivar_typed, *called.others, bundle.taxon)
    return Thing(bundle.id, bundle.code, "wood", name, names, place=bundle.store, on=bundle.cut_on,
                 marks=known(bundle.note))  # fmt: skip


def candidates(held: Held, sought: Sought) -> Iterator[Thing]:
    """What may answer by its name or code alone, plants first; `answers` judges the rest."""

    @cache
    def by_name(called: ThingNames) -> bool:
        return _among(sought.words, (called.shown.cultivar, called.shown.name, called.shown.taxon, *called.others))

    by_plant, by_graft = {plant.id: plant for plant in held.plants}, {graft.id: graft for graft in held.grafts}
    grafts = [(graft, held.called.graft(graft)) for graft in held.grafts]
    if held.on_host is None and not sought.has_spot:
        carried = _carried(grafts, by_graft)
        for plant in held.plants:
            called, above = held.called.plant(plant.id), carried.get(plant.id, ()) if plant.kind == "stock" else ()
            texts = (plant.code, plant.cultivar_typed, plant.clone, plant.taxon)
            if _among(sought.words, texts) or any(map(by_name, (called, *above))):
                yield of_plant(plant, called, above)
    by_code = all(_CODE_PART.match(word) for word in sought.words)
    for graft, called in grafts:
        if (held.on_host is not None and graft.id not in held.on_host) or not _dated(graft.made_on, sought.made):
            continue
        if by_name(called) or (by_code and all(word in graft.code.lower() for word in sought.words)):
            plant = by_plant[graft_queries.foot(graft, by_graft)]
            host = plant if graft.host_plant_id is not None else by_graft[graft.host_graft_id or 0]
            yield of_graft(graft, host.code, plant, called)
    if not sought.has_spot:
        yield from (of_wood(bundle, held.called.wood(bundle.id)) for bundle in held.bundles)


def _carried(
    grafts: Iterable[tuple[GraftLine, ThingNames]], by_graft: Mapping[int, GraftLine]
) -> dict[int, dict[ThingNames, None]]:
    """What was grafted on each plant, by the plant's id."""
    found: dict[int, dict[ThingNames, None]] = {}
    for graft, called in grafts:
        found.setdefault(graft_queries.foot(graft, by_graft), {})[called] = None
    return found


def all_names(held: Held) -> set[str]:
    """Every name that anything is called by."""
    lines = [(plant.cultivar_typed, plant.clone, plant.taxon) for plant in held.plants]
    kinds = {held.called.graft(graft) for graft in held.grafts}
    names = {name for line in lines for name in line}
    names |= {name for kind in kinds for name in (kind.shown.name, kind.shown.taxon)}
    names |= {name for bundle in held.bundles for name in (bundle.cultivar_typed, bundle.taxon)}
    return held.called.every() | {name for name in names if name}


def matched(thing: Thing, sought: Sought) -> str | None:
    """The name that answers to the words asked, where what the thing is called does not; None else."""
    if not sought.words or _among(sought.words, (thing.name, thing.code)):
        return None
    return next((name for name in thing.names if _among(sought.words, (name,))), None)


def answers(thing: Thing, sought: Sought) -> bool:
    """Whether a thing may be what is sought."""
    if sought.code is not None and thing.code != sought.code:
        return False
    if sought.words and not _among(sought.words, (*thing.names, thing.code)):
        return False
    if sought.has_spot and (thing.kind != "graft" or not positions.may_be(sought.spot, thing.spot, sought.within_mm)):
        return False
    return _stands(thing, sought) and _dated(thing.on, sought.made) and _among(sought.marks, thing.marks)


def _stands(thing: Thing, sought: Sought) -> bool:
    if sought.beside is not None and thing.code not in sought.beside and thing.host not in sought.beside:
        return False
    if sought.order is not None and thing.order != sought.order:
        return False
    if sought.row and _key(thing.row or "") != "".join(sought.row):
        return False
    return _among(sought.place, (thing.place, thing.where))


def _dated(on: date | None, made: str | None) -> bool:
    return made is None or (on is not None and on.isoformat().startswith(made))


def _among(words: Sequence[str], texts: Sequence[str | None]) -> bool:
    """Whether every word stands in one of the texts, case and accents apart."""
    return not words or any(_has(words, text) for text in texts if text)


@lru_cache(maxsize=20_000)
def _has(words: Sequence[str], text: str) -> bool:
    return all(word in _key(text) for word in words)


def rows_in_order(plants: Sequence[PlantLine]) -> dict[tuple[str, str], list[PlantLine]]:
    """Plants that have a number in a row, by place and row, in the order they stand."""
    found: dict[tuple[str, str], list[PlantLine]] = {}
    for plant in plants:
        if plant.order is not None:
            found.setdefault((_key(plant.place or ""), _key(plant.row or "")), []).append(plant)
    for row in found.values():
        row.sort(key=lambda plant: (plant.order, plant.number))
    return found


def next_in_row(code: str, held: Mapping[tuple[str, str], Sequence[PlantLine]]) -> frozenset[str]:
    """The plants next to one in its row; empty where its place in a row is not known."""
    for row in held.values():
        codes = [plant.code for plant in row]
        if code in codes:
            at = codes.index(code)
            return frozenset((*codes[max(at - 1, 0) : at], *codes[at + 1 : at + 2]))
    return frozenset()


def reasons(thing: Thing, sought: Sought, unit: str) -> Iterator[str]:
    """Under which name it answers, where the thing is and how near it comes to the position asked, in a few words each."""
    other = matched(thing, sought)
    if other is not None:
        yield f"by the name {other}"
    if thing.host is not None:
        yield f"on {thing.host}"
    if thing.limb is not None:
        yield f"limb {thing.limb}"
    if sought.has_spot:
        yield from _near(thing.spot, sought.spot, unit)
    elif thing.kind == "graft":
        yield from spot_words(thing.spot, unit)
    row = f"row {thing.row}" if thing.row is not None else ""
    number = f"no. {thing.order}" if thing.order is not None else ""
    said = ", ".join(part for part in (thing.place, row, number) if part)
    if said:
        yield said


def spot_words(spot: Spot, unit: str) -> Iterator[str]:
    """A position on a host in words: its bearing, then its height in the unit; what is not known is left out."""
    if spot.bearing_deg is not None:
        yield positions.point(spot.bearing_deg)
    if spot.height_mm is not None:
        yield f"{show_length(spot.height_mm, unit)} high"


def _near(held: Spot, sought: Spot, unit: str) -> Iterator[str]:
    gap = positions.apart(sought, held)
    if sought.bearing_deg is not None:
        yield f"faces {positions.point(held.bearing_deg)}" if held.bearing_deg is not None else "bearing not recorded"
    if sought.height_mm is not None:
        if gap.height_mm is None:
            yield "height not recorded"
        else:
            off = show_length(abs(gap.height_mm), unit)
            way = "higher" if gap.height_mm > 0 else "lower"
            yield "at that height" if round(gap.height_mm) == 0 else f"{off} {way}"
