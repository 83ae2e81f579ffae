"""What the shell is told when a word is half typed. It never fails and says nothing else: without a book there are no codes, and
the words of the trade are still there.

The functions are handed to typer, which calls them with the context and the word so far; `of_word` and `of_flag` name
those of arguments by what help calls them and of options by their flag.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import typer

if TYPE_CHECKING:
    from graftbook.actions.desk.desk import Desk


@contextmanager
def _desk(ctx: typer.Context) -> "Iterator[Desk | None]":
    """The desk at the book that the line names or that is used without a name; None where there is none to open."""
    from graftbook.actions.desk.desk import sit_down

    try:
        sitting = sit_down(ctx.find_root().params.get("book"))
    except Exception:  # whatever is wrong with the book is said by the command, not while it is typed
        sitting = None
    try:
        yield sitting
    finally:
        if sitting is not None:
            sitting.book.close()


def codes(ctx: typer.Context, incomplete: str) -> list[str]:
    """Codes that begin so."""
    from graftbook.actions.desk import completed

    try:
        with _desk(ctx) as at:
            return [] if at is None else completed.codes(at, incomplete)
    except Exception:
        return []


def methods(ctx: typer.Context, incomplete: str) -> list[str]:
    """Methods that begin so; the last of several parted by commas."""
    from graftbook.actions.desk import completed

    with _desk(ctx) as at:
        return _beginning(completed.methods(at), incomplete)


def media(ctx: typer.Context, incomplete: str) -> list[str]:
    """Media that begin so."""
    from graftbook.actions.desk import completed

    with _desk(ctx) as at:
        return _beginning(completed.media(at), incomplete)


def states(incomplete: str) -> list[str]:
    """What can be seen, beginning so."""
    from graftbook.actions.desk import completed

    return _beginning(completed.states(), incomplete)


def codes_or_states(ctx: typer.Context, incomplete: str) -> list[str]:
    """The words of `look`: codes, then what was seen."""
    return [*states(incomplete), *(codes(ctx, incomplete) if incomplete else [])]


def codes_or_cares(ctx: typer.Context, incomplete: str) -> list[str]:
    """The words of `care`: codes, then what was done."""
    from graftbook.actions.desk import completed

    return [*_beginning(completed.cares(), incomplete), *(codes(ctx, incomplete) if incomplete else [])]


def _beginning(words: Any, incomplete: str) -> list[str]:
    done, comma, start = incomplete.rpartition(",")
    return [done + comma + word for word in words if word.casefold().startswith(start.casefold())]


_FLAGS: dict[str, Callable[..., list[str]]] = {
    "--method": methods, "--medium": media, "--state": states, "--except": codes, "--wood": codes, "--host": codes,
}  # fmt: skip

_WORDS: dict[str, Callable[..., list[str]]] = {
    **dict.fromkeys(("CODE", "CODES", "CODES...", "WOOD", "HOSTS", "CODE-or-DONOR"), codes),
    "[CODES] STATE": codes_or_states, "[CODES] DONE": codes_or_cares,
}  # fmt: skip


def of_flag(flag: str, metavar: str | None) -> dict[str, Any]:
    """How an option is completed, as an argument to typer: by its flag, else by what help calls its value."""
    found = _FLAGS.get(flag) or _WORDS.get(metavar or "")
    return {"autocompletion": found} if found is not None else {}


def of_word(metavar: str | None) -> dict[str, Any]:
    """How an argument is completed, as an argument to typer."""
    found = _WORDS.get(metavar or "")
    return {"autocompletion": found} if found is not None else {}
