"""What stands on the tag of each thing, the most important first: code, name, what it is on, method and day, place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlmodel import Session

from graftbook import units
from graftbook.actions.desk.sorting import natural, walked
from graftbook.actions.names import shown_names
from graftbook.actions.names.shown_names import Shown
from graftbook.actions.outcome import standing_place
from graftbook.book import find, graft_queries
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.wood import Bundle
from graftbook.codes import with_check

SHORT_METHODS = {"whip-and-tongue": "W&T", "side-veneer": "veneer", "modified-cleft": "mod. cleft"}

Forms = tuple[str, ...]


class Words:
    """The words of some rows, everything they point to fetched at once. `site` is the address before codes, '' for none."""

    def __init__(self, session: Session, rows: Sequence[Any], site: str = "") -> None:
        grafts = [row for row in rows if isinstance(row, Graft)]
        bundles = [row for row in rows if isinstance(row, Bundle)]
        self._site = site
        above = [graft.host_graft_id for graft in grafts] + [bundle.cut_graft_id for bundle in bundles]
        self._hosts = find.by_id(session, Graft, above)
        self._feet = graft_queries.foot_plants(session, grafts)
        self._plants = find.by_id(session, Plant, [bundle.cut_plant_id for bundle in bundles])
        under = [self._feet[graft.id] for graft in grafts if graft.host_graft_id is None]
        self._names = shown_names.of(session, [*rows, *under])

    def tag(self, row: Any) -> Any:
        """The tag of one row."""
        return tag(row.code, self._lines(row), self._site)

    def _lines(self, row: Any) -> list[Forms]:
        if isinstance(row, Graft):
            return self._graft(row)
        return self._wood(row) if isinstance(row, Bundle) else plant(row, self._names.of(row))

    def place(self, row: Any) -> tuple[Any, ...]:
        """A key that sorts rows as they are walked to: place, row, order and code; what has no place comes last."""
        return *walked(*self.stands(row)), row.code[0], row.number

    def stands(self, row: Any) -> tuple[str | None, str | None, int | None]:
        """Where a row stands or lies: place or store, row, order; a graft where the plant at its foot stands."""
        if isinstance(row, Bundle):
            return row.store, None, None
        return (
            standing_place.of_graft(row.place, self._feet[row.id])
            if isinstance(row, Graft)
            else (row.place, row.row, row.order)
        )

    def bench(self, row: Any) -> tuple[Any, ...]:
        """A key that sorts rows as a bench works: by cultivar, then by what it is on; what has no cultivar comes last."""
        cultivar = self._names.of(row).cultivar
        on = self._on(row) if isinstance(row, Graft) else ""
        return cultivar is None, natural(cultivar or ""), natural(on), row.code[0], row.number

    def kind(self, row: Any) -> str:
        """What a thing is for a count of its like: the cultivar and what it is on, or what stock or tree it is."""
        shown = self._names.of(row)
        if isinstance(row, Graft):
            return f"{shown.name or 'unnamed'} on {self._on(row)}"
        return " ".join(forms[0] for forms in plant(row, shown)[:2] if forms and forms[0])

    def line(self, row: Any) -> str:
        """What a row is, in a line: the lines of its tag but for the place."""
        return ", ".join(forms[0] for forms in self._lines(row)[:-1] if forms and forms[0])

    def _on(self, graft: Graft) -> str:
        if graft.host_graft_id is not None:
            return self._hosts[graft.host_graft_id].code
        host = self._feet[graft.id]
        return host.clone or self._names.of(host).name or host.code

    def _graft(self, graft: Graft) -> list[Forms]:
        day = graft.made_on.isoformat()
        short = SHORT_METHODS.get(graft.method, graft.method)
        return [
            self._names.of(graft).forms,
            (f"on {self._on(graft)}",),
            (f"{graft.method} {day}", f"{short} {day}", day),
            (where(*standing_place.of_graft(graft.place, self._feet[graft.id])),),
        ]

    def _wood(self, bundle: Bundle) -> list[Forms]:
        source = self._plants.get(bundle.cut_plant_id or 0) or self._hosts.get(bundle.cut_graft_id or 0)
        cut = f"cut {bundle.cut_on.isoformat()}" if bundle.cut_on is not None else ""
        origin = f"from {source.code}" if source is not None else f"from {bundle.donor}" if bundle.donor else ""
        size = units.show_range(bundle.diameter_min_mm, bundle.diameter_max_mm)
        return [
            self._names.of(bundle).forms, (f"{cut} {origin}".strip(), cut), (size,), (bundle.store or "",),
        ]  # fmt: skip


def plant(row: Plant, shown: Shown) -> list[Forms]:
    """What stands on the tag of a plant that is called so."""
    here = (where(row.place or row.site, row.row, row.order),)
    if shown.cultivar is not None:
        return [shown.forms, (f"on {row.clone}" if row.clone else shown.kind or "",), here]
    if row.clone:
        return [(row.clone,), (shown.kind or "",), here]
    return [shown.forms or (row.kind,), ("",), here]


def where(place: str | None, row: str | None, order: int | None) -> str:
    """`home row, row 2, no. 5`, as much of it as is known."""
    parts = [place or "", f"row {row}" if row else "", f"no. {order}" if order is not None else ""]
    return ", ".join(part for part in parts if part)


def tag(code: str, lines: Sequence[Forms] = (), site: str = "", to_write: tuple[str, ...] = ()) -> Any:
    """A tag with a code, its check character, and lines of ever shorter forms: the first is the name that people read, the
    others may be left out. `to_write`: what is to be written by hand on a blank one."""
    from labels.layout import Line, Tag
    from labels.payload import address

    head = with_check(code)
    kept = [tuple(form for form in forms if form) for forms in lines]
    name, *rest = [forms for forms in kept if forms] or [()]
    payload = address(site, head) if site else head
    return Tag(payload, head, tuple(Line(forms, optional=True) for forms in rest), name, to_write)
