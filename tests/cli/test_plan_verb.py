"""plan: pairs for a grafting day, kept and shown; what is short, what it rests on, and why there is none."""

from __future__ import annotations

from collections import Counter
from datetime import date

import pytest
from filling import Filling
from whole_book import contents

DAY = "2027-03-14"


@pytest.fixture
def bench(location):
    """Six stocks on two sites, a pear stock, and eight sticks of two cultivars."""
    with Filling(location) as book:
        for site in ("orchard", "orchard", "orchard", "school", "school", "school"):
            book.stock(site=site, mm=9.0)
        book.stock("Cydonia oblonga", "Quince A", 8.0)
        book.wood(sticks=3, length_mm=300.0, diameter_min_mm=8.0)
        book.wood("Pyrus communis", "Butter Bergamot", sticks=2, length_mm=300.0, diameter_max_mm=8.0)


def planned(graftbook, *words):
    return graftbook("plan", "--on", DAY, *words, "--json", today="2027-03-01")


def test_a_plan_gives_each_piece_and_each_stock_once_and_is_kept(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 4, "--living", 2, "--sites", 2)
    graftbook("want", "add", "Butter Bergamot", 1)
    done = planned(graftbook)
    rows, facts = done.rows, done.json

    assert (0, "") == (done.code, done.err)
    assert ("optimal", 1, DAY) == (facts["status"], facts["plan"], facts["day"])
    assert len(rows) == len({row["host"] for row in rows}) == len({(r["wood"], r["stick"], r["piece"]) for r in rows})
    assert {"orchard", "school"} == {row["site"] for row in rows if row["cultivar"] == "Stoneway Pearmain"}
    assert ["P7"] == [row["host"] for row in rows if row["cultivar"] == "Butter Bergamot"]
    assert list(range(1, len(rows) + 1)) == [row["line"] for row in rows]
    assert rows == graftbook("plan", "show", "--json").rows


def test_one_cultivar_at_a_time_and_each_stick_cut_to_its_end(graftbook, bench):
    graftbook("want", "add", "Butter Bergamot", 1, "--priority", 1)
    graftbook("want", "add", "Stoneway Pearmain", 5)
    rows = planned(graftbook).rows
    order = [(row["cultivar"], row["wood"], row["stick"], row["piece"]) for row in rows]

    assert "Butter Bergamot" == rows[0]["cultivar"]
    assert 2 == len(list(dict.fromkeys(row["cultivar"] for row in rows)))
    assert order[1:] == sorted(order[1:])


def test_sticks_are_not_cut_into_more_buds_than_they_have(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 40)
    buds = Counter()
    for row in planned(graftbook).rows:
        buds[row["wood"], row["stick"]] += row["buds"]

    assert buds
    assert max(buds.values()) <= 6


def test_the_chance_is_the_growers_own_count_where_there_is_one(graftbook, location, bench):
    with Filling(location) as book:
        wood = book.wood(cultivar="Lanternside Russet")
        for at in range(6):
            graft = book.graft(wood, book.stock(place="old"), "whip-and-tongue", made="2026-03-01")
            book.looks(graft, "2026-06-01 growing, 2026-08-01 growing" if at < 3 else "2026-06-01 dead")
    graftbook("want", "add", "Stoneway Pearmain", 2)
    graftbook("want", "add", "Butter Bergamot", 1)
    rows = planned(graftbook, "--method", "whip-and-tongue").rows
    apple = next(row for row in rows if row["cultivar"] == "Stoneway Pearmain" and row["buds"] == 3)
    pear = next(row for row in rows if row["cultivar"] == "Butter Bergamot")

    assert ("own", 3, 6) == (apple["basis"], apple["k"], apple["n"])
    assert (3 + 2 * 0.83) / 8 == pytest.approx(apple["chance"])
    assert ("published", None, None) == (pear["basis"], pear["k"], pear["n"])


def test_what_is_short_is_said_by_what_is_missing(graftbook, bench):
    graftbook("want", "add", "Marrow Pippin", 2, "--living", 1)
    graftbook("want", "add", "Butter Bergamot", 3)
    graftbook("want", "add", "Stoneway Pearmain", 2, "--sites", 2, "--stock", "M.9")
    done = planned(graftbook)
    short = {(each["want"], each["of"]) for each in done.json["short"]}

    assert {(1, "sticks"), (2, "stocks"), (3, "stocks")} <= short
    assert "there is no wood of it" in done.out
    assert any("not met" in note for note in done.json["notes"])


def test_buds_held_back_are_not_planned_and_the_cost_is_said(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 6, "--stock", "MM.106")
    plain, held = planned(graftbook), planned(graftbook, "--hold-back", 12)

    assert 6 <= len(plain.rows)
    assert sum(row["buds"] for row in held.rows) <= 18 - 12
    assert any(note.startswith("Holding 12 buds of every cultivar back costs") for note in held.json["notes"])


def test_cultivars_in_one_place_only_are_named(graftbook, bench):
    graftbook("tree", "add", "Lanternside Russet", "--species", "apple", "--place", "home row")
    for place in ("north", "south"):
        graftbook("tree", "add", "Old Costard", "--species", "apple", "--place", place)
    graftbook("want", "add", "Stoneway Pearmain", 1)
    notes = " ".join(planned(graftbook).json["notes"])

    assert "In one place only, and not in this plan: 'Lanternside Russet' (home row)." in notes


def test_a_dry_run_keeps_nothing(graftbook, location, bench):
    graftbook("want", "add", "Stoneway Pearmain", 1)
    before = contents(location)
    done = planned(graftbook, "--dry-run")

    assert (0, None) == (done.code, done.json["plan"])
    assert before == contents(location)


def test_plans_are_listed_and_one_is_undone(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 1)
    entry = planned(graftbook).json["entry"]
    (row,) = graftbook("plan", "list", "--json").rows

    assert (1, DAY, None) == (row["plan"], row["day"], row["done_on"])
    assert 0 == graftbook("undo", entry).code
    assert [] == graftbook("plan", "list", "--json").rows
    assert 20 == graftbook("plan", "show").code


def test_wood_under_a_note_is_left_alone_unless_asked_for(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 1)
    assert (
        0 == graftbook("wood", "note", "W1", "--health", "suspect", "--on", "2027-02-01", "--note", "canker near").code
    )
    done = planned(graftbook)

    assert (23, "") == (done.code, done.out)
    assert "Your note on W1: suspect, canker near" in done.err
    assert 0 == planned(graftbook, "--despite-notes").code


def test_pear_is_not_planned_on_apple_even_where_doubtful_unions_are_asked_for(graftbook, bench):
    """University of New Hampshire Cooperative Extension, Grafting Fruit Trees in the Home Orchard: apple and pear do not cross."""
    graftbook("want", "add", "Butter Bergamot", 2, "--stock", "MM.106")

    assert 23 == planned(graftbook).code
    assert 23 == planned(graftbook, "--doubtful").code


def test_only_what_is_named_is_planned(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 3)
    graftbook("want", "add", "Butter Bergamot", 1)
    school = planned(graftbook, "--wants", 1, "--place", "school")
    named = planned(graftbook, "--wants", 1, "--host", "P1-P2", "--positions", 2)
    without = planned(graftbook, "--without", "P1,W2")

    assert {"school"} == {row["site"] for row in school.rows}
    assert {"P1", "P2"} == {row["host"] for row in named.rows}
    assert {1, 2} == {row["spot"] for row in named.rows}
    assert not {"P1", "P7"} & {row["host"] for row in without.rows}


def test_a_tree_with_room_takes_several(graftbook, bench):
    graftbook("tree", "add", "Old Costard", "--species", "apple", "--place", "home row", "--diameter", "9mm")
    graftbook("want", "add", "Stoneway Pearmain", 3)
    rows = planned(graftbook, "--host", "P8", "--positions", 3).rows

    assert [("P8", 1), ("P8", 2), ("P8", 3)] == sorted((row["host"], row["spot"]) for row in rows)


def test_wood_whose_buds_were_not_counted_gives_one_scion_a_stick(graftbook, location):
    with Filling(location) as book:
        for _ in range(4):
            book.stock()
        book.wood(sticks=2, buds_per_stick=None, diameter_min_mm=8.0)
    graftbook("want", "add", "Stoneway Pearmain", 4)
    done = planned(graftbook)

    assert [1, 2] == [row["stick"] for row in done.rows]
    assert any("one scion is planned from each stick" in note for note in done.json["notes"])


def test_unknown_diameters_are_asked_for_and_planned_without_a_joint(graftbook, location):
    with Filling(location) as book:
        book.stock(mm=None)
        book.wood(sticks=1, diameter_min_mm=None, diameter_max_mm=None, length_mm=300.0)
    graftbook("want", "add", "Stoneway Pearmain", 1)
    done = planned(graftbook)
    notes = " ".join(done.json["notes"])

    assert [None] == [row["joint_share"] for row in done.rows]
    assert "graftbook stock measure P1" in notes
    assert "graftbook wood amend W1 --diameter" in notes


def test_stocks_planned_by_grade_are_stated(graftbook, location):
    with Filling(location) as book:
        book.stock(mm=None, grade_min_mm=8.0, grade_max_mm=10.0)
        book.wood(sticks=1, length_mm=300.0)
    graftbook("want", "add", "Stoneway Pearmain", 1)

    assert any("planned by grade" in note for note in planned(graftbook).json["notes"])


def test_the_rest_of_an_opened_stick_is_planned_before_a_new_one(graftbook, location):
    with Filling(location) as book:
        wood = book.wood(sticks=2, length_mm=300.0, diameter_min_mm=8.0)
        book.graft(wood, book.stock(), made="03-10", buds=2, buds_left=4)
        for _ in range(6):
            book.stock(mm=9.0)
    graftbook("want", "add", "Stoneway Pearmain", 6, "--on", "2027-03-12")
    done = graftbook("plan", "--on", DAY, "--json", today="2027-03-14")
    buds = Counter()
    for row in done.rows:
        buds[row["stick"]] += row["buds"]

    assert {1, 2} == set(buds)
    assert buds[1] <= 4


@pytest.mark.parametrize(
    ("want", "words", "code", "said"),
    [
        (None, (), 23, "Nothing is wanted: the book has no open want"),
        ("Marrow Pippin", (), 23, "There is no wood"),
        ("Stoneway Pearmain", ("--without", "P1-P7"), 23, "There is no stock"),
        ("Stoneway Pearmain", ("--place", "nowhere"), 23, "There is no stock"),
        ("Stoneway Pearmain", ("--wants", 9), 20, "No want 9"),
        ("Stoneway Pearmain", ("--wants", "x"), 2, "numbers such as"),
        ("Stoneway Pearmain", ("--method", "clft"), 2, "Did you mean cleft"),
        ("Stoneway Pearmain", ("--host", "W1"), 2, "plants to graft on"),
        ("Stoneway Pearmain", ("--host", "P99"), 20, "P99"),
        ("Stoneway Pearmain", ("--hold-back", -1), 2, "buds held back"),
        ("Stoneway Pearmain", ("--sure", 1.5), 2, "a must-have is safe"),
        ("Stoneway Pearmain", ("--time-limit", 0), 2, "a time limit above 0"),
        ("Stoneway Pearmain", ("--hold-back", 500), 23, "Stoneway Pearmain"),
        ("Stoneway Pearmain", ("--seed", 3), 2, "--seed alone"),
        ("Stoneway Pearmain", ("--compare", "colour=a,b"), 2, "two ways of it"),
        ("Stoneway Pearmain", ("--compare", "method=cleft"), 2, "different ways to compare"),
        ("Stoneway Pearmain", ("--compare", "method=cleft,splice", "--method", "cleft"), 2, "both"),
        ("Stoneway Pearmain", ("--compare", "buds=1,9"), 2, "from 1 to 3"),
    ],
)
def test_where_there_is_no_plan_it_says_why_and_writes_nothing(graftbook, location, bench, want, words, code, said):
    if want is not None:
        graftbook("want", "add", want, 2)
    before = contents(location)
    done = planned(graftbook, *words)

    assert (code, "") == (done.code, done.out)
    assert said in done.err
    assert before == contents(location)


def test_a_stick_with_more_buds_than_its_length_can_hold_stands_in_the_way(graftbook, location):
    with Filling(location) as book:
        book.stock()
        book.wood(sticks=1, buds_per_stick=60, length_mm=100.0)
        book.wood(sticks=1, buds_per_stick=50, length_mm=90.0)
    graftbook("want", "add", "Stoneway Pearmain", 1)
    done = planned(graftbook)

    assert 23 == done.code
    assert "W1: 60" in done.err
    assert "W2: 50" in done.err
    assert "--without CODE" in done.err


def test_a_solver_out_of_time_still_gives_a_plan_that_can_be_made(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 4, "--living", 2)
    done = planned(graftbook, "--time-limit", 0.0001)

    assert 0 == done.code, done.err
    assert done.json["status"] in ("optimal", "gap")
    assert len(done.rows) == len({row["host"] for row in done.rows}) > 0


def test_a_comparison_is_balanced_within_its_blocks_and_the_seed_gives_it_again(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 6)
    words = ("--compare", "method=cleft,whip-and-tongue", "--seed", 7, "--wants", 1)
    first, again = planned(graftbook, *words), planned(graftbook, *words)
    drawn = [(row["block"], row["treatment"], row["method"]) for row in first.rows if row["block"] is not None]

    assert drawn == [(row["block"], row["treatment"], row["method"]) for row in again.rows if row["block"] is not None]
    assert all(treatment == method for _block, treatment, method in drawn)
    assert {"cleft": 1, "whip-and-tongue": 1} == Counter(method for block, _t, method in drawn if block == drawn[0][0])
    assert {"plan 1"} == {row["trial"] for row in first.rows if row["block"] is not None}
    assert 7 == graftbook("plan", "show", 1, "--json").json["seed"]
    assert any("would tell" in note for note in first.json["notes"])


@pytest.mark.parametrize("asked", ["tie=rubber,tape", "buds=1,2", "date=2027-03-14,2027-03-28"])
def test_other_things_can_be_compared(graftbook, bench, asked):
    graftbook("want", "add", "Stoneway Pearmain", 6)
    done = graftbook("plan", "--compare", asked, "--seed", 1, "--json", today="2027-03-01")
    made = Counter(row["treatment"] for row in done.rows if row["block"] is not None)

    assert 0 == done.code, done.err
    assert 2 == len(made)
    assert 1 == len(set(made.values()))


def test_a_plan_comes_back_from_its_export(graftbook, bench, location, other, tmp_path):
    graftbook("want", "add", "Stoneway Pearmain", 4, today="2027-02-01")
    planned(graftbook, "--compare", "method=cleft,whip-and-tongue", "--seed", 7)
    graftbook("plan", "sheet", "-o", tmp_path / "bench.pdf")
    graftbook("export", tmp_path / "out")
    done = graftbook("--book", other, "import", tmp_path / "out")

    assert 0 == done.code, done.err
    assert contents(location) == contents(other)
    shown, again = graftbook("plan", "show", "--json"), graftbook("--book", other, "plan", "show", "--json")
    assert shown.rows == again.rows
    assert date.fromisoformat(shown.json["day"]) == date(2027, 3, 14)


def test_a_plan_for_people_fits_eighty_columns(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 4, "--living", 2, "--sites", 2)
    graftbook("want", "add", "Butter Bergamot", 1)
    done = graftbook("plan", "--on", DAY, today="2027-03-01")

    assert 0 == done.code
    assert [] == [line for line in done.out.splitlines() if len(line) > 80]


def test_wood_past_its_time_is_left_alone_unless_doubtful_wood_is_asked_for(graftbook, location):
    with Filling(location) as book:
        book.stock()
        book.wood(sticks=1, length_mm=300.0, cut_on=date(2026, 1, 14))
    graftbook("want", "add", "Stoneway Pearmain", 1)
    done = planned(graftbook)

    assert 23 == done.code
    assert "past the" in done.err
    assert 1 == len(planned(graftbook, "--doubtful").rows)


def test_buds_go_with_summer_wood_and_grafts_with_wood_at_rest(graftbook, location):
    with Filling(location) as book:
        for _ in range(6):
            book.stock(mm=9.0)
        book.wood(sticks=1, length_mm=300.0, wood_kind="summer", cut_on=date(2027, 3, 10))
        book.wood(cultivar="Lanternside Russet", sticks=1, length_mm=300.0)
    graftbook("want", "add", "Stoneway Pearmain", 1)
    graftbook("want", "add", "Lanternside Russet", 1)
    methods = {row["cultivar"]: row["method"] for row in planned(graftbook).rows}

    assert methods["Stoneway Pearmain"] in ("chip-bud", "T-bud")
    assert methods["Lanternside Russet"] not in ("chip-bud", "T-bud")
