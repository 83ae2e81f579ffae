"""Every example of every page of help, run as it stands, each in its own copy of one rich book."""

from __future__ import annotations

import io
import re
import shlex
import shutil
from collections.abc import Iterator
from typing import Any

import pytest
import typer
import worked_book

from graftbook.cli.main import app

EMPTY = ("start", "import")
"""Verbs whose example begins a book."""
SERVES = ("bench",)
"""Verbs that serve until they are stopped: what they do is tried in tests/web."""
BEFORE = {
    "wood receive": ('people add "Ilo Marren" --initials IM',), "people amend": ('people add "Ilo Marren" --initials IM',),
    "restore": ("backup orchard-backup.sqlite",), "merge": ("backup shed.sqlite",),
    **dict.fromkeys(
        ("held mend", "held take", "held drop"),
        ("import 'club log.xlsx' --given method=cleft --given species=apple --yes",),
    ),
}  # fmt: skip
"""What is typed before an example that stands on something only it needs."""
TODAY = {"plan": "2027-03-10", "graft": "2027-04-06", "match": "2027-03-14"}
"""The day it is, where that is not the end of the year."""


def examples(command: Any, words: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """The page an example stands on, and the example on one line; each example once."""
    text = re.sub(r"\s*\\\n\s*", " ", command.help or "")
    for found in re.findall(r"^[ \t]*graftbook (.*(?:\n[ \t]+(?!graftbook )\S.*)*)$", text, re.MULTILINE):
        yield " ".join(words), " ".join(found.split())
    for name, inner in getattr(command, "commands", {}).items():
        yield from examples(inner, (*words, name))


EXAMPLES = {line: page for page, line in reversed(list(examples(typer.main.get_command(app)))) if page not in SERVES}


def test_every_page_of_a_command_has_an_example_that_is_found():
    def pages(command, words=()):
        yield " ".join(words), command
        for name, inner in getattr(command, "commands", {}).items():
            yield from pages(inner, (*words, name))

    with_one = {page for page, _line in examples(typer.main.get_command(app))}
    said = {page for page, command in pages(typer.main.get_command(app)) if "Example" in (command.help or "")}
    assert said == with_one
    assert len(EXAMPLES) > 100


@pytest.fixture(scope="module")
def kept(tmp_path_factory, sqlite_template):
    """The rich book with the files beside it, made once."""
    folder = tmp_path_factory.mktemp("worked")
    shutil.copy(sqlite_template, folder / "orchard.sqlite")
    with pytest.MonkeyPatch.context() as set_:
        set_.chdir(folder)
        set_.setenv("GRAFTBOOK_BOOK", "orchard.sqlite")
        set_.setenv("GRAFTBOOK_TODAY", "2027-11-30")
        from graftbook.cli.main import main

        def run(*words: str) -> None:
            assert 0 == main(list(words)), words

        worked_book.make(run)
        worked_book.pictures(run)
        worked_book.files()
    return folder


@pytest.mark.parametrize("line", EXAMPLES, ids=lambda line: line[:60])
def test_an_example_runs_as_it_stands(line, kept, sqlite_template, tmp_path, command, monkeypatch):
    words = shlex.split(line)
    verb = words[2] if words[0] == "--book" else words[0]
    folder = tmp_path / "own"
    shutil.copytree(kept, folder)
    monkeypatch.chdir(folder)
    monkeypatch.setenv("GRAFTBOOK_BOOK", "orchard.sqlite")
    if verb == "start":
        (folder / "orchard.sqlite").unlink()
    elif verb in EMPTY:
        shutil.copy(sqlite_template, folder / "orchard.sqlite")
    for before in BEFORE.get(EXAMPLES[line], ()):
        assert 0 == command(*shlex.split(before)).code
    monkeypatch.setattr("sys.stdin", io.StringIO("y\n"))
    done = command(*words, today=TODAY.get(verb, "2027-11-30"))
    assert 0 == done.code, f"{done.code}: {done.err}"
    assert done.out or done.err
    assert "Nothing to show." not in done.out
