"""A site's address in front of the code, and the code got back from whatever a reader read."""

from __future__ import annotations

import pytest
import zxingcpp
from PIL import Image

from labels.errors import BadPayload
from labels.payload import address, code_in
from labels.symbol import encode, fits

AFTER_SCHEME = (
    # Characters after http:// and https:// with the scheme in bytes and the rest alphanumeric, computed from the segment
    # rules and the capacity table of ISO/IEC 18004; the scheme's colon and slashes taken as bytes, the least that must fit.
    (1, "L", 12, 11), (1, "M", 8, 7), (2, "L", 34, 33), (2, "M", 26, 24), (2, "Q", 17, 15),
    (3, "M", 49, 47), (3, "Q", 34, 33), (3, "H", 23, 21), (4, "Q", 55, 53),
)  # fmt: skip
DATA_CODEWORDS = {"1L": 19, "1M": 16, "2L": 34, "2M": 28, "2Q": 22, "3M": 44, "3Q": 34, "3H": 26, "4Q": 48}
"""ISO/IEC 18004, data codewords by version and level."""


def _site(scheme: str, characters: int) -> str:
    return f"{scheme}://" + "A" * characters


@pytest.mark.parametrize(("version", "level", "http", "https"), AFTER_SCHEME)
def test_the_known_number_of_characters_fits_after_the_scheme(version, level, http, https):
    assert fits(_site("http", http), version, level)
    assert fits(_site("https", https), version, level)


@pytest.mark.parametrize(("version", "level", "http", "https"), AFTER_SCHEME)
@pytest.mark.parametrize("scheme", ["http", "https"])
def test_the_last_character_that_fits_is_the_one_the_standard_gives(version, level, http, https, scheme):
    """ISO/IEC 18004: 4 + 8 bits and 8 a byte for the scheme, 4 + 9 and 11 a pair, 6 a single, for `://` and the rest."""
    bits = 8 * DATA_CODEWORDS[f"{version}{level}"] - (4 + 8 + 8 * len(scheme)) - (4 + 9)
    most = 2 * (bits // 11) + (bits % 11 >= 6) - len("://")
    assert most >= (http if scheme == "http" else https)
    assert fits(_site(scheme, most), version, level)
    assert not fits(_site(scheme, most + 1), version, level)


@pytest.mark.parametrize(
    ("site", "expected"),
    [
        ("https://tag.example/t/", "https://TAG.EXAMPLE/T/G105-K"),
        ("HTTP://Tag.Example", "http://TAG.EXAMPLE/G105-K"),
        ("https://tag.example:8080/a/b", "https://TAG.EXAMPLE:8080/A/B/G105-K"),
        (" http://192.0.2.7/t/ ", "http://192.0.2.7/T/G105-K"),
    ],
)
def test_an_address_has_its_scheme_in_small_letters_and_the_rest_in_capitals(site, expected):
    assert expected == address(site, "g105-k")
    assert "G105-K" == code_in(expected)


def test_an_address_is_read_back_exactly_by_another_library():
    text = address("https://tag.example/t/", "G105-K")
    made = encode(text)
    pixels = Image.new("L", (made.size + 8, made.size + 8), 255)
    for y, row in enumerate(made.rows):
        for x, module in enumerate(row):
            pixels.putpixel((x + 4, y + 4), 0 if module == "1" else 255)
    side = 8 * pixels.width
    assert [text] == [
        code.text for code in zxingcpp.read_barcodes(pixels.resize((side, side), Image.Resampling.NEAREST))
    ]
    assert (2, "M") == (made.version, made.level)


@pytest.mark.parametrize(
    ("site", "found"),
    [
        ("tag.example/t/", "tag.example/t/"),
        ("ftp://tag.example/", "ftp://tag.example/"),
        ("", "nothing"),
        ("https:///t", "https:///t"),
        ("https://tag.example/t?c=", "? = in"),
        ("https://tag.example/my_tags/~a#b", "_ ~ # in"),
        ("https://me@tag.example/", "me@tag.example"),
        ("https://tag_a.example/", "tag_a.example"),
        ("https://-tag.example/", "-tag.example"),
        ("https://åker.example/", "åker.example"),
    ],
)
def test_a_site_that_cannot_stand_in_capitals_is_refused_saying_what_can(site, found):
    with pytest.raises(BadPayload) as caught:
        address(site, "G105-K")

    assert found in caught.value.found
    assert "host" in caught.value.expected
    assert caught.value.next_step


@pytest.mark.parametrize("code", ["", "G 105", "G105/K", "G105-", "Ä1"])
def test_a_code_that_is_none_is_refused(code):
    with pytest.raises(BadPayload, match="letters, digits and hyphens"):
        address("https://tag.example/", code)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G105-K", "G105-K"),
        (" g105-k\n", "G105-K"),
        ("https://TAG.EXAMPLE/T/G105-K", "G105-K"),
        ("HTTPS://tag.example/t/g105-k/?from=camera#top", "G105-K"),
        ("tag.example/t/G105-K", "G105-K"),
        ("http://tag.example/t/%47105-K", "G105-K"),
        ("https://tag.example", None),
        ("https://tag.example/", None),
        ("", None),
        ("a note on the bench", None),
        ("WIFI:T:WPA;S:shed;;", None),
    ],
)
def test_the_code_is_got_back_from_what_was_read(text, code):
    assert code == code_in(text)
