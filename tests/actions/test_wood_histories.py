"""Random histories of two bundles: the list, a bundle's page, the wood of a plan and grafting agree on what is left of each with a
model written down apart from the program."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import pytest
from filling import Filling
from hypothesis import given, settings
from hypothesis import strategies as st

from graftbook.actions.desk.desk import Desk
from graftbook.actions.grafts import grafting
from graftbook.actions.grafts.graft_text import GraftWords
from graftbook.actions.plan import plan_wood
from graftbook.actions.plan.circumstances import Circumstances, PlanWords
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import drawing, mixing, plan_reserved, stick_moves, wood_lists
from graftbook.book import find
from graftbook.book import settings as book_settings
from graftbook.book.unit import Book
from graftbook.codes import read_one
from graftbook.errors import Refused, UsageProblem

BUDS = 6
HOSTS = 30


@dataclass
class Model:
    """A bundle as a person with a pencil would keep it."""

    left: int
    hand: int = 0
    ever: int = 0
    named: dict[int, int] = field(default_factory=dict)
    gone: set[int] = field(default_factory=set)

    def graft(self, buds: int) -> bool:
        if self.hand < buds:
            if not self.left:
                return False
            self.left, self.hand = self.left - 1, BUDS
        self.hand -= buds
        return True

    def graft_named(self, stick: int, buds: int) -> bool:
        opened = stick in self.named
        if stick > self.ever or stick in self.gone or self.named.get(stick, 0) + buds > BUDS:
            return False
        if not opened and not self.left:
            return False
        self.left -= not opened
        self.named[stick] = self.named.get(stick, 0) + buds
        return True

    def take(self, sticks: int) -> bool:
        if sticks > self.left:
            return False
        self.left -= sticks
        self.hand = self.hand if self.left else 0
        return True

    def give_named(self, stick: int) -> bool:
        if stick > self.ever or stick in self.gone or stick in self.named or not self.take(1):
            return False
        self.gone.add(stick)
        return True

    def count(self, sticks: int) -> bool:
        self.hand = self.hand if sticks == self.left and sticks else 0
        self.ever += max(sticks - self.left, 0)
        self.left = sticks
        return True

    def find(self, sticks: int) -> bool:
        self.left, self.ever = self.left + sticks, self.ever + sticks
        return True

    def discard_all(self) -> bool:
        had = self.left or self.hand
        self.left = self.hand = 0
        return bool(had)


STEPS = st.lists(
    st.tuples(
        st.sampled_from(("graft", "graft", "graft", "graft_named", "take", "give_named", "count", "find", "discard_all", "mix")),
        st.integers(0, 1), st.integers(1, 4), st.integers(1, 4),
    ),
    min_size=1, max_size=10,
)  # fmt: skip


@pytest.fixture(scope="module")
def filled(sqlite_template, tmp_path_factory) -> Path:
    """A book with stocks to graft on, and W1 and W2 of three and two sticks."""
    path = tmp_path_factory.mktemp("histories") / "book.sqlite"
    shutil.copy(sqlite_template, path)
    with Filling(str(path)) as book:
        for _ in range(HOSTS):
            book.stock()
        for sticks in (3, 2):
            book.wood(sticks=sticks, buds_per_stick=BUDS, length_mm=300.0)
    return path


class Bench:
    """A book at which one thing after another is done, each on a day of its own, and the model beside it."""

    def __init__(self, location: str) -> None:
        self.book = Book(location)
        with self.book.read() as session:
            kept = book_settings.load(session)
        self.desk = Desk(self.book, kept, date(2027, 11, 30))
        self.models = {"W1": Model(3, ever=3), "W2": Model(2, ever=2)}
        self.day, self.host = date(2027, 3, 1), 0

    def does(self, what: str, at: int, number: int, stick: int) -> bool:
        """Whether the program took it."""
        self.day += timedelta(days=1)
        code, on = f"W{at + 1}", self.day.isoformat()
        try:
            if what in ("graft", "graft_named"):
                wood = code if what == "graft" else f"{code}/{stick}"
                grafting.graft(
                    self.desk, wood, f"P{self.host + 1}", "whip", GraftWords(buds=str(number)), on=on, yes=True
                )
                self.host += 1
            elif what == "take":
                stick_moves.give(self.desk, code, number, "Mo", on)
            elif what == "give_named":
                stick_moves.give(self.desk, f"{code}/{stick}", 1, "Mo", on)
            elif what == "count":
                stick_moves.count_sticks(self.desk, code, number - 1, on)
            elif what == "find":
                stick_moves.found(self.desk, code, number, on)
            elif what == "discard_all":
                stick_moves.discard(self.desk, code, "all", on)
            else:
                mixing.mix(self.desk, "W1,W2", sum(self.models[each].left for each in ("W1", "W2")), on=on)
        except (Refused, UsageProblem):
            return False
        return True

    def expects(self, what: str, at: int, number: int, stick: int) -> bool:
        """Whether the model takes it."""
        model = self.models[f"W{at + 1}"]
        if what == "mix":
            parts = [self.models["W1"], self.models["W2"]]
            if not all(part.left for part in parts):
                return False
            sticks = sum(part.left for part in parts)
            for part in parts:
                part.left = part.hand = 0
            self.models[f"W{len(self.models) + 1}"] = Model(sticks, ever=sticks)
            return True
        arguments = {"graft": (number,), "graft_named": (stick, number), "take": (number,), "give_named": (stick,),
                     "count": (number - 1,), "find": (number,), "discard_all": ()}  # fmt: skip
        return getattr(model, what)(*arguments[what])

    def agree(self) -> None:
        """Every reader says what the model has."""
        expected = {code: (model.left, model.hand) for code, model in self.models.items()}
        rows = wood_lists.list_wood(self.desk, empty=True).rows
        assert expected == {row.code: (row.sticks_left, row.buds_in_hand) for row in rows}
        listed = {row.code for row in wood_lists.list_wood(self.desk).rows}
        assert listed == {code for code, both in expected.items() if sum(both)}
        with self.book.read() as session:
            bundles = [find.one(session, read_one(code)) for code in expected]
            hands = drawing.in_hand(session, bundles)
            assert expected == {hand.code: (hand.left, hand.buds_left or 0) for hand in hands.values()}
            method = own_tables.method_named(session, "whip")
            asked = Circumstances(PlanWords(doubtful=True), (method,), self.day)
            gathered = plan_wood.gather(
                session, {"Stoneway Pearmain"}, asked, plan_reserved.reserved(session, self.day, self.day)
            )
        planned = {code: (0, 0) for code in expected}
        for stick in gathered.sticks:
            whole, hand = planned[stick.bundle]
            planned[stick.bundle] = (whole, stick.buds) if stick.key.endswith("/hand") else (stick.many, hand)
        assert expected == planned
        for code, (left, hand) in expected.items():
            (shown,) = (row.value for row in wood_lists.show_wood(self.desk, code).rows if row.name == "sticks left")
            assert shown.startswith(f"{left} of ") and ("on the stick in hand" in shown) == bool(hand)


@settings(max_examples=20)
@given(steps=STEPS)
def test_all_that_say_what_is_left_agree_after_any_history(filled, steps):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "book.sqlite"
        shutil.copy(filled, path)
        bench = Bench(str(path))
        try:
            for what, at, number, stick in steps:
                step = what, at, number, stick
                assert bench.does(*step) == bench.expects(*step), step
                bench.agree()
        finally:
            bench.book.close()
