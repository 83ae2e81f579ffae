"""The trade's tables with this grower's own rows before them."""

from __future__ import annotations

from collections.abc import Mapping

from sqlmodel import Session

from graftbook.actions.desk import naming
from graftbook.actions.trade import printers
from graftbook.book import find
from graftbook.errors import UsageProblem
from graftbook.trade import keeping, methods, own, pairs
from graftbook.trade.keeping import KeepingRow
from graftbook.trade.methods import Method
from graftbook.trade.pairs import PairRow


def own_pairs(session: Session) -> tuple[PairRow, ...]:
    """The grower's own statements about pairs."""
    return tuple(pairs.from_row(row) for row in find.own_rows(session, "pairs"))


def own_keeping(session: Session) -> tuple[KeepingRow, ...]:
    """The grower's own rows on keeping."""
    return tuple(keeping.from_row(row) for row in find.own_rows(session, "keeping"))


def parse(table: str, fields: Mapping[str, str]) -> Mapping[str, str]:
    """A row of the grower's own, checked: one of the trade's tables, a medium to print tags on, or a printer.

    Raises UsageProblem naming everything that cannot stand.
    """
    if table == "media":
        from labels import media
        from labels.errors import BadMedium

        try:
            return media.to_fields(media.from_fields(fields))
        except BadMedium as error:
            raise UsageProblem(error.expected, error.found, error.next_step) from error
    if table == "printers":
        return printers.parse(fields)
    return own.parse(table, fields)


def all_methods(session: Session) -> dict[str, Method]:
    """Every method by its key; the grower's own stand in for those of the same name."""
    known = {method.method: method for method in methods.all()}
    known.update((row["method"], methods.from_row(row)) for row in find.own_rows(session, "methods"))
    return known


def method_named(session: Session, text: str) -> Method:
    """The method by any of its names. Raises UsageProblem with the nearest ones."""
    wanted = naming.key(text)
    for method in reversed(all_methods(session).values()):
        if wanted in (naming.key(name) for name in (method.method, *method.names)):
            return method
    found = methods.find(text)
    if found is not None:
        return found
    near = ", ".join(methods.suggest(text) or all_methods(session))
    raise UsageProblem("a method of grafting", repr(text), f"Did you mean {near}? See: graftbook trade methods")
