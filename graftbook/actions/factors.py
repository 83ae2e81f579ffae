"""What take can be split by: each factor, where it is read from, and how it is said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from graftbook.errors import UsageProblem
from graftbook.season import turn

Say = Callable[..., Any]


@dataclass(frozen=True)
class Factor:
    """A factor: the columns of a graft it reads (names of graftbook.book.seen.COLUMNS), and how it says them."""

    columns: tuple[str, ...]
    say: Say


@lru_cache(maxsize=512)
def common_name(taxon: str | None) -> str | None:
    """The kind in everyday words where the tables have one, else as it is kept."""
    if taxon is None:
        return None
    from graftbook.trade import taxa

    found = taxa.get(taxon)
    return found.common if found is not None and found.common else taxon


def species(taxon: str | None, host_taxon: str | None) -> str | None:
    """The kind grafted; that of the host where the wood was not recorded."""
    return common_name(taxon if taxon is not None else host_taxon)


@lru_cache(maxsize=4096)
def week(made_on: date) -> str:
    """ISO week, such as 2027-W14."""
    year, number, _ = made_on.isocalendar()
    return f"{year}-W{number:02}"


@lru_cache(maxsize=4096)
def half_month(made_on: date) -> str:
    """`2027-04-01` for the first to the fifteenth, `2027-04-16` for the rest: the half's first day."""
    return made_on.replace(day=1 if made_on.day <= 15 else 16).isoformat()


def month(made_on: date) -> str:
    """Year and month, such as 2027-04."""
    return f"{made_on.year}-{made_on.month:02}"


def stock(clone: str | None, host_taxon: str | None) -> str | None:
    """The clone of the stock, else its kind; None for a graft on a graft."""
    return clone if clone is not None else common_name(host_taxon)


def bench_or_field(bench: bool | None) -> str | None:
    """`bench`, `field`, or None when it was not said."""
    return None if bench is None else "bench" if bench else "field"


def same(value: Any) -> Any:
    """The value as it stands."""
    return value


FACTORS: dict[str, Factor] = {
    "on": Factor(("made_on",), date.isoformat),
    "species": Factor(("taxon", "host_taxon"), species),
    "cultivar": Factor(("cultivar",), same),
    "method": Factor(("method",), same),
    "week": Factor(("made_on",), week),
    "half-month": Factor(("made_on",), half_month),
    "month": Factor(("made_on",), month),
    "season": Factor(("made_on", "hemisphere"), turn.season_of),
    "stage": Factor(("stage",), same),
    "stock": Factor(("host_clone", "host_taxon"), stock),
    "wood": Factor(("bundle_code",), same),
    "tie": Factor(("tie",), same),
    "place": Factor(("place",), same),
    "bench": Factor(("bench",), bench_or_field),
    "trial": Factor(("trial",), same),
    "block": Factor(("block",), same),
}


def field_name(factor: str) -> str:
    """The factor's name in a row: `half-month` gives `half_month`."""
    return factor.replace("-", "_")


def check(by: Sequence[str]) -> tuple[str, ...]:
    """The factors as asked for, each once. Raises UsageProblem naming those there are."""
    names = tuple(dict.fromkeys(name.strip().lower().replace("_", "-") for name in by if name.strip()))
    for name in names:
        if name not in FACTORS:
            raise UsageProblem(f"a factor is one of {', '.join(FACTORS)}", repr(name))
    if sum(name in ("on", "week", "half-month", "month", "season") for name in names) > 1:
        raise UsageProblem("one of on, week, half-month, month and season at a time", ", ".join(names))
    return names
