"""The trade's tables as they are printed, each row with its basis and, where published, its source."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from graftbook.trade import schema

FOLDER = Path(__file__).parent / "data"


def names() -> tuple[str, ...]:
    """The names of all tables, in the order they are best read."""
    return tuple(table.name for table in schema.TABLES)


def columns(name: str) -> tuple[str, ...]:
    """The columns of a table in file order. Raises KeyError for a name that is no table."""
    return schema.table(name).header()


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """Every row of a table as text, in file order; an empty cell is ''. Raises KeyError for a name that is no table."""
    header = columns(name)
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        lines = csv.reader(stream)
        next(lines)
        return tuple(MappingProxyType(dict(zip(header, cells, strict=True))) for cells in lines)
