"""export --xlsx and --jsonl: the rows of the CSV files, in one file; openpyxl reads the workbook back as the referee."""

from __future__ import annotations

import csv
import json
from datetime import date, datetime
from pathlib import Path

import openpyxl
import pytest
from refusals import refused
from whole_book import fill

from graftbook.actions.exchange import workbook
from graftbook.visible import inert

MISCHIEF = ("=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("http://x.invalid")', "'=1", "\uff1d1", "plain")


def of_csv(folder, name):
    with (Path(folder) / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def as_csv(cell):
    """A cell of the workbook as its CSV file has it."""
    if cell is None:
        return ""
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    return str(int(cell)) if isinstance(cell, float) and cell.is_integer() else str(cell)


def sheets(file):
    made = openpyxl.load_workbook(file)
    return {sheet.title: list(sheet.iter_rows()) for sheet in made.worksheets}


def test_a_workbook_holds_what_the_csv_files_hold_with_days_as_days_and_nothing_to_run(graftbook, location, tmp_path):
    fill(location)
    for number, text in enumerate(MISCHIEF):
        graftbook("stock", "add", "--species", "apple", "--place", text, "--note", f"{text}\x1b[31m {number}")
    done = graftbook("export", "--xlsx", tmp_path / "book.xlsx", "--json")
    assert (0, "") == (done.code, done.err)
    graftbook("export", tmp_path / "out")
    read = sheets(tmp_path / "book.xlsx")
    counted = {row["kind"]: row["rows"] for row in done.rows}
    assert {name: len(rows) - 1 for name, rows in read.items()} == {name: n for name, n in counted.items() if n}
    for name, rows in read.items():
        heads = [cell.value for cell in rows[0]]
        kept = of_csv(tmp_path / "out", name)
        assert list(kept[0]) == heads
        for found, wanted in zip(rows[1:], kept, strict=True):
            for head, cell in zip(heads, found, strict=True):
                if head != "note":  # the note holds signs that XML cannot, shown by their numbers
                    assert wanted[head] == as_csv(cell.value)
                assert "f" != cell.data_type
                if isinstance(cell.value, str):
                    assert inert(cell.value) == cell.value or cell.value.startswith("'")
    plants = {
        row[0].value: dict(zip([c.value for c in read["plants"][0]], row, strict=True)) for row in read["plants"][1:]
    }
    assert datetime(1999, 1, 2) == plants["P3"]["acquired_on"].value and plants["P3"]["acquired_on"].is_date
    assert 120.5 == plants["P3"]["diameter_mm"].value
    assert "\\x1b[31m" in plants["P12"]["note"].value
    assert all(not row["contact"] for row in of_csv(tmp_path / "out", "people"))
    assert "contact" not in {cell.value for cell in read["people"][1] if cell.value}


def test_lines_of_json_are_the_same_rows_with_their_types(graftbook, location, tmp_path):
    fill(location)
    done = graftbook("export", "--jsonl", tmp_path / "book.jsonl", "--json")
    assert (0, "") == (done.code, done.err)
    graftbook("export", tmp_path / "out")
    lines = [json.loads(line) for line in (tmp_path / "book.jsonl").read_text(encoding="utf-8").splitlines()]
    for kind, rows in {row["kind"]: row["rows"] for row in done.rows}.items():
        mine = [line for line in lines if line["kind"] == kind]
        kept = of_csv(tmp_path / "out", kind)
        assert rows == len(mine) == len(kept)
        assert [row.get("uid") for row in kept] == [line["uid"] for line in mine]
    tree = next(line["fields"] for line in lines if line["kind"] == "plants" and line["fields"]["code"] == "P3")
    assert ("1999-01-02", 120.5, 0, "7") == (tree["acquired_on"], tree["diameter_mm"], tree["order"], tree["row"])
    assert date.fromisoformat(tree["measured_on"])
    assert all(line["fields"]["contact"] is None for line in lines if line["kind"] == "people")
    graftbook("export", "--jsonl", tmp_path / "open.jsonl", "--contacts")
    people = [
        json.loads(line) for line in (tmp_path / "open.jsonl").read_text("utf-8").splitlines() if '"people"' in line
    ]
    assert any(line["fields"]["contact"] for line in people)


def test_nothing_is_written_over_but_an_export_and_that_only_when_told(on_sqlite, sqlite_location, tmp_path):
    refused(on_sqlite("export"), 2, "a folder, --xlsx FILE or --jsonl FILE")
    refused(on_sqlite("export", tmp_path / "a", "--xlsx", tmp_path / "b"), 2, "2 of them")
    for flag, name in (("--xlsx", "book.xlsx"), ("--jsonl", "book.jsonl")):
        file = tmp_path / name
        assert 0 == on_sqlite("export", flag, file).code
        refused(on_sqlite("export", flag, file), 21, "already", "--force")
        assert 0 == on_sqlite("export", flag, file, "--force").code
        file.write_bytes(b"PK\x03\x04 mine")
        refused(on_sqlite("export", flag, file, "--force"), 21, "other than an earlier file of this kind")
        refused(on_sqlite("export", flag, sqlite_location, "--force"), 21, "book")
        refused(on_sqlite("export", flag, tmp_path / "none" / name), 21, "no folder")
        assert b"PK\x03\x04 mine" == file.read_bytes()
    changed = tmp_path / "changed.xlsx"
    assert 0 == on_sqlite("export", "--xlsx", changed).code
    openpyxl.load_workbook(changed).save(changed)  # as a spreadsheet does with a person's own changes in it
    refused(on_sqlite("export", "--xlsx", changed, "--force"), 21, "other than an earlier file of this kind")
    assert {"book.xlsx", "book.jsonl", "changed.xlsx"} == {
        p.name for p in tmp_path.iterdir() if p.suffix[:2] in (".x", ".j")
    }


def test_what_a_sheet_or_a_cell_cannot_hold_goes_on_or_is_said(on_sqlite, tmp_path, monkeypatch):
    monkeypatch.setattr(workbook, "MOST_ROWS", 3)
    monkeypatch.setattr(workbook, "MOST_SIGNS", 20)
    for _ in range(5):
        on_sqlite("stock", "add", "--species", "apple", "--note", "x" * 30)
    done = on_sqlite("export", "--xlsx", tmp_path / "book.xlsx")
    assert "longer than a cell can be" in done.out
    read = sheets(tmp_path / "book.xlsx")
    assert [3, 3, 2] == [len(read[name]) for name in ("plants", "plants 2", "plants 3")]
    assert ["P1", "P2", "P3", "P4", "P5"] == [
        row[0].value for name in ("plants", "plants 2", "plants 3") for row in read[name][1:]
    ]


@pytest.mark.parametrize("flag", ["--xlsx", "--jsonl"])
def test_a_full_disk_leaves_nothing(on_sqlite, tmp_path, monkeypatch, flag):
    import os

    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    before = sorted(tmp_path.iterdir())
    refused(on_sqlite("export", flag, tmp_path / "out"), 21, "No space left")
    assert before == sorted(tmp_path.iterdir())
