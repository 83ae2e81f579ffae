"""A joint in words a grower reads: what meets, how to lay it, how long to cut, and whose numbers these are."""

from __future__ import annotations

from graftbook.fit.joint_curves import ONE
from graftbook.fit.joint_kinds import cut_of, face_of
from graftbook.fit.joints import CENTRED_MM, Joint
from graftbook.trade import methods, sources
from graftbook.trade.methods import Method
from graftbook.units import show_length

_SIDES = {0: "no side", 1: "one side", 2: "both sides"}


def line(found: Joint, unit: str = "mm") -> str:
    """The joint in one line: `joint: 0.93 of the scion's cambium within 0.5 mm of the stock's, flush on one side; a model`."""
    reach = show_length(found.reach_mm, unit)
    return f"joint: {found.share:.2f} of the scion's cambium within {reach} of the stock's, {laid(found)}; a model"


def laid(found: Joint) -> str:
    """How the scion is laid: `centred, both sides met`, `flush on one side`, `on one side, its line crossing the stock's`."""
    if found.sides == 0:
        return "nowhere near it for long"
    if found.alignment == "centred":
        return f"centred, {_SIDES[found.sides]} met"
    if found.cut.shape in ("barrel", "shield"):
        return f"pressed to one side, {_SIDES[found.sides]} met"
    if found.sides == 2:
        return "a little to one side, both sides met"
    aside = past_flush_mm(found)
    if aside >= CENTRED_MM:
        return "on one side, its line crossing the stock's"
    return "flush on one side" if aside > -CENTRED_MM else "towards one side, just inside the stock's line"


def proud_mm(found: Joint) -> float:
    """How far the scion's cambium stands outside the stock's on the side that meets, in mm; 0 where it is flush or inside."""
    return max(0.0, past_flush_mm(found))


def past_flush_mm(found: Joint) -> float:
    """How far the shift goes past the place where the two lines are flush, in mm; below 0 where it stops short of it."""
    face = face_of(found.cut, found.sizes, ONE)
    return found.shift_mm - abs(face.across - face.half_width)


def reasons(found: Joint, method: Method, unit: str = "mm") -> tuple[str, ...]:
    """Whole sentences: the sizes taken, how to lay the scion, how long to cut, and that it is a model."""
    size = {name: show_length(round(value, 1), unit) for name, value in (
        ("scion", found.sizes.scion), ("stock", found.sizes.stock), ("scion bark", found.sizes.scion_bark),
        ("stock bark", found.sizes.stock_bark), ("shift", found.shift_mm), ("cut", round(found.cut_mm)),
    )}  # fmt: skip
    sentences = [
        f"A scion of {size['scion']} on {size['stock']}, with bark taken as {size['scion bark']} and {size['stock bark']}.",
        _how(found, size["shift"], unit),
        f"Cut {size['cut']} long{_rule(method)}.",
    ]
    if found.cut.shape == "split":
        room = "two such scions, one at either edge" if found.room_for == 2 else "one such scion"
        sentences.append(f"The split has room for {room}.")
    if found.cut.shape == "chord":
        sentences.append("Split it off the centre, where the walls of the split are as wide as the scion.")
    if found.cut.shape == "flat":
        sentences.append("Cut the flat as wide as the scion, no deeper than a quarter of the stem.")
    sentences.append(
        "Reach and bark are assumptions from memory, and the share is a model of the cut faces, not a forecast of take."
    )
    return tuple(sentences)


def _rule(method: Method) -> str:
    """The rule a length of cut was taken from, with whose word it is."""
    cut = cut_of(method)
    times = f", {cut.times:g} times the scion's diameter" if cut is not None and cut.times is not None else ""
    whose = "handbooks" if method.basis in ("published", "common practice") else method.basis
    return f"{times} ({whose}: {method.cut_length})" if method.cut_length else times


def printed_lengths(method: Method) -> tuple[str, ...]:
    """What publications print on the lengths of a method, each with its source; empty where none was read."""
    return tuple(
        f"{limit.cut_length}, in {sources.cite(limit.source)}"
        for limit in methods.limits(method.method)
        if limit.cut_length and limit.basis == "published"
    )


def _how(found: Joint, shift: str, unit: str) -> str:
    if found.alignment == "centred":
        thinner = found.sizes.scion < found.sizes.stock and found.cut.shape in ("slant", "saddle", "chip")
        return f"Set it in the middle{', or match one side where the hand is unsure' if thinner else ''}."
    if found.cut.shape in ("barrel", "shield"):
        return f"Press it {shift} to one side, so that one edge lies close to the wood."
    proud = proud_mm(found)
    outside = f", its cambium {show_length(round(proud, 1), unit)} outside the stock's at the widest"
    crossing = outside if proud >= CENTRED_MM else ""
    return f"Set it {shift} to one side of the middle{crossing}. Match the cambium, not the bark."
