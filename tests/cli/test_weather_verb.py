"""weather through the command line, on both databases: days in, places stated, warmth, callus, chill, and what goes wrong."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from refusals import refused
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
    refused(graftbook("weather", "import", second, "--station", "Kilbride"), 21, "Kilbride is station XX000000001",
            "these files are of XX000000002", "a name of its own")  # fmt: skip
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
        (("day", "2027-03-01", "--min", "9C", "--max", "3C", "--station", "K"), 21, "above the highest, 3 C. Give the lowest"),
        (("day", "2027-03-01", "--min", "9", "--max", "90", "--station", "K"), 21, "between -40 and 60 C"),
        (("use", "Nowhere"), 20, "No weather station 'Nowhere'"),
        (("place", "shed", "--min", "3C"), 2, "both --min 8C and --max 22C"),
        (("place", "shed", "--constant", "3C", "--max", "9C"), 2, "--constant 20C, or both"),
        (("place", "shed", "--min", "9C", "--max", "3C"), 21, "above the highest, 3 C. Give the lowest"),
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
    refused(graftbook("weather", "day", "2201-12-03", "--min", "1C", "--max", "4C"), 2, "a day up to 2200-12-31")
    assert "That day is to come: it is taken as a forecast." in ahead.out
    assert (
        0
        == graftbook("weather", "day", "2027-03-02", "--min", "1C", "--max", "4C", "--station", "own thermometer").code
    )
    assert ["Kilbride", "own thermometer"] == [row["station"] for row in graftbook("weather", "list", "--json").rows]


def test_places_have_their_weather_stated_from_days_on(grafted, spring):
    grafted("weather", "import", spring, "--station", "Kilbride")
    assert 0 == grafted("weather", "place", "Back  Room", "--constant", "20C").code
    later = grafted("weather", "place", "back room", "--min", "5C", "--max", "11C", "--from", "2027-04-07")
    assert "back room: weather kept between 5 C and 11 C from 2027-04-07." in later.out
    assert 0 == grafted("weather", "use", "Kilbride", "--place", "back room", "--from", "2027-04-20").code
    stated = [(row["place"], row["on"], row["station"], row["low_c"], row["high_c"]) for row in
            grafted("weather", "place", "--json").rows]  # fmt: skip
    assert [
        (None, None, "Kilbride", None, None), ("back room", None, None, 20, 20),
        ("back room", "2027-04-07", None, 5, 11), ("back room", "2027-04-20", "Kilbride", None, None),
    ] == stated  # fmt: skip
    rows = grafted("weather", "since", "grafting", "--until", "2027-04-21", "--json").rows
    by_code = {row["what"]: row for row in rows}
    assert 6 * 15 + 13 * 3 + 2 * 5 == by_code["G1"]["degree_days"]
    assert (19 * 5, 19, 2) == tuple(by_code["G3"][name] for name in ("degree_days", "days", "missing"))
    assert ("back room", 0) == (by_code["G1"]["place"], by_code["G1"]["missing"])


def test_a_station_can_be_renamed_but_not_to_another_ones_name(graftbook, spring, location):
    graftbook("weather", "import", spring, "--station", "Kilbride")
    graftbook("weather", "day", "2027-03-01", "--min", "1C", "--max", "2C", "--station", "Own")
    assert 0 == graftbook("weather", "station", "kilbride", "--rename", "Kilbride Green").code
    refused(graftbook("weather", "station", "Own", "--rename", "KILBRIDE GREEN"), 21,
            "Another station is called 'Kilbride Green' already", "a name no other station has")  # fmt: skip
    refused(graftbook("weather", "station", "Own", "--rename", " "), 21, "A station needs a name; ' ' is none")
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
