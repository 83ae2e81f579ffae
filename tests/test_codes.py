"""Codes and their check characters, against published examples of ISO/IEC 7064 and against every single slip."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2, mod_37_2, mod_37_36

from graftbook import codes
from graftbook.errors import UsageProblem


def pure_check(values, modulus, radix):
    """The pure-system rule of ISO/IEC 7064, written out: t = (t + v) x r mod M; check = (1 - t) mod M."""
    total = 0
    for value in values:
        total = (total + value) * radix % modulus
    return (1 - total) % modulus


@pytest.mark.parametrize(
    ("body", "check"),
    [("079", "X"), ("000000021825009", "7"), ("000000021694233", "X"), ("000000029079593", "X")],
)
def test_the_rule_and_the_library_agree_on_published_mod_11_2_examples(body, check):
    """ISO/IEC 7064 MOD 11-2: `079` gives X; the others are published ORCID identifiers (ORCID's own sheet)."""
    assert check == "0123456789X"[pure_check([int(digit) for digit in body], 11, 2)]
    assert check == mod_11_2.calc_check_digit(body)


def test_the_rule_and_the_library_agree_on_a_published_mod_37_2_example():
    """ISO/IEC 7064 MOD 37-2: donation number G123 498 654 321 gives H (UK blood services' Red Book, annex 2)."""
    alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
    body = "G123498654321"
    assert "H" == alphabet[pure_check([alphabet.index(sign) for sign in body], 37, 2)]
    assert "H" == mod_37_2.calc_check_digit(body)


@pytest.mark.parametrize(("body", "check"), [("A12425GABC1234002", "M"), ("123AB", "X")])
def test_the_library_agrees_on_published_mod_37_36_examples(body, check):
    """ISO/IEC 7064 MOD 37,36: the first is the sample of the release identifier GRid (IFPI)."""
    assert check == mod_37_36.calc_check_digit(body)


@pytest.mark.parametrize(("body", "check"), [("00000", "1"), ("00001", "Y"), ("1D01P", "P"), ("7K3PX", "R")])
def test_the_check_character_over_29_signs(body, check):
    """Recomputed with the pure-system rule at modulus 29, radix 2; no standard prints examples over these signs."""
    assert check == codes.check_character(body)
    assert check == codes.SIGNS[pure_check([codes.SIGNS.index(sign) for sign in body], 29, 2)]


def test_there_are_29_signs_and_none_that_look_alike():
    assert 29 == len(set(codes.SIGNS))
    assert not set("OILSBZU") & set(codes.SIGNS)


@given(st.sampled_from("PWG"), st.integers(1, codes.LARGEST_NUMBER))
def test_a_code_written_with_its_check_character_reads_back(letter, number):
    code = codes.Code(letter, number)
    assert code == codes.read_one(codes.with_check(str(code)))
    assert code == codes.read_one(str(code).lower())


@given(st.sampled_from("PWG"), st.integers(10, 999_999), st.data())
def test_every_single_substitution_and_neighbour_swap_is_caught(letter, number, data):
    good = codes.with_check(f"{letter}{number}")
    digits, check = str(number), good[-1]
    at = data.draw(st.integers(0, len(digits) - 1))
    other = data.draw(st.sampled_from([d for d in "0123456789" if d != digits[at]]))
    slips = [digits[:at] + other + digits[at + 1 :]]
    if at + 1 < len(digits) and digits[at] != digits[at + 1]:
        slips.append(digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :])
    for slip in slips:
        if slip[0] != "0":
            assert check != codes.check_character(f"{letter}{slip}")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("g1O5", "G105"), ("PIZ", "P12"), ("w7/3", "W7/3"), (" G105-4 ", "G105"), ("GlO5", "G105"), ("PSB", "P58")],
)
def test_look_alikes_are_read_as_what_they_look_like(typed, meant):
    assert meant == str(codes.read_one(typed))


def test_a_wrong_check_character_is_refused_with_the_nearest_valid_codes():
    with pytest.raises(UsageProblem) as caught:
        codes.read_one("G105-K")
    message = caught.value.message()
    assert "the check character 4 for G105" in message
    assert "did you mean G105-4" in message
    for near in [word for word in message.replace("?", ",").split(", ") if word.startswith("G") and "-" in word]:
        assert codes.read_one(near)


def test_ranges_and_lists_keep_their_order_and_name_each_once():
    assert ["G101", "G102", "G103", "P3", "P7", "P8"] == [str(c) for c in codes.read_many("G101-G103, P3,P7-P8,G102")]
    assert ["G1", "G2"] == [str(c) for c in codes.read_many(f"{codes.with_check('G1')}-{codes.with_check('G2')}")]


@pytest.mark.parametrize(
    "text", ["", "  ", "X1", "P", "12", "P0", "G5-G1", "G1-P5", "P99999999", "P1-P999999", "P1;DROP", "P-1", "P1--P2"]
)
def test_what_is_no_code_is_refused(text):
    with pytest.raises(UsageProblem):
        codes.read_many(text)
