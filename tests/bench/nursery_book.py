"""Whole commands on a book of nursery size: seconds, peak memory, and the ratio to the bare script in the same run."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parent))
import invented_book

BARE = str(Path(__file__).parent / "bare.py")
RUNS = 5


def measured(words: list[str], environment: dict[str, str]) -> tuple[float, float]:
    """Wall seconds and peak MiB of one whole process."""
    begun = time.perf_counter()
    with subprocess.Popen(words, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:
        error = process.stderr.read()
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(words)} failed: {error.decode()}")
    return time.perf_counter() - begun, usage.ru_maxrss / 1024


def repeated(words: list[str], environment: dict[str, str], runs: int = RUNS) -> tuple[float, float]:
    """Medians of several runs."""
    results = [measured(words, environment) for _ in range(runs)]
    return median(result[0] for result in results), max(result[1] for result in results)


def line(what: str, ours: tuple[float, float], empty: float, bare: tuple[float, float]) -> None:
    """One row: whole process, beyond the same command on an empty book, the yardstick, and the ratio of the whole."""
    print(
        f"{what:<28}{ours[0]:8.2f} s{ours[0] - empty:9.2f} s{bare[0]:9.2f} s{ours[0] / bare[0]:8.1f} x{ours[1]:8.0f} MiB"
    )


def main(grafts: int) -> None:
    """Build the book and measure."""
    with tempfile.TemporaryDirectory() as place:
        folder, book, empty = Path(place) / "csv", Path(place) / "book.sqlite", Path(place) / "empty.sqlite"
        print("rows:", invented_book.write(folder, grafts))
        environment = {**os.environ, "GRAFTBOOK_TODAY": "2027-11-30"}
        ours = [sys.executable, "-m", "graftbook", "--book"]
        for where in (book, empty):
            measured([*ours, str(where), "start"], environment)
        print(f"{'':<28}{'whole':>10}{'beyond':>11}{'bare':>11}{'ratio':>10}{'peak':>12}")
        bare = measured([sys.executable, BARE, "write", str(folder), f"{place}/bare.sqlite"], environment)
        started = measured([*ours, str(empty), "journal"], environment)[0]
        line("import of the whole", measured([*ours, str(book), "import", str(folder)], environment), started, bare)
        for what, words in (
            ("take", ["take", "--by", "species,method"]),
            ("take", ["take", "--by", "species,method,half-month", "--as-of", "2025-10-01"]),
            ("due", ["due", "--on", "2026-06-01"]),
            ("due", ["due", "--json", "--on", "2026-06-01"]),
            ("list", ["stock", "list", "--limit", "50"]),
        ):
            start = repeated([*ours, str(empty), *words], environment)[0]
            yardstick = repeated([sys.executable, BARE, what, str(book)], environment)
            line(" ".join(words)[:27], repeated([*ours, str(book), *words], environment), start, yardstick)
        line("export of the whole", measured([*ours, str(book), "export", f"{place}/out"], environment), started, bare)


if __name__ == "__main__":
    main(int(sys.argv[1]))
