"""Every verb with thousands of calls nobody would type: prints what any of them did that no call may do, and the slowest.

tests/hold/run calls_many [CALLS-A-VERB [WORD-OF-THE-VERBS]]
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path

from hold.calls import Verb, call_words, tried, verbs
from hold.laws import comes_back
from hypothesis import HealthCheck, given, settings
from whole_book import fill

from graftbook.book import versions


def back(changed: Path, empty: Path) -> list[str]:
    """What a changed book loses when it is exported and imported: what is taken once can be taken again."""
    with tempfile.TemporaryDirectory() as name:
        return comes_back(str(changed), lambda: str(shutil.copy(empty, f"{name}/other.sqlite")), Path(name))


def run(verb: Verb, book: Path, empty: Path, calls: int) -> tuple[set[str], float, int]:
    """What calls of one verb did that none may, once each kind, the seconds of the slowest, and how many there were."""
    found: dict[str, str] = {}
    slowest, made = 0.0, 0

    @settings(max_examples=calls, database=None, deadline=None, suppress_health_check=list(HealthCheck))
    @given(words=call_words(verb, Path("FOLDER")))
    def one(words: list[str]) -> None:
        nonlocal slowest, made
        start = time.perf_counter()
        for fault in tried(book, words, lambda changed: back(changed, empty)):
            found.setdefault(fault[-160:], f"{' '.join(words)!r:.300}\n    {fault}")
        slowest, made = max(slowest, time.perf_counter() - start), made + 1

    one()
    return set(found.values()), slowest, made


def main(calls: int = 50, only: str = "") -> int:
    """Try every verb; the exit code is 1 where any call misbehaved."""
    wrong, total = 0, 0
    folder = Path(tempfile.mkdtemp())
    try:
        book = folder / "book.sqlite"
        empty = folder / "empty.sqlite"
        versions.create(str(empty))
        shutil.copy(empty, book)
        fill(str(book))
        for verb in sorted(verbs(), key=lambda each: each.path):
            if only not in " ".join(verb.path):
                continue
            found, slowest, made = run(verb, book, empty, calls)
            total += made
            wrong += len(found)
            print(f"{' '.join(verb.path):24} {made:6} calls, slowest {slowest:5.2f} s, {len(found)} faults", flush=True)
            for fault in sorted(found):
                print(f"  {fault}".encode("utf-8", "backslashreplace").decode(), flush=True)
    finally:
        shutil.rmtree(folder)
    print(f"{total} calls, {wrong} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*(kind(word) for kind, word in zip((int, str), sys.argv[1:], strict=False))))
