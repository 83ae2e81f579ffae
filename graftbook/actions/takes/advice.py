"""What to do next season so that effects can be separated: one sentence a factor, each of which can be carried out.

A sentence is acted out in tests: a book made as it says has nothing that moved with the sides but what goes with them by nature.
"""

from __future__ import annotations

from graftbook.actions.takes.factors import DATED

_ON_STOCK = ("stock", "stock-diameter", "mismatch", "joint-share")

_OF_ONE_BUNDLE = ("method", "tie", "seal", "film", "wax", "buds", "place", "bench", *_ON_STOCK)

_OF_WOOD = ("species", "cultivar", "wood", "donor", "mother-tree")

_DAYS = tuple(name for name in DATED if name != "season")


def splits_a_bundle(factor: str) -> bool:
    """Whether halves of one bundle, grafted on the same days, can differ in it."""
    return factor in _OF_ONE_BUNDLE


def alike(factor: str) -> str:
    """What both halves of a bundle are to have in common."""
    if factor in _DAYS:
        return "by one method, on like stocks and by the same hands"
    return f"on the same days{'' if factor in _ON_STOCK else ' and stocks'}, by the same hands"


def advice(factor: str) -> str:
    """How to separate the effect of a factor from what moved with it."""
    if splits_a_bundle(factor):
        what = f"Next season give half of each bundle each way, {alike(factor)}"
    elif factor in _DAYS:
        what = "Next season graft half of each bundle on an early day and half on a late one, by one method, on like stocks"
    elif factor in ("stage", "days-from-green-tip", "warmth"):
        what = "Next season graft half of each bundle early and half late, by one method, on like stocks"
    elif factor in _OF_WOOD:
        what = "Next season graft as many of each on each grafting day, in turn, by one method on like stocks"
    elif factor == "wood-age":
        what = "Next winter cut each tree's wood half early and half late, and graft both by one method on the same days and stocks"
    elif factor == "scion-diameter":
        what = (
            "Next season sort each bundle into thin and thick, and graft both by one method on the same days and stocks"
        )
    else:
        return "No split of one season's wood separates these; hold the other things alike, or compare within them (--within)."
    return f"{what}; then their effects can be separated."
