"""Joints of many pairs, each met once however often it is asked for; many new ones at a time are worked out by numpy."""

from __future__ import annotations

from collections.abc import Iterable

from graftbook.fit.facts import Range, StockFacts, WoodFacts
from graftbook.fit.joint_kinds import Cut, Sizes, cut_of
from graftbook.fit.joint_search import ScionPlace
from graftbook.fit.joints import USUAL, Joint, JointAssumptions, best_joint, best_of, laid, pairings, sizes_of, tenths
from graftbook.trade.methods import Method

# From so many pairs on, those worked out before included, it pays to load numpy.
BATCH = 40

_Key = tuple[Method, Range, Range, str, str]
_Asked = tuple[WoodFacts, StockFacts, Method]


class Joints:
    """The best joints of pairs under one set of assumptions, remembered by sizes, kinds and method."""

    def __init__(self, given: JointAssumptions = USUAL) -> None:
        self._given = given
        self._found: dict[_Key, Joint | None] = {}

    def of(self, wood: WoodFacts, stock: StockFacts, method: Method) -> Joint | None:
        """The best joint of a pair; None where a diameter is not known or the method has no model."""
        key = _key(wood, stock, method)
        if key is None:
            return None
        if key not in self._found:
            self._found[key] = best_joint(*key, self._given)
        return self._found[key]

    def prepare(self, asked: Iterable[_Asked]) -> None:
        """Work out what will be asked for, all at once where it is much."""
        keys = dict.fromkeys(key for key in (_key(*each) for each in asked) if key is not None)
        new = [key for key in keys if key not in self._found]
        if len(new) > 1 and len(new) + len(self._found) >= BATCH:
            self._found.update(many(new, self._given))


def _key(wood: WoodFacts, stock: StockFacts, method: Method) -> _Key | None:
    if wood.diameter_mm is None or stock.diameter_mm is None:
        return None
    return method, tenths(wood.diameter_mm), tenths(stock.diameter_mm), wood.taxon, stock.taxon


def many(keys: list[_Key], given: JointAssumptions) -> dict[_Key, Joint | None]:
    """As `joints.best_joint` for each key, by numpy, a cut at a time."""
    wanted: dict[Cut, list[tuple[_Key, Sizes]]] = {}
    for key in keys:
        cut = cut_of(key[0])
        if cut is not None:
            sizes = [sizes_of(*pair, key[3], key[4], given) for pair in pairings(key[1], key[2], key[0])]
            wanted.setdefault(cut, []).extend((key, each) for each in sizes)
    found: dict[_Key, list[Joint]] = {key: [] for key in keys}
    for cut, pairs in wanted.items():
        places = _places(cut, [sizes for _, sizes in pairs], given.reach_mm)
        for (key, size), place in zip(pairs, places, strict=True):
            found[key].append(laid(key[0], cut, size, place, given.reach_mm))
    return {key: best_of(joints) for key, joints in found.items()}


def _places(cut: Cut, sizes: list[Sizes], reach_mm: float) -> list[ScionPlace]:
    import numpy as np

    from graftbook.fit.joint_many import best_places

    columns = ([getattr(each, name) for each in sizes] for name in ("scion", "stock", "scion_bark", "stock_bark"))
    found = best_places(cut, Sizes(*map(np.array, columns)), reach_mm)
    return list(map(ScionPlace, *(part.tolist() for part in (found.shift_mm, found.near, found.far))))
