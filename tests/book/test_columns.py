"""Bulk readers of grafts and looks: the same as reading row by row, on both databases."""

from datetime import date

from filling import Filling
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftbook.book import columns, seen
from graftbook.book.columns import Span
from graftbook.book.grafts import STATES, UNION_WORDS
from graftbook.book.unit import Book

STORIES = st.lists(
    st.tuples(st.integers(1, 12), st.sampled_from(STATES), st.sampled_from((None, *UNION_WORDS))), max_size=6
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(STORIES, min_size=1, max_size=5), st.integers(1, 12))
def test_a_story_tells_the_looks_of_a_graft_in_the_order_they_were_seen(graftbook, location, told, month):
    """Looks of one day stand in the order they were recorded, and looks after the day asked about are not there."""
    with Filling(location) as book:
        wood = book.wood()
        grafts = [book.graft(wood, book.stock(), made="2026-12-01") for _ in told]
        for graft, story in zip(grafts, told, strict=True):
            for on, state, fault in story:
                book.looks(graft, f"2027-{on:02}-01 {state}", union_fault=fault)
        ids = [graft.id for graft in grafts]
    book = Book(location)
    as_of = date(2027, month, 1)
    with book.read() as session:
        stories = seen.stories(session, as_of)
        for number, story in zip(ids, told, strict=True):
            # Sorted by day alone, looks of one day stay in the order they were recorded.
            by_day = sorted((one for one in story if one[0] <= month), key=lambda one: one[0])
            expected = [(date(2027, on, 1), state, fault) for on, state, fault in by_day]
            assert expected == list(stories.get(number, seen.UNSEEN).looks)
        for story in set(stories.values()):
            assert 1 == len({other for other in stories.values() if other.looks == story.looks})
    book.close()


def test_values_of_wood_host_and_settings_stand_beside_their_grafts(graftbook, location):
    with Filling(location) as book:
        first, second = book.wood(cultivar="Kind 1"), book.wood("Pyrus communis", "Kind 2")
        stock = book.stock(clone="M.26")
        low = book.graft(first, stock)
        book.graft(second, low, made="04-02")
        book.graft(second, book.stock(clone="Colt"), made="04-03")
    book = Book(location)
    names = ("code", "made_on", "cultivar", "taxon", "host_clone", "cut_on", "units", "hemisphere")
    with book.read() as session:
        (held,) = columns.chunks(session, names, Span())
        lines = list(seen.graft_columns(session, ("code", "host_clone"), date(2027, 4, 2), date(2027, 4, 2)))
    book.close()
    assert ["G1", "G2", "G3"] == list(held["code"])
    assert ["Kind 1", "Kind 2", "Kind 2"] == list(held["cultivar"])
    assert ["M.26", "M.26", "Colt"] == list(held["host_clone"])
    assert [date(2027, 1, 14)] * 3 == list(held["cut_on"])
    assert [date(2027, 4, 1), date(2027, 4, 2), date(2027, 4, 3)] == list(held["made_on"])
    assert (["mm"] * 3, ["north"] * 3) == (list(held["units"]), list(held["hemisphere"]))
    assert [("G2", "M.26")] == lines


def test_a_book_without_grafts_has_no_chunks(graftbook, location):
    book = Book(location)
    with book.read() as session:
        assert [] == list(columns.chunks(session, ("code", "cultivar", "host_clone"), Span()))
        assert {} == seen.stories(session, date(2027, 11, 30))
    book.close()


def test_chunks_leave_no_graft_out_and_a_sample_takes_every_so_manieth(graftbook, location, monkeypatch):
    monkeypatch.setattr(columns, "CHUNK", 3)
    with Filling(location) as book:
        wood, stock = book.wood(), book.stock()
        for _ in range(8):
            book.graft(wood, stock)
    book = Book(location)
    with book.read() as session:
        sizes = [len(held["code"]) for held in columns.chunks(session, ("code",), Span())]
        sample = [code for held in columns.chunks(session, ("code",), Span(every=3)) for code in held["code"]]
        assert [3, 3, 2] == sizes
        assert 2 == len(sample)
        assert {stock.id: date(2027, 4, 1)} == columns.first_days(session)
    book.close()
