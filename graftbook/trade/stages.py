"""How far a plant has got in its year, in the orchard's everyday words and in BBCH codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from graftbook.trade import tables
from graftbook.trade.words import indexed, look_up, nearest, plain, typed

_SCALE_OF_CROP = {"pome": "pome", "stone": "stone", "vine": "grapevine"}
_WORDS = "words"


@dataclass(frozen=True)
class Stage:
    """A stage. `scale` is `words` for the everyday words, else the BBCH scale `code` is read in; `word` is the everyday
    word nearest to it. `order` runs from 0 (dormant) to 100 (resting); `bark` is tight, may slip, slips or unknown."""

    scale: str
    code: str
    word: str
    names: tuple[str, ...]
    order: int
    bark: str
    means: str
    basis: str
    source: str


@lru_cache(maxsize=1)
def _table() -> tuple[Stage, ...]:
    return tuple(typed(Stage, row) for row in tables.rows("stages"))


@lru_cache(maxsize=1)
def _index() -> Mapping[str, Stage]:
    return indexed((name, stage) for stage in all() for name in (stage.word, *stage.names))


def all() -> tuple[Stage, ...]:
    """The everyday stages, earliest first."""
    return tuple(sorted((stage for stage in _table() if stage.scale == _WORDS), key=lambda stage: stage.order))


def find(text: str, crop: str = "") -> Stage | None:
    """The stage of this everyday word or BBCH code (`BBCH 53`, `53`); None when it is neither.

    `crop` (pome, stone, vine ...) chooses the scale a code is read in; without one the general scale is read first,
    then those of pome and stone fruit.
    """
    digits = plain(text).removeprefix("bbch").strip()
    if not digits.isdecimal() or len(digits) > 3:
        return look_up(text, _index())
    own_scale = _SCALE_OF_CROP.get(crop)
    order_of_scales = ((own_scale,) if own_scale else ()) + ("general", "pome", "stone", "grapevine")
    found = {(stage.scale, code): stage for stage in _table() for code in _codes(stage.code)}
    return next((found[name, int(digits)] for name in order_of_scales if (name, int(digits)) in found), None)


def _codes(code: str) -> range:
    first, _, last = code.partition("-")
    return range(int(first), int(last or first) + 1) if first.isdigit() else range(0)


def order(word: str) -> int | None:
    """Where a stage stands in the year, 0 dormant to 100 resting; None for a word that is no stage."""
    stage = find(word)
    return None if stage is None else stage.order


def bark(word: str) -> str:
    """What the bark does at a stage: tight, may slip, slips or unknown; unknown for a word that is no stage."""
    stage = find(word)
    return "unknown" if stage is None else stage.bark


def suggest(text: str) -> tuple[str, ...]:
    """Up to three everyday stages spelled most like this."""
    return nearest(text, {name: stage.word for name, stage in _index().items()})
