"""Calls of the solver HiGHS: the MILP of one objective, its upper bound, and the linear relaxation.

Objectives that were optimised before are kept by lower bounds on them (here `floors`), the usual way of solving a
lexicographic programme: Ehrgott, M. (2005). Multicriteria Optimization, 2nd ed., chapter 5 (from memory).
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from graftbook.fit.plan_milp import MilpModel

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floors = Sequence[tuple[str, float]]

# Tolerances on the floors of a MILP, tried in turn, and that of the relaxation: shares of the floor.
_TOLERANCES, _RELAXED = (1e-7, 1e-6, 1e-5), 1e-6
# No call of the solver is begun with less time, in seconds.
LEAST_SECONDS = 0.05


def solve_milp(model: MilpModel, objective: str, floors: Floors, seconds: float, gap: float) -> Any:
    """The result of `scipy.optimize.milp` that maximises one objective; None when there was no time.

    `floors` are pairs of an earlier objective and the least value it must keep; they are loosened a little, step by step,
    where rounding has made the incumbent infeasible. `seconds` is the time limit of all steps, `gap` the relative MIP gap
    (0 or more) at which the solver may stop.
    """
    end = time.monotonic() + seconds
    found = None
    for tolerance in _TOLERANCES:
        left = end - time.monotonic()
        if left <= LEAST_SECONDS:
            break
        loosened = [(name, low - tolerance * max(1.0, abs(low))) for name, low in floors]
        found = run_milp(model, objective, loosened, left, gap)
        if found.status in (0, 1) or not floors:
            break
    return found


def run_milp(model: MilpModel, objective: str, floors: Floors, seconds: float, gap: float) -> Any:
    """One call of `scipy.optimize.milp`; the arguments are those of `solve_milp`, the floors as they stand."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, vstack

    matrix, low, high = model.matrix, model.row_lower, model.row_upper
    if floors:
        matrix = vstack([matrix, csr_array(np.array([model.objective[name] for name, _ in floors]))], format="csr")
        low = np.concatenate([low, [least for _, least in floors]])
        high = np.concatenate([high, np.full(len(floors), np.inf)])
    bounds, rows = Bounds(model.lower, model.upper), LinearConstraint(matrix, low, high)
    options, worth = {"time_limit": seconds, "mip_rel_gap": gap}, -model.objective[objective]
    return milp(worth, integrality=model.integrality, bounds=bounds, constraints=rows, options=options)


def dual_bound(found: Any) -> float | None:
    """The upper bound on the objective that the solver proved; None when it proved none."""
    import numpy as np

    bound = None if found is None else found.get("mip_dual_bound")
    return None if bound is None or not np.isfinite(bound) else -float(bound)


def upper_bound(model: MilpModel, objective: str, found: Any) -> float:
    """The solver's upper bound; where it gave none, the objective with every variable at its own bound."""
    import numpy as np

    bound = dual_bound(found)
    return float((np.maximum(model.objective[objective], 0) * model.upper).sum()) if bound is None else bound


def relaxation_bound(model: MilpModel, objective: str, floors: Floors, seconds: float) -> float | None:
    """The optimum of the linear relaxation (no variable need be whole), an upper bound on the objective.

    Solved by an interior point method, which is many times as fast here as the simplex. `floors` as in `solve_milp`.
    None when no optimum is found within `seconds`.
    """
    import numpy as np
    from scipy.optimize import linprog

    bounds, options = np.column_stack([model.lower, model.upper]), {"time_limit": seconds}
    rows = _inequalities(model, floors)
    found = linprog(-model.objective[objective], *rows, bounds, method="highs-ipm", options=options)
    return -float(found.fun) if found.status == 0 else None


def _inequalities(model: MilpModel, floors: Floors) -> tuple[Any, NDArray[Any], Any, NDArray[Any]]:
    """The constraints as upper limits and equalities."""
    import numpy as np
    from scipy.sparse import csr_array, vstack

    equal = model.row_lower == model.row_upper
    above, below = np.isfinite(model.row_upper) & ~equal, np.isfinite(model.row_lower) & ~equal
    rows = [model.matrix[above], -model.matrix[below]]
    limits = [model.row_upper[above], -model.row_lower[below]]
    if floors:
        rows.append(-csr_array(np.array([model.objective[name] for name, _ in floors])))
        limits.append(np.array([_RELAXED * max(1.0, abs(least)) - least for _, least in floors]))
    return vstack(rows, format="csr"), np.concatenate(limits), model.matrix[equal], model.row_lower[equal]
