"""One tag as a picture or in a terminal, for a screen or a message instead of paper."""

from __future__ import annotations

import io
from collections.abc import Sequence
from importlib.resources import as_file, files
from typing import Any

from labels import writing
from labels.errors import BadJob, MissingLibrary
from labels.layout import Placement, SymbolBox, Tag, TextBox, lay_out
from labels.lettering import PT_MM
from labels.media import Medium
from labels.symbol import encode

_QUIET = 4


def png(tag: Tag, medium: Medium, dpi: float = 300) -> bytes:
    """A PNG picture of one label of `medium` with the tag on it, as it is printed; its size is noted in the file.

    `dpi`: pixels an inch, 72 to 1200. On a medium of kind metal, the tag's row of the writing sheet. Raises DoesNotFit,
    BadPayload, MissingGlyph, BadJob, and MissingLibrary where there is no Pillow.
    """
    placement = placed(tag, medium)
    if medium.kind == "metal":
        medium = writing.page_for(medium, "a4")
    image, k = _blank(medium.label_w_mm, medium.label_h_mm, dpi)
    _paint(image, placement, k)
    return _saved(image, dpi)


def placed(tag: Tag, medium: Medium) -> Placement:
    """Where everything stands on one label of a medium, of kind metal on its row of the writing sheet. Raises as `png`."""
    return writing.lay_out(tag, writing.page_for(medium, "a4")) if medium.kind == "metal" else lay_out(tag, medium)


def sheet(tags: Sequence[Tag], medium: Medium, start: int = 1, dpi: float = 150) -> bytes:
    """A PNG picture of the first page of tags on a medium from cell `start` on, with thin outlines where labels end.

    Raises as `png`, and BadJob for a start that is no cell.
    """
    from labels.drawing import PrintJob
    from labels.press import examine

    page = writing.page_for(medium, "a4") if medium.kind == "metal" else medium
    examine(PrintJob(page, start))
    image, k = _blank(page.page_w_mm, page.page_h_mm, dpi)
    for cell, tag in enumerate(tags[: page.cells - start + 1], start):
        label, _ = _blank(page.label_w_mm, page.label_h_mm, dpi)
        _paint(label, placed(tag, medium), k)
        x, y = (round(at * k) for at in page.cell(cell))
        image.paste(label, (x, y))
        if page.cells > 1:
            _outline(image, (x, y, x + label.width - 1, y + label.height - 1))
    return _saved(image, dpi)


def _blank(w_mm: float, h_mm: float, dpi: float) -> tuple[Any, float]:
    """White paper, and its pixels a mm."""
    try:
        from PIL import Image
    except ImportError:
        raise MissingLibrary("the library Pillow for pictures", "pillow") from None
    if not 72 <= dpi <= 1200:
        raise BadJob("72 to 1200 pixels an inch", f"{dpi:g}", "use 300 for print, 150 for a screen")
    k = dpi / 25.4
    return Image.new("L", (round(w_mm * k), round(h_mm * k)), 255), k


def _outline(image: Any, box: tuple[int, int, int, int]) -> None:
    from PIL import ImageDraw

    ImageDraw.Draw(image).rectangle(box, outline=190)


def _saved(image: Any, dpi: float) -> bytes:
    from PIL.PngImagePlugin import PngInfo

    out = io.BytesIO()
    made_by = PngInfo()
    made_by.add_text("Software", "labels")
    image.save(out, "PNG", dpi=(dpi, dpi), pnginfo=made_by)
    return out.getvalue()


def text(tag: Tag, dark_ground: bool = True) -> str:
    """The tag's code in half blocks with its quiet zone of four modules, then name, head and lines; no last line break.

    A terminal shows letters lighter than its ground when `dark_ground`, the usual case, so the light modules are the
    ones printed; else the dark ones are. Raises BadPayload.
    """
    said = "\n".join([*tag.printed_name[:1], tag.head, *(line.forms[0] for line in tag.printed_lines)])
    if not tag.payload:
        return said
    symbol = encode(tag.payload)
    side = symbol.size + 2 * _QUIET
    white = ["0" * side] * _QUIET
    rows = [*white, *(f"{'0' * _QUIET}{row}{'0' * _QUIET}" for row in symbol.rows), *white]
    rows += ["0" * side] * (len(rows) % 2)
    inked = "0" if dark_ground else "1"
    blocks = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
    drawn = [
        "".join(blocks[a == inked, b == inked] for a, b in zip(upper, lower, strict=True))
        for upper, lower in zip(rows[::2], rows[1::2], strict=True)
    ]
    return "\n".join([*drawn, said])


def _paint(image: Any, placement: Placement, k: float) -> None:
    """Draws a label at `k` pixels a mm."""
    from PIL import ImageDraw

    for box in placement.symbols:
        _paint_symbol(ImageDraw.Draw(image), box, k)
    for row in placement.texts:
        _paint_text(image, row, k)
    for rule in placement.rules:
        ImageDraw.Draw(image).line([at * k for at in rule], fill=0, width=max(1, round(0.18 * k)))


def _paint_symbol(draw: Any, box: SymbolBox, k: float) -> None:
    """Every module fills whole pixels, so there is no grey between them."""
    xs, ys = ([round((at + i * box.module_mm) * k) for i in range(box.symbol.size + 1)] for at in (box.x, box.y))
    for j, modules in enumerate(box.symbol.rows):
        for i, module in enumerate(modules):
            if module == "1":
                draw.rectangle((xs[i], ys[j], xs[i + 1] - 1, ys[j + 1] - 1), fill=0)


def _paint_text(image: Any, row: TextBox, k: float) -> None:
    from PIL import Image, ImageDraw, ImageFont

    with as_file(files("labels").joinpath(f"fonts/{row.font}.ttf")) as path:
        font = ImageFont.truetype(str(path), row.size_pt * PT_MM * k)
    if not row.turned:
        ImageDraw.Draw(image).text((row.base_x * k, row.base_y * k), row.text, fill=0, font=font, anchor="ls")
        return
    # Turned a quarter clockwise, the row's own left bottom corner comes to lie at the box's top left.
    flat = Image.new("L", (round(row.h * k) + 1, round(row.w * k) + 1), 255)
    ImageDraw.Draw(flat).text((0, flat.height - (row.base_x - row.x) * k), row.text, fill=0, font=font, anchor="ls")
    image.paste(flat.transpose(Image.Transpose.ROTATE_270), (round(row.x * k), round(row.y * k)))
