"""Names in imported rows brought to the book's spelling: kinds of plant, cultivars, rootstocks, methods, stages.

Rows that carry a uid come out of a book already and keep their names exactly; of others, what people typed is kept beside
the preferred name, and what nobody said is taken from the rootstock or the cultivar where one thing alone is known of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from graftbook.actions.desk import naming
from graftbook.actions.desk.results import count
from graftbook.actions.desk.typed import nearest_word
from graftbook.actions.exchange.csv_files import CsvSheet
from graftbook.actions.exchange.csv_shapes import GRAFTS, NOTES, PLANTS, STAGES, WANTS, WOOD, Shape
from graftbook.actions.exchange.importing_batch import Batch
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import wood_source
from graftbook.book import bulk
from graftbook.book.ledger import HEALTH_WORDS
from graftbook.errors import UsageProblem
from graftbook.trade import clones, stages, taxa
from graftbook.trade.methods import Method


def settle(batch: Batch, session: Any) -> Mapping[str, Method]:
    """Every name as the book spells it, and the methods by their keys; names nobody knows are noted or objected to."""
    methods = own_tables.all_methods(session)
    cultivars = naming.Cultivars.of(session)
    readers: dict[str, Callable[[str], naming.Name]] = {"taxon": _taxon, "clone": _clone, "cultivar": cultivars.name}
    for shape, fields in (
        (PLANTS, ("taxon", "clone", "cultivar")), (WOOD, ("taxon", "cultivar")), (WANTS, ("cultivar", "clone")), (STAGES, ()),
    ):  # fmt: skip
        for sheet, line, values in batch.of(shape):
            if "uid" not in values:
                _names(batch, shape, values, {field: readers[field] for field in fields if field in values})
                _stage_word(sheet, line, values)
    _kinds(batch, session)
    named = lru_cache(maxsize=None)(lambda text: _method(session, text))
    for sheet, line, values in batch.of(GRAFTS):
        _graft_names(sheet, line, values, named)
    for sheet, line, values in batch.of(NOTES):
        _health_word(sheet, line, values)
    return methods


def _names(
    batch: Batch, shape: Shape, values: dict[str, Any], readers: dict[str, Callable[[str], naming.Name]]
) -> None:
    for field, read in readers.items():
        name = read(values[field])
        values[field] = name.kept
        if name.typed is not None and f"{field}_typed" in shape.headers:
            values.setdefault(f"{field}_typed", name.typed)
        if name.note is not None:
            batch.note(name.note)


_taxon = lru_cache(maxsize=4096)(naming.taxon)

_clone = lru_cache(maxsize=4096)(naming.clone)

_stage = lru_cache(maxsize=4096)(stages.find)


def _stage_word(sheet: CsvSheet, line: int, values: dict[str, Any]) -> None:
    text = values.get("stage")
    if text is None:
        return
    found = _stage(text)
    if found is None:
        near = stages.suggest(text) or tuple(stage.word for stage in stages.all())
        sheet.object_to(line, "stage", repr(text), f"a growth stage, such as {', '.join(near)}")
    else:
        values["stage"] = found.word


def _kinds(batch: Batch, session: Any) -> None:
    """The kind of plant where no row says it: that of the rootstock, else the only one known for the cultivar."""
    known: dict[str, set[str]] = {}
    for cultivar, taxon in bulk.kinds_of_cultivars(session):
        known.setdefault(naming.key(cultivar), set()).add(taxon)
    rows = [values for values in batch.values(PLANTS, WOOD) if "uid" not in values]
    for values in rows:
        if "cultivar" in values and "taxon" in values:
            known.setdefault(naming.key(values["cultivar"]), set()).add(values["taxon"])
    for values in rows:
        if "taxon" not in values and "source" not in _cut_from(values):
            found = _kind(values, known)
            if found is not None:
                values["taxon"] = found
    bare = sum("taxon" not in values and "source" not in _cut_from(values) for values in rows)
    if bare:
        batch.note(f"{count(bare, 'row')} of plants or wood name no kind, so nothing is known of what they join to.")


def _cut_from(values: dict[str, Any]) -> dict[str, Any]:
    """The row where it is one of wood; plants have a `source` of another meaning."""
    return {} if "kind" in values else values


def _kind(values: dict[str, Any], known: Mapping[str, set[str]]) -> str | None:
    clone = clones.find(values["clone"]) if values.get("kind") == "stock" and "clone" in values else None
    if clone is not None:
        return clone.taxon
    held = known.get(naming.key(values["cultivar"]), set()) if "cultivar" in values else set()
    if not held and "cultivar" in values:
        held = _shipped_kinds().get(naming.key(values["cultivar"]), set())
    return next(iter(held)) if len(held) == 1 else None


@lru_cache(maxsize=1)
def _shipped_kinds() -> Mapping[str, set[str]]:
    found: dict[str, set[str]] = {}
    for taxon in taxa.all():
        for name in taxon.cultivars:
            found.setdefault(naming.key(name), set()).add(taxon.taxon)
    return found


def _method(session: Any, text: str) -> Method | UsageProblem:
    try:
        return own_tables.method_named(session, text)
    except UsageProblem as error:
        return error


def _graft_names(
    sheet: CsvSheet, line: int, values: dict[str, Any], named: Callable[[str], Method | UsageProblem]
) -> None:
    found = named(values["method"])
    if isinstance(found, UsageProblem):
        sheet.object_to(line, "method", repr(values["method"]), f"{found.expected}. {found.next_step}".rstrip("."))
        return
    values["method"] = found.method
    values.setdefault("unit", "bud" if found.is_bud else "graft")
    if "uid" not in values:
        _stage_word(sheet, line, values)
        if "tie" in values:
            values.setdefault("tied_on", values["made_on"])


def _health_word(sheet: CsvSheet, line: int, values: dict[str, Any]) -> None:
    if values["kind"] != "health":
        return
    word = nearest_word(values["status"], HEALTH_WORDS)
    if word is None:
        sheet.object_to(line, "status", repr(values["status"]), f"one of {', '.join(HEALTH_WORDS)} for a health note")
    else:
        values["status"] = word


def takes_after(batch: Batch, shape: Shape, values: dict[str, Any]) -> None:
    """Give wood the kind and cultivar of what it was cut from, and a graft the place of its host, where its row gives none
    and brings no uid; what they take after must be settled before."""
    if "uid" in values:
        return
    if shape is GRAFTS:
        host = batch.fact(values["host"])
        if host is not None and "place" not in values and host.get("place") is not None:
            values["place"] = host["place"]
        return
    parent = _parent(batch, values)
    for field in ("taxon", "cultivar"):
        if field not in values and parent.get(field) is not None:
            values[field] = parent[field]


def _parent(batch: Batch, values: dict[str, Any]) -> dict[str, Any]:
    """What wood takes from its source: of a graft, what its own wood is; of a rootstock without cultivar, the clone, unless
    something was grafted on it by the day the wood was cut (ever, where the day is not known)."""
    source = batch.fact(values.get("source"))
    if source is None:
        return {}
    if values["source"][0] == "G":
        return source if "wood" not in source else batch.fact(source["wood"]) or {}
    own = wood_source.gives_its_clone(source.get("kind"), source.get("cultivar"), source.get("clone"))
    first, cut = batch.grafted.get(values["source"]), values.get("cut_on", values.get("received_on"))
    grafted = first is not None and (cut is None or first <= cut)
    return {**source, "cultivar": source["clone"]} if own and not grafted else source
