"""How big the code's modules may be on a label of a given breadth: as big as the breadth allows, and ever smaller.

The aim is 0.5 mm and the floor 0.40 mm, just above the 0.396 mm that the GS1 General Specifications give as the least
X-dimension for a QR code read at a till. A code grows with the label beyond that, since a phone reads it from about ten
times its side. With the printer's dots per inch known, a module is a whole number of dots: one of three and a half dots
is printed unevenly.
"""

from __future__ import annotations

from dataclasses import dataclass

AIM_MM = 0.5
FLOOR_MM = 0.40
LARGEST_MM = 2.5
QUIET = 4
"""Modules kept white around a code (ISO/IEC 18004)."""
_NARROW_MM = 13.0
_SHARES = (1.0, 0.85, 0.7)
_LEAST_DOTS = 3
_SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class ModuleSize:
    """A module size to try, with the quiet zone in modules and the white edge kept clear around it in mm."""

    mm: float
    quiet: int
    edge_mm: float
    warnings: tuple[str, ...]


def module_sizes(modules: int, breadth_mm: float, dpi: float | None) -> tuple[ModuleSize, ...]:
    """Module sizes that fit across `breadth_mm` for a code of `modules` a side, largest first; empty when none does.

    `dpi` None: any size. When no whole number of dots lies between floor and fit, the size is not snapped and a
    warning says so.
    """
    zones = [(QUIET, 1.5), (QUIET, 1.0)]
    if breadth_mm <= _NARROW_MM:
        zones.append((2, 1.0))
    for snap in (dpi, None) if dpi is not None else (None,):
        for quiet, edge in zones:
            most = (breadth_mm - 2 * edge) / (modules + 2 * quiet)
            large = (min(most, LARGEST_MM) * share for share in _SHARES)
            wished = (_snapped(min(wish, most), most, snap) for wish in (*large, AIM_MM, FLOOR_MM))
            sizes = sorted({size for size in wished if size >= FLOOR_MM - _SLACK}, reverse=True)
            if sizes:
                return tuple(ModuleSize(s, quiet, edge, _warnings(s, quiet, edge, breadth_mm, dpi)) for s in sizes)
    return ()


def _snapped(wish: float, most: float, dpi: float | None) -> float:
    """Nearest whole number of dots to the wish that is not above what fits; the floor counts as the least."""
    if dpi is None:
        return wish
    dot = 25.4 / dpi
    dots = max(round(wish / dot), _LEAST_DOTS)
    if dots * dot < FLOOR_MM - _SLACK:
        dots += 1
    if dots * dot > most + _SLACK:
        dots -= 1
    return dots * dot if dots * dot <= most + _SLACK else 0.0


def _warnings(size: float, quiet: int, edge: float, breadth: float, dpi: float | None) -> tuple[str, ...]:
    found = []
    if quiet < QUIET:
        found.append(
            f"a {breadth:.1f} mm breadth leaves a quiet zone of {quiet} modules where the standard asks for {QUIET}: "
            "try one tag with your reader before printing many"
        )
    if edge < 1.5:
        found.append(f"the code's white margin comes within {edge:.1f} mm of the edge: keep the cut and the feed true")
    if dpi is not None and abs(size * dpi / 25.4 - round(size * dpi / 25.4)) > 0.001:
        found.append(
            f"no whole number of dots at {dpi:g} dpi lies between {FLOOR_MM:.2f} mm and what fits: modules are "
            f"{size * dpi / 25.4:.1f} dots wide and print a little unevenly"
        )
    return tuple(found)
