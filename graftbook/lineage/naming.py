"""The identity that several people's statements on one clone give: one name, "A or B", unknown, or disputed.

The rule. On one thing the latest statement stands and the older ones are its history. Among the things of one clone, what was
verified by fruit or tested outweighs what is believed. Statements of one weight are intersected: the names that all of them
allow are its names; where no name is allowed by all, every name stands and the clone is disputed. A later doubt, or a later
statement that it is unknown, sets aside earlier statements of its weight: doubt is not outvoted by the belief it doubts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

_FIRM = frozenset({"verified by fruit", "tested"})


@dataclass(frozen=True)
class Statement:
    """One dated statement on what a thing is.

    `thing` is its number; `names` are the candidates, empty where it is unknown; `on` None means from the beginning; `sure` is
    believed, verified by fruit, tested or doubtful. `ref` is the caller's own, to know it again.
    """

    thing: int
    on: date | None
    names: tuple[str, ...]
    sure: str = "believed"
    nickname: str | None = None
    ref: int = 0


@dataclass(frozen=True)
class Identity:
    """What a thing is or might be. No names: unknown. `sure` as in Statement, None where no statement was made.

    `by` are the refs of the statements it rests on, `against` those of standing statements that contradict it. `counted` where
    counting the sticks of a mix determined it; `outside` where it was found to be something that was never mixed in.
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


def latest_statements(statements: Iterable[Statement]) -> dict[int, list[Statement]]:
    """The statements on each thing by number, oldest first, so that the last of each list stands."""
    found: dict[int, list[Statement]] = {}
    for statement in statements:
        found.setdefault(statement.thing, []).append(statement)
    for statements in found.values():
        statements.sort(key=_when)
    return found


def _when(statement: Statement) -> tuple[date, int]:
    return (statement.on if statement.on is not None else date.min, statement.ref)


def identity_of(standing: Sequence[Statement]) -> Identity:
    """The identity of one clone by the standing statements on its things (one or more), by the rule of this module."""
    if len(standing) == 1:
        only = standing[0]
        return Identity(tuple(sorted(set(only.names))), only.sure, only.nickname, by=(only.ref,))
    statements = sorted(standing, key=_when)
    firm = [statement for statement in statements if statement.sure in _FIRM]
    if not firm:
        return _against(_together(statements), statements)
    found = _together(firm)
    if len(found.names) > 1 and not found.disputed:
        found = _narrowed(found, _together([statement for statement in statements if statement.sure not in _FIRM]))
    return _against(found, statements)


def _narrowed(firm: Identity, soft: Identity) -> Identity:
    """What was verified as one of several, narrowed by what is believed."""
    both = tuple(name for name in firm.names if name in soft.names)
    if not both or len(both) == len(firm.names) or soft.disputed:
        return firm
    return Identity(both, soft.sure, None, False, (*firm.by, *soft.by))


def _together(statements: Sequence[Statement]) -> Identity:
    if not statements:
        return Identity()
    start = max(
        (at for at, statement in enumerate(statements) if not statement.names or statement.sure == "doubtful"),
        default=0,
    )
    speaking = statements[start:]
    named = [statement for statement in speaking if statement.names]
    by = tuple(statement.ref for statement in speaking)
    if not named:
        return Identity((), speaking[-1].sure, by=by)
    common = set.intersection(*(set(statement.names) for statement in named))
    every = {name for statement in named for name in statement.names}
    return Identity(tuple(sorted(common or every)), _weight(named), None, not common, by)


def _weight(named: Sequence[Statement]) -> str:
    """How sure statements are together: as the latest of those that narrow it most."""
    fewest = min(len(set(statement.names)) for statement in named)
    return next(statement.sure for statement in reversed(named) if len(set(statement.names)) == fewest)


def _against(found: Identity, statements: Sequence[Statement]) -> Identity:
    names = set(found.names)
    if found.disputed:
        against = tuple(statement.ref for statement in statements if statement.names and set(statement.names) != names)
    else:
        against = tuple(
            statement.ref for statement in statements if statement.names and not names & set(statement.names)
        )
    nickname = next((statement.nickname for statement in reversed(statements) if statement.nickname), None)
    return Identity(found.names, found.sure, nickname, found.disputed, found.by, against)
