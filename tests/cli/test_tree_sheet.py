"""tree sheet: the page for the shed wall, read back by another library than wrote it."""

import itertools

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader


@pytest.fixture
def tree(on_sqlite):
    """P1 with 20 grafts on limbs A to D."""
    assert on_sqlite("tree", "add", "Old Crab", "--species", "apple", "--place", "Garth", "--row", 1).code == 0
    assert on_sqlite("wood", "add", "Kilwarden Pippin", "--species", "apple", "--sticks", 40, "--buds", 6, "--cut",
                     "2027-01-10", "--received", "2027-01-11", "--from", "Neighbour").code == 0  # fmt: skip
    for at, limb in enumerate("DCBA"):
        for step in range(5):
            where = ("--limb", limb, "--bearing", str(72 * step), "--height", f"{100 + 40 * at + 7 * step}cm")
            assert on_sqlite("graft", "W1", "P1", "--method", "bark", "--on", "2027-04-10", "--yes", *where).code == 0
    return on_sqlite


def test_the_sheet_goes_limb_by_limb_with_every_code_to_scan_and_what_is_wrong_with_tags(tree, tmp_path):
    tree("care", "G3", "tag-missing", "--on", "2027-06-10")
    tree("look", "G20", "dead", "--on", "2027-06-10")
    run = tree("tree", "sheet", "P1", "-o", tmp_path / "tree.pdf", "--json")
    assert ["A"] * 4 + ["B"] * 5 + ["C"] * 5 + ["D"] * 5 == [row["limb"] for row in run.rows]
    assert {"G3": "missing"} == {row["code"]: row["tag"] for row in run.rows if row["tag"]}
    page = pypdfium2.PdfDocument(str(tmp_path / "tree.pdf"))[0]
    codes = {one.text.split("-")[0] for one in zxingcpp.read_barcodes(page.render(scale=250 / 72).to_pil())}
    assert {"P1", *(f"G{n}" for n in range(1, 20))} == codes
    text = PdfReader(tmp_path / "tree.pdf").pages[0].extract_text()
    assert "TAG MISSING" in text and "19 living grafts, 1 ended and not shown" in text
    assert text.index("limb A") < text.index("limb B") < text.index("limb C") < text.index("limb D")


def test_more_than_a_page_holds_goes_on_to_the_next(tree, tmp_path):
    assert tree("graft", "W1", "P1", "--method", "bark", "--on", "2027-04-10", "--yes").code == 0
    tree("wood", "add", "Dun Reinette", "--species", "apple", "--sticks", 40, "--cut", "2027-01-10", "--from", "N")
    for _ in range(30):
        tree("graft", "W2", "P1", "--method", "bark", "--on", "2027-04-10", "--yes")
    run = tree("tree", "sheet", "P1", "-o", tmp_path / "tree.pdf", "--paper", "letter")
    assert (0, 2) == (run.code, len(PdfReader(tmp_path / "tree.pdf").pages))
    assert "31 grafts without bearing or height" in run.out


def test_a_tree_without_grafts_still_has_a_sheet(tree, tmp_path):
    tree("tree", "add", "Stoneway Pearmain", "--species", "apple")
    run = tree("tree", "sheet", "P2", "-o", tmp_path / "tree.pdf")
    assert (0, True) == (run.code, "P2: 0 living grafts" in run.out)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("P1",), 2, "a file to write"), (("P1", "-o", "x.pdf", "--paper", "a9"), 2, "paper a4 or letter"),
        (("P9", "-o", "x.pdf"), 20, "P9"), (("G1", "-o", "x.pdf"), 2, "plants"),
        (("P1", "-o", "no/such/folder/x.pdf"), 21, "no folder"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_refused(tree, tmp_path, monkeypatch, words, code, said):
    monkeypatch.chdir(tmp_path)
    run = tree("tree", "sheet", *words)
    assert (code, "", True) == (run.code, run.out, said in run.err)
    assert [] == [path for path in tmp_path.iterdir() if path.suffix == ".pdf"]


def test_a_graft_on_a_graft_stands_after_it_on_its_limb_and_says_when_what_it_stands_on_has_died(tree, tmp_path):
    assert tree("graft", "W1", "G16", "--method", "cleft", "--on", "2027-04-10", "--yes").code == 0
    rows = tree("tree", "sheet", "P1", "-o", tmp_path / "tree.pdf", "--json").rows
    assert [("G16", "A", "G21", "A", "G16")] == [
        (one["code"], one["limb"], other["code"], other["limb"], other["host"])
        for one, other in itertools.pairwise(rows) if other["code"] == "G21"
    ]  # fmt: skip
    tree("look", "G16", "dead", "--on", "2027-06-10")
    run = tree("tree", "sheet", "P1", "-o", tmp_path / "tree.pdf")
    said = " ".join(run.out.split())
    assert "G21 stands on G16, dead on 2027-06-10, and counts as dead with it: look at G21 again." in said
    tree("look", "G21", "growing", "--on", "2027-06-20")
    run = tree("tree", "sheet", "P1", "-o", tmp_path / "tree.pdf")
    assert "G21 stands on G16, dead on 2027-06-10: look at G21 again." in " ".join(run.out.split())


def test_bearings_are_told_as_points_and_kept_as_degrees(tree, tmp_path):
    row = tree("tree", "sheet", "P1", "-o", tmp_path / "tree.pdf", "--json").rows[1]
    assert (72, "ENE") == (row["bearing_deg"], row["bearing"])
