"""What has no plan: a new tree, new stocks, a pruning and the wood saved from it, wood that came, a graft."""

from __future__ import annotations

from collections.abc import Sequence

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.actions.grafts import graft_text, grafting
from graftbook.actions.plants import plant_text, plants
from graftbook.actions.trade import trade_tables
from graftbook.actions.wood import prunes, wood
from graftbook.errors import UsageProblem
from graftbook.web.asking import Asking, FormLine, first_code, routes
from graftbook.web.visit import Visit

ON = FormLine("on", "Day", "Nothing for today; yesterday, -3d or a date.", apart=True)
NOTE = FormLine("note", "Note", kind="long", apart=True)
STANDS = (
    FormLine("place", "Place", "Where it stands."), FormLine("row", "Row", apart=True),
    FormLine("order", "Number in the row", apart=True),
)  # fmt: skip
STORED = (
    FormLine("store", "Where it is put", "Such as fridge."),
    FormLine("temperature", "Temperature there", "Such as 3C or 38F."),
)
PLANT = ("cultivar", "species", "clone", "place", "row", "order", "acquired", "diameter", "note")


def whole(text: str | None, what: str, usual: int | None = None) -> int:
    """A whole number as typed, `usual` where nothing was. Raises UsageProblem for anything else."""
    if text is None and usual is not None:
        return usual
    if text is None or not text.isdecimal() or len(text) > 7:
        raise UsageProblem(f"{what}, as a whole number", repr(text or ""))
    return int(text)


def method_names(at: Desk) -> list[tuple[str, str]]:
    """Every method of grafting, as the tables and the grower's own rows name them."""
    names = dict.fromkeys(row.method for row in trade_tables.show_table(at, "methods").rows)
    return [(name, name) for name in names]


def _tree(_at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("cultivar", "Cultivar", "Nothing where it is not known."), FormLine("species", "Kind", "Such as apple or pear."),
        *STANDS, FormLine("clone", "Rootstock it stands on", apart=True), FormLine("acquired", "When it came", apart=True), NOTE,
    )  # fmt: skip


def _stock(_at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("clone", "Rootstock", "Such as MM.106; seedling for seedlings."),
        FormLine("count", "How many alike", kind="number", value="1"),
        FormLine("diameter", "Thickness", "Such as 9mm or 3/8in."), *STANDS,
        FormLine("species", "Kind", "For seedlings, such as apple."),
        FormLine("acquired", "When they came", apart=True), NOTE,
    )  # fmt: skip


def _plant(kind: str, visit: Visit, at: Desk) -> Recorded:
    words = plant_text.PlantWords(**visit.words(*PLANT))
    number = whole(visit.typed("count"), "how many", 1)
    return plants.add(at, kind, words, number, visit.typed("on"))


def _prune(_at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("code", "Tree", "Its code, such as P3.", must=True),
        FormLine("save", "Wood saved", "Such as: 24 sticks 6-9mm 30cm 6 buds. Nothing where none was.", kind="long"),
        *STORED, FormLine("thinning", "Thinning cuts", kind="number", apart=True),
        FormLine("heading", "Heading cuts", kind="number", apart=True),
        FormLine("removed", "Share of the canopy taken", "Such as 30%.", apart=True),
        FormLine("source", "Cut from a graft or a limb of it", "Its code or name.", apart=True),
        FormLine("summer", "Summer bud wood", kind="tick", apart=True), ON, NOTE,
    )  # fmt: skip


def _pruned(visit: Visit, at: Desk) -> Recorded:
    cuts = {
        name: whole(text, f"{name} cuts") for name in ("thinning", "heading") if (text := visit.typed(name)) is not None
    }
    texts = visit.words("removed", "store", "temperature", "source")
    saves = tuple(line.strip() for line in (visit.typed("save") or "").splitlines() if line.strip())
    words = prunes.PruneWords(thinning=cuts.get("thinning"), heading=cuts.get("heading"), saves=saves,
                              summer=visit.typed("summer") is not None, **texts)  # fmt: skip
    return prunes.prune(at, visit.typed("code") or "", words, visit.typed("on"), None, visit.typed("note"))


def _to_wood(done: Recorded) -> str:
    """The page of the first bundle saved, else of what was pruned."""
    return f"/{next((code for code in done.codes if code[0] == 'W'), done.codes[0])}"


def _wood(_at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("cultivar", "Cultivar"), FormLine("species", "Kind", "Such as apple."), FormLine("donor", "From whom"),
        FormLine("sticks", "Sticks", kind="number", must=True), FormLine("diameter", "Thickness", "Such as 6-9mm."),
        FormLine("buds", "Buds a stick", kind="number"), *STORED, FormLine("length", "Length of a stick", apart=True),
        FormLine("cut", "When it was cut", apart=True), FormLine("received", "When it came", apart=True), NOTE,
    )  # fmt: skip


def _came(visit: Visit, at: Desk) -> Recorded:
    names = (
        "cultivar",
        "species",
        "donor",
        "diameter",
        "length",
        "buds",
        "cut",
        "received",
        "store",
        "temperature",
        "note",
    )
    words = wood.WoodWords(**visit.words(*names))
    return wood.add(at, words, whole(visit.typed("sticks"), "how many sticks"))


def _graft(at: Desk) -> Sequence[FormLine]:
    return (
        FormLine("wood", "Wood", "Its code, such as W7, or of one stick, W7/3.", must=True),
        FormLine("hosts", "On", "Stocks, trees or grafts, such as P12 or P12-P15.", must=True),
        FormLine("method", "Method", kind="select", choices=[("", "choose"), *method_names(at)]),
        FormLine("buds", "Buds on each scion", kind="number"), FormLine("tie", "Tied with", "Such as rubber or tape."),
        FormLine("tag", "Blank tag used", "Its code, such as G105-K."), FormLine("seal", "Sealed with", apart=True),
        FormLine("scion", "Scion's thickness", apart=True), FormLine("stock", "Stock's thickness", apart=True),
        FormLine("limb", "Limb", apart=True), FormLine("position", "Where on it", apart=True),
        FormLine("yes", "Record it even if the tables call it impossible", kind="tick", apart=True), ON, NOTE,
    )  # fmt: skip


def _made(visit: Visit, at: Desk) -> Recorded:
    names = ("buds", "scion", "stock", "tie", "seal", "limb", "position", "note")
    words = graft_text.GraftWords(**visit.words(*names))
    return grafting.graft(
        at, visit.typed("wood") or "", visit.typed("hosts") or "", visit.typed("method") or "", words, on=visit.typed("on"),
        yes=visit.typed("yes") is not None, tag=visit.typed("tag"),
    )  # fmt: skip


FORMS = (
    Asking(
        "/new/tree", "A new tree", "Add the tree", _tree, lambda visit, at: _plant("tree", visit, at), first_code("/")
    ),
    Asking(
        "/new/stock", "New stocks", "Add them", _stock, lambda visit, at: _plant("stock", visit, at), first_code("/")
    ),
    Asking(
        "/new/prune",
        "Prune, and save wood",
        "Record it",
        _prune,
        _pruned,
        _to_wood,
    ),
    Asking("/new/wood", "Wood that came", "Add it", _wood, _came, first_code("/store")),
    Asking("/new/graft", "A graft", "Record it", _graft, _made, first_code("/")),
)
ROUTES = tuple(route for form in FORMS for route in routes(form))
