"""A season dealt out to days and crews: sticks whole, what is alike together, as even as whole sticks allow.

Sticks are put in order by the stocks that most of their scions go on, then by cultivar, so that each share is a run of one
rootstock, grade and cultivar after another, and nobody takes up a stick that another has opened.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from graftbook.errors import UsageProblem


@dataclass(frozen=True)
class StickShare:
    """A stick with the number of its grafts, 1 or more, and by what it is put in order."""

    key: tuple[int, int]
    grafts: int
    order: tuple[str | int, ...]


def deal(sticks: Sequence[StickShare], shares: int) -> dict[tuple[int, int], int]:
    """For each stick the share it belongs to, from 0; each stick where the middle of its grafts falls among all in order.

    Raises UsageProblem for fewer than one share.
    """
    if shares < 1:
        raise UsageProblem("one share or more to deal out to", str(shares))
    total, before = sum(stick.grafts for stick in sticks), 0
    found = {}
    for stick in sorted(sticks, key=lambda stick: stick.order):
        found[stick.key] = int((before + stick.grafts / 2) * shares / total)
        before += stick.grafts
    return found
