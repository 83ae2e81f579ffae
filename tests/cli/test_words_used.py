"""A word that is no verb is answered with the command it means, and that command is there."""

import pytest

from graftbook.cli.main import main
from graftbook.cli.words_used import MEANT


@pytest.mark.parametrize("word", MEANT)
def test_a_word_people_use_is_answered_with_a_command_that_works(word, capsys):
    assert main([word]) == 2
    said = capsys.readouterr()
    _, command = MEANT[word]

    assert said.out == ""
    assert f"graftbook {command}\n" in said.err
    words = command.split()
    assert main(words if words[0] == "guide" else [*words, *([] if "--help" in words else ["--help"])]) == 0


def test_any_other_word_is_given_no_meaning(capsys):
    assert main(["xyzzy"]) == 2
    said = capsys.readouterr().err
    assert not any(meaning in said for meaning, _command in MEANT.values())


def test_a_word_people_use_is_found_by_guide_and_by_find(on_sqlite):
    done = on_sqlite("guide", "which", "timing")
    assert "guide took" in done.out
    assert ["took"] == [row["guide"] for row in on_sqlite("guide", "which", "timing", "--json").rows]
    assert "A greenhouse is a place" in on_sqlite("guide", "greenhouse").out
    assert "clocks" in {row["guide"] for row in on_sqlite("guide", "green", "tip", "--json").rows}
    unknown = on_sqlite("guide", "xyzzy")
    assert unknown.code != 0
    assert "none speaks of it. There are: garden" in unknown.err
    assert "--tie film" in on_sqlite("find", "parafilm").err
