"""Whose green tip days are counted from: the plant's own, or that of its kind at the same place; of no other place."""

from __future__ import annotations

from collections import Counter

from sqlmodel import Session

from graftbook.actions.takes import judging
from graftbook.actions.takes.question import TakeQuestion

FACTOR = "days-from-green-tip"


def sentence(session: Session, asked: TakeQuestion) -> str:
    """How many grafts are counted from whose green tip, and how many are left out for want of one."""
    whose: Counter[str | None] = Counter()
    for held in judging.about(session, asked, (), asked.span, ("green_tip_whose",)):
        whose.update(held["green_tip_whose"])
    parts = [f"{whose[key]:,} from {words}" for key, words in
             (("own", "that of the plant itself"), ("kind here", "that of its kind at the same place")) if whose[key]]  # fmt: skip
    none = f"; {whose[None]:,} have none noted there and are not recorded here" if whose[None] else ""
    if not parts:
        return "No green tip is noted of these plants, nor of their kind at the same place: note it with graftbook tree stage."
    return f"Days from green tip are counted {' and '.join(parts)}{none}."
