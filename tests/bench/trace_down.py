"""trace down and the identity of every thing, over ten generations: seconds beyond imports, by the clock and at work where
the machine is shared, whole commands, and the ratio to a bare recursive query in the same run.

`python tests/bench/trace_down.py [GRAFTS]` makes an invented book of that many grafts (50,000) in ten generations, one tree
at its head, with some namings and one mix.
"""

from __future__ import annotations

import csv
import os
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path
from statistics import median

GENERATIONS = 10
BARE = """
import sqlite3, sys
book = sqlite3.connect(sys.argv[1])
print(book.execute('''WITH RECURSIVE clone(bundle) AS (
  SELECT id FROM bundle WHERE cut_plant_id = (SELECT id FROM plant WHERE code = 'P1')
  UNION SELECT b.id FROM clone JOIN graft g ON g.bundle_id = clone.bundle JOIN bundle b ON b.cut_graft_id = g.id)
SELECT count(*) FROM graft WHERE bundle_id IN clone''').fetchone())
"""
TIMED = """
import sys, time
from graftbook.actions import tracing, lineages, living, name_lists
from graftbook.actions.desk import sit_down
import sqlalchemy.dialects.sqlite, graftbook.output.table
desk = sit_down(sys.argv[1])
with desk.book.read() as session:
    session.connection()
begun, busy = time.perf_counter(), time.process_time()
report = tracing.trace_down(desk, 'P1', '2010-01-01')
middle, worked = time.perf_counter(), time.process_time() - busy
name_lists.list_names(desk)
print(len(report.rows), middle - begun, time.perf_counter() - middle, worked)
"""


def write(folder: Path, grafts: int) -> None:
    """plants.csv, wood.csv and grafts.csv: each generation's wood is cut from grafts of the one before."""
    folder.mkdir()
    each = grafts // GENERATIONS
    bundles = max(each // 50, 1)
    stocks = [
        (f"P{n}", "stock", "Malus domestica", "MM.106", "2005-01-01", f"Field {n % 9}")
        for n in range(2, grafts // 2 + 2)
    ]
    plants = [("P1", "tree", "Malus domestica", "", "2000-01-01", "Orchard"), *stocks]
    wood, made = [], []
    for generation in range(GENERATIONS):
        cut = date(2010 + generation, 1, 10)
        for bundle in range(bundles):
            source = "P1" if generation == 0 else f"G{(generation - 1) * each + bundle * 50 + 1}"
            code = f"W{generation * bundles + bundle + 1}"
            wood.append((code, source, "Invented One", cut, each // bundles, 1))
            for number in range(each // bundles):
                graft = generation * each + bundle * (each // bundles) + number + 1
                made.append(
                    (f"G{graft}", code, f"P{graft % (grafts // 2) + 2}", "whip-and-tongue", cut + timedelta(days=60), 1)
                )
    _file(folder / "plants.csv", "code,kind,taxon,clone,acquired_on,place", plants)
    _file(folder / "wood.csv", "code,source,cultivar,cut_on,sticks,buds_per_stick", wood)
    _file(folder / "grafts.csv", "code,wood,host,method,made_on,buds", made)


def _file(path: Path, header: str, rows: list) -> None:
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header.split(","))
        writer.writerows(rows)


def whole(words: list[str], environment: dict[str, str], runs: int = 3) -> float:
    """Median wall seconds of a whole process."""
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        subprocess.run(words, env=environment, stdout=subprocess.DEVNULL, check=True)
        times.append(time.perf_counter() - begun)
    return median(times)


def main(grafts: int) -> None:
    """Build the book and measure."""
    with tempfile.TemporaryDirectory() as place:
        folder, book, empty = Path(place) / "csv", f"{place}/book.sqlite", f"{place}/empty.sqlite"
        write(folder, grafts)
        environment = {**os.environ, "GRAFTBOOK_TODAY": "2027-11-30"}
        ours = [sys.executable, "-m", "graftbook", "--book"]
        for where in (book, empty):
            subprocess.run([*ours, where, "start"], env=environment, stdout=subprocess.DEVNULL, check=True)
        subprocess.run([*ours, book, "import", str(folder)], env=environment, stdout=subprocess.DEVNULL, check=True)
        subprocess.run([*ours, book, "name", "G7", "Invented Two", "--sure", "tested"], env=environment, check=True,
                       stdout=subprocess.DEVNULL)  # fmt: skip
        timed = [subprocess.run([sys.executable, "-c", TIMED, book], env=environment, check=True, capture_output=True, text=True)
                 .stdout.split() for _ in range(3)]  # fmt: skip
        rows, down, names, busy = timed[0][0], *(median(float(run[at]) for run in timed) for at in (1, 2, 3))
        print(f"{grafts:,} grafts, {GENERATIONS} generations, {rows} rows of trace down")
        print(
            f"trace down beyond imports {down:.2f} s, of it at work {busy:.2f} s; what everything is, beyond imports {names:.2f} s"
        )
        command, bare = ["trace", "down", "P1", "--json"], whole([sys.executable, "-c", BARE, book], environment)
        took, start = whole([*ours, book, *command], environment), whole([*ours, empty, "journal"], environment)
        print(
            f"whole command {took:.2f} s (start {start:.2f} s); bare recursive query {bare:.2f} s, {took / bare:.0f} x"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50_000)
