"""A book rebuilt from the published tables of take: one stock and one stick a graft, as CSV files to import."""

from __future__ import annotations

import csv
import json
from datetime import date, timedelta
from pathlib import Path

from graftbook.trade import tables

LINES = tuple(
    csv.DictReader((Path(__file__).parent / "published" / "take_tables.csv").read_text(encoding="utf-8").splitlines())
)
TABLES = tuple(dict.fromkeys(line["table"] for line in LINES))
OWN = {"side-tongue": "side-veneer", "hot-callus": "omega", "bud-graft": "T-bud"}
AS_OF = "2027-06-30"


def of(table):
    return [line for line in LINES if line["table"] == table]


def made_on(line):
    return date.fromisoformat(f"2026-{line['made']}")


def write(path, headers, rows):
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([headers.split(","), *rows])


def own_methods(folder, lines):
    shipped = {row["method"]: row for row in tables.rows("methods")}
    rows = [
        ("methods", json.dumps({**shipped[OWN[m]], "method": m, "names": "", "source": "as printed"}))
        for m in sorted({line["method"] for line in lines} & set(OWN))
    ]
    write(folder / "own_rows.csv", "table,fields", rows)


def looks_of(code, line, reached):
    def on(days):
        return (made_on(line) + timedelta(days=days)).isoformat()

    if not reached:
        return [(code, on(60), "dead")]
    return [(code, on(days), "growing" if line["endpoint"] == "took" else "pushing") for days in (100, 150)]


def write_book(folder, lines, in_blocks=True):
    """One stock and one stick a graft, one bundle a line of the table, and each line a block unless they are to be compared."""
    plants, wood, grafts, looks = [], [], [], []
    for line in lines:
        bundle = f"W{line['line']}"
        summer = "summer" if made_on(line).month > 5 else "dormant"
        cut = made_on(line) - timedelta(days=2)
        wood.append((bundle, line["taxon"], cut, line["grafts"], summer))
        for attempt in range(int(line["grafts"])):
            number = len(grafts) + 1
            plants.append((f"P{number}", "stock", line["taxon"]))
            grafts.append(
                (
                    f"G{number}",
                    bundle,
                    f"P{number}",
                    line["method"],
                    made_on(line),
                    f"line {line['line']}" if in_blocks else "",
                )
            )
            looks += looks_of(f"G{number}", line, attempt < int(line["reached"]))
    own_methods(folder, lines)
    write(folder / "plants.csv", "code,kind,taxon", plants)
    write(folder / "wood.csv", "code,taxon,cut_on,sticks,wood_kind", wood)
    write(folder / "grafts.csv", "code,wood,host,method,made_on,block", grafts)
    write(folder / "looks.csv", "graft,on,state", looks)
