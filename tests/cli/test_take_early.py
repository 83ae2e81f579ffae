"""While what waits can only still succeed, nobody prints a rate: on both databases."""

import re
from collections import Counter

import pytest
from filling import Filling

from graftbook.actions.takes.early import so_far, too_early
from graftbook.stats.interval import wilson


@pytest.fixture
def autumn(graftbook, location):
    """A hundred and twenty chip buds of August: 36 did not set, 84 did and wait for spring; a year before 30 of 40 took."""
    with Filling(location) as book:
        wood = book.wood()
        for place in range(120):
            bud = book.graft(wood, book.stock(), "chip-bud", "08-05", unit="bud")
            book.looks(bud, "08-28 not-set" if place < 36 else "08-28 set")
        for place in range(40):
            bud = book.graft(wood, book.stock(), "chip-bud", "2026-08-05", unit="bud")
            book.looks(bud, "2026-08-28 set, 05-01 growing, 07-01 growing" if place < 30 else "2026-08-28 not-set")
    return graftbook


AUTUMN = ("--season", "2026-27")


def test_set_buds_are_said_to_be_set_and_no_percentage_is_printed(autumn):
    done = autumn("take", *AUTUMN)
    words = " ".join(done.out.split())
    assert "84 set, not yet forced; so far 36 failed" in words
    assert "0 of 36" in words
    assert [] == re.findall(r"\d ?%(?! Wilson)", words)
    (row,) = autumn("take", *AUTUMN, "--json").rows
    assert (0, 36, 84, None, None, None) == tuple(row[name] for name in ("k", "n", "waiting", "rate", "low", "high"))


def test_json_says_how_what_waits_was_last_seen(autumn):
    assert [
        {"species": "apple", "method": "chip-bud", "unit": "bud", "last_seen": "set", "waiting": 84}
    ] == autumn("take", "--json").json["waits"]  # fmt: skip


@pytest.mark.parametrize("words", [("take",), ("take", "review"), ("take", "course"), ("take", "curve")])
def test_no_verb_calls_the_early_failures_a_rate_of_take(autumn, words):
    out = " ".join(autumn(*words, *AUTUMN).out.split())
    assert "0% (0-10)" not in out
    assert "0 % (" not in out
    assert "0 of 36 took, 0" not in out


def test_the_review_says_what_stage_the_season_is_at(autumn):
    out = " ".join(autumn("take", "review", *AUTUMN).out.split())
    assert "Stage on 2027-11-30: of 120 buds 84 wait (84 set, not yet forced); 36 are decided" in out
    assert "Apple (buds): 84 set, not yet forced; so far 36 failed; too early for a rate." in out
    assert "In earlier seasons it was 30 of 40." in out


def test_the_review_draws_no_rate_where_it_is_too_early(autumn, tmp_path):
    assert 0 == autumn("take", "review", *AUTUMN, "-o", tmp_path / "review.html").code
    text = (tmp_path / "review.html").read_text(encoding="utf-8")
    assert "too early" in text
    assert "0% (0-10)" not in text


def test_an_old_season_does_not_hide_that_the_new_one_waits(autumn):
    """30 of 40 and 36 failed so far make 30 of 76, and 84 more may come: no rate of both."""
    (row,) = autumn("take", "--by", "method", "--json").rows
    assert (30, 76, None) == (row["k"], row["n"], row["rate"])


def test_early_looks_can_be_asked_of_all_made_and_of_those_decided_each_by_name(autumn):
    made = autumn("take", "--endpoint", "set", "--of", "made")
    assert "Set, of all made," in made.out
    assert "114 of 160" in made.out
    (row,) = autumn("take", "--of", "made", "--json").rows
    assert (30, 160, 30 / 160) == (row["k"], row["n"], row["rate"])
    assert "rates are of those decided" in " ".join(autumn("take", "--notes").out.split())


def test_of_all_made_nothing_is_a_percentage_either_while_nothing_has_got_there(autumn):
    (row,) = autumn("take", *AUTUMN, "--of", "made", "--json").rows
    assert (0, 120, None) == (row["k"], row["n"], row["rate"])


def test_a_way_that_is_too_early_is_not_compared(graftbook, location):
    """Late grafts of which eight have failed and the rest wait are not worse for that."""
    with Filling(location) as book:
        wood = book.wood()
        for place in range(40):
            story = "06-20 growing, 07-20 growing" if place < 30 else "05-20 dead"
            book.looks(book.graft(wood, book.stock(), made="04-01"), story)
            book.looks(book.graft(wood, book.stock(), made="06-10"), "06-30 dead" if place < 8 else "07-10 swelling")
    done = graftbook("take", "compare", "on<2027-05-01", "--as-of", "2027-07-20")
    said = "Too early to compare: from 2027-05-01 (apple, graft): 32 swelling; so far 8 failed."
    assert " ".join(done.out.split()).startswith(said)
    assert "did better" not in done.out
    made = graftbook("take", "compare", "on<2027-05-01", "--as-of", "2027-07-20", "--of", "made", "--endpoint", "moved")
    assert "before 2027-05-01: 30 of 40, from 2027-05-01: 0 of 40" in " ".join(made.out.split())
    curve = " ".join(graftbook("take", "curve", "--as-of", "2027-07-20").out.split())
    assert (
        "apple: 10 June left out (0 of 8 decided took), since half or more of what was made then still waits" in curve
    )


@pytest.mark.parametrize(
    ("k", "n", "waits", "early"),
    [
        (0, 36, {"set": 84}, True), (0, 36, {}, False), (0, 4, {None: 36}, True), (30, 40, {"growing": 2}, False),
        (30, 76, {"set": 84}, True), (10, 10, {"pushing": 30}, False), (0, 0, {"set": 4}, False), (20, 25, {None: 40}, False),
    ],
)  # fmt: skip
def test_when_it_is_too_early(k, n, waits, early):
    """By the rule at the head of the module, on numbers one can follow."""
    assert early == too_early(k, n, Counter(waits), wilson(k, n).high)


def test_what_waits_is_said_the_furthest_first():
    waits = Counter({None: 3, "swelling": 2, "set": 84})
    assert "84 set, not yet forced; 2 swelling; 3 never looked at; so far 1 took and 4 failed" == so_far(
        1, 5, waits, "took"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--of", "planted"), "a rate is of one of decided, made"),
        (("--of", "made", "--bounds"), "--bounds with --of decided"),
    ],
)
def test_what_cannot_be_asked_is_said(graftbook, words, said):
    bad = graftbook("take", *words)
    assert (2, "") == (bad.code, bad.out)
    assert said in bad.err


def test_a_season_without_grafts_says_so_and_the_review_takes_the_last_with_any(autumn):
    for verb in (("take",), ("take", "curve"), ("take", "course")):
        out = " ".join(autumn(*verb, "--season", "2027-28").out.split())
        assert "No graft made in the season 2027-28 by 2027-11-30. See the seasons there are with" in out
    assert autumn("take", "review").out.startswith(
        "Review of 2026-27, as of 2027-11-30 (nothing was grafted in 2027-28 yet)"
    )
    assert 20 == autumn("take", "review", "--season", "2027-28").code
