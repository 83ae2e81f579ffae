"""take compare: within kinds, with a range, and never naming one cause where several changed together."""

import pytest
from filling import Filling

GREW, DIED = "08-01 growing", "06-01 dead"


def fill(location, *groups):
    """Grafts as (kind, method, day, clone, how many took, of how many)."""
    with Filling(location) as book:
        woods = {}
        for kind, method, day, clone, took, number in groups:
            wood = woods.setdefault(kind, book.wood(kind, f"Kind of {kind.split()[0]}"))
            for place in range(number):
                graft = book.graft(wood, book.stock(kind, clone), method, day)
                book.looks(graft, GREW if place < took else DIED)


def test_a_difference_luck_would_rarely_make_is_said_with_k_of_n_first(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 2, 20),
        ("Malus domestica", "whip-and-tongue", "04-01", "M.26", 17, 20),
    )
    done = graftbook("take", "compare", "method=whip-and-tongue,cleft")
    said = (
        "whip-and-tongue did better: whip-and-tongue 17 of 20, cleft 2 of 20 (took), which luck alone would rarely do."
    )
    assert " ".join(done.out.split()).startswith(said)
    assert max(map(len, done.out.splitlines())) <= 80


def test_what_changed_at_the_same_time_is_named_and_no_cause_is(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 2, 20),
        ("Malus domestica", "whip-and-tongue", "05-15", "MM.106", 17, 20),
    )
    document = graftbook("take", "compare", "method=whip-and-tongue,cleft", "--json").json
    assert {"month", "stock"} <= set(document["together_with"])
    out = " ".join(graftbook("take", "compare", "method=whip-and-tongue,cleft").out.split())
    assert "none of them can be named as the cause" in out
    assert "Date changed wholly with it" in out
    assert "give half of each bundle each way" in out


def test_few_grafts_show_no_difference_and_that_is_said(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 3, 4),
        ("Malus domestica", "bark", "04-01", "M.26", 2, 4),
    )
    out = " ".join(graftbook("take", "compare", "method=cleft,bark").out.split())
    assert "No difference shown: cleft 3 of 4, bark 2 of 4 (took). With 8 decided side by side" in out


def test_the_sum_may_point_the_other_way_and_the_strata_are_believed(graftbook, location):
    """Simpson's reversal, built after the pattern of the Berkeley admissions of 1973 (Bickel and others, 1975)."""
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 38, 40), ("Malus domestica", "bark", "04-01", "M.26", 8, 10),
        ("Prunus avium", "cleft", "04-01", "Colt", 3, 10), ("Prunus avium", "bark", "04-01", "Colt", 8, 40),
    )  # fmt: skip
    rows = {row["stratum"]: row for row in graftbook("take", "compare", "method=cleft,bark", "--json").rows}
    assert rows["thrown together"]["difference"] > 0.4
    fill(
        location,
        ("Malus domestica", "bark", "04-01", "M.26", 12, 12),
        ("Prunus avium", "cleft", "04-01", "Colt", 0, 12),
    )
    out = " ".join(graftbook("take", "compare", "method=bark,cleft").out.split())
    assert "thrown together" in out
    assert "believe the strata, not the sum" in out


def test_what_is_not_decided_is_on_neither_side(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for method, story in (("cleft", GREW), ("cleft", None), ("bark", DIED), ("bark", "08-01 not-found")):
            graft = book.graft(wood, book.stock(), method)
            if story is not None:
                book.looks(graft, story)
    document = graftbook("take", "compare", "method=cleft,bark", "--as-of", "2027-09-01", "--json").json
    row = document["rows"][0]
    assert (1, 1, 0, 1) == (row["k_first"], row["n_first"], row["k_second"], row["n_second"])
    assert any("2 are not decided or not known" in note for note in document["notes"])


def test_a_date_divides_grafts_into_early_and_late(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 5, 9),
        ("Malus domestica", "cleft", "05-01", "M.26", 1, 9),
    )
    row = graftbook("take", "compare", "on<2027-04-20", "--json").rows[0]
    assert ("before 2027-04-20", "from 2027-04-20", 5, 1) == (
        row["first"],
        row["second"],
        row["k_first"],
        row["k_second"],
    )


def test_several_are_compared_in_pairs_and_that_is_paid_for(graftbook, location):
    fill(
        location, ("Malus domestica", "cleft", "04-01", "M.26", 9, 10), ("Malus domestica", "bark", "04-01", "M.26", 4, 10),
        ("Malus domestica", "saddle", "04-01", "M.26", 2, 10),
    )  # fmt: skip
    document = graftbook("take", "compare", "method=cleft,bark,saddle", "--json").json
    assert 3 == len({(row["first"], row["second"]) for row in document["rows"]})
    assert any("Holm" in note for note in document["notes"])
    alone = graftbook("take", "compare", "method=cleft,saddle", "--json").rows[-1]["p"]
    together = [
        r["p"] for r in document["rows"] if (r["first"], r["second"]) == ("cleft", "saddle") and r["p"] is not None
    ]
    assert together[-1] == pytest.approx(min(1, 3 * alone))


def test_buds_and_grafts_are_never_in_one_stratum(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for unit, method in (("graft", "cleft"), ("bud", "chip-bud")):
            book.looks(book.graft(wood, book.stock(), method, unit=unit), GREW)
    document = graftbook("take", "compare", "method=cleft,chip-bud", "--json").json
    assert {"apple, graft", "apple, bud"} < {row["stratum"] for row in document["rows"]}
    assert "only one of the two was used" in " ".join(graftbook("take", "compare", "method=cleft,chip-bud").out.split())


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["colour=red,blue"], 2, "a factor is one of"), (["method=cleft"], 2, "two or more values"),
        (["nonsense"], 2, "what to compare"), (["method=cleft,saddle"], 20, "No graft with method saddle"),
        (["on<soon"], 2, "a date such as"), (["who=A,B"], 2, "a factor"),
        (["method=cleft,bark", "--level", "2"], 2, "a level"), (["method=cleft,bark", "--endpoint", "lived"], 2, "an endpoint"),
        (["method=cleft,bark", "--within", "who"], 2, "a factor"), (["=a,b"], 2, "a factor before"),
    ],
)  # fmt: skip
def test_what_cannot_be_compared_is_said(graftbook, location, words, code, said):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 1, 2),
        ("Malus domestica", "bark", "04-01", "M.26", 1, 2),
    )
    bad = graftbook("take", "compare", *words)
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err


def test_an_empty_book_has_no_grafts_to_compare(graftbook):
    assert 20 == graftbook("take", "compare", "method=cleft,bark").code


def test_the_everyday_take_and_compare_load_no_scipy(graftbook, location):
    import os
    import subprocess
    import sys

    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 1, 2),
        ("Malus domestica", "bark", "04-01", "M.26", 1, 2),
    )
    code = (
        "import sys; from graftbook.cli.main import main\n"
        f"code = main(['--book', {location!r}, *sys.argv[1:]])\n"
        "sys.exit(code or [m for m in ('scipy', 'statsmodels', 'pandas', 'numpy') if m in sys.modules] or 0)\n"
    )
    for words in (["take"], ["take", "compare", "method=cleft,bark"]):
        done = subprocess.run(
            [sys.executable, "-c", code, *words], capture_output=True, text=True, env=dict(os.environ)
        )
        assert 0 == done.returncode, done.stderr
