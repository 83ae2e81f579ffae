"""Which scion lives on which stock, who says so, and how near what they say comes to the pair in hand.

Five words, best first: `good` is routine; `workable` takes with a caveat; `delayed` takes and grows and fails after
months or decades, so that a first season's take proves nothing; `poor` takes badly or unites weakly; `no` fails. A
sixth, `unknown`, is said where not even the family is known. The words are a reading of the sources, which say
"compatible" or "not recommended". Among rows that come equally near the lowest word is the verdict, and every caveat is
kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from graftbook.trade import tables
from graftbook.trade.kinship import LEVELS, SEEDLING, RowSides, Side, default_key, nearness, side
from graftbook.trade.schema import DEFAULTS, VERDICTS
from graftbook.trade.words import parted, plain, typed

UNKNOWN = "unknown"
_TRUST = ("own", "published", "common practice", "from memory")


@dataclass(frozen=True)
class PairRow:
    """One statement about one pair. Empty cultivars mean any cultivar, an empty clone any stock of the kind.

    A row with an `interstem` speaks of a tree of three parts; one with a `condition` holds only where that is so.
    """

    scion_taxon: str
    scion_cultivars: tuple[str, ...]
    stock_taxon: str
    stock_clone: str
    interstem_taxon: str
    interstem_cultivar: str
    condition: str
    word: str
    caveat: str
    basis: str
    source: str

    @cached_property
    def sides(self) -> RowSides:
        """What decides how near the row comes to a pair."""
        cultivars = frozenset(plain(name) for name in self.scion_cultivars)
        return RowSides(self.scion_taxon, cultivars, self.stock_taxon, self.stock_clone)


@dataclass(frozen=True)
class Verdict:
    """The word for a pair, every caveat, the level that answered, whose word it is, and the rows it rests on.

    `remedies` are rows for the same pair with an interstem between, given where the word is below workable.
    """

    word: str
    caveats: tuple[str, ...]
    level: str
    basis: str
    source: str
    rows: tuple[PairRow, ...]
    remedies: tuple[PairRow, ...] = ()


def from_row(row: Mapping[str, str]) -> PairRow:
    """A statement from a checked row of the table, one of the trade's or a person's own."""
    return typed(PairRow, row, scion_cultivars=parted(row["scion_cultivar"]), word=row["verdict"])


@lru_cache(maxsize=1)
def rows() -> tuple[PairRow, ...]:
    """Every statement in the table, in file order."""
    return tuple(from_row(row) for row in tables.rows("pairs"))


def verdict(
    scion_taxon: str,
    scion_cultivar: str | None,
    stock_taxon: str | None,
    stock_clone: str | None,
    own: Iterable[PairRow] = (),
) -> Verdict:
    """What is known of this scion on this stock, by the nearest rows there are; never the reverse pair's.

    Taxa may be given under any of their names. A stock with no clone is read as a seedling of its kind; with a clone
    alone, its taxon may be None. `own` are a person's own rows, which go before the
    trade's of the same level. Raises nothing: where not even the families are known the word is UNKNOWN.
    """
    return _verdict(side(scion_taxon, scion_cultivar), side(stock_taxon, clone=stock_clone), tuple(own))


@lru_cache(maxsize=4096)
def _verdict(scion: Side, stock: Side, own: tuple[PairRow, ...]) -> Verdict:
    if not scion.named or not stock.named:
        return _unknown()
    ranked = _ranked((*own, *rows()), scion, stock)
    firm = [(rank, row) for rank, row in ranked if not row.interstem_taxon and not row.condition]
    conditional = tuple(row for _, row in ranked if row.condition and not row.interstem_taxon)
    if not firm:
        return _default(scion, stock, conditional)
    best = min(rank for rank, _ in firm)
    found = _judged(tuple(row for rank, row in firm if rank == best), conditional, LEVELS[best[0]][1])
    if found.word in VERDICTS[:2]:
        return found
    remedies = sorted((entry for entry in ranked if entry[1].interstem_taxon), key=lambda entry: entry[0])
    return replace(found, remedies=tuple(row for _, row in remedies))


def _ranked(candidates: Iterable[PairRow], scion: Side, stock: Side) -> list[tuple[tuple[int, int, int], PairRow]]:
    found = ((nearness(row.sides, scion, stock), row) for row in candidates)
    return [((near[0], int(row.basis != "own"), near[1]), row) for near, row in found if near is not None]


def _judged(nearest: tuple[PairRow, ...], conditional: tuple[PairRow, ...], level: str) -> Verdict:
    """The lowest word among rows of equal rank; rows that hold only under a condition add their caveat, not a word.

    Where the rows speak of several rootstocks, only what is said of the ones that decide is passed on.
    """
    word = max((row.word for row in nearest), key=VERDICTS.index)
    deciding = min((row for row in nearest if row.word == word), key=lambda row: _TRUST.index(row.basis))
    stocks = {row.stock_clone for row in nearest}
    several = len(stocks) > 1 and not stocks <= {"", SEEDLING}
    passed_on = tuple(row for row in nearest if not several or row.word == word != VERDICTS[0])
    caveats = _once(_caveat(row, several) for row in (*passed_on, *conditional))
    return Verdict(word, caveats, level, deciding.basis, deciding.source, (*nearest, *conditional))


def _caveat(row: PairRow, named: bool) -> str:
    text = f"Where {row.condition}: {row.word}. {row.caveat}".strip() if row.condition else row.caveat
    if named and row.stock_clone and (text or row.word != "good"):
        return f"{row.stock_clone} ({row.word}): {text}".rstrip(": ")
    return text


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in texts if text))


def _default(scion: Side, stock: Side, conditional: tuple[PairRow, ...]) -> Verdict:
    key = default_key(scion, stock)
    if key is None:
        return _unknown()
    row = next(row for row in rows() if row.scion_taxon == key)
    return _judged((row,), conditional, DEFAULTS[key])


def _unknown() -> Verdict:
    return Verdict(UNKNOWN, ("Neither this pair nor its families are in the tables.",), "nothing known", "", "", ())
