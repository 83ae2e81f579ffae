"""The whole command `plan` on a book of nursery size: seconds and peak memory beside the import of that book, the yardstick.

Nothing is asserted. PYTHONPATH=. python tests/bench/plan_command.py [PIECES [STOCKS]]. The book is invented: twenty cultivars
of apple, bundles of sticks of six to nine buds, stocks measured to a tenth of a millimetre on three clones and three sites.
"""

from __future__ import annotations

import csv
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

CLONES, SITES = ("M.26", "MM.106", "MM.111"), ("home", "school", "hill")
CULTIVARS = 20


def write(folder: Path, pieces: int, stocks: int) -> None:
    """The book as CSV files: about so many pieces of two or three buds, so many stocks, a want for each cultivar."""
    chance = random.Random(11)
    folder.mkdir()
    _file(folder, "plants", "code,kind,taxon,clone,diameter_mm,site", (
        (f"P{at + 1}", "stock", "Malus domestica", chance.choice(CLONES), round(chance.uniform(6, 14), 1), chance.choice(SITES))
        for at in range(stocks)
    ))  # fmt: skip
    bundles = max(CULTIVARS, pieces // 24)
    _file(folder, "wood", "code,cultivar,taxon,cut_on,sticks,length_mm,buds_per_stick,diameter_min_mm,diameter_max_mm", (
        (f"W{at + 1}", f"Invented {at % CULTIVARS}", "Malus domestica", "2027-01-14", 8, 35 * (buds := chance.randint(6, 9)), buds,
         round((thick := round(chance.uniform(7, 11), 1)) * 0.7, 1), thick)
        for at in range(bundles)
    ))  # fmt: skip
    each = stocks // CULTIVARS
    _file(folder, "wants", "cultivar,trees,living,priority", (
        (f"Invented {at}", round(each * chance.uniform(0.4, 1.2)), 2 if at % 4 == 0 else "", chance.randint(1, 3))
        for at in range(CULTIVARS)
    ))  # fmt: skip


def _file(folder: Path, name: str, headers: str, rows) -> None:
    with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([headers.split(","), *rows])


def measured(words: list[str]) -> tuple[float, float, str]:
    """Wall seconds, peak MiB and stdout of one whole process."""
    begun = time.perf_counter()
    environment = {**os.environ, "GRAFTBOOK_TODAY": "2027-03-20"}
    with subprocess.Popen(
        [sys.executable, "-m", "graftbook", *words], env=environment, stdout=subprocess.PIPE, text=True
    ) as process:
        out = process.stdout.read()
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(words)} failed")
    return time.perf_counter() - begun, usage.ru_maxrss / 1024, out


def main(pieces: int, stocks: int) -> None:
    """Build the book and measure."""
    with tempfile.TemporaryDirectory() as place:
        folder, book = Path(place) / "csv", ["--book", f"{place}/book.sqlite"]
        write(folder, pieces, stocks)
        measured([*book, "start"])
        yard, peak, _ = measured([*book, "import", str(folder)])
        print(f"{'import of the book':<34}{yard:8.2f} s{'':10}{peak:8.0f} MiB")
        methods = ["--method", "whip-and-tongue,cleft,side-veneer"]
        for what, words in (("plan, kept", ["plan", *methods]), ("plan show", ["plan", "show"]),
                            ("plan sheet", ["plan", "sheet", "-o", f"{place}/bench.pdf"]),
                            ("graft --plan --done", ["graft", "--plan", "1", "--done"])):  # fmt: skip
            seconds, peak, out = measured([*book, *words, "--json"])
            print(f"{what:<34}{seconds:8.2f} s{seconds / yard:8.1f} x{peak:8.0f} MiB")
            if what == "plan, kept":
                told = json.loads(out)
                worst = max((level["gap"] for level in told["levels"]), default=0.0)
                print(
                    f"  {len(told['rows'])} grafts, {told['status']}, solver {told['seconds']:.2f} s, largest gap {worst:.3%}"
                )


if __name__ == "__main__":
    main(*(int(word) for word in (sys.argv[1:] or (2000, 2000))[:2]))
