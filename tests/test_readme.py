"""README.md: its season is run, and every verb is in it."""

import re
from pathlib import Path

import transcript
import typer

from graftbook import __version__
from graftbook.cli.main import app

TEXT = transcript.README.read_text(encoding="utf-8")


def commands(group, words=()):
    """Every command there is, as the words that name it."""
    for name, command in sorted(group.commands.items()):
        yield (*words, name), command
        if hasattr(command, "commands"):
            yield from commands(command, (*words, name))


def test_the_season_in_the_readme_prints_what_stands_there():
    assert TEXT == transcript.written_anew(TEXT), "run: python tests/transcript.py"


def test_the_two_commands_come_first():
    shell = re.findall(r"^```sh\n(.*?)^```$", TEXT, re.M | re.S)
    assert ["demo/run", "tests/run"] == [line.split("#")[0].strip() for line in shell[0].splitlines()]


def test_every_verb_is_in_the_readme_and_has_help_with_an_example():
    for words, command in commands(typer.main.get_command(app)):
        help_text = command.help or ""
        assert help_text, words
        assert "Example" in help_text or hasattr(command, "commands"), words
        assert f"`{words[0]}`" in TEXT, words


def test_the_newest_release_in_the_changelog_is_this_version():
    changes = (Path(transcript.README).parent / "CHANGELOG.md").read_text(encoding="utf-8")
    releases = re.findall(r"^## (.+)$", changes, re.M)
    assert __version__ == releases[0]
    numbers = [tuple(map(int, release.split("."))) for release in releases]
    assert numbers == sorted(set(numbers), reverse=True)
