"""The lines of a joint, true to scale: the stems seen from the end, and the cut face, as SVG elements in mm.

Pen: the stock thin, its cambium a thin line inside the grey band of reach; the scion thick where its cambium meets the
stock's and dashed where it does not. Bark is dotted. Nothing needs colour.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

from graftbook.fit.joint_curves import ONE, Face, chord, gap
from graftbook.fit.joint_kinds import chip_depth, face_of
from graftbook.fit.joints import Joint

Point = tuple[float, float]

THIN, THICK = 0.18, 0.5
_BARK = f'fill="none" stroke="black" stroke-width="{THIN}" stroke-dasharray="0.2 0.7" stroke-linecap="round"'
_LINE = f'fill="none" stroke="black" stroke-width="{THIN}"'
_MET = f'fill="none" stroke="black" stroke-width="{THICK}" stroke-linecap="round"'
_BARE = f'fill="none" stroke="black" stroke-width="{THICK * 0.7:.2f}" stroke-dasharray="1 1"'
_ROUND = 180


@dataclass(frozen=True)
class Panel:
    """A part of the drawing: SVG elements round a middle of its own, and how far they reach to each side in mm."""

    title: str
    marks: tuple[str, ...]
    half_width: float
    above: float
    below: float


def band(path: str, reach_mm: float) -> str:
    """The grey band of reach along a path."""
    return f'<path d="{path}" fill="none" stroke="#ccc" stroke-width="{2 * reach_mm:.3f}"/>'


def along(points: Iterable[Point], closed: bool = False) -> str:
    """The path through points."""
    return "M" + "L".join(f"{x:.3f} {y:.3f}" for x, y in points) + ("Z" if closed else "")


def oval(
    half_width: float, half_length: float, middle: Point = (0.0, 0.0), turn: Point = (0.0, 2 * math.pi)
) -> list[Point]:
    """Points round an ellipse, or round the part of it between two angles."""
    steps = [turn[0] + (turn[1] - turn[0]) * at / _ROUND for at in range(_ROUND + 1)]
    return [(middle[0] + half_width * math.cos(a), middle[1] - half_length * math.sin(a)) for a in steps]


def met_and_bare(points: list[Point], meets: Callable[[Point], bool]) -> list[str]:
    """The scion's outline in runs, thick where it meets and dashed where not."""
    runs: list[tuple[bool, list[Point]]] = []
    for first, second in pairwise(points):
        here = meets(((first[0] + second[0]) / 2, (first[1] + second[1]) / 2))
        if runs and runs[-1][0] == here:
            runs[-1][1].append(second)
        else:
            runs.append((here, [first, second]))
    return [f'<path d="{along(run)}" {_MET if here else _BARE}/>' for here, run in runs]


def face_panel(found: Joint, face: Face) -> Panel:
    """The cut face: the scion's outline against the stock's cambium, up being towards the scion's tip."""
    wedge = found.cut.shape in ("split", "chord")
    shift = _aside(found, face)
    outline = oval(face.half_width, face.half_length, (shift, 0.0), (0.0, math.pi if wedge else 2 * math.pi))

    def meets(point: Point) -> bool:
        return gap(face, point[0] - shift, point[1], found.shift_mm, ONE) <= found.reach_mm

    stock, width, height = _stock_lines(found, face)
    marks = (*stock, *met_and_bare(outline, meets))
    if wedge:
        marks = (*marks, f'<path d="{along([outline[-1], outline[0]])}" {_LINE}/>')
    return Panel("the cut face", marks, max(width, abs(shift) + face.half_width) + 1, height, 1.0 if wedge else height)


def _aside(found: Joint, face: Face) -> float:
    """Where the scion's middle is drawn; a flat on a barrel stands on the other side of the line where it touches."""
    return -found.shift_mm if face.against == "barrel" else found.shift_mm


def _stock_lines(found: Joint, face: Face) -> tuple[list[str], float, float]:
    """What the scion is set against, with how far it reaches aside and up."""
    tall = face.half_length + 2
    if face.against == "ring":
        ring = along(oval(face.across, face.along), closed=True)
        marks = [band(ring, found.reach_mm), f'<path d="{ring}" {_LINE}/>']
        grown = found.sizes.stock / 2 / found.sizes.stock_radius
        if found.cut.shape != "chip":
            marks.append(f'<path d="{along(oval(face.across * grown, face.along * grown), closed=True)}" {_BARK}/>')
            return marks, face.across * grown, max(face.along * grown, face.half_length) + 1
        return marks, face.across + found.reach_mm, tall
    low = 0.0 if found.cut.shape in ("split", "chord") else tall
    if face.against == "barrel":
        held = chord(face.across, found.reach_mm)
        strip = f'<rect x="{-held:.3f}" y="{-tall:.3f}" width="{2 * held:.3f}" height="{tall + low:.3f}" fill="#ccc"/>'
        return [strip, f'<path d="M0 {-tall:.3f}V{low:.3f}" {_LINE}/>'], held, tall
    sides = [f"M{x:.3f} {-tall:.3f}V{low:.3f}" for x in (-face.across, face.across)]
    marks = [band(side, found.reach_mm) for side in sides] + [f'<path d="{side}" {_LINE}/>' for side in sides]
    return marks, face.across + found.reach_mm, tall


def end_panel(found: Joint, face: Face, words: str) -> Panel:
    """Both stems seen from the end, at the widest place of the cut: rings of cambium, bark, and the shift in `words`."""
    sizes, outer = found.sizes, found.sizes.stock / 2
    ring = along(oval(sizes.stock_radius, sizes.stock_radius), closed=True)
    marks = [
        band(ring, found.reach_mm),
        f'<path d="{ring}" {_LINE}/>',
        f'<path d="{along(oval(outer, outer), True)}" {_BARK}/>',
    ]
    shift = _aside(found, face)
    cut, lift, turn = _seat(found, face)
    middle = (shift, cut + lift)
    for radius, pen in ((sizes.scion_radius, _MET), (found.sizes.scion / 2, _BARK)):
        piece = oval(radius, radius, middle, turn(radius, lift))
        marks.append(f'<path d="{along(piece, closed=turn(radius, lift) != _WHOLE)}" {pen}/>')
    if found.cut.shape not in ("slant", "saddle"):
        lifted = found.cut.shape in ("barrel", "shield")
        half = found.sizes.scion / 2 + 1 if lifted else math.sqrt(max(outer**2 - cut**2, 0.0))
        marks.append(f'<path d="M{-half:.3f} {cut:.3f}H{half:.3f}" {_LINE}/>')
    marks += [_cross(0.0, 0.0), _cross(*middle), *_shift_mark(found, shift, outer + 2.5, words), *_second(found, shift)]
    top, aside = max(outer, found.sizes.scion / 2 - middle[1]), max(outer, abs(shift) + found.sizes.scion / 2, 12.0)
    below = outer + (1 if found.alignment == "centred" else 8)
    return Panel("seen from the end", tuple(marks), aside + 1, top + 1, below)


def _shift_mark(found: Joint, shift: float, down: float, words: str) -> list[str]:
    """How far the scion's middle stands aside, as a measure below the ring."""
    if found.alignment == "centred":
        return []
    measure = f'<path d="M0 {down - 1:.3f}v2M{shift:.3f} {down - 1:.3f}v2M0 {down:.3f}H{shift:.3f}" {_LINE}/>'
    return [measure, f'<text x="{shift / 2:.3f}" y="{down + 4.2:.3f}" text-anchor="middle">shift {words}</text>']


def _second(found: Joint, shift: float) -> list[str]:
    """A second scion at the other edge of the split, drawn thin, where there is room for it."""
    if found.room_for < 2:
        return []
    radius = found.sizes.scion_radius
    return [f'<path d="{along(oval(radius, radius, (-shift, 0.0)), closed=True)}" {_LINE}/>']


_WHOLE = (0.0, 2 * math.pi)


def _seat(found: Joint, face: Face) -> tuple[float, float, Callable[[float, float], tuple[float, float]]]:
    """Where the cut lies across the end view, how far the scion's middle is below it, and what part of a ring is left."""
    sizes = found.sizes

    def whole(radius: float, lift: float) -> tuple[float, float]:
        return _WHOLE

    def upper(radius: float, lift: float) -> tuple[float, float]:
        low = math.asin(max(-1.0, min(1.0, lift / radius)))
        return low, math.pi - low

    if found.cut.shape in ("slant", "saddle", "split"):
        return 0.0, 0.0, whole
    if found.cut.shape in ("barrel", "shield"):
        gone = math.sqrt(max(sizes.scion_radius**2 - face.half_width**2, 0.0))
        return -sizes.stock_radius, gone, upper
    if found.cut.shape == "chip":
        deep = chip_depth(sizes, ONE)
        return -(sizes.stock_radius - deep), sizes.scion_radius - deep, upper
    level = -math.sqrt(max(sizes.stock_radius**2 - face.across**2, 0.0))
    return level, 0.0, whole if found.cut.shape == "chord" else upper


def _cross(x: float, y: float) -> str:
    return f'<path d="M{x - 0.7:.3f} {y:.3f}h1.4M{x:.3f} {y - 0.7:.3f}v1.4" {_LINE}/>'


def panels(found: Joint, shift: str) -> tuple[Panel, Panel]:
    """Both panels of a joint: the end view, with the shift in words, and the cut face."""
    face = face_of(found.cut, found.sizes, ONE)
    return end_panel(found, face, shift), face_panel(found, face)
