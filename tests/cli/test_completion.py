"""The shell is told what a word half typed could become: from the book where there is one, from the trade where not."""

import pytest
from filling import Filling

from graftbook.cli.grouping import THE_YEAR
from graftbook.cli.main import _command, app, main


@pytest.fixture
def completes(monkeypatch, capfd):
    """Words a shell would offer for the last word of a line, as bash asks for them."""

    def ask(*words):
        monkeypatch.setenv("_GRAFTBOOK_COMPLETE", "complete_bash")
        monkeypatch.setenv("COMP_WORDS", " ".join(("graftbook", *words)))
        monkeypatch.setenv("COMP_CWORD", str(len(words)))
        main([])
        said = capfd.readouterr()
        assert said.err == ""
        return said.out.split()

    return ask


def test_codes_are_those_of_the_book_and_the_words_those_of_the_trade(completes, location, monkeypatch):
    with Filling(location) as book:
        wood = book.wood(sticks=4)
        for _ in range(12):
            book.graft(wood, book.stock(mm=9.0), made="03-20")
    monkeypatch.setenv("GRAFTBOOK_BOOK", str(location))
    assert ["G1", "G10", "G11", "G12"] == completes("look", "G1")
    assert ["G3,G9"] == completes("look", "G3,G9")
    assert ["G2-G10", "G2-G11", "G2-G12"] == [word for word in completes("graft", "amend", "G2-G1") if word != "G2-G1"]
    assert ["W1"] == completes("graft", "W")
    assert ["growing"] == completes("look", "G1", "gro")
    assert ["headed-back"] == completes("care", "G1", "he")
    assert ["whip-and-tongue"] == completes("graft", "W1", "P1", "--method", "wh")
    assert "letter-30up" in completes("tags", "P1", "--medium", "letter")
    assert "--method" in completes("graft", "W1", "P1", "--m")


@pytest.mark.parametrize("what", ["no book", "no database"])
def test_where_there_is_no_book_to_read_nothing_fails_and_the_trade_is_still_there(
    completes, tmp_path, monkeypatch, what
):
    named = tmp_path / "away.sqlite"
    if what == "no database":
        named.write_text("a letter", encoding="utf-8")
    monkeypatch.setenv("GRAFTBOOK_BOOK", str(named))
    assert [] == completes("look", "G1")
    assert ["cleft"] == completes("graft", "W1", "P1", "--method", "cle")
    assert "stake-152x25" in completes("--book", str(named), "tags", "P1", "--medium", "stake")
    assert named.exists() == (what == "no database")


def test_help_lists_every_verb_once_by_the_season_it_belongs_to():
    named = [name for names in THE_YEAR.values() for name in names]
    assert len(set(named)) == len(named)
    assert set(_command().commands) == set(named)
    assert app.info.name == "graftbook"
