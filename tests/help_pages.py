"""Every page of help in one text, as golden file: `python tests/help_pages.py` writes it anew."""

from __future__ import annotations

import contextlib
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

GOLDEN = Path(__file__).parent / "cli" / "help_pages.txt"


def commands() -> list[tuple[str, ...]]:
    """The words of every command and of every group, those of the program itself first."""
    import typer

    from graftbook.cli.main import app

    def walk(command: Any, words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        yield words
        for name, inner in getattr(command, "commands", {}).items():
            yield from walk(inner, (*words, name))

    return list(walk(typer.main.get_command(app), ()))


def page(words: tuple[str, ...]) -> str:
    """The help of one command, at 100 characters across."""
    from graftbook.cli.main import main

    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        code = main([*words, "--help"])
    assert code == 0, words
    return out.getvalue()


def pages() -> str:
    """Every page under its command line."""
    return "\n".join(f"$ graftbook {' '.join((*words, '--help'))}\n{page(words)}" for words in commands())


if __name__ == "__main__":
    sys.path[0] = str(Path(__file__).parent.parent)  # the program of this checkout
    GOLDEN.write_text(pages(), encoding="utf-8")
