"""Which columns of each table of the trade people see: few enough to read at 80 characters across.

Programs get every column under its own name.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

Columns = tuple[tuple[str, Callable[[Any], str]], ...]


def _text(name: str) -> Callable[[Any], str]:
    return lambda row: _words(getattr(row, name))


def _words(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def _joined(*names: str, by: str = " ") -> Callable[[Any], str]:
    return lambda row: by.join(text for text in (_words(getattr(row, name)) for name in names) if text)


def _span(stem: str, unit: str = "") -> Callable[[Any], str]:
    def read(row: Any) -> str:
        low, high = getattr(row, f"{stem}_min"), getattr(row, f"{stem}_max")
        if low is None and high is None:
            return ""
        if low is None or high is None:
            return (f"up to {_words(high)}" if low is None else f"from {_words(low)}") + unit
        return (_words(low) if low == high else f"{_words(low)}-{_words(high)}") + unit

    return read


def _basis(row: Any) -> str:
    """Where a row comes from in a word: the key of its source, or its basis."""
    if row.basis == "published" and row.source is not None:
        return row.source
    return row.basis if row.source is None else f"{row.basis}: {row.source}"


def _after(row: Any) -> str:
    ends = dict.fromkeys(_words(end) for end in (row.after_from, row.after_to) if end is not None)
    return "-".join(ends)


def _scion(row: Any) -> str:
    return _words(row.scion_taxon) + (f" '{row.scion_cultivar.replace(';', ', ')}'" if row.scion_cultivar else "")


def _pair_words(row: Any) -> str:
    parts = (
        f"Interstem {row.interstem_cultivar or row.interstem_taxon}." if row.interstem_taxon else "",
        f"Where {row.condition}." if row.condition else "", row.caveat or "",
        f"Watched for {row.years} years." if row.years else "",
    )  # fmt: skip
    return " ".join(part for part in parts if part)


_WHERE = ("basis", _basis)

FOR_PEOPLE: Mapping[str, Columns] = MappingProxyType({
    "taxa": (("taxon", _text("taxon")), ("common name", _text("common")), ("crop", _text("crop")),
             ("leaf", _text("leaf")), ("fruits on the", _text("fruits_on")), ("family", _text("family"))),
    "methods": (("method", _text("method")), ("put on", _text("unit")), ("stock mm", _span("stock_ok")),
                ("scion mm", _span("scion_ok")), ("bark slips", _text("slip")),
                ("stages", _joined("stage_from", "stage_to", by=" to ")), ("judge days", _text("judge_days")), _WHERE),
    "method_limits": (("method", _joined("method", "kind", by=", ")), ("crop", _text("crop")),
                      ("stock mm", _span("stock")), ("scion mm", _span("scion")),
                      ("season", _text("season")), _WHERE),
    "pairs": (("scion", _scion), ("stock", _joined("stock_taxon", "stock_clone")),
              ("verdict", _text("verdict")), ("what is said", _pair_words), _WHERE),
    "cultivars": (("taxon", _text("taxon")), ("cultivar", _text("cultivar")), ("is a", _text("how")), ("of", _text("of")), _WHERE),
    "clones": (("clone", _text("clone")), ("taxon", _text("taxon")), ("size", _joined("size_class", "size_pct", by=", ")),
               ("what is said", _joined("hardiness", "note", by="; ")), _WHERE),
    "grades": (("stock", _text("stock")), ("calliper mm", _span("calliper_mm")), ("what is said", _text("words")),
               ("measured at", _text("measured_at")), _WHERE),
    "keeping": (("wood of", _joined("taxon", "group", by=", ")), ("wood", _text("wood")), ("days", _span("days")),
                ("at C", _span("temp_c")), ("note", _text("note")), _WHERE),
    "callus": (("taxon", _text("taxon")), ("kind", _text("kind")), ("at C", _span("temp_c")), ("days", _span("days")),
               ("what is said", _text("words")), _WHERE),
    "bark": (("taxon", _text("taxon")), ("mm at 8 mm", _text("thin_mm")), ("mm at 50 mm", _text("thick_mm")),
             ("what is said", _text("words")), _WHERE),
    "takes": (("method", _text("method")), ("taxon", _text("taxon")), ("low %", _text("pct_min")), ("high %", _text("pct_max")),
              ("of grafts", _text("grafts")), ("what is said", _text("words")), _WHERE),
    "stages": (("scale", _text("scale")), ("code", _text("code")), ("word", _text("word")),
               ("bark", _text("bark")), ("what it means", _text("means")), _WHERE),
    "aftercare": (("rule", _text("rule")), ("put on", _text("unit")), ("days after", _after),
                  ("what is said", _text("words")), _WHERE),
    "cautions": (("key", _text("key")), ("shown at", _text("when")), ("what is said", _text("words")), _WHERE),
    "sources": (("key", _text("key")), ("title", _text("title")), ("publisher", _text("publisher")),
                ("year", _text("year")), ("read as", _text("read"))),
})  # fmt: skip
