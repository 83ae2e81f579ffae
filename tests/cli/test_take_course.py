"""take course: the stages with the losses between, and when things happened, on both databases."""

from itertools import pairwise

import pytest
from filling import Filling

STORIES = (
    # grew on into a second year
    "04-25 swelling, 05-05 pushing, 06-20 growing, 09-20 growing, 2028-05-20 growing",
    "04-25 swelling, 05-05 pushing, 06-20 growing, 09-20 growing, 2028-05-20 dead",
    # took, gone before leaf fall
    "04-25 swelling, 05-05 pushing, 06-20 growing, 08-20 dead",
    # moved on stored sap alone, then died
    "04-25 pushing, 06-20 dead",
    # never moved
    "04-25 no-movement, 06-20 dead",
    # nothing known after the push
    "04-25 pushing, 06-20 not-found",
    # never looked at
    "",
)


@pytest.fixture
def orchard(graftbook, location):
    """Seven apples, each with a story of its own; the third was lost to deer."""
    with Filling(location) as book:
        wood = book.wood()
        for number, story in enumerate(STORIES):
            graft = book.graft(wood, book.stock(), made="04-01")
            if story:
                *before, last = story.split(",")
                book.looks(graft, ",".join(before)) if before else None
                fault = {2: "no", 3: "yes"}.get(number)
                book.looks(graft, last, **({"union_fault": fault} if fault else {}))
    return graftbook


def stages(run):
    return {row["stage"]: row for row in run.rows}


def test_each_stage_counts_those_that_reached_the_one_before(orchard):
    found = stages(orchard("take", "course", "--as-of", "2028-06-30", "--json", today="2028-06-30"))
    assert [
        ("made", 7, 7),
        ("moved", 5, 6),
        ("took", 3, 4),
        ("standing at leaf fall", 2, 3),
        ("established", 1, 2),
    ] == [(name, row["k"], row["n"]) for name, row in found.items()]
    assert [0, 1, 1, 0, 0] == [row["not_known"] for row in found.values()]


def test_what_was_lost_between_is_told_by_what_was_to_blame(orchard):
    found = stages(orchard("take", "course", "--as-of", "2028-06-30", "--json", today="2028-06-30"))
    assert [(0, 0, 0), (0, 0, 1), (1, 0, 0), (0, 1, 0), (0, 0, 1)] == [
        (row["lost_union"], row["lost_not_union"], row["lost_unsure"]) for row in found.values()
    ]
    for row in found.values():
        assert row["n"] - row["k"] == row["lost"] == row["lost_union"] + row["lost_not_union"] + row["lost_unsure"]


def test_every_graft_that_reached_a_stage_is_in_the_next(orchard):
    """What reached a stage is what the next one knows of, and what it does not."""
    rows = list(stages(orchard("take", "course", "--as-of", "2028-06-30", "--json", today="2028-06-30")).values())
    for before, after in pairwise(rows):
        assert before["k"] == after["n"] + after["not_known"]


def test_before_leaf_fall_nothing_is_said_of_what_still_lives(orchard):
    found = stages(orchard("take", "course", "--as-of", "2027-09-30", "--json"))
    assert (0, 1, 2) == tuple(found["standing at leaf fall"][name] for name in ("k", "n", "not_known"))
    assert (0, 0, 0) == tuple(found["established"][name] for name in ("k", "n", "not_known"))


def test_the_table_says_k_of_n_before_the_percentage_and_fits_80_columns(orchard):
    out = orchard("take", "course", "--as-of", "2028-06-30", today="2028-06-30").out
    assert "Course of grafts of all seasons, as of 2028-06-30" in out
    assert max(map(len, out.splitlines())) <= 80
    assert out.index("7 grafts") < out.index("5 of 6") < out.index("83%")
    assert "1 was never looked at" in " ".join(out.split())


def test_half_is_told_between_the_two_looks_it_came_between(orchard):
    """Five of six pushed: two by the look of day 24, three between it and the look of day 34."""
    out = " ".join(orchard("take", "course", "--as-of", "2028-06-30", today="2028-06-30").out.split())
    assert "apple: half had pushed between day 24 and day 34 after grafting (seen pushing: 5 of 6)." in out


def test_the_curve_of_the_push_rises_to_the_share_of_all(orchard):
    document = orchard("take", "course", "--event", "push", "--as-of", "2028-06-30", "--json", today="2028-06-30").json
    first, last = document["rows"][0], document["rows"][-1]
    assert ("apple", "graft", "push", 28, 2, 3, "turnbull") == tuple(
        first[name] for name in ("species", "unit", "event", "days", "k", "n", "method")
    )
    assert pytest.approx(2 / 6) == first["share"]
    assert (42, 5, pytest.approx(5 / 6)) == (last["days"], last["k"], last["share"])
    for row in document["rows"]:
        assert 0 < row["low"] < row["share"] < row["high"] < 1


def test_looks_a_week_apart_tell_the_day(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for last in ("04-22", "04-29", "05-06"):
            before = ",".join(f"{day} swelling" for day in ("04-08", "04-15", "04-22", "04-29") if day < last)
            book.looks(book.graft(wood, book.stock(), made="04-01"), f"{before},{last} pushing")
    rows = graftbook("take", "course", "--event", "push", "--json").rows
    assert {"kaplan-meier"} == {row["method"] for row in rows}
    assert [(28, 2, pytest.approx(2 / 3)), (42, 3, 1.0)] == [(row["days"], row["k"], row["share"]) for row in rows]
    assert "Kaplan-Meier" in graftbook("take", "course", "--event", "push", "--notes").out


def test_a_loss_is_the_last_word_only_where_nothing_lived_after(graftbook, location):
    """Called dead and growing later: not lost."""
    with Filling(location) as book:
        wood = book.wood()
        book.looks(book.graft(wood, book.stock(), made="04-01"), "05-01 dead, 07-01 growing")
        book.looks(book.graft(wood, book.stock(), made="04-01"), "05-01 swelling, 07-01 dead, 08-01 dead")
    (row,) = graftbook("take", "course", "--event", "loss", "--json").rows
    assert (112, 1, pytest.approx(0.5)) == (row["days"], row["k"], row["share"])


def test_buds_have_a_stage_of_their_own(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for story in ("08-28 set, 2028-05-20 pushing, 2028-07-01 growing", "08-28 set", "08-28 not-set"):
            book.looks(book.graft(wood, book.stock(), "T-bud", "08-01", unit="bud"), story)
    found = stages(graftbook("take", "course", "--as-of", "2028-09-01", "--json", today="2028-09-01"))
    assert [("made", 3, 3), ("set", 2, 3), ("moved", 1, 1), ("took", 1, 1)] == [
        (name, row["k"], row["n"]) for name, row in list(found.items())[:4]
    ]
    assert 1 == found["moved"]["not_known"]


def test_csv_and_json_hold_the_same_rows(orchard):
    lines = orchard("take", "course", "--csv").out.splitlines()
    names = "species,unit,stage,k,n,lost,lost_union,lost_not_union,lost_unsure,not_known,rate,low,high,level"
    assert names == lines[0]
    assert len(orchard("take", "course", "--json").rows) == len(lines) - 1


@pytest.mark.parametrize(
    ("kind", "head"), [("png", b"\x89PNG"), ("pdf", b"%PDF-"), ("svg", b"<!-- Graftbook -->\n<svg")]
)
def test_the_courses_are_drawn_to_a_file(orchard, tmp_path, kind, head):
    place = tmp_path / f"course.{kind}"
    done = orchard("take", "course", "-o", place)
    assert (0, f"Drew {place}.\n") == (done.code, done.err)
    assert place.read_bytes().startswith(head)


def test_nothing_is_drawn_of_what_was_not_looked_at(graftbook, location, tmp_path):
    with Filling(location) as book:
        book.graft(book.wood(), book.stock())
    done = graftbook("take", "course", "-o", tmp_path / "course.png")
    assert (21, "") == (done.code, done.out)
    assert not (tmp_path / "course.png").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--event", "bloom"], "what happened, one of push, growth, loss"), (["--by", "colour"], "a factor is one of"),
        (["--level", "0"], "a level between 0 and 1"), (["--season", "2027"], "a season written by its two years"),
        (["-o", "course"], "a name that ends in .png, .pdf or .svg"), (["--json", "--csv"], "one of --json and --csv"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_said(graftbook, words, said):
    bad = graftbook("take", "course", *words)
    assert (2, "") == (bad.code, bad.out)
    assert said in bad.err


def test_an_empty_book_has_nothing_to_show(graftbook):
    assert "Nothing to show." in graftbook("take", "course").out
    assert [] == graftbook("take", "course", "--event", "push", "--json").rows


def test_no_more_grow_than_push_whatever_they_died_of(graftbook, location):
    """Four pushed and grew, two drowned before they grew: four of six in both, and none of the drowned is left out."""
    with Filling(location) as book:
        wood = book.wood()
        for _ in range(4):
            book.looks(book.graft(wood, book.stock(), made="04-01"), "04-25 swelling,05-10 pushing,06-25 growing")
        for _ in range(2):
            graft = book.graft(wood, book.stock(), made="04-01")
            book.looks(graft, "04-25 swelling")
            book.looks(graft, "05-20 dead", union_fault="no", cause="drowned")
    for event in ("push", "growth"):
        last = graftbook("take", "course", "--event", event, "--json").rows[-1]
        assert (4, 6, pytest.approx(4 / 6)) == (last["k"], last["n"], last["share"])


@pytest.mark.parametrize("factor", ["method", "stage", "season", "days-from-green-tip"])
@pytest.mark.parametrize("words", [(), ("--event", "push"), ("--event", "loss")])
def test_any_factor_keeps_kinds_apart_and_is_named_beside_the_columns(orchard, factor, words):
    """A factor that is named as a column of the report is written `by_method`, `by_stage`; the column keeps its name."""
    done = orchard(
        "take", "course", *words, "--by", f"species,{factor}", "--as-of", "2028-06-30", "--json", today="2028-06-30"
    )
    assert 0 == done.code
    taken = {"method", "event"} if words else {"stage"}
    name = factor.replace("-", "_")
    assert {"species", f"by_{name}" if name in taken else name} <= set(done.rows[0])
    if words and factor == "method":
        assert {"cleft"} == {row["by_method"] for row in done.rows}
        assert {"turnbull"} == {row["method"] for row in done.rows}


def batch(location, *made):
    """Grafts of a batch as day made and how many of how many were dead in the round of 2028-05-11; the rest lived then."""
    with Filling(location) as book:
        wood = book.wood()
        for on, dead, number in made:
            for place in range(number):
                graft = book.graft(wood, book.stock(), made=on)
                book.looks(graft, f"06-10 growing, 10-01 growing, 2028-05-11 {'dead' if place < dead else 'growing'}")


def losses(graftbook):
    words = ("take", "course", "--event", "loss", "--as-of", "2028-06-30")
    return graftbook(*words, today="2028-06-30"), graftbook(*words, "--json", today="2028-06-30").rows


def test_a_round_on_a_batch_made_over_two_days_counts_all_that_lived_through_it(graftbook, location):
    """Six of forty dead at one look: that is 15 %, though only the ten made first had reached that age."""
    batch(location, ("2027-04-01", 6, 10), ("2027-04-08", 0, 30))
    done, rows = losses(graftbook)
    last = rows[-1]
    assert (6, 40, pytest.approx(6 / 40)) == (last["k"], last["n"], last["share"])
    assert last["low"] < 0.15 < last["high"] < 0.35
    assert "fewer than half were lost by day 406 after grafting (15 %; seen gone: 6 of 40)" in " ".join(
        done.out.split()
    )


def test_where_only_a_few_were_followed_so_long_it_cannot_tell_of_half(graftbook, location):
    """Ten made two months before the rest: six of them died at an age that the thirty have not reached."""
    batch(location, ("2027-03-01", 6, 10), ("2027-05-01", 0, 30))
    out = " ".join(losses(graftbook)[0].out.split())
    assert "half were lost between" not in out
    assert "whether half were lost cannot be told: too few were followed so long (seen gone: 6 of 40)" in out
    assert (
        "what came by day 437 cannot be told: of 40 to whom it might have happened only 10 were followed so long" in out
    )


def test_where_only_the_dead_were_looked_at_nothing_is_said_of_the_share(graftbook, location):
    """Six of forty found dead in spring, the rest last seen in autumn: not that all forty were lost."""
    with Filling(location) as book:
        wood = book.wood()
        for place in range(40):
            late = ", 2028-05-11 dead" if place < 6 else ""
            book.looks(book.graft(wood, book.stock(), made="04-01"), f"06-10 growing, 10-01 growing{late}")
    done, rows = losses(graftbook)
    assert {None} == {row["share"] for row in rows}
    assert "only 6 were followed so long" in " ".join(done.out.split())


def test_no_share_rests_on_almost_nobody(graftbook, location):
    batch(location, ("2027-03-01", 1, 3), ("2027-05-01", 0, 30))
    done, rows = losses(graftbook)
    assert "too few followed" in done.out
    assert [(3, None)] == [(row["n"], row["share"]) for row in rows if row["k"]]


def test_on_a_day_between_two_looks_it_is_so_much_or_more(graftbook, location):
    """Half were dead at the second look: on a day between the looks somewhere from none to half."""
    with Filling(location) as book:
        wood = book.wood()
        for place in range(40):
            story = "05-01 growing, 07-10 dead" if place < 20 else "05-01 growing, 07-10 growing, 09-01 growing"
            if place < 4:
                story = "05-01 dead"
            book.looks(book.graft(wood, book.stock(), made="04-01"), story)
    words = ("take", "course", "--event", "loss")
    (first, *_), out = graftbook(*words, "--json").rows, graftbook(*words).out
    assert (42, True, pytest.approx(0.1)) == (first["days"], first["between_looks"], first["share"])
    assert first["low"] < 0.1 < 0.5 < first["high"]
    assert "10% or more" in out
