"""The gates of size: the stock, the scion, and the one against the other.

A range passes when some part of it lies inside the limits, and the reason then says which part to pick. Sizes outside
the limits are a caution and name sources that print a limit they break. Only a scion thicker than what it stands on is
refused, and not by methods made for that: the bark and wood of an overhanging scion meet nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from graftbook.fit.facts import Range, StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext, by_method, has_limit, limits_words, overlap, share_words
from graftbook.trade import methods, sources
from graftbook.trade.methods import Method, Span
from graftbook.units import show_range

# Wood is seldom round: a scion thicker by no more than this, in mm, is not called too thick (common practice).
SLACK_MM = 0.5


def stock_diameter(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the stock is of a thickness this method is used on."""
    limits, ask = (method.stock_ok, method.stock_tried), "measure it where the graft goes"
    return _size("stock diameter", stock.code, stock.diameter_mm, limits, method, known, ask)


def scion_diameter(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the wood, or for a bud the bud stick, is of a thickness this method is used with."""
    limits = (method.scion_ok, (None, None))
    return _size("scion diameter", wood.code, wood.diameter_mm, limits, method, known, "measure the sticks")


def ratio(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether scion and stock suit one another in thickness, by the method's rule of scion over stock diameter."""
    name, called = "ratio", method.method
    if not has_limit(method.ratio_ok):
        return by_method(name, "pass", f"{called} sets no rule of scion against stock thickness.", method)
    if wood.diameter_mm is None or stock.diameter_mm is None:
        missing = [facts.code for facts in (wood, stock) if facts.diameter_mm is None]
        reason = f"The diameter of {' and of '.join(missing)} is not known; measure it."
        return by_method(name, "unknown", reason, method)
    shares = _shares(wood.diameter_mm, stock.diameter_mm)
    if too_thick(wood.diameter_mm, stock.diameter_mm, method):
        return by_method(name, "no", _too_thick_words(wood, stock, method, known), method)
    compared = f"{wood.code} is {_share_range(shares)} of the thickness of {stock.code}"
    rule = f"{called} wants {share_words(method.ratio_ok)}"
    if overlap(shares, method.ratio_ok) is None:
        reason = f"{compared}; {rule}.{_one_side(shares)}"
        return by_method(name, "caution", reason, method)
    usable = overlap(wood.diameter_mm, method.scion_ok)
    if usable is None or overlap(_shares(usable, stock.diameter_mm), method.ratio_ok) is not None:
        pick = _sticks_to_pick(usable or wood.diameter_mm, wood.diameter_mm, stock.diameter_mm, method, known.unit)
        return by_method(name, "pass", f"{compared}; {rule}.{pick}", method)
    pick = _sticks_to_pick(wood.diameter_mm, wood.diameter_mm, stock.diameter_mm, method, known.unit)
    limits = limits_words(method.scion_ok, known.unit)
    return by_method(
        name, "caution", f"{compared}; {rule}.{pick} None of them is of the {limits} it is used with.", method
    )


def too_thick(scion: tuple[Any, Any], stock: tuple[Any, Any], method: Method) -> Any:
    """Whether even the thinnest scion (mm) overhangs the thickest stock (mm) by more than the method is made for; a bool, or
    an array of them for arrays of ends.

    Common practice: a scion is never thicker than its stock, except by four-flap and the few methods like it, whose
    limits go past 1. None for a method's upper limit sets no such bar.
    """
    tops = [top for top in (method.ratio_ok[1], method.ratio_tried[1]) if top is not None]
    return bool(tops) and scion[0] > stock[1] * max(1.0, *tops) + SLACK_MM


def _size(
    name: str, code: str, size: Range | None, limits: tuple[Span, Span], method: Method, known: GateContext, ask: str
) -> Gate:
    ok, called = limits[0], method.method
    if not has_limit(ok):
        return by_method(name, "pass", f"No limit of {name} is known for {called}.", method)
    wanted = f"{called} wants {limits_words(ok, known.unit)}"
    if size is None:
        return by_method(name, "unknown", f"The diameter of {code} is not known; {ask}. {wanted.capitalize()}.", method)
    shown = f"{code} is {show_range(*size, known.unit)}"
    part = overlap(size, ok)
    if part is None:
        printed = _objectors(name, size, method, known.unit)
        return by_method(
            name, "caution", f"{shown}; {wanted}{_tried_words(size, limits, known.unit)}.{printed}", method
        )
    pick = "" if part == size else f" Pick {show_range(*part, known.unit)}."
    return by_method(name, "pass", f"{shown}; {wanted}.{pick}", method)


def _tried_words(size: Range, limits: tuple[Span, Span], unit: str) -> str:
    ok, tried = limits
    if not has_limit(tried) or tried == ok:
        return ""
    if overlap(size, tried) is not None:
        return f", though {limits_words(tried, unit)} is tried"
    return f", and even the widest tried is {limits_words(tried, unit)}"


def _objectors(name: str, size: Range, method: Method, unit: str, at_most: int = 2) -> str:
    """Sources that print a limit this size breaks, so that the grower can judge whose word it is."""
    printed: list[str] = []
    for limit in methods.limits(method.method):
        span = limit.stock if name == "stock diameter" else limit.scion
        if has_limit(span) and overlap(size, span) is None:
            cited = sources.cite(limit.source) or limit.source
            printed.append(f"{limits_words(span, unit)} in {cited or limit.basis}")
    shown = list(dict.fromkeys(printed))[:at_most]
    return f" Printed limits: {'; '.join(shown)}." if shown else ""


def _shares(scion: Range, stock: Range) -> Range:
    return scion[0] / stock[1], scion[1] / stock[0]


def _share_range(shares: Range) -> str:
    low, high = f"{shares[0]:.0%}", f"{shares[1]:.0%}"
    return low if low == high else f"{low} to {high}"


def _one_side(shares: Range) -> str:
    return " Line up one side, never the middle." if shares[1] < 1 else ""


def _sticks_to_pick(usable: Range, whole: Range, stock: Range, method: Method, unit: str) -> str:
    """Which sticks of a bundle to take; for one measured stock exactly, for graded stocks those that suit some."""
    ok = method.ratio_ok
    low = None if ok[0] is None else ok[0] * stock[0]
    high = None if ok[1] is None else ok[1] * stock[1]
    part = overlap(usable, (low, high))
    each = "" if stock[0] == stock[1] else ", each matched to its stock"
    if part is None or (part == whole and not each):
        return ""
    return f" Pick sticks of {show_range(round(part[0], 1), round(part[1], 1), unit)}{each}."


def _too_thick_words(wood: WoodFacts, stock: StockFacts, method: Method, known: GateContext) -> str:
    sizes: Sequence[Range] = [facts.diameter_mm for facts in (wood, stock) if facts.diameter_mm is not None]
    scion, stand = (show_range(*size, known.unit) for size in sizes)
    part = "The bud stick" if method.is_bud else "The scion"
    compared = f"{part} from {wood.code} ({scion}) is thicker than {stock.code} ({stand})"
    return f"{compared}; for {method.method} it may not be."
