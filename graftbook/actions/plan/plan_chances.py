"""The chance that a graft lives: the grower's own count for kind and method, drawn toward what is printed while it is small."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.takes import judging
from graftbook.actions.takes.question import TakeQuestion
from graftbook.book import find
from graftbook.trade import takes, taxa
from graftbook.trade.methods import Method
from graftbook.trade.takes import TakeRow

# What is printed weighs as much as so many own grafts (a choice of ours): one of one is not read as certain.
PRINTED_WEIGHS = 2.0

# A scion with a bud less than the method's usual number has one less to grow if another dries (a working value from memory).
A_BUD_LESS = 0.03


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


class Chances:
    """The chances of kinds by methods, each computed once."""

    def __init__(self, own: Mapping[tuple[str, str], tuple[int, int]], rows: tuple[TakeRow, ...]) -> None:
        self._own, self._rows = own, rows
        self._found: dict[tuple[str, str], Chance] = {}

    @classmethod
    def of_book(cls, desk: Desk, session: Session, as_of: date) -> Chances:
        """With the counts this book has by a day, and the grower's own rows of printed rates."""
        asked = TakeQuestion("took", as_of, desk.settings.hemisphere)
        judged = judging.judge(session, asked, ("species", "method"))
        own: dict[tuple[str, str], tuple[int, int]] = {}
        for (species, method, _unit), fates in judged.cells.items():
            k, n = own.get((species, method), (0, 0))
            for fate, number in fates.items():
                k, n = k + number * (fate.outcome == "yes"), n + number * (fate.outcome in ("yes", "failed"))
            own[species, method] = k, n
        rows = tuple(takes.from_row(row) for row in find.own_rows(session, "takes"))
        return cls({key: counts for key, counts in own.items() if counts[1]}, rows)

    def of(self, taxon: str, method: Method, buds: int | None = None) -> Chance:
        """The chance of a kind by a method; fewer buds on the scion than usual cost a little."""
        key = taxon, method.method
        if key not in self._found:
            self._found[key] = self._compute(taxon, method)
        found = self._found[key]
        short = 0 if buds is None or method.buds_default is None else max(0, method.buds_default - buds)
        return replace(found, value=found.value * (1 - A_BUD_LESS * short)) if short else found

    def _compute(self, taxon: str, method: Method) -> Chance:
        printed = takes.of(method.method, taxon, self._rows)
        species = taxa.common_name(taxon) or taxon
        k, n = self._own.get((species, method.method), (0, 0))
        if n:
            value = (k + PRINTED_WEIGHS * printed.middle) / (n + PRINTED_WEIGHS)
            return Chance(value, "own", f"own count: {k} of {n} ({species} by {method.method})", k, n)
        percent = (
            f"{printed.low * 100:.0f}-{printed.high * 100:.0f} %"
            if printed.low < printed.high
            else f"{printed.low:.0%}"
        )
        if printed.nearness == "default":
            return Chance(printed.middle, "working value", f"working value {percent}: nothing is printed or counted")
        of = {"kind": species, "genus": f"the genus of {species}", "method": "other kinds"}[printed.nearness]
        return Chance(printed.middle, "published", f"printed range {percent} on {of}")
