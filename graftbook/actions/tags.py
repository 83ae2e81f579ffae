"""tags: what stands on the tag of each thing, and the sheet it is printed on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from graftbook import units
from graftbook.actions.desk import Desk
from graftbook.actions.results import Recorded, Report, code_list, count
from graftbook.book import find
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.codes import read_many, with_check
from graftbook.errors import CannotWrite, GraftbookError, NotFound, TagDoesNotFit, UsageProblem

SHORT_METHODS = {"whip-and-tongue": "W&T", "side-veneer": "veneer", "modified-cleft": "mod. cleft"}


@dataclass(frozen=True)
class MediumRow:
    """A medium to print on, by its dimensions in mm."""

    name: str
    kind: str
    title: str
    label_w_mm: float
    label_h_mm: float
    across: int
    down: int
    basis: str
    note: str
    shown: ClassVar = ("name", "title")


def media() -> Report:
    """Every medium there is."""
    from labels import media as held

    rows = tuple(
        MediumRow(m.name, m.kind, m.title, m.label_w_mm, m.label_h_mm, m.cols, m.rows, m.basis, m.note)
        for m in held.all()
    )
    notes = ("Records of one nominal sheet differ by a millimetre or so: print one page, lay it over the stock, and set "
             "--shift-right and --shift-down.",)  # fmt: skip
    return Report(MediumRow, rows, notes)


@dataclass(frozen=True)
class Sheet:
    """How to print: the medium by name, the first cell used, copies of each, a shift in mm, printer dots an inch."""

    medium: str
    start: int = 1
    copies: int = 1
    shift_right_mm: float = 0.0
    shift_down_mm: float = 0.0
    dpi: int | None = None


def tags(desk: Desk, codes: str, sheet: Sheet, output: Path, progress: Callable[[int], None] | None = None) -> Recorded:
    """Print tags for codes of any kinds, in the order given, to a PDF.

    Raises NotFound for codes the book lacks or an unknown medium, TagDoesNotFit when a tag has no room for its code and
    name, CannotWrite when the file cannot be written.
    """
    with desk.book.read() as session:
        rows = find.many(session, read_many(codes))
        words = _Words(session, rows)
        wanted = [words.tag(row) for row in rows]
    pressed = _press(wanted, sheet, desk.settings.name, progress)
    _write(output, pressed.pdf)
    shown = code_list(tuple(row.code for row in rows))
    line = (
        f"Printed {count(len(wanted) * sheet.copies, 'tag')} ({shown}) on {count(pressed.pages, 'page')} to {output}."
    )
    notes = [*pressed.warnings, "Print at 100 %, not fitted to the page."]
    if pressed.left_out:
        notes.insert(0, f"No room for some lines, which stand in the book: {_left_out(pressed.left_out)}.")
    return Recorded(line, None, tuple(row.code for row in rows), tuple(notes))


def _left_out(left: Sequence[Any]) -> str:
    words = [f"{item.head} {item.line!r}" for item in left[:5]]
    return ", ".join(words) + (f" and {len(left) - 5} more" if len(left) > 5 else "")


def _press(wanted: Sequence[Any], sheet: Sheet, title: str, progress: Callable[[int], None] | None) -> Any:
    from labels import errors, media, press

    try:
        return press.press(
            wanted, media.get(sheet.medium), start=sheet.start, copies=sheet.copies,
            offset_mm=(sheet.shift_right_mm, sheet.shift_down_mm), title=title, dpi=sheet.dpi,
            progress=None if progress is None else lambda done, of: progress(1),
        )  # fmt: skip
    except errors.LabelError as error:
        raise _ours(error)(error.expected, error.found, error.next_step) from error


def _ours(error: Exception) -> type[GraftbookError]:
    from labels import errors

    if isinstance(error, errors.DoesNotFit | errors.MissingGlyph):
        return TagDoesNotFit
    return NotFound if isinstance(error, errors.UnknownMedium) else UsageProblem


def _write(output: Path, pdf: bytes) -> None:
    """The whole file or none of it: written beside its place, then moved there."""
    part = output.with_name(output.name + ".part")
    try:
        part.write_bytes(pdf)
        part.replace(output)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise CannotWrite(f"a file that can be written at {output}", str(error)) from error


class _Words:
    """What stands on the tags of some rows, most important first: code, name, what it is on, method and day, place."""

    def __init__(self, session: Any, rows: Sequence[Any]) -> None:
        grafts = [row for row in rows if isinstance(row, Graft)]
        bundles = [row for row in rows if isinstance(row, Bundle)]
        self._woods = find.by_id(session, Bundle, [graft.bundle_id for graft in grafts])
        plants = [graft.host_plant_id for graft in grafts] + [bundle.cut_plant_id for bundle in bundles]
        self._plants = find.by_id(session, Plant, plants)
        hosts = [graft.host_graft_id for graft in grafts] + [bundle.cut_graft_id for bundle in bundles]
        self._grafts = find.by_id(session, Graft, hosts)

    def tag(self, row: Any) -> Any:
        from labels.layout import Line, Tag

        code = with_check(row.code)
        lines = (
            self._graft(row) if isinstance(row, Graft) else self._wood(row) if isinstance(row, Bundle) else _plant(row)
        )
        first, *rest = [forms for forms in lines if any(forms)] or [("",)]
        return Tag(code, code, (first, *(Line(tuple(form for form in forms if form), optional=True) for forms in rest)))

    def _graft(self, graft: Graft) -> list[tuple[str, ...]]:
        wood = self._woods.get(graft.bundle_id)
        host = self._plants.get(graft.host_plant_id)
        stock = (host.clone or host.cultivar or host.taxon or host.code) if host is not None else None
        if stock is None:
            stock = self._grafts[graft.host_graft_id].code
        short = SHORT_METHODS.get(graft.method, graft.method)
        return [
            ((wood.cultivar or wood.taxon or "") if wood is not None else "",),
            (f"on {stock}",),
            (
                f"{graft.method} {graft.made_on.isoformat()}",
                f"{short} {graft.made_on.isoformat()}",
                graft.made_on.isoformat(),
            ),
            (_place(graft.place, host.row if host is not None else None, host.order if host is not None else None),),
        ]

    def _wood(self, bundle: Bundle) -> list[tuple[str, ...]]:
        source = self._plants.get(bundle.cut_plant_id) or self._grafts.get(bundle.cut_graft_id)
        cut = f"cut {bundle.cut_on.isoformat()}" if bundle.cut_on is not None else ""
        origin = f"from {source.code}" if source is not None else f"from {bundle.donor}" if bundle.donor else ""
        size = units.show_range(bundle.diameter_min_mm, bundle.diameter_max_mm)
        return [
            (bundle.cultivar or bundle.taxon or "",),
            (f"{cut} {origin}".strip(), cut),
            (size,),
            (bundle.store or "",),
        ]


def _plant(plant: Plant) -> list[tuple[str, ...]]:
    name = plant.cultivar or plant.clone or plant.taxon or plant.kind
    second = f"on {plant.clone}" if plant.cultivar and plant.clone else plant.taxon if name != plant.taxon else None
    return [(name,), (second or "",), (_place(plant.place or plant.site, plant.row, plant.order),)]


def _place(place: str | None, row: str | None, order: int | None) -> str:
    parts = [place or "", f"row {row}" if row else "", f"no. {order}" if order is not None else ""]
    return ", ".join(part for part in parts if part)
