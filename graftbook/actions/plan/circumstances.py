"""What a plan is asked with, as words and as what they come to: methods, day, what is left out, and what scions may be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date
from functools import cached_property

from graftbook.codes import read_many
from graftbook.fit import cutting
from graftbook.fit.cutting import Rules
from graftbook.fit.facts import WoodFacts
from graftbook.trade.methods import Method

# Thicknesses are told apart by so much, in mm, as sticks are sorted by hand.
CLASS_MM = 0.5


@dataclass(frozen=True)
class PlanWords:
    """A plan as it is asked for; None means not said. `wants` are numbers, `without` codes of wood and hosts to leave out,
    `host` the only plants to graft on, each with room for `positions` grafts. With `despite_notes` the grower's own notes
    on health and rights bar nothing, with `doubtful` unions that are poor or unknown are planned too. The grafts are dealt
    out to so many `days` in a row and so many `crews` on each."""

    on: str | None = None
    wants: str | None = None
    method: str | None = None
    place: str | None = None
    host: str | None = None
    positions: int = 1
    without: str | None = None
    hold_back: int = 0
    sure: float = 0.95
    spare: str | None = None
    seconds: float = 60.0
    despite_notes: bool = False
    doubtful: bool = False
    days: int = 1
    crews: int = 1
    compare: str | None = None
    seed: int | None = None

    def settings(self) -> dict[str, str]:
        """What was said, as text, to be kept with the plan."""
        stated = ((field.name, getattr(self, field.name), field.default) for field in fields(self))
        return {name: str(value) for name, value, usual in stated if value is not None and value != usual}


@dataclass(frozen=True)
class Circumstances:
    """The words of a plan with the methods and the day they come to. With `usual` nobody named the methods, so that buds go
    with summer wood and grafts with wood at rest."""

    words: PlanWords
    methods: Sequence[Method]
    day: date
    usual: bool = False

    @cached_property
    def left_out(self) -> frozenset[str]:
        """The codes of the wood and the hosts to leave out."""
        return frozenset(code.base for code in read_many(self.words.without)) if self.words.without else frozenset()

    def cutter(self, wood: WoodFacts) -> Cutter:
        """What scions some wood may be cut into."""
        return self._cutters[wood.kind == "summer"]

    @cached_property
    def _cutters(self) -> tuple[Cutter, Cutter]:
        """For wood at rest and for summer wood."""
        at_rest, summer = (
            Cutter([method for method in self.methods if not self.usual or method.is_bud == buds])
            for buds in (False, True)
        )
        return at_rest, summer


class Cutter:
    """What scions may be for some methods, each question answered once."""

    def __init__(self, methods: Sequence[Method]) -> None:
        self._rules = [Rules(bud_numbers(method), method) for method in methods]
        self._found: dict[tuple[int, float | None, float | None], frozenset[str]] = {}

    @cached_property
    def rules(self) -> tuple[Rules, ...]:
        """What scions may be for each method, alike ones once."""
        alike: dict[object, Rules] = {}
        for rules in self._rules:
            alike.setdefault((rules.buds, *(round(rules.shortest(mm), 1) for mm in (5, 8, 12, 20))), rules)
        return tuple(alike.values())

    def methods(self, buds: int, butt_mm: float | None, length_mm: float | None) -> frozenset[str]:
        """The methods, by name, that a piece of so many buds is long enough for; sizes are None where not measured."""
        key = buds, butt_mm, length_mm
        if key not in self._found:
            able = [rules for rules in self._rules if buds in rules.buds]
            if butt_mm is not None and length_mm is not None:
                able = [rules for rules in able if length_mm >= rules.shortest(butt_mm) - 0.5]
            self._found[key] = frozenset(rules.method.method for rules in able if rules.method is not None)
        return self._found[key]


def bud_numbers(method: Method) -> tuple[int, ...]:
    """The numbers of buds a scion for a method may have: from its least to its usual, at most three."""
    if method.is_bud:
        return (1,)
    usual = min(method.buds_default or 2, max(cutting.BUDS))
    return tuple(range(min(method.buds_min or 1, usual), usual + 1))


def size_class(mm: float) -> float:
    """The class of thickness a diameter belongs to, in mm: sizes within half a step of one another are one kind."""
    return max(CLASS_MM, round(round(mm / CLASS_MM) * CLASS_MM, 1))
