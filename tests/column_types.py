"""What mypy is told of tables: `Graft.made_on`, on the class, is a column of dates; `graft.made_on`, on a row, is a date.

SQLModel declares both as one, so that without this no query can be checked. Named as a plugin in pyproject.toml.
"""

from __future__ import annotations

from collections.abc import Callable

from mypy.nodes import TypeInfo, Var
from mypy.plugin import AttributeContext, Plugin
from mypy.types import Instance, Type

_TABLES = "graftbook.book."


class ColumnTypes(Plugin):
    """Gives the fields of a table, read on its class, the type SQLAlchemy gives them when it maps the class."""

    def get_class_attribute_hook(self, fullname: str) -> Callable[[AttributeContext], Type] | None:
        """The hook for one attribute of one class; None for all that is no field of a table."""
        owner, _, name = fullname.rpartition(".")
        info = self._class(owner) if owner.startswith(_TABLES) and not name.startswith("_") else None
        if info is None or not info.has_base("sqlmodel.main.SQLModel"):
            return None
        kept = info.get(name)
        if kept is None or not isinstance(kept.node, Var) or not kept.node.info.fullname.startswith(_TABLES):
            return None
        return self._column

    def _column(self, context: AttributeContext) -> Type:
        column = self._class("sqlalchemy.orm.attributes.InstrumentedAttribute")
        return Instance(column, [context.default_attr_type]) if column is not None else context.default_attr_type

    def _class(self, fullname: str) -> TypeInfo | None:
        found = self.lookup_fully_qualified(fullname)
        return found.node if found is not None and isinstance(found.node, TypeInfo) else None


def plugin(version: str) -> type[Plugin]:
    """What mypy asks a plugin module for."""
    return ColumnTypes
