"""The data files: every law they are held to, and that each law can fail."""

import shutil

import pytest
import trade_checks

from graftbook.trade import schema, sources, tables


def test_the_shipped_data_has_no_problem():
    assert () == trade_checks.problems(tables.FOLDER)


@pytest.mark.parametrize("name", tables.names())
def test_every_table_has_rows_and_the_promised_columns(name):
    assert tables.rows(name)
    assert tables.columns(name) == trade_checks.read_lines(name, tables.FOLDER).header


@pytest.mark.parametrize("name", [name for name in tables.names() if name != "sources"])
def test_a_row_names_a_source_exactly_when_it_is_published(name):
    for row in tables.rows(name):
        assert row["basis"] in ("published", "common practice", "from memory")
        assert (row["basis"] == "published") == bool(row["source"])
        assert not row["source"] or sources.get(row["source"]) is not None


def test_every_source_is_used_by_some_row():
    cited = {row["source"] for name in tables.names() if name != "sources" for row in tables.rows(name)}

    assert set() == {row["key"] for row in tables.rows("sources")} - cited


def test_the_files_are_utf_8_with_plain_line_ends_and_no_blank_lines():
    for name in tables.names():
        text = (tables.FOLDER / f"{name}.csv").read_bytes()
        assert b"\r" not in text
        assert b"\n\n" not in text
        assert text.decode("utf-8").endswith("\n")


@pytest.fixture
def broken(tmp_path):
    """A copy of the data files, and a way to change one of them."""
    folder = tmp_path / "data"
    shutil.copytree(tables.FOLDER, folder)

    def change(name, old, new):
        path = folder / f"{name}.csv"
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="")
        return trade_checks.problems(folder)

    return change


@pytest.mark.parametrize(
    ("name", "old", "new", "column", "found", "accepted"),
    [
        ("pairs", ",delayed,", ",doubtful,", "verdict", "'doubtful'", "good, workable, delayed, poor, no"),
        ("pairs", "published,uc-pear-quince", "published,uc-pear", "source", "'uc-pear'", "the key of a source"),
        ("pairs", "published,uc-pear-quince", "from memory,uc-pear-quince", "source", "'uc-pear-quince'", "nothing"),
        (
            "pairs",
            ",Cydonia oblonga,Quince C,",
            ",Cydonia,Quince Z,",
            "stock_clone",
            "'Quince Z'",
            "a clone of its own",
        ),
        ("pairs", "\nMalus domestica,,", "\nMoon tree,,", "scion_taxon", "'Moon tree'", "a taxon of its own table"),
        ("methods", ",dormant,leafed out,", ",dormant,in June,", "stage_to", "'in June'", "a stage: "),
        ("methods", ",6,13,", ",13,6,", "stock_ok_max", "6", "13 or more, since stock_ok_min is 13"),
        ("method_limits", "\nsplice,", "\nsplise,", "method", "'splise'", "a method of the methods table"),
        ("keeping", ",120,180,", ",120,half a year,", "days_max", "'half a year'", "a whole number"),
        ("cautions", "graft;plan", "graft;planning", "when", "'graft;planning'", "some of start, tree"),
        ("sources", ",1988,", ",88,", "year", "'88'", "a year of four figures"),
        ("taxa", ",deciduous,", ",leafless,", "leaf", "'leafless'", "deciduous, evergreen"),
        (
            "taxa",
            "apple,Malus pumila;",
            "apple,Pyrus communis;",
            "names",
            "Pyrus communis",
            "a name Pyrus communis does",
        ),
        ("taxa", ",southern crabapple,", ",apple,", "common", "apple", "a name Malus domestica does not have"),
        ("clones", "EMLA 27;", "MM.106;", "aliases", "MM.106", "a name MM.106 does not have"),
        ("clones", "\nM.27,", "\n,", "clone", "nothing", "some words"),
        ("stages", "published,bbch-pome", "published ,bbch-pome", "basis", "'published '", "no blanks at either end"),
    ],
)
def test_each_law_is_held_with_file_line_and_column(broken, name, old, new, column, found, accepted):
    problems = [problem for problem in broken(name, old, new) if problem.header == column]

    assert problems
    assert f"{name}.csv" == problems[0].file
    assert problems[0].line > 1
    assert schema.table(name).header().index(column) + 1 == problems[0].column
    assert found == problems[0].found
    assert accepted in problems[0].accepted


def test_a_row_with_too_few_cells_and_a_missing_file_are_told_with_all_the_rest(broken, tmp_path):
    (tmp_path / "data" / "grades.csv").unlink()
    found = broken("cautions", "\nknife,", "\nsharp\nknife,")

    assert ("cautions.csv", 2, "1 cells") in {(problem.file, problem.line, problem.found) for problem in found}
    assert ("grades.csv", 1, "nothing") in {(problem.file, problem.line, problem.found) for problem in found}


def test_a_second_row_with_the_same_key_is_a_problem(broken):
    found = broken("cautions", "\nsaw,", "\nknife,")

    assert ["one row each; line 2 has it already"] == [problem.accepted for problem in found]


def test_a_source_is_cited_by_title_publisher_and_year():
    assert (
        "Quest for Quince (AgResearch Magazine, Jan 2007) (USDA Agricultural Research Service, 2007)"
        == sources.cite("usda-quest-quince")
    )
    assert "Budding, G6972 (University of Missouri Extension)" == sources.cite("mu-g6972")
    assert "" == sources.cite("no-such-source")
    assert sources.get("no-such-source") is None
