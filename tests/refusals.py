"""What a refused command looks like: its exit code, nothing on stdout, and the words that stand in its message."""

from __future__ import annotations

from typing import Any


def refused(run: Any, code: int, *words: str) -> None:
    """Assert that a run was refused with a code, and that its message says these words."""
    assert (code, "") == (run.code, run.out), run.err
    for word in words:
        assert word in run.err
