"""Which of several methods a pair of kinds goes by: the better chance, less a little for doubts, then the better joint."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from graftbook.fit.match import TRUST
from graftbook.fit.plan_method import choose


@dataclass
class Named:
    method: str


@dataclass
class Grid:
    method: Named
    verdict: np.ndarray
    doubts: np.ndarray
    share: np.ndarray


@dataclass
class JudgedGrids:
    grids: tuple
    trust: np.ndarray
    wood_row: np.ndarray
    stock_column: np.ndarray


def many(*methods, trust="good"):
    """One piece on one host: (name, verdict, doubts, share) for each method."""
    grids = tuple(Grid(Named(n), np.array([[v]]), np.array([[d]]), np.array([[s]], float)) for n, v, d, s in methods)
    return JudgedGrids(grids, np.array([[TRUST.index(trust)]]), np.array([0]), np.array([0]))


@pytest.mark.parametrize(
    ("first", "second", "chances", "chosen"),
    [
        (("a", 0, 0, 0.9), ("b", 0, 0, 0.9), (0.6, 0.9), "b"),
        (("a", 0, 0, 0.4), ("b", 0, 0, 0.9), (0.86, 0.84), "b"),
        (("a", 1, 1, 0.9), ("b", 0, 0, 0.9), (0.86, 0.84), "b"),
        (("a", 1, 1, 0.9), ("b", 0, 0, 0.9), (0.85, 0.41), "a"),
        (("a", 2, 0, 0.9), ("b", 1, 3, 0.1), (0.9, 0.2), "b"),
        (("a", 0, 0, float("nan")), ("b", 0, 0, 0.6), (0.8, 0.8), "b"),
    ],
)
def test_the_method_that_is_worth_most_is_chosen(first, second, chances, chosen):
    (found,) = choose(many(first, second), [{"a", "b"}], [[each] for each in chances]).chosen

    assert chosen == "ab"[found.method]


def test_every_method_that_goes_is_given_when_asked_for():
    judged = many(("a", 0, 0, 0.9), ("b", 1, 1, float("nan")), ("c", 2, 0, 0.9))
    found = choose(judged, [{"a", "b", "c"}], [[0.8]] * 3, every_method=True)

    assert [(0, 0.9), (1, None)] == [(each.method, each.share) for each in found.chosen]


def test_a_piece_too_short_for_a_method_does_not_go_by_it():
    judged = many(("a", 0, 0, 0.9), ("b", 0, 0, 0.1))

    assert [1] == [each.method for each in choose(judged, [{"b"}], [[0.9], [0.1]]).chosen]
    assert ((), 0) == (lambda c: (c.chosen, c.doubtful))(choose(judged, [set()], [[0.9], [0.1]]))


@pytest.mark.parametrize(("trust", "given"), [("good", 1), ("poor", 0), ("no", 0)])
def test_unions_that_are_not_trusted_are_left_out_and_counted(trust, given):
    found = choose(many(("a", 0, 0, 0.9), trust=trust), [{"a"}], [[0.8]], ("unknown", "poor"))

    assert (given, 1 - given) == (len(found.chosen), found.doubtful)
