"""How wide a text is in the two tag fonts, and whether they can print it at all.

DejaVu Sans Condensed is used because it has the accents of the European languages, Cyrillic, Greek, and the
multiplication sign of hybrid names; the fonts built into PDF readers do not.
"""

from __future__ import annotations

import unicodedata
from functools import cache, lru_cache
from importlib.resources import as_file, files

from labels.errors import MissingGlyph

REGULAR = "DejaVuSansCondensed"
BOLD = "DejaVuSansCondensed-Bold"
PT_MM = 25.4 / 72
ASCENT_EM = 0.93
DESCENT_EM = 0.24
CAPITAL_EM, SMALL_EM = 0.729, 0.547
"""Height of capitals and of small letters without ascenders, measured on H and x of both fonts."""
_DIRECTIONS = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})
_MARKS = "\u061c\u200e\u200f"
ROW_EM = ASCENT_EM + DESCENT_EM


def clean(text: str) -> str:
    """The text as it will be printed: accents joined to their letters (Unicode NFC), white space made single spaces, and for
    every control and every mark of direction, which would print as nothing, the sign that one is missing."""
    joined = " ".join(unicodedata.normalize("NFC", text).split())
    return joined if joined.isprintable() else "".join(map(_printed, joined))


def _printed(sign: str) -> str:
    unseen = (
        unicodedata.category(sign) in ("Cc", "Cs") or unicodedata.bidirectional(sign) in _DIRECTIONS or sign in _MARKS
    )
    return "\ufffd" if unseen else sign


@lru_cache(maxsize=50_000)
def em_width(text: str, font: str) -> float:
    """Width of `text` in em, that is, at size 1. Raises MissingGlyph naming every character the font lacks."""
    widths = _widths(font)
    try:
        return sum(map(widths.__getitem__, text))
    except KeyError:
        raise MissingGlyph(text, tuple(dict.fromkeys(c for c in text if c not in widths))) from None


def register() -> None:
    """Make both fonts known to the PDF library under their names here."""
    _widths(REGULAR)
    _widths(BOLD)


@cache
def _widths(font: str) -> dict[str, float]:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    with as_file(files("labels").joinpath(f"fonts/{font}.ttf")) as path:
        loaded = TTFont(font, str(path))
    pdfmetrics.registerFont(loaded)
    face = loaded.face
    return {chr(code): face.charWidths.get(code, face.defaultWidth) / 1000 for code in face.charToGlyph if code >= 32}
