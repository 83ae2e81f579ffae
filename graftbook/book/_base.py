"""What every table shares: named constraints, a uid that survives merging, and fields that validate.

A SQLModel class with `table=True` validates nothing, so each thing has a plain base class that does, and the table
class only adds keys. The database holds some of these rules once more as constraints (limits.constraints), under names
fixed by the convention below, so that a later migration can find them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, ClassVar

from annotated_types import Ge, Le
from pydantic import AllowInfNan, StringConstraints
from sqlalchemy import FromClause
from sqlmodel import Field, SQLModel

from graftbook import units
from graftbook.book.limits import LONG, SHORT, Within

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}

NO_REUSE = {"sqlite_autoincrement": True}
"""For every table: an id once given is never given again, so that a row can come back under its own."""

ShortText = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=SHORT)]
LongText = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=LONG)]
Celsius = Annotated[float, Ge(-40), Le(60), AllowInfNan(False)]
ScionDiameter = Annotated[float, Within(units.SCION_DIAMETER)]
Number = Annotated[int, Ge(1), Le(1_000_000)]
"""The number that something without a code is known by."""


def code_of(letter: str) -> StringConstraints:
    """The rule of text that holds a code of one kind."""
    return StringConstraints(pattern=rf"^{letter}[1-9]\d*$", max_length=12)


class Numbered(SQLModel):
    """`id` is the number of the row in this book: an int to whoever reads it, unset until the row is flushed."""

    if TYPE_CHECKING:
        __table__: ClassVar[FromClause]
        __tablename__: ClassVar[str]
    id: int = Field(default=None, primary_key=True)


class Row(Numbered):
    """A thing kept in the book: `uid` (UUIDv7) the same in every copy and after merging."""

    uid: str = Field(max_length=36, unique=True)
