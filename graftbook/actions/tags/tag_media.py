"""Media to print tags on, those that come with the program and the grower's own, and what each printer does to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import write_file
from graftbook.actions.desk.results import Recorded, Report, count, filled
from graftbook.actions.desk.tag_site import ours
from graftbook.actions.trade import own_tables, printers
from graftbook.book import tag_queries
from graftbook.book.ledger import OwnRow
from graftbook.errors import NotFound, Refused

TRUE_SHARE = 0.005

RULE_MM = 100.0


@dataclass(frozen=True)
class MediumRow:
    """A medium to print on, by its dimensions in mm. `life_years` is how long its mark lasts out of doors."""

    name: str
    kind: str
    title: str
    label_w_mm: float
    label_h_mm: float
    across: int
    down: int
    life_years: float | None
    basis: str
    note: str
    shown: ClassVar = ("name", "title", "life_years")
    headings: ClassVar = {"life_years": "lasts, years"}


@dataclass(frozen=True)
class PrinterRow:
    """One printer's setting for one medium."""

    printer: str
    medium: str
    shift_right_mm: float
    shift_down_mm: float
    scale_across: float
    scale_down: float
    dpi: int | None


def medium_named(session: Session | None, name: str) -> Any:
    """A medium of the grower's own or of those there are. Raises NotFound with the nearest names."""
    from labels import media

    rows = tag_queries.own_rows(session, "media") if session is not None else ()
    held = {row.fields["name"]: row.fields for row in rows}.get(name.strip().lower())
    return ours(lambda: media.from_fields(held) if held is not None else media.get(name))


def list_media(desk: Desk | None) -> Report:
    """Every medium, the grower's own first; without a book those that come with the program."""
    from labels import media

    own: list[Any] = []
    if desk is not None:
        with desk.book.read() as session:
            own = [media.from_fields(row.fields) for row in tag_queries.own_rows(session, "media")]
    rows = tuple(filled(MediumRow, each, across=each.cols, down=each.rows) for each in (*own, *media.all()))
    notes = (
        "Records of one nominal sheet differ by a millimetre or so: print tags calibrate, lay it over the stock, and keep "
        "the shift with tags printer.",
    )
    return Report(MediumRow, rows, notes)


def add_medium(desk: Desk, given: Mapping[str, str], who: str | None = None) -> Recorded:
    """Keep a medium of the grower's own. Raises UsageProblem with everything wrong with it, Refused for a name taken."""
    from labels import media

    row = dict(own_tables.parse("media", given))
    with desk.book.write("tags media", desk.person(who)) as unit:
        names = {m.name for m in media.all()} | {r.fields["name"] for r in tag_queries.own_rows(unit.session, "media")}
        if row["name"] in names:
            raise Refused(f"a medium is called {row['name']} already", "", "Choose another name")
        unit.add(OwnRow, trade_table="media", fields=row)
        entry = unit.commit(f"Added the medium {row['name']}: {row['label_w_mm']} x {row['label_h_mm']} mm")
    return Recorded(f"{entry.summary}.", entry.id)


def set_printer(
    desk: Desk, name: str, medium: str, right: float | None, down: float | None, measured: str | None, dpi: int | None,
    who: str | None = None,
) -> Recorded:  # fmt: skip
    """Keep what a printer does to a medium; what is not said stays as it was. `measured` is the printed length of the 100
    mm line. Raises NotFound for an unknown medium, Refused when the print is so far off that the print dialogue is to
    blame."""
    with desk.book.write("tags printer", desk.person(who)) as unit:
        wanted = medium_named(unit.session, medium).name
        held = {(r.fields["printer"], r.fields["medium"]): r for r in tag_queries.own_rows(unit.session, "printers")}
        row = held.get((name.strip(), wanted))
        before = printers.of_row(row.fields) if row is not None else printers.Printer(name.strip(), wanted)
        scale = _scale(measured)
        after = stated(before, shift_right_mm=right, shift_down_mm=down, scale_across=scale, scale_down=scale, dpi=dpi)
        fields = printers.to_row(after)
        if row is None:
            unit.add(OwnRow, trade_table="printers", fields=fields)
        else:
            unit.amend(row, fields=fields)
        setting = (
            f"{after.shift_right_mm:+g} mm right, {after.shift_down_mm:+g} mm down, scale {after.scale_across:.4g}"
        )
        entry = unit.commit(f"Set {after.printer} on {after.medium}: {setting}")
    return Recorded(f"{entry.summary}.", entry.id)


def stated(setting: printers.Printer, **values: float | None) -> printers.Printer:
    """A setting with what was stated; what is None stays as it was."""
    given: dict[str, Any] = {name: value for name, value in values.items() if value is not None}
    return replace(setting, **given)


def _scale(measured: str | None) -> float | None:
    if measured is None:
        return None
    length = units.read_length(measured, units.Limit("the printed line", 80, 120))
    if abs(length - RULE_MM) > RULE_MM * TRUE_SHARE:
        raise Refused(
            f"the 100 mm line came out {units.show_length(length)} long, more than {RULE_MM * TRUE_SHARE:g} mm off",
            next_step="The print dialogue scales the page: choose 100 % or actual size there, print again, and measure again",
        )
    return round(RULE_MM / length, 5)


def list_printers(desk: Desk) -> Report:
    """Every printer's settings."""
    with desk.book.read() as session:
        held = [printers.of_row(row.fields) for row in tag_queries.own_rows(session, "printers")]
    return Report(PrinterRow, tuple(filled(PrinterRow, each) for each in held), (), {"as_of": desk.today})


def printer_for(session: Session, name: str | None, medium: str) -> printers.Printer:
    """A printer's setting for a medium, or none at all when no printer is named. Raises NotFound."""
    if name is None:
        return printers.Printer("", medium)
    held = [printers.of_row(row.fields) for row in tag_queries.own_rows(session, "printers")]
    for setting in held:
        if (setting.printer, setting.medium) == (name.strip(), medium):
            return setting
    if any(setting.printer == name.strip() for setting in held):
        return printers.Printer(name.strip(), medium)
    how = "Set one: graftbook tags printer NAME --medium M --shift-right 0.5"
    raise NotFound(f"no printer {name.strip()}", next_step=how)


def calibrate(desk: Desk, medium: str, printer: str | None, output: Path) -> Recorded:
    """A page with rules, label corners and a ladder of code sizes, to lay over the stock and measure."""
    from labels import calibrate as page

    with desk.book.read() as session:
        wanted = medium_named(session, medium)
        setting = printer_for(session, printer, wanted.name)
    made = ours(lambda: page.page(wanted, offset_mm=(setting.shift_right_mm, setting.shift_down_mm),
                                  scale=(setting.scale_across, setting.scale_down), dpi=setting.dpi))  # fmt: skip
    write_file(output, made.pdf)
    notes = (*made.warnings, "Print it at 100 %, measure the 100 mm line, lay it over the stock, then: graftbook tags "
             f"printer NAME --medium {wanted.name} --measured 99.8mm --shift-right 0.5 --shift-down -0.3.")  # fmt: skip
    return Recorded(f"Wrote {count(made.pages, 'calibration page')} for {wanted.name} to {output}.", None, (), notes)
