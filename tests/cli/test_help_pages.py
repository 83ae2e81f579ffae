"""Every page of help, word for word: no option, example or sentence is lost or changed by accident."""

from __future__ import annotations

import re

import help_pages
import pytest


def by_command(text: str) -> dict[str, list[str]]:
    """The words of each page under its command line; how lines are broken is the library's own affair."""
    parts = re.split(r"^\$ (graftbook.*)$", text, flags=re.MULTILINE)
    return {line: page.split() for line, page in zip(parts[1::2], parts[2::2], strict=True)}


@pytest.fixture(scope="module")
def kept() -> dict[str, list[str]]:
    return by_command(help_pages.GOLDEN.read_text(encoding="utf-8"))


@pytest.mark.parametrize("words", help_pages.commands(), ids=" ".join)
def test_a_page_of_help_says_what_it_said(words, kept):
    """Where the change is meant: `python tests/help_pages.py` writes the pages anew."""
    assert kept[f"graftbook {' '.join((*words, '--help'))}"] == help_pages.page(words).split()


def test_no_page_is_kept_of_a_command_that_is_gone(kept):
    assert {f"graftbook {' '.join((*words, '--help'))}" for words in help_pages.commands()} == set(kept)
