"""The stage and the bark of a plant as of the day of a grafting, told alike by every verb that asks."""

import pytest

DAY = "2027-04-01"


@pytest.fixture
def bench(graftbook):
    """An apple P1, stocks P2-P5 in the shed, and W1: ten sticks of six buds of it."""
    assert graftbook("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2020-03-01").code == 0
    assert graftbook("stock", "add", "MM.106", "--count", 4, "--grade", "8-9mm", "--acquired", "2026-12-10").code == 0
    assert graftbook("wood", "add", "Kilwarden Pippin", "--source", "P1", "--sticks", 10, "--diameter", "7-8mm", "--buds", 6,
                     "--length", "30cm", "--cut", "2027-01-20", "--on", "2027-01-20").code == 0  # fmt: skip
    return graftbook


def noted(book, plant, word, on, *words):
    done = book("stock", "stage", plant, word, "--on", on, *words)
    assert done.code == 0, done.err


def stages(book):
    return [row["stage"] for row in book("graft", "list", "--json").rows]


def said_of_bark(book, plant, on=DAY):
    done = book("match", "--why", plant, "W1", "--method", "bark", "--on", on, "--json")
    assert done.code == 0, done.err
    return " ".join(row["reason"] for row in done.rows)


def test_a_later_note_does_not_hide_the_stage_of_the_day(bench):
    noted(bench, "P2-P3", "green tip", "2027-03-28")
    noted(bench, "P2", "full bloom", "2027-05-02")
    assert bench("graft", "W1", "P2-P3", "--method", "whip", "--on", DAY).code == 0
    assert ["green tip", "green tip"] == stages(bench)


def test_a_planned_day_recorded_keeps_the_stage_of_that_day(bench):
    noted(bench, "P2-P3", "green tip", "2027-03-28")
    bench("want", "add", "Kilwarden Pippin", 2, today="2027-02-01")
    assert bench("plan", "--on", DAY, "--host", "P2-P3", "--method", "whip", today="2027-03-29").code == 0
    bench("stock", "stage", "P2", "full bloom", "--on", "2027-05-02", today="2027-11-30")
    assert bench("graft", "--plan", 1, "--done", "--on", DAY).code == 0
    assert {"green tip"} == set(stages(bench))


def test_an_imported_graft_has_the_stage_of_its_day_and_one_from_a_book_stays_as_it_was(bench, write, other, tmp_path):
    noted(bench, "P2", "green tip", "2027-03-28")
    noted(bench, "P2", "full bloom", "2027-05-02")
    files = write(grafts=f"code,wood,host,method,made_on,stage\nG1,W1,P2,whip,{DAY},\nG2,W1,P3,whip,{DAY},dormant\n",
                  stages="plant,on,stage\nP4,2027-03-30,mouse-ear\n")  # fmt: skip
    with (files / "grafts.csv").open("a") as file:
        file.write(f"G3,W1,P4,whip,{DAY},\nG4,W1,P5,whip,{DAY},\n")
    done = bench("import", files)
    assert done.code == 0, done.err
    assert ["green tip", "dormant", "mouse-ear", None] == stages(bench)
    bench("stock", "stage", "P5", "green tip", "--on", DAY)
    assert bench("export", tmp_path / "out").code == 0
    assert bench("--book", other, "import", tmp_path / "out").code == 0
    assert ["green tip", "dormant", "mouse-ear", None] == [
        row["stage"] for row in bench("--book", other, "graft", "list", "--json").rows
    ]


def test_the_bark_is_that_of_the_day_and_not_of_a_later_try(bench):
    bench("stock", "bark", "P2", "tight", "--on", "2027-03-28")
    bench("stock", "bark", "P2", "slipping", "--on", "2027-05-02")
    assert "recorded as tight" in said_of_bark(bench, "P2")
    assert "that of P2 does" in said_of_bark(bench, "P2", "2027-05-03")
    assert "is not noted" in said_of_bark(bench, "P2", "2027-04-20")
    assert bench("graft", "W1", "P2", "--method", "bark", "--on", DAY).code == 21


def test_bark_amended_counts_from_the_day_it_was_tried(bench):
    noted(bench, "P2", "green tip", "2027-03-10")
    assert bench("stock", "amend", "P2", "--bark", "slipping", "--on", "2027-05-02").code == 0
    assert "that of P2 does" in said_of_bark(bench, "P2", "2027-05-03")
    assert "that of P2 does" not in said_of_bark(bench, "P2", "2027-03-12")
    assert bench("stock", "add", "MM.106", "--grade", "8-9mm", "--bark", "slipping", "--acquired", "2027-01-01",
                 "--on", "2027-05-02").code == 0  # fmt: skip
    assert "that of P6 does" in said_of_bark(bench, "P6", "2027-05-03")


def test_what_is_said_twice_of_one_day_is_what_was_said_last(bench):
    noted(bench, "P2", "green tip", "2027-03-28")
    assert bench("stock", "amend", "P2", "--stage", "mouse-ear", "--on", "2027-03-28").code == 0
    assert bench("graft", "W1", "P2", "--method", "whip", "--on", DAY).code == 0
    assert ["mouse-ear"] == stages(bench)


def test_a_prune_is_judged_by_the_stage_of_its_day(bench):
    noted(bench, "P1", "dormant", "2027-02-20")
    noted(bench, "P1", "full bloom", "2027-05-02")
    assert "not dormant" not in bench("prune", "P1", "--thinning", 2, "--on", "2027-03-25").out
    noted(bench, "P1", "green tip", "2027-03-28")
    assert "was not dormant (green tip, 2027-03-28)" in bench("prune", "P1", "--thinning", 2, "--on", DAY).out
