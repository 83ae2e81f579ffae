"""Published outputs of degree-days, chilling hours, Utah units, growing degree hours and chill portions come out.

Each line of weather_checks.csv carries its source; `independent` says whether the number itself was printed, or only the
rule, or whether it was computed from a published formula. Every line is used by a test below, and a test holds that.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest

from graftbook.season import chill, degree_days

ROWS = tuple(
    csv.DictReader((Path(__file__).parent / "weather_checks.csv").read_text(encoding="utf-8").splitlines(), strict=True)
)
NUMBER = r"-?\d+(?:\.\d+)?"


def about(*beginnings):
    return [row for row in ROWS if row["topic"].startswith(beginnings)]


def named(rows):
    return [pytest.param(row, id=f"{row['topic'][:30]} {row['input'][:36]}") for row in rows]


def first_number(text):
    return float(re.search(NUMBER, text.replace("+", ""))[0])


def after(word, text):
    found = re.search(rf"{word} ({NUMBER})", text)
    return None if found is None else float(found[1])


WAVES = about("degree-day single")
AVERAGES = about(
    "degree-day simple average, floored", "degree-day simple average (cooling", "degree-day simple average"
)
HOURS = about("Utah chill unit", "chilling hour", "GDH")
PORTIONS = about("Dynamic model")
RULES = about("degree-day constant", "degree-day modified", "degree-day 4-case", "Utah tables disagree")


def test_every_published_line_is_checked():
    checked = {id(row) for row in (*WAVES, *AVERAGES, *HOURS, *PORTIONS, *RULES)}
    assert {id(row) for row in ROWS} == checked
    assert all(row["title"] for row in ROWS)


@pytest.mark.parametrize("row", named(WAVES))
def test_single_sine_and_triangle_give_what_was_printed(row):
    said = row["input"].replace(" F", "").replace(" C", "")
    low, high = after("Tmin", said), after("Tmax", said)
    base = after("lower", said) if "lower" in said else after("base", said)
    method = "sine" if "sine" in row["topic"] else "triangle"
    ours = degree_days.daily([low], [high], base, after("upper", said), method)
    assert first_number(row["expected"]) == pytest.approx(float(ours[0]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", named(AVERAGES))
def test_the_simple_average_gives_what_was_printed(row):
    said = row["input"].replace(" F", "")
    mean = after("day mean", said)
    low, high = (mean, mean) if mean is not None else (after("Tmin", said), after("Tmax", said))
    ours = degree_days.daily([low], [high], after("base", said), None, "average")
    assert first_number(row["expected"]) == pytest.approx(float(ours[0]), abs=float(row["tolerance"]))


def test_a_day_at_one_temperature_has_the_difference_to_the_threshold():
    (row,) = about("degree-day constant")
    for method in ("sine", "triangle", "average"):
        assert first_number(row["expected"]) == float(degree_days.daily([85.0], [85.0], 70.0, None, method)[0])


def test_clamping_each_extreme_is_the_other_average():
    (row,) = about("degree-day modified")
    assert row["expected"].endswith("= 18")
    assert 18 == float(degree_days.daily([40.0], [95.0], 50.0, 86.0, "clamped-average")[0])


def test_the_rule_in_four_cases_is_kept_in_each_of_them():
    (row,) = about("degree-day 4-case")
    assert row["expected"].endswith("= 2.5")
    lows, highs = np.array([7.0, 1.0, 4.0, 2.0]), np.array([11.0, 6.0, 12.0, 8.0])
    assert [3.0, 0.0, 2.5, 0.5] == degree_days.daily(lows, highs, 6.0, None, "four-case").tolist()


@pytest.mark.parametrize("row", named(HOURS))
def test_each_hour_counts_as_published(row):
    value, topic = first_number(row["input"]), row["topic"]
    if topic.startswith("Utah chill unit per hour (F"):
        ours = chill.utah_units(np.array([(value - 32) / 1.8]), "F")
    elif topic.startswith("Utah"):
        ours = chill.utah_units(np.array([value]), "C")
    elif topic.startswith("GDH"):
        ours = chill.growing_degree_hours(np.array([value]))
    else:
        ours = chill.chilling_hours(np.array([value]))
    assert first_number(row["expected"]) == pytest.approx(float(ours[0]), abs=float(row["tolerance"]))


def test_the_two_utah_tables_are_not_the_same():
    (row,) = about("Utah tables disagree")
    printed = [float(text) for text in row["expected"].split(" C against ")[0].split("/")]
    assert printed == pytest.approx(chill.UTAH_TABLES["F"][0], abs=0.01)
    hours = np.array([1.25, 15.75])
    assert [0.5, -0.5] == chill.utah_units(hours, "F").tolist()
    assert [0.0, 0.0] == chill.utah_units(hours, "C").tolist()


@pytest.mark.parametrize("row", named(PORTIONS))
def test_the_dynamic_model_gives_the_portions_of_its_constants(row):
    ours = np.nansum(chill.chill_portions(np.full(2000, first_number(row["input"]))))
    assert first_number(row["expected"]) == pytest.approx(float(ours), abs=float(row["tolerance"]))


def test_the_constants_of_the_dynamic_model_are_the_published_ones():
    """Fishman, Erez and Couvillon 1987 (Journal of Theoretical Biology 124:473-483); Erez and others 1990."""
    printed = [chill.E0, chill.E1, chill.A0, chill.A1, chill.SLOPE, chill.TETMLT_K, chill.KELVIN]
    assert [4153.5, 12888.8, 139500, 2.567e18, 1.6, 277, 273] == printed


def test_the_dynamic_model_agrees_with_its_equations_written_out_hour_by_hour():
    rng = np.random.default_rng(5)
    hours = 6 + 6 * np.sin(np.arange(2400) / 24 * 2 * np.pi) + rng.normal(0, 3, 2400)
    total, held = 0.0, 0.0
    for celsius in hours:
        kelvin = celsius + 273
        share = np.exp(1.6 * 277 * (kelvin - 277) / kelvin)
        target = 139500 / 2.567e18 * np.exp((12888.8 - 4153.5) / kelvin)
        held = target - (target - held) * np.exp(-2.567e18 * np.exp(-12888.8 / kelvin))
        if held >= 1:
            part = held * share / (1 + share)
            total, held = total + part, held - part
    assert total == pytest.approx(float(np.nansum(chill.chill_portions(hours))), rel=1e-9)
    assert total > 30
