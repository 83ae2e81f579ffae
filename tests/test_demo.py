"""demo/run, played from beginning to end, and what it leaves held against itself and against other readers."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from statsmodels.stats.proportion import proportion_confint

from graftbook.codes import with_check

ROOT = Path(__file__).parent.parent


@dataclass(frozen=True)
class Played:
    """The folder the demo left, and what it told meanwhile."""

    folder: Path
    told: str

    @property
    def printed(self) -> str:
        """Every command with what it printed."""
        return (self.folder / "played.txt").read_text(encoding="utf-8")

    def graftbook(self, *words: str, book: str = "book.sqlite") -> str:
        """What a command prints of a book of the demo, on its last day."""
        command = [sys.executable, "-m", "graftbook", "--book", str(self.folder / book), *words]
        done = subprocess.run(command, cwd=ROOT, env=_environment(), capture_output=True, text=True, encoding="utf-8")
        assert (0, "") == (done.returncode, done.stderr), words
        return done.stdout

    def rows(self, *words: str) -> list[dict]:
        """The rows of a report."""
        return json.loads(self.graftbook(*words, "--json"))["rows"]

    def kept(self, name: str) -> list[dict[str, str]]:
        """The lines of one file of the demo's export."""
        with (self.folder / "export" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    def read_back(self, name: str) -> list[list[str]]:
        """What another program reads off each page of a PDF of tags, rendered at 150 dots an inch."""
        document = pypdfium2.PdfDocument(self.folder / name)
        pages = [page.render(scale=150 / 72).to_pil() for page in document]
        document.close()
        return [[symbol.text for symbol in zxingcpp.read_barcodes(page)] for page in pages]


def _environment(**more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GRAFTBOOK_")}
    kept.update(PYTHONUTF8="1", GRAFTBOOK_TODAY="2026-10-18", **more)
    return kept


def _play(folder: Path) -> subprocess.CompletedProcess[str]:
    environment = _environment(GRAFTBOOK_DEMO_PYTHON=sys.executable, GRAFTBOOK_DEMO_OUT=str(folder))
    command = ["sh", str(ROOT / "demo" / "run")]
    return subprocess.run(command, env=environment, capture_output=True, text=True, encoding="utf-8", cwd=folder.parent)


@pytest.fixture(scope="session")
def played(tmp_path_factory) -> Played:
    """The demo, played once for all; what GRAFTBOOK_DEMO_PLAYED names is taken as played: a folder, and beside it what the
    demo printed, in a file of the folder's name and `.txt`."""
    already = os.environ.get("GRAFTBOOK_DEMO_PLAYED")
    if already:
        return Played(ROOT / already, (ROOT / f"{already}.txt").read_text(encoding="utf-8"))
    folder = tmp_path_factory.mktemp("demo") / "out"
    done = _play(folder)
    assert (0, "") == (done.returncode, done.stderr), f"{done.stdout[-2000:]}\n{done.stderr}"
    return Played(folder, done.stdout)


def _tag_codes(*runs: tuple[str, int, int]) -> set[str]:
    """What the tags of runs of codes carry: each code with its check character."""
    return {with_check(f"{letter}{number}") for letter, first, last in runs for number in range(first, last + 1)}


def test_the_demo_ends_by_naming_what_it_left(played):
    left = {"book.sqlite", "export", "tags-letter.pdf", "tags-a4.pdf", "tags-stake.pdf", "tags-letter-sheet-2.pdf",
            "tags-blank.pdf", "calibrate-letter.pdf", "tag-G114.png", "curve-date.png", "course.png", "review.pdf",
            "review.html", "tree-P16.pdf", "bench.pdf", "living.csv", "round.ics", "round.pdf", "played.txt"}  # fmt: skip
    tables = {f"take-{name}.{form}" for name in ("species-method", "half-month") for form in ("txt", "csv", "json")}

    assert left | tables == {path.name for path in played.folder.iterdir()} - {"book.sqlite-wal", "book.sqlite-shm"}
    listed = played.printed.split("== What is left")[1]
    assert [] == [name for name in left | tables if name not in listed]


def test_every_part_stands_in_its_place_and_nothing_breaks(played):
    parts = [line for line in played.printed.splitlines() if line.startswith("== ")]
    days = [line[-11:-1] for line in parts]

    assert len(parts) >= 12
    assert sorted(days) == days
    assert "bug of ours" not in played.printed
    assert "Traceback" not in played.printed


def test_what_is_told_is_a_few_pages_and_names_where_the_rest_is(played):
    lines = played.told.splitlines()

    assert len(lines) < 300
    assert [] == [line for line in lines if len(line) > 80]
    assert "played.txt" in lines[-1]
    assert 50 < sum(line.startswith("$ graftbook ") for line in lines)
    assert all(line.removesuffix(" …") in played.printed for line in lines)


def test_what_must_be_refused_is_refused(played):
    refused = Counter(line for line in played.printed.splitlines() if line.startswith("[exit code"))

    assert {"[exit code 21]": 6, "[exit code 2]": 2, "[exit code 3]": 2, "[exit code 23]": 1} == dict(refused)


def test_the_orchard_is_of_the_size_promised(played):
    """As written out after the two years; the steps that follow add to the book."""
    assert (40, 23, 120) == tuple(len(played.kept(name)) for name in ("plants", "wood", "grafts"))


def test_several_attempts_graft_on_graft_and_undone_codes_are_kept(played):
    grafts = played.kept("grafts")
    hosts = Counter(row["host"] for row in grafts)

    assert ["G8", "G87"] == [row["code"] for row in grafts if row["host"] == "P24"]
    assert {"G34": 1, "G35": 1} == {host: number for host, number in hosts.items() if host.startswith("G")}
    assert "G117" not in {row["code"] for row in grafts}
    assert "G,142" in (played.folder / "export" / "codes.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize("endpoint", ["took", "moved", "set", "standing", "established"])
def test_the_totals_of_take_reconcile(played, endpoint):
    rows = played.rows("take", "--by", "species,method", "--endpoint", endpoint)
    parts = ("took", "failed", "lost_otherwise", "waiting", "unknown")

    assert [row["made"] for row in rows] == [sum(row[part] for part in parts) for row in rows]
    assert (24 if endpoint == "set" else 120) == sum(row["made"] for row in rows)


def test_take_counts_what_the_files_hold(played):
    by_method = Counter(row["method"] for row in played.kept("grafts"))
    by_half = Counter(
        f"{row['made_on'][:8]}{'01' if row['made_on'][8:] <= '15' else '16'}" for row in played.kept("grafts")
    )

    assert by_method == {row["method"]: row["made"] for row in played.rows("take", "--by", "method")}
    assert by_half == {row["half_month"]: row["made"] for row in played.rows("take", "--by", "half-month")}


def test_the_ranges_agree_with_those_of_statsmodels(played):
    """Wilson score intervals as statsmodels gives them (proportion_confint, method 'wilson')."""
    every = [row for row in played.rows("take", "--by", "species,method") if row["n"]]
    rows = [row for row in every if row["rate"] is not None]
    theirs = [proportion_confint(row["k"], row["n"], 0.05, "wilson") for row in rows]

    assert len(rows) > 10
    assert all(row["k"] == 0 and row["waiting"] for row in every if row["rate"] is None)  # too early for a rate
    assert [pytest.approx(low, abs=1e-9) for low, _ in theirs] == [row["low"] for row in rows]
    assert [pytest.approx(high, abs=1e-9) for _, high in theirs] == [row["high"] for row in rows]


def test_a_graft_that_sat_a_year_failed_by_the_autumn_and_took_in_the_end(played):
    def took(as_of: str) -> int:
        rows = played.rows("take", "--by", "method", "--as-of", as_of)
        return next(row["k"] for row in rows if row["method"] == "side-veneer")

    assert 3 == took("2025-11-15")
    assert 4 == took("2026-10-18")


def test_the_take_tables_kept_as_files_are_the_same_rows(played):
    kept = json.loads((played.folder / "take-species-method.json").read_text(encoding="utf-8"))["rows"]
    with (played.folder / "take-species-method.csv").open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))

    assert list(kept[0]) == list(lines[0])
    assert [(row["species"], row["method"], row["made"], row["k"]) for row in kept] == [
        (line["species"], line["method"], int(line["made"]), int(line["k"])) for line in lines
    ]


def test_every_tag_on_the_letter_sheets_is_read_back(played):
    pages = played.read_back("tags-letter.pdf")

    assert [30, 10] == [len(page) for page in pages]
    assert _tag_codes(("P", 1, 40)) == {text for page in pages for text in page}


def test_every_tag_on_the_part_used_a4_sheet_is_read_back(played):
    (page,) = played.read_back("tags-a4.pdf")

    assert _tag_codes(("G", 114, 116), ("G", 118, 121)) == set(page)
    assert 7 == len(page)


def test_every_stake_is_read_back(played):
    pages = played.read_back("tags-stake.pdf")

    assert {1} == {len(set(page)) for page in pages}
    assert _tag_codes(("P", 20, 26), ("P", 28, 36), ("P", 38, 40)) == {text for page in pages for text in page}
    assert 19 == len(pages)


def test_the_export_taken_in_and_written_again_is_the_same_byte_for_byte(played, tmp_path):
    second = str(tmp_path / "second.sqlite")
    played.graftbook("start", book=second)
    played.graftbook("import", str(played.folder / "export"), book=second)
    played.graftbook("export", str(tmp_path / "again"), book=second)
    files = sorted(path.name for path in (played.folder / "export").iterdir())

    assert files == sorted(path.name for path in (tmp_path / "again").iterdir())
    assert [] == [
        name
        for name in files
        if (played.folder / "export" / name).read_bytes() != (tmp_path / "again" / name).read_bytes()
    ]


def test_tables_and_their_notes_fit_eighty_columns(played):
    blocks = [block for block in played.printed.split("\n\n") if "\n──" in block]
    too_wide = [line for block in blocks for line in block.splitlines() if len(line) > 80]

    assert len(blocks) > 10
    assert [] == too_wide


def test_the_demo_leaves_a_folder_that_is_not_its_own_alone(tmp_path):
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "letter.txt").write_text("keep", encoding="utf-8")
    done = _play(mine)

    assert 2 == done.returncode
    assert "is not empty" in done.stderr
    assert ["letter.txt"] == [path.name for path in mine.iterdir()]
