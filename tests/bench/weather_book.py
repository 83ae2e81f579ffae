"""Twenty stations of sixty years in, and out again as warmth: seconds beside a bare script doing the same in the same run.

The yardsticks: for the import, the standard library reading the same files into a table of one row a day; for the warmth of
grafts, a plain loop over their days.
"""

from __future__ import annotations

import json
import math
import os
import random
import sqlite3
import sys
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import invented_book

STATIONS, YEARS, LAST = 20, 60, 2026


def write_dly(folder: Path) -> list[Path]:
    """One invented `.dly` file a station, some values missing."""
    chance, files = random.Random(7), []
    for number in range(STATIONS):
        name = f"XX{number:09}"
        lines = []
        for year in range(LAST - YEARS + 1, LAST + 1):
            for month in range(1, 13):
                days = (date(year + month // 12, month % 12 + 1, 1) - timedelta(days=1)).day
                mean = 90 - 80 * math.cos(2 * math.pi * (month - 0.9) / 12)
                lows = [int(mean - 45 + chance.gauss(0, 25)) for _ in range(days)]
                highs = [low + 30 + int(abs(chance.gauss(60, 25))) for low in lows]
                for element, values in (("TMAX", highs), ("TMIN", lows)):
                    cells = [f"{-9999 if chance.random() < 0.005 else value:5}  W" for value in values]
                    cells += ["-9999   "] * (31 - days)
                    lines.append(f"{name}{year}{month:02}{element}{''.join(cells)}\n")
        path = folder / f"{name}.dly"
        path.write_text("".join(lines), encoding="ascii")
        files.append(path)
    return files


def bare_import(files: list[Path], book: Path) -> float:
    """Seconds for the standard library to read the files and keep one row a day."""
    begun = time.perf_counter()
    with sqlite3.connect(book) as connection:
        connection.execute("CREATE TABLE day (station TEXT, day TEXT, low REAL, high REAL, PRIMARY KEY (station, day))")
        for path in files:
            held: dict[str, list] = {}
            with path.open(encoding="ascii") as lines:
                for line in lines:
                    side = line[17:21] == "TMAX"
                    for at in range(31):
                        value = int(line[21 + 8 * at : 26 + 8 * at])
                        if value != -9999:
                            held.setdefault(f"{line[11:15]}-{line[15:17]}-{at + 1:02}", [None, None])[side] = value / 10
            rows = [(path.stem, day, *pair) for day, pair in held.items()]
            connection.executemany("INSERT INTO day VALUES (?, ?, ?, ?)", rows)
    return time.perf_counter() - begun


def ours(files: list[Path], book: Path) -> float:
    """Seconds for as many imports in one process, the book opened for each as a command does."""
    from graftbook.actions.desk.desk import sit_down
    from graftbook.actions.weather import weather_import

    begun = time.perf_counter()
    for number, path in enumerate(files):
        desk = sit_down(str(book))
        weather_import.import_weather(desk, [path], f"Station {number}", weather_import.FileWords())
        desk.book.close()
    return time.perf_counter() - begun


def undone(book: Path) -> float:
    """Seconds to undo the last of those imports."""
    from graftbook.actions.desk import journal
    from graftbook.actions.desk.desk import sit_down

    desk = sit_down(str(book))
    begun = time.perf_counter()
    newest = journal.journal(desk, 1).rows[0].entry
    journal.undo(desk, newest)
    taken = time.perf_counter() - begun
    desk.book.close()
    return taken


def warmth(book: Path) -> tuple[float, float, int]:
    """Seconds for the warmth of every graft since it was made: ours, and a plain loop over the days of some, scaled up."""
    from graftbook.actions.desk.desk import sit_down
    from graftbook.actions.weather.graft_warmth import GraftWarmth

    desk = sit_down(str(book))
    with desk.book.read() as session:
        begun = time.perf_counter()
        every = GraftWarmth.of(session, None, date(LAST, 12, 31))
        sums = every.since_made()
        mine = time.perf_counter() - begun
        days = every.weather.days(None)
        lows, highs, first = days.low.tolist(), days.high.tolist(), days.first
        some = every.grafts[:: max(len(every.grafts) // 500, 1)]
        begun = time.perf_counter()
        for graft in some:
            total = 0.0
            for at in range((graft.made_on - first).days, len(lows)):
                if lows[at] == lows[at] and highs[at] == highs[at]:
                    total += _sine(lows[at], highs[at], 5.0)
            if abs(total - sums[graft.id][0]) > 1e-6 * max(total, 1):
                raise SystemExit(f"{graft.code}: {total} by the loop, {sums[graft.id][0]} by ours")
        loop = (time.perf_counter() - begun) * len(sums) / len(some)
    desk.book.close()
    return mine, loop, len(sums)


def _sine(low: float, high: float, base: float) -> float:
    mean, swing = (low + high) / 2, (high - low) / 2
    if low >= base:
        return mean - base
    if high <= base:
        return 0.0
    angle = math.asin((base - mean) / swing)
    return ((mean - base) * (math.pi / 2 - angle) + swing * math.cos(angle)) / math.pi


def main(grafts: int) -> None:
    """Write the files, import them both ways, and sum."""
    from graftbook.cli.main import main as command

    with tempfile.TemporaryDirectory() as place:
        folder, book = Path(place), Path(place) / "book.sqlite"
        os.environ["GRAFTBOOK_TODAY"] = "2027-11-30"
        files = write_dly(folder)
        print(f"{STATIONS} stations, {YEARS} years: {sum(path.stat().st_size for path in files) / 1e6:.0f} MB")
        command(["--book", str(book), "start"])
        mine, bare = ours(files, book), bare_import(files, folder / "bare.sqlite")
        print(f"{'import':<28}{mine:8.2f} s{bare:9.2f} s bare{mine / bare:8.1f} x")
        print(
            f"{'book':<28}{book.stat().st_size / 1e6:8.1f} MB{(folder / 'bare.sqlite').stat().st_size / 1e6:8.1f} MB bare"
        )
        print(f"{'undo of one import':<28}{undone(book):8.2f} s")
        print(json.dumps(invented_book.write(folder / "csv", grafts)))
        command(["--book", str(book), "import", str(folder / "csv")])
        mine, loop, number = warmth(book)
        print(f"{f'warmth of {number:,} grafts':<28}{mine:8.2f} s{loop:9.2f} s loop{mine / loop:8.3f} x")


if __name__ == "__main__":
    main(int(sys.argv[1]))
