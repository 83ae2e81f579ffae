"""The jobs of a round: what a person may ask for alone, and what may be seen when a graft or a bud is looked at."""

from __future__ import annotations

from collections.abc import Iterable

from graftbook.book.grafts import BUD_STATES, SCION_STATES
from graftbook.errors import UsageProblem
from graftbook.trade.aftercare import Rule

FORGOTTEN, USE_FIRST = "forgotten", "use first"
_LOOKED_AT = frozenset({"look", FORGOTTEN, "judge", "check set"})
"""Jobs that are done by looking."""
_SEEN_OF_BUDS = (*BUD_STATES, "growing", "dead", "not-found")


def job(text: str, rules: Iterable[Rule]) -> str:
    """A job by its word, such as `release tie`, hyphens and capitals aside. Raises UsageProblem naming every job there is."""
    every = tuple(dict.fromkeys((*(rule.rule for rule in rules if not rule.is_off), FORGOTTEN, USE_FIRST)))
    wanted = " ".join(text.replace("-", " ").split()).casefold()
    found = next((each for each in every if each.casefold() == wanted), None)
    if found is None:
        raise UsageProblem(f"a job: {', '.join(every)}", repr(text))
    return found


def may_be_seen(jobs: Iterable[str], is_bud: bool) -> tuple[str, ...]:
    """The states that may be seen where one of some jobs is to look, as a sheet says them; none where none is."""
    if _LOOKED_AT.isdisjoint(jobs):
        return ()
    return tuple(state.replace("-", " ") for state in (_SEEN_OF_BUDS if is_bud else SCION_STATES))
