"""What no plan can pass in a part of the objective, told without whole numbers: quick, and true though seldom reached."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_model import Model

if TYPE_CHECKING:
    from numpy.typing import NDArray

# How far below a floor a plan may lie, as a share of the floor: rounding.
_TIGHT = 1e-6


def loose_bound(model: Model, level: str, floors: Sequence[tuple[str, float]], seconds: float) -> float | None:
    """The most that a part can come to over everything that keeps these floors, by an interior point method, which is many
    times as fast here as going from corner to corner; None when it is not found in so many seconds."""
    import numpy as np
    from scipy.optimize import linprog

    left, most, same, value = _split(model, floors)
    found = linprog(
        -model.worth[level],
        left,
        most,
        same,
        value,
        np.column_stack([model.least, model.most]),
        method="highs-ipm",
        options={"time_limit": seconds},
    )
    return -float(found.fun) if found.status == 0 else None


def _split(model: Model, floors: Sequence[tuple[str, float]]) -> tuple[Any, NDArray[Any], Any, NDArray[Any]]:
    """The rows as upper limits and equalities."""
    import numpy as np
    from scipy.sparse import csr_array, vstack

    same = model.low == model.high
    above, below = np.isfinite(model.high) & ~same, np.isfinite(model.low) & ~same
    rows = [model.matrix[above], -model.matrix[below]]
    limits = [model.high[above], -model.low[below]]
    if floors:
        rows.append(-csr_array(np.array([model.worth[name] for name, _ in floors])))
        limits.append(np.array([_TIGHT * max(1.0, abs(least)) - least for _, least in floors]))
    return vstack(rows, format="csr"), np.concatenate(limits), model.matrix[same], model.low[same]
