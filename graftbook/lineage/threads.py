"""The lines of descent (threads) of a book as plain arrays: what was cut from what, what stands on what, where wood was mixed.

A thread runs mother plant or graft -> bundle -> stick -> graft -> wood cut from it. Every thing has at most one thing
it was cut from, so a clone is a tree of things (a graph without cycles) and is identified by its root. Only mixed wood has
several possible sources: there the thread ends, and each stick is the root of a clone of its own that came from one of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from graftbook.errors import Refused

NONE = -1
MOST_PARTS = 12


@dataclass(frozen=True)
class Mix:
    """Bundles that became one bundle of loose sticks on a day.

    `parts` are the bundles mixed; `counts` how many sticks of each went in at most (where they sum to the sticks there are: just so
    many), None where that is not known. `sticks` are the numbered sticks of the new bundle in order, `loose` the grafts made from
    it whose stick is not known, and `opened` those among them for which a stick of its own was opened.
    """

    bundle: int
    on: date
    parts: tuple[int, ...]
    counts: tuple[int, ...] | None
    sticks: tuple[int, ...] = ()
    loose: tuple[int, ...] = ()
    opened: tuple[int, ...] = ()


@dataclass(frozen=True)
class Threads:
    """The things of a book by number, as arrays of one length; the first `plants` of them are plants.

    `codes` names them; `parent` is what each was cut from (NONE: nothing in the book, or mixed wood); `host` what a graft
    stands on (NONE for other things); `day` when it began: acquired, cut or made (None: not known); `end` the day it
    was known to be dead or gone (None: not known to be).
    """

    codes: Sequence[str]
    parent: Sequence[int]
    host: Sequence[int]
    day: Sequence[date | None]
    end: Sequence[date | None]
    plants: int = 0
    mixes: tuple[Mix, ...] = ()

    @cached_property
    def number(self) -> dict[str, int]:
        """The number of each code."""
        return {code: number for number, code in enumerate(self.codes)}

    @cached_property
    def children(self) -> dict[int, list[int]]:
        """What was cut from each thing that anything was cut from."""
        return _inverse(self.parent)

    @cached_property
    def on_it(self) -> dict[int, list[int]]:
        """The grafts that stand on each thing itself, where any do."""
        return _inverse(self.host)

    @cached_property
    def mixed_into(self) -> dict[int, list[Mix]]:
        """The mixes each bundle went into."""
        found: dict[int, list[Mix]] = {}
        for mix in self.mixes:
            for part in mix.parts:
                found.setdefault(part, []).append(mix)
        return found

    @cached_property
    def mix_of(self) -> dict[int, Mix]:
        """The mix that the new bundle, each of its sticks and each loose graft came out of."""
        return {thing: mix for mix in self.mixes for thing in (mix.bundle, *mix.sticks, *mix.loose)}

    @cached_property
    def root(self) -> list[int]:
        """The root of each thing's clone, by number. Raises Refused for things that were cut from themselves."""
        return chain_ends(self.parent, self.codes, "cut from")

    @cached_property
    def body(self) -> list[int]:
        """What each graft stands on in the end, a plant; other things stand for themselves. Raises Refused for a loop."""
        return chain_ends(self.host, self.codes, "standing on")


def _inverse(up: Sequence[int]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for number, above in enumerate(up):
        if above != NONE:
            if above in found:
                found[above].append(number)
            else:
                found[above] = [number]
    return found


def chain_ends(up: Sequence[int], codes: Sequence[str], what: str) -> list[int]:
    """The end of each number's chain of links `up` (NONE: no link), by path compression, each link followed once.

    `codes` and `what` name a cycle in the error. Raises Refused, naming the cycle, where a chain has no end.
    """
    end_of = [NONE] * len(up)
    for start in range(len(up)):
        path = []
        at = start
        while end_of[at] == NONE and up[at] != NONE:
            end_of[at] = -2  # on the path now
            path.append(at)
            at = up[at]
        if end_of[at] == -2:
            loop = [codes[number] for number in path[path.index(at) :]]
            raise Refused(f"these go round in a circle: {' '.join((*loop, loop[0]))}, each {what} the next")
        end = end_of[at] if end_of[at] != NONE else at
        end_of[at] = end
        for number in path:
            end_of[number] = end
    return end_of
