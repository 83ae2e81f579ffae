"""The way in: `main(argv)` runs one command and returns its exit code.

This is the one place where errors become text, a stream and a number. Nothing heavy is imported here: `--help` and
`--version` load neither the book nor the libraries under it.
"""

import gc
import io
import os
import sys
from collections.abc import Sequence
from functools import cache
from importlib import import_module
from typing import Annotated, Any

import typer

from graftbook import __version__
from graftbook.cli.grouping import app
from graftbook.cli.sane import watch
from graftbook.cli.words_used import meant
from graftbook.errors import EXIT_BUG, EXIT_INTERRUPTED, EXIT_REFUSED, BadData, GraftbookError
from graftbook.visible import on_one_line, visible

MOST_PROBLEMS_SHOWN = 100


def _version(asked: bool) -> None:
    if asked:
        sys.stdout.write(f"graftbook {__version__}\n")
        raise typer.Exit()


@app.callback(invoke_without_command=True)
def book_options(
    ctx: typer.Context,
    book: Annotated[
        str | None,
        typer.Option(
            "--book", metavar="PATH-or-URL", help="The book: a file, or postgresql://… (default: $GRAFTBOOK_BOOK)."
        ),
    ] = None,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Keep the book of a grafter's year: wood, stocks, grafts, tags, looks, and what took."""
    ctx.obj = book
    if ctx.invoked_subcommand is None:
        from graftbook.cli.today import say_today

        say_today(ctx)


FILES = (
    "book", "plant", "find", "prune", "wood", "exchange", "want", "plan", "graft", "round", "tag", "tag_media", "take",
    "take_curve", "weather", "name", "people", "trade", "import", "held", "whole", "bench",
)  # fmt: skip
"""Which files hold the verbs, in the order help lists them; each hangs itself on the program."""

for _file in FILES:
    import_module(f"graftbook.cli.{_file}_verbs")


@cache
def _command() -> Any:
    """Every verb with its options, put together once a process: that takes longer than most commands do."""
    return watch(typer.main.get_command(app))


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, otherwise as the errors say; see `graftbook --help`."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    try:
        return _left(_command().main(args=arguments, prog_name="graftbook", standalone_mode=False))
    except SystemExit as done:
        return _left(done.code)
    except typer.Abort:
        return _left(EXIT_INTERRUPTED)
    except BadData as error:
        _say_problems(error)
        return error.exit_code
    except GraftbookError as error:
        _say(error.message())
        return error.exit_code
    except OSError as error:
        _say(f"The disk would not do that: {error}. Nothing was recorded.")
        return EXIT_REFUSED
    except Exception as error:  # the last net: a bug of ours is said as one
        return _misused(error) if hasattr(error, "show") and hasattr(error, "exit_code") else _bug(error)


def _left(code: object) -> int:
    number = code if isinstance(code, int) else 0 if code is None else EXIT_BUG
    if number == EXIT_INTERRUPTED:
        _say("Stopped. Nothing of this command was recorded.")
    return number


def _misused(error: Any) -> int:
    """What the library that reads the command line found wrong with it."""
    said = io.StringIO()
    error.show(said)
    sys.stderr.write(visible(said.getvalue()))
    hint = meant(said.getvalue())
    if hint is not None:
        sys.stderr.write(f"{hint}\n")
    return int(error.exit_code)


def _say(text: str) -> None:
    sys.stderr.write(f"graftbook: {visible(text)}\n")


def _say_problems(error: BadData) -> None:
    for problem in error.problems[:MOST_PROBLEMS_SHOWN]:
        sys.stderr.write(on_one_line(problem.sentence()) + "\n")
    if len(error.problems) > MOST_PROBLEMS_SHOWN:
        sys.stderr.write(f"… and {len(error.problems) - MOST_PROBLEMS_SHOWN:,} more\n")
    _say(error.message())


def _bug(error: Exception) -> int:
    import traceback

    if os.environ.get("GRAFTBOOK_DEBUG"):
        traceback.print_exc()
    last = traceback.extract_tb(error.__traceback__)[-1]
    _say(
        f"This is a bug of ours: {type(error).__name__}: {error} ({last.name}, line {last.lineno}). "
        "The book is as it was. Set GRAFTBOOK_DEBUG=1 and run it again to see where."
    )
    return EXIT_BUG


def run() -> None:
    """The console script. A command lives for a moment and keeps what it reads, so garbage is looked for seldom."""
    gc.set_threshold(200_000, 20, 20)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    sys.exit(main())
