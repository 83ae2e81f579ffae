"""take by what other rooms compute: days from green tip, warmth, what the joint meets, and names in doubt."""

import pytest
from filling import Filling, day

from graftbook.actions.takes.factor_text import sort_key


@pytest.fixture
def orchard(graftbook, location):
    """Eight apple grafts on P1-P8 in the Row: four in a cold first week, three of which died, and four in a warm third."""
    with Filling(location) as filling:
        wood = filling.wood()
        for made, states in (("04-01", ("dead", "dead", "dead", "growing")), ("04-15", ("growing",) * 4)):
            for state in states:
                graft = filling.graft(wood, filling.stock(place="Row"), made=made, scion_mm=7.0, stock_mm=9.0)
                filling.looks(graft, f"08-01 {state}")
    return graftbook


def test_grafts_are_grouped_by_the_week_from_green_tip_of_their_plant_or_kind(orchard):
    none = orchard("take", "--by", "days-from-green-tip", "--json").rows
    assert [None] == [row["days_from_green_tip"] for row in none]
    assert orchard("stock", "stage", "P1", "green tip", "--on", day("04-05").isoformat()).code == 0
    rows = orchard("take", "--by", "days-from-green-tip", "--json").rows
    assert [("-7 to -1", 1, 4), ("7 to 13", 4, 4)] == [(row["days_from_green_tip"], row["k"], row["n"]) for row in rows]
    run = orchard("take", "compare", "days-from-green-tip<0", "--json")
    assert ["under 0 days", "0 days or more"] == [run.rows[0]["first"], run.rows[0]["second"]]


def test_grafts_are_grouped_by_the_warmth_of_their_first_fortnight(orchard):
    assert [None] == [row["warmth"] for row in orchard("take", "--by", "warmth", "--json").rows]
    year = day("04-01").year
    orchard("weather", "place", "Row", "--constant", "6C", "--from", f"{year}-03-01")
    orchard("weather", "place", "Row", "--constant", "16C", "--from", f"{year}-04-15")
    rows = orchard("take", "--by", "warmth", "--json").rows
    assert [("0-50 C-days", 1, 4), ("150-200 C-days", 4, 4)] == [(row["warmth"], row["k"], row["n"]) for row in rows]
    run = orchard("take", "compare", "warmth<100", "--json")
    assert (1, 4, 4, 4) == tuple(run.rows[0][name] for name in ("k_first", "n_first", "k_second", "n_second"))


def test_grafts_are_grouped_by_what_their_joint_can_meet_where_both_sides_were_measured(orchard, location):
    with Filling(location) as filling:
        filling.graft(filling.wood(), filling.stock(), scion_mm=9.0)
    rows = orchard("take", "--by", "joint-share", "--json").rows
    assert {None: 1} == {row["joint_share"]: row["made"] for row in rows if row["joint_share"] is None}
    assert 8 == sum(row["made"] for row in rows if row["joint_share"] is not None)


def test_a_graft_in_doubt_stands_in_a_row_of_its_own(orchard):
    assert orchard("name", "G8", "Kilwarden Pippin or Dun Reinette").code == 0
    rows = orchard("take", "--by", "cultivar", "--json").rows
    named = {row["cultivar"]: row["made"] for row in rows}
    assert 8 == sum(named.values())
    assert any(" or " in (name or "") for name in named)


def test_a_curve_is_asked_over_green_tip_and_warmth(orchard):
    for axis in ("days-from-green-tip", "warmth"):
        run = orchard("take", "curve", "--x", axis, "--json")
        assert (0, True) == (run.code, bool(run.json["notes"]))


@pytest.mark.parametrize("asked", ["warmth<cold", "joint-share<2", "days-from-green-tip<1.5", "joint-share>-1"])
def test_a_bound_that_cannot_be_is_refused(orchard, asked):
    run = orchard("take", "compare", asked)
    assert (2, "") == (run.code, run.out)


def test_weeks_before_green_tip_stand_before_those_after():

    weeks = ["-14 to -8", "-7 to -1", "0 to 6", "7 to 13", "14 to 20"]
    assert weeks == sorted(reversed(weeks), key=sort_key)
    assert ["2025-03", "2025-11"] == sorted(["2025-11", "2025-03"], key=sort_key)
