"""The kinds of plant the trade's tables speak of, under the names people use for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import look_up, nearest, plain, typed


@dataclass(frozen=True)
class Taxon:
    """A species, a genus, or a group of cultivars inside a species, written `Diospyros kaki [PCNA]`.

    `common` is the name to show, `names` other names and synonyms, `cultivars` those known to belong to a group.
    `sap` is '', fig, citrus or lacquer. `short` fits a narrow tag.
    """

    taxon: str
    common: str
    names: tuple[str, ...]
    family: str
    genus: str
    crop: str
    leaf: str
    fruits_on: str
    sap: str
    short: str
    cultivars: tuple[str, ...]
    basis: str
    source: str

    @property
    def species(self) -> str:
        """The taxon without the group in brackets."""
        return self.taxon.partition(" [")[0]

    @property
    def is_group(self) -> bool:
        """Whether this is a group of cultivars inside a species or genus."""
        return "[" in self.taxon

    @property
    def deciduous(self) -> bool:
        """Whether it stands leafless in winter, so that its wood can be cut dormant."""
        return self.leaf == "deciduous"

    @property
    def fruits_on_new_wood(self) -> bool:
        """Whether it fruits on the season's own growth, wholly or in part."""
        return self.fruits_on != "old wood"


@lru_cache(maxsize=1)
def _by_taxon() -> Mapping[str, Taxon]:
    return {row["taxon"]: typed(Taxon, row) for row in tables.rows("taxa")}


@lru_cache(maxsize=1)
def _kinds_by_name() -> Mapping[str, tuple[str, ...]]:
    found: dict[str, dict[str, None]] = {}
    for kind in all():
        for name in (kind.taxon, kind.common, *kind.names):
            found.setdefault(plain(name), {})[kind.taxon] = None
    return {name: tuple(kinds) for name, kinds in found.items()}


@lru_cache(maxsize=1)
def _index() -> Mapping[str, str]:
    return {name: kinds[0] for name, kinds in _kinds_by_name().items() if len(kinds) == 1}


def all() -> tuple[Taxon, ...]:
    """Every taxon, in file order."""
    return tuple(_by_taxon().values())


def get(taxon: str) -> Taxon | None:
    """The taxon written exactly so; None when there is none."""
    return _by_taxon().get(taxon)


def find(text: str) -> Taxon | None:
    """The taxon known by this Latin or common name or synonym; None when no name fits, or a name of several kinds does."""
    found = look_up(text, _index())
    return None if found is None else get(found)


def sharing(text: str, cultivar: str | None = None) -> tuple[Taxon, ...]:
    """The kinds that share a name which is not enough to tell them apart, in file order; empty for any other name.

    A cultivar that is known in one of them alone tells which it is: then that one kind.
    """
    found = tuple(kind for taxon in look_up(text, _kinds_by_name()) or () if (kind := get(taxon)) is not None)
    if len(found) < 2:
        return ()
    known = tuple(kind for kind in found if cultivar and groups_of(kind.species, cultivar))
    return known if len(known) == 1 else found


@lru_cache(maxsize=512)
def common_name(taxon: str | None) -> str | None:
    """The kind in everyday words where the tables have one, else as it is kept; None for None."""
    found = None if taxon is None else get(taxon)
    return found.common if found is not None and found.common else taxon


def suggest(text: str) -> tuple[str, ...]:
    """Up to three taxa whose names are spelled most like this."""
    return nearest(text, _index())


def genus_of(text: str) -> Taxon | None:
    """The genus row that a Latin name not in the table belongs to, by its first word; None when it is not known."""
    first = next(iter(plain(text).split()), "")
    found = _index().get(first)
    row = None if found is None else get(found)
    return row if row is not None and plain(row.genus) == first else None


def nearest_to(text: str | None) -> Taxon | None:
    """The taxon under any of its names, else the genus it belongs to; None when neither is known, and for None."""
    return None if text is None else find(text) or genus_of(text)


def kin(text: str) -> tuple[str, ...]:
    """The names that rows on a kind may go by, nearest first: its own, its species', its genus'; empty for one not known."""
    found = nearest_to(text)
    return () if found is None else (found.taxon, found.species, found.genus)


@lru_cache(maxsize=1)
def _groups() -> Mapping[str, tuple[Taxon, ...]]:
    found: dict[str, tuple[Taxon, ...]] = {}
    for taxon in all():
        if taxon.is_group:
            found[taxon.species] = (*found.get(taxon.species, ()), taxon)
    return found


def groups_of(species: str, cultivar: str) -> tuple[Taxon, ...]:
    """The groups of a species that a cultivar is known to belong to, by its name; empty when none is known."""
    wanted = plain(cultivar)
    return tuple(
        group for group in _groups().get(species, ()) if wanted and wanted in {plain(name) for name in group.cultivars}
    )
