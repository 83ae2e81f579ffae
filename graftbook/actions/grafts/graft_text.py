"""What a person says of a graft, read into the values the book keeps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.typed import values_of, whole
from graftbook.actions.plants import plant_text
from graftbook.book import limits
from graftbook.book.grafts import Graft
from graftbook.errors import Refused, UsageProblem
from graftbook.lineage import positions

_PLAIN = ("tie", "seal", "place", "limb", "position", "trial", "block", "note")


@dataclass(frozen=True)
class GraftWords:
    """Facts of a graft as typed. None means not said; an empty text means it is not known (any more)."""

    buds: str | None = None
    scion: str | None = None
    stock: str | None = None
    tie: str | None = None
    seal: str | None = None
    tied: str | None = None
    place: str | None = None
    stage: str | None = None
    bench: bool | None = None
    limb: str | None = None
    bearing: str | None = None
    height: str | None = None
    position: str | None = None
    trial: str | None = None
    block: str | None = None
    note: str | None = None


def read(desk: Desk, words: GraftWords) -> dict[str, Any]:
    """The values of what was said, by the book's own names. Raises UsageProblem and Refused for what cannot be."""
    sizes = {"scion": "scion_mm", "stock": "stock_mm", "height": "height_mm"}
    buds, today = limits.bounds(Graft, "buds"), desk.today
    readers: dict[str, tuple[str, Any]] = {name: (name, str.strip) for name in _PLAIN}
    for name, column in sizes.items():
        readers[name] = (column, partial(desk.length, limit=limits.length(Graft, column)))
    readers |= {
        "buds": ("buds", lambda text: whole(text, "the buds on a scion", *buds)),
        "tied": ("tied_on", desk.day),
        "stage": ("stage", lambda text: plant_text.stage_values(text, None, today)["stage"]),
        "bearing": ("bearing_deg", positions.bearing),
    }
    values = values_of(words, readers)
    if words.bench is not None:
        values["bench"] = words.bench
    return values


def check_buds(method: str, is_bud: bool, buds: int | None) -> None:
    """Refuse more than one bud for a method that puts on a single bud."""
    if is_bud and buds is not None and buds != 1:
        raise UsageProblem(f"one bud for {method}", f"{buds} buds", "Record two buds on one stock as two grafts")


def check_tied(values: Mapping[str, Any], made_on: Any) -> None:
    """Refuse a tie put on before the graft was made."""
    tied = values.get("tied_on")
    if tied is not None and tied < made_on:
        raise Refused(f"the tie is dated {tied.isoformat()}, before the graft was made on {made_on.isoformat()}")
