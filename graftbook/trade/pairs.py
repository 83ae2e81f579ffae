"""Which scion lives on which stock, who says so, and how near what they say comes to the pair in hand.

Five words, best first: `good` is routine; `workable` takes with a caveat; `delayed` takes and grows and fails after
months or decades, so that a first season's take proves nothing; `poor` takes badly or unites weakly; `no` fails. A
sixth, `unknown`, is said of two kinds that no row speaks of, be they of one genus. The words are a reading of the
sources, which say "compatible" or "not recommended".

Rows that speak of the pair itself come first, the nearest of them answering; then that a species lives on itself; then
what is borrowed from other rootstocks or groups; then what is said of whole genera; then kinship alone. Among rows that
come equally near the lowest word is the verdict, and a person's own rows are weighed with the trade's: where the two
differ the lower word counts and both are kept. Of anything but the pair itself the word is a guess, and `certain` is
False.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from graftbook.trade import kinship, sources, tables
from graftbook.trade.kinship import LEVELS, SEEDLING, RowSides, Side, nearness, side
from graftbook.trade.schema import DEFAULTS, VERDICTS
from graftbook.trade.words import parted, plain, typed

UNKNOWN = "unknown"
# How far a union can be trusted, best first.
TRUST = (*VERDICTS[:2], UNKNOWN, *VERDICTS[2:])
_TRUST = ("own", "published", "common practice", "from memory")


@dataclass(frozen=True)
class PairRow:
    """One statement about one pair. Empty cultivars mean any cultivar, an empty clone any stock of the kind.

    A row with an `interstem` speaks of a tree of three parts; one with a `condition` holds only where that is so. `years`
    are those it was watched for, as printed.
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
    years: str = ""

    @cached_property
    def sides(self) -> RowSides:
        """What decides how near the row comes to a pair."""
        cultivars = frozenset(plain(name) for name in self.scion_cultivars)
        return RowSides(self.scion_taxon, cultivars, self.stock_taxon, self.stock_clone)


@dataclass(frozen=True)
class Verdict:
    """The word for a pair, every caveat, the level that answered, whose word it is, and the rows it rests on.

    `by_kinship` is said where no row speaks of the two kinds, `unrelated` where the tables lack one of them and their names
    do not begin with one genus. `certain` is False where the word is borrowed or rests on kinship, and where `exceptions`,
    rows on other cultivars or other rootstocks with a lower word, may hold here too; `barring` where a `no` is of the pair
    or of whole genera. `alone` is said of a good word on two species that rests on one source, or on memory; `borrowed` of
    a word that is not of the pair itself. `remedies` are rows for the same pair with an interstem between, given where the
    word is below workable.
    """

    word: str
    caveats: tuple[str, ...]
    level: str
    basis: str
    source: str
    rows: tuple[PairRow, ...]
    by_kinship: bool = False
    certain: bool = True
    barring: bool = True
    unrelated: bool = False
    alone: bool = False
    borrowed: bool = False
    exceptions: tuple[PairRow, ...] = ()
    remedies: tuple[PairRow, ...] = ()

    @property
    def trust(self) -> str:
        """How far the union can be trusted: the word, but never better than unknown where it is borrowed, nor than workable where
        one source alone says so or other cultivars are recorded as failing."""
        if self.word not in VERDICTS[:2] or (self.certain and not self.alone):
            return self.word
        return UNKNOWN if self.borrowed else VERDICTS[1]

    @property
    def differs(self) -> bool:
        """Whether the rows it rests on do not all say the same."""
        return len({row.word for row in self.rows if not row.condition}) > 1


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
    alone, its taxon may be None. `own` are a person's own rows. Raises nothing: where no row speaks of two kinds of one
    genus, and where not even the families are known, the word is UNKNOWN.
    """
    return _verdict(side(scion_taxon, scion_cultivar), side(stock_taxon, clone=stock_clone), tuple(own))


_Ranked = list[tuple[tuple[int, int], PairRow]]


@lru_cache(maxsize=4096)
def _verdict(scion: Side, stock: Side, own: tuple[PairRow, ...]) -> Verdict:
    if not scion.named or not stock.named:
        return _unknown(scion, stock)
    ranked, mine = _ranked(rows(), scion, stock), _ranked(own, scion, stock)
    published, said = _heard(ranked, scion, stock), _heard(mine, scion, stock)
    if said is not None and published is not None:
        found = _weighed(said, published)
    else:
        found = said or published or _by_kinship(scion, stock, ranked)
    if found.word in VERDICTS[:2]:
        return found
    remedies = sorted((entry for entry in (*mine, *ranked) if entry[1].interstem_taxon), key=lambda entry: entry[0])
    return replace(found, remedies=tuple(row for _, row in remedies))


def _ranked(candidates: Iterable[PairRow], scion: Side, stock: Side) -> _Ranked:
    found = ((nearness(row.sides, scion, stock), row) for row in candidates)
    return [(near, row) for near, row in found if near is not None]


def _heard(ranked: _Ranked, scion: Side, stock: Side) -> Verdict | None:
    """What the nearest rows say; None where there are none, or none that go before a species' living on itself."""
    firm = [(near, row) for near, row in ranked if not row.interstem_taxon and not row.condition]
    if not firm:
        return None
    best = min(near for near, _ in firm)
    of_the_pair, same = kinship.is_of_the_pair(best[0]), kinship.same_species(scion, stock)
    if same and not of_the_pair:
        return None
    found = _judged(tuple(row for near, row in firm if near == best), _conditional(ranked), LEVELS[best[0]][1])
    others = _exceptions(firm, best[0], found.word, scion, stock)
    alone = found.word == VERDICTS[0] and not same and len(_agreeing(firm)) < 2
    return replace(
        found, alone=alone, borrowed=not of_the_pair, certain=of_the_pair and (same or not others), exceptions=others,
        barring=not kinship.is_borrowed(best[0]), caveats=_once((*found.caveats, _exception_words(others))),
    )  # fmt: skip


def _agreeing(firm: _Ranked) -> set[str]:
    """Who says good of the pair itself: each publication, practice at large, and the person; memory is nobody."""
    heard = (row for (rank, _), row in firm if kinship.is_of_the_pair(rank) and row.word == VERDICTS[0])
    said = {f"{row.basis} {row.source}" for row in heard if row.basis not in ("from memory", "own")}
    own = any(row.basis == "own" for _, row in firm)
    return said | ({"own", "own word"} if own else set())


def _conditional(ranked: _Ranked) -> tuple[PairRow, ...]:
    return tuple(row for _, row in ranked if row.condition and not row.interstem_taxon)


def _exceptions(firm: _Ranked, level: int, word: str, scion: Side, stock: Side) -> tuple[PairRow, ...]:
    """Rows with a lower word that may hold here too: this wood on other rootstocks, and where the answer is by kind
    alone, other cultivars of it on this stock."""
    warning = VERDICTS[2:] if word == UNKNOWN else VERDICTS[max(2, VERDICTS.index(word) + 1) :]
    near = [row for (rank, _), row in firm if kinship.is_of_this_wood(rank) and row.word in warning]
    if not kinship.is_by_kind(level):
        return tuple(near) if not kinship.same_species(scion, stock) else ()
    others = [row for row in rows() if row.word in warning and not row.condition and not row.interstem_taxon]
    return (*near, *(row for row in others if kinship.is_exception(row.sides, scion, stock)))


def _exception_words(rows: Iterable[PairRow]) -> str:
    """The exceptions in a sentence, by word: `Not alike: poor: Bartlett, Bosc.`, or the empty text."""
    found: dict[str, dict[str, None]] = {}
    for row in rows:
        names = row.scion_cultivars[:1] or (row.scion_taxon.partition(" [")[2].rstrip("]") or row.scion_taxon,)
        on = f" on {row.stock_clone}" if row.stock_clone else ""
        found.setdefault(row.word, {}).update(dict.fromkeys(f"{name}{on}" for name in names))
    parts = [f"{word}: {', '.join(list(names)[:4])}{_more(len(names) - 4)}" for word, names in found.items()]
    return f"Recorded otherwise: {'; '.join(parts)}." if parts else ""


def _more(number: int) -> str:
    return f" and {number} more" if number > 0 else ""


def _judged(nearest: tuple[PairRow, ...], conditional: tuple[PairRow, ...], level: str) -> Verdict:
    """The lowest word among rows of equal rank; rows that hold only under a condition add their caveat, not a word.

    Where the rows speak of several rootstocks, only what is said of the ones that decide is passed on.
    """
    word = max((row.word for row in nearest), key=(*VERDICTS, UNKNOWN).index)
    deciding = min((row for row in nearest if row.word == word), key=lambda row: _TRUST.index(row.basis))
    stocks = {row.stock_clone for row in nearest}
    several = len(stocks) > 1 and not stocks <= {"", SEEDLING}
    passed_on = tuple(row for row in nearest if not several or row.word == word != VERDICTS[0])
    caveats = _once(_caveat(row, several) for row in (*passed_on, *conditional))
    return Verdict(word, caveats, level, deciding.basis, deciding.source, (*nearest, *conditional))


def _weighed(mine: Verdict, published: Verdict) -> Verdict:
    """A person's own rows beside the trade's: against a guess they stand, with what it warns of; else the lower word."""
    warned = published.exceptions or published.word in VERDICTS[2:]
    if mine.certain and not published.certain:
        first = replace(mine, certain=not warned)
    else:
        first = max(mine, published, key=lambda verdict: TRUST.index(verdict.word))
    caveats = _once((*first.caveats, *mine.caveats, *published.caveats))
    return replace(first, rows=(*mine.rows, *published.rows), caveats=caveats)


def _caveat(row: PairRow, named: bool) -> str:
    text = f"Where {row.condition}: {row.word}. {row.caveat}".strip() if row.condition else row.caveat
    if named and row.stock_clone and (text or row.word != "good"):
        return f"{row.stock_clone} ({row.word}): {text}".rstrip(": ")
    return text


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in texts if text))


def _by_kinship(scion: Side, stock: Side, ranked: _Ranked) -> Verdict:
    """What kinship alone lets one say; certain only where a species, or a clone, is to live on itself."""
    key = kinship.default_key(scion, stock)
    if key is None:
        return _unknown(scion, stock)
    row = next(row for row in rows() if row.scion_taxon == key)
    found = _judged((row,), _conditional(ranked), DEFAULTS[key])
    same = kinship.same_species(scion, stock)
    return replace(found, by_kinship=True, certain=same, borrowed=not same)


def _unknown(scion: Side, stock: Side) -> Verdict:
    """Nothing known of a kind the tables lack; by the first word of its name it may still be of the other's genus."""
    first = [plain(each.genus or each.named).partition(" ")[0] for each in (scion, stock)]
    words = "Neither this pair nor its families are in the tables."
    apart = all(first) and first[0] != first[1]
    return Verdict(UNKNOWN, (words,), "nothing known", "", "", (), by_kinship=True, certain=False, unrelated=apart)


def statement(row: PairRow) -> str:
    """One row as a sentence for people: the word, of what on what, what is said, years watched, and whose word it is."""
    cultivars = f" {', '.join(row.scion_cultivars)}" if row.scion_cultivars else ""
    words = [f"{row.word}: {row.scion_taxon}{cultivars} on {f'{row.stock_taxon} {row.stock_clone}'.strip()}."]
    words += [f"Where {row.condition}."] if row.condition else []
    words += [f"{row.caveat.rstrip('.')}."] if row.caveat else []
    words += [f"Watched for {row.years} years."] if row.years else []
    return f"{' '.join(words)} [{whose(row)}]"


def whose(row: PairRow) -> str:
    """Whose word a row is: the source in one line, a person's own with what they wrote of it, or the basis."""
    if row.basis == "own":
        return f"your own: {row.source}" if row.source else "your own"
    return sources.cite(row.source) if row.basis == "published" else row.basis
