"""A report of sentences as running text under headings."""

from __future__ import annotations

from graftbook.actions.desk.results import Report
from graftbook.output.table import wrapped


def prose_text(report: Report, width: int = 80) -> str:
    """The title, then each section's heading and sentences, folded to the width; notes last.

    The rows of the report have a `section` and a `sentence`.
    """
    lines, section = [wrapped(report.title, width).rstrip("\n")] if report.title else [], None
    for row in report.rows:
        if row.section != section:
            section = row.section
            lines += ["", section]
        lines.append(wrapped(row.sentence, width).rstrip("\n"))
    lines += [wrapped(note, width).rstrip("\n") for note in (*report.notes, *report.cautions)]
    return "\n".join(lines) + "\n"
