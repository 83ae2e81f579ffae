"""take next: how many a side, and a fair split of the wood there is."""

from datetime import date

import pytest
from filling import Filling

SPRING = ("--on", "2027-05-01")


@pytest.fixture
def store(graftbook, location):
    """Two bundles with sticks, one without, and a few grafts decided each way."""
    with Filling(location) as book:
        wood = book.wood(sticks=10)
        book.wood("Pyrus communis", "Butter Bergamot", 3, buds_per_stick=None)
        for method, took in (("cleft", 2), ("bark", 4)):
            for place in range(4):
                graft = book.graft(wood, book.stock(), method)
                book.looks(graft, "08-01 growing" if place < took else "06-01 dead")
    return graftbook


def test_half_of_each_bundle_goes_each_way_and_the_odd_one_is_kept_back(store):
    rows = store("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", *SPRING, "--json").rows
    assert [("W1", 2, 6, 3, 0), ("W2", 3, 3, 1, 1)] == [
        (row["wood"], row["sticks"], row["scions"], row["each_way"], row["kept_back"]) for row in rows
    ]


def test_how_many_are_needed_is_fleiss_and_what_is_missing_is_said(store):
    """Fleiss' example: 72 a side for 0.7 against 0.9."""
    document = store("take", "next", "method=cleft,bark", "--rates", "70%,90%", *SPRING, "--json").json
    assert (72, 4) == (document["needed_a_side"], document["a_side"])
    out = " ".join(store("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", *SPRING).out.split())
    assert "72 grafts a side are needed; the wood in store makes 4: 68 a side too few." in out


def test_the_rates_of_the_book_are_taken_when_none_are_named(store):
    document = store("take", "next", "method=cleft,bark", "--json").json
    assert (0.5, 1.0) == (document["rate_first"], document["rate_second"])
    words = ("take", "next", "method=cleft,bark", "--species", "pear", *SPRING, "--rates", "0.7,0.9", "--json")
    assert [row["wood"] for row in store(*words).rows] == ["W2"]


def test_rates_of_a_few_are_said_to_be_unsure(store):
    """Wilson's range of 2 of 4 is 15 to 85 %, of 4 of 4 it is 51 to 100 %."""
    notes = store("take", "next", "method=cleft,bark", "--json").json["notes"]
    said = "The rates of this book could be others: cleft 2 of 4, from 15% to 85% and bark 4 of 4, from 51% to 100%."
    assert any(note.startswith(said) for note in notes)
    assert "could be others" not in store("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", *SPRING).out


def test_each_side_is_told_by_kind_and_the_table_fits(store):
    done = store("take", "next", "method=cleft,bark", *SPRING, "--notes")
    assert "A side by kind: apple 3, pear 1." in done.out
    assert max(map(len, done.out.splitlines())) <= 80


def test_halves_share_all_but_what_is_tried(store):
    out = " ".join(store("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", *SPRING).out.split())
    assert "drawn by lot, on the same days and stocks, by the same hands" in out
    out = " ".join(store("take", "next", "stock=MM.106,M.26", "--rates", "0.7,0.9", *SPRING).out.split())
    assert "drawn by lot, on the same days, by the same hands" in out


def test_two_days_are_two_days_and_the_later_wood_is_older(store):
    """Never one bundle on two dates on the same days."""
    out = " ".join(store("take", "next", "on<2027-05-15", "--rates", "0.7,0.9", *SPRING).out.split())
    assert (
        "Graft half of each bundle on 2027-05-01 and half on 2027-05-15, drawn by lot, by one method, on like stocks"
        in out
    )
    assert "The later half is 14 days older wood" in out
    assert "same days" not in out
    named = " ".join(store("take", "next", "on=2027-05-10,2027-05-20", "--rates", "0.7,0.9", *SPRING).out.split())
    assert "half of each bundle on 2027-05-10 and half on 2027-05-20" in named


def test_only_wood_usable_on_every_day_asked_is_split(graftbook, location):
    """Wood of January is past keeping by December; wood cut after the first day is not there yet."""
    with Filling(location) as book:
        book.wood(temperature_c=3.0)
        book.wood(cut_on=date(2027, 11, 20))
    words = ("take", "next", "method=cleft,bark", "--rates", "0.7,0.9")
    late = graftbook(*words, "--on", "2027-12-20", "--json", today="2027-12-20").json
    assert ["W2"] == [row["wood"] for row in late["rows"]]
    assert "Left out: W1 past keeping on 2027-12-20." in late["notes"]
    assert ["W1"] == [row["wood"] for row in graftbook(*words, "--on", "2027-04-10", "--json").rows]
    two = graftbook(
        "take", "next", "on<2027-12-20", "--rates", "0.7,0.9", "--on", "2027-11-25", "--json", today="2027-11-25"
    ).json
    assert ["W2"] == [row["wood"] for row in two["rows"]]


def test_scions_of_two_lengths_are_cut_in_pairs(store):
    """Six buds a stick make two pairs of a scion of one bud and one of two."""
    found = store("take", "next", "buds=1,2", "--rates", "0.7,0.9", *SPRING, "--json").json
    assert (2, 8, 4) == tuple(found["rows"][0][name] for name in ("sticks", "scions", "each_way"))
    assert any("scions of 1 and of 2 buds" in note for note in found["notes"])


def test_rates_are_those_within_kinds_and_never_the_pooled_row(graftbook, location):
    """Cleft was used on the easy kind and bark on the hard one: pooled, cleft looks better; within kinds bark is."""
    with Filling(location) as book:
        for taxon, counts in (("Malus domestica", {"cleft": (32, 40), "bark": (9, 10)}),
                              ("Prunus avium", {"cleft": (1, 10), "bark": (12, 40)})):  # fmt: skip
            wood = book.wood(taxon, f"Kind of {taxon}")
            for method, (took, number) in counts.items():
                for place in range(number):
                    story = "08-01 growing" if place < took else "06-01 dead"
                    book.looks(book.graft(wood, book.stock(taxon), method), story)
    found = graftbook("take", "next", "method=cleft,bark", *SPRING, "--json").json
    assert (pytest.approx((0.8 + 0.1) / 2), pytest.approx((0.9 + 0.3) / 2)) == (
        found["rate_first"],
        found["rate_second"],
    )
    assert any(
        "apple, graft: cleft 32 of 40" in note and "cherry, graft: cleft 1 of 10" in note for note in found["notes"]
    )
    apple = graftbook("take", "next", "method=cleft,bark", *SPRING, "--species", "apple", "--json").json
    assert (0.8, 0.9) == (apple["rate_first"], apple["rate_second"])


def test_sticks_with_too_few_buds_make_no_scion(store):
    document = store("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", "--buds", "7", *SPRING, "--json").json
    assert [("W1", 0), ("W2", 3)] == [(row["wood"], row["scions"]) for row in document["rows"]]
    assert "Too few buds on a stick for scions of 7 buds: W1." in document["notes"]


def test_rates_come_from_kinds_that_both_ways_were_used_on(store, location):
    with Filling(location) as book:
        wood = book.wood("Pyrus communis", "Butter Bergamot")
        for _ in range(4):
            book.looks(book.graft(wood, book.stock("Pyrus communis", "seedling"), "cleft"), "08-01 growing")
    document = store("take", "next", "method=cleft,bark", "--json").json
    assert (0.5, 1.0) == (document["rate_first"], document["rate_second"])


def test_rates_that_are_alike_need_another_question(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for method in ("cleft", "bark"):
            book.looks(book.graft(wood, book.stock(), method), "08-01 growing")
    done = graftbook("take", "next", "method=cleft,bark", "--json")
    assert (0, None) == (done.code, done.json["needed_a_side"])
    assert "no number is enough: the rates are alike" in " ".join(
        graftbook("take", "next", "method=cleft,bark").out.split()
    )


def test_while_all_wait_the_rates_must_be_named(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for method in ("cleft", "bark"):
            book.graft(wood, book.stock(), method)
    bad = graftbook("take", "next", "method=cleft,bark")
    assert (2, "") == (bad.code, bad.out)
    assert "decided grafts on both sides" in bad.err


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["method=cleft,bark", "--rates", "much"], 2, "two rates"), (["method=cleft,bark", "--rates", "0.7,1.9"], 2, "a share"),
        (["method=cleft,bark", "--power", "2"], 2, "a chance"), (["method=cleft,bark,saddle"], 2, "two ways"),
        (["cultivar=a,b"], 2, "halves of one bundle"),
        (["wood=W1,W2", "--rates", "0.7,0.9"], 2, "halves of one bundle"), (["wood-age<60", "--rates", "0.7,0.9"], 2, "cut"),
        (["on<2027-04-01", "--rates", "0.7,0.9"], 2, "two days to graft on, none before 2027-11-30"),
        (["month=2027-04,2027-05", "--rates", "0.7,0.9"], 2, "halves of one bundle"),
        (["buds=1,many", "--rates", "0.7,0.9"], 2, "two numbers of buds"),
        (["method=cleft,bark", "--buds", "0"], 2, "buds a scion"), (["method=cleft,saddle"], 20, "No graft with method saddle"),
    ],
)  # fmt: skip
def test_what_cannot_be_planned_is_said(store, words, code, said):
    bad = store("take", "next", *words)
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err


def test_an_empty_store_is_said(graftbook):
    assert (
        "There is no wood with sticks left"
        in graftbook("take", "next", "method=cleft,bark", "--rates", "0.7,0.9", *SPRING).out
    )
