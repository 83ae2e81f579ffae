"""What may stand in the book twice, each with the reason: plants, grafts, people and cultivar names.

What one entry recorded together is never a double: fifty stocks alike are fifty stocks. A thing that is told from another by
anything that was said of both is none either; what was not said tells nothing apart. Rules of this book, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import NamedTuple

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.book import doubles_queries, lineage_queries
from graftbook.book.doubles_queries import GraftSpot, PlantSpot

ALIKE = 86
"""From which likeness of two spellings, of 100, they are shown as perhaps one name; as new names are questioned elsewhere."""
DAYS = 1
"""How many days apart one graft may have been entered."""
PLANT, GRAFT, PERSON, CULTIVAR = "plant", "graft", "person", "cultivar"


class Likely(NamedTuple):
    """Two that may be one: `keep` is what stays if they are joined, by code or name, and `other` what becomes it."""

    kind: str
    keep: str
    other: str
    why: str


def every(session: Session) -> list[Likely]:
    """All of them, plants first."""
    return [*_plants(session), *_grafts(session), *_people(session), *_cultivars(session)]


def _plants(session: Session) -> Iterator[Likely]:
    entered = doubles_queries.entered_by(session, "plant")
    by_spot: dict[object, list[PlantSpot]] = defaultdict(list)
    by_story: dict[object, list[PlantSpot]] = defaultdict(list)
    for plant in doubles_queries.plants(session):
        if plant.place and plant.order is not None:
            by_spot[_key(plant.place), _key(plant.row), plant.order].append(plant)
        called = plant.cultivar
        if plant.kind == "tree" and called and plant.acquired_on is not None:
            by_story[naming.key(called), plant.acquired_on, _key(plant.place)].append(plant)
    seen: set[frozenset[str]] = set()
    for groups, why in ((by_spot, _same_spot), (by_story, _same_story)):
        for one, other in _pairs(groups.values(), entered, seen):
            if not _told_apart(one, other):
                yield Likely(PLANT, one.code, other.code, why(one, other))


def _told_apart(one: PlantSpot, other: PlantSpot) -> bool:
    """Whether anything said of both makes them two: their kind, name, source, place in the row, or that one died before."""
    said = ((_key(a), _key(b)) for a, b in ((one.kind, other.kind), (one.clone, other.clone), (one.row, other.row),
                                            (one.source, other.source), (one.order, other.order)))  # fmt: skip
    if any(a != b for a, b in said if a and b):
        return True
    if one.cultivar and other.cultivar and not _alike(one.cultivar, other.cultivar):
        return True
    return any(
        a.died_on is not None and b.acquired_on is not None and b.acquired_on >= a.died_on
        for a, b in ((one, other), (other, one))
    )


def _same_spot(one: PlantSpot, other: PlantSpot) -> str:
    row = f", row {one.row}" if one.row else ""
    return f"both stand at {one.place}{row}, no. {one.order}{_spelt(one.cultivar, other.cultivar)}"


def _same_story(one: PlantSpot, other: PlantSpot) -> str:
    place = f", at {one.place}" if one.place else ""
    return f"same name and day it came, {one.acquired_on}{place}, entered twice{_spelt(one.cultivar, other.cultivar)}"


def _spelt(one: str | None, other: str | None) -> str:
    return f"; spelt '{one}' and '{other}'" if one and other and one != other else ""


def _grafts(session: Session) -> Iterator[Likely]:
    entered = doubles_queries.entered_by(session, "graft")
    groups: dict[object, list[GraftSpot]] = defaultdict(list)
    for graft in doubles_queries.grafts(session):
        groups[graft.host_plant_id, graft.host_graft_id, graft.bundle_id].append(graft)
    for one, other in _pairs(groups.values(), entered, set()):
        apart = abs((one.made_on - other.made_on).days)
        spots = ((one.limb, other.limb), (one.bearing_deg, other.bearing_deg), (one.height_mm, other.height_mm),
                 (one.position, other.position), (one.stick, other.stick))  # fmt: skip
        if apart <= DAYS and not any(_key(a) != _key(b) for a, b in spots if a is not None and b is not None):
            when = f"on {one.made_on}" if apart == 0 else f"on {one.made_on} and {other.made_on}"
            methods = "" if one.method == other.method else f"; by {one.method} and {other.method}"
            yield Likely(GRAFT, one.code, other.code, f"same host and wood {when}, entered twice{methods}")


def _pairs(groups: Iterable[list], entered: Mapping[str, str], seen: set[frozenset[str]]) -> Iterator[tuple]:
    """What the first entry of each group recorded with what another one did, one by one in their order: two trees alike that were
    entered twice are two pairs."""
    for group in groups:
        by_entry: dict[str | None, list] = defaultdict(list)
        for row in group:
            by_entry[entered.get(row.uid)].append(row)
        first, *others = by_entry.values()
        for rows in others:
            for one, other in zip(first, rows, strict=False):
                pair = frozenset((one.code, other.code))
                if pair not in seen:
                    seen.add(pair)
                    yield one, other


def _people(session: Session) -> Iterator[Likely]:
    times = dict(doubles_queries.names_of_people(session))
    recorded = lineage_queries.people(session)
    initials = {naming.key(person.initials): person.name for person in recorded if person.initials}
    for person in recorded:
        times[person.name] = times.get(person.name, 0) + 1_000_000
    for keep, other in _spellings(times, _same_person):
        if keep.endswith(".") and not other.endswith("."):
            keep, other = other, keep
        yield Likely(PERSON, keep, other, f"'{other}' may be another spelling of '{keep}'")
    for name in sorted(times):
        known = initials.get(naming.key(name))
        if known is not None and known != name:
            yield Likely(PERSON, known, name, f"'{name}' are the initials of '{known}'")


def _cultivars(session: Session) -> Iterator[Likely]:
    preferred = {naming.key(name) for name in lineage_queries.preferred(session)}
    times = {
        name: count for name, count in doubles_queries.cultivars(session).items() if naming.key(name) not in preferred
    }
    for keep, other in _spellings(times, _alike):
        yield Likely(CULTIVAR, keep, other, f"'{other}' stands {times[other]} times, '{keep}' {times[keep]} times")


def _spellings(times: Mapping[str, int], alike: Callable[[str, str], bool]) -> Iterator[tuple[str, str]]:
    """Names like each other: the one that stands more often, and the other."""
    names = sorted(times, key=lambda name: (-times[name], name))
    for at, other in enumerate(names):
        keep = next((name for name in names[:at] if alike(name, other)), None)
        if keep is not None:
            yield keep, other


def _alike(one: str, other: str) -> bool:
    from rapidfuzz import fuzz

    a, b = naming.key(one), naming.key(other)
    figures = [[sign for sign in name if sign.isdigit()] for name in (a, b)]
    return a == b or (figures[0] == figures[1] and fuzz.ratio(a, b) >= ALIKE)


def _same_person(one: str, other: str) -> bool:
    """Alike, or one is the other with its last name cut short: `Ilo M.` and `Ilo Marren`."""
    if _alike(one, other):
        return True
    a, b = one.casefold().split(), other.casefold().split()
    if len(a) != len(b) or len(a) < 2:
        return False
    short, long = sorted((a[-1].rstrip("."), b[-1].rstrip(".")), key=len)
    return a[:-1] == b[:-1] and long.startswith(short)


def _key(value: object) -> str:
    return naming.key(str(value)) if value is not None else ""
