"""What a column may hold: its range, the length of its text, its words.

Each is written once, in the class that validates the table. The constraints of the database, the shapes of the CSV files
and the verbs all read it from there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType, NoneType
from typing import Annotated, Any, NamedTuple, get_args, get_origin

from annotated_types import Ge, GroupedMetadata, Le
from pydantic import AfterValidator, AllowInfNan, BaseModel
from sqlalchemy import CheckConstraint

from graftbook.units import Limit

SHORT, LONG = 200, 4000
"""The most signs of a name or a word, and of a note."""


@dataclass(frozen=True)
class AllowedWords(GroupedMetadata):
    """Text that may only be one of these words."""

    words: tuple[str, ...]

    def __iter__(self) -> Iterator[Any]:
        yield AfterValidator(self._one)

    def _one(self, value: str) -> str:
        if value not in self.words:
            raise ValueError(f"must be one of {', '.join(self.words)}")
        return value


@dataclass(frozen=True)
class Within(GroupedMetadata):
    """A length in mm within the limit of the thing measured."""

    limit: Limit

    def __iter__(self) -> Iterator[Any]:
        yield from (Ge(self.limit.low), Le(self.limit.high), AllowInfNan(False))


class Limits(NamedTuple):
    """What one column may hold: values of type `holds`, numbers from `low` to `high`, lengths within `length` in mm, text of
    at most `longest` signs, one of `words`. None or no words: not limited so."""

    holds: type
    low: float | None = None
    high: float | None = None
    length: Limit | None = None
    longest: int | None = None
    words: tuple[str, ...] = ()


_SAID = MappingProxyType({"low": "ge", "high": "le", "longest": "max_length"})


@cache
def of(table: type[BaseModel], column: str) -> Limits:
    """The limits of a column of a table or of its fields. Raises KeyError for a column it has not got."""
    field = table.model_fields[column]
    rules = [*field.metadata, *_rules(field.annotation)]
    found = Limits(next(rule for rule in rules if isinstance(rule, type) and rule is not NoneType))
    for rule in rules:
        if isinstance(rule, AllowedWords):
            found = found._replace(words=rule.words)
        elif isinstance(rule, Within):
            found = found._replace(length=rule.limit)
        elif not isinstance(rule, type):
            held = {name: getattr(rule, attribute, None) for name, attribute in _SAID.items()}
            found = found._replace(**{name: value for name, value in held.items() if value is not None})
    return found


def bounds(table: type[BaseModel], column: str) -> tuple[int, int]:
    """The least and the greatest whole number a column may hold. Raises TypeError where it has no such bounds."""
    found = of(table, column)
    if found.low is None or found.high is None:
        raise TypeError(f"{table.__name__}.{column} is not bounded at both ends")
    return int(found.low), int(found.high)


def length(table: type[BaseModel], column: str) -> Limit:
    """The limit of a length. Raises TypeError for a column that holds none."""
    found = of(table, column).length
    if found is None:
        raise TypeError(f"{table.__name__}.{column} is no length")
    return found


def constraints(fields: type[BaseModel], *names: str) -> tuple[CheckConstraint, ...]:
    """What the database holds of these fields: the words of every column that has words, and the bounds of those named.

    A name is the column and, after an underscore, `low` where the database keeps only the lowest number, or a word for a
    range. Names are those of the migrations and never change.
    """
    listed = {column: of(fields, column).words for column in fields.model_fields}
    return (
        *(CheckConstraint(f"{column} IN ({', '.join(map(repr, words))})", name=f"{column}_word")
          for column, words in listed.items() if words),
        *(CheckConstraint(_bound(fields, name), name=name) for name in names),
    )  # fmt: skip


def _bound(fields: type[BaseModel], name: str) -> str:
    column, _, kind = name.rpartition("_")
    found = of(fields, column)
    return f"{column} >= {found.low}" if kind == "low" else f"{column} BETWEEN {found.low} AND {found.high}"


def _rules(annotation: Any) -> Iterator[Any]:
    """What is annotated, and the types, of a type written as `Annotated[int, ...] | None`."""
    if get_origin(annotation) is Annotated:
        yield from annotation.__metadata__
    parts = get_args(annotation) or (annotation,)
    for part in parts:
        yield from _rules(part) if part is not annotation else (part,)
