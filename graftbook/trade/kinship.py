"""How near a row of the compatibility table comes to the pair asked about.

A row may speak of a cultivar, a group of cultivars, a species or a genus on the scion's side, and of a clone, a species
or a genus on the stock's. The nearer row answers. The order, and the plain phrase shown for each level, stand in
LEVELS. Direction matters: a row for A on B says nothing of B on A.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from graftbook.trade import clones, cultivars, taxa
from graftbook.trade.words import plain, squeezed

SEEDLING = "seedling"
_CULTIVAR, _GROUP, _SPECIES, _SOME_GROUP, _GENUS = range(5)
_CLONE, _TAXON, _OTHER_CLONE, _STOCK_GENUS = range(4)
_OF_THE_PAIR = (
    ((_CULTIVAR, _CLONE), "this cultivar on this rootstock"),
    ((_CULTIVAR, _TAXON), "this cultivar on this kind of stock"),
    ((_GROUP, _CLONE), "this group of cultivars on this rootstock"),
    ((_GROUP, _TAXON), "this group of cultivars on this kind of stock"),
    ((_SPECIES, _CLONE), "this kind of scion on this rootstock, not by cultivar"),
    ((_SPECIES, _TAXON), "this kind of scion on this kind of stock, not by cultivar"),
)
_BORROWED = (
    ((_CULTIVAR, _OTHER_CLONE), "this cultivar on other rootstocks of this kind, not this one"),
    ((_GROUP, _OTHER_CLONE), "this group of cultivars on other rootstocks of this kind, not this one"),
    ((_SPECIES, _OTHER_CLONE), "this kind of scion on other rootstocks of this kind, not this one"),
    ((_SOME_GROUP, _CLONE), "groups of this kind on this rootstock; which group this cultivar belongs to is not known"),
    ((_SOME_GROUP, _TAXON), "groups of this kind on this stock; which group this cultivar belongs to is not known"),
    ((_SOME_GROUP, _OTHER_CLONE), "groups of this kind on other rootstocks; which group this belongs to is not known"),
    ((_GENUS, _OTHER_CLONE), "the scion's genus on other rootstocks of this kind, not specific"),
)
_WIDE = (
    ((_CULTIVAR, _STOCK_GENUS), "this cultivar on the stock's genus"),
    ((_GROUP, _STOCK_GENUS), "this group of cultivars on the stock's genus"),
    ((_SPECIES, _STOCK_GENUS), "this kind of scion on the stock's genus, not specific"),
    ((_GENUS, _CLONE), "the scion's genus on this rootstock, not specific"),
    ((_GENUS, _TAXON), "the scion's genus on this kind of stock, not specific"),
    ((_GENUS, _STOCK_GENUS), "genus on genus, not specific"),
)
LEVELS = (*_OF_THE_PAIR, *_BORROWED, *_WIDE)
_OWN_WOOD = frozenset({(_CULTIVAR, _OTHER_CLONE), (_GROUP, _OTHER_CLONE)})
_RANK = MappingProxyType({steps: rank for rank, (steps, _) in enumerate(LEVELS)})


@dataclass(frozen=True)
class Side:
    """One side of a union, as far as it is known. `named` is the taxon as given, '' family or genus is not known.

    `cultivars` holds the cultivar's plain name and those of what it is a synonym or a sport of.
    """

    named: str
    species: str
    genus: str
    family: str
    cultivars: tuple[str, ...]
    groups: frozenset[str]
    clone: str


@lru_cache(maxsize=4096)
def side(taxon: str | None, cultivar: str | None = None, clone: str | None = None) -> Side:
    """What is known of one side: the taxon under any of its names, its groups by cultivar, its rootstock clone.

    The taxon of a clone known by name is taken where none is given.
    """
    text = taxon or ""
    rootstock = clones.find(clone) if clone else None
    found = taxa.find(text)
    if found is None and rootstock is not None:
        found = taxa.get(rootstock.taxon)
    genus = found or taxa.genus_of(text)
    groups = {found.taxon} if found is not None and found.is_group else set()
    names = cultivars.reaching(found.species if found is not None else text, cultivar or "")
    if found is not None:
        groups |= {group.taxon for name in names for group in taxa.groups_of(found.species, name)}
    return Side(
        named=text.strip() if found is None else found.taxon,
        species=text.strip() if found is None else found.species,
        genus="" if genus is None else genus.genus,
        family="" if genus is None else genus.family,
        cultivars=names,
        groups=frozenset(groups),
        clone=_stock_name(rootstock.key if rootstock is not None else clone or ""),
    )


def _stock_name(clone: str) -> str:
    """A rootstock's name in one spelling; every line of seedlings is read as seedlings."""
    name = squeezed(clone)
    return SEEDLING if name.endswith((SEEDLING, "seedlings")) else name


def is_of_the_pair(rank: int) -> bool:
    """Whether a level speaks of the two kinds themselves, be it by cultivar, group or species."""
    return rank < len(_OF_THE_PAIR)


def is_borrowed(rank: int) -> bool:
    """Whether a level speaks of other rootstocks or other groups than those in hand, so that its word is a guess."""
    return not is_of_the_pair(rank) and rank < len(_OF_THE_PAIR) + len(_BORROWED)


def is_by_kind(rank: int) -> bool:
    """Whether a level says nothing of this cultivar or its group, only of its species or genus."""
    return LEVELS[rank][0][0] not in (_CULTIVAR, _GROUP)


def is_of_this_wood(rank: int) -> bool:
    """Whether a level speaks of this cultivar or its group, on other rootstocks of the kind."""
    return LEVELS[rank][0] in _OWN_WOOD


@dataclass(frozen=True)
class RowSides:
    """The parts of a compatibility row that decide how near it comes."""

    scion: str
    scion_cultivars: frozenset[str]
    stock: str
    stock_clone: str


def nearness(row: RowSides, scion: Side, stock: Side) -> tuple[int, int] | None:
    """How near a row comes: its level, then 0 where both sides are named exactly so; None when it does not apply."""
    scion_step, stock_step = _scion_step(row, scion), _stock_step(row, stock)
    if scion_step is None or stock_step is None or (scion_step, stock_step) not in _RANK:
        return None
    reached = scion_step == _CULTIVAR and scion.cultivars[0] not in row.scion_cultivars
    wider = row.stock != stock.named and stock_step != _CLONE
    return _RANK[scion_step, stock_step], int(wider) + 2 * int(reached)


def is_exception(row: RowSides, scion: Side, stock: Side) -> bool:
    """Whether a row speaks of other cultivars or groups of the scion's kind on this very stock or kind of stock.

    Groups count only where it is not known which group the cultivar in hand belongs to.
    """
    if _stock_step(row, stock) not in (_CLONE, _TAXON):
        return False
    if row.scion_cultivars:
        return scion.species == row.scion.partition(" [")[0] and not row.scion_cultivars & set(scion.cultivars)
    return _scion_step(row, scion) == _SOME_GROUP


def _scion_step(row: RowSides, scion: Side) -> int | None:
    if row.scion_cultivars:
        fits = scion.species == row.scion.partition(" [")[0] and bool(row.scion_cultivars & set(scion.cultivars))
        return _CULTIVAR if fits else None
    if "[" in row.scion:
        if row.scion in scion.groups:
            return _GROUP
        return _SOME_GROUP if not scion.groups and row.scion.partition(" [")[0] == scion.species else None
    if row.scion == scion.species:
        return _SPECIES
    return _GENUS if row.scion == scion.genus else None


def _stock_step(row: RowSides, stock: Side) -> int | None:
    fits = row.stock in (stock.named, stock.species) or row.stock in stock.groups
    if row.stock_clone:
        if stock.clone and stock.clone == squeezed(row.stock_clone):
            return _CLONE if fits or stock.clone != SEEDLING else None
        if not fits:
            return None
        return _TAXON if not stock.clone and row.stock_clone == SEEDLING else _OTHER_CLONE
    if fits:
        return _TAXON
    return _STOCK_GENUS if row.stock == stock.genus else None


def default_key(scion: Side, stock: Side) -> str | None:
    """Which default row speaks for two sides by kinship alone; None for two kinds of which a family is not known."""
    if not same_species(scion, stock):
        if not scion.family or not stock.family:
            return None
        if scion.family != stock.family:
            return "* different family"
        return "* same genus" if scion.genus == stock.genus else "* same family"
    same_clone = stock.clone and stock.clone in {squeezed(name) for name in scion.cultivars}
    return "* same clone" if same_clone else "* same species"


def same_species(scion: Side, stock: Side) -> bool:
    """Whether both sides are one species; hybrids at large, and a genus without a species, are not one."""
    if not scion.species or plain(scion.species) != plain(stock.species):
        return False
    return scion.species != scion.genus and not scion.species.endswith("hybrids")
