"""README.md and the guides: what they show is run, and every verb is in them."""

import re
from pathlib import Path

import pytest
import transcript
import typer

from graftbook import __version__
from graftbook.actions.desk import guides
from graftbook.cli.main import app

TEXT = transcript.README.read_text(encoding="utf-8")


def commands(group, words=()):
    """Every command there is, as the words that name it."""
    for name, command in sorted(group.commands.items()):
        yield (*words, name), command
        if hasattr(command, "commands"):
            yield from commands(command, (*words, name))


@pytest.mark.parametrize("files", transcript.sessions(), ids=["readme", "guides"])
def test_every_command_shown_prints_what_stands_there(files):
    texts = [file.read_text(encoding="utf-8") for file in files]
    for file, held, fresh in zip(files, texts, transcript.written_anew(texts), strict=True):
        assert held == fresh, f"{file.name}; run: python tests/transcript.py"


def test_the_readme_is_short_and_every_guide_is_listed_and_names_real_verbs():
    assert len(TEXT.split()) < 2_000
    assert {path.stem for path in guides.FOLDER.glob("*.md")} == set(guides.ORDER)
    known = {words for words, _ in commands(typer.main.get_command(app))}
    for name in guides.ORDER:
        assert f"[`{name}`]" in TEXT
        for verb, second in re.findall(r"`graftbook ([a-z]+)(?: ([a-z]+))?", guides.text(name)):
            group = any(words[:1] == (verb,) and len(words) > 1 for words in known)
            assert (verb,) in known and (not group or not second or (verb, second) in known or second == "name"), (
                name,
                verb,
                second,
            )


def test_the_two_commands_come_first():
    shell = re.findall(r"^```sh\n(.*?)^```$", TEXT, re.M | re.S)
    assert ["demo/run", "tests/run"] == [line.split("#")[0].strip() for line in shell[0].splitlines()]


def test_every_verb_is_in_the_guide_of_verbs_and_has_help_with_an_example():
    for words, command in commands(typer.main.get_command(app)):
        help_text = command.help or ""
        assert help_text, words
        assert "Example" in help_text or hasattr(command, "commands"), words
        assert f"`{words[0]}`" in guides.text("verbs"), words


def test_the_newest_release_in_the_changelog_is_this_version():
    changes = (Path(transcript.README).parent / "CHANGELOG.md").read_text(encoding="utf-8")
    releases = re.findall(r"^## (.+)$", changes, re.M)
    assert __version__ == releases[0]
    numbers = [tuple(map(int, release.split("."))) for release in releases]
    assert numbers == sorted(set(numbers), reverse=True)
