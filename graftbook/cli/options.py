"""How options and arguments are declared, and those that mean one thing in every verb."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from graftbook.cli import completing

MOST_LINES = 500
"""Rows of a long list where no limit is given and a person reads it."""


def option(flag: str, words: str, metavar: str | None = None, **more: Any) -> Any:
    """An option: its flag, what help says of it, and what help prints for its value (None: the type)."""
    return typer.Option(flag, metavar=metavar, help=words, **{**completing.of_flag(flag, metavar), **more})


def argument(metavar: str | None, words: str, **more: Any) -> Any:
    """An argument: what help calls it (None: by its name) and says of it."""
    return typer.Argument(metavar=metavar, help=words, **{**completing.of_word(metavar), **more})


def out(words: str) -> Any:
    """The option that names a file to write."""
    return typer.Option("-o", "--output", metavar="FILE", help=words)


def rows_shown(limit: int | None, for_programs: bool) -> int | None:
    """How many rows of a long list to show; None for all of them, which programs get unless they limit it."""
    return limit if limit is not None or for_programs else MOST_LINES


On = Annotated[str | None, option("--on", "When it happened (default: today).", "DATE")]
AsOf = Annotated[str | None, option("--as-of", "Up to which day to look (default: today).", "DATE")]
Who = Annotated[str | None, option("--who", "Who did it.", "NAME")]
Note = Annotated[str | None, option("--note", "Anything else worth keeping.", "TEXT")]
Json = Annotated[bool, option("--json", "Print one JSON document.")]
Csv = Annotated[bool, option("--csv", "Print CSV.")]
Notes = Annotated[bool, option("--notes", "Print the usual notes too: how it is counted and read.")]
Yes = Annotated[bool, option("--yes", "Do not ask.")]
Out = Annotated[Path | None, out("Where to write.")]
Limit = Annotated[int, option("--limit", "At most so many rows.", min=1, max=1_000_000)]
LongLimit = Annotated[
    int | None, option("--limit", f"At most so many rows (default: all, {MOST_LINES} on paper or screen).", min=1)
]
Page = Annotated[int, option("--page", "Which page of the list.", min=1, max=1_000_000)]
Place = Annotated[str | None, option("--place", "Where it stands.", "PLACE")]
Row = Annotated[str | None, option("--row", "The row it stands in.", "ROW")]
Species = Annotated[str | None, option("--species", "Its kind, by any name.", "NAME")]
Temperature = Annotated[str | None, option("--temperature", "Of the store, such as 3C or 38F.", "T")]
Packing = Annotated[str | None, option("--packing", "How it is packed.", "TEXT")]
Summer = Annotated[bool, option("--summer", "Summer bud wood, not dormant wood.")]
OnePlant = Annotated[str, argument("CODE", "One plant, such as P9.")]
LeftOut = Annotated[str | None, option("--except", "Not these.", "CODES")]
Paper = Annotated[str, option("--paper", "The paper to print on.", "a4|letter")]


@dataclass(frozen=True)
class OwnNote:
    """What a grower's own note says of health or rights."""

    health: Annotated[str | None, option("--health", "suspect, 'visibly clean' or tested.", "WORD")] = None
    rights: Annotated[str | None, option("--rights", "Your own words on rights.", "TEXT")] = None
    until: Annotated[str | None, option("--until", "Until when it holds.", "DATE")] = None
    source: Annotated[str | None, option("--source", "Who says so.", "TEXT")] = None
