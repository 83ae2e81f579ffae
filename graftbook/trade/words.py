"""Names as people type them, brought to one spelling so that they can be looked up.

Case, accents, quotation marks, hyphens, dots and the hybrid sign are ignored; so is a plural ending. Nothing here knows
a table.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from inspect import signature
from typing import Any, TypeVar

T = TypeVar("T")
Span = tuple[float | None, float | None]


@lru_cache(maxsize=10_000)
def plain(text: str) -> str:
    """Lower-case words parted by single blanks; the hybrid sign (× or a lone x) is left out."""
    spread = unicodedata.normalize("NFKD", text.replace("×", " ").replace("'", "").replace("’", "").casefold())
    kept = "".join(sign if sign.isalnum() else " " for sign in spread if not unicodedata.combining(sign))
    return " ".join(word for word in kept.split() if word != "x")


def squeezed(text: str) -> str:
    """The plain words run together: `MM.106`, `mm 106` and `MM106` are one."""
    return plain(text).replace(" ", "")


def singular(name: str) -> str:
    """A plain name without an English plural ending; Latin and short endings are left alone."""
    if name.endswith("ies") and len(name) > 4:
        return name[:-3] + "y"
    if name.endswith(("ches", "shes", "xes")):
        return name[:-2]
    return name[:-1] if name.endswith("s") and not name.endswith(("ss", "us", "is")) and len(name) > 3 else name


def parted(text: str) -> tuple[str, ...]:
    """The items of a cell that holds several, parted by semicolons."""
    return tuple(item.strip() for item in text.split(";") if item.strip())


def number(text: str) -> float | None:
    """The number in a cell; None where the cell is empty, which means no limit is known."""
    return float(text) if text else None


def whole(text: str) -> int | None:
    """The whole number in a cell; None where the cell is empty."""
    return int(text) if text else None


def span(row: Mapping[str, str], stem: str) -> Span:
    """The least and the greatest of a row, of which each may be None; its cells are called so with `_min` and `_max`."""
    return number(row[f"{stem}_min"]), number(row[f"{stem}_max"])


_READERS: dict[str, Callable[[str], Any]] = {
    "str": str, "tuple[str, ...]": parted, "int": int, "int | None": whole, "float": float, "float | None": number,
}  # fmt: skip


@lru_cache(maxsize=64)
def _readers(kind: Callable[..., Any]) -> Mapping[str, Callable[[str], Any]]:
    fields = signature(kind).parameters.values()
    return {field.name: _READERS[field.annotation] for field in fields if field.annotation in _READERS}


def typed(kind: Callable[..., T], row: Mapping[str, str], **given: Any) -> T:
    """A row of a table as a dataclass: what is given, and of every other field the cell of its name by the type of the field.

    A cell is taken as empty where a row written before its column was there has not got it.
    """
    cells = {name: read(row.get(name, "")) for name, read in _readers(kind).items() if name not in given}
    return kind(**given, **cells)


def indexed(names: Iterable[tuple[str, T]], spell: Callable[[str], str] = plain) -> Mapping[str, T]:
    """What names stand for, by their plain spelling; of two that are spelled alike the first has it."""
    index: dict[str, T] = {}
    for name, meant in names:
        index.setdefault(spell(name), meant)
    return index


def look_up(text: str, index: Mapping[str, T]) -> T | None:
    """What an index of plain names holds under this name or its singular; None when it holds nothing."""
    name = plain(text)
    return index.get(name) or index.get(singular(name))


def nearest(text: str, index: Mapping[str, str], count: int = 3) -> tuple[str, ...]:
    """Up to `count` names whose spelling is nearest, best first; `index` maps plain spellings to names to show."""
    from difflib import get_close_matches

    wanted = plain(text)
    starting = sorted(key for key in index if wanted and key.startswith(wanted)) if len(wanted) > 2 else []
    close = get_close_matches(wanted, list(index), n=3 * count, cutoff=0.6)
    return tuple(dict.fromkeys(index[key] for key in (*close, *starting)))[:count]
