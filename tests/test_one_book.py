"""One book, every report: what is alive, what it is called and how much wood is left, the same from every verb that says so.

The books are drawn by fixed seeds (`rich_books`), typed in through the command line, and held against a model that knows nothing of
the program. Each helper below puts one verb's answer into plain sets; each test holds one verb to the rules of the model.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from random import Random
from typing import Any

import pytest
from rich_books import NAMES, TODAY, RichBook

from graftbook.actions.soundness import doctor

SEEDS = {"sqlite": (0, 12, 19, 21, 36), "postgres": (16,)}
_FILLED: dict[str, list[tuple[RichBook, str]]] = {}
_ANSWERS: dict[tuple[str, ...], Any] = {}
"""What was answered to each question of each book: nothing is written after the books are filled, so each is asked once."""

LIVING_FATES = ("growing", "alive", "not looked at")


@dataclass(frozen=True)
class Reading:
    """One book with a way to ask it."""

    seed: int
    truth: RichBook
    ask: Callable[..., Any]

    def rows(self, *words: object) -> list[dict[str, Any]]:
        """The rows of a report; none where a verb found nothing to plan or to show."""
        run = self.ask(*words, "--json")
        assert run.code in (0, 20, 23), (self.seed, words, run)
        return run.rows if run.code == 0 else []


@pytest.fixture(params=["sqlite", "postgres"])
def readings(request, command, sqlite_template, tmp_path_factory) -> list[Reading]:
    """Every rich book on one database: filled once for all tests of this file."""
    kind = request.param
    if kind not in _FILLED:
        made = []
        for seed in SEEDS[kind]:
            if kind == "postgres":
                location = request.getfixturevalue("server").make("empty_book")  # kept for the file
            else:
                location = str(tmp_path_factory.mktemp("rich") / "book.sqlite")
                shutil.copy(sqlite_template, location)
            truth = RichBook(Random(seed))
            for words in truth.commands:
                run = command("--book", location, *words)
                assert run.code == 0, (seed, words, run)
            made.append((truth, location))
        _FILLED[kind] = made

    def asking(location: str) -> Callable[..., Any]:
        def ask(*words: object) -> Any:
            key = (location, *map(str, words))
            if key not in _ANSWERS:
                _ANSWERS[key] = command("--book", location, *words)
            return _ANSWERS[key]

        return ask

    return [
        Reading(seed, truth, asking(location))
        for seed, (truth, location) in zip(SEEDS[kind], _FILLED[kind], strict=True)
    ]


def agree(readings: list[Reading], asked: Callable[[Reading], Iterator[tuple[object, object, object]]]) -> None:
    """Fail with every answer that is not the model's: the seed of the book, what was asked, what is true, what was said."""
    apart = [
        f"book {one.seed}, {what}: true {true}, said {said}"
        for one in readings
        for what, true, said in asked(one)
        if true != said
    ]
    assert not apart, "\n".join(apart)


# What each verb says, as plain sets and numbers.


def last_looks_by_graft_list(book: Reading) -> dict[str, str | None]:
    """The last look at each graft."""
    return {row["code"]: row["state"] for row in book.rows("graft", "list", "--limit", "1000")}


def names_by_graft_list(book: Reading) -> dict[str, str | None]:
    """What each graft is called."""
    return {row["code"]: row["cultivar"] for row in book.rows("graft", "list", "--limit", "1000")}


def sticks_by_wood_list(book: Reading) -> dict[str, int]:
    """The sticks left of each bundle."""
    return {row["code"]: row["sticks_left"] for row in book.rows("wood", "list", "--empty", "--limit", "1000")}


def names_by_wood_list(book: Reading) -> dict[str, str | None]:
    """What each bundle is called."""
    return {row["code"]: row["cultivar"] for row in book.rows("wood", "list", "--empty", "--limit", "1000")}


def counts_by_name_have(book: Reading, name: str) -> tuple[int, int, int]:
    """Living trees, living grafts and sticks of a cultivar."""
    same = [row for row in book.rows("name", "have", name) if row["match"] == "same"]
    return tuple(sum(row[key] for row in same) for key in ("trees", "grafts", "sticks"))


def counts_by_only(book: Reading) -> dict[str, tuple[int, int]]:
    """Living trees and living grafts of each cultivar that is on one plant or in one place."""
    found = {row["cultivar"]: row for row in book.rows("only")}
    return {
        name: (row["trees"], row["grafts"] + row["not_judged"])
        for name, row in found.items()
        if {"one tree", "one place"} & set(row["risks"])
    }


def grafts_by_want_show(book: Reading, number: int) -> tuple[set[str], set[str]]:
    """Grafts of a want that grow, and those not decided."""
    rows = book.rows("want", "show", number)
    return tuple({row["code"] for row in rows if row["outcome"] == word} for word in ("yes", "waiting"))


def found_by_find(book: Reading, name: str) -> set[str]:
    """Trees, bundles and grafts that a name finds."""
    return {row["code"] for row in book.rows("find", name, "--limit", "1000") if row["kind"] != "stock"}


def fates_by_trace_down(book: Reading, code: str) -> dict[str, bool]:
    """Whether each graft that came from a thing is alive."""
    return {
        row["code"]: row["fate"] in LIVING_FATES
        for row in book.rows("trace", "down", code)
        if row["list"].startswith("descended") and row["code"].startswith("G")
    }


def standing_by_take(book: Reading) -> dict[str | None, tuple[int, int]]:
    """Of each cultivar the grafts standing, and those of which nothing is known."""
    rows = book.rows("take", "--endpoint", "standing", "--by", "cultivar", "--as-of", TODAY.isoformat())
    found: dict[str | None, tuple[int, int]] = {}
    for row in rows:
        before = found.get(row["cultivar"], (0, 0))
        found[row["cultivar"]] = (before[0] + row["k"], before[1] + row["unknown"])
    return found


def living_by_due(book: Reading) -> set[str]:
    """Grafts that something is due on."""
    return {row["code"] for row in book.rows("due", "--weeks", "52", "--limit", "1000") if row["code"].startswith("G")}


def living_by_worklist(book: Reading) -> dict[str, str | None]:
    """Grafts whose tag is to be replaced, with what is to stand on it."""
    return {row["code"]: row["cultivar"] for row in book.rows("tags", "worklist") if row["code"].startswith("G")}


def lines_by_tags_show(book: Reading, code: str) -> list[str]:
    """What stands on a tag."""
    return book.rows("tags", "show", code)[0]["lines"]


def pairs_by_match(book: Reading) -> tuple[dict[str, str | None], set[str]]:
    """The wood that is offered with what it is called, and the stocks it is offered for."""
    from graftbook.codes import read_many

    rows = [row for row in book.rows("match", "--limit", "100000") if row["wood"]]
    stocks = {code.base for row in rows for code in read_many(row["stock"]) if "…" not in row["stock"]}
    return {row["wood"]: row["cultivar"] for row in rows}, stocks


def lines_by_plan(book: Reading) -> list[dict[str, Any]]:
    """The lines of a plan of today."""
    return book.rows("plan", "--dry-run", "--doubtful")


def said_before_it_goes(book: Reading, *words: str) -> str:
    """What is said before a limb or a plant goes. Nobody is there to agree, so with something to agree to nothing is recorded;
    what had nothing to agree to is undone."""
    run = book.ask(*words, "--json")
    if run.code == 0:
        undone = book.ask("undo", run.json["entry"])
        assert undone.code == 0, (book.seed, words, undone)
    return run.err


# What is true.


def living_called(truth: RichBook, name: str) -> tuple[set[str], set[str]]:
    """Living trees and living grafts that are certainly of one name."""
    codes = {code for code in truth.called(name) if not code.startswith("W") and truth.alive(code)}
    return {code for code in codes if code in truth.plants}, {code for code in codes if code in truth.grafts}


def free_stocks(truth: RichBook) -> set[str]:
    """Living stocks with nothing living on them, or nothing but grafts that were not found or went home."""
    taken = {truth.foot(code) for code in truth.living_grafts()}
    return {code for code, plant in truth.plants.items() if plant.kind == "stock" and truth.alive(code)} - taken


def orphans(truth: RichBook) -> set[str]:
    """Grafts that were last seen alive, or never, above a graft that is not alive."""
    above = {code for code, graft in truth.grafts.items() if graft.host in truth.grafts and not truth.alive(graft.host)}
    return {code for code in above if state(truth, code) not in ("dead", "not-set", "not-found")}


def state(truth: RichBook, code: str) -> str | None:
    """What was last seen of a graft."""
    look = truth.last_look(code)
    return look[1] if look is not None else None


def seen_of_late(truth: RichBook) -> set[str]:
    """Living grafts seen alive no more than 120 days ago, which is what standing asks for."""
    looks = {code: truth.last_look(code) for code in truth.living_grafts()}
    return {
        code
        for code, look in looks.items()
        if look is not None and look[1] != "shrivelled" and (TODAY - look[0]).days <= 120
    }


# The tests, a verb each.


def test_the_books_hold_what_they_are_meant_to(readings):
    """Without deaths, stacks, doubts and mixes the tests below would prove little."""
    if len(readings) < 5:
        pytest.skip("asked of all the books together, on one database")
    truths = [one.truth for one in readings]
    typed = {" ".join(words[:2]) for truth in truths for words in truth.commands}
    assert {
        "tree gone",
        "stock died",
        "limb gone",
        "name synonym",
        "wood give",
        "wood discard",
        "wood count",
        "wood mixed",
    } <= typed
    hosts = [
        [truth.grafts[graft.host].host for graft in truth.grafts.values() if graft.host in truth.grafts]
        for truth in truths
    ]
    assert any(host in truth.grafts for truth, deep in zip(truths, hosts, strict=True) for host in deep)
    states = {state for truth in truths for graft in truth.grafts.values() for _, state in graft.looks}
    assert {"dead", "not-found", "growing", "stalled", "shrivelled", "set", "not-set"} <= states
    assert any(len(truth.names(code)) > 1 for truth in truths for code in truth.grafts)
    assert any(truth.away(code) for truth in truths for code in truth.grafts)
    assert sum(len(truth.living_grafts()) for truth in truths) > 15
    assert any(orphans(truth) for truth in truths)


def test_every_book_typed_in_is_sound(readings):
    for one in readings:
        said = one.ask("doctor", "--json")
        assert [] == [row for row in said.rows if row["kind"] == doctor.BREACH], (one.seed, said.out)


def test_graft_list_shows_the_last_look(readings):
    def asked(book):
        said = last_looks_by_graft_list(book)
        for code in book.truth.grafts:
            yield code, state(book.truth, code), said.get(code)

    agree(readings, asked)


def test_graft_list_calls_things_by_what_is_known(readings):
    def asked(book):
        said = names_by_graft_list(book)
        for code in book.truth.grafts:
            if book.truth.certain(code) is not None:
                yield code, book.truth.certain(code), said[code]

    agree(readings, asked)


def test_wood_list_counts_the_sticks_left(readings):
    def asked(book):
        said = sticks_by_wood_list(book)
        for code, wood in book.truth.wood.items():
            yield code, wood.left, said.get(code)

    agree(readings, asked)


def test_wood_list_calls_things_by_what_is_known(readings):
    def asked(book):
        said = names_by_wood_list(book)
        for code in book.truth.wood:
            if book.truth.certain(code) is not None:
                yield code, book.truth.certain(code), said[code]

    agree(readings, asked)


def test_name_have_counts_what_is_here(readings):
    def asked(book):
        for name in NAMES:
            trees, grafts = living_called(book.truth, name)
            wood = {code for code in book.truth.called(name) if code in book.truth.wood and book.truth.keeps(code)}
            sticks = sum(book.truth.wood[code].left for code in wood)
            yield name, (len(trees), len(grafts), sticks), counts_by_name_have(book, name)

    agree(readings, asked)


def test_only_counts_what_is_alive(readings):
    def asked(book):
        said = counts_by_only(book)
        for name in NAMES:
            trees, grafts = living_called(book.truth, name)
            feet = {code if code in trees else book.truth.foot(code) for code in trees | grafts}
            places = {book.truth.plants[code].place for code in feet}
            at_risk = feet and (len(feet) == 1 or len(places) == 1)
            yield name, (len(trees), len(grafts)) if at_risk else None, said.get(name)

    agree(readings, asked)


def test_wants_count_living_grafts_only(readings):
    def asked(book):
        for number, name in enumerate(NAMES, 1):
            alive, waiting = grafts_by_want_show(book, number)
            _, living = living_called(book.truth, name)
            yield (name, "not alive"), set(), (alive | waiting) - living

    agree(readings, asked)


def test_wants_count_every_living_graft_that_grew(readings):
    def asked(book):
        for number, name in enumerate(NAMES, 1):
            alive, _ = grafts_by_want_show(book, number)
            _, living = living_called(book.truth, name)
            grew = {code for code in living
                    if len({day for day, state in book.truth.grafts[code].looks if state == "growing"}) > 1}  # fmt: skip
            yield (name, "grew"), set(), grew - alive

    agree(readings, asked)


def test_find_finds_everything_of_a_name(readings):
    def asked(book):
        for name in NAMES:
            yield name, set(), book.truth.called(name) - found_by_find(book, name)

    agree(readings, asked)


def test_trace_down_tells_living_from_dead(readings):
    def asked(book):
        for code, plant in book.truth.plants.items():
            for graft, said in fates_by_trace_down(book, code).items() if plant.kind == "tree" else ():
                yield graft, book.truth.alive(graft), said

    agree(readings, asked)


def test_take_counts_as_standing_what_is_alive_and_was_seen(readings):
    def asked(book):
        said = standing_by_take(book)
        seen = seen_of_late(book.truth)
        yield "all", len(seen), sum(k for k, _ in said.values())
        for name in NAMES:
            yield name, len(seen & book.truth.called(name)), said.get(name, (0, 0))[0]

    agree(readings, asked)


def test_take_knows_nothing_of_what_was_not_found_or_went_home(readings):
    def asked(book):
        truth = book.truth
        lost = {code for code in truth.grafts if not truth.alive(code) and not truth.dead(code)}
        assert {code for code in truth.grafts if state(truth, code) == "not-found" and not truth.dead(code)} <= lost
        yield "unknown", len(lost), sum(unknown for _, unknown in standing_by_take(book).values())

    agree(readings, asked)


def test_due_asks_nothing_of_what_is_not_alive(readings):
    def asked(book):
        yield "due", set(), living_by_due(book) - book.truth.living_grafts()

    agree(readings, asked)


def test_tags_are_replaced_on_what_is_alive(readings):
    def asked(book):
        yield "worklist", set(), set(living_by_worklist(book)) - book.truth.living_grafts()

    agree(readings, asked)


def test_tags_worklist_calls_things_by_what_is_known(readings):
    def asked(book):
        for code, said in living_by_worklist(book).items():
            if book.truth.certain(code) is not None:
                yield code, book.truth.certain(code), said

    agree(readings, asked)


def test_a_tag_says_what_is_known(readings):
    def asked(book):
        for code in (*book.truth.grafts, *book.truth.wood):
            if (name := book.truth.certain(code)) is not None:
                yield code, name, lines_by_tags_show(book, code)[0]

    agree(readings, asked)


def test_match_offers_wood_that_is_left_for_stocks_that_are_free(readings):
    def asked(book):
        wood, stocks = pairs_by_match(book)
        yield "wood", set(), wood.keys() - {code for code, facts in book.truth.wood.items() if facts.left > 0}
        yield "stocks", set(), stocks - free_stocks(book.truth)

    agree(readings, asked)


def test_match_calls_wood_by_what_is_known(readings):
    def asked(book):
        for code, said in pairs_by_match(book)[0].items():
            if book.truth.certain(code) is not None:
                yield code, book.truth.certain(code), said

    agree(readings, asked)


def test_a_plan_uses_wood_that_is_left_on_stocks_that_are_free(readings):
    def asked(book):
        for row in lines_by_plan(book):
            yield row["wood"], True, book.truth.wood[row["wood"]].left > 0
            yield row["host"], True, row["host"] in free_stocks(book.truth)

    agree(readings, asked)


def test_a_plan_calls_wood_by_what_is_known(readings):
    def asked(book):
        for row in lines_by_plan(book):
            if (name := book.truth.certain(row["wood"])) is not None:
                yield row["wood"], name, row["cultivar"]

    agree(readings, asked)


def test_before_a_plant_goes_its_living_grafts_are_named(readings):
    def asked(book):
        for plant in book.truth.plants:
            if book.truth.alive(plant) and book.truth.standing_on(plant):
                said = said_before_it_goes(
                    book, "tree" if book.truth.plants[plant].kind == "tree" else "stock", "gone", plant
                )
                here = book.truth.standing_on(plant)
                yield plant, here & book.truth.living_grafts(), {code for code in here if f"{code} " in said}

    agree(readings, asked)


def test_before_a_plant_goes_the_last_of_a_cultivar_is_named(readings):
    def asked(book):
        for plant in book.truth.plants:
            if not book.truth.alive(plant):
                continue
            said = said_before_it_goes(
                book, "tree" if book.truth.plants[plant].kind == "tree" else "stock", "gone", plant
            )
            for name in NAMES:
                held = set().union(*living_called(book.truth, name))
                last = bool(held) and held <= {plant, *book.truth.standing_on(plant)}
                yield (plant, name), last, f"‘{name}’ would live nowhere else" in said

    agree(readings, asked)


def test_before_a_limb_goes_its_living_grafts_are_named(readings):
    def asked(book):
        truth = book.truth
        limbs = {(truth.foot(code), truth.limb_of(code)) for code in truth.grafts if truth.limb_of(code) is not None}
        for plant, limb in sorted(limbs):
            if truth.alive(plant):
                said = said_before_it_goes(book, "limb", "gone", plant, limb)
                here = truth.standing_on(plant, limb)
                yield (plant, limb), here & truth.living_grafts(), {code for code in here if f"{code} " in said}

    agree(readings, asked)
