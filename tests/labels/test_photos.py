"""Photos of a whole bench, simulated: tilt, turn, blur, noise, falling light and JPEG; and photos that are none."""

from __future__ import annotations

import io

import numpy
import pytest
from PIL import Image, ImageFilter

from labels import media
from labels.errors import UnreadableImage
from labels.press import press
from labels.reading import read_image, read_images

EXPECTED = [f"G{i}K" for i in range(100, 130)]


@pytest.fixture(scope="module")
def bench(make_tag, page_image):
    """A full letter-30up sheet, codes of 0.77 mm modules."""
    return page_image(press([make_tag(i) for i in range(100, 130)], media.get("letter-30up")).pdf, dpi=300).convert("L")


def _photo(page, pixels_a_mm, tilt=0.0, turn=0.0, blur=0.8, noise=5.0, quality=60):
    """The page as a camera sees it: `tilt` is the share by which the far side looks shorter, `turn` in degrees."""
    w, h = round(215.9 * pixels_a_mm), round(279.4 * pixels_a_mm)
    inset = tilt * w / 2
    seen, flat = [(inset, 0), (w - inset, 0), (w, h), (0, h)], [(0, 0), (w, 0), (w, h), (0, h)]
    rows = []
    for (x, y), (u, v) in zip(seen, flat, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
    terms = numpy.linalg.solve(numpy.array(rows, float), numpy.array(flat, float).reshape(8))
    image = page.resize((w, h), Image.Resampling.LANCZOS)
    image = image.transform((w, h), Image.Transform.PERSPECTIVE, terms, Image.Resampling.BICUBIC, fillcolor=150)
    image = image.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=150)
    image = image.filter(ImageFilter.GaussianBlur(blur))
    grey = numpy.asarray(image, float) * numpy.linspace(0.6, 1, image.height)[:, None]
    grey += numpy.random.default_rng(1).normal(0, noise, grey.shape)
    out = io.BytesIO()
    Image.fromarray(grey.clip(0, 255).astype("uint8")).save(out, "JPEG", quality=quality)
    return Image.open(io.BytesIO(out.getvalue()))


@pytest.mark.parametrize(
    "seen",
    [
        {"pixels_a_mm": 8},
        {"pixels_a_mm": 8, "tilt": 0.15, "turn": 10},
        {"pixels_a_mm": 7, "tilt": 0.3, "turn": 25, "blur": 1},
        {"pixels_a_mm": 5, "turn": 8, "noise": 12, "quality": 50},
        {"pixels_a_mm": 6, "turn": 5, "blur": 1.5},
        {"pixels_a_mm": 10, "tilt": 0.1, "turn": 180, "noise": 25, "quality": 40},
    ],
    ids=["flat", "tilted", "steep and small", "small and noisy", "out of focus", "upside down, dim light"],
)
def test_every_code_on_a_bench_is_found_once_and_in_the_order_of_the_sheet(bench, seen):
    assert EXPECTED == [read.text for read in read_image(_photo(bench, **seen), thorough=True)]


@pytest.mark.parametrize("seen", [{"pixels_a_mm": 3.6, "noise": 12, "quality": 50}, {"pixels_a_mm": 4.6, "blur": 1.7}])
def test_the_further_passes_find_what_the_first_does_not(bench, seen):
    photo = _photo(bench, **seen)
    assert len(read_image(photo)) < 30 == len(read_image(photo, thorough=True))


def test_positions_from_every_pass_are_those_of_the_photo(bench):
    photo = _photo(bench, 6, blur=1.5, noise=3)
    for read, (row, col) in zip(read_image(photo, thorough=True), numpy.ndindex(10, 3), strict=True):
        medium = media.get("letter-30up")
        middle = 6 * (medium.top_mm + row * medium.pitch_y_mm + medium.label_h_mm / 2)
        assert middle == pytest.approx(read.centre[1], abs=6)
        assert 6 * (medium.left_mm + col * medium.pitch_x_mm) < read.centre[0] < 6 * (medium.left_mm + col * 69.85 + 25)


def test_two_codes_of_one_text_are_both_kept(make_tag, page_image):
    stake = page_image(press([make_tag()], media.get("stake-152x16")).pdf)
    assert ["G105K", "G105K"] == [read.text for read in read_image(stake, thorough=True)]


def test_a_photo_is_read_upright_as_the_camera_noted(bench, tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    bench.rotate(90, expand=True).save(tmp_path / "phone.jpg", exif=exif)
    found = read_image(tmp_path / "phone.jpg")
    assert EXPECTED == [read.text for read in found]
    assert found[0].centre[1] < bench.height / 5


def test_photos_come_back_in_order_and_a_bad_one_says_why_in_its_place(bench, tmp_path):
    bench.save(tmp_path / "a.png")
    (tmp_path / "b.jpg").write_text("no picture")
    Image.new("L", (60, 60), 255).save(tmp_path / "c.png")
    Image.new("1", (10_000, 10_000)).save(tmp_path / "huge.png")
    paths = [tmp_path / name for name in ("a.png", "b.jpg", "c.png", "gone.jpg", "huge.png")]
    seen = []
    a, b, c, gone, huge = read_images(paths, progress=lambda done, of: seen.append((done, of)))

    assert (EXPECTED, None) == ([read.text for read in a.reads], a.problem)
    assert ((), None) == (c.reads, c.problem)
    assert isinstance(b.problem, UnreadableImage)
    assert "a picture such as JPEG or PNG" in str(b.problem)
    assert "no file" in str(gone.problem)
    assert "at most 89 million pixels" in str(huge.problem)
    assert paths == [photo.path for photo in (a, b, c, gone, huge)]
    assert (5, 5) == seen[-1]


def test_no_photos_give_nothing():
    assert () == read_images([])


def test_codes_on_tiles_that_overlap_are_found_once(make_tag, page_image):
    """A picture of several tiles a side, with a code where they meet."""
    page = page_image(press([make_tag(i) for i in range(40)], media.get("letter-40up")).pdf, dpi=230)
    assert page.width > 1900
    assert 40 == len(read_image(page, thorough=True))
