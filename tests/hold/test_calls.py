"""Every verb with words nobody would type: no traceback, no bug, nothing raw on the terminal, the book as it was on error."""

from __future__ import annotations

from pathlib import Path

import pytest
from hold.calls import call_words, tried, verbs
from hypothesis import HealthCheck, given, settings

EVERY = sorted(verbs())


@pytest.mark.parametrize("verb", EVERY, ids=lambda verb: " ".join(verb.path))
def test_no_words_bring_a_verb_to_fall(filled_book, verb, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # some verbs write beside where they are called

    @settings(max_examples=2, database=None, suppress_health_check=list(HealthCheck))
    @given(words=call_words(verb, Path("FOLDER")))
    def law(words):
        assert [] == tried(filled_book, words), words

    law()
