"""The gates of the wood itself: at rest or ripe, not too old, in good condition, and some of it left."""

from __future__ import annotations

from datetime import date

from graftbook.fit.facts import KeepingFacts, StockFacts, WoodFacts
from graftbook.fit.gate import Gate, GateContext, by_method, practice, recorded
from graftbook.trade import taxa
from graftbook.trade.methods import Method

_LOOKS = {
    "sound": ("pass", "it was sound when last looked at"),
    "swelling": ("caution", "its buds were swelling when last looked at: it may leaf out before the union has joined"),
    "drying": ("caution", "it was drying when last looked at: try the green under the bark first"),
    "mould": ("caution", "it had mould when last looked at: wipe it and try the green under the bark first"),
    "dead": ("no", "it was dead when last looked at"),
}


def wood_dormant(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the wood is at rest, or its buds ripe and its bark loose, as the method wants them."""
    name = "wood dormant"
    if wood.kind == "summer":
        return _summer(name, wood, method)
    if method.slip == "both":
        reason = (
            f"{method.method} needs the bark of the bud wood to slip too, and {wood.code} is dormant wood: keep it warm "
            "and moist for some days first, and try it with the knife."
        )
        return by_method(name, "caution", reason, method)
    taxon = taxa.find(wood.taxon)
    if taxon is not None and not taxon.deciduous:
        reason = f"{wood.code} is {taxon.common}, an evergreen: cut in growth, leaves off, and used within days."
        return practice(name, "pass", reason)
    if wood.condition == "swelling":
        reason = f"{method.method} wants wood at rest, and the buds of {wood.code} are swelling."
        return by_method(name, "caution" if method.scion_state == "dormant" else "pass", reason, method)
    return by_method(name, "pass", f"{wood.code} is dormant wood, which {method.method} can use.", method)


def keeping(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether the wood is within the time that such wood keeps."""
    name = "keeping"
    if wood.cut_on is not None and wood.cut_on > on:
        reason = f"{wood.code} is cut on {wood.cut_on.isoformat()}, after the grafting day {on.isoformat()}."
        return recorded(name, "no", reason)
    kept = wood.keeping if wood.keeping is not None else KeepingFacts(None, None)
    outcome, words = _kept(wood.surely_days or 0, kept)
    since = f"{wood.code} was cut {_days(wood.age_days)} ago"
    if wood.age_days is None:
        since = f"When {wood.code} was cut is not known"
        if outcome != "caution":
            return Gate(name, "unknown", f"{since}; look at it closely.", kept.basis, kept.source)
        since += f", it came {_days(wood.least_days)} ago"
    return Gate(name, outcome, f"{since}; {words}.", kept.basis, kept.source)


def condition(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """What the last look at the wood says."""
    name = "condition"
    if wood.condition is None:
        return recorded(name, "pass", f"Nothing bad is noted of {wood.code}; no look at it is recorded.")
    if wood.condition not in _LOOKS:
        reason = f"{wood.code} was noted as {wood.condition!r}, which is no condition known here."
        return recorded(name, "unknown", reason)
    outcome, words = _LOOKS[wood.condition]
    return recorded(name, outcome, f"Of {wood.code}: {words}.")


def sticks_left(wood: WoodFacts, stock: StockFacts, method: Method, on: date, known: GateContext) -> Gate:
    """Whether any stick of the bundle is left, be it the rest of one that was opened."""
    name, left = "sticks left", wood.sticks_left
    if left is None:
        return recorded(name, "unknown", f"How many sticks of {wood.code} are left is not known; count them.")
    if left <= 0 < wood.buds_in_hand:
        buds = f"{wood.buds_in_hand} bud{'' if wood.buds_in_hand == 1 else 's'}"
        return recorded(name, "pass", f"No whole stick of {wood.code} is left, but {buds} on the stick in hand.")
    if left <= 0:
        return recorded(name, "no", f"No stick of {wood.code} is left.")
    if left == 1:
        return recorded(name, "pass", f"One stick of {wood.code} is left; one live bud is enough for a graft.")
    return recorded(name, "pass", f"{left} sticks of {wood.code} are left.")


def _summer(name: str, wood: WoodFacts, method: Method) -> Gate:
    if method.scion_state == "dormant":
        reason = f"{method.method} wants dormant wood, and {wood.code} is summer wood, cut in growth."
        return by_method(name, "caution", reason, method)
    also = " Its bark must slip too: try it with the knife." if method.slip == "both" else ""
    return by_method(name, "pass", f"{wood.code} is summer bud wood, which {method.method} can use.{also}", method)


def _kept(age: int, kept: KeepingFacts) -> tuple[str, str]:
    usual, longest = kept.usual_days, kept.longest_days
    if usual is None and longest is None:
        return "unknown", "how long such wood keeps is not known"
    if longest is not None and age > longest:
        return "caution", f"that is past the longest such wood is known to keep, {_days(longest)}"
    if usual is not None and age > usual:
        best = "" if longest is None else f", though some has kept {_days(longest)}"
        return "caution", f"that is past the {_days(usual)} it usually keeps{best}"
    return "pass", f"such wood keeps {_days(usual if usual is not None else longest)} or so"


def _days(days: int | None) -> str:
    return f"{days} day{'' if days == 1 else 's'}"
