"""What take can be split by: each factor, where it is read from, and how its values are written.

To add one is a row in FACTORS: the columns it reads (names of graftbook.book.columns, or of computed_factors.COMPUTED), the
function that writes its value, and, where it can be cut in two (`wood-age<60`), what measures it and reads a measure as typed.
There is no factor for people.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from graftbook.actions.takes import factor_text
from graftbook.errors import UsageProblem
from graftbook.season import turn

ValueOf = Callable[..., Any]


@dataclass(frozen=True)
class Measure:
    """How a factor is cut in two: `of` gives the number or day of a graft from the factor's columns (None: not recorded),
    `kind` says how a bound is typed: `day`, `days`, `signed days`, `c-days`, `scion` or `stock` (a thickness), `share` (0 to
    1), or `count`."""

    of: ValueOf
    kind: str


@dataclass(frozen=True)
class Factor:
    """A factor: the columns of a graft it reads, and the function of them that gives its value. `measure` is None for what
    cannot be cut in two; `word` is its name in a sentence."""

    columns: tuple[str, ...]
    value: ValueOf
    word: str
    measure: Measure | None = None


_SCION = ("scion_mm", "wood_min_mm", "wood_max_mm")

_STOCK = ("stock_mm", "host_mm", "host_min_mm", "host_max_mm")

FACTORS: dict[str, Factor] = {
    "on": Factor(("made_on",), date.isoformat, "date", Measure(date.isoformat, "day")),
    "species": Factor(("taxon", "host_taxon"), factor_text.species, "kind"),
    "cultivar": Factor(("called",), factor_text.as_recorded, "cultivar"),
    "method": Factor(("method",), factor_text.as_recorded, "method"),
    "week": Factor(("made_on",), factor_text.week, "date"),
    "half-month": Factor(("made_on",), factor_text.half_month, "date"),
    "month": Factor(("made_on",), factor_text.month, "date"),
    "season": Factor(("made_on", "hemisphere"), turn.season_of, "date"),
    "stage": Factor(("stage",), factor_text.as_recorded, "growth stage"),
    "days-from-green-tip": Factor(
        ("green_tip_days",), factor_text.green_tip_week, "days from green tip", Measure(factor_text.as_recorded, "signed days"),
    ),
    "warmth": Factor(
        ("warmth_c_days",), factor_text.warmth_class, "warmth of the first fourteen days",
        Measure(factor_text.as_recorded, "c-days"),
    ),
    "stock": Factor(("host_clone", "host_taxon"), factor_text.stock, "stock"),
    "wood": Factor(("bundle_code",), factor_text.as_recorded, "bundle of wood"),
    "wood-age": Factor(("cut_on", "made_on"), factor_text.wood_age, "age of the wood", Measure(factor_text.days_kept, "days")),
    "donor": Factor(("donor",), factor_text.as_recorded, "donor"),
    "mother-tree": Factor(("mother",), factor_text.as_recorded, "mother tree"),
    "scion-diameter": Factor(
        (*_SCION, "units"), factor_text.scion_class, "thickness of the scion",
        Measure(lambda mm, low, high, _units: factor_text.thickness(mm, low, high), "scion"),
    ),
    "stock-diameter": Factor(
        (*_STOCK, "units"), factor_text.stock_class, "thickness of the stock",
        Measure(lambda mm, whole, low, high, _units: factor_text.stock_thickness(mm, whole, low, high), "stock"),
    ),
    "mismatch": Factor((*_SCION, *_STOCK), factor_text.mismatch, "difference in thickness"),
    "joint-share": Factor(
        ("joint_share",), factor_text.share_class, "share the joint can meet", Measure(factor_text.as_recorded, "share"),
    ),
    "buds": Factor(("buds",), factor_text.number, "buds a scion", Measure(factor_text.as_recorded, "count")),
    "tie": Factor(("tie",), factor_text.as_recorded, "tie"),
    "seal": Factor(("seal",), factor_text.as_recorded, "seal"),
    "film": Factor(("tie", "seal"), factor_text.film, "film"),
    "wax": Factor(("tie", "seal"), factor_text.wax, "wax"),
    "place": Factor(("place", "host_place"), factor_text.first_recorded, "place"),
    "bench": Factor(("bench",), factor_text.bench_or_field, "bench or field"),
    "trial": Factor(("trial",), factor_text.as_recorded, "trial"),
    "block": Factor(("block",), factor_text.as_recorded, "block"),
}  # fmt: skip

DATED = ("on", "week", "half-month", "month", "season")

_TIMING = ("timing", "date", "time", "when", "day")

_PEOPLE = ("who", "person", "people", "by-whom", "grafter", "hands")


def field_name(factor: str) -> str:
    """The factor's name in a row: `half-month` gives `half_month`."""
    return factor.replace("-", "_")


def check(by: Sequence[str]) -> tuple[str, ...]:
    """The factors as asked for, each once. Raises UsageProblem naming those there are."""
    names = tuple(dict.fromkeys(name.strip().lower().replace("_", "-") for name in by if name.strip()))
    for name in names:
        if name in _PEOPLE:
            raise UsageProblem(
                f"a factor is one of {', '.join(FACTORS)}", repr(name),
                "There is no table of people: from a handful of grafts it would praise and blame luck",
            )  # fmt: skip
        if name in _TIMING:
            raise UsageProblem(
                "a date in one of the ways there are: on, week, half-month, month, season, stage, days-from-green-tip", repr(name),
                "Which timing took best, with one test of any effect: graftbook take curve --x date",
            )  # fmt: skip
        if name not in FACTORS:
            raise UsageProblem(f"a factor is one of {', '.join(FACTORS)}", repr(name))
    if sum(name in DATED for name in names) > 1:
        raise UsageProblem("one of on, week, half-month, month and season at a time", ", ".join(names))
    return names
