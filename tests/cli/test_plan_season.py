"""plan: the person's plan as printed, what plans keep from one another, a season dealt out, and batches of bare-root stocks."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date

import pypdfium2
import pytest
from filling import Filling
from whole_book import contents

DAY = "2027-03-14"


def planned(graftbook, *words, today="2027-03-01"):
    return graftbook("plan", "--on", DAY, *words, "--json", today=today)


def text_of(path):
    document = pypdfium2.PdfDocument(path)
    words = [page.get_textpage().get_text_bounded() for page in document]
    document.close()
    return words


@pytest.fixture
def last_wood(location):
    """Nine buds on sticks of five and four, six matched stocks and two too thick, which are left out; splices of two buds took
    32 of 40 times and of one bud 13 of 20."""
    with Filling(location) as book:
        for _ in range(6):
            book.stock(mm=8.0, site="home")
        for _ in range(2):
            book.stock(mm=30.0, site="home")
        other = book.wood(cultivar="Lanternside Russet")
        for at in range(60):
            graft = book.graft(other, book.stock(mm=8.0), "splice", made="2026-03-20", buds=2 if at < 40 else 1)
            took = at < 32 or 40 <= at < 53
            book.looks(graft, "2026-06-01 growing, 2026-08-01 growing" if took else "2026-06-01 dead")
        for buds in (5, 4):
            book.wood(sticks=1, buds_per_stick=buds, diameter_min_mm=8.0, diameter_max_mm=8.0)


def test_the_last_wood_by_own_counts_and_what_the_next_best_and_a_bud_held_back_cost(graftbook, last_wood):
    """0.80 and 0.65, drawn a little toward the 45 of 60 of both: best is three scions of two buds and three of one."""
    graftbook("want", "add", "Stoneway Pearmain", 2, "--living", 2)
    done = planned(graftbook, "--method", "splice", "--host", "P1-P6")
    (want,), (other,), (held,) = (done.json[name] for name in ("wants", "next_best", "holding"))
    notes = " ".join(done.json["notes"])

    assert {2: 3, 1: 3} == Counter(row["buds"] for row in done.rows)
    assert {(2, 32, 40), (1, 13, 20)} == {(row["buds"], row["k"], row["n"]) for row in done.rows}
    assert (0.994, {"2": 2, "1": 4}, 0.990) == (round(want["chance"], 3), other["scions"], round(other["chance"], 3))
    assert 0.990 == round(held["chance_held"], 3)
    assert "(3 of 2 buds and 3 of 1 bud)" in notes and "the chance that 2 live is 99.4%" in notes
    assert "Next best: 2 of 2 buds and 4 of 1 bud: that chance 99.0%" in notes
    assert "its chance falls from 99.4% to 99.0%" in notes
    assert "all it was wanted for" not in notes


def test_the_chance_of_a_row_is_the_one_that_take_shrink_prints(graftbook, last_wood, location):
    with Filling(location) as book:
        wood = book.wood(cultivar="Lanternside Russet")
        for at in range(14):
            graft = book.graft(wood, book.stock(mm=8.0), "cleft", made="2026-03-20", buds=3)
            book.looks(graft, "2026-06-01 growing, 2026-08-01 growing" if at < 11 else "2026-06-01 dead")
    graftbook("want", "add", "Stoneway Pearmain", 2, "--living", 2)
    lines = planned(graftbook, "--method", "splice", "--host", "P1-P6").rows
    rows = graftbook("take", "--by", "species,method,buds", "--shrink", "--json", today="2027-03-01").rows
    shrunk = {int(row["buds"]): row["shrunk_rate"] for row in rows if row["method"] == "splice"}

    for line in lines:
        assert shrunk[line["buds"]] == pytest.approx(line["chance"], abs=1e-5)
        assert "drawn toward the other rows of its kind" in line["basis_words"]


@pytest.fixture
def bench(location):
    """Eight stocks on two sites, and plenty of two cultivars whose trees live."""
    with Filling(location) as book:
        for site in ("orchard",) * 4 + ("school",) * 4:
            book.stock(site=site, mm=9.0, place="shed")
        for cultivar in ("Stoneway Pearmain", "Lanternside Russet"):
            book.wood(cultivar=cultivar, sticks=6, length_mm=300.0, diameter_min_mm=8.0)


def test_no_more_grafts_than_the_number_wanted_takes_unless_some_are_asked_for_to_spare(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 3)
    plain, spare = planned(graftbook), planned(graftbook, "--spare", "50%")

    assert 4 == len(plain.rows) and {3} == {row["buds"] for row in plain.rows}
    assert 6 == len(spare.rows)
    assert "a share from 0 to 100% with --spare" in planned(graftbook, "--spare", "lots").err


def test_a_must_have_on_two_sites_says_each_site_and_prints_it(graftbook, bench, tmp_path):
    graftbook("want", "add", "Stoneway Pearmain", 2, "--living", 2, "--sites", 2)
    done = graftbook("plan", "--on", DAY, today="2027-03-01")
    rows = graftbook("plan", "show", "--json").rows
    here = defaultdict(list)
    for row in rows:
        here[row["site"]].append(1 - row["chance"])
    misses = [1.0, 1.0]
    for at, some in enumerate(here.values()):
        for miss in some:
            misses[at] *= miss
    chance = planned(graftbook).json["wants"][0]["chance"]
    graftbook("plan", "sheet", 1, "-o", tmp_path / "bench.pdf")

    assert (1 - misses[0]) * (1 - misses[1]) == pytest.approx(chance, abs=1e-4)
    assert "one on each of 2 sites" in " ".join(done.out.split())
    assert " site " in done.out and "school" in done.out
    assert "shed, for school" in " ".join(" ".join(text_of(tmp_path / "bench.pdf")).split())
    assert [] == [line for line in done.out.splitlines() if len(line) > 80]


def test_a_printed_plan_keeps_its_stocks_and_sticks_until_it_is_dropped(graftbook, bench, tmp_path):
    graftbook("want", "add", "Stoneway Pearmain", 3)
    first = {row["host"] for row in planned(graftbook).rows}
    draft = planned(graftbook)
    assert first == {row["host"] for row in draft.rows}
    assert "Plan 1 for the same day, not printed, has 4 stocks of these too" in " ".join(draft.json["notes"])
    graftbook("plan", "drop", 2, today="2027-03-01")

    graftbook("plan", "sheet", 1, "-o", tmp_path / "a.pdf", today="2027-03-01")
    second = planned(graftbook)
    assert not first & {row["host"] for row in second.rows}
    assert "Plan 1 (printed, for 2027-03-14) keeps 4 stocks" in " ".join(second.json["notes"])
    graftbook("plan", "drop", 3, today="2027-03-01")

    dropped = graftbook("plan", "drop", 1, "--note", "rain", today="2027-03-01")
    assert (0, "Dropped plan 1 for 2027-03-14, 4 grafts.") == (dropped.code, dropped.out.splitlines()[0])
    assert first == {row["host"] for row in planned(graftbook).rows}
    assert ["open", "dropped", "dropped", "dropped"] == [
        row["state"] for row in graftbook("plan", "list", "--json", today="2027-03-01").rows
    ]


def test_a_graft_on_a_stock_that_an_open_plan_has_says_so_until_the_plan_is_dropped(graftbook, bench, tmp_path):
    graftbook("want", "add", "Stoneway Pearmain", 3)
    assert graftbook("plan", "--on", DAY, today="2027-03-01").code == 0
    taken = graftbook("plan", "show", "--json").rows[0]["host"]
    words = ("graft", "W1", taken, "--method", "splice", "--buds", 2, "--on", "2027-03-02", "--json")
    for before in ((), ("plan", "sheet", 1, "-o", tmp_path / "bench.pdf")):
        assert not before or graftbook(*before, today="2027-03-01").code == 0
        done = graftbook(*words, today="2027-03-02")
        assert done.code == 0 and f"Plan 1 (for {DAY}) has {taken} too." in " ".join(done.json["notes"])
        assert graftbook("undo", done.json["entry"]).code == 0
    assert graftbook("plan", "drop", 1, today="2027-03-01").code == 0
    assert "Plan 1" not in " ".join(graftbook(*words, today="2027-03-02").json["notes"])


def test_a_plan_for_another_day_keeps_what_it_uses_even_unprinted_and_none_once_its_day_is_past(graftbook, bench):
    graftbook("want", "add", "Stoneway Pearmain", 3)
    first = {row["host"] for row in planned(graftbook).rows}
    other = graftbook("plan", "--on", "2027-03-20", "--json", today="2027-03-01")
    later = graftbook("plan", "--on", "2027-03-21", "--json", today="2027-03-21")

    assert not first & {row["host"] for row in other.rows}
    assert first & {row["host"] for row in later.rows}
    assert "past" == graftbook("plan", "show", 1, "--json", today="2027-03-21").json["state"]


def test_sticks_are_kept_too_and_done_plans_keep_nothing(graftbook, location):
    with Filling(location) as book:
        for _ in range(8):
            book.stock(mm=9.0)
        book.wood(sticks=2, length_mm=300.0, diameter_min_mm=8.0)
    graftbook("want", "add", "Stoneway Pearmain", 20)
    planned(graftbook, "--host", "P1-P4")
    other = graftbook("plan", "--on", "2027-03-20", "--json", today="2027-03-01")

    assert 23 == other.code
    assert "keeps 4 stocks (P1-P4) and 2 sticks of W1" in other.err
    assert 0 == graftbook("graft", "--plan", 1, "--done", today=DAY).code
    assert "no stick" not in graftbook("plan", "--on", "2027-03-20", today=DAY).err


@pytest.mark.parametrize("how", ["drop", "done"])
def test_a_plan_that_is_over_is_neither_dropped_printed_nor_recorded(graftbook, location, bench, tmp_path, how):
    graftbook("want", "add", "Stoneway Pearmain", 3)
    planned(graftbook)
    words = ("plan", "drop", 1) if how == "drop" else ("graft", "--plan", 1, "--done")
    assert 0 == graftbook(*words, today=DAY).code
    before = contents(location)
    over = "was dropped on" if how == "drop" else "was done on"
    for words in (
        ("plan", "drop", 1),
        ("graft", "--plan", 1, "--done"),
        ("plan", "sheet", 1, "-o", tmp_path / "x.pdf"),
    ):
        done = graftbook(*words, today=DAY)
        assert (21, "") == (done.code, done.out)
        assert over in done.err
    assert before == contents(location)


def test_dropping_is_undone_and_comes_back_from_its_export(graftbook, bench, location, other, tmp_path):
    graftbook("want", "add", "Stoneway Pearmain", 3, today="2027-02-01")
    planned(graftbook, "--days", 2, "--crews", 2)
    entry = graftbook("plan", "drop", 2, "--json", today="2027-03-01").json["entry"]
    graftbook("export", tmp_path / "out")
    assert 0 == graftbook("--book", other, "import", tmp_path / "out").code
    assert contents(location) == contents(other)
    assert 0 == graftbook("undo", entry).code
    assert "open" == graftbook("plan", "show", 2, "--json", today="2027-03-01").json["state"]
    assert 20 == graftbook("plan", "drop", 9).code


@pytest.fixture
def nursery(location):
    """Forty bare-root stocks of a rootstock and twenty of another, by grade, and two cultivars."""
    with Filling(location) as book:
        for at in range(60):
            clone = "MM.106" if at < 40 else "M.26"
            book.stock(clone=clone, mm=None, grade_min_mm=6.0, grade_max_mm=9.0, site="nursery", place="store")
        for cultivar in ("Stoneway Pearmain", "Lanternside Russet"):
            book.wood(cultivar=cultivar, sticks=30, length_mm=300.0, diameter_min_mm=8.0)


def test_a_season_is_dealt_out_by_days_and_crews_whole_sticks_and_each_stock_once(graftbook, nursery):
    graftbook("want", "add", "Stoneway Pearmain", 20, "--stock", "MM.106")
    graftbook("want", "add", "Lanternside Russet", 12, "--stock", "M.26")
    done = planned(graftbook, "--days", 3, "--crews", 2)
    plans = graftbook("plan", "list", "--json", today="2027-03-01").rows
    by_plan, owner = Counter(row["plan"] for row in done.rows), {}
    for row in done.rows:
        assert row["plan"] == owner.setdefault((row["wood"], row["stick"]), row["plan"])

    assert [1, 2, 3, 4, 5, 6] == done.json["plans"] == sorted(by_plan)
    assert max(by_plan.values()) - min(by_plan.values()) <= 2
    assert len(done.rows) == len({row["host"] for row in done.rows})
    assert [(date(2027, 3, 14 + at // 2).isoformat(), at % 2 + 1) for at in range(6)] == [
        (row["day"], row["crew"]) for row in sorted(plans, key=lambda row: row["plan"])
    ]
    assert 3 >= sum(len({row["clone"] for row in done.rows if row["plan"] == plan}) for plan in (1, 2))
    other = graftbook("plan", "--on", "2027-03-30", "--wants", 2, "--json", today="2027-03-01")
    assert not {row["host"] for row in done.rows} & {row["host"] for row in other.rows}
    for plan in (1, 4):
        assert 0 == graftbook("graft", "--plan", plan, "--done", today="2027-03-16").code


def test_a_long_plan_is_a_page_of_totals_and_every_line_when_asked_for(graftbook, nursery):
    graftbook("want", "add", "Stoneway Pearmain", 24)
    done = graftbook("plan", "--on", DAY, today="2027-03-01")
    every = graftbook("plan", "show", 1, "--all", today="2027-03-01")
    rows = graftbook("plan", "show", 1, "--json", today="2027-03-01").rows

    assert 0 == done.code
    assert {"By cultivar", "By stock", "By day"} <= set(done.out.splitlines())
    assert "Every line: --all, --json, or the sheet" in done.out
    assert len(rows) > 24 and f" {len(rows)} W" in every.out
    for out in (done.out, every.out):
        assert [] == [line for line in out.splitlines() if len(line) > 80]
    assert len(done.out.splitlines()) < 60


def test_bare_root_stocks_are_a_batch_on_the_sheet_and_recorded_by_their_count(graftbook, nursery, tmp_path):
    graftbook("want", "add", "Stoneway Pearmain", 24, "--stock", "MM.106")
    lines = len(planned(graftbook).rows)
    graftbook("plan", "sheet", 1, "-o", tmp_path / "bench.pdf", today="2027-03-01")
    pages = text_of(tmp_path / "bench.pdf")

    assert 2 == len(pages)
    for said in ("batch 1", "on MM.106 6-9 mm", f"of {lines} made", "for nursery", f"G1-G{lines}"):
        assert said in " ".join(pages[0].split())
    assert "W1 sticks 2-15 3 buds + 3 buds (butt 9 mm) 2-29" in " ".join(pages[1].split())
    done = graftbook("graft", "--plan", 1, "--done", "--made", f"1={lines - 4}", "--json", today=DAY)
    assert f"Plan 1 made: {lines - 4} grafts G1-G{lines - 4}" in done.json["recorded"]


@pytest.mark.parametrize("made", ["2=3", "1=999", "x", "1=3,1=4"])
def test_counts_of_batches_that_cannot_be_are_refused(graftbook, location, nursery, made):
    graftbook("want", "add", "Stoneway Pearmain", 24)
    planned(graftbook)
    before = contents(location)
    done = graftbook("graft", "--plan", 1, "--done", "--made", made, today=DAY)

    assert (3, "") == (done.code, done.out)
    assert "--made" in done.err
    assert before == contents(location)


def test_a_comparison_is_not_dealt_out(graftbook, nursery):
    graftbook("want", "add", "Stoneway Pearmain", 24)
    done = graftbook("plan", "--on", DAY, "--days", 2, "--compare", "tie=rubber,tape", today="2027-03-01")

    assert (2, "") == (done.code, done.out)
    assert "either a comparison or days and crews" in done.err
