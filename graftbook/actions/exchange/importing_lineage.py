"""Imported namings, synonyms, people, requests and mixed wood: whether they can stand beside each other and the book."""

from __future__ import annotations

from typing import Any

from graftbook.actions.desk import naming
from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import MOVES, NAMINGS, PEOPLE, REQUESTS, SYNONYMS
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.book import asking, lineage_queries
from graftbook.book.lineage import BETWEEN, WoodRequest


def check(batch: Batch, session: Any) -> None:
    """Note on their sheets whatever is wrong with these rows."""
    _namings(batch)
    _mixed(batch, session)
    people = (naming.key(one.name) for one in lineage_queries.people(session))
    batch.once(PEOPLE, "name", people, lambda values: naming.key(values["name"]))
    batch.once(REQUESTS, "number", asking.held_in(session, WoodRequest.number), lambda values: values["number"])
    _synonyms(batch, session)
    for sheet, line, values in batch.of(REQUESTS):
        if "closed_on" in values and values["closed_on"] < values["on"]:
            sheet.object_to(line, "closed_on", values["closed_on"], f"a day from {values['on']} on")


def _namings(batch: Batch) -> None:
    for sheet, line, values in batch.of(NAMINGS):
        if "stick" in values and values["subject"][0] != "W":
            sheet.object_to(line, "stick", values["stick"], "nothing, unless the subject is wood")
        if "candidates" not in values:
            continue
        names = [part.strip() for part in values["candidates"].split(BETWEEN.strip())]
        keys = [naming.key(name) for name in names]
        if not all(keys) or len(set(keys)) < len(keys):
            accepted = f"different cultivars with '{BETWEEN.strip()}' between them, such as Quern Russet | Tolm Beauty"
            sheet.object_to(line, "candidates", repr(values["candidates"]), accepted)
        else:
            values["candidates"] = BETWEEN.join(names)


def _synonyms(batch: Batch, session: Any) -> None:
    held = {naming.key(row.name): naming.key(row.preferred) for row in lineage_queries.synonyms(session)}
    for sheet, line, values in batch.of(SYNONYMS):
        if id(values) in batch.repeated:
            continue
        name, preferred = naming.key(values["name"]), naming.key(values["preferred"])
        if name in held:
            sheet.object_to(line, "name", values["name"], "each name as a synonym once; this one is there already")
        elif name == preferred or _leads(held, preferred, name):
            accepted = f"a name that is not itself called {values['name']}"
            sheet.object_to(line, "preferred", values["preferred"], accepted)
        else:
            held[name] = preferred


def _leads(held: dict[str, str], start: str, end: str) -> bool:
    at, seen = start, set[str]()
    while at in held and at not in seen:
        seen.add(at)
        at = held[at]
    return at == end


def _mixed(batch: Batch, session: Any) -> None:
    """Mixed sticks go into another bundle, never round in a circle; other movements go into none."""
    rows = [(sheet, line, values) for sheet, line, values in batch.of(MOVES) if values["kind"] == "mixed"]
    for sheet, line, values in batch.of(MOVES):
        if values["kind"] != "mixed" and "into" in values:
            sheet.object_to(line, "into", values["into"], "nothing, unless the kind is mixed")
    into: dict[str, set[str]] = {}
    for wood, new in lineage_queries.mixed_codes(session) if rows else ():
        into.setdefault(wood, set()).add(new)
    for sheet, line, values in rows:
        _one_mixed(sheet, line, values, into)


def _one_mixed(sheet: CsvSheet, line: int, values: dict[str, Any], into: dict[str, set[str]]) -> None:
    if "into" not in values:
        sheet.object_to(line, "into", "nothing", "the bundle that the mixed sticks became, such as W12")
        return
    if values["sticks"] > 0:
        sheet.object_to(line, "sticks", values["sticks"], "a number from 0 down for sticks mixed")
    if values["wood"] in _reached(into, values["into"]):
        sheet.object_to(line, "into", values["into"], f"wood that {values['wood']} itself was not mixed from")
    into.setdefault(values["wood"], set()).add(values["into"])


def _reached(into: dict[str, set[str]], start: str) -> set[str]:
    found, waiting = {start}, [start]
    while waiting:
        for new in into.get(waiting.pop(), ()):
            if new not in found:
                found.add(new)
                waiting.append(new)
    return found
