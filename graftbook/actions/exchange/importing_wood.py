"""Sticks of imported wood: what each bundle has once its movements are in, and what its grafts draw from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import GRAFTS, MOVES, WOOD
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.wood.drawing import InHand, check_stick, draw, in_hand, usual_buds
from graftbook.book import find
from graftbook.book.wood import Bundle
from graftbook.errors import Refused, UsageProblem
from graftbook.trade.methods import Method


def draw_all(batch: Batch, session: Any, methods: Mapping[str, Method]) -> None:
    """Draw sticks for every graft, in the order of the rows. A graft that brings its own `sticks_drawn` draws so many;
    one without wood draws nothing. Movements and grafts that take more than there is are objected to."""
    hands = _hands(batch, session)
    overdrawn = _moved(batch, hands)
    for sheet, line, values in batch.of(GRAFTS):
        hand = hands.get(values.get("wood", ""))
        if hand is None or hand.code in overdrawn or id(values) in batch.repeated:
            continue
        try:
            _draw(hand, values, methods)
        except UsageProblem as error:
            sheet.object_to(line, "stick", values["stick"], error.expected)
        except Refused as error:
            sheet.object_to(line, "wood", f"{values['wood']} with {error.found}", _accepted(error, values, hand))


def _accepted(error: Refused, values: dict[str, Any], hand: InHand) -> str:
    if "stick left" not in error.expected:
        return error.expected
    return (
        f"a bundle with sticks left: give {hand.code} its sticks, or 0 under sticks_drawn where they were not counted"
    )


def _draw(hand: InHand, values: dict[str, Any], methods: Mapping[str, Method]) -> None:
    stick, given = values.get("stick"), values.get("sticks_drawn")
    buds = values.get("buds") or usual_buds(methods.get(values["method"]), hand.buds_per_stick)
    if stick is not None:
        check_stick(hand, stick)
    if given is None:
        drawn = draw(hand, buds, stick)
        values["sticks_drawn"] = drawn.sticks
        if drawn.buds_left is not None:
            values["buds_left"] = drawn.buds_left
        return
    if given > hand.left:
        raise Refused("a stick left for it", f"{hand.left} left")
    hand.left -= given
    hand.buds_left = values.get("buds_left")
    if stick is not None:
        hand.named[stick] = hand.named.get(stick, 0) + buds


def _hands(batch: Batch, session: Any) -> dict[str, InHand]:
    """Every bundle of these files, and those of the book that these files draw on or move, by code."""
    ids = batch.ids["W"]
    held = in_hand(session, find.by_id(session, Bundle, list(ids.values())).values())
    return {
        code: held[ids[code]]
        if code in ids
        else InHand(code, facts.get("sticks") or 0, facts.get("buds_per_stick"), ever=facts.get("sticks") or None)
        for code, facts in batch.known["W"].items()
    }


def _moved(batch: Batch, hands: dict[str, InHand]) -> set[str]:
    """Put the movements in; the codes of the bundles that they alone leave with less than nothing."""
    last: dict[str, tuple[CsvSheet, int, int]] = {}
    for sheet, line, values in batch.of(MOVES):
        hand = hands.get(values["wood"])
        if hand is not None and id(values) not in batch.repeated:
            hand.left += values["sticks"]
            hand.ever = (hand.ever or 0) + max(values["sticks"], 0) or None
            if values["sticks"] < 0:
                last[hand.code] = (sheet, line, values["sticks"])
    short = {code for code in last if hands[code].left < 0}
    for code in short:
        sheet, line, sticks = last[code]
        accepted = f"no more than there are; {code} would be left with {hands[code].left} sticks"
        sheet.object_to(line, "sticks", sticks, accepted)
    return short


def came_in(batch: Batch, today: Any) -> list[tuple[str, dict[str, Any]]]:
    """The movement by which each bundle of these files came in: the bundle's code and the movement's values."""
    first_use: dict[str, Any] = {}
    for values in batch.values(GRAFTS):
        if "wood" in values:
            first_use[values["wood"]] = min(values["made_on"], first_use.get(values["wood"], today))
    found = []
    for values in batch.values(WOOD):
        if values.get("sticks") is None:
            continue
        received = "source" not in values and ("donor" in values or "received_on" in values)
        kind = values.get("came_as", "received" if received else "saved")
        days = (values.get(name) for name in ("came_on", "received_on", "cut_on", "stored_on"))
        extra = {name: values[f"came_{name}"] for name in ("who", "note", "uid") if f"came_{name}" in values}
        on = next((day for day in days if day is not None), first_use.get(values["code"], today))
        found.append((values["code"], {"kind": kind, "on": on, "sticks": values["sticks"], **extra}))
    return found
