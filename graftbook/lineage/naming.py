"""What several people's words on one clone come to: one name, "A or B", unknown, or words that contradict each other.

The rule. On one thing the newest word stands and the older ones are its history. Among the things of one clone, what was
verified by fruit or tested outweighs what is believed. Words of one weight are taken together: what all of them allow is
what it is; where nothing is allowed by all, every name stands and the clone is disputed. A later doubt, or a later word
that it is unknown, sets aside earlier words of its weight: doubt is not outvoted by the belief it doubts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

SURE = ("believed", "verified by fruit", "tested", "doubtful")
_FIRM = frozenset({"verified by fruit", "tested"})


@dataclass(frozen=True)
class Statement:
    """One word on what a thing is: `names` are its candidates, none of them where it is unknown; `on` None means from the
    beginning. `ref` is the caller's own, to know it again."""

    thing: int
    on: date | None
    names: tuple[str, ...]
    sure: str = "believed"
    nickname: str | None = None
    ref: int = 0


@dataclass(frozen=True)
class Identity:
    """What a thing is or might be. No names: unknown. `sure` is None where nobody said anything.

    `by` are the refs of the words that speak, `against` those of words that stand and say otherwise. `counted` where
    counting the sticks of a mix settled it; `outside` where it was found to be something that was never mixed in.
    """

    names: tuple[str, ...] = ()
    sure: str | None = None
    nickname: str | None = None
    disputed: bool = False
    by: tuple[int, ...] = ()
    against: tuple[int, ...] = ()
    counted: bool = False
    outside: bool = False

    @property
    def certain(self) -> bool:
        """Whether it is one name and nobody of equal weight says otherwise."""
        return len(self.names) == 1 and not self.disputed


def newest(statements: Iterable[Statement]) -> dict[int, list[Statement]]:
    """The word that stands on each thing, in a list with the earlier ones, oldest first."""
    found: dict[int, list[Statement]] = {}
    for statement in statements:
        found.setdefault(statement.thing, []).append(statement)
    for words in found.values():
        words.sort(key=_when)
    return found


def _when(statement: Statement) -> tuple[date, int]:
    return (statement.on if statement.on is not None else date.min, statement.ref)


def settle(standing: Sequence[Statement]) -> Identity:
    """What the standing words on the things of one clone come to, by the rule of this module."""
    if len(standing) == 1:
        only = standing[0]
        return Identity(tuple(sorted(set(only.names))), only.sure, only.nickname, by=(only.ref,))
    words = sorted(standing, key=_when)
    firm = [word for word in words if word.sure in _FIRM]
    if not firm:
        return _against(_together(words), words)
    found = _together(firm)
    if len(found.names) > 1 and not found.disputed:
        found = _narrowed(found, _together([word for word in words if word.sure not in _FIRM]))
    return _against(found, words)


def _narrowed(firm: Identity, soft: Identity) -> Identity:
    """What was verified as one of several, narrowed by what is believed."""
    both = tuple(name for name in firm.names if name in soft.names)
    if not both or len(both) == len(firm.names) or soft.disputed:
        return firm
    return Identity(both, soft.sure, None, False, (*firm.by, *soft.by))


def _together(words: Sequence[Statement]) -> Identity:
    if not words:
        return Identity()
    start = max((at for at, word in enumerate(words) if not word.names or word.sure == "doubtful"), default=0)
    speaking = words[start:]
    named = [word for word in speaking if word.names]
    by = tuple(word.ref for word in speaking)
    if not named:
        return Identity((), speaking[-1].sure, by=by)
    common = set.intersection(*(set(word.names) for word in named))
    every = {name for word in named for name in word.names}
    return Identity(tuple(sorted(common or every)), _weight(named), None, not common, by)


def _weight(named: Sequence[Statement]) -> str:
    """How sure words are together: as the newest of those that narrow it most."""
    fewest = min(len(set(word.names)) for word in named)
    return next(word.sure for word in reversed(named) if len(set(word.names)) == fewest)


def _against(found: Identity, words: Sequence[Statement]) -> Identity:
    names = set(found.names)
    if found.disputed:
        against = tuple(word.ref for word in words if word.names and set(word.names) != names)
    else:
        against = tuple(word.ref for word in words if word.names and not names & set(word.names))
    nickname = next((word.nickname for word in reversed(words) if word.nickname), None)
    return Identity(found.names, found.sure, nickname, found.disputed, found.by, against)
