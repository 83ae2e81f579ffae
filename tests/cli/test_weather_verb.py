"""weather through the command line, on both databases: days in, places told, warmth, callus, chill, and what goes wrong."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from whole_book import contents


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


def refused(run, code, *said):
    assert (code, "") == (run.code, run.out)
    for words in said:
        assert words in run.err


def test_days_come_in_once_and_again_add_nothing(graftbook, spring, location):
    done = graftbook("weather", "import", spring, "--station", "Kilbride", "--latitude", "52.3")
    assert (0, "") == (done.code, done.err)
    assert "Weather of Kilbride: 59 new days, 2027-03-01 to 2027-04-30 (CSV, C)." in done.out
    assert "2 days (2027-04-06 to 2027-04-07)" in done.out
    assert "Every place now has the weather of Kilbride" in done.out
    before = contents(location)
    again = graftbook("weather", "import", spring, "--station", "kilbride")
    assert (0, "Nothing new: the book has all 59 days of Kilbride already.") == (again.code, again.out.splitlines()[0])
    assert before == contents(location)
    (row,) = graftbook("weather", "list", "--json").rows
    assert ("Kilbride", 52.3, "2027-03-01", "2027-04-30", 59, 2) == (
        row["station"], row["latitude"], row["first"], row["last"], row["days"], row["missing"],
    )  # fmt: skip


def test_an_import_is_one_entry_and_can_be_undone_and_done_again(graftbook, spring, location):
    empty = contents(location)
    entry = graftbook("weather", "import", spring, "--station", "Kilbride", "--json").json["entry"]
    full = {uid: {k: v for k, v in row.items() if k != "uid"} for uid, row in contents(location).items()}
    assert 3 == len(full)
    undone = graftbook("undo", entry)
    assert 0 == undone.code
    assert empty == contents(location)
    assert 0 == graftbook("undo", int(entry) + 1).code
    assert 59 == graftbook("weather", "list", "--json").rows[0]["days"]
    assert 20 == graftbook("--book", "nowhere.sqlite", "weather", "list").code


def test_more_days_of_the_same_years_are_put_beside_those_that_are_there(graftbook, spring, file):
    graftbook("weather", "import", spring, "--station", "Kilbride")
    more = file(csv_of("2027-04-06", [(4, 9)] * 30), "more.csv")
    refused(graftbook("weather", "import", more, "--station", "Kilbride"), 3, "line 4: found a lowest of 4 C on 2027-04-08",
            "accepted: 5 C, which the book or an earlier line has", "--replace")  # fmt: skip
    assert 59 == graftbook("weather", "list", "--json").rows[0]["days"]
    done = graftbook("weather", "import", more, "--station", "Kilbride", "--replace")
    assert "7 new days, 23 days replaced, 2027-04-06 to 2027-05-05" in done.out
    (row,) = graftbook("weather", "list", "--json").rows
    assert ("2027-05-05", 66, 0) == (row["last"], row["days"], row["missing"])
    entry = int(graftbook("journal", "--json").rows[0]["entry"])
    assert 0 == graftbook("undo", entry).code
    assert 59 == graftbook("weather", "list", "--json").rows[0]["days"]


def test_several_files_are_one_station_and_their_problems_come_together(graftbook, file):
    first, second = file(csv_of("2027-03-01", [(1, 9)] * 3)), file(csv_of("2028-02-28", [(1, 9)] * 3), "x.csv")
    done = graftbook("weather", "import", first, second, "--station", "Kilbride")
    assert "6 new days, 2027-03-01 to 2028-03-01" in done.out
    assert "3 days are to come, and taken as a forecast" in done.out
    bad, worse = file("date,min_c,max_c\n2027-05-01,9,1\n", "bad.csv"), file("", "worse.csv")
    refused(graftbook("weather", "import", bad, worse, "--station", "Kilbride"), 3, "bad.csv, line 2: found a lowest of 9 C",
            "worse.csv: found an empty file", "2 problems in 2 files")  # fmt: skip


def test_a_dry_run_does_nothing(graftbook, spring, location):
    before = contents(location)
    done = graftbook("weather", "import", spring, "--station", "Kilbride", "--dry-run")
    assert (0, True) == (
        done.code,
        done.out.startswith("Nothing was recorded (--dry-run). It would have recorded: Weather of"),
    )
    assert before == contents(location)


def test_fahrenheit_read_as_celsius_is_asked_about_and_nothing_is_kept(graftbook, file, location):
    path = file(csv_of("2027-05-01", [(50, 75)] * 60, "date,min,max"))
    before = contents(location)
    refused(graftbook("weather", "import", path, "--station", "Kilbride"), 2, "Say --unit C, --unit F or --unit tenths",
            "could be F")  # fmt: skip
    refused(graftbook("weather", "import", path, "--station", "Kilbride", "--unit", "C"), 21, "Is the unit right?",
            "say --unit F")  # fmt: skip
    assert before == contents(location)
    assert 0 == graftbook("weather", "import", path, "--station", "Kilbride", "--unit", "F").code
    (day,) = graftbook("weather", "show", "--since", "2027-05-01", "--until", "2027-05-01", "--json").rows
    assert {"on": "2027-05-01", "low_c": 10.0, "high_c": 23.89} == day


def test_two_stations_do_not_become_one(graftbook, file, location):
    line = "XX000000001,20270301,TMAX,111,,,W,\nXX000000001,20270301,TMIN,22,,,W,\n"
    first, second = file(line, "a.csv"), file(line.replace("0001,", "0002,"), "b.csv")
    assert 0 == graftbook("weather", "import", first, "--station", "Kilbride").code
    before = contents(location)
    refused(graftbook("weather", "import", second, "--station", "Kilbride"), 21, "Kilbride is XX000000001",
            "found XX000000002", "a name of its own")  # fmt: skip
    both = file(line + line.replace("0001,", "0002,"), "c.csv")
    refused(graftbook("weather", "import", both, "--station", "Other"), 2, "XX000000001, XX000000002", "--id")
    assert before == contents(location)
    assert 0 == graftbook("weather", "import", both, "--station", "Other", "--id", "XX000000002").code


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("import", "none.csv", "--station", "K"), 20, "No file none.csv"),
        (("import", "{f}", "--station", " "), 2, "a name for the station"),
        (("import", "{f}", "--station", "K", "--unit", "kelvin"), 2, "a unit of temperature"),
        (("import", "{f}", "--station", "K", "--column", "least=1"), 2, "PART=COLUMN"),
        (("import", "{f}", "--station", "K", "--latitude", "north"), 2, "a latitude in degrees"),
        (("import", "{f}", "--station", "K", "--dates", "backwards"), 2, "--dates day-first or month-first"),
        (("day", "2027-03-01", "--min", "3C", "--max", "9C"), 2, "--station with the name"),
        (("day", "2027-03-01", "--min", "9C", "--max", "3C", "--station", "K"), 21, "not above the highest"),
        (("day", "2027-03-01", "--min", "9", "--max", "90", "--station", "K"), 21, "between -40 and 60 C"),
        (("use", "Nowhere"), 20, "No weather station 'Nowhere'"),
        (("place", "shed", "--min", "3C"), 2, "both --min 8C and --max 22C"),
        (("place", "shed", "--constant", "3C", "--max", "9C"), 2, "--constant 20C, or both"),
        (("place", "shed", "--min", "9C", "--max", "3C"), 21, "not above the highest"),
        (("station", "Nowhere", "--latitude", "52"), 20, "No weather station"),
        (("station", "Nowhere"), 2, "something to say of the station"),
        (("since", "2027-03-01"), 20, "No weather in this book"),
        (("callus",), 20, "No weather in this book"),
        (("chill",), 20, "No weather in this book"),
        (("show", "--place", "a", "--station", "b"), 2, "--place or --station"),
        (("show", "--since", "2027-03-02", "--until", "2027-03-01"), 2, "an --until from 2027-03-02 on"),
    ],
)  # fmt: skip
def test_words_that_cannot_be_followed_are_refused_and_nothing_is_recorded(
    on_sqlite, sqlite_location, spring, words, code, said
):
    before = contents(sqlite_location)
    refused(on_sqlite("weather", *(str(spring) if word == "{f}" else word for word in words)), code, said)
    assert before == contents(sqlite_location)


def test_a_day_typed_takes_the_place_of_another_and_a_day_to_come_is_a_forecast(graftbook, spring):
    graftbook("weather", "import", spring, "--station", "Kilbride")
    done = graftbook("weather", "day", "2027-03-02", "--min", "38F", "--max", "12.5C")
    assert (0, "Weather of Kilbride: 3.3 C to 12.5 C on 2027-03-02.\nIt takes the place of 5 C to 15 C.\n") == (
        done.code,
        done.out,
    )
    again = graftbook("weather", "day", "2027-03-02", "--min", "38F", "--max", "12.5C")
    assert "Nothing new" in again.out
    ahead = graftbook("weather", "day", "2027-12-03", "--min", "-1C", "--max", "4C")
    refused(graftbook("weather", "day", "9999-12-03", "--min", "1C", "--max", "4C"), 2, "a day up to 2200-12-31")
    assert "That day is to come: it is taken as a forecast." in ahead.out
    assert (
        0
        == graftbook("weather", "day", "2027-03-02", "--min", "1C", "--max", "4C", "--station", "own thermometer").code
    )
    assert ["Kilbride", "own thermometer"] == [row["station"] for row in graftbook("weather", "list", "--json").rows]


def test_places_are_told_their_weather_from_days_on(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    assert 0 == grafted("weather", "place", "Back  Room", "--constant", "20C").code
    later = grafted("weather", "place", "back room", "--min", "5C", "--max", "11C", "--from", "2027-04-07")
    assert "back room: weather kept between 5 C and 11 C from 2027-04-07." in later.out
    assert 0 == grafted("weather", "use", "Kilbride", "--place", "back room", "--from", "2027-04-20").code
    told = [(row["place"], row["on"], row["station"], row["low_c"], row["high_c"]) for row in
            grafted("weather", "place", "--json").rows]  # fmt: skip
    assert [
        (None, None, "Kilbride", None, None), ("back room", None, None, 20, 20),
        ("back room", "2027-04-07", None, 5, 11), ("back room", "2027-04-20", "Kilbride", None, None),
    ] == told  # fmt: skip
    rows = grafted("weather", "since", "grafting", "--until", "2027-04-21", "--json").rows
    by_code = {row["what"]: row for row in rows}
    assert 6 * 15 + 13 * 3 + 2 * 5 == by_code["G1"]["degree_days"]
    assert (19 * 5, 19, 2) == tuple(by_code["G3"][name] for name in ("degree_days", "days", "missing"))
    assert ("back room", 0) == (by_code["G1"]["place"], by_code["G1"]["missing"])


def test_a_sum_names_its_gaps_and_how_it_is_counted(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    done = grafted("weather", "since", "2027-04-01", "--place", "orchard", "--until", "2027-04-30")
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
    refused(grafted("weather", "since", "2027-05-01", "--until", "2027-04-01"), 21, "an --until from 2027-05-01 on")
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
        ("code", "kind", "state", "degree_days", "heat_min", "heat_max", "from_on", "to_on", "reckoned")
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
    other = grafted("weather", "chill", "--hours", "below-7.2", "--utah", "f", "--until", "2027-01-31")
    assert "every hour below 7.2 C" in other.out
    assert "whole degrees F" in other.out
    refused(grafted("weather", "chill", "--hours", "45F"), 2, "0-7.2, below-7.2")
    refused(grafted("weather", "chill", "--utah", "K"), 2, "a Utah table: C, F")


def test_a_book_in_fahrenheit_speaks_fahrenheit(grafted):
    grafted("settings", "temperature=F")
    assert "back room: weather kept at 68 F." in grafted("weather", "place", "back room", "--constant", "68").out
    shown = " ".join(grafted("weather", "callus", "G1", "--as-of", "2027-04-05").out.split())
    assert "best 55 to 64 F" in shown
    assert "C-days above 39 F" in shown
    assert "Temperatures: kept at 68 F." in shown
    since = " ".join(grafted("weather", "since", "grafting", "--base", "50", "--until", "2027-04-02").out.split())
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


def test_a_station_can_be_renamed_but_not_to_another_ones_name(graftbook, spring, location):
    graftbook("weather", "import", spring, "--station", "Kilbride")
    graftbook("weather", "day", "2027-03-01", "--min", "1C", "--max", "2C", "--station", "Own")
    assert 0 == graftbook("weather", "station", "kilbride", "--rename", "Kilbride Green").code
    refused(graftbook("weather", "station", "Own", "--rename", "KILBRIDE GREEN"), 21, "a name no other station has")
    assert ["Kilbride Green", "Own"] == [row["station"] for row in graftbook("weather", "list", "--json").rows]


def test_days_are_shown_with_their_gaps(graftbook, spring):
    graftbook("weather", "import", spring, "--station", "Kilbride")
    found = graftbook(
        "weather", "show", "--station", "Kilbride", "--since", "2027-04-05", "--until", "2027-04-08", "--csv"
    )
    assert "on,low_c,high_c\n2027-04-05,5.0,15.0\n2027-04-06,,\n2027-04-07,,\n2027-04-08,5.0,15.0\n" == found.out
    shown = graftbook("weather", "show", "--since", "2027-04-05", "--until", "2027-04-08")
    assert "Without a temperature: 2 days (2027-04-06 to 2027-04-07)." in shown.out


def test_line_ends_of_any_machine_are_read(on_sqlite, tmp_path):
    for number, end in enumerate((b"\r\n", b"\r", b"\n")):
        path = tmp_path / f"{number}.csv"
        path.write_bytes(b"\xef\xbb\xbf" + end.join([b"date,min_c,max_c", b"2027-03-01,1,9", b"2027-03-02,1,9", b""]))
        done = on_sqlite("weather", "import", path, "--station", f"S{number}")
        assert (0, True) == (done.code, "2 new days" in done.out)


def test_gzipped_and_utf_16_files_are_told_apart(on_sqlite, file, tmp_path, spring):
    import gzip

    packed = tmp_path / "w.csv.gz"
    packed.write_bytes(gzip.compress(spring.read_bytes()))
    assert 0 == on_sqlite("weather", "import", packed, "--station", "Kilbride").code
    half = tmp_path / "half.csv.gz"
    half.write_bytes(packed.read_bytes()[:-20])
    refused(on_sqlite("weather", "import", half, "--station", "Kilbride"), 3, "a damaged file")
    plain = tmp_path / "plain.csv.gz"
    plain.write_bytes(spring.read_bytes())
    refused(on_sqlite("weather", "import", plain, "--station", "Kilbride"), 3, "a damaged file")
    wide = tmp_path / "wide.csv"
    wide.write_text("date,min_c,max_c\n", encoding="utf-16")
    refused(on_sqlite("weather", "import", wide, "--station", "Kilbride"), 3, "UTF-16 text")
    damaged = tmp_path / "damaged.csv"
    damaged.write_bytes(b"date,min_c,max_c\n2027-03-01,\0,3\n")
    refused(on_sqlite("weather", "import", damaged, "--station", "Kilbride"), 3, "line 2: found a NUL sign")


def test_every_verb_has_help_with_an_example(on_sqlite):
    for verb in ("import", "day", "list", "show", "use", "place", "station", "since", "callus", "chill"):
        done = on_sqlite("weather", verb, "--help")
        assert (0, True) == (done.code, "Example:" in done.out)


def year(days=365, **changed):
    values = {"lows": ["1"] * days, "highs": ["9"] * days, **changed}
    return f"Kilbride,2027,{' '.join(values['lows'])},{' '.join(values['highs'])}\n"


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("weather", "station,year,lows_c,highs_c\n" + year(364), ("found 364 days", "365 temperatures")),
        ("weather", "station,year,lows_c,highs_c\n" + year(lows=["10", *["."] * 364]), ("10 on 2027-01-01", "highest of")),
        ("weather", "station,year,lows_c,highs_c\n" + year() + year(), ("each year of a station once",)),
        ("weather", "station,year,lows_c,highs_c\n" + year(lows=["cold"] * 365), ("a temperature in C for each day",)),
        ("weather", "station,year,lows_c,highs_c\n" + year().replace("Kilbride", "Else"), ("a weather station in the book",)),
        ("stations", "name,known_as,latitude\nKilbride,,52\n", ("each weather station once",)),
        ("stations", "name,known_as,latitude\nOther,,152\n", ("a latitude in degrees",)),
        ("place_weather", "place,on,station,low_c,high_c\nshed,2027-01-01,,3,\n", ("both low_c and high_c",)),
        ("place_weather", "place,on,station,low_c,high_c\nshed,2027-01-01,Else,,\n", ("a weather station in the book",)),
        ("place_weather", "place,on,station,low_c,high_c\nshed,2027-01-01,,9,3\n", ("no more than high_c, 3",)),
    ],
)  # fmt: skip
def test_weather_in_the_books_own_files_is_checked(on_sqlite, sqlite_location, file, name, text, said):
    on_sqlite("weather", "import", file(csv_of("2026-03-01", [(1, 9)])), "--station", "Kilbride")
    before = contents(sqlite_location)
    refused(on_sqlite("import", file(text, f"{name}.csv")), 3, *said)
    assert before == contents(sqlite_location)


def test_a_station_that_places_rest_on_cannot_be_undone_away(on_sqlite, spring):
    entry = on_sqlite("weather", "import", spring, "--station", "Kilbride", "--json").json["entry"]
    on_sqlite("weather", "use", "Kilbride", "--place", "orchard")
    refused(on_sqlite("undo", entry), 21, "orchard: weather Kilbride")
