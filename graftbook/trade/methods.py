"""The ways of joining scion and stock, with the sizes, season and state each of them wants.

Two tables stand behind this. `methods` holds one envelope a method, drawn here round the better sources, for a grower
to start from and edit. `method_limits` holds what each source printed, one row a source, so that their disagreements
stay in sight: limits warn, they do not forbid.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import Span, indexed, look_up, nearest, plain, span, typed

USUAL_JUDGE_DAYS = 60
"""Days after which a take may be judged, for a method the table has not got: that of most methods in it."""


@dataclass(frozen=True)
class Method:
    """A method and the envelope it is used in.

    Diameters are in mm, ratios are scion over stock diameter; None at either end means no limit is known. `ok` asks for
    no remark, `tried` is the widest that is still tried. `slip`: `no` the bark need not slip, `tight` it should not,
    `yes` the stock's must, `both` the scion's too. Stages are those of the stock. `cut_times` is the length of the cut
    in scion diameters. A take may be judged from `judge_days` after grafting, or after forcing for a bud that slept;
    a bud can be called set from `set_days` (None for grafts). `buds` are those left on the scion, None where the piece
    put on is not counted in buds.
    """

    method: str
    names: tuple[str, ...]
    unit: str
    family_of_joint: str
    stock_ok: Span
    stock_tried: Span
    scion_ok: Span
    ratio_ok: Span
    ratio_tried: Span
    slip: str
    scion_state: str
    stage_from: str
    stage_to: str
    buds_min: int | None
    buds_default: int | None
    cut_length: str
    cut_times: float | None
    judge_days: int
    set_days: int | None
    basis: str
    source: str
    note: str

    @property
    def is_bud(self) -> bool:
        """Whether a single bud is put on rather than a length of wood."""
        return self.unit == "bud"

    @property
    def needs_slip(self) -> bool:
        """Whether the stock's bark must slip."""
        return self.slip in ("yes", "both")


@dataclass(frozen=True)
class MethodLimit:
    """What one source says of a method: sizes in mm where it prints them (None where not), the rest in words."""

    method: str
    kind: str
    crop: str
    stock: Span
    scion: Span
    relation: str
    cut_length: str
    buds: str
    season: str
    slip: str
    scion_state: str
    stock_state: str
    first_growth: str
    unwrap: str
    basis: str
    source: str
    note: str


def from_row(row: Mapping[str, str]) -> Method:
    """A method from a checked row of the table, one of the trade's or a person's own."""
    spans = {name: span(row, name) for name in ("stock_ok", "scion_ok", "ratio_ok")}
    return typed(Method, row, stock_tried=span(row, "stock_try"), ratio_tried=span(row, "ratio_try"), **spans)


@lru_cache(maxsize=1)
def _by_key() -> Mapping[str, Method]:
    return {row["method"]: from_row(row) for row in tables.rows("methods")}


@lru_cache(maxsize=1)
def _index() -> Mapping[str, str]:
    return indexed((name, method.method) for method in all() for name in (method.method, *method.names))


def all() -> tuple[Method, ...]:
    """Every method, in file order: grafts first, then buds, then repairs and seedling work."""
    return tuple(_by_key().values())


def find(text: str) -> Method | None:
    """The method known by this name; `graft`, `grafting` and `budding` at the end may be left out or added."""
    name = plain(text)
    trimmed = name.removesuffix(" grafting").removesuffix(" graft").removesuffix(" budding").removesuffix(" bud")
    for wanted in (name, trimmed, f"{trimmed} graft", f"{trimmed} bud"):
        found = look_up(wanted, _index())
        if found is not None:
            return _by_key()[found]
    return None


def suggest(text: str) -> tuple[str, ...]:
    """Up to three methods whose names are spelled most like this."""
    return nearest(text, _index())


def limits(method: str) -> tuple[MethodLimit, ...]:
    """What each source says of a method, named by its key; empty for a method no source was read on."""
    return tuple(limit for limit in _limits() if limit.method == method)


@lru_cache(maxsize=1)
def _limits() -> tuple[MethodLimit, ...]:
    rows = tables.rows("method_limits")
    return tuple(typed(MethodLimit, row, stock=span(row, "stock"), scion=span(row, "scion")) for row in rows)
