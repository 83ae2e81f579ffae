"""take curve: a line where the counts carry one, a reason where they do not, on both databases."""

import pytest
from filling import Filling, day

APRIL = [f"04-{number:02}" for number in range(1, 31)]


def fill(location, shape, made=APRIL, each=4, **more):
    """So many apples a day; `shape` says of the days how many of the four took."""
    with Filling(location) as book:
        wood = book.wood(cut_on=None, **more)
        for number, on in enumerate(made):
            for place in range(each):
                graft = book.graft(wood, book.stock(), made=on, stock_mm=6 + number % 10)
                book.looks(graft, "08-01 growing" if place < shape(number) else "06-01 dead")


@pytest.fixture
def best_in_the_middle(graftbook, location):
    """Thirty days; two of eight at either end, seven of eight in the middle."""
    fill(location, lambda number: 7 if 10 <= number < 20 else 6 if 7 <= number < 23 else 2, each=8)
    return graftbook


@pytest.fixture
def no_better(graftbook, location):
    """Thirty days, three of four on each."""
    fill(location, lambda number: 3)
    return graftbook


def test_a_best_window_is_named_with_its_width_and_the_counts_inside_and_out(best_in_the_middle):
    document = best_in_the_middle("take", "curve", "--x", "date", "--as-of", "2027-11-30", "--json").json
    (fact,) = document["curves"]
    assert ("apple", 240, True, None, False, False) == tuple(
        fact[name] for name in ("species", "n", "drawn", "why_not", "open_before", "open_after")
    )
    assert "04-04" < fact["window_from"] < "04-13" < "04-18" < fact["window_to"] < "04-27"
    out = " ".join(best_in_the_middle("take", "curve").out.split())
    assert "apple: best from about" in out
    assert "days wide)" in out
    assert f"{fact['k_within']} of {fact['n_within']} took there, " in out


def test_no_window_is_named_where_one_chance_fits_every_date(no_better):
    out = " ".join(no_better("take", "curve").out.split())
    assert "apple: no best window shown: 90 of 120 took." in out
    (fact,) = no_better("take", "curve", "--json").json["curves"]
    assert (None, "level") == (fact["window_from"], fact["no_window"])


def test_the_names_of_a_row_are_as_promised(no_better):
    rows = no_better("take", "curve", "--json").rows
    ranges = ["chance", "low", "high", "low_whole", "high_whole", "level"]
    assert ["species", "unit", "date_from", "date_to", "k", "n", *ranges] == list(rows[0])
    assert ("04-01", "04-07", 21, 28) == tuple(rows[0][name] for name in ("date_from", "date_to", "k", "n"))
    assert (90, 120) == (sum(row["k"] for row in rows), sum(row["n"] for row in rows))
    for row in rows:
        assert 0 <= row["low_whole"] <= row["low"] <= row["chance"] <= row["high"] <= row["high_whole"] <= 1


def test_csv_and_json_hold_the_same_rows(no_better):
    lines = no_better("take", "curve", "--csv").out.splitlines()
    assert lines[0].startswith("species,unit,date_from,date_to,k,n,chance")
    assert len(no_better("take", "curve", "--json").rows) == len(lines) - 1


def test_the_table_has_k_of_n_before_the_percentage_says_the_day_and_fits_80_columns(no_better):
    out = no_better("take", "curve", "--as-of", "2027-11-30").out
    assert "Chance over date (took), grafts of all seasons, as of 2027-11-30" in out
    assert max(map(len, out.splitlines())) <= 80
    assert out.index(" of ") < out.index("%")


@pytest.mark.parametrize(
    ("axis", "field", "value"),
    [
        ("diameter", "stock_diameter_mm_from", 6.0),
        ("scion-diameter", "scion_diameter_mm_from", 8.0),
        ("wood-age", None, None),
    ],
)
def test_other_things_can_be_drawn_over_and_what_is_not_recorded_is_left_out(no_better, axis, field, value):
    document = no_better("take", "curve", "--x", axis, "--json").json
    if field is None:
        assert [] == document["rows"]
        assert "120 were decided, but the" in " ".join(document["notes"])
    else:
        assert value == document["rows"][0][field]


def test_the_age_of_the_wood_is_the_days_since_it_was_cut(graftbook, location):
    with Filling(location) as book:
        wood = book.wood(cut_on=day("01-31"))
        for made in ("03-01", "03-08", "03-15", "03-22", "03-29"):
            for place in range(5):
                book.looks(book.graft(wood, book.stock(), made=made), "08-01 growing" if place else "06-01 dead")
    rows = graftbook("take", "curve", "--x", "wood-age", "--json").rows
    assert (25, 25, 30) == (sum(row["n"] for row in rows), rows[0]["wood_age_days_from"], rows[0]["wood_age_days_to"])
    assert all(row["chance"] is not None for row in rows)


@pytest.mark.parametrize(
    ("shape", "made", "each", "said"),
    [
        (lambda _: 1, APRIL[:5], 2, "Too few decided to draw a line from (fewer than 20): apple 5 of 10."),
        (lambda _: 4, APRIL, 4, "no line drawn: all of 120 took, whatever the date"),
        (lambda _: 0, APRIL, 4, "no line drawn: none of 120 took, whatever the date"),
        (lambda number: 0 if number < 3 else 1, APRIL, 1, "at least 5 of each outcome are needed"),
        (lambda _: 2, APRIL[:3], 8, "on 3 days only; at least 5 are needed"),
        (lambda number: 0 if number < 12 else 4, APRIL, 4, "all of them after 12 April and every failure before"),
        (lambda number: 4 if number < 12 else 0, APRIL, 4, "all of them before 13 April and every failure after"),
    ],
)
def test_where_no_line_is_drawn_the_reason_is_said_and_the_counts_stand_alone(
    graftbook, location, shape, made, each, said
):
    fill(location, shape, made, each)
    done = graftbook("take", "curve")
    assert 0 == done.code
    assert said in " ".join(done.out.split())
    assert {None} == {row["chance"] for row in graftbook("take", "curve", "--json").rows}


def test_what_changed_along_with_the_date_is_named_with_counts(graftbook, location):
    with Filling(location) as book:
        wood = book.wood()
        for number, on in enumerate(APRIL):
            for place in range(3):
                method = "cleft" if number < 15 else "bark"
                graft = book.graft(wood, book.stock(), method, made=on)
                book.looks(graft, "08-01 growing" if place < (1 if number < 15 else 2) else "06-01 dead")
    out = " ".join(graftbook("take", "curve").out.split())
    assert "method changed wholly with the date (up to 15 April: cleft 45; later: bark 45)" in out
    assert "so the date cannot be named as the cause" in out


def test_what_is_not_decided_is_left_out_and_said(graftbook, location):
    fill(location, lambda number: 3)
    with Filling(location) as book:
        wood = book.wood()
        book.graft(wood, book.stock(), made="04-10")
        book.looks(book.graft(wood, book.stock(), made="04-10"), "05-01 pushing, 08-01 not-found")
    document = graftbook("take", "curve", "--json").json
    assert 120 == sum(row["n"] for row in document["rows"])
    assert "2 are not decided or not known by 2027-11-30 and left out." in document["notes"]


def test_buds_and_grafts_are_counted_apart_and_kinds_by_any_factors(graftbook, location):
    with Filling(location) as book:
        apple, pear = book.wood(), book.wood("Pyrus communis", "Butter Bergamot")
        book.looks(book.graft(apple, book.stock(), "T-bud", unit="bud", made="04-01"), "08-01 growing")
        book.looks(book.graft(apple, book.stock(), "cleft", made="04-01"), "08-01 growing")
        book.looks(book.graft(pear, book.stock(), "cleft", made="04-01"), "08-01 growing")
    facts = graftbook("take", "curve", "--by", "species,method", "--json").json["curves"]
    assert [("apple", "T-bud", "bud"), ("apple", "cleft", "graft"), ("pear", "cleft", "graft")] == [
        (fact["species"], fact["method"], fact["unit"]) for fact in facts
    ]
    assert [("T-bud", "bud", 1), ("cleft", "graft", 2)] == [
        (fact["method"], fact["unit"], fact["n"])
        for fact in graftbook("take", "curve", "--by", "method", "--json").json["curves"]
    ]


@pytest.mark.parametrize(
    ("kind", "head"), [("png", b"\x89PNG"), ("pdf", b"%PDF-"), ("svg", b"<!-- Graftbook -->\n<svg")]
)
def test_the_line_is_drawn_to_a_file_and_may_be_drawn_over_again(best_in_the_middle, tmp_path, kind, head):
    place = tmp_path / f"curve.{kind}"
    done = best_in_the_middle("take", "curve", "-o", place)
    assert (0, f"Drew {place}.\n") == (done.code, done.err)
    first = place.read_bytes()
    assert first.startswith(head)
    assert 0 == best_in_the_middle("take", "curve", "-o", place).code
    assert first == place.read_bytes()


def test_nothing_is_drawn_where_there_is_no_line(graftbook, location, tmp_path):
    fill(location, lambda _: 4)
    done = graftbook("take", "curve", "-o", tmp_path / "curve.png")
    assert (21, "") == (done.code, done.out)
    assert "all of 120 took" in done.err
    assert not (tmp_path / "curve.png").exists()


def test_a_file_that_is_not_ours_is_not_drawn_over(no_better, tmp_path):
    place = tmp_path / "letter.svg"
    place.write_text("<svg>my own</svg>", encoding="utf-8")
    done = no_better("take", "curve", "-o", place)
    assert (21, "") == (done.code, done.out)
    assert "<svg>my own</svg>" == place.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--x", "moon"], "what to draw over, one of date, wood-age, days-from-green-tip, warmth, diameter"),
        (["--by", "colour"], "a factor is one of"),
        (["--endpoint", "lived"], "an endpoint is one of"), (["--level", "1.5"], "a level between 0 and 1"),
        (["--season", "2027"], "a season written by its two years"), (["--as-of", "soon"], "a date such as"),
        (["-o", "curve.doc"], "a name that ends in .png, .pdf or .svg"), (["--json", "--csv"], "one of --json and --csv"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_is_said(graftbook, words, said):
    bad = graftbook("take", "curve", *words)
    assert (2, "") == (bad.code, bad.out)
    assert said in bad.err


def test_an_empty_book_has_nothing_to_show(graftbook, tmp_path):
    assert "Nothing to show." in graftbook("take", "curve").out
    bad = graftbook("take", "curve", "-o", tmp_path / "curve.png")
    assert (21, "") == (bad.code, bad.out)


def test_in_the_south_the_season_begins_in_may(graftbook, location):
    graftbook("settings", "hemisphere=south")
    fill(location, lambda _: 3, [f"2027-09-{number:02}" for number in range(1, 29)])
    rows = graftbook("take", "curve", "--as-of", "2028-06-01", "--json", today="2028-06-01").rows
    assert "09-01" == rows[0]["date_from"]


def test_pooled_kinds_are_named_with_counts(graftbook, location):
    with Filling(location) as book:
        for wood, number in ((book.wood(), 2), (book.wood("Pyrus communis", "Butter Bergamot"), 1)):
            for _ in range(number):
                book.looks(book.graft(wood, book.stock(), made="04-01"), "08-01 growing")
    said = "This pools kinds that take differently (apple 2, pear 1)"
    assert said in " ".join(graftbook("take", "curve", "--by", "method").out.split())
    assert "pools kinds" not in graftbook("take", "curve", "--by", "species,method").out
    assert "This pools kinds, which may fare differently" in graftbook("take", "course", "--by", "method").out
    assert "This pools kinds, which may fare differently" not in graftbook("take", "course").out
