"""What is left of a bundle, whole sticks and the one in hand, told alike by every verb after grafts, gifts, counts and mixing."""

import pytest

MARCH = "2027-03-15"
GRAFT = ("--method", "whip", "--on", "2027-03-25", "--yes")


@pytest.fixture
def bench(graftbook):
    """Apples P1 and P2, stocks P3-P14, and W1 of P1, W2 of P2: three sticks and two, of six buds each."""
    for name in ("Kilwarden Pippin", "Tarrow Russet"):
        assert graftbook("tree", "add", name, "--species", "apple", "--acquired", "2020-03-01").code == 0
    assert graftbook("stock", "add", "MM.106", "--count", 12, "--grade", "7-8mm", "--acquired", "2026-12-10").code == 0
    for source, sticks in (("P1", 3), ("P2", 2)):
        assert graftbook("wood", "add", "--source", source, "--sticks", sticks, "--diameter", "7-8mm", "--buds", 6,
                         "--length", "30cm", "--cut", "2027-01-20", "--on", "2027-01-20").code == 0  # fmt: skip
    assert graftbook("want", "add", "Kilwarden Pippin", 12, "--on", "2027-02-01").code == 0
    assert graftbook("graft", "W1", "P3", "--method", "whip", "--buds", 2, "--on", MARCH).code == 0
    return graftbook


def left(book, code="W1"):
    """Whole sticks and buds in hand, as the list has them."""
    rows = {row["code"]: row for row in book("wood", "list", "--empty", "--json").rows}
    return rows[code]["sticks_left"], rows[code]["buds_in_hand"]


def shown(book, code="W1"):
    return next(row["value"] for row in book("wood", "show", code, "--json").rows if row["name"] == "sticks left")


def planned_buds(book, day="2027-03-25"):
    """Buds that a plan for ten stocks, of two buds a scion, takes from W1."""
    done = book("plan", "--on", day, "--host", "P5-P14", "--method", "whip", "--dry-run", "--json", today=day)
    rows = done.rows if done.code == 0 else []
    book("wood", "list", today="2027-11-30")
    return sum(row["buds"] for row in rows if row["wood"] == "W1")


def graft_goes(book, *words):
    done = book("graft", "W1", "P4", *words, *GRAFT, "--json")
    if done.code == 0:
        ok(book("undo", done.json["entry"]))
    return done.code == 0


def ok(run):
    assert run.code == 0, run.err
    return run


def test_the_stick_in_hand_is_listed_shown_planned_and_grafted_alike(bench):
    assert (2, 4) == left(bench)
    assert "4 buds on the stick in hand" in shown(bench)
    assert planned_buds(bench) == 16


def test_mixed_wood_leaves_no_stick_in_hand_for_any_verb(bench):
    ok(bench("wood", "mixed", "W1", "W2", "--sticks", 4, "--on", "2027-03-20"))
    assert (0, 0) == left(bench)
    assert "hand" not in shown(bench)
    assert 0 == planned_buds(bench)
    assert not graft_goes(bench)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("give", "W1", 1, "--to", "Mo"), (1, 4)),
        (("give", "W1", 2, "--to", "Mo"), (0, 0)),
        (("give", "W1/2", 1, "--to", "Mo"), (1, 4)),
        (("discard", "W1", 1), (1, 4)),
        (("discard", "W1"), (0, 0)),
        (("count", "W1", 2), (2, 4)),
        (("count", "W1", 3), (3, 0)),
        (("count", "W1", 1), (1, 0)),
        (("count", "W1", 0), (0, 0)),
        (("found", "W1", 2), (4, 4)),
    ],
)
def test_what_moves_after_a_graft_leaves_the_stick_in_hand_unless_it_took_it(bench, words, expected):
    ok(bench("wood", *words, "--on", "2027-03-20"))
    assert expected == left(bench)
    assert min(20, expected[0] * 6 + expected[1]) == planned_buds(bench)
    assert graft_goes(bench, "--buds", 3) == (sum(expected) > 0)
    hand = f", {expected[1]} buds on the stick in hand" if expected[1] else ""
    assert shown(bench).startswith(f"{expected[0]} of ") and shown(bench).endswith(f"opened for grafts{hand}")


def test_what_was_moved_on_a_day_before_the_graft_leaves_what_it_opened(bench):
    ok(bench("wood", "give", "W1", 2, "--to", "Mo", "--on", "2027-02-20"))
    assert (0, 4) == left(bench)
    assert ["W1", "W2"] == sorted(row["code"] for row in bench("wood", "list", "--json").rows)
    assert 4 == planned_buds(bench)
    assert "No whole stick of W1 is left, but 4 buds" in "".join(
        row["reason"] for row in bench("match", "--why", "P4", "W1", "--method", "whip", "--on", MARCH, "--json").rows
    )


def test_the_last_stick_in_hand_can_be_thrown_away(bench):
    ok(bench("wood", "give", "W1", 2, "--to", "Mo", "--on", "2027-02-20"))
    done = ok(bench("wood", "discard", "W1", "--on", "2027-03-20"))
    assert "Discarded the stick in hand of W1; 0 left." in done.out
    assert (0, 0) == left(bench)
    assert not graft_goes(bench)
    assert bench("wood", "discard", "W1", "--on", "2027-03-21").code == 21


def test_the_list_of_a_day_has_what_was_in_hand_on_it(bench):
    ok(bench("wood", "mixed", "W1", "W2", "--sticks", 4, "--on", "2027-03-20"))
    of = {
        day: [(row["code"], row["sticks_left"], row["buds_in_hand"])
              for row in bench("wood", "list", "--as-of", day, "--json").rows if row["code"] == "W1"]
        for day in ("2027-03-14", "2027-03-16", "2027-03-21")
    }  # fmt: skip
    assert {"2027-03-14": [("W1", 3, 0)], "2027-03-16": [("W1", 2, 4)], "2027-03-21": []} == of


def test_wood_mixed_on_an_earlier_day_takes_along_only_sticks_opened_since(bench):
    ok(bench("graft", "W1", "P4", "--method", "whip", "--buds", 2, "--on", "2027-03-25"))
    ok(bench("graft", "W1", "P5-P6", "--method", "whip", "--buds", 2, "--on", "2027-03-26"))
    assert (1, 4) == left(bench)
    ok(bench("wood", "mixed", "W1", "W2", "--sticks", 4, "--on", "2027-03-20"))
    of = {row["code"]: (row["wood"], row["stick"]) for row in bench("graft", "list", "--json").rows}
    assert {"G1": ("W1", None), "G2": ("W1", None), "G3": ("W1", None), "G4": ("W3", 1)} == of
    assert (3, 0) == left(bench, "W3")
    assert (0, 0) == left(bench)


def test_counts_and_gifts_do_not_make_a_stick_out_of_number(bench):
    ok(bench("wood", "count", "W2", 5, "--on", "2027-02-01"))
    ok(bench("wood", "give", "W2", 4, "--to", "Mo", "--on", "2027-02-02"))
    ok(bench("graft", "W2/5", "P4", *GRAFT))
    assert bench("graft", "W2/6", "P5", *GRAFT).code == 2


def plan_all(book):
    """A plan of all that W1 has: the lines cut from the stick in hand, which is number 1, and all lines."""
    ok(book("plan", "--on", "2027-03-25", "--host", "P5-P14", "--method", "whip", today="2027-03-20"))
    lines = book("plan", "show", "--json", today="2027-11-30").rows
    assert {1, 2, 3} == {row["stick"] for row in lines} and 16 == sum(row["buds"] for row in lines)
    return [str(row["line"]) for row in lines if row["stick"] == 1], [str(row["line"]) for row in lines]


def test_a_plan_made_before_the_stick_in_hand_went_opens_a_whole_one(bench):
    plan_all(bench)
    ok(bench("graft", "W1", "P4", "--buds", 3, "--method", "whip", "--on", "2027-03-21"))
    assert (2, 1) == left(bench)
    short = bench("graft", "--plan", 1, "--done", "--on", "2027-03-25")
    assert short.code == 3 and "found 2 sticks of W1 left; accepted: the 3 this takes" in short.err
    ok(bench("wood", "found", "W1", 1, "--on", "2027-03-24"))
    ok(bench("graft", "--plan", 1, "--done", "--on", "2027-03-25"))
    assert (0, 0) == left(bench)


@pytest.mark.parametrize(("every", "said"), [(False, "1 dry stick thrown away"), (True, "3 dry sticks thrown away")])
def test_the_stick_in_hand_that_was_dry_is_in_hand_no_longer(bench, every, said):
    hand, lines = plan_all(bench)
    done = ok(bench("graft", "--plan", 1, "--done", "--dry", ",".join(lines if every else hand), "--on", "2027-03-25"))
    assert said in done.out
    assert (0, 0) == left(bench)


def test_grafts_in_a_file_draw_as_those_on_the_command_line(bench, write):
    rows = (("W1", "P4", "whip", 3), ("W1", "P5", "T-bud", ""), ("W1", "P6", "whip", ""), ("W2/2", "P7", "whip", ""),
            ("W2/2", "P8", "whip", ""), ("W2", "P9", "whip", 5), ("W2", "P10", "chip", ""))  # fmt: skip
    lines = ["wood,stick,host,method,buds,made_on"]
    for wood, host, method, buds in rows:
        bundle, _, stick = wood.partition("/")
        lines.append(f"{bundle},{stick},{host},{method},{buds},2027-03-25")
    entry = ok(bench("import", write(grafts="\n".join(lines) + "\n"), "--json")).json["entry"]
    by_file = left(bench), left(bench, "W2"), ok(bench("match", "--wood", "W2", "--on", "2027-03-25")).out
    ok(bench("undo", entry))
    assert (2, 4) == left(bench)
    for wood, host, method, buds in rows:
        ok(
            bench(
                "graft",
                wood,
                host,
                "--method",
                method,
                "--on",
                "2027-03-25",
                "--yes",
                *(("--buds", buds) if buds else ()),
            )
        )
    assert by_file == (left(bench), left(bench, "W2"), ok(bench("match", "--wood", "W2", "--on", "2027-03-25")).out)


def test_a_stick_given_away_is_refused_in_a_file_too(bench, write):
    ok(bench("wood", "give", "W1/2", 1, "--to", "Mo", "--on", "2027-03-20"))
    done = bench("import", write(grafts="wood,stick,host,method,made_on\nW1,2,P4,whip,2027-03-25\n"))
    assert done.code == 3 and "given to Mo on 2027-03-20" in done.err
