"""What a person says of a graft."""

import pytest

from graftbook.actions import graft_words
from graftbook.errors import UsageProblem


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("N", 0), ("nnw", 337), ("NW", 315), ("north-west", 315), ("South South East", 157), ("E", 90), ("300", 300),
        ("300°", 300), ("0", 0), ("360", 0), ("45 degrees", 45),
    ],
)  # fmt: skip
def test_a_bearing_is_one_of_sixteen_winds_or_degrees(typed, degrees):
    assert degrees == graft_words.bearing(typed)


@pytest.mark.parametrize("typed", ["361", "up", "NNNW", "-10", "N45", "west by south"])
def test_what_is_no_bearing_is_refused(typed):
    with pytest.raises(UsageProblem, match="a bearing such as NW"):
        graft_words.bearing(typed)
