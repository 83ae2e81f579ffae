"""import as a person uses it, on both databases: what is taken in, and every way it can go wrong."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import pytest
from season_files import GRAFTS, LOOKS, PLANTS, WOOD
from sqlalchemy import select
from whole_book import contents

from graftbook.actions.exchange.csv_cells import line_of
from graftbook.book.find import by_id
from graftbook.book.grafts import Graft
from graftbook.book.plants import Plant
from graftbook.book.unit import Book
from graftbook.book.wood import Bundle


def entries(graftbook):
    return graftbook("journal", "--json").rows


def test_a_season_of_four_files_is_one_entry(graftbook, season):
    done = graftbook("import", season)
    assert (0, "") == (done.code, done.err)
    assert "Imported 3 plants (P1-P3), 2 bundles (W1-W2), 3 grafts (G1-G3), 3 looks." in done.out
    assert ["import"] == [entry["verb"] for entry in entries(graftbook)]


def test_names_places_and_what_was_not_said_are_filled_in_as_the_verbs_do(graftbook, season, location):
    graftbook("import", season)
    book = Book(location)
    with book.read() as session:
        plants = by_id(session, Plant, range(1, 10))
        stock = next(row for row in plants.values() if row.code == "P2")
        assert ("Malus domestica", "MM.106", 9.52) == (stock.taxon, stock.clone, stock.diameter_mm)
        bundles = {row.code: row for row in session.execute(select(Bundle)).scalars()}
        assert ("Malus domestica", "Stoneway Pearmain") == (bundles["W2"].taxon, bundles["W2"].cultivar)
        grafts = {row.code: row for row in session.execute(select(Graft)).scalars()}
        assert ("whip-and-tongue", "graft", 1, 3) == tuple(
            getattr(grafts["G1"], name) for name in ("method", "unit", "sticks_drawn", "buds_left")
        )
        assert (date(2027, 3, 1), "Bench") == (grafts["G1"].tied_on, grafts["G1"].place)
        assert (0, 0) == (grafts["G2"].sticks_drawn, grafts["G2"].buds_left)
        assert ("chip-bud", "bud") == (grafts["G3"].method, grafts["G3"].unit)
        assert grafts["G1"].id == grafts["G3"].host_graft_id == bundles["W2"].cut_graft_id
    book.close()


def test_an_import_can_be_undone_and_taken_in_again(graftbook, season, location):
    graftbook("import", season)
    assert 0 == graftbook("undo", 1).code
    assert {} == contents(location)
    assert 0 == graftbook("import", season).code


def test_importing_twice_names_every_row_and_doubles_nothing(graftbook, season, location):
    graftbook("import", season)
    before = contents(location)
    again = graftbook("import", season)
    assert (3, "") == (again.code, again.out)
    assert 11 == again.err.count("this row is in the book already")
    assert before == contents(location)


def test_a_file_without_codes_is_not_taken_twice(graftbook, write, location):
    file = write(plants="kind,taxon\n" + "stock,apple\n" * 3) / "plants.csv"
    assert "Imported 3 plants (P1-P3)." in graftbook("import", file).out
    again = graftbook("import", file)
    assert (3, "") == (again.code, again.out)
    assert "the very file that entry 1 imported" in again.err
    graftbook("undo", 1)
    assert "Imported 3 plants (P4-P6)." in graftbook("import", file).out


def test_every_bad_row_of_every_file_comes_back_at_once(graftbook, write, location):
    folder = write(
        plants=PLANTS + "P3,stock,apple,,,9mm,,,\nP4,shrub,apple,,,-3mm,,2027-12-25,\nP5,stock,,,,90in,,,\n",
        wood=WOOD + "W3,P77,2027-01-10,-2,\nW4,P2,2026-01-10,5,0\n",
        grafts=GRAFTS + "G4,W1,P2,whop,2026-12-30,1,\nG5,W1,P3,cleft,2027-07-01,9,\nG6,,G6,cleft,2027-07-01,1,\n"
        "G7,W2,P4,cleft,2027-09-01,,\nG8,W2,P2,cleft,2027-09-01,,\n",
        looks=LOOKS
        + "G1,2027-05-01,growing,,\nG1,2027-02-01,growing,,\nG99,2027-05-01,groing,,\nG2-X,2027-05-01,set,,maybe\n"
        "G2,2027-07-01,set,,\n",
    )
    done = graftbook("import", folder)
    assert (3, "") == (done.code, done.out)
    said = done.err.splitlines()
    for expected in (
        "plants.csv, line 5, column 1 (code): found P3; accepted: each plant once",
        "plants.csv, line 6, column 2 (kind): found 'shrub'; accepted: one of tree, stock",
        "plants.csv, line 6, column 6 (diameter_mm): found '-3mm'",
        "plants.csv, line 6, column 8 (acquired_on): found '2027-12-25'; accepted: a day up to today, 2027-11-30",
        "plants.csv, line 7, column 6 (diameter_mm): found '90in'; accepted: a plant's calliper between",
        "wood.csv, line 4, column 4 (sticks): found '-2'; accepted: a whole number from 0",
        "wood.csv, line 5, column 5 (buds_per_stick): found '0'; accepted: a whole number from 1 to 200",
        "grafts.csv, line 5, column 4 (method): found 'whop'; accepted: a method of grafting. Did you mean",
        "grafts.csv, line 5, column 5 (made_on): found 2026-12-30; accepted: a day from 2027-01-10 on, when the wood W1 was cut",
        "grafts.csv, line 6, column 5 (made_on): found 2027-07-01; accepted: a day up to 2027-06-01, when P3 died",
        "grafts.csv, line 6, column 2 (wood): found W1 with 9 buds; accepted: a scion of at most 6 buds",
        "grafts.csv, line 7, column 3 (host): found G6; accepted: a graft that does not stand on itself",
        "grafts.csv, line 9, column 2 (wood): found W2 with 0 left; accepted: a bundle with sticks left",
        "looks.csv, line 5, column 1 (graft): found G1, 2027-05-01, growing; accepted: each look once",
        "looks.csv, line 6, column 2 (on): found 2027-02-01; accepted: a day from 2027-03-01 on, when G1 was made",
        "looks.csv, line 7, column 3 (state): found 'groing'; accepted: what was seen",
        "looks.csv, line 8, column 1 (graft): found 'G2-X'; accepted: the check character T for G2",
        "looks.csv, line 8, column 5 (union): found 'maybe'; accepted: one of yes, no, unsure",
        "looks.csv, line 9, column 3 (state): found set; accepted: a state of a graft",
    ):
        assert any(expected in line for line in said), (expected, done.err)
    assert "in 4 files; nothing was recorded" in said[-1]
    assert {} == contents(location)
    assert [] == entries(graftbook)


def test_codes_nobody_knows_are_named_but_those_of_broken_rows_are_not(graftbook, write):
    folder = write(
        plants="code,kind\nP1,shrub\n",
        grafts="code,host,method,made_on\nG1,P1,cleft,2027-03-01\nG2,P2,cleft,2027-03-01\n",
    )
    done = graftbook("import", folder)
    assert 3 == done.code
    assert (
        "line 3, column 2 (host): found P2; accepted: the code of a plant or graft in the book or in these files"
        in done.err
    )
    assert "2 problems in 2 files" in done.err


def test_circles_of_wood_and_grafts_are_named(graftbook, write):
    folder = write(
        plants="code,kind\nP1,stock\n",
        wood="code,source,sticks\nW1,G2,3\n",
        grafts="code,wood,host,method,made_on\nG1,W1,P1,cleft,2027-03-01\nG2,,G1,cleft,2027-03-01\n",
    )
    done = graftbook("import", folder)
    assert 3 == done.code
    assert 3 == done.err.count("part of a circle")


def test_grafts_on_grafts_may_stand_in_any_order(graftbook, write, location):
    grafts = "".join(f"G{n},{f'G{n - 1}' if n > 1 else 'P1'},cleft,2027-03-01\n" for n in range(30, 0, -1))
    folder = write(plants="code,kind\nP1,stock\n", grafts="code,host,method,made_on\n" + grafts)
    assert 0 == graftbook("import", folder).code
    assert 31 == len(contents(location))
    assert 0 == graftbook("undo", 1).code
    assert {} == contents(location)


def test_sticks_given_away_and_drawn_may_not_exceed_what_came_in(graftbook, write):
    folder = write(
        plants="code,kind\nP1,stock\n",
        wood="code,sticks\nW1,5\nW2,5\n",
        movements="wood,on,kind,sticks\nW1,2027-02-01,given,-6\nW2,2027-02-01,given,-4\nW2,2027-02-02,given,3\n",
        grafts="wood,stick,host,method,made_on,sticks_drawn\nW2,,P1,cleft,2027-03-01,2\nW2,9,P1,cleft,2027-03-01,0\n",
    )
    done = graftbook("import", folder)
    assert 3 == done.code
    assert (
        "movements.csv, line 2, column 4 (sticks): found -6; accepted: no more than there are; W1 would be left with -1"
        in done.err
    )
    assert "movements.csv, line 4, column 4 (sticks): found 3; accepted: a number from 0 down" in done.err
    assert "grafts.csv, line 3, column 2 (stick): found 9; accepted: a stick of W2 from 1 to" in done.err


def test_wood_of_the_book_goes_on_where_it_stood(graftbook, write, location):
    """Four sticks of six buds: two scions of two leave two on the stick in hand; eleven more come from what is left."""
    start = "wood,host,method,made_on,buds\n"
    folder = write(
        plants="code,kind\nP1,tree\n", wood="code,sticks,buds_per_stick\nW1,4,6\n",
        grafts=start + "W1,P1,cleft,2027-03-01,2\n" * 2,
    )  # fmt: skip
    assert 0 == graftbook("import", folder).code
    over = write(more=start + "W1,P1,cleft,2027-03-02,2\n" * 11) / "more.csv"
    done = graftbook("import", over)
    assert 3 == done.code
    assert "more.csv, line 12, column 1 (wood): found W1 with 0 left" in done.err
    assert "1 problem in" in done.err
    assert 0 == graftbook("import", write(more=start + "W1,P1,cleft,2027-03-02,2\n" * 10) / "more.csv").code
    drawn = {row["number"]: row["sticks_drawn"] for row in contents(location).values() if "sticks_drawn" in row}
    assert [1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0, 0] == [drawn[number] for number in sorted(drawn)]


def test_grafts_of_an_old_notebook_need_no_wood(graftbook, write, location):
    folder = write(plants="code,kind\nP1,tree\n", grafts="host,method,made_on\nP1,cleft,1931-03-01\n")
    assert 0 == graftbook("import", folder).code
    (graft,) = [row for row in contents(location).values() if row.get("code") == "G1"]
    assert (None, 0) == (graft["bundle_id"], graft["sticks_drawn"])


def test_dates_of_two_days_are_a_problem_until_the_order_is_told(graftbook, write):
    folder = write(plants="code,kind,acquired_on\nP1,stock,4/10/26\nP2,stock,14/10/26\n")
    done = graftbook("import", folder)
    assert 3 == done.code
    assert "line 2, column 3 (acquired_on): found '4/10/26'" in done.err
    assert "--dates day-first" in done.err
    assert "1 problem in" in done.err
    assert 0 == graftbook("import", folder, "--dates", "day-first").code


def test_the_order_of_dates_the_book_is_set_to_holds_for_files(graftbook, write, location):
    graftbook("settings", "dates=month-first")
    graftbook("import", write(plants="code,kind,acquired_on\nP1,stock,4/10/26\n"))
    assert [date(2026, 4, 10)] == [row["acquired_on"] for row in contents(location).values()]


def test_rows_without_a_day_may_be_given_one(graftbook, season, write):
    graftbook("import", season)
    file = write(round="graft,state,shoot_mm\nG1,growing,500\n") / "round.csv"
    assert "no column on" in graftbook("import", file, "--kind", "looks").err
    assert 0 == graftbook("import", file, "--kind", "looks", "--on", "2027-07-01").code


def test_a_dry_run_says_what_it_would_do_and_does_nothing(graftbook, season, location):
    done = graftbook("import", season, "--dry-run")
    assert 0 == done.code
    assert done.out.startswith("Nothing was recorded (--dry-run). It would have imported 3 plants (P1-P3), 2 bundles")
    assert {} == contents(location)
    assert [] == entries(graftbook)


def test_names_the_tables_lack_are_kept_and_said(graftbook, write, location):
    done = graftbook("import", write(plants="code,kind,taxon\nP1,tree,Moonfruit\n"))
    assert 0 == done.code
    assert "Moonfruit is not in the tables" in done.out
    assert ["Moonfruit"] == [row["taxon"] for row in contents(location).values()]


def test_a_scion_wider_than_its_stock_is_asked_about_and_taken(graftbook, write):
    folder = write(
        plants="code,kind\nP1,stock\n", grafts="host,method,made_on,scion_mm,stock_mm\nP1,cleft,2027-03-01,9,7\n"
    )
    done = graftbook("import", folder)
    assert 0 == done.code
    assert "The scion of G1 is 9 mm on a stock of 7 mm: is that right?" in done.out


def test_a_scion_thicker_than_any_is_refused(graftbook, write):
    folder = write(plants="code,kind\nP1,stock\n", grafts="host,method,made_on,scion_mm\nP1,cleft,2027-03-01,90\n")
    done = graftbook("import", folder)
    assert 3 == done.code
    assert "a scion's diameter between 1 mm and 50 mm" in done.err


def test_settings_taken_over_are_said(graftbook, write):
    done = graftbook("import", write(settings="setting,value\nunits,IN\nname,Graftbook\n"))
    assert "Imported 1 setting." in done.out
    assert "Set units to in, before mm." in done.out
    bad = graftbook("import", write(settings="setting,value\nunits,ell\ncolour,red\n"))
    assert 3 == bad.code
    assert "2 problems" in bad.err


def test_own_rows_are_checked_and_their_methods_serve_in_the_same_import(graftbook, write, location):
    from graftbook.trade import tables

    shipped = next(row for row in tables.rows("methods") if row["method"] == "cleft")
    fields = {**shipped, "method": "hilltop-cleft", "names": "hill wedge"}
    folder = write(
        own_rows=line_of(["table", "fields"]) + line_of(["methods", fields]),
        plants="code,kind\nP1,stock\n",
        grafts="host,method,made_on\nP1,hilltop-cleft,2027-03-01\nP1,Hill wedge,2027-03-01\n",
    )
    assert 0 == graftbook("import", folder).code
    methods = [row["method"] for row in contents(location).values() if "method" in row]
    assert ["hilltop-cleft"] * 2 == methods
    again = graftbook("import", folder / "own_rows.csv")
    assert (3, 1) == (again.code, again.err.count("this row is in the book already"))
    write(own_rows=line_of(["table", "fields"]) + line_of(["methods", {"colour": "red"}]))
    bad = graftbook("import", folder / "own_rows.csv")
    assert 3 == bad.code
    assert "columns of the methods table" in bad.err


def test_nothing_to_import_is_no_entry(graftbook, write):
    done = graftbook("import", write(looks="graft,on,state\n"))
    assert (0, "There was nothing to import: no rows, and settings as they are.\n") == (done.code, done.out)
    assert [] == entries(graftbook)


def test_json_gives_the_codes_and_the_entry(graftbook, season):
    done = graftbook("import", season, "--json")
    assert [{"code": "P1"}, {"code": "P2"}, {"code": "P3"}] == done.rows[:3]
    assert 1 == done.json["entry"]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["NOWHERE.csv"], 20, "No file NOWHERE.csv"),
        (["plants.csv", "--kind", "trees"], 2, "a kind of file: settings"),
        (["plants.csv", "--dates", "backwards"], 2, "day-first or month-first"),
        (["plants.csv", "--encoding", "utf-16"], 2, "utf-8 or cp1252"),
        (
            ["plants.csv", "--on", "2028-01-01"],
            21,
            "2028-01-01 lies after today, 2027-11-30. What has not happened cannot be recorded.",
        ),
        (["plants.csv", "plants.csv"], 2, "each file once"),
        (["empty"], 20, "No CSV file in the folder"),
        ([], 2, "Missing argument"),
    ],
)
def test_words_that_cannot_be_followed_are_refused(on_sqlite, season, monkeypatch, words, code, said):
    (season / "empty").mkdir()
    monkeypatch.chdir(season)
    done = on_sqlite("import", *words)
    assert (code, "") == (done.code, done.out)
    assert said in done.err


def test_stopped_in_the_middle_nothing_is_kept(graftbook, season, location):
    from graftbook.actions.desk.desk import sit_down
    from graftbook.actions.exchange.importing import import_files

    def stop(_count):
        raise KeyboardInterrupt

    desk = sit_down(location)
    with pytest.raises(KeyboardInterrupt):
        import_files(desk, [season], progress=stop)
    desk.book.close()
    assert {} == contents(location)
    assert [] == entries(graftbook)
    assert 0 == graftbook("import", season).code


# A shell starts what it puts in the background deaf to Ctrl-C, and so would be what the tests start.
LISTENING = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
from graftbook.cli.main import main
sys.exit(main(sys.argv[1:]))
"""


def test_ctrl_c_stops_it_with_the_book_as_it_was(sqlite_location, write):
    rows = "".join(f"P{n},stock,apple,Row {n}\n" for n in range(1, 60_001))
    folder = write(plants="code,kind,taxon,place\n" + rows)
    running = subprocess.Popen(
        [sys.executable, "-c", LISTENING, "--book", sqlite_location, "import", str(folder)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "GRAFTBOOK_TODAY": "2027-11-30"},
    )  # fmt: skip
    growing = Path(f"{sqlite_location}-wal")
    while running.poll() is None and not (growing.exists() and growing.stat().st_size > 1_000_000):
        time.sleep(0.01)
    assert running.poll() is None
    running.send_signal(signal.SIGINT)
    out, err = running.communicate(timeout=60)
    assert (130, "") == (running.returncode, out)
    assert "Nothing of this command was recorded" in err
    assert {} == contents(sqlite_location)
