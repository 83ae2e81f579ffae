"""Wood cut from a clonal rootstock is wood of its clone until something is grafted on it: of `wood add` and of a file alike."""

import pytest


@pytest.fixture
def bed(graftbook):
    """A pear tree P1 with wood W1, and quinces P2 and P3 as stocks; P2 was grafted on 25 March 2027."""
    assert graftbook("tree", "add", "Winter Nelly", "--species", "pear", "--acquired", "2020-03-01").code == 0
    assert graftbook("stock", "add", "Quince A", "--count", 2, "--acquired", "2026-12-10").code == 0
    assert graftbook("wood", "add", "--source", "P1", "--sticks", 4, "--buds", 5, "--cut", "2027-01-20").code == 0
    assert graftbook("graft", "W1", "P2", "--method", "whip", "--on", "2027-03-25", "--yes").code == 0
    return graftbook


def cultivars(book):
    return {row["code"]: row["cultivar"] for row in book("wood", "list", "--empty", "--json").rows}


@pytest.mark.parametrize(
    ("source", "cut", "kept"),
    [("P3", "2027-06-20", "Quince A"), ("P2", "2027-03-10", "Quince A"), ("P2", "2027-06-20", None)],
)
def test_a_file_names_it_as_the_command_does(bed, tmp_path, source, cut, kept):
    assert bed("wood", "add", "--source", source, "--sticks", 2, "--cut", cut, "--on", cut).code == 0
    (tmp_path / "wood.csv").write_text(f"source,sticks,cut_on\n{source},2,{cut}\n", encoding="utf-8")
    done = bed("import", tmp_path / "wood.csv")
    assert done.code == 0, done.err
    named = cultivars(bed)
    assert (kept, kept) == (named["W2"], named["W3"])


def test_grafts_in_the_same_file_count(bed, tmp_path):
    (tmp_path / "wood.csv").write_text("code,source,sticks,cut_on\nW2,P3,2,2027-06-20\n", encoding="utf-8")
    (tmp_path / "grafts.csv").write_text("code,wood,host,method,made_on\nG2,W1,P3,whip,2027-03-25\n", encoding="utf-8")
    assert bed("import", tmp_path / "wood.csv", tmp_path / "grafts.csv").code == 0
    assert cultivars(bed)["W2"] is None
