"""What columns may hold, read from the class that validates them."""

from datetime import date

import pytest
from pydantic import ValidationError

from graftbook import units
from graftbook.book import limits
from graftbook.book.grafts import STATES, Graft, GraftFields, Look
from graftbook.book.plants import Plant, PlantFields
from graftbook.book.wood import Bundle


def test_each_kind_of_limit_is_read():
    assert (0, 1_000_000) == limits.bounds(Plant, "order")
    assert (1, 50) == limits.bounds(Graft, "buds")
    assert units.SCION_DIAMETER == limits.length(Graft, "scion_mm")
    assert STATES == limits.of(Look, "state").words
    assert (str, 200) == (limits.of(Plant, "taxon").holds, limits.of(Plant, "taxon").longest)
    assert (str, 4000) == (limits.of(Bundle, "note").holds, limits.of(Bundle, "note").longest)
    assert (date, bool) == (limits.of(Plant, "died_on").holds, limits.of(Graft, "bench").holds)


def test_a_column_without_the_limit_asked_for_says_so():
    with pytest.raises(TypeError, match="not bounded"):
        limits.bounds(Plant, "taxon")
    with pytest.raises(TypeError, match="no length"):
        limits.length(Plant, "order")
    with pytest.raises(KeyError):
        limits.of(Plant, "colour")


@pytest.mark.parametrize("wrong", [0.99, 2000.01, float("nan"), float("inf"), "thick"])
def test_a_length_outside_its_limit_is_not_kept(wrong):
    with pytest.raises(ValidationError):
        PlantFields(number=1, code="P1", kind="tree", diameter_mm=wrong)
    assert 9.5 == PlantFields(number=1, code="P1", kind="tree", diameter_mm=9.5).diameter_mm


def test_a_word_that_is_none_of_its_words_is_not_kept():
    with pytest.raises(ValidationError, match="must be one of graft, bud"):
        GraftFields(number=1, code="G1", method="cleft", made_on=date(2027, 3, 1), unit="twig")
