"""due where the weather is known: apple and grape are looked at by the warmth they had, and it says so.

The table of callus gives 143 to 200 degree-days in C above 4 C for apple, from a nursery's 10 to 14 days at 18.3 C; so at a
steady 20 C, sixteen a day, it is the ninth day, and at 12 C, eight a day, the eighteenth, the day of grafting counted in.
"""

import pytest

MARCH = "2027-03-15"


@pytest.fixture
def shed(graftbook):
    """Apples G1 in the Hot bed and G2 in the Cold frame by whip, pear G3 in the Hot bed, all made on 15 March."""
    for clone, kind, place in (
        ("MM.106", "apple", "Hot bed"),
        ("MM.106", "apple", "Cold frame"),
        ("seedling", "pear", "Hot bed"),
    ):
        assert (
            graftbook("stock", "add", clone, "--species", kind, "--place", place, "--acquired", "2027-01-10").code == 0
        )
    for name, kind, hosts in (("Kilwarden Pippin", "apple", "P1-P2"), ("Butter Bergamot", "pear", "P3")):
        made = graftbook("wood", "add", name, "--species", kind, "--from", "Neighbour", "--sticks", 6, "--buds", 6,
                         "--cut", "2027-01-20", "--received", "2027-01-21", "--on", "2027-01-21", "--json")  # fmt: skip
        assert graftbook("graft", made.rows[0]["code"], hosts, "--method", "whip", "--on", MARCH).code == 0
    return graftbook


def looks(book, on):
    rows = book("due", "--on", on, "--json").rows
    return {row["code"]: (row["since"], row["driven_by"]) for row in rows if row["what"] == "look"}


def test_without_weather_everything_goes_by_the_calendar(shed):
    assert {("2027-03-29", "calendar")} == set(looks(shed, "2027-04-05").values())


def test_with_weather_apple_is_looked_at_by_the_warmth_of_its_place_and_says_so(shed):
    shed("weather", "place", "Hot bed", "--constant", "20C", "--from", "2027-03-01")
    shed("weather", "place", "Cold frame", "--constant", "12C", "--from", "2027-03-01")
    assert {
        "G1": ("2027-03-23", "warmth"),
        "G2": ("2027-03-22", "calendar"),
        "G3": ("2027-03-22", "calendar"),
    } == looks(shed, "2027-03-23")
    assert ("2027-04-01", "warmth") == looks(shed, "2027-04-01")["G2"]
    said = shed("due", "--on", "2027-04-01", "--notes").out.replace("\n  ", " ")
    assert "look for movement (common practice, by warmth)." in said
    assert "by warmth" not in shed("due", "--on", "2027-03-22", "--notes").out


def test_a_graft_moved_to_the_cold_has_the_warmth_of_where_it_stood(shed):
    shed("weather", "place", "Hot bed", "--constant", "20C", "--from", "2027-03-01")
    shed("weather", "place", "Cold frame", "--constant", "2C", "--from", "2027-03-01")
    shed("care", "P1", "moved", "--place", "Cold frame", "--on", "2027-03-19")
    assert "warmth" not in {by for _, by in looks(shed, "2027-04-30").values()}
    shed("care", "P1", "moved", "--place", "Hot bed", "--on", "2027-05-03")
    shed("look", "G1", "no movement", "--on", "2027-04-30")
    assert ("2027-05-07", "warmth") == looks(shed, "2027-05-10")["G1"]


def test_days_without_a_temperature_leave_it_to_the_calendar(shed):
    shed("weather", "place", "Hot bed", "--constant", "20C", "--from", "2027-03-20")
    assert ("2027-03-22", "calendar") == looks(shed, "2027-03-24")["G1"]
    assert ("2027-03-28", "warmth") == looks(shed, "2027-03-28")["G1"]
