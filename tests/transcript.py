"""What README.md and the guides show: read, run and compared; `python tests/transcript.py` writes it anew.

A block fenced as `console` holds commands after `$ ` and, under each, what it printed. All blocks of README are one session in
one empty folder, all blocks of the guides, in their order, another. Lines of a long command end in a backslash.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

README = Path(__file__).parent.parent / "README.md"
_LIST = re.compile(r"^\| guide \| about \|\n(?:\|.*\n)+", re.M)
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

    words = shlex.split(command.replace("\\\n", " " if not command.startswith("printf") else ""))
    if words[0] == "export":
        name, _, value = words[1].partition("=")
        os.environ[name] = value
        return ""
    if words[0] == "ls":
        return "".join(f"{path.name}\n" for path in sorted(Path(words[1] if len(words) > 1 else ".").iterdir()))
    if words[0] == "printf":  # printf 'lines\\n' > FILE
        Path(words[3]).write_text(words[1].replace("\\n", "\n"), encoding="utf-8")
        return ""
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


def sessions() -> tuple[tuple[Path, ...], ...]:
    """The files whose blocks belong together, in the order in which they are run."""
    from graftbook.actions.desk import guides

    return (README,), tuple(guides.FOLDER / f"{name}.md" for name in guides.ORDER)


def written_anew(texts: Sequence[str]) -> list[str]:
    """The texts of one session with every command's output as it is now, and README's list of the guides."""
    from graftbook.actions.desk import guides

    def fresh(match: re.Match[str]) -> str:
        return "```console\n" + "".join(f"$ {step.command}\n{run(step.command)}" for step in steps(match[1])) + "```"

    listed = "| guide | about |\n|---|---|\n" + "".join(
        f"| [`{row.guide}`](graftbook/guides/{row.guide}.md) | {row.about} |\n" for row in guides.rows()
    )
    with empty_folder():
        return [_LIST.sub(lambda _: listed, _BLOCK.sub(fresh, text)) for text in texts]


def main() -> None:
    """Write every file anew."""
    for files in sessions():
        fresh = written_anew([file.read_text(encoding="utf-8") for file in files])
        for file, text in zip(files, fresh, strict=True):
            file.write_text(text, encoding="utf-8")
    sys.stdout.write("README.md and the guides hold the transcript as it is now.\n")


if __name__ == "__main__":
    sys.path[0] = str(README.parent)  # the program of this checkout, not a folder of tests of the same name
    main()
