"""The transcript in README.md: read, run and compared; `python tests/transcript.py` writes it anew.

A block fenced as `console` holds commands after `$ ` and, under each, what it printed. All blocks are one session in one
empty folder. Lines of a long command end in a backslash.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

README = Path(__file__).parent.parent / "README.md"
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.M | re.S)


@dataclass(frozen=True)
class Step:
    """One command as written and what stands under it."""

    command: str
    printed: str


def steps(block: str) -> Iterator[Step]:
    """The commands of one block."""
    for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
        lines = part.splitlines(keepends=True)
        length = next(number for number, line in enumerate(lines, 1) if not line.rstrip("\n").endswith("\\"))
        yield Step("".join(lines[:length]).rstrip("\n"), "".join(lines[length:]))


def run(command: str) -> str:
    """What a command prints, on both streams, run in this process."""
    from graftbook.cli.main import main

    words = shlex.split(command.replace("\\\n", " "))
    if words[0] == "export":
        name, _, value = words[1].partition("=")
        os.environ[name] = value
        return ""
    if words[0] == "ls":
        return "".join(f"{path.name}\n" for path in sorted(Path(words[1] if len(words) > 1 else ".").iterdir()))
    if words[0] != "graftbook":
        raise ValueError(f"the transcript cannot run {words[0]}")
    both = io.StringIO()
    with contextlib.redirect_stdout(both), contextlib.redirect_stderr(both):
        main(words[1:])
    return both.getvalue()


@contextlib.contextmanager
def empty_folder() -> Iterator[Path]:
    """A session of its own: an empty folder, and no book named beforehand."""
    kept = dict(os.environ)
    where = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        for name in ("GRAFTBOOK_BOOK", "GRAFTBOOK_TODAY", "GRAFTBOOK_WHO"):
            os.environ.pop(name, None)
        try:
            yield Path(folder)
        finally:
            os.chdir(where)
            os.environ.clear()
            os.environ.update(kept)


def written_anew(text: str) -> str:
    """The text with every command's output as it is now."""

    def fresh(match: re.Match[str]) -> str:
        return "```console\n" + "".join(f"$ {step.command}\n{run(step.command)}" for step in steps(match[1])) + "```"

    with empty_folder():
        return _BLOCK.sub(fresh, text)


if __name__ == "__main__":
    sys.path[0] = str(README.parent)  # the program of this checkout, not a folder of tests of the same name
    README.write_text(written_anew(README.read_text(encoding="utf-8")), encoding="utf-8")
    sys.stdout.write("README.md holds the transcript as it is now.\n")
