"""match: the gates of every pair with their reasons, best first, and what does not go."""

import pytest
from filling import Filling, day

from graftbook.book.ledger import CautionNote


@pytest.fixture
def bench(graftbook, location):
    """Apple and pear wood; apple stocks thin and thick, one quince, one dead."""
    with Filling(location) as book:
        apple = book.wood(sticks=4)
        book.wood("Pyrus communis", "Butter Bergamot", 3)
        for mm in (8.0, 8.0, 12.0, 40.0):
            book.stock(mm=mm)
        book.stock("Cydonia oblonga", "Quince A", 9.0)
        book.stock(mm=9.0, died_on=day("03-01"))
        book.stock(mm=5.0)
        used = book.stock(mm=9.0)
        book.graft(apple, used, made="03-20")
    return graftbook


ON = ("--on", "2027-03-28")


def test_pairs_come_best_first_with_a_method_each(bench):
    rows = bench("match", *ON, "--json").rows
    assert ("W1", "P1-P2", 2, "yes") == tuple(rows[0][name] for name in ("wood", "stock", "stocks", "verdict"))
    order = [{"yes": 0, "caution": 1}[row["verdict"]] for row in rows]
    assert sorted(order) == order


def test_stocks_that_are_dead_or_carry_an_open_graft_are_left_out_until_named(bench):
    listed = " ".join(row["stock"] for row in bench("match", *ON, "--json").rows)
    assert "P6" not in listed
    assert "P8" not in listed
    named = bench("match", *ON, "--stock", "P6", "--wood", "W1", "--barred", "--json").rows
    assert [("P6", "no")] == [(row["stock"], row["verdict"]) for row in named]
    assert "recorded as dead" in named[0]["why"]


def test_a_scion_thicker_than_its_stock_is_barred_with_the_reason(bench):
    """Common practice: a scion of the stock's diameter or slightly smaller; never thicker, for a whip-and-tongue."""
    rows = bench(
        "match", *ON, "--wood", "W1", "--stock", "P7", "--method", "whip-and-tongue", "--barred", "--json"
    ).rows
    assert ["no"] == [row["verdict"] for row in rows]
    assert "thick" in rows[0]["why"]


def test_why_explains_one_pair_gate_by_gate_with_basis_and_source(bench):
    document = bench("match", "--why", "P5", "W2", *ON, "--json").json
    gates = {row["gate"]: row for row in document["rows"]}
    assert {"compatibility", "stock diameter", "scion diameter", "ratio", "keeping", "sticks left"} <= set(gates)
    assert all(row["reason"].endswith((".", "?")) and row["basis"] for row in document["rows"])
    assert any(note.startswith("Recorded: ") and note.endswith("]") for note in document["notes"])
    assert bench("match", "--why", "W2", "P5", *ON, "--json").json == document


def test_gates_that_pass_are_set_aside_but_for_the_union_and_the_sticks_to_pick(bench):
    told = bench("match", "--why", "P1", "W1", *ON).out
    every = bench("match", "--why", "P1", "W1", *ON, "--notes").out
    assert ["compatibility", "ratio"] == [
        word for word in told.split() if word in {"compatibility", "ratio", "keeping"}
    ]
    assert " lines and " in told.splitlines()[-1]
    assert "keeping" in every
    assert "Recorded: delayed: " in told


def test_a_suspect_mother_tree_is_a_caution_in_the_growers_own_words(bench, location):
    with Filling(location) as book:
        book.unit.add(CautionNote, kind="health", status="suspect", on=day("02-01"), bundle_id=1, note="scorched tips")
    rows = bench("match", "--why", "P1", "W1", *ON, "--json").rows
    health = next(row for row in rows if row["gate"] == "health note")
    assert ("caution", "own") == (health["outcome"], health["basis"])
    assert "suspect" in health["reason"]


def test_a_note_that_has_ended_no_longer_warns(bench, location):
    with Filling(location) as book:
        book.unit.add(CautionNote, kind="rights", status="protected", on=day("01-01"), until=day("03-27"), bundle_id=1)
    rows = bench("match", "--why", "P1", "W1", *ON, "--json").rows
    assert "pass" == next(row["outcome"] for row in rows if row["gate"] == "rights note")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--method", "glue"], 2, "a method of grafting"), (["--wood", "P1"], 2, "a bundle of wood"),
        (["--stock", "W1"], 2, "a plant or a graft"), (["--wood", "W9"], 20, "W9"), (["--stock", "P99"], 20, "P99"),
        (["--why", "P1", "W9"], 20, "W9"), (["--wood", "W1-9"], 2, "check character"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_said(bench, words, code, said):
    bad = bench("match", *words)
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err


def test_no_wood_and_no_stock_is_said(graftbook):
    out = graftbook("match").out
    assert "There is no wood with sticks left" in out
    assert "There is no living stock" in out


def test_the_table_fits_80_columns(bench):
    assert max(map(len, bench("match", *ON).out.splitlines())) <= 80


def test_what_fits_what_is_the_best_few_of_each_stock_with_every_caution_in_short(bench, location):
    """No caution is lost: each gate says its first sentence, and the grower's own note is never cut."""
    with Filling(location) as book:
        note = "scorched tips. Keep off the north wall"
        book.unit.add(CautionNote, kind="health", status="suspect", on=day("02-01"), bundle_id=2, note=note)
        for _ in range(3):
            book.wood(sticks=2)
    few, every = (bench("match", *ON, *more).out for more in ((), ("--all",)))
    assert " more: --all." in few
    assert " more: --" not in every
    assert len(few.splitlines()) < len(every.splitlines())
    assert {"…", "scorched", "north", "wall"} <= {word.strip(".)'") or word for word in few.split()}
    assert bench("match", *ON, "--all", "--json").rows == bench("match", *ON, "--json").rows
