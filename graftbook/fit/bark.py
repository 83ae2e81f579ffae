"""The gate of bark and stage: must the bark lift, does it, and is the stock far enough on, or too far.

What the grower tried with the knife goes before what the growth stage lets one expect. Only bark recorded as tight bars
a method that needs it to lift; a stage alone never does, since trees of one stage differ.
"""

from __future__ import annotations

from datetime import date

from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext, by_method
from graftbook.trade import stages
from graftbook.trade.methods import Method

NAME = "bark and stage"
_RANK = ("pass", "unknown", "caution", "no")


def bark_and_stage(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the stock's bark and growth stage suit the method."""
    answers = [part for part in (_bark(stock, method), _stage(stock, method)) if part is not None]
    worst = max((outcome for outcome, _ in answers), key=_RANK.index)
    return by_method(NAME, worst, " ".join(reason for _, reason in answers), method)


def _bark(stock: StockFacts, method: Method) -> tuple[str, str]:
    if method.needs_slip:
        return _must_lift(stock, method)
    if method.slip == "tight":
        return _should_be_tight(stock, method)
    return "pass", f"{method.method} does not need the bark to slip."


def _must_lift(stock: StockFacts, method: Method) -> tuple[str, str]:
    wants = f"{method.method} needs bark that slips"
    if stock.bark == "tight":
        return "no", f"{wants}, and the bark of {stock.code} is recorded as tight."
    if stock.bark == "slipping":
        return "pass", f"{wants}, and that of {stock.code} does."
    likely = _likely(stock)
    if likely == "tight":
        return "caution", f"{wants}; at {stock.stage} that of {stock.code} is likely tight. Try it with the knife."
    if likely == "slips":
        return "pass", f"{wants}; at {stock.stage} that of {stock.code} likely does."
    if likely == "may slip":
        return "caution", f"{wants}; at {stock.stage} that of {stock.code} may or may not. Try it with the knife."
    if stock.resting:
        return (
            "caution",
            f"{wants}, and at this time of year trees rest, so that of {stock.code} will hardly lift. Wait for sap.",
        )
    return "unknown", f"{wants}; whether that of {stock.code} does is not noted. Try it with the knife."


def _should_be_tight(stock: StockFacts, method: Method) -> tuple[str, str]:
    wants = f"{method.method} is best while the bark is tight"
    if stock.bark == "slipping":
        return "caution", f"{wants}; that of {stock.code} slips, so it may tear away from the split."
    if stock.bark is None and _likely(stock) == "slips":
        return "caution", f"{wants}; at {stock.stage} that of {stock.code} likely slips."
    return "pass", f"{wants}; nothing noted of {stock.code} says otherwise."


def _likely(stock: StockFacts) -> str:
    return "unknown" if stock.stage is None else stages.bark(stock.stage)


def _stage(stock: StockFacts, method: Method) -> tuple[str, str] | None:
    if not method.stage_from and not method.stage_to:
        return None
    span = " to ".join(dict.fromkeys(word for word in (method.stage_from, method.stage_to) if word))
    usual = f"The usual stage of the stock is {span}"
    here = None if stock.stage is None else stages.order(stock.stage)
    if here is None:
        return "pass", f"{usual}; that of {stock.code} is not noted."
    first, last = (stages.order(word) if word else None for word in (method.stage_from, method.stage_to))
    if first is not None and here < first:
        return "caution", f"{usual}; {stock.code} at {stock.stage} is not so far yet."
    if last is not None and here > last:
        return "caution", f"{usual}; {stock.code} at {stock.stage} is past it."
    return "pass", f"{usual}, and {stock.code} is at {stock.stage}."
