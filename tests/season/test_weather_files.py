"""Weather files of every form read, and everything that can be wrong with them said at once with its place."""

from __future__ import annotations

from datetime import date

import pytest

from graftbook import dates
from graftbook.errors import BadData, Refused, UsageProblem
from graftbook.season import weather_dly, weather_reading
from graftbook.season.weather_reading import FileOptions
from graftbook.season.weather_units import celsius, read_unit

# The table of the readme of GHCN-Daily, section III (National Centers for Environmental Information, doi
# 10.7289/V5D21VHZ): variable and columns, counted from 1.
README = {
    "ID": (1, 11), "YEAR": (12, 15), "MONTH": (16, 17), "ELEMENT": (18, 21), "VALUE1": (22, 26), "MFLAG1": (27, 27),
    "QFLAG1": (28, 28), "SFLAG1": (29, 29), "VALUE2": (30, 34), "VALUE31": (262, 266), "SFLAG31": (269, 269),
}  # fmt: skip


def read(text, order=None, **said):
    options = FileOptions(**{**said, "columns": tuple(said.get("columns", {}).items())})
    return weather_reading.read(
        "w", text.splitlines(keepends=True), lambda day: dates.read_date(day, date(2027, 11, 30), order), options
    )


def problems(text, **said):
    with pytest.raises(BadData) as raised:
        read(text, **said)
    return [(one.line, one.column, one.found, one.accepted) for one in raised.value.problems]


def dly(element, values, month=(2027, 2), station="USW00000001", flags=None):
    """One line, each field put where the readme's table says."""
    line = [" "] * 269
    first = {"ID": station, "YEAR": str(month[0]), "MONTH": f"{month[1]:02}", "ELEMENT": element}
    for name, text in first.items():
        begin, end = README[name]
        line[begin - 1 : end] = text.ljust(end - begin + 1)
    for at in range(31):
        begin = README["VALUE1"][0] - 1 + 8 * at
        line[begin : begin + 5] = f"{values[at] if at < len(values) else -9999:5}"
        line[begin + 6] = (flags or {}).get(at + 1, " ")
    assert 269 == len(line)
    return "".join(line) + "\n"


def ordinal(day):
    return date.fromisoformat(day).toordinal()


def test_the_fields_of_a_dly_line_are_those_of_the_readme():
    assert README == {name: (begin, end) for name, begin, end in weather_dly.FIELDS}
    assert README["VALUE31"][0] == README["VALUE1"][0] + 30 * 8


def test_a_dly_file_gives_tenths_as_degrees_and_drops_what_failed_a_check():
    text = (
        dly("TMAX", [55, 60, -9999, 71], flags={2: "I"}) + dly("PRCP", [5] * 28) + dly("TMIN", [-12, 5, 7, 8])
    )  # fmt: skip
    found = read(text)
    assert {ordinal("2027-02-01"): 5.5, ordinal("2027-02-04"): 7.1} == dict(found.highs)
    assert [-1.2, 0.5, 0.7, 0.8] == [found.lows[ordinal(f"2027-02-0{day}")] for day in (1, 2, 3, 4)]
    assert ("GHCN-Daily .dly", "tenths", "USW00000001", 1) == (found.form, found.unit, found.station, found.flagged)
    assert 1 + 24 + 24 == found.missing


def test_the_leap_day_is_read_and_one_that_is_not_there_is_a_problem():
    assert (
        9.0 == read(dly("TMAX", [90] * 29, (2028, 2)) + dly("TMIN", [10] * 29, (2028, 2))).highs[ordinal("2028-02-29")]
    )
    (found,) = problems(dly("TMAX", [90] * 29, (2027, 2)) + dly("TMIN", [10] * 28, (2027, 2)))
    assert (1, 22 + 8 * 28, "'   90'") == found[:3]


def test_a_dly_line_cut_short_is_a_problem_for_every_day_that_is_lost():
    whole = dly("TMAX", [90] * 28)
    found = problems(whole[: 21 + 8 * 26 + 3] + "\n" + dly("TMIN", [10] * 28))
    assert [(1, 22 + 8 * 26), (1, 22 + 8 * 27)] == [(line, column) for line, column, *_ in found][-2:]


def test_days_before_1900_are_left_out_and_counted():
    found = read(
        dly("TMAX", [90] * 31, (1899, 12)) + dly("TMAX", [90] * 31, (1900, 1)) + dly("TMIN", [0] * 31, (1900, 1))
    )
    assert (31, 31) == (len(found.highs), found.early)


BY_YEAR = """USW00000001,20270301,TMAX,111,,,W,0700
USW00000001,20270301,TMIN,22,,,W,0700
USW00000002,20270301,TMIN,-5,,,W,
USW00000001,20270302,TMAX,900,,X,W,
USW00000001,20270302,TMIN,31,,,W,
USW00000001,20270302,PRCP,31,,,W,
"""


def test_a_year_of_many_stations_gives_the_one_that_is_asked_for():
    found = read(BY_YEAR, station="usw00000001")
    assert ({ordinal("2027-03-01"): 11.1}, 1) == (dict(found.highs), found.flagged)
    assert [2.2, 3.1] == list(found.lows.values())
    with pytest.raises(UsageProblem, match=r"--id .*USW00000001, USW00000002"):
        read(BY_YEAR)
    assert "no line of station UK1" in problems(BY_YEAR, station="UK1")[0][2]


NCEI = """"STATION","DATE","LATITUDE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"USW00000001","2027-03-01","52.3","{0}",",,W","{1}",",,W"
"USW00000001","2027-03-02","52.3","","","{1}",",D,W"
"USW00000001","2027-03-03","52.3","{0}","H,,S","{1}",",,W"
"""


def test_daily_summaries_are_read_with_their_latitude_and_flags():
    found = read(NCEI.format("156", "-22"))
    assert ("tenths", 52.3, "daily summaries") == (found.unit, found.latitude, found.form)
    assert ([15.6, 15.6], [-2.2, -2.2], 1, 1) == (
        list(found.highs.values()), list(found.lows.values()), found.flagged, found.missing,
    )  # fmt: skip


def test_a_unit_the_file_does_not_name_must_be_said():
    with pytest.raises(UsageProblem, match=r"--unit C, --unit F or --unit tenths.*could be C or F"):
        read(NCEI.format("15.6", "-2.2"))
    with pytest.raises(UsageProblem, match="--unit"):
        read("date,min,max\n2027-03-01,38,51\n")
    assert [15.6] == list(set(read(NCEI.format("15.6", "-2.2"), unit="C").highs.values()))


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        ("date,tmin,tmax\n2027-03-01,3.5,11\n", {}),
        ("Date;Min Temp (°C);Max Temp (°C)\n2027-03-01;3,5;11\n", {}),
        ("STATIONS_ID;MESS_DATUM; TXK; TNK;eor\n 44;20270301;  11.0;   3.5;eor\n", {}),
        ("Year,Month,Day,min_c,max_c\n2027,03,01,3.5,11\n", {}),
        ("Station,When,Air least,Air most\nX,1 Mar 2027,3.5,11\n", {"date": "When", "min": "Air least", "max": "4"}),
        ("\n\ufeffdate\tlow\thigh\n2027-03-01 00:00:00\t3.5\t11\n", {}),
    ],
)
def test_any_csv_is_read_whose_columns_are_named_or_plain(text, columns):
    found = read(text.replace("\ufeff", ""), columns=columns, unit="C")
    assert ({ordinal("2027-03-01"): 3.5}, {ordinal("2027-03-01"): 11.0}) == (dict(found.lows), dict(found.highs))


def test_fahrenheit_is_kept_to_a_hundredth():
    found = read("date,min (F),max (F)\n2027-03-01,38,51.8\n")
    assert ("F", 3.33, 11.0) == (found.unit, found.lows[ordinal("2027-03-01")], found.highs[ordinal("2027-03-01")])
    assert (-40, -4, 15.61, 3.33) == (
        celsius(-40, "F"),
        celsius(-40, "tenths"),
        celsius(601, "tenths-F"),
        celsius(38, "F"),
    )
    assert ("tenths-F", "C") == (read_unit("tenths-f"), read_unit("Celsius"))


@pytest.mark.parametrize("mark", ["", "-9999", "-999", "9999.9", "9999", "---", "M", "-999.0", "NA"])
def test_every_mark_for_missing_is_a_gap_and_never_a_temperature(mark):
    found = read(f"date,min_c,max_c\n2027-03-01,{mark},9\n2027-03-02,1,9\n")
    assert ([ordinal("2027-03-02")], 1) == (list(found.lows), found.missing)


def test_all_that_is_wrong_comes_back_at_once_with_line_and_column():
    text = (
        "date,min_c,max_c\n2027-03-01,5,4\n2027-02-30,1,2\nsoon,1,2\n2027-03-02,warm,9\n2027-03-03,1\n2027-03-04,1,9\n"
        "2027-03-04,2,9\n2027-03-05,1,77\n2027-03-06T14:00,1,9\n"
    )
    found = problems(text)
    assert [2, 3, 4, 5, 6, 8, 9, 10] == [one[0] for one in found]
    by_line = {one[0]: one for one in found}
    assert "a lowest of 5 C and a highest of 4 C on 2027-03-01" == by_line[2][2]
    assert (1, "a day that exists, such as 2027-01-14") == (by_line[3][1], by_line[3][3])
    assert (2, "'warm'") == by_line[5][1:3]
    assert "may be cut short" in by_line[6][3]
    assert (2, "2 for 2027-03-04", "one lowest a day; line 7 says 1") == by_line[8][1:]
    assert "a highest of 77 C" in by_line[9][2]
    assert "hourly files are not read" in by_line[10][3]


def test_the_same_day_twice_with_the_same_values_is_one_day():
    assert 1 == len(read("date,min_c,max_c\n2027-03-01,5,9\n2027-03-01,5,9\n").highs)


def season(unit, start=date(2027, 4, 1), days=120):
    rows = ["date,min,max"]
    for at in range(days):
        low, high = 8 + at % 7, 19 + at % 11
        shown = {
            "C": (low, high), "F": (low * 1.8 + 32, high * 1.8 + 32), "tenths": (low * 10, high * 10),
        }[unit]  # fmt: skip
        rows.append(f"{date.fromordinal(start.toordinal() + at)},{shown[0]:.10g},{shown[1]:.10g}")
    return "\n".join(rows) + "\n"


@pytest.mark.parametrize(
    ("wrote", "said", "step"),
    [("F", "C", "say --unit F"), ("tenths", "C", "say --unit tenths"), ("tenths", "F", "say --unit tenths")],
)
def test_a_season_that_cannot_be_in_its_unit_is_asked_about(wrote, said, step):
    with pytest.raises(Refused, match=step) as raised:
        read(season(wrote), unit=said)
    assert "Is the unit right?" in str(raised.value)


def test_a_year_in_degrees_read_as_fahrenheit_or_tenths_is_asked_about():
    for unit in ("F", "tenths"):
        with pytest.raises(Refused, match="warmest tenth"):
            read(season("C", days=330), unit=unit)
    assert 330 == len(read(season("C", days=330), unit="F", sure=True).highs)


def test_a_unit_other_than_the_headers_name_is_asked_about():
    text = "date,min (°C),max (°C)\n2027-03-01,3,11\n"
    with pytest.raises(Refused, match="The headers of w name the unit C, but --unit says F. Leave --unit out"):
        read(text, unit="F")
    assert "F" == read(text, unit="F", sure=True).unit


def test_two_stations_in_one_file_are_not_mixed():
    text = "station,date,min_c,max_c\nA,2027-03-01,1,9\nB,2027-03-01,2,9\n"
    with pytest.raises(UsageProblem, match="A, B"):
        read(text)
    assert [2.0] == list(read(text, station="B").lows.values())


@pytest.mark.parametrize("text", ["", "\n\n \n"])
def test_an_empty_file_says_so(text):
    assert [(0, 0, "an empty file")] == [one[:3] for one in problems(text)]


def test_lines_are_counted_from_the_top_of_the_file_blank_ones_too():
    assert [(4, 2, "'warm'")] == [one[:3] for one in problems("\n\ndate,min_c,max_c\n2027-03-01,warm,9\n")]


def test_a_file_whose_lines_cannot_be_told_apart_is_a_problem():
    assert "cannot be read" in problems('date,min_c,max_c\n"' + "x" * 140_000 + "\n")[0][2]


def test_a_day_beyond_any_forecast_is_a_problem():
    assert (2, 1, "'9999-01-01'") == problems("date,min_c,max_c\n9999-01-01,1,9\n")[0][:3]


def test_a_station_is_looked_for_only_where_there_is_a_column_of_them():
    with pytest.raises(UsageProblem, match="a column of stations"):
        read("date,min_c,max_c\n2027-03-01,1,9\n", station="A")


def test_a_polar_year_of_a_form_with_a_fixed_unit_is_not_asked_about():
    months = "".join(dly(element, [tenths] * 31, (2027, month)) for month in (1, 3, 5, 7, 8, 10, 12)
                     for element, tenths in (("TMIN", -300), ("TMAX", -150)))  # fmt: skip
    year = months + "".join(dly(element, [tenths] * 30, (2027, month)) for month in (4, 6, 9, 11)
                            for element, tenths in (("TMIN", -300), ("TMAX", -150)))  # fmt: skip
    assert 337 == len(read(year).highs)


def test_a_file_with_headers_alone_has_no_temperature():
    assert "no temperature" == problems("date,min_c,max_c\n")[0][2]


@pytest.mark.parametrize(
    ("text", "columns", "said"),
    [
        ("when,cold,warm\n", {}, r"--column date=Day"),
        ("date,min_c,max_c\n", {"min": "nothing"}, "a column for the min"),
        ("date,min,tmin,max\n", {}, r"one column for the min.*--column min=NAME"),
    ],
)
def test_columns_that_cannot_be_told_must_be_named(text, columns, said):
    with pytest.raises(UsageProblem, match=said):
        read(text, columns=columns)


def test_columns_are_typed_as_part_and_name():
    assert (("date", "Day"), ("min", "Air min")) == weather_reading.named_columns(["date=Day", "min=Air min"])
    assert (("date", "Day"), ("min", "2")) == weather_reading.named_columns(["date=Day,min=2"])
    for bad in ("min", "least=3", "min="):
        with pytest.raises(UsageProblem, match="PART=COLUMN"):
            weather_reading.named_columns([bad])


def test_nothing_is_said_of_files_whose_form_is_fixed():
    for said in ({"unit": "F"}, {"columns": {"min": "2"}}):
        with pytest.raises(UsageProblem):
            read(dly("TMAX", [9] * 28), **said)


def test_days_are_read_in_the_order_that_is_told():
    assert [ordinal("2027-03-04")] == list(read("date,min_c,max_c\n4/3/2027,1,9\n", order="day-first").lows)
    assert "one day only" in problems("date,min_c,max_c\n4/3/2027,1,9\n")[0][3]
