"""The best place of many scions on many stocks at once, by numpy: the same search as for one, on arrays.

It is held to the plain path for one in the tests.
"""

from __future__ import annotations

from operator import itemgetter
from typing import Any

from graftbook.fit.joint_curves import Face, for_arrays, gap
from graftbook.fit.joint_kinds import Cut, Sizes, face_of
from graftbook.fit.joint_search import AS_GOOD, CHORDS, COARSE, FINE, HAND_MM, ScionPlace, far_apart, limits

# Numbers held at once while searching: a block is cut so small that the machine's cache still helps.
BLOCK = 24_000


def best_places(cut: Cut, sizes: Sizes, reach_mm: float) -> ScionPlace:
    """The best shift for each pair of one method, arrays in the order given. `sizes` holds arrays of one length, mm;
    `reach_mm` is above 0.

    Every pair is worked out as it comes: hand in each size once. Sizes of single precision are worked out in it, sooner
    by a third and within a thousandth of the share.
    """
    import numpy as np

    kind = np.float32 if getattr(sizes.scion, "dtype", None) == np.float32 else np.float64
    columns = [np.asarray(part, kind) for part in (sizes.scion, sizes.stock, sizes.scion_bark, sizes.stock_bark)]
    found = tuple(np.empty(len(columns[0])) for _ in range(3))
    flat = face_of(cut, Sizes(*columns), for_arrays())
    face = flat.mapped(lambda part: np.broadcast_to(part, len(columns[0]))[:, None])
    far = far_apart(face, reach_mm)[:, 0]
    for search, which, shifts in ((_beside, far, FINE), (_anywhere, ~far, COARSE + 2)):
        places = np.flatnonzero(which)
        step = max(1, BLOCK // (shifts * (CHORDS + 1)))
        for at in range(0, len(places), step):
            some = places[at : at + step]
            for whole, part in zip(found, search(face.mapped(itemgetter(some)), reach_mm), strict=True):
                whole[some] = part
    return ScionPlace(*found)


def _beside(face: Face, reach: float) -> tuple[Any, Any, Any]:
    apart = abs(face.across - face.half_width)
    shifts = apart + reach if face.one_slope else _row(apart - reach, apart + reach)
    return _smallest_best(face, reach, shifts)


def _anywhere(face: Face, reach: float) -> tuple[Any, Any, Any]:
    import numpy as np

    far, marks = limits(face, reach, for_arrays())
    tried = np.sort(np.concatenate([far * np.arange(COARSE, dtype=far.dtype) / (COARSE - 1), *marks], axis=1), axis=1)
    at = _shares(face, reach, tried).mean(axis=0).argmax(axis=1)[:, None]
    last = tried.shape[1] - 1
    low, high = (np.take_along_axis(tried, np.clip(at + step, 0, last), 1) for step in (-1, 1))
    more = np.concatenate([tried[:, :1], np.take_along_axis(tried, at, 1), _row(low, high)], axis=1)
    best = _smallest_best(face, reach, np.sort(more, axis=1))
    return best if face.against == "barrel" else _or_beside(face, reach, best)


def _row(low: Any, high: Any) -> Any:
    import numpy as np

    return low + (high - low) * np.linspace(0, 1, FINE, dtype=low.dtype)


def _smallest_best(face: Face, reach: float, shifts: Any) -> tuple[Any, Any, Any]:
    """For every pair shift, near and far share of the smallest shift that is as good as the best; shifts rise."""
    import numpy as np

    near, far = _shares(face, reach, shifts)
    share = (near + far) / 2
    at = (share >= share.max(axis=1, keepdims=True) - AS_GOOD).argmax(axis=1)[:, None]
    shift, near, far = (np.take_along_axis(part, at, 1)[:, 0] for part in (shifts, near, far))
    return shift, near, far


def _or_beside(face: Face, reach: float, best: tuple[Any, Any, Any]) -> tuple[Any, Any, Any]:
    """One side instead of a middle that a hand would miss, as for one."""
    import numpy as np

    apart = abs(face.across - face.half_width)
    middle = np.flatnonzero(best[0] < apart[:, 0])
    held = face.mapped(itemgetter(middle))
    beside = _smallest_best(held, reach, _row(apart[middle], apart[middle] + reach))
    missed = _shares(held, reach, best[0][middle, None] + HAND_MM).mean(axis=0)[:, 0]
    give_up = missed < (beside[1] + beside[2]) / 2
    result = tuple(part.copy() for part in best)
    for part, other in zip(result, beside, strict=True):
        part[middle[give_up]] = other[give_up]
    return result[0], result[1], result[2]


def _shares(face: Face, reach: float, shifts: Any) -> Any:
    """Shares of the near and the far half for every shift of every pair: shape (2, pairs, shifts)."""
    import numpy as np

    turn, kind = np.linspace(0, np.pi, CHORDS + 1), face.half_width.dtype
    x, y = face.half_width * np.cos(turn).astype(kind), face.half_length * np.sin(turn).astype(kind)
    lengths = np.hypot(np.diff(x), np.diff(y))
    deep = face.mapped(lambda part: part[:, :, None])
    spare = reach - gap(deep, x[:, None, :], y[:, None, :], shifts[:, :, None], for_arrays())
    first, second = spare[..., :-1], spare[..., 1:]
    size = np.maximum(abs(first) + abs(second), 1e-30)
    part = np.where((first >= 0) & (second >= 0), 1.0, np.maximum(0.0, np.maximum(first, second)) / size)
    inside, half, middle = part * lengths[:, None, :], lengths.sum(axis=1)[:, None] / 2, CHORDS // 2
    halves = (inside[..., :middle].sum(axis=2) / half, inside[..., middle:].sum(axis=2) / half)
    return np.minimum(1.0, np.stack(halves))
