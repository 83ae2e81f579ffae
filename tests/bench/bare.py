"""The yardstick: the same rows written and read with nothing but csv and sqlite3. Run as a whole process.

`bare.py write FOLDER FILE`, `bare.py take FILE`, `bare.py due FILE`, `bare.py list FILE`; the readers read a Graftbook book.
"""

import csv
import sqlite3
import sys
from collections import Counter
from pathlib import Path


def write(folder: str, file: str) -> None:
    """Every row of every CSV file into a table of text columns, one transaction."""
    with sqlite3.connect(file) as book:
        for path in sorted(Path(folder).glob("*.csv")):
            with path.open(encoding="utf-8", newline="") as lines:
                reader = csv.reader(lines)
                header = next(reader)
                columns = ", ".join(f'"{name}"' for name in header)
                book.execute(f"CREATE TABLE {path.stem} ({columns})")
                marks = ", ".join("?" * len(header))
                book.executemany(f"INSERT INTO {path.stem} VALUES ({marks})", reader)


def take(file: str) -> None:
    """Grafts that grew at two looks, by kind and method."""
    with sqlite3.connect(file) as book:
        growing = Counter()
        for graft, state in book.execute('SELECT graft_id, state FROM look ORDER BY graft_id, "on", id'):
            growing[graft] += state == "growing"
        cells = Counter()
        rows = book.execute("SELECT g.id, b.taxon, g.method FROM graft g LEFT JOIN bundle b ON b.id = g.bundle_id")
        for graft, taxon, method in rows:
            cells[taxon, method, growing[graft] > 1] += 1
    print(len(cells))


def due(file: str) -> None:
    """The last look of every graft, with its host's place."""
    with sqlite3.connect(file) as book:
        last = {}
        for graft, on, state in book.execute('SELECT graft_id, "on", state FROM look ORDER BY graft_id, "on", id'):
            last[graft] = on, state
        rows = book.execute("SELECT g.id, g.made_on, p.place FROM graft g LEFT JOIN plant p ON p.id = g.host_plant_id")
        print(sum(last.get(graft, ("", ""))[1] != "dead" for graft, _, _ in rows))


def page(file: str) -> None:
    """One page of a list of plants."""
    with sqlite3.connect(file) as book:
        print(len(book.execute("SELECT * FROM plant ORDER BY number LIMIT 50").fetchall()))


if __name__ == "__main__":
    {"write": write, "take": take, "due": due, "list": page}[sys.argv[1]](*sys.argv[2:])
