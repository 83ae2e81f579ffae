"""The chance that a graft lives: the grower's own counts, as fine as they carry, drawn toward the rest of the kind.

Counts are split by kind and method, then by the buds on the scion, by how scion and stock match in thickness, and by the half
of the month. The finest split is taken in which the graft's own row has CARRIES grafts decided or more; there the rows of a
kind are drawn toward one another by partial pooling, which is the very estimate that `take --by species,method,… --shrink`
prints. Where too few rows stand for that, the count is drawn toward the next coarser one, and in the end toward what is
printed, as by so many grafts more. What the split leaves out costs a working value, which the words say.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import count
from graftbook.actions.takes import factor_text, judging
from graftbook.actions.takes.question import TakeQuestion
from graftbook.book import find
from graftbook.stats.shrink import shrink
from graftbook.trade import takes, taxa
from graftbook.trade.methods import Method
from graftbook.trade.takes import TakeRow

# What stands behind a small count weighs as much as so many own grafts (a choice of ours): one of one is not read as certain.
PRINTED_WEIGHS = 2.0

# So many grafts decided are asked of a row before the chance of a graft is split that fine (a choice of ours).
CARRIES = 10

# A scion with a bud less than the method's usual number has one less to grow if another dries (a working value from memory).
A_BUD_LESS = 0.03

# What a scion of another thickness costs, by methods whose faces want to be alike (working values from memory).
MISFIT = {
    "scion thinner by 10-25%": 0.05, "scion thinner by 25-50%": 0.15, "scion thinner by over 50%": 0.25,
    "scion thicker by over 10%": 0.10,
}  # fmt: skip
# A method wants them alike when the least ratio that suits it is so much.
WANTS_ALIKE = 0.9

# The splits beyond kind and method, finest first.
SPLITS = (("buds", "match", "time"), ("buds", "match"), ("buds", "time"), ("buds",), ("match",), ())


@dataclass(frozen=True)
class Chance:
    """A chance from 0 to 1: `basis` is `own`, `published` or `working value`, `words` a clause that says from what; `k` of
    `n` grafts where it is the grower's own, else None."""

    value: float
    basis: str
    words: str
    k: int | None = None
    n: int | None = None

    @property
    def columns(self) -> dict[str, Any]:
        """Whose chance it is, as the lines of a plan hold it."""
        return {"basis": self.basis, "basis_words": self.words[:200], "k": self.k, "n": self.n}


@dataclass(frozen=True)
class OwnSplit:
    """What a count is split by: kind, method, buds on the scion, match of the thicknesses (a class of `factor_text.mismatch`)
    and half of the month (`03-01`, `03-16`); None is not known. `unit` is `graft` or `bud`."""

    species: str | None
    method: str
    buds: int | None = None
    match: str | None = None
    time: str | None = None
    unit: str = "graft"

    def by(self, split: tuple[str, ...]) -> OwnSplit:
        """The row of a coarser split."""
        buds = self.buds if "buds" in split else None
        match, time = self.match if "match" in split else None, self.time if "time" in split else None
        return replace(self, buds=buds, match=match, time=time)

    @property
    def words(self) -> str:
        """`apple by whip-and-tongue, 2 buds, alike within 10%`."""
        parts = [f"{self.species} by {self.method}"]
        parts += [count(self.buds, "bud")] if self.buds is not None else []
        parts += [self.match] if self.match is not None else []
        parts += [f"from {self.time}"] if self.time is not None else []
        return ", ".join(parts)


def half_of_month(day: date) -> str:
    """The first day of the half of the month, without the year: `03-16`."""
    return factor_text.half_month(day)[5:]


class Chances:
    """The chances of kinds by methods, each computed once."""

    def __init__(
        self, own: Mapping[OwnSplit, tuple[int, int]], rows: tuple[TakeRow, ...], day: date | None = None
    ) -> None:
        """`own` holds k of n of the finest rows; `day` is the day of grafting (None: not known)."""
        self._rows, self._time = rows, None if day is None else half_of_month(day)
        self._counts: dict[tuple[str, ...], dict[OwnSplit, tuple[int, int]]] = {}
        for split in SPLITS:
            held: dict[OwnSplit, tuple[int, int]] = {}
            for row, (k, n) in own.items():
                had = held.get(row.by(split), (0, 0))
                held[row.by(split)] = had[0] + k, had[1] + n
            self._counts[split] = held
        self._found: dict[tuple[str, str, int | None, str | None], Chance] = {}
        self._pooled: dict[tuple[tuple[str, ...], str | None, str], dict[OwnSplit, float]] = {}

    @classmethod
    def of_book(cls, desk: Desk, session: Session, as_of: date, day: date) -> Chances:
        """With the counts this book has by a day, for grafts made on `day`, and the grower's own rows of printed rates."""
        asked = TakeQuestion("took", as_of, desk.settings.hemisphere)
        judged = judging.judge(session, asked, ("species", "method", "buds", "mismatch", "half-month"))
        k: Counter[OwnSplit] = Counter()
        n: Counter[OwnSplit] = Counter()
        for (species, method, buds, match, half, unit), fates in judged.cells.items():
            row = OwnSplit(species, method, None if buds is None else int(buds), match, half[5:], unit)
            for fate, number in fates.items():
                k[row] += number * (fate.outcome == "yes")
                n[row] += number * (fate.outcome in ("yes", "failed"))
        rows = tuple(takes.from_row(row) for row in find.own_rows(session, "takes"))
        return cls({row: (k[row], number) for row, number in n.items()}, rows, day)

    def of(self, taxon: str, method: Method, buds: int | None = None, match: str | None = None) -> Chance:
        """The chance of a kind by a method, with so many buds on the scion and so well matched; None where not known."""
        key = taxon, method.method, buds, match
        if key not in self._found:
            self._found[key] = self._compute(taxon, method, buds, match)
        return self._found[key]

    def _compute(self, taxon: str, method: Method, buds: int | None, match: str | None) -> Chance:
        printed = _printed(taxon, method, self._rows)
        unit = "bud" if method.is_bud else "graft"
        row = OwnSplit(taxa.common_name(taxon) or taxon, method.method, buds, match, self._time, unit)
        split = next((split for split in SPLITS if self._carries(row, split)), None)
        found = printed
        if split is not None:
            k, n = self._counts[split][row.by(split)]
            value, pooled = self._own(row, split, printed.value)
            toward = ", drawn toward the other rows of its kind" if pooled else ""
            found = Chance(value, "own", f"own count: {k} of {n} ({row.by(split).words}){toward}", k, n)
        return _less(
            found, method, None if split and "buds" in split else buds, None if split and "match" in split else match
        )

    def _carries(self, row: OwnSplit, split: tuple[str, ...]) -> bool:
        """Whether the row has as many grafts decided as its split asks for, all that splits it being known."""
        if any(getattr(row, name) is None for name in split):
            return False
        n = self._counts[split].get(row.by(split), (0, 0))[1]
        return n >= (CARRIES if split else 1)

    def _own(self, row: OwnSplit, split: tuple[str, ...], printed: float) -> tuple[float, bool]:
        """The chance of a row, and whether it was pooled with the rows of its kind."""
        k, n = self._counts[split].get(row.by(split), (0, 0))
        pooled = self._pool(split, row).get(row.by(split)) if n >= CARRIES else None
        if pooled is not None:
            return pooled, True
        coarser = [other for other in SPLITS if set(other) < set(split)]
        beside = self._own(row, coarser[0], printed)[0] if coarser else printed
        return (k + PRINTED_WEIGHS * beside) / (n + PRINTED_WEIGHS), False

    def _pool(self, split: tuple[str, ...], of: OwnSplit) -> dict[OwnSplit, float]:
        """The estimates of all rows of a row's kind by partial pooling; empty where they are too few."""
        key = split, of.species, of.unit
        if key not in self._pooled:
            held = self._counts[split].items()
            cells = {row: counts for row, counts in held if (row.species, row.unit) == key[1:]}
            found = shrink(list(cells.values()))
            self._pooled[key] = {row: one.rate for row, one in zip(cells, found or (), strict=False)}
        return self._pooled[key]


def _less(found: Chance, method: Method, buds: int | None, match: str | None) -> Chance:
    """The chance less what fewer buds than usual and another thickness cost, where no count says it."""
    usual = method.buds_default
    short = 0 if buds is None or usual is None else max(0, usual - buds)
    misfit = MISFIT.get(match or "", 0.0) if (method.ratio_ok[0] or 0.0) >= WANTS_ALIKE else 0.0
    words = [f"{A_BUD_LESS * short:.0%} less for {count(short, 'bud')} fewer"] if short else []
    words += [f"{misfit:.0%} less for a {match}"] if misfit else []
    if not words:
        return found
    value = found.value * (1 - A_BUD_LESS * short) * (1 - misfit)
    return replace(found, value=value, words=f"{found.words}; {', '.join(words)}, a working value")


def _printed(taxon: str, method: Method, rows: tuple[TakeRow, ...]) -> Chance:
    """What is printed on a kind by a method, or a working value where nothing is."""
    printed = takes.of(method.method, taxon, rows)
    percent = (
        f"{printed.low * 100:.0f}-{printed.high * 100:.0f} %" if printed.low < printed.high else f"{printed.low:.0%}"
    )
    if printed.nearness == "default":
        return Chance(printed.middle, "working value", f"working value {percent}: nothing is printed or counted")
    species = taxa.common_name(taxon) or taxon
    of = {"kind": species, "genus": f"the genus of {species}", "method": "other kinds"}[printed.nearness]
    return Chance(printed.middle, "published", f"printed range {percent} on {of}")
