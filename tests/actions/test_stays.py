"""Where plants and grafts stood, told from where they stand now and the moves the book has."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from filling import Filling

from graftbook.actions.takes import factor_text
from graftbook.actions.weather import graft_warmth
from graftbook.actions.weather.graft_warmth import GraftWarmth
from graftbook.actions.weather.subject_places import PlaceStay, Stays
from graftbook.book import weather_queries
from graftbook.book.grafts import Care
from graftbook.book.unit import Book
from graftbook.book.weather import PlaceWeather, WeatherStation, WeatherYear

MADE = date(2027, 4, 1)


def april(day):
    return date(2027, 4, day)


def moved(book, on, before, place, graft=None, plant=None):
    book.unit.add(
        Care,
        on=on,
        what="moved",
        place=place,
        place_before=before,
        graft_id=graft and graft.id,
        plant_id=plant and plant.id,
    )


@pytest.fixture
def told(sqlite_location):
    """The stays of the first graft, and of its plant since March, once a book was filled."""

    def telling():
        book = Book(sqlite_location)
        with book.read() as session:
            stays = Stays(session)
            graft = weather_queries.standers(session)[0]
            found = stays.of_graft(graft), stays.of_plant(stays.foot(graft), date(2027, 3, 1))
        book.close()
        return found

    return telling


def test_what_was_never_moved_stands_where_it_stands(sqlite_location, told):
    with Filling(sqlite_location) as book:
        book.graft(book.wood(), book.stock(place="bench"))
    assert ((PlaceStay(MADE, "bench"),), (PlaceStay(date(2027, 3, 1), "bench"),)) == told()


def test_a_graft_goes_from_place_to_place_on_the_days_it_was_moved(sqlite_location, told):
    with Filling(sqlite_location) as book:
        graft = book.graft(book.wood(), book.stock(place="bench"), place="field")
        moved(book, april(5), "back room", "tunnel", graft)
        moved(book, april(12), "tunnel", "field", graft)
    assert (PlaceStay(MADE, "back room"), PlaceStay(april(5), "tunnel"), PlaceStay(april(12), "field")) == told()[0]


def test_a_graft_without_a_place_goes_with_its_plant(sqlite_location, told):
    with Filling(sqlite_location) as book:
        stock = book.stock(place="field")
        book.graft(book.wood(), stock)
        moved(book, date(2027, 3, 20), "shed", "bench", plant=stock)
        moved(book, april(10), "bench", "field", plant=stock)
    grafts, plants = told()
    assert (PlaceStay(MADE, "bench"), PlaceStay(april(10), "field")) == grafts
    assert (
        PlaceStay(date(2027, 3, 1), "shed"),
        PlaceStay(date(2027, 3, 20), "bench"),
        PlaceStay(april(10), "field"),
    ) == plants


def test_a_graft_with_a_place_of_its_own_goes_along_only_from_where_it_stood(sqlite_location, told):
    with Filling(sqlite_location) as book:
        stock = book.stock(place="field")
        book.graft(book.wood(), stock, place="field")
        moved(book, april(10), "bench", "field", plant=stock)
    assert (PlaceStay(MADE, "bench"), PlaceStay(april(10), "field")) == told()[0]


def test_a_graft_that_stands_elsewhere_does_not_go_along(sqlite_location, told):
    with Filling(sqlite_location) as book:
        stock = book.stock(place="field")
        book.graft(book.wood(), stock, place="hot pipe")
        moved(book, april(10), "bench", "field", plant=stock)
    assert (PlaceStay(MADE, "hot pipe"),) == told()[0]


def test_a_place_put_right_later_holds_since_the_last_move(sqlite_location, told):
    with Filling(sqlite_location) as book:
        graft = book.graft(book.wood(), book.stock(), place="north field")
        moved(book, april(10), "bench", "field", graft)
    assert (PlaceStay(MADE, "bench"), PlaceStay(april(10), "north field")) == told()[0]


def test_two_moves_on_a_day_end_where_the_last_went_and_one_on_the_first_day_counts_from_it(sqlite_location, told):
    with Filling(sqlite_location) as book:
        graft = book.graft(book.wood(), book.stock(), place="c")
        moved(book, MADE, "z", "a", graft)
        moved(book, april(5), "a", "b", graft)
        moved(book, april(5), "b", "c", graft)
    assert (PlaceStay(MADE, "a"), PlaceStay(april(5), "c")) == told()[0]


def test_warmth_follows_the_moves_and_is_reached_along_them(sqlite_location):
    with Filling(sqlite_location) as book:
        wood, stock = book.wood(), book.stock(place="cold")
        first = book.graft(wood, stock)
        second = book.graft(wood, book.stock(place="warm"), made="04-03")
        moved(book, april(6), "warm", "cold", plant=stock)
        for place, degrees in (("warm", 15.0), ("cold", 6.0)):
            book.unit.add(PlaceWeather, place=place, on=date(1900, 1, 1), low_c=degrees, high_c=degrees)
        ids = first.id, second.id
    book = Book(sqlite_location)
    with book.read() as session:
        warmth = GraftWarmth.of(session, None, april(10))
        assert {ids[0]: (5 * 10 + 5 * 1, 0), ids[1]: (8 * 10, 0)} == warmth.since_made(5.0)
        assert {ids[0]: (3 * 10, 0), ids[1]: (3 * 10, 0)} == warmth.since_made(5.0, days=3)
        assert (april(3), 0) == (warmth.reached(ids[0], 5.0, 30).on, warmth.reached(ids[0], 5.0, 30).missing)
        assert april(8) == warmth.reached(ids[0], 5.0, 53).on
        assert warmth.reached(ids[0], 5.0, 56).on is None
    book.close()


def test_days_without_a_temperature_are_counted_beside_every_sum(sqlite_location):
    days = ["." if day in (3, 4) else "15" for day in range(1, 366 + 1)][:365]
    april_days = [*["."] * 90, *days][:365]
    with Filling(sqlite_location) as book:
        graft = book.graft(book.wood(), book.stock())
        station = book.unit.add(WeatherStation, name="Near")
        book.unit.add(
            WeatherYear, station_id=station.id, year=2027, lows=" ".join(april_days), highs=" ".join(april_days)
        )
        book.unit.add(PlaceWeather, on=date(1900, 1, 1), station_id=station.id)
        number = graft.id
    book = Book(sqlite_location)
    with book.read() as session:
        warmth = GraftWarmth.of(session, [number], april(10))
        assert {number: (80, 2)} == warmth.since_made(5.0)
        assert (april(5), 2) == (warmth.reached(number, 5.0, 30).on, warmth.reached(number, 5.0, 30).missing)
        later = GraftWarmth.of(session, [number], date(2027, 4, 10) + timedelta(days=365))
        assert 2 + 100 == later.since_made(5.0)[number][1]
    book.close()


def test_the_warmth_after_grafting_is_whole_or_not_told(sqlite_location):
    with Filling(sqlite_location) as book:
        wood = book.wood()
        whole, young = (
            book.graft(wood, book.stock(place="warm")),
            book.graft(wood, book.stock(place="warm"), made="04-20"),
        )
        unknown = book.graft(wood, book.stock(place="elsewhere"))
        book.unit.add(PlaceWeather, place="warm", on=date(1900, 1, 1), low_c=15.0, high_c=15.0)
        ids = whole.id, young.id, unknown.id
    book = Book(sqlite_location)
    with book.read() as session:
        assert dict(zip(ids, (140.0, None, None), strict=True)) == graft_warmth.warmth_of_first_days(session, april(30))
        assert 140.0 == graft_warmth.warmth_of_first_days(session, date(2027, 5, 3))[ids[1]]
    book.close()
    assert ("100-150 C-days", "0-50 C-days", None) == tuple(
        factor_text.warmth_class(sum_) for sum_ in (140.0, 0.0, None)
    )
