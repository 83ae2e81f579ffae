"""Reading QR tags back from pictures: photos of a whole bench, scans, or rendered pages.

A photo is read as it is first. What is small, dim, noisy or a little out of focus is found by further passes: at half
the size, which calms noise, and at double the size with edges sharpened, which opens up small and soft codes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from labels.errors import MissingLibrary, UnreadableImage

Point = tuple[int, int]
_TILE, _OVERLAP = 1600, 400
_DOUBLED_PIXELS = 13_000_000
_SHARPEN_PER_CENT = 200
_AGREED = 0.8


@dataclass(frozen=True, slots=True)
class Read:
    """One code found: its text, and its corners in pixels from the picture's top left, clockwise from the code's own
    top left. The picture is taken upright, as its camera noted it."""

    text: str
    position: tuple[Point, Point, Point, Point]

    @property
    def centre(self) -> tuple[float, float]:
        """Middle of the code, in pixels."""
        return sum(x for x, _ in self.position) / 4, sum(y for _, y in self.position) / 4

    @property
    def extent(self) -> float:
        """Longer side of the box around the code, in pixels."""
        xs, ys = zip(*self.position, strict=True)
        return float(max(max(xs) - min(xs), max(ys) - min(ys)))


@dataclass(frozen=True, slots=True)
class Photo:
    """What one photo gave: its codes in reading order, or the problem that kept it from being read, else None."""

    path: Path
    reads: tuple[Read, ...]
    problem: UnreadableImage | None = None


def read_image(source: str | Path | Any, *, thorough: bool = False) -> tuple[Read, ...]:
    """Every QR code in a picture, in rows from the top and left to right in a row; empty when there is none.

    A picture taken askew or upside down is read the way its codes stand, where most agree.

    `source`: a path, or an opened Pillow image. In one pass a module should be at least 4 pixels wide in a hand-held
    photo. `thorough`: further passes at half and double size, for seconds instead of parts of one; 2 to 3 pixels can
    then do. The double size is for pictures of up to 13 million pixels, and larger ones that gave nothing. Raises
    UnreadableImage when the file is not a picture, and MissingLibrary when there is no reader on this machine.
    """
    zxingcpp = _reader()
    image = _grey(source)
    found: list[Read] = []
    for picture, left, top, scale in _views(image, thorough, found):
        for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
            if code.valid:
                _add(found, Read(code.text, _corners(code.position, left, top, scale)))
    return _in_rows(found)


def read_images(
    paths: Iterable[str | Path], *, progress: Callable[[int, int], None] | None = None
) -> tuple[Photo, ...]:
    """Every photo's codes, thoroughly read, in the order of `paths`; a photo that cannot be opened says why in place.

    `progress(done, of)` is called after each photo. Raises MissingLibrary when there is no reader on this machine.
    """
    _reader()
    wanted = [Path(path) for path in paths]
    photos = []
    for done, path in enumerate(wanted, 1):
        try:
            photos.append(Photo(path, read_image(path, thorough=True)))
        except UnreadableImage as problem:
            photos.append(Photo(path, (), problem))
        if progress is not None:
            progress(done, len(wanted))
    return tuple(photos)


def _reader() -> Any:
    try:
        import PIL.Image  # noqa: F401
        import zxingcpp
    except ImportError as missing:
        name = "pillow" if missing.name == "PIL" else "zxing-cpp"
        raise MissingLibrary(f"the library {name} for reading tags", name) from None
    return zxingcpp


def _views(image: Any, thorough: bool, found: list[Read]) -> Iterator[tuple[Any, float, float, float]]:
    """Pictures to read, each with its place in the whole and its scale; for a large one `found` decides on the last."""
    yield image, 0, 0, 1
    if not thorough:
        return
    half = _scaled(image, 0.5)
    yield half, 0, 0, 0.5
    yield _sharp(half), 0, 0, 0.5
    if image.width * image.height <= _DOUBLED_PIXELS or not found:
        for left, top, tile in _tiles(image):
            yield _sharp(_scaled(tile, 2)), left, top, 2


def _scaled(image: Any, factor: float) -> Any:
    from PIL import Image

    size = max(round(image.width * factor), 1), max(round(image.height * factor), 1)
    return image.resize(size, Image.Resampling.LANCZOS if factor < 1 else Image.Resampling.BICUBIC)


def _sharp(image: Any) -> Any:
    from PIL import ImageFilter

    return image.filter(ImageFilter.UnsharpMask(3, _SHARPEN_PER_CENT, 0))


def _tiles(image: Any) -> Iterator[tuple[int, int, Any]]:
    """Overlapping pieces, so that a doubled one is never large."""
    step = _TILE - _OVERLAP
    for top in range(0, max(image.height - _OVERLAP, 1), step):
        for left in range(0, max(image.width - _OVERLAP, 1), step):
            box = (left, top, min(left + _TILE, image.width), min(top + _TILE, image.height))
            yield left, top, image.crop(box)


def _add(found: list[Read], read: Read) -> None:
    """Keeps a read unless the same text was found at the same place: tags carry a code twice, and copies lie about."""
    x, y = read.centre
    for known in found:
        if known.text == read.text and max(abs(known.centre[0] - x), abs(known.centre[1] - y)) < known.extent / 2:
            return
    found.append(read)


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
    """Grey and upright, with anything see-through on white."""
    from PIL import Image, ImageOps

    image = ImageOps.exif_transpose(image)
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    return image.convert("L")


def _corners(position: Any, left: float, top: float, scale: float) -> tuple[Point, Point, Point, Point]:
    points = (position.top_left, position.top_right, position.bottom_right, position.bottom_left)
    a, b, c, d = ((round(left + p.x / scale), round(top + p.y / scale)) for p in points)
    return a, b, c, d


def _in_rows(reads: list[Read]) -> tuple[Read, ...]:
    """Reading order: a code starts a new row when its middle lies below the last row's by more than half a code."""
    along, down = _ways(reads)
    rows: list[list[Read]] = []
    for read in sorted(reads, key=down):
        side = math.dist(read.position[0], read.position[3])
        if rows and down(read) - down(rows[-1][0]) <= side / 2:
            rows[-1].append(read)
        else:
            rows.append([read])
    return tuple(read for row in rows for read in sorted(row, key=along))


def _ways(reads: list[Read]) -> tuple[Callable[[Read], float], Callable[[Read], float]]:
    """How far along and how far down a code lies: along the way the codes stand if they agree, else as the picture."""
    x = y = 0.0
    for read in reads:
        (x1, y1), (x2, y2) = read.position[:2]
        length = math.dist((x1, y1), (x2, y2)) or 1.0
        x, y = x + (x2 - x1) / length, y + (y2 - y1) / length
    agreed = math.hypot(x, y)
    x, y = (x / agreed, y / agreed) if agreed > _AGREED * len(reads) else (1.0, 0.0)
    return (lambda read: read.centre[0] * x + read.centre[1] * y, lambda read: read.centre[1] * x - read.centre[0] * y)
