"""take and compare on a book of 200,000 grafts and a million looks: seconds, peak memory, and the ratio to pandas by hand.

Whole processes, the yardstick in the same run; `beyond` is processor seconds beyond the same program on an empty book. The
counts of both are held against each other.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))
import invented_book

YARDSTICK = str(Path(__file__).parent / "pandas_take.py")
DAY = "2027-11-30"
RUNS = 2
HEAD = f"{'':<39}{'wall':>9}{'cpu':>9}{'beyond':>10}{'pandas':>10}{'ratio':>8}{'peak':>10}"


class Cost(NamedTuple):
    """Wall and processor seconds, and peak MiB, of one whole process."""

    wall: float
    cpu: float
    peak: float


def least(words: list[str], environment: dict[str, str]) -> Cost:
    """The run of several that took the processor least: what other work on the machine adds is left out."""
    return min((cost(words, environment) for _ in range(RUNS)), key=lambda one: one.cpu)


def cost(words: list[str], environment: dict[str, str]) -> Cost:
    """One run."""
    begun = time.perf_counter()
    with subprocess.Popen(words, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE) as process:
        error = process.stderr.read()
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(words)} failed: {error.decode()}")
    return Cost(time.perf_counter() - begun, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def same_counts(ours: list[str], book: str, environment: dict[str, str]) -> bool:
    """Whether every cell of take has the counts that pandas finds."""
    from graftbook.trade.taxa import common_name

    def printed(words: list[str]) -> str:
        return subprocess.run(words, env=environment, capture_output=True, text=True, check=True).stdout

    rows = json.loads(printed([*ours, book, "take", "--by", "species,method", "--as-of", DAY, "--json"]))["rows"]
    found = {
        (r["species"], r["method"], r["unit"], r["made"], r["took"], r["failed"], r["lost_otherwise"]) for r in rows
    }
    lines = (line.split(",") for line in printed([sys.executable, YARDSTICK, "take", book, DAY]).splitlines())
    return found == {
        (common_name(taxon), *words, *map(int, counts))
        for taxon, *words, a, b, c, d in lines
        for counts in [(a, b, c, d)]
    }


def main(grafts: int, kept: str | None = None) -> None:
    """Build the book, or take one that was kept, and measure."""
    with tempfile.TemporaryDirectory() as place:
        book, empty = kept or f"{place}/book.sqlite", f"{place}/empty.sqlite"
        environment = {**os.environ, "GRAFTBOOK_TODAY": DAY}
        ours = [sys.executable, "-m", "graftbook", "--book"]
        cost([*ours, empty, "start"], environment)
        if kept is None:
            print("rows:", invented_book.write(Path(place) / "csv", grafts))
            cost([*ours, book, "start"], environment)
            cost([*ours, book, "import", f"{place}/csv"], environment)
        print("the same counts as pandas:", "yes" if same_counts(ours, book, environment) else "NO")
        print(HEAD)
        for what, words in (
            ("take", ["take", "--by", "species,method"]),
            ("take", ["take", "--by", "species,method,half-month", "--losses"]),
            ("take", ["take", "--by", "species,cultivar", "--shrink"]),
            ("take", ["take", "--by", "species,stock", "--unit", "stock"]),
            ("compare", ["take", "compare", "method=cleft,whip-and-tongue"]),
        ):
            start = least([*ours, empty, "take"], environment)
            found, bare = (least(told, environment) for told in (
                [*ours, book, *words, "--as-of", DAY], [sys.executable, YARDSTICK, what, book, DAY]))  # fmt: skip
            figures = f"{found.wall:7.2f} s{found.cpu:7.2f} s{found.cpu - start.cpu:8.2f} s{bare.cpu:8.2f} s"
            print(f"{' '.join(words)[:38]:<39}{figures}{found.cpu / bare.cpu:6.2f} x{found.peak:6.0f} MiB", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else None)
