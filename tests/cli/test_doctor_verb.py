"""doctor: a sound book is said to be sound, and every kind of damage is found, by code, on both databases."""

from __future__ import annotations

import csv
import io
import shlex
import shutil
import sqlite3
from collections.abc import Sequence
from pathlib import Path

import pytest

from graftbook.actions.soundness import doctor as verb
from graftbook.actions.soundness import stick_checks
from graftbook.actions.soundness.circle_checks import circles
from graftbook.book.balances import Balance

SEASON = (
    "tree add 'Stoneway Pearmain' --species apple --place home --acquired 2019-11-02",
    "stock add MM.106 --count 6 --grade 6-9mm --place bench --acquired 2026-12-01",
    "prune P1 --on 2027-01-14 --save '20 sticks 6-9mm 25cm 6 buds'",
    "wood store W1 --store cellar --temperature 2C --on 2027-01-15",
    "wood store W1 --store barn --temperature 4C --on 2027-02-15",
    "wood inspect W1 sound --on 2027-02-16",
    "wood give W1/20 1 --to Kesten --on 2027-02-17",
    "wood count W1 18 --on 2027-02-18",
    "tree stage P1 'green tip' --on 2027-03-20",
    "tree stage P1 'pink' --on 2027-04-10",
    "graft W1 P2-P4 --method whip-and-tongue --on 2027-03-28",
    "graft W1/9 P5 --method chip-bud --on 2027-03-28",
    "graft W1 G1 --method cleft --on 2027-04-02",
    "look G1-G3 growing --on 2027-06-20",
    "look G4 set --on 2027-05-20",
    "care G1 tie-released --on 2027-06-21",
    "care P4 gone-home --on 2027-07-01",
    "prune P1 --on 2027-07-20 --save '2 sticks 5mm'",
    "name P1 'Stoneway Pearmain' --sure 'verified by fruit' --on 2027-07-30",
    "want add 'Stoneway Pearmain' 2",
    "look G2 dead --on 2027-08-01",
    "look G3 growing --on 2027-06-30",
)


def words(line: str) -> list[str]:
    return shlex.split(line)


_KEPT: dict[str, str] = {}


def _fill(command, folder: Path) -> None:
    """A season with every thing in it, an entry undone among them."""
    for line in SEASON:
        done = command(*words(line))
        assert (0, "") == (done.code, done.err), line
    assert command("tags", "blank", "3", "--medium", "letter-30up", "-o", str(folder / "blank.pdf")).code == 0
    entry = command("journal", "--verb", "look", "--json").rows[0]["entry"]
    assert command("undo", str(entry)).code == 0


@pytest.fixture
def book(request, command, location, monkeypatch, tmp_path, tmp_path_factory) -> str:
    """Where a book with that season in it is: it is filled once on each database and copied for every test."""
    on_server = "://" in location
    kind = "postgres" if on_server else "sqlite"
    if kind not in _KEPT:
        filled = request.getfixturevalue("server").make("empty_book") if on_server else location
        monkeypatch.setenv("GRAFTBOOK_BOOK", filled)
        _fill(command, tmp_path)
        if not on_server:
            sqlite3.connect(location).execute("PRAGMA wal_checkpoint(TRUNCATE)").connection.close()
            kept = tmp_path_factory.mktemp("season") / "book.sqlite"
            shutil.copy(location, kept)
        _KEPT[kind] = filled.split("?")[0].rsplit("/", 1)[1] if on_server else str(kept)
    if on_server:
        return request.getfixturevalue("postgres")(_KEPT[kind])
    copy = tmp_path / "season.sqlite"
    shutil.copy(_KEPT[kind], copy)
    return str(copy)


@pytest.fixture
def season(command, book, monkeypatch):
    """Commands on that book."""
    monkeypatch.setenv("GRAFTBOOK_BOOK", book)
    return command


def damage(location: str, statements: Sequence[str]) -> None:
    """Change a book past the program, its foreign keys and checks turned off."""
    if "://" in location:
        import psycopg

        with psycopg.connect(location, autocommit=True) as connection:
            connection.execute("SET session_replication_role = replica")
            for statement in statements:
                connection.execute(statement)
        return
    connection = sqlite3.connect(location, isolation_level=None)
    connection.execute("PRAGMA foreign_keys = OFF")
    connection.execute("PRAGMA ignore_check_constraints = ON")
    for statement in statements:
        connection.execute(statement)
    connection.close()


GRAFT = "(SELECT id FROM graft WHERE code = '{}')"
NEXT = "(SELECT max(id) + 1 FROM {})"
NEWEST_LOOK = "(SELECT max(id) FROM look)"
GONE_LOOK = "(SELECT row_uid FROM change WHERE operation = 'delete' AND table_name = 'look')"

# What the check is called, the damage, the code it is about, and what else it must break besides `values`.
BREACHES: tuple[tuple[str, tuple[str, ...], str | None, frozenset[str]], ...] = (
    ("tables", ("ALTER TABLE look DROP COLUMN photo",), None, frozenset()),
    ("links", (f"UPDATE look SET graft_id = 999 WHERE id = {NEWEST_LOOK}",), None, frozenset()),
    ("codes", ("UPDATE reserved_code SET code = 'X7' WHERE code = 'G6'",), "X7", frozenset()),
    ("counters", ("UPDATE counter SET last = 7 WHERE letter = 'G'",), "G8", frozenset()),
    ("counters", ("UPDATE counter SET last = 6 WHERE letter = 'P'",), "P7", frozenset()),
    ("sticks left", ("UPDATE movement SET sticks = 3 WHERE kind = 'saved' AND sticks = 20",), "W1", frozenset({"sticks named"})),
    ("sticks left", ("UPDATE graft SET sticks_drawn = 40 WHERE code = 'G1'",), "W1", frozenset()),
    ("sticks named", ("UPDATE graft SET stick = 99 WHERE code = 'G4'",), "G4", frozenset()),
    ("sticks named", ("UPDATE graft SET stick = 20 WHERE code = 'G4'",), "G4", frozenset()),
    ("sticks named", ("UPDATE movement SET stick = 99 WHERE kind = 'given'",), "W1", frozenset()),
    ("changes", (f"DELETE FROM look WHERE id = {NEWEST_LOOK}",), "G2", frozenset()),
    ("changes", ("DELETE FROM change WHERE table_name = 'plant'",), "P1", frozenset()),
    ("changes", ("DELETE FROM change WHERE table_name = 'look' AND operation = 'insert'",), "G1", frozenset({"undone"})),
    (
        "undone",
        (f"INSERT INTO look (uid, graft_id, \"on\", state) SELECT {GONE_LOOK}, id, '2027-06-30', 'growing' FROM graft WHERE code"
         " = 'G3'",),
        "G3", frozenset({"changes"}),
    ),
    ("undone", ("DELETE FROM change WHERE operation = 'delete'",), "G3", frozenset({"changes"})),
    ("values", ("UPDATE plant SET cultivar = 'Kelders' WHERE code = 'P1'",), "P1", frozenset()),
    ("values", (f"UPDATE look SET \"on\" = '2027-08-02' WHERE id = {NEWEST_LOOK}",), "G2", frozenset()),
    ("undoing", ("UPDATE entry SET undone_by = NULL WHERE undone_by IS NOT NULL",), None, frozenset()),
    ("days of plants", ("UPDATE plant SET acquired_on = '2027-05-01' WHERE code = 'P1'",), "P1", frozenset({"days of wood"})),
    ("days of plants", ("UPDATE plant SET died_on = '2027-07-19' WHERE code = 'P1'",), "P1", frozenset({"days of wood"})),
    ("days of wood", ("UPDATE bundle SET cut_on = '2027-03-01' WHERE code = 'W1'",), "W1", frozenset()),
    ("days of wood", ("UPDATE bundle SET cut_on = '2018-03-01' WHERE code = 'W1'",), "P1", frozenset()),
    ("days of grafts", ("UPDATE bundle SET cut_on = '2027-03-30' WHERE code = 'W1'",), "G2", frozenset({"days of wood"})),
    ("days of grafts", ("UPDATE plant SET acquired_on = '2027-04-01' WHERE code = 'P2'",), "G1", frozenset()),
    ("days of grafts", ("UPDATE plant SET died_on = '2027-04-01' WHERE code = 'P2'",), "G5", frozenset({"alive on dead"})),
    ("days of grafts", ("UPDATE graft SET made_on = '2027-03-01' WHERE code = 'G5'",), "G1", frozenset()),
    ("days of looks", (f"UPDATE look SET \"on\" = '2027-03-01' WHERE id = {NEWEST_LOOK}",), "G2", frozenset()),
    ("days of looks", ("UPDATE care SET \"on\" = '2027-03-01' WHERE what = 'tie-released'",), "G1", frozenset()),
    ("stage held", ("UPDATE plant SET stage_on = '2027-03-20', stage = 'green tip' WHERE code = 'P1'",), "P1", frozenset()),
    ("store held", ("UPDATE bundle SET store = 'cellar' WHERE code = 'W1'",), "W1", frozenset()),
    (
        "hosts",
        (f"UPDATE graft SET host_plant_id = NULL, host_graft_id = {GRAFT.format('G5')} WHERE code = 'G1'",
         f"UPDATE graft SET host_graft_id = {GRAFT.format('G1')} WHERE code = 'G5'"),
        "G5", frozenset({"days of grafts"}),
    ),
    (
        "lineage",
        (f"UPDATE bundle SET cut_plant_id = NULL, cut_graft_id = {GRAFT.format('G1')} WHERE code = 'W1'",), "W1",
        frozenset({"days of wood"}),
    ),
    ("states", ("UPDATE look SET state = 'set' WHERE state = 'dead'",), "G2", frozenset()),
)  # fmt: skip


@pytest.mark.parametrize(("what", "statements", "code", "more"), BREACHES, ids=lambda value: str(value)[:60])
def test_each_kind_of_damage_is_found_by_its_check(season, book, what, statements, code, more):
    damage(book, statements)
    found = season("doctor", "--json")
    assert 3 == found.code
    assert {what} <= {row["what"] for row in found.rows} <= {what, "values", *more}, found.out
    hit = [row for row in found.rows if row["what"] == what and (code is None or code in row["codes"])]
    assert hit, found.out
    for row in hit:
        assert list(row) == ["kind", "what", "codes", "sentence"]
        assert "breach" == row["kind"]
        assert (
            row["sentence"].startswith("Expected ") and "; found " in row["sentence"] and row["sentence"].endswith(".")
        )
    assert found.json["sound"] is False


def test_a_book_with_every_thing_in_it_is_sound(season):
    said = season("doctor")
    assert (0, "") == (said.code, said.err), said
    assert 1 == len(said.out.replace("\n  ", " ").splitlines())
    assert said.out.replace("\n  ", " ") == (
        f"The book is sound: {verb.TOTAL} checks of 7 plants, 2 bundles, 5 grafts, 5 looks, 24 entries.\n"
    )
    plain = season("doctor", "--json")
    assert (0, [], True, verb.TOTAL) == (plain.code, plain.rows, plain.json["sound"], plain.json["checks"])
    assert "kind,what,codes,sentence\n" == season("doctor", "--csv").out


def test_the_book_of_the_demo_is_sound(graftbook):
    data = Path(__file__).parent.parent.parent / "demo" / "data"
    brought = graftbook("import", *sorted(data.glob("*.csv")))
    assert brought.code == 0, brought.err
    said = graftbook("doctor", "--json")
    assert (0, []) == (said.code, said.rows)
    assert "0 grafts" not in said.json["checked"] and "0 looks" not in said.json["checked"]


def test_nothing_in_the_book_is_changed(season, book):
    from whole_book import contents

    before, entries = contents(book), len(season("journal", "--limit", "1000", "--json").rows)
    damage(book, ("UPDATE counter SET last = 1 WHERE letter = 'G'",))
    assert 3 == season("doctor").code
    assert before == contents(book)
    assert entries == len(season("journal", "--limit", "1000", "--json").rows)


def test_a_number_given_to_what_was_undone_counts(season, book):
    assert season("stock", "add", "MM.106", "--species", "apple").code == 0
    assert season("undo", "25").code == 0
    assert season("doctor").code == 0
    damage(book, ("UPDATE counter SET last = 7 WHERE letter = 'P'",))
    (row,) = season("doctor", "--json").rows
    assert ("counters", ["P8"]) == (row["what"], row["codes"])


def test_the_numbers_a_plan_gave_out_count(season, book, tmp_path):
    assert season("plan", "--on", "2027-03-29").code == 0
    sheet = season("plan", "sheet", "1", "-o", str(tmp_path / "bench.pdf"))
    assert (0, "") == (sheet.code, sheet.err)
    assert season("doctor").code == 0
    damage(book, ("UPDATE counter SET last = 8 WHERE letter = 'G'",))
    assert ["counters"] == [row["what"] for row in season("doctor", "--json").rows]


def test_a_database_with_two_versions_is_no_sound_book(season, book):
    damage(book, ("INSERT INTO alembic_version (version_num) VALUES ('0009')",))
    found = season("doctor", "--json")
    assert 22 == found.code or ["version"] == [row["what"] for row in found.rows]


def test_a_value_that_breaks_a_rule_of_the_file_is_found(season, book):
    if "://" in book:
        damage(book, (
            "ALTER TABLE plant DROP CONSTRAINT ck_plant_kind_word",
            "ALTER TABLE plant ADD CONSTRAINT ck_plant_kind_word CHECK (kind IN ('tree', 'stock')) NOT VALID",
        ))  # fmt: skip
        fault = "plant: constraint ck_plant_kind_word was not validated"
    else:
        damage(book, ("UPDATE plant SET kind = 'shrub' WHERE code = 'P7'",))
        fault = "CHECK constraint failed in plant"
    found = season("doctor", "--json")
    assert 3 == found.code
    assert [fault in row["sentence"] for row in found.rows if row["what"] == "database"] == [True]


def test_a_rule_taken_out_of_the_database_is_missed(season, book):
    if "://" in book:
        damage(book, ("ALTER TABLE plant DROP CONSTRAINT ck_plant_kind_word",))
        missing = "plant.ck_plant_kind_word"
    else:
        damage(book, (
            "CREATE TABLE anew AS SELECT * FROM caution_note", "DROP TABLE caution_note", "ALTER TABLE anew RENAME TO caution_note",
        ))  # fmt: skip
        missing = "caution_note.ck_caution_note_one_subject"
    found = season("doctor", "--json")
    assert 3 == found.code
    assert {"rules"} == {row["what"] for row in found.rows}
    assert any(missing in row["sentence"] for row in found.rows)


def test_codes_are_found_though_the_file_forbids_them(season, book):
    if "://" in book:
        damage(book, ("ALTER TABLE plant DROP CONSTRAINT ck_plant_code_number",))
    damage(book, ("UPDATE plant SET code = 'P70' WHERE code = 'P7'",))
    rows = [row for row in season("doctor", "--json").rows if row["what"] == "codes"]
    assert [["P70"]] == [row["codes"] for row in rows]


def test_the_sticks_listed_are_held_against_every_movement(season, monkeypatch):
    monkeypatch.setattr(stick_checks, "balances", lambda session: {1: Balance(20, 0, 0), 2: Balance(2, 0, 0)})
    (row,) = season("doctor", "--json").rows
    assert ("sticks listed", ["W1"]) == (row["what"], row["codes"])


CONTRADICTIONS: tuple[tuple[str, tuple[str, ...], list[str]], ...] = (
    ("alive on dead", ("stock died P2 --on 2027-07-05", "look G1 growing --on 2027-08-09"), ["G1", "P2"]),
    ("alive on dead graft", ("look G1 dead --on 2027-07-05", "look G5 growing --on 2027-08-09"), ["G5", "G1"]),
    ("seen after home", ("look G3 growing --on 2027-09-09",), ["G3"]),
)


@pytest.mark.parametrize(("what", "lines", "codes"), CONTRADICTIONS)
def test_words_of_the_grower_that_disagree_are_shown_as_such(season, what, lines, codes):
    for line in lines:
        assert season(*words(line)).code == 0, line
    found = season("doctor", "--json")
    assert 3 == found.code
    rows = [row for row in found.rows if row["what"] == what]
    assert [("contradiction", codes)] == [(row["kind"], row["codes"]) for row in rows], found.out
    assert {"contradiction"} == {row["kind"] for row in found.rows}
    (line,) = [row for row in csv.DictReader(io.StringIO(season("doctor", "--csv").out)) if row["what"] == what]
    assert "; ".join(codes) == line["codes"]
    assert season("doctor").out.splitlines()[0].endswith("contradiction")


def test_a_graft_seen_alive_again_contradicts_nothing(season):
    assert season("look", "G1", "dead", "--on", "2027-07-05").code == 0
    assert season("look", "G1", "growing", "--on", "2027-08-05").code == 0
    assert season("look", "G5", "growing", "--on", "2027-08-09").code == 0
    assert season("doctor").code == 0


def test_undoing_an_undoing_again_and_again_leaves_a_sound_book(season):
    """An odd number of undoings takes the entry back, an even number lets it stand; its mark in the journal says which."""
    assert season("look", "G1", "growing", "--on", "2027-08-05").code == 0
    entry = season("journal", "--limit", "1", "--json").rows[0]["entry"]
    for step in range(1, 6):
        newest = season("journal", "--limit", "1", "--json").rows[0]["entry"]
        assert season("undo", str(newest)).code == 0
        marks = {row["entry"]: row["undone_by"] for row in season("journal", "--json").rows}
        assert (marks[entry] is not None) == (step % 2 == 1)
        assert season("doctor").code == 0, step


def test_what_is_no_book_and_what_was_cut_off_are_said_plainly(on_sqlite, sqlite_location):
    for line in SEASON[:3]:
        assert on_sqlite(*words(line)).code == 0, line
    book = Path(sqlite_location)
    connection = sqlite3.connect(book)
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    kept = book.read_bytes()
    for length in (len(kept) // 3, len(kept) // 2, len(kept) - 4096, 5000, 100):
        for left in (Path(f"{book}-wal"), Path(f"{book}-shm")):
            left.unlink(missing_ok=True)
        book.write_bytes(kept[:length])
        found = on_sqlite("doctor")
        assert found.code in (3, 20), (length, found)
        assert "bug of ours" not in found.err and "Traceback" not in found.err
        assert "Expected" in found.err + found.out
    for left in (Path(f"{book}-wal"), Path(f"{book}-shm")):
        left.unlink(missing_ok=True)
    book.write_text("Tarrow, 14 January: frost in the valley.\n")
    found = on_sqlite("doctor")
    assert (20, "") == (found.code, found.out)
    assert "a file of another kind" in found.err


def test_circles_are_the_things_that_lead_to_themselves():
    """The published definition: a strongly connected component of more than one thing, or one with an edge to itself."""
    assert [] == circles([(1, 2), (2, 3), (1, 3)])
    assert [{1, 2, 3}] == circles([(1, 2), (2, 3), (3, 1), (9, 1), (3, 8)])
    assert [{1, 2}, {5}] == sorted(circles([(1, 2), (2, 1), (5, 5), (2, 6)]), key=min)


def test_every_check_says_what_it_checks_in_a_sentence():
    checks = (*verb.GROUND, *verb.CHECKS)
    assert len({check.name for check in checks}) == len(checks)
    for check in checks:
        assert check.says.endswith(".") and check.find.__doc__
    tried: set[str] = {what for what, *_ in (*BREACHES, *CONTRADICTIONS)}
    apart: set[str] = {"database", "version", "rules", "sticks listed"}
    assert {check.name for check in checks} == tried | apart
