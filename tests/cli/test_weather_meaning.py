"""weather since, callus and chill: what the temperatures come to."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from refusals import refused


def csv_of(first, lows_highs, header="date,min (°C),max (°C)"):
    begin = date.fromisoformat(first)
    lines = [f"{begin + timedelta(days=at)},{low},{high}" for at, (low, high) in enumerate(lows_highs)]
    return "\n".join([header, *lines]) + "\n"


@pytest.fixture
def file(tmp_path):
    def writing(text, name="w.csv"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return writing


@pytest.fixture
def spring(file):
    """March and April 2027: 10 C in the middle of each day, two days of April missing."""
    days = [(5, 15)] * 61
    days[36:38] = [("---", "M")] * 2
    return file(csv_of("2027-03-01", days))


@pytest.fixture
def grafted(graftbook):
    """Two apple grafts on stocks in the back room and a plum graft in the orchard, all of 1 April."""
    for words in (
        ("tree", "add", "Kilwarden Pippin", "--species", "apple", "--place", "orchard"),
        ("tree", "add", "Tolmere Plum", "--species", "plum", "--place", "orchard"),
        ("stock", "add", "MM.106", "--count", "2", "--diameter", "9mm", "--place", "back room"),
        ("stock", "add", "--seedling", "--species", "plum", "--diameter", "9mm", "--place", "orchard"),
        (
            "wood",
            "add",
            "--source",
            "P1",
            "--sticks",
            "5",
            "--cut",
            "2027-01-15",
            "--store",
            "fridge",
            "--temperature",
            "3C",
        ),
        ("wood", "add", "--source", "P2", "--sticks", "5", "--cut", "2027-01-15"),
        ("graft", "W1", "P3-P4", "--method", "whip-and-tongue", "--on", "2027-04-01"),
        ("graft", "W2", "P5", "--method", "cleft", "--on", "2027-04-01"),
    ):
        assert 0 == graftbook(*words).code
    return graftbook


def test_a_sum_names_its_gaps_and_how_it_is_counted(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    done = grafted("weather", "since", "2027-04-01", "--place", "orchard", "--until", "2027-04-30", "--notes")
    assert "orchard: 2 days (2027-04-06 to 2027-04-07) without a temperature" in done.out
    assert "Degree-days in C above 5 C, by single sine." in done.out
    found = grafted("weather", "since", "2027-04-01", "P1,G3", "--until", "2027-04-10", "--base", "50F", "--method",
                    "average", "--upper", "30C", "--json")  # fmt: skip
    assert (10.0, 30.0, "average") == tuple(found.json[name] for name in ("base_c", "upper_c", "method"))
    assert [("P1", 0, 8, 2), ("G3", 0, 8, 2)] == [
        (row["what"], row["degree_days"], row["days"], row["missing"]) for row in found.rows
    ]  # fmt: skip


def test_warmth_since_an_event_needs_the_event(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    done = grafted("weather", "since", "cut", "W1,P1", "--json", "--until", "2027-04-30")
    assert [("W1", "2027-01-15", 0, "stored at 3 C")] == [
        (row["what"], row["since"], row["degree_days"], row["weather"]) for row in done.rows
    ]
    assert "P1: no day of cut is recorded." in done.json["notes"]
    refused(grafted("weather", "since", "tied"), 2, "codes of things with a day of tied")
    refused(grafted("weather", "since", "grafting", "--place", "orchard"), 2, "codes of things with a day of grafting")
    refused(grafted("weather", "since", "blossom", "P1"), 2, "an event: grafting, tied, stage")
    refused(grafted("weather", "since", "2027-04-01", "P1", "--place", "orchard"), 2, "more than one of them")
    refused(grafted("weather", "since", "2027-05-01", "--until", "2027-04-01"), 21,
            "--until 2027-04-01 lies before the beginning, 2027-05-01")  # fmt: skip
    refused(grafted("weather", "since", "2027-04-01", "--method", "cosine"), 2, "sine, triangle, average")
    refused(grafted("weather", "since", "2027-04-01", "G99"), 20, "G99")


def test_moves_that_say_where_from_are_followed(grafted, file):
    for place, warm in (("back room", "20C"), ("cold store", "2C")):
        grafted("weather", "place", place, "--constant", warm)
    assert 0 == grafted("tree", "list").code
    moves = file("subject,on,what,place,place_before\nP3,2027-04-05,moved,back room,cold store\n", "care.csv")
    assert 0 == grafted("import", moves).code
    rows = grafted("weather", "since", "grafting", "G1-G2", "--until", "2027-04-10", "--json").rows
    assert [6 * 15, 10 * 15] == [row["degree_days"] for row in rows]


def test_the_callus_clock_shows_a_band_with_its_basis(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    grafted("weather", "place", "back room", "--constant", "18C")
    found = grafted("weather", "callus", "--as-of", "2027-04-12", "--json")
    apple, _, plum = found.rows
    assert ("G1", "apple", "within its band", 168, 143, 200, "2027-04-11", "2027-04-15", False) == tuple(
        apple[name] for name in
        ("code", "kind", "state", "degree_days", "heat_min", "heat_max", "from_on", "to_on", "extrapolated")
    )  # fmt: skip
    assert ("G3", "plum", None, None, 2) == tuple(
        plum[name] for name in ("code", "kind", "degree_days", "from_on", "missing")
    )
    assert 240 == pytest.approx(plum["hours_below"] + plum["hours_inside"] + plum["hours_above"], abs=1)
    notes = " ".join(found.json["notes"])
    assert "apple: best 13 to 18 C (common practice); callus after 143 to 200 C-days above 4 C" in notes
    assert "plum: best 16 C, counted as 14 to 18 C (common practice); no basis for dates." in notes
    shown = grafted("weather", "callus", "G1-G3", "--as-of", "2027-04-12")
    assert max(map(len, shown.out.splitlines())) <= 80
    refused(grafted("weather", "callus", "W1"), 2, "grafts or plants")
    assert "No open graft was made in the last 60 days" in grafted("weather", "callus", "--as-of", "2027-09-01").out
    refused(grafted("weather", "callus", "G1", "--as-of", "2027-03-01"), 2, "grafts made by 2027-03-01")


def test_days_to_come_that_lie_outside_are_warned_of(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    grafted("weather", "day", "2027-04-14", "--min", "20C", "--max", "36C")
    grafted("weather", "use", "Kilbride", "--place", "back room")
    found = grafted("weather", "callus", "G1", "--as-of", "2027-04-12")
    assert "G1: 2027-04-14 will go above 32 C, where harm is said to begin." in " ".join(found.out.split())


def test_chill_is_counted_three_ways_and_named(grafted, file):
    winter = file(csv_of("2026-11-01", [(2, 8)] * 100))
    grafted("weather", "import", winter, "--station", "Kilbride")
    refused(
        grafted("weather", "chill", "P1", "--until", "2027-01-31"), 2, "a latitude for P1", "graftbook weather station"
    )
    assert 0 == grafted("weather", "station", "Kilbride", "--latitude", "52.3").code
    found = grafted("weather", "chill", "P1,W1", "--until", "2027-01-31", "--json")
    tree, wood = found.rows
    assert ("2026-11-01", 92, 0) == (tree["since"], tree["days"], tree["missing"])
    assert 1700 < tree["chilling_hours"] < 2208
    assert 60 < tree["portions"] < 80
    assert ("Kilbride; stored at 3 C", 92) == (wood["weather"], wood["days"])
    assert tree["chilling_hours"] < wood["chilling_hours"]
    notes = " ".join(found.json["notes"])
    assert "Weinberger 1950, Bennett 1949" in notes
    assert "Richardson, Seeley and Walker 1974" in notes
    other = grafted("weather", "chill", "--hours", "below-7.2", "--utah", "f", "--until", "2027-01-31", "--notes")
    assert "every hour below 7.2 C" in other.out
    assert "whole degrees F" in other.out
    refused(grafted("weather", "chill", "--hours", "45F"), 2, "0-7.2, below-7.2")
    refused(grafted("weather", "chill", "--utah", "K"), 2, "a Utah table: C, F")


def test_a_book_in_fahrenheit_speaks_fahrenheit(grafted):
    grafted("settings", "temperature=F")
    assert "back room: weather kept at 68 F." in grafted("weather", "place", "back room", "--constant", "68").out
    shown = " ".join(grafted("weather", "callus", "G1", "--as-of", "2027-04-05", "--notes").out.split())
    assert "best 55 to 64 F" in shown
    assert "C-days above 39 F" in shown
    assert "Temperatures: kept at 68 F." in shown
    since = " ".join(
        grafted("weather", "since", "grafting", "--base", "50", "--until", "2027-04-02", "--notes").out.split()
    )
    assert "Degree-days in C above 50 F" in since
    assert "G1 2027-04-01 2027-04-02 20" in since
    typed = grafted("weather", "day", "2027-04-01", "--min", "68", "--max", "20C", "--station", "K")
    assert "68 F to 68 F on 2027-04-01" in typed.out


def test_a_place_kept_at_one_temperature_needs_no_latitude(grafted):
    grafted("weather", "place", "fridge", "--constant", "4C")
    (row,) = grafted(
        "weather", "chill", "--place", "fridge", "--since", "2027-01-01", "--until", "2027-01-10", "--json"
    ).rows
    assert (240, 240) == (row["chilling_hours"], row["utah_units"])


def test_the_south_counts_chill_from_may(on_sqlite, file):
    on_sqlite("settings", "hemisphere=south")
    on_sqlite("weather", "place", "fridge", "--constant", "4C")
    (row,) = on_sqlite("weather", "chill", "--place", "fridge", "--until", "2027-07-10", "--json").rows
    assert "2027-05-01" == row["since"]
