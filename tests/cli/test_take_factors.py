"""take --by: every factor the book can answer, said in the book's unit, and rates drawn towards their kind."""

import pytest
from filling import Filling, day


@pytest.fixture
def book(graftbook, location):
    """Six apple grafts that differ in everything recorded."""
    with Filling(location) as filling:
        mother = filling.stock(kind="tree", clone=None)
        old = filling.wood(cut_on=day("01-04"), donor="K.T.", diameter_min_mm=6.0, diameter_max_mm=8.0)
        fresh = filling.wood(cut_on=day("03-20"), cut_plant_id=mother.id, diameter_min_mm=4.0, diameter_max_mm=12.0)
        for wood, mm, more in (
            (old, 7.0, {}), (old, 9.0, {"seal": "wax"}), (old, 20.0, {"scion_mm": 12.0}),
            (fresh, 9.0, {"buds": 2, "bench": True}), (fresh, 9.0, {"scion_mm": 9.5, "buds": 3, "bench": False}),
            (fresh, None, {"stock_mm": 5.0, "scion_mm": 9.5, "stage": "green tip"}),
        ):  # fmt: skip
            stock = filling.stock(
                mm=mm, grade_min_mm=6.0 if mm is None else None, grade_max_mm=8.0 if mm is None else None
            )
            filling.looks(filling.graft(wood, stock, **more), "08-01 growing")
    return graftbook


@pytest.mark.parametrize(
    ("factor", "values"),
    [
        ("wood-age", {"0-29 days": 3, "60-89 days": 3}), ("donor", {"K.T.": 3, None: 3}), ("mother-tree", {"P1": 3, None: 3}),
        ("scion-diameter", {None: 1, "6-8 mm": 2, "8-10 mm": 2, "12-14 mm": 1}),
        ("stock-diameter", {"4-6 mm": 1, "6-8 mm": 1, "8-10 mm": 3, "20-22 mm": 1}),
        ("mismatch", {None: 1, "alike within 10%": 2, "scion thicker by over 10%": 1, "scion thinner by 10-25%": 1,
                      "scion thinner by 25-50%": 1}),
        ("buds", {None: 4, "2": 1, "3": 1}), ("seal", {None: 5, "wax": 1}), ("bench", {None: 4, "bench": 1, "field": 1}),
        ("stage", {None: 5, "green tip": 1}), ("on", {"2027-04-01": 6}), ("wood", {"W1": 3, "W2": 3}),
    ],
)  # fmt: skip
def test_grafts_are_grouped_by_what_was_recorded(book, factor, values):
    rows = book("take", "--by", factor, "--json").rows
    assert values == {row[factor.replace("-", "_")]: row["made"] for row in rows}


def test_thickness_is_said_in_the_books_unit(book):
    book("settings", "units=in")
    rows = book("take", "--by", "scion-diameter", "--json").rows
    assert {None: 1, "1/4-3/8 in": 4, "3/8-1/2 in": 1} == {row["scion_diameter"]: row["made"] for row in rows}


def test_classes_stand_in_the_order_of_their_numbers(graftbook, location):
    with Filling(location) as filling:
        for number, mm in enumerate((2.0, 10.0, 30.0)):
            wood = filling.wood(cut_on=day("2026-11-01") if number else day("03-25"))
            filling.looks(filling.graft(wood, filling.stock(mm=mm, place=f"row {number}")), "08-01 growing")
    order = [row["stock_diameter"] for row in graftbook("take", "--by", "stock-diameter", "--json").rows]
    assert ["2-4 mm", "10-12 mm", "30-32 mm"] == order
    assert ["0-29 days", "150-179 days"] == [
        row["wood_age"] for row in graftbook("take", "--by", "wood-age", "--json").rows
    ]


@pytest.mark.parametrize("cut", ["wood-age<60", "wood-age<=59 days"])
def test_wood_is_compared_by_its_age(book, cut):
    row = book("take", "compare", cut, "--json").rows[-1]
    assert (3, 3) == (row["n_first"], row["n_second"])
    assert row["first"].endswith("60 days") or row["first"].endswith("59 days")


def test_any_measure_can_be_cut_in_two(book):
    row = book("take", "compare", "scion-diameter>=8mm", "--json").rows[-1]
    assert ("8 mm or more", 3, "under 8 mm", 2) == (row["first"], row["n_first"], row["second"], row["n_second"])
    row = book("take", "compare", "buds>2", "--json").rows[-1]
    assert ("over 2 buds", 1, "up to 2 buds", 1) == (row["first"], row["n_first"], row["second"], row["n_second"])
    row = book("take", "compare", "stock-diameter<3/8in", "--json").rows[-1]
    assert ("under 9.52 mm", 5) == (row["first"], row["n_first"])
    book("settings", "units=in")
    assert "under 3/8 in" == book("take", "compare", "stock-diameter<3/8", "--json").rows[-1]["first"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("method<cleft", "a factor that can be cut in two: on, days-from-green-tip, warmth, wood-age"),
            ("wood-age<old", "a whole number of days"),
        ("buds<many", "a whole number"), ("scion-diameter<thick", "a scion's diameter"), ("colour<3", "a factor is one of"),
    ],
)  # fmt: skip
def test_a_cut_that_cannot_be_is_said(book, words, said):
    bad = book("take", "compare", words)
    assert (2, "") == (bad.code, bad.out)
    assert said in bad.err


def test_the_age_of_the_wood_is_told_where_dates_are_compared_and_is_no_cause_there(graftbook, location):
    with Filling(location) as filling:
        wood = filling.wood()
        for made, took in (("04-01", 9), ("05-20", 1)):
            for place in range(10):
                graft = filling.graft(wood, filling.stock(), made=made)
                filling.looks(graft, "08-01 growing" if place < took else "06-01 dead")
    document = graftbook("take", "compare", "on<2027-05-01", "--json").json
    assert [] == document["together_with"]
    assert any(
        note.startswith(
            "Age of the wood goes with date (before 2027-05-01: 60-89 days 10; from 2027-05-01: 120-149 days 10)"
        )
        for note in document["notes"]
    )
    out = " ".join(graftbook("take", "compare", "on<2027-05-01").out.split())
    assert "which luck alone would rarely do." in out


@pytest.fixture
def cultivars(graftbook, location):
    """Eight apples from 1 of 1 to 30 of 40, and one pear."""
    with Filling(location) as filling:
        for number, (took, made) in enumerate(((1, 1), (0, 1), (2, 3), (3, 5), (8, 10), (6, 8), (30, 40), (3, 4))):
            wood = filling.wood(cultivar=f"Kind {number}")
            for place in range(made):
                filling.looks(filling.graft(wood, filling.stock()), "08-01 growing" if place < took else "06-01 dead")
        pear = filling.wood("Pyrus communis", "Butter Bergamot")
        filling.looks(filling.graft(pear, filling.stock("Pyrus communis", "seedling")), "08-01 growing")
    return graftbook


def test_small_rows_are_drawn_towards_their_kind_beside_the_raw_numbers(cultivars):
    document = cultivars("take", "--by", "species,cultivar", "--shrink", "--json").json
    rows = {row["cultivar"]: row for row in document["rows"]}
    assert (1.0, 0.0) == (rows["Kind 0"]["rate"], rows["Kind 1"]["rate"])
    assert 0.5 < rows["Kind 1"]["shrunk_rate"] < rows["Kind 0"]["shrunk_rate"] < 0.9
    assert 0.75 == pytest.approx(rows["Kind 6"]["shrunk_rate"], abs=0.02)
    for name, row in rows.items():
        if name != "Butter Bergamot":
            assert row["shrunk_low"] < row["shrunk_rate"] < row["shrunk_high"]
    assert rows["Butter Bergamot"]["shrunk_rate"] is None
    assert any(note.startswith("Not shrunk: pear grafts;") for note in document["notes"])


def test_raw_and_shrunk_stand_side_by_side_in_80_columns(cultivars):
    done = cultivars("take", "--by", "species,cultivar", "--shrink", "--notes")
    assert max(map(len, done.out.splitlines())) <= 80
    line = next(line for line in done.out.splitlines() if "Kind 0" in line)
    assert "1 of 1" in line
    assert "100% (21-100)" in line
    assert "Shrunk: each row drawn towards the others of its kind" in done.out


def test_imported_grafts_are_counted_and_their_import_is_named(cultivars, location, tmp_path):
    folder = tmp_path / "old"
    folder.mkdir()
    (folder / "wood.csv").write_text("code,taxon,cultivar,sticks\nW90,Malus domestica,Kind 0,5\n", encoding="utf-8")
    (folder / "plants.csv").write_text("code,kind,taxon\nP900,stock,Malus domestica\n", encoding="utf-8")
    (folder / "grafts.csv").write_text(
        "code,wood,host,method,made_on\nG900,W90,P900,cleft,2019-04-01\n", encoding="utf-8"
    )
    (folder / "looks.csv").write_text("graft,on,state\nG900,2019-08-01,growing\n", encoding="utf-8")
    assert "counted with the rest" not in cultivars("take").out
    assert 0 == cultivars("import", folder).code
    document = cultivars("take", "--by", "season", "--json").json
    assert ("2018-19", 1, 1) == tuple(document["rows"][0][name] for name in ("season", "made", "took"))
    (said,) = [note for note in document["notes"] if "import" in note]
    assert said.startswith("Grafts that came by import are counted with the rest: 1 by entry ")
    assert said.endswith("(old/grafts.csv).")
    assert "counted with the rest" not in cultivars("take", "--season", "2026-27").out
