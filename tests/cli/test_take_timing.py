"""One answer on timing: curve, compare on a date and the review say the same of any effect of date, in the same words."""

from contextlib import closing

import pytest
from filling import Filling

GREW, DIED = "08-01 growing", "06-20 dead"


def fill(location, *days):
    """Days as (day, took, of how many, more); all of one bundle unless `wood` says another."""
    with Filling(location) as book:
        woods = {}
        for on, took, number, *more in days:
            own = dict(more[0]) if more else {}
            which = own.pop("wood", "a")
            wood = woods.get(which) or woods.setdefault(which, book.wood(temperature_c=3.0))
            for place in range(number):
                book.looks(book.graft(wood, book.stock(), made=on, **own), GREW if place < took else DIED)


def said(run):
    """The sentence on any effect of date, and its p in JSON."""
    words = " ".join(run.out.split())
    start = words.index("Any effect of date")
    return words[start : words.index(").", start + 45) + 2]


CUT = "on<2027-04-12"

RISING = [(f"04-{day:02}", took, 10) for day, took in ((1, 3), (5, 4), (9, 5), (13, 7), (17, 8), (21, 9), (25, 10))]
LEVEL = [(f"04-{day:02}", took, 10) for day, took in ((1, 7), (5, 8), (9, 7), (13, 5), (17, 7), (21, 8), (25, 7))]
PEAK = [(f"04-{day:02}", took, 10) for day, took in ((1, 2), (5, 5), (9, 9), (13, 10), (17, 9), (21, 5), (25, 2))]


@pytest.mark.parametrize(
    ("days", "shown"), [(RISING, True), (LEVEL, False), (PEAK, True)], ids=["rising", "level", "peak"]
)
def test_curve_and_compare_say_the_same_of_date(graftbook, location, days, shown):
    fill(location, *days)
    curve, cut = graftbook("take", "curve"), graftbook("take", "compare", CUT)
    assert said(curve) == said(cut)
    assert ("take differed with it" in said(curve)) == shown
    p = graftbook("take", "compare", CUT, "--json").json["p_any_effect"]
    assert p == pytest.approx(graftbook("take", "curve", "--json").json["curves"][0]["p_any_effect"])
    assert (p < 0.05) == shown
    words = " ".join(curve.out.split())
    assert ("no best window shown" not in words) == shown


def test_a_cut_that_was_chosen_does_not_outdo_the_test_over_all_days(graftbook, location):
    """Days that differ by luck: one cut parts them so that luck alone would seldom do it, and the curve finds nothing."""
    took = (5, 3, 6, 4, 6, 5, 1, 4, 2, 5, 6, 5)
    fill(location, *[(f"04-{2 * place + 1:02}", number, 6) for place, number in enumerate(took)])
    chosen, curve = graftbook("take", "compare", CUT), graftbook("take", "curve")
    assert said(chosen) == said(curve)
    assert "none shown" in said(curve)
    words = " ".join(chosen.out.split())
    assert "A day chosen after looking at what took shows more than luck would give" in words
    assert "did better" not in words


def test_the_review_carries_the_signal_of_two_dates_and_what_moved_with_them(graftbook, location):
    """Nine of fifteen against one of ten, with another parcel of wood."""
    fill(location, ("04-04", 9, 15), ("05-02", 1, 10, {"wood": "b"}))
    out = " ".join(graftbook("take", "review", "--season", "2026-27").out.split())
    assert "4 April 9 of 15, 2 May 1 of 10." in out
    assert "take differed with it, which luck alone would seldom do (p = 0.018)." in out
    assert "bundle of wood changed wholly with the date (up to 4 April: W1 15; later: W2 10)" in out


def test_two_dates_are_tested_as_compare_tests_a_cut(graftbook, location):
    """Fisher's exact test, as scipy has it."""
    from scipy.stats import fisher_exact

    fill(location, ("04-04", 9, 15), ("05-02", 1, 10))
    found = graftbook("take", "compare", CUT, "--json").json
    p = fisher_exact([[9, 6], [1, 9]]).pvalue
    assert [pytest.approx(p)] * 2 == [
        found["p_any_effect"],
        next(row["p"] for row in found["rows"] if row["p"] is not None),
    ]


@pytest.mark.parametrize("word", ["timing", "date", "when"])
def test_who_asks_for_timing_is_led_to_the_curve(graftbook, word):
    bad = graftbook("take", "--by", word)
    assert 2 == bad.code
    assert "graftbook take curve --x date" in " ".join(bad.err.split())


def test_a_dot_is_drawn_at_the_day_it_was(graftbook, location, monkeypatch):
    """One day in a stretch of a week: the dot stands at the day, not at the middle of the week."""
    from graftbook.actions.desk.desk import sit_down
    from graftbook.actions.review import curve, take_figures
    from graftbook.actions.takes import question

    fill(location, ("04-01", 3, 10), ("04-20", 9, 10))
    monkeypatch.setenv("GRAFTBOOK_TODAY", "2027-11-30")
    desk = sit_down(location)
    with closing(desk.book):
        found = curve.curves(desk, question.ask(desk, "took", "2027-11-30"), "date")
    counts = take_figures.curve_panel(found, found.kinds[0]).counts
    days = {x for x, _day in found.kinds[0].counts.cells}
    assert sorted(days) == [(one.first + one.last) / 2 for one in counts]
