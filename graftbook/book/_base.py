"""What every table shares: named constraints, a uid that survives merging, and fields that validate.

A SQLModel class with `table=True` validates nothing, so each thing has a plain base class that does, and the table
class only adds keys. The database holds the same rules once more as constraints, under names fixed by the convention
below, so that a later migration can find them.
"""

from __future__ import annotations

from typing import Annotated

from annotated_types import Ge, Le
from pydantic import AfterValidator, AllowInfNan, StringConstraints
from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}

NO_REUSE = {"sqlite_autoincrement": True}
"""For every table: an id once given is never given again, so that a row can come back under its own."""

ShortText = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
LongText = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000)]
Millimetres = Annotated[float, Ge(0), Le(20000), AllowInfNan(False)]


def word_of(*words: str):
    """A text field that may only hold one of these words."""

    def check(value: str) -> str:
        if value not in words:
            raise ValueError(f"must be one of {', '.join(words)}")
        return value

    return Annotated[str, AfterValidator(check)]


def code_of(letter: str):
    """A text field that holds a code of one kind."""
    return Annotated[str, StringConstraints(pattern=rf"^{letter}[1-9]\d*$", max_length=12)]


def only(column: str, *words: str) -> CheckConstraint:
    """The same rule in the database."""
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_word")


def at_least(column: str, low: float) -> CheckConstraint:
    """A number that may not fall below `low`, in the database."""
    return CheckConstraint(f"{column} >= {low}", name=f"{column}_low")


class Numbered(SQLModel):
    """`id` is the number of the row in this book: an int to whoever reads it, unset until the row is flushed."""

    id: int = Field(default=None, primary_key=True)


class Row(Numbered):
    """A thing kept in the book: `uid` (UUIDv7) the same in every copy and after merging."""

    uid: str = Field(max_length=36, unique=True)
