"""What a comparison says, in sentences: first the answer, then what else changed at the same time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from graftbook.stats.association import Together

RARELY, SELDOM = 0.01, 0.05
FEW = 10
NAMES = {
    "month": "date",
    "wood": "bundle of wood",
    "stock": "stock",
    "stage": "growth stage",
    "bench": "bench or field",
}


def sentence(found: Any, tied: Sequence[tuple[str, Together]], endpoint: str) -> str:
    """The answer for one pair of sides, numbers first."""
    pair = found.crude
    counts = f"{found.first} {pair.k1} of {pair.n1}, {found.second} {pair.k2} of {pair.n2}"
    if not pair.n1 or not pair.n2:
        return f"Nothing to compare yet: {counts} decided."
    if found.p is None:
        why = "only one of the two was used" if not found.both else "everything, or nothing, got there"
        return f"Nothing can be told: {counts}, and in every stratum {why}."
    if found.p >= SELDOM:
        small = (
            f" With {found.both} decided side by side, only a large difference would show."
            if found.both < 4 * FEW
            else ""
        )
        return f"No difference shown: {counts} ({endpoint}).{small}"
    luck = "rarely" if found.p < RARELY else "seldom"
    better = found.first if found.odds.value is None or found.odds.value > 1 else found.second
    said = f"{better} did better: {counts} ({endpoint}), which luck alone would {luck} do"
    named = [NAMES.get(name, name) for name, how in tied if how.strong]
    if not named:
        return f"{said}."
    return f"{said}; but {' and '.join(named)} changed with it, so none of them can be named as the cause."


def together_sentences(factor: str, tied: Sequence[tuple[str, Together]]) -> Iterator[str]:
    """What moved with the factor asked about, with counts; what cannot be told apart from it first."""
    for name, how in tied:
        if how.strong:
            degree = "wholly" if how.wholly else "for the most part"
            counts = "; ".join(f"{side}: {value if value is not None else 'not recorded'} {number}"
                               for (value, side), number in _largest(how))  # fmt: skip
            yield f"{NAMES.get(name, name).capitalize()} changed {degree} with it ({counts})."
    if any(how.strong for _name, how in tied):
        yield "Next season give half of each bundle each way, on the same days and stocks; then it can be told."


def _largest(how: Together, most: int = 4) -> Sequence[tuple[tuple[Any, Any], int]]:
    return sorted(how.counts, key=lambda item: -item[1])[:most]
