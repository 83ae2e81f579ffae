"""Tags and pages shared by the tests of the tag press."""

from __future__ import annotations

from functools import lru_cache

import pypdfium2
import pytest

from labels import media
from labels.layout import Line, Tag
from labels.press import press

PRINTED = tuple(m.name for m in media.all() if m.kind != "metal")


def _tag(number: int = 105, name: str = "Stoneway Pearmain") -> Tag:
    method = ("whip-and-tongue 2025-03-28", "W&T 2025-03-28", "2025-03-28")
    return Tag(f"G{number}K", f"G{number}-K", ("on MM.106", method, Line(("Row 2",), optional=True)), name)


@lru_cache(maxsize=2)
def _page_image(pdf: bytes, page: int = 0, dpi: int = 150):
    document = pypdfium2.PdfDocument(pdf)
    image = document[page].render(scale=dpi / 72).to_pil()
    document.close()
    return image


def _path_boxes(pdf: bytes, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Left, top, width and height in mm, from the page's top left, of every path on the page, in drawing order."""
    document = pypdfium2.PdfDocument(pdf)
    leaf = document[page]
    height = leaf.get_height()
    found = []
    for thing in leaf.get_objects():
        if thing.type == pypdfium2.raw.FPDF_PAGEOBJ_PATH:
            left, bottom, right, top = thing.get_bounds()
            box = (left, height - top, right - left, top - bottom)
            found.append(tuple(v * 25.4 / 72 for v in box))
    document.close()
    return found


@pytest.fixture(scope="session")
def make_tag():
    """A tag by number and cultivar name."""
    return _tag


@pytest.fixture(scope="session")
def page_image():
    """Renders a page of a PDF with a renderer that is not the one that wrote it."""
    return _page_image


@pytest.fixture(scope="session")
def path_boxes():
    """Measures every path on a page of a PDF in mm."""
    return _path_boxes


@pytest.fixture(scope="session", params=PRINTED)
def full_page(request):
    """A medium and one full page of tags on it, every tag with a code of its own."""
    medium = media.get(request.param)
    tags = tuple(_tag(100 + i) for i in range(medium.cells))
    return medium, tags, press(tags, medium)
