"""Reading QR tags back from a picture: a photo of a bench, a scan, or a rendered page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from labels.errors import MissingLibrary, UnreadableImage

Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Read:
    """One code found: its text, and its corners in pixels from the picture's top left, clockwise from the code's own
    top left."""

    text: str
    position: tuple[Point, Point, Point, Point]

    @property
    def centre(self) -> tuple[float, float]:
        """Middle of the code, in pixels."""
        return sum(x for x, _ in self.position) / 4, sum(y for _, y in self.position) / 4


def read_image(source: str | Path | Any) -> tuple[Read, ...]:
    """Every QR code in a picture, in rows from the top and left to right in a row; empty when there is none.

    `source`: a path, or an opened Pillow image. A module should be at least 4 pixels wide in a hand-held photo. Raises
    UnreadableImage when the file is not a picture, and MissingLibrary when there is no reader on this machine.
    """
    try:
        import zxingcpp
    except ImportError:
        raise MissingLibrary(
            "the library zxing-cpp for reading tags", "it is not installed", "run: pip install zxing-cpp"
        ) from None
    found = zxingcpp.read_barcodes(_grey(source), formats=zxingcpp.BarcodeFormat.QRCode)
    return _in_rows([Read(code.text, _corners(code.position)) for code in found if code.valid])


def _grey(source: str | Path | Any) -> Any:
    import warnings

    from PIL import Image

    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            if isinstance(source, (str, Path)):
                with Image.open(source) as opened:
                    return _flat(opened)
            return _flat(source)
        except FileNotFoundError:
            raise UnreadableImage("a picture", f"no file {source}", "check the path") from None
        except (Image.DecompressionBombWarning, Image.DecompressionBombError):
            raise UnreadableImage(
                "a picture of at most 89 million pixels", f"a larger one, {source}", "save it smaller"
            ) from None
        except (OSError, ValueError, SyntaxError) as problem:
            raise UnreadableImage(
                "a picture such as JPEG or PNG", f"{source} ({problem})", "take or save the photo again as JPEG"
            ) from problem


def _flat(image: Any) -> Any:
    """Grey, with anything see-through on white."""
    from PIL import Image

    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    return image.convert("L")


def _corners(position: Any) -> tuple[Point, Point, Point, Point]:
    points = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    a, b, c, d = ((p.x, p.y) for p in points)
    return a, b, c, d


def _in_rows(reads: list[Read]) -> tuple[Read, ...]:
    """Reading order: a code starts a new row when its middle lies below the last row's by more than half a code."""
    rows: list[list[Read]] = []
    for read in sorted(reads, key=lambda r: r.centre[1]):
        height = max(y for _, y in read.position) - min(y for _, y in read.position)
        if rows and read.centre[1] - rows[-1][0].centre[1] <= height / 2:
            rows[-1].append(read)
        else:
            rows.append([read])
    return tuple(read for row in rows for read in sorted(row, key=lambda r: r.centre[0]))
