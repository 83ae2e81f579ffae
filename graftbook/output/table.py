"""A report as text for people, a table or running text: headings in plain words, units with every number, 80 columns wide
at least.

A row class may name the columns people see in `shown`, headings that differ from the field's name in `headings`, and have a
property `aside`, true of rows that are read with the usual notes only.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import Any

from graftbook import units
from graftbook.actions.desk.results import Report, Usual
from graftbook.visible import visible


@dataclass(frozen=True)
class View:
    """How people want an answer shown: lengths in `mm` or `in`, temperatures in `C` or `F`, so many characters across, and
    whether the usual notes are printed or only counted."""

    units: str = "mm"
    temperature: str = "C"
    width: int = 80
    notes: bool = False


_RIGHT = ("_mm", "_c", "_days", "_percent", "rate", "low", "high", "sticks", "buds")


def table_text(report: Report, view: View) -> str:
    """The report as text no wider than the view: title, one table a group, notes and cautions, last what else there is."""
    parts = [wrapped(report.title, view.width)] if report.title else []
    if report.rows:
        parts += [_one_table(report, group, rows, view) for group, rows in _groups(report, view.notes)]
    else:
        parts.append(wrapped(report.empty, view.width))
    parts += [wrapped(note, view.width) for note in told(report, view.notes)]
    return "\n".join(part.rstrip("\n") for part in parts) + "\n"


def told(report: Report, notes: bool, folded: int = 0) -> list[str]:
    """The notes and cautions that people read, then one line on what is left out: rows past the most shown at first and,
    unless `notes` are asked for, usual notes and rows that stand aside; `folded` usual sentences stand elsewhere in the report."""
    every = (*report.notes, *report.cautions)
    said = [note for note in every if notes or not isinstance(note, Usual)]
    left_out = []
    if report.most is not None and len(report.rows) > report.most:
        left_out.append(f"{len(report.rows) - report.most} more of {len(report.rows):,} lines: --all.")
    aside, unsaid = len(report.rows) - len(_kept(report, notes)), len(every) - len(said) + folded
    usual = [f"{aside} more of {len(report.rows):,} lines"] if aside else []
    usual += [f"{unsaid} usual note{'' if unsaid == 1 else 's'}"] if unsaid else []
    if usual:
        left_out.append(f"{' and '.join(usual)}: --notes.")
    return [*said, *([" ".join(left_out)] if left_out else [])]


def prose_text(report: Report, width: int = 80, notes: bool = False) -> str:
    """The title, then each section's heading and sentences, folded to the width; notes last.

    The rows of the report have a `section` and a `sentence`; usual ones, and sections of nothing else, are left out unless
    `notes` are asked for.
    """
    lines, section = [wrapped(report.title, width).rstrip("\n")] if report.title else [], None
    rows = [row for row in report.rows if notes or not isinstance(row.sentence, Usual)]
    for row in rows:
        if row.section != section:
            section = row.section
            lines += ["", visible(section)]
        lines.append(wrapped(row.sentence, width).rstrip("\n"))
    lines += [wrapped(note, width).rstrip("\n") for note in told(report, notes, len(report.rows) - len(rows))]
    return "\n".join(lines) + "\n"


def _kept(report: Report, notes: bool) -> list[Any]:
    """The rows people read: all where the notes are asked for, else those that do not stand aside, if there are any."""
    kept = [row for row in report.rows if notes or not getattr(row, "aside", False)]
    return kept or list(report.rows)


def _groups(report: Report, notes: bool) -> Iterable[tuple[str | None, list[Any]]]:
    rows = _kept(report, notes)[: report.most]
    if report.group is None:
        return [(None, list(rows))]
    blocks: dict[str, list[Any]] = {}
    for row in rows:
        blocks.setdefault(str(getattr(row, report.group) or "place not recorded"), []).append(row)
    return blocks.items()


def _one_table(report: Report, group: str | None, rows: list[Any], view: View) -> str:
    shown = getattr(report.row_type, "shown", tuple(field.name for field in fields(report.row_type)))
    shown = tuple(name for name in shown if name != report.group)
    heads = [heading(report.row_type, name) for name in shown]
    cells = [[cell(name, getattr(row, name), view) for name in shown] for row in rows]
    right = [_number_column(rows, name) for name in shown]
    text = _set(heads, cells, right, view.width)
    return text if group is None else f"{visible(group)}\n{text}"


def _set(heads: list[str], cells: list[list[str]], right: list[bool], width: int) -> str:
    """The table as text: short columns keep their width, long ones are folded to what is left."""
    from rich import box
    from rich.console import Console
    from rich.table import Table

    wide = [max(_longest(head), *(len(row[at]) for row in cells)) for at, head in enumerate(heads)]
    gap = 2 if sum(wide) + 2 * (len(wide) - 1) <= width else 1
    widths = _squeezed(wide, width - gap * (len(wide) - 1))
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, gap - 1, 0, 0), show_edge=False)
    for head, across, to_right in zip(heads, widths, right, strict=True):
        table.add_column(head, justify="right" if to_right else "left", overflow="fold", width=across)
    for row in cells:
        table.add_row(*row)
    out = io.StringIO()
    console = Console(file=out, width=width + gap, color_system=None, highlight=False, markup=False, emoji=False)
    console.print(table)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


def _squeezed(wide: list[int], room: int) -> list[int]:
    """Widths that fit the room: the widest columns give way first, none below six characters."""
    widths = list(wide)
    while sum(widths) > room and max(widths) > 6:
        widths[widths.index(max(widths))] -= 1
    return widths


def _longest(head: str) -> int:
    return max((len(word) for word in head.split()), default=0)


def _number_column(rows: list[Any], name: str) -> bool:
    values = [getattr(row, name) for row in rows if getattr(row, name) is not None]
    return name.endswith(_RIGHT) or (bool(values) and all(isinstance(value, int | float) for value in values))


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
        return visible("; ".join(map(str, value)))
    return f"{value:.10g}" if isinstance(value, float) else visible(str(value))


def wrapped(note: str, width: int) -> str:
    """A sentence folded to a width, the lines after the first set in; words and codes are never broken."""
    import textwrap

    return textwrap.fill(visible(note), width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
