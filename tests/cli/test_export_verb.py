"""export, and taking in what it wrote: the same book again, on both databases; and every way it can go wrong."""

from __future__ import annotations

import os
from pathlib import Path

from refusals import refused
from whole_book import contents, fill

NAMES = (
    "settings", "own_rows", "plants", "prunes", "wood", "grafts", "movements", "inspections", "stages", "stays", "looks",
    "care", "notes", "tag_runs", "reserved", "stations", "weather", "place_weather", "namings", "synonyms", "people",
    "requests", "wants", "plans", "plan_rows", "sheets", "sheet_rows", "former", "codes",
)  # fmt: skip


def texts(folder):
    return {path.name: path.read_bytes() for path in sorted(Path(folder).iterdir())}


def test_a_book_written_out_and_taken_in_is_the_same_book(graftbook, location, other, tmp_path):
    fill(location)
    graftbook("settings", "units=in", "name=Æblegård, top")
    done = graftbook("export", tmp_path / "out", "--contacts", "--json")
    assert (0, "") == (done.code, done.err)
    assert [f"{name}.csv" for name in NAMES] == [row["file"] for row in done.rows]
    taken = graftbook("--book", other, "import", tmp_path / "out")
    assert (0, "") == (taken.code, taken.err)
    assert contents(location) == contents(other)
    assert 0 == graftbook("--book", other, "export", tmp_path / "again", "--contacts").code
    assert texts(tmp_path / "out") == texts(tmp_path / "again")
    assert graftbook("settings", "--json").rows == graftbook("--book", other, "settings", "--json").rows


def test_codes_given_before_are_never_given_again_in_the_new_book(graftbook, location, other, tmp_path, write):
    fill(location)
    graftbook("export", tmp_path / "out")
    graftbook("--book", other, "import", tmp_path / "out")
    done = graftbook("--book", other, "import", write(plants="kind,taxon\nstock,apple\n") / "plants.csv")
    assert "Imported 1 plant (P12)." in done.out


def test_the_promised_headers_come_first(graftbook, tmp_path):
    graftbook("export", tmp_path / "out")
    promised = {
        "plants": "code,kind,taxon,cultivar,clone,diameter_mm,site,place,row,order,acquired_on,from,stage,died_on,note",
        "wood": "code,source,cultivar,donor,cut_on,stored_on,store,temperature_c,sticks,length_mm,buds_per_stick,"
        "diameter_min_mm,diameter_max_mm,note",
        "grafts": "code,wood,stick,host,method,made_on,scion_mm,stock_mm,buds,tie,seal,who,place,stage,limb,bearing_deg,"
        "height_mm,note",
        "looks": "graft,on,state,shoot_mm,cause,union,who,note",
    }
    for name, headers in promised.items():
        assert (tmp_path / "out" / f"{name}.csv").read_text(encoding="utf-8").startswith(headers + ",")


def test_importing_its_own_export_is_refused(graftbook, location, tmp_path):
    fill(location)
    graftbook("export", tmp_path / "out")
    before = contents(location)
    again = graftbook("import", tmp_path / "out")
    assert 3 == again.code
    carried_by_wood = 3  # the movements by which W1, W2 and W6 came in have no row of their own
    assert len(before) - carried_by_wood == again.err.count("this row is in the book already")
    assert before == contents(location)


def test_export_refuses_files_of_a_book_unless_forced(graftbook, season, tmp_path):
    out = tmp_path / "out"
    assert 0 == graftbook("export", out).code
    (out / "mine.txt").write_text("mine")
    before = texts(out)
    graftbook("import", season)
    refused = graftbook("export", out)
    assert (21, "") == (refused.code, refused.out)
    assert "--force" in refused.err
    assert before == texts(out)
    assert 0 == graftbook("export", out, "--force").code
    assert b"P3" in texts(out)["plants.csv"]
    assert b"mine" == texts(out)["mine.txt"]


def test_export_that_cannot_be_written_leaves_nothing(graftbook, season, tmp_path, monkeypatch):
    graftbook("import", season)
    (tmp_path / "file").write_text("x")
    assert 2 == graftbook("export", tmp_path / "file").code
    assert 21 == graftbook("export", tmp_path / "none" / "out").code

    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    before = sorted(tmp_path.iterdir())
    done = graftbook("export", tmp_path / "out")
    assert (21, "") == (done.code, done.out)
    assert "No space left" in done.err
    assert before == sorted(tmp_path.iterdir())


def test_no_flag_lets_a_file_be_written_over_a_book_or_over_what_is_no_export(on_sqlite, sqlite_location, tmp_path):
    on_sqlite("tree", "add", "Quern Russet", "--species", "apple")
    kept = Path(sqlite_location).read_bytes()
    for words in (("mcpd", "-o", sqlite_location, "--force"), ("mcpd", "-o", f"{sqlite_location}-wal", "--force")):
        refused(on_sqlite(*words), 21, "book")
    assert kept == Path(sqlite_location).read_bytes()
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "plants.csv").write_text("code,kind,my own column\nP1,tree,x\n")
    refused(on_sqlite("mcpd", "-o", mine / "plants.csv", "--force"), 21, "other than an earlier file of this kind")
    refused(on_sqlite("export", mine, "--force"), 21, "plants.csv", "other than an earlier file of this kind")
    assert ["plants.csv"] == [path.name for path in mine.iterdir()]
    (mine / "plants.csv").unlink()
    (mine / "wood.csv").symlink_to(sqlite_location)
    refused(on_sqlite("export", mine, "--force"), 21, "is a link that leads to")
    (mine / "wood.csv").unlink()
    assert 0 == on_sqlite("export", mine).code
    assert 0 == on_sqlite("export", mine, "--force").code
    assert 0 == on_sqlite("doctor").code
