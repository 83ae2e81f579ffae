"""Whether it is too early for a rate, and how what still waits stands.

Failures are decided early and takes late: in autumn a bud that has died has failed, while one that set waits for spring. A
rate of those decided then speaks of the failures alone. A rule of this book: no rate is given while nothing has got there yet
and something waits, nor while those last seen alive would, if all of them got there, put the rate above its own range.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from graftbook.actions.outcome.endpoints import COUNTED_AS_KNOWN
from graftbook.stats.interval import wilson

_WORDS = {
    None: "never looked at", "set": "set, not yet forced", "forced": "forced, not yet growing", "pushing": "pushing",
    "growing": "growing, to be seen again", "no-movement": "green, not moved",
}  # fmt: skip
_FIRST = ("growing", "pushing", "forced", "set")

Waits = Counter[str | None]
"""How many wait by the state they were last seen in; None: never looked at."""


def too_early(k: int, n: int, waits: Mapping[str | None, int], high: float | None) -> bool:
    """Whether k of n decided are no rate yet. `high` is the upper end of its range, None where n is 0."""
    waiting, alive = sum(waits.values()), sum(many for state, many in waits.items() if state is not None)
    if not n or high is None or not waiting:
        return False
    return k == 0 or (k + alive) / (n + alive) > high


def words(waits: Mapping[str | None, int]) -> str:
    """`84 set, not yet forced`, `12 pushing and 3 never looked at`: how what waits was last seen, the furthest first."""
    held = sorted(((state, many) for state, many in waits.items() if many), key=lambda one: _place(one[0]))
    parts = [f"{many:,} {_WORDS.get(state, state)}" for state, many in held]
    joint = "; " if any("," in part for part in parts[:-1]) else ", "
    return parts[0] if len(parts) == 1 else f"{joint.join(parts[:-1])}{joint if ';' in joint else ' and '}{parts[-1]}"


def _place(state: str | None) -> tuple[int, str]:
    if state is None:
        return len(_FIRST) + 1, ""
    return (_FIRST.index(state) if state in _FIRST else len(_FIRST)), state


def is_early(k: int, n: int, waits: Mapping[str | None, int]) -> bool:
    """As `too_early`, by the usual range."""
    return too_early(k, n, waits, wilson(k, n).high)


def so_far(k: int, n: int, waits: Mapping[str | None, int], endpoint: str, went: str | None = None) -> str:
    """`84 set, not yet forced; so far 36 failed`: how a row stands that has no rate yet; `went` is the verb of the others."""
    went = went or ("were lost" if endpoint in COUNTED_AS_KNOWN else "failed")
    got = f"{k:,} {verb(endpoint)} and " if k else ""
    return f"{words(waits)}; so far {got}{n - k:,} {went}"


def verb(endpoint: str) -> str:
    """The endpoint as a verb: `took`, `were standing`."""
    return {"took": "took", "moved": "moved", "set": "set"}.get(endpoint, f"were {endpoint}")
