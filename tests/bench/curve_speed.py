"""take curve and take course on a book of 200,000 grafts and 1,000,000 looks, beside a script written by hand.

`python tests/bench/curve_speed.py [GRAFTS] [BOOK]` prints whole commands in seconds, peak memory, and the ratio to
tests/bench/curve_by_hand.py in the same run. BOOK keeps the book between runs. Nothing is asserted.
"""

from __future__ import annotations

import csv
import os
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import invented_book
from nursery_book import measured, repeated

BY_HAND = str(Path(__file__).parent / "curve_by_hand.py")


def with_a_fifth_look(folder: Path) -> int:
    """One more look at every graft, a month before its last; gives back how many there are then."""
    with (folder / "looks.csv").open(encoding="utf-8", newline="") as file:
        header, *looks = csv.reader(file)
    last = {look[0]: look for look in looks}
    more = [[code, (date.fromisoformat(on) - timedelta(days=7)).isoformat(), state, cause, union]
            for code, on, state, cause, union in last.values()]  # fmt: skip
    with (folder / "looks.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows([header, *looks, *more])
    return len(looks) + len(more)


def build(book: Path, grafts: int, environment: dict[str, str]) -> None:
    """The book, by the program's own import."""
    with tempfile.TemporaryDirectory() as place:
        rows = invented_book.write(Path(place) / "csv", grafts)
        rows["looks"] = with_a_fifth_look(Path(place) / "csv")
        print("rows:", rows, flush=True)
        ours = [sys.executable, "-m", "graftbook", "--book", str(book)]
        measured([*ours, "start"], environment)
        print(f"import {measured([*ours, 'import', f'{place}/csv'], environment)[0]:.1f} s", flush=True)


def main(grafts: int, kept: str | None) -> None:
    """Build the book where it is not kept, and measure."""
    environment = {**os.environ, "GRAFTBOOK_TODAY": "2027-11-30", "PYTHONPATH": str(Path(__file__).parents[2])}
    with tempfile.TemporaryDirectory() as place:
        book = Path(kept or f"{place}/book.sqlite")
        if not book.exists():
            build(book, grafts, environment)
        ours = [sys.executable, "-m", "graftbook", "--book", str(book)]
        by_hand = repeated([sys.executable, BY_HAND, str(book)], environment, 3)
        print(f"{'by hand, pandas and statsmodels':<40}{by_hand[0]:8.2f} s{'':>12}{by_hand[1]:8.0f} MiB")
        for words in (["take", "curve"], ["take", "curve", "--x", "wood-age"], ["take", "curve", "-o", f"{place}/curve.png"],
                      ["take", "course"], ["take", "course", "--event", "growth"]):  # fmt: skip
            took = repeated([*ours, *words], environment, 3)
            name = " ".join(word for word in words if "/" not in word)
            print(f"{name:<40}{took[0]:8.2f} s{took[0] / by_hand[0]:8.2f} x{'':>2}{took[1]:8.0f} MiB", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200_000, sys.argv[2] if len(sys.argv) > 2 else None)
