"""The code: capacities against the standard's own table, the choice of version and level, and refusals."""

from __future__ import annotations

import pytest

from labels.errors import BadPayload
from labels.symbol import LARGEST_VERSION, encode, fits

CAPACITY = (
    # ISO/IEC 18004, table of data capacity: version, level, digits, alphanumeric characters, bytes.
    (1, "L", 41, 25, 17), (1, "M", 34, 20, 14), (1, "Q", 27, 16, 11), (1, "H", 17, 10, 7),
    (2, "L", 77, 47, 32), (2, "M", 63, 38, 26), (2, "Q", 48, 29, 20), (2, "H", 34, 20, 14),
    (3, "L", 127, 77, 53), (3, "M", 101, 61, 42), (3, "Q", 77, 47, 32), (3, "H", 58, 35, 24),
    (4, "L", 187, 114, 78), (4, "M", 149, 90, 62), (4, "Q", 111, 67, 46), (4, "H", 82, 50, 34),
    (5, "L", 255, 154, 106), (5, "M", 202, 122, 84), (5, "Q", 144, 87, 60), (5, "H", 106, 64, 44),
    (6, "L", 322, 195, 134), (6, "M", 255, 154, 106), (6, "Q", 178, 108, 74), (6, "H", 139, 84, 58),
)  # fmt: skip


@pytest.mark.parametrize(("version", "level", "digits", "capitals", "others"), CAPACITY)
def test_capacity_against_the_table_of_iso_iec_18004(version, level, digits, capitals, others):
    for sign, most in (("7", digits), ("G", capitals), ("g", others)):
        assert fits(sign * most, version, level)
        assert not fits(sign * (most + 1), version, level)


@pytest.mark.parametrize(("version", "level", "digits", "capitals", "others"), CAPACITY)
def test_a_text_of_exactly_the_capacity_is_encoded_no_larger_and_no_weaker(version, level, digits, capitals, others):
    for sign, most in (("7", digits), ("G", capitals), ("g", others)):
        made = encode(sign * most)
        assert version >= made.version
        if version == made.version:
            assert "LMQH".index(made.level) >= "LMQH".index(level)


@pytest.mark.parametrize("version", range(1, LARGEST_VERSION + 1))
def test_the_side_is_seventeen_and_four_for_each_version(version):
    """ISO/IEC 18004: 21 modules a side for version 1, four more for each further version."""
    largest = next(capitals for v, level, _, capitals, _ in CAPACITY if v == version and level == "L")
    made = encode("G" * largest)
    assert (version, 17 + 4 * version) == (made.version, made.size)
    assert {made.size} == {len(row) for row in made.rows}


def test_a_bare_code_is_version_one_at_the_highest_level():
    made = encode("G105K")
    assert (1, "H", 21) == (made.version, made.level, made.size)


@pytest.mark.parametrize(
    ("address", "version", "level"),
    [
        ("http://" + "A" * 8, 1, "M"),
        ("https://" + "A" * 11, 1, "L"),
        ("https://TAG.EXAMPLE/T/G105KX", 2, "M"),
        ("http://192.168.100.50:8080/T/G105KX", 2, "L"),
    ],
)
def test_an_address_keeps_its_scheme_in_bytes_and_the_rest_in_capitals(address, version, level):
    """Lengths computed from the segment rules of ISO/IEC 18004: 8 bits a byte, 11 bits two capitals."""
    made = encode(address)
    assert (version, level) == (made.version, made.level)


def test_finder_patterns_stand_in_three_corners():
    """ISO/IEC 18004: 7 x 7 dark ring, light ring, dark 3 x 3 middle; none at the bottom right."""
    finder = ("1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111")
    rows = encode("G105K").rows
    assert finder == tuple(row[:7] for row in rows[:7])
    assert finder == tuple(row[-7:] for row in rows[:7])
    assert finder == tuple(row[:7] for row in rows[-7:])
    assert finder != tuple(row[-7:] for row in rows[-7:])


@pytest.mark.parametrize("payload", ["", "Zürich", "G105K\N{NO-BREAK SPACE}", "g" * 135, "G" * 196])
def test_a_text_that_no_tag_code_can_hold_is_refused(payload):
    with pytest.raises(BadPayload):
        encode(payload)
