"""Books filled straight through the record, for tests of what reads them."""

from __future__ import annotations

from datetime import date
from typing import Any

from graftbook.book.grafts import Care, Graft, Look
from graftbook.book.plants import Plant
from graftbook.book.unit import Book, Unit
from graftbook.book.wood import Bundle, Movement


def day(text: str) -> date:
    """`2027-05-01`, or `05-01` in 2027."""
    return date.fromisoformat(text if len(text) == 10 else f"2027-{text}")


class Filling:
    """One unit of work in which things are added by short words; commits when the block ends."""

    def __init__(self, location: str) -> None:
        self.book = Book(location)
        self.writing = self.book.write("filling")

    def __enter__(self) -> Filling:
        self.unit: Unit = self.writing.__enter__()
        return self

    def __exit__(self, kind, error, trace) -> None:
        if kind is None:
            self.unit.commit("Filled")
        self.writing.__exit__(kind, error, trace)
        self.book.close()

    def _numbered(self, table: Any, letter: str, values: dict[str, Any]) -> Any:
        number = self.unit.next_number(letter)
        return self.unit.add(table, number=number, code=f"{letter}{number}", **values)

    def stock(
        self, taxon: str = "Malus domestica", clone: str | None = "MM.106", mm: float | None = 9.0, **more: Any
    ) -> Plant:
        """A stock."""
        return self._numbered(Plant, "P", {"kind": "stock", "taxon": taxon, "clone": clone, "diameter_mm": mm, **more})

    def wood(
        self, taxon: str = "Malus domestica", cultivar: str = "Stoneway Pearmain", sticks: int = 500, **more: Any
    ) -> Bundle:
        """A bundle with sticks in it."""
        values = {"taxon": taxon, "cultivar": cultivar, "cut_on": day("01-14"), "buds_per_stick": 6, **more}
        values = {"diameter_min_mm": 7.0, "diameter_max_mm": 9.0, **values}
        row = self._numbered(Bundle, "W", values)
        self.unit.add(Movement, bundle_id=row.id, on=day("01-14"), kind="saved", sticks=sticks)
        return row

    def graft(
        self, wood: Bundle, host: Plant | Graft, method: str = "cleft", made: str = "04-01", **more: Any
    ) -> Graft:
        """A graft, drawing one stick."""
        key = "host_plant_id" if isinstance(host, Plant) else "host_graft_id"
        values = {"method": method, "made_on": day(made), "bundle_id": wood.id, key: host.id, "sticks_drawn": 1, **more}
        return self._numbered(Graft, "G", values)

    def looks(self, graft: Graft, story: str, **more: Any) -> None:
        """`05-20 pushing, 07-01 dead`."""
        for part in story.split(","):
            on, state = part.split()
            self.unit.add(Look, graft_id=graft.id, on=day(on), state=state, **more)

    def care(self, graft: Graft, on: str, what: str) -> None:
        """Aftercare done to one graft."""
        self.unit.add(Care, graft_id=graft.id, on=day(on), what=what)
