"""A report as a table for people: headings in plain words, units with every number, 80 columns wide at least.

A row class may name the columns people see in `shown`, and headings that differ from the field's name in `headings`.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import Any

from graftbook import units
from graftbook.actions.results import Report


@dataclass(frozen=True)
class View:
    """How people want numbers shown: lengths in `mm` or `in`, temperatures in `C` or `F`, so many characters across."""

    units: str = "mm"
    temperature: str = "C"
    width: int = 80


_RIGHT = ("_mm", "_c", "_days", "_percent", "rate", "low", "high", "sticks", "buds")


def table_text(report: Report, view: View) -> str:
    """The report as text no wider than the view: title, one table a group, then notes and cautions."""
    parts = [report.title] if report.title else []
    if report.rows:
        parts += [_one_table(report, group, rows, view) for group, rows in _groups(report)]
    else:
        parts.append("Nothing to show.")
    parts += [_wrapped(note, view.width) for note in (*report.notes, *report.cautions)]
    return "\n".join(part.rstrip("\n") for part in parts) + "\n"


def _groups(report: Report) -> Iterable[tuple[str | None, list[Any]]]:
    if report.group is None:
        return [(None, list(report.rows))]
    blocks: dict[str, list[Any]] = {}
    for row in report.rows:
        blocks.setdefault(str(getattr(row, report.group) or "place not recorded"), []).append(row)
    return blocks.items()


def _one_table(report: Report, group: str | None, rows: list[Any], view: View) -> str:
    from rich import box
    from rich.console import Console
    from rich.table import Table

    shown = getattr(report.row_type, "shown", tuple(field.name for field in fields(report.row_type)))
    shown = tuple(name for name in shown if name != report.group)
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 2, 0, 0), title_justify="left")
    for name in shown:
        kind = _number_column(rows, name)
        table.add_column(heading(report.row_type, name), justify="right" if kind else "left", overflow="fold")
    for row in rows:
        table.add_row(*(cell(name, getattr(row, name), view) for name in shown))
    out = io.StringIO()
    console = Console(file=out, width=view.width, color_system=None, highlight=False, markup=False, emoji=False)
    if group is not None:
        console.print(group)
    console.print(table)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


def _number_column(rows: list[Any], name: str) -> bool:
    values = [getattr(row, name) for row in rows if getattr(row, name) is not None]
    return name.endswith(_RIGHT) or bool(values) and all(isinstance(value, int | float) for value in values)


def heading(row_type: type, name: str) -> str:
    """What people read above a column."""
    special = getattr(row_type, "headings", {})
    if name in special:
        return special[name]
    for suffix in ("_mm", "_c", "_percent"):
        name = name.removesuffix(suffix)
    return name.replace("_", " ")


def cell(name: str, value: Any, view: View) -> str:
    """A value for people, with its unit; None gives an empty cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M")
    if isinstance(value, date):
        return value.isoformat()
    if name.endswith("_mm"):
        return units.show_length(value, view.units)
    if name.endswith("_c"):
        return units.show_temperature(value, view.temperature)
    if name in ("rate", "low", "high"):
        return f"{value * 100:.0f} %"
    if name.endswith("_percent"):
        return f"{value} %"
    if isinstance(value, tuple):
        return "; ".join(map(str, value))
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def _wrapped(note: str, width: int) -> str:
    import textwrap

    return textwrap.fill(note, width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
