"""One answer to what a thing is: tags, lists, sheets, stories and the search all show the name that the words come to."""

import io

import pytest

RUSSET, PIPPIN = "Quern Russet", "Kilwarden Pippin"
BOTH = f"{PIPPIN} or {RUSSET}"
OLD_YARD = 'unknown ("old yard")'


@pytest.fixture
def orchard(graftbook):
    """Trees P1 (a pippin) and P2 (a russet), P3 nameless; their wood W1-W3, stocks P4-P13 in a bed, all apples."""
    for words in ((PIPPIN,), (RUSSET,), ()):
        done = graftbook("tree", "add", *words, "--species", "apple", "--acquired", "2020-03-01", "--place", "orchard")
        assert done.code == 0, done.err
    for tree in ("P1", "P2", "P3"):
        graftbook(
            "wood", "add", "--source", tree, "--sticks", 4, "--buds", 4, "--cut", "2027-01-14", "--store", "cellar"
        )
    graftbook("stock", "add", "MM.106", "--count", 10, "--acquired", "2027-01-01", "--place", "bed")
    return graftbook


@pytest.fixture
def doubtful(orchard):
    """The same with W1 and W2 mixed into W4; G1 and G2 of W4, G3 of the nameless W3 and G4 of the pippin tree's other wood."""
    run(orchard, "wood", "add", "--source", "P1", "--sticks", 3, "--cut", "2027-01-14")
    run(orchard, "wood", "mixed", "W1", "W2", "--sticks", 8, "--on", "2027-02-01")
    for wood, stock in (("W5/1", "P4"), ("W5/2", "P5"), ("W3", "P6"), ("W4", "P7")):
        run(orchard, "graft", wood, stock, "--method", "whip-and-tongue", "--on", "2027-03-20")
    return orchard


def run(book, *words):
    done = book(*words)
    assert done.code == 0, done.err
    return done


def words_in(path):
    """The text of the PDF, by pypdf."""
    import pypdf

    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages)


def test_wood_recorded_as_another_kind_than_its_tree_is_one_clone_with_it_in_every_verb(orchard):
    """What is cut from a thing is what that thing is: of two words on it, neither verified, neither is believed alone."""
    run(orchard, "want", "add", RUSSET, 3, "--species", "apple", "--on", "2027-01-02")
    run(orchard, "wood", "add", RUSSET, "--source", "P1", "--sticks", 3, "--cut", "2027-01-14")
    run(orchard, "graft", "W4", "P4", "--method", "whip-and-tongue", "--on", "2027-03-20")
    run(orchard, "look", "G1", "growing", "--on", "2027-07-01")
    assert [BOTH, BOTH] == [column(orchard, "wood", "list")[code] for code in ("W1", "W4")]
    assert BOTH == column(orchard, "graft", "list")["G1"]
    assert BOTH == column(orchard, "tree", "list")["P1"]
    assert RUSSET == column(orchard, "tree", "list")["P2"]
    assert BOTH == line(orchard, "G1")
    assert ["G1"] == [row["code"] for row in run(orchard, "find", PIPPIN, "--json").rows if row["kind"] == "graft"]
    assert "might be" in {row["match"] for row in run(orchard, "name", "have", RUSSET, "--json").rows}


def test_wood_of_a_nameless_tree_names_the_tree(orchard):
    run(orchard, "wood", "add", RUSSET, "--source", "P3", "--sticks", 3, "--cut", "2027-01-14")
    assert RUSSET == column(orchard, "tree", "list")["P3"]
    assert (RUSSET, RUSSET) == tuple(column(orchard, "wood", "list")[code] for code in ("W3", "W4"))


def test_a_kind_recorded_as_one_of_two_is_in_doubt(orchard):
    run(orchard, "tree", "add", BOTH, "--species", "apple", "--acquired", "2020-03-01")
    assert "doubtful" == column(orchard, "tree", "list", what="sure")["P14"]


def line(book, code):
    """The first line of a thing's tag."""
    return run(book, "tags", "show", code, "--json").rows[0]["lines"][0]


def facts(book, kind, code):
    """Facts of a thing by their names."""
    return {row["name"]: row.get("value", row.get("text")) for row in run(book, kind, "show", code, "--json").rows}


def column(book, *words, key="code", what="cultivar"):
    return {row[key]: row[what] for row in run(book, *words, "--json").rows}


def everywhere(book, code, wood, stock):
    """What a graft of that wood on that stock is called wherever a cultivar is shown."""
    story = run(book, "graft", "show", code, "--json").json
    found = {
        "tag": line(book, code), "graft show": story["cultivar"], "graft list": column(book, "graft", "list")[code],
        "wood list": column(book, "wood", "list", "--empty")[wood],
        "find": next(row["name"] for row in run(book, "find", code, "--json").rows if row["code"] == code),
        "trace": next(row["cultivar"] for row in run(book, "trace", "down", code, "--json").rows if row["code"] == code),
    }  # fmt: skip
    attempt = next(row["value"] for row in story["rows"] if row["section"].startswith("attempts"))
    found["attempts"] = attempt.replace("'", "").split(" whip-and-tongue")[0]
    on_it = next(row for row in run(book, "stock", "show", stock, "--json").rows if code in row.values())
    found["stock show"] = " ".join(str(value) for value in on_it.values()).split(f"{code} ")[1].split(", whip")[0]
    return found


def test_mixed_wood_is_one_or_the_other_on_every_screen(doubtful):
    found = everywhere(doubtful, "G1", "W5", "P4")
    assert {BOTH} == set(found.values()), found


def test_a_later_naming_by_fruit_reaches_every_screen(doubtful):
    run(doubtful, "name", "G1", RUSSET, "--sure", "verified", "--on", "2027-09-01")
    found = everywhere(doubtful, "G1", "W5", "P4")
    assert BOTH == found.pop("wood list")
    assert {RUSSET} == set(found.values()), found
    assert f"G1, '{RUSSET}' (verified by fruit) on P4" in run(doubtful, "graft", "show", "G1").out
    assert BOTH == line(doubtful, "G2")


def test_unknown_wood_is_shown_by_its_nickname_from_the_mother_tree_to_the_graft(doubtful):
    run(doubtful, "name", "P3", "unknown", "--nickname", "old yard", "--on", "2027-05-01")
    found = everywhere(doubtful, "G3", "W3", "P6")
    assert {OLD_YARD} == set(found.values()), found
    assert OLD_YARD == line(doubtful, "P3") == line(doubtful, "W3")
    assert OLD_YARD == column(doubtful, "tree", "list")["P3"]
    assert OLD_YARD in facts(doubtful, "tree", "P3").values()
    assert OLD_YARD in facts(doubtful, "wood", "W3").values()


def test_what_nobody_named_is_its_kind_in_everyday_words_and_not_in_latin(doubtful):
    for code in ("G3", "W3", "P3"):
        assert "apple" == line(doubtful, code)
    assert "apple, whip-and-tongue" in run(doubtful, "stock", "show", "P6").out


def test_a_naming_of_the_mother_tree_after_grafting_reaches_the_graft_and_keeps_what_was_recorded_beside(doubtful):
    run(doubtful, "name", "P1", "Tolm Beauty", "--sure", "tested", "--on", "2027-05-01")
    found = everywhere(doubtful, "G4", "W4", "P7")
    assert {"Tolm Beauty"} == set(found.values()), found
    assert f"Tolm Beauty (tested, recorded as: {PIPPIN})" in facts(doubtful, "tree", "P1").values()
    assert f"{RUSSET} or Tolm Beauty" == line(doubtful, "G1")


def test_a_naming_of_one_graft_speaks_for_its_tree_and_wood(doubtful):
    run(doubtful, "name", "G4", "Tolm Beauty", "--sure", "verified", "--on", "2027-09-01")
    assert "Tolm Beauty" == line(doubtful, "P1") == line(doubtful, "W4") == line(doubtful, "W1")


def test_a_synonym_is_shown_under_the_preferred_name(doubtful):
    run(doubtful, "name", "synonym", PIPPIN, "--of", "Corner Apple")
    found = everywhere(doubtful, "G4", "W4", "P7")
    assert {"Corner Apple"} == set(found.values()), found
    assert f"Corner Apple (recorded as: {PIPPIN})" in facts(doubtful, "wood", "W4").values()


def test_a_single_name_in_doubt_is_seen_to_be_doubtful_on_its_tag(doubtful):
    run(doubtful, "name", "G3", "Tolm Beauty", "--sure", "doubtful", "--on", "2027-05-01")
    assert "Tolm Beauty?" == line(doubtful, "G3")
    assert "'Tolm Beauty' (doubtful)" in run(doubtful, "graft", "show", "G3").out


def test_due_match_care_and_look_list_and_the_sheets_show_it(doubtful, tmp_path):
    run(doubtful, "name", "P3", "unknown", "--nickname", "old yard", "--on", "2027-03-21")
    run(doubtful, "look", "G1,G3", "growing", "--on", "2027-06-01")
    run(doubtful, "care", "G1", "staked", "--on", "2027-06-01")
    assert {"G1": BOTH, "G3": OLD_YARD} == column(doubtful, "look", "list", key="graft")
    assert {"G1": BOTH} == column(doubtful, "care", "list")
    due = column(doubtful, "due", "--on", "2027-06-20")
    assert (BOTH, OLD_YARD) == (due["G1"], due["G3"])
    assert BOTH == column(doubtful, "match", "--wood", "W5", "--on", "2027-03-22", key="wood")["W5"]
    run(doubtful, "due", "sheet", "--on", "2027-06-20", "-o", tmp_path / "round.pdf")
    assert OLD_YARD in " ".join(words_in(tmp_path / "round.pdf").split())
    for stock, name in (("P4", BOTH), ("P6", OLD_YARD)):
        rows = run(doubtful, "tree", "sheet", stock, "-o", tmp_path / "tree.pdf", "--json").rows
        assert [name] == [row["cultivar"] for row in rows]


# Of the shorter forms a tag takes the longest that can be read: by words of ours, no standard.
@pytest.mark.parametrize("medium", ["letter-30up", "stake-152x16"])
def test_a_printed_tag_shows_the_doubt(doubtful, tmp_path, medium):
    run(doubtful, "name", "P3", "unknown", "--nickname", "old yard", "--on", "2027-03-21")
    run(doubtful, "tags", "G1,G3", "--medium", medium, "-o", tmp_path / "tags.pdf")
    said = " ".join(words_in(tmp_path / "tags.pdf").split())
    assert any(form in said for form in (BOTH, f"{PIPPIN}/{RUSSET}?", "Kilwarden / Quern?")), said
    assert '"old yard"' in said


@pytest.mark.parametrize(
    ("words", "code", "shown", "why"),
    [
        ("kilwarden", "G4", "Tolm Beauty", "by the name Kilwarden Pippin"),
        ("old yard", "G3", "Smith’s Œillet", "by the name old yard"),
        ("corner apple", "G4", "Tolm Beauty", "by the name Corner Apple"),
        ("smith's oeillet", "G3", "Smith’s Œillet", None),
        ("quern", "G2", BOTH, None),
    ],
)
def test_everything_is_found_by_every_name_its_clone_was_ever_given(doubtful, words, code, shown, why):
    run(doubtful, "name", "P3", "unknown", "--nickname", "old yard", "--on", "2027-03-21")
    run(doubtful, "name", "W3", "Smith’s Œillet", "--on", "2027-06-01")
    if code == "G4":
        run(doubtful, "name", "P1", "Tolm Beauty", "--sure", "tested", "--on", "2027-05-01")
        run(doubtful, "name", "synonym", "Corner Apple", "--of", "Tolm Beauty")
    rows = {row["code"]: row for row in run(doubtful, "find", words, "--json").rows}
    assert shown == rows[code]["name"]
    assert (why is None and "by the name" not in rows[code]["why"]) or why in rows[code]["why"]


def test_a_stock_is_found_by_the_former_name_of_what_stands_on_it(doubtful):
    run(doubtful, "name", "P1", "Tolm Beauty", "--sure", "tested", "--on", "2027-05-01")
    rows = {row["code"]: row for row in run(doubtful, "find", "kilwarden", "--json").rows}
    assert "MM.106 with Tolm Beauty" == rows["P7"]["name"]
    assert "by the name Kilwarden Pippin" in rows["P7"]["why"]


def test_trees_are_listed_by_the_cultivar_they_are_or_may_be(doubtful):
    run(doubtful, "name", "P1", f"Tolm Beauty or {RUSSET}", "--on", "2027-05-01")
    run(doubtful, "name", "P2", "Stone Apple", "--sure", "verified", "--on", "2027-05-01")
    assert ["P1"] == list(column(doubtful, "tree", "list", "--cultivar", RUSSET))
    assert ["P2"] == list(column(doubtful, "tree", "list", "--cultivar", "stone apple"))


def listed(book, *words):
    return column(book, "tags", "worklist", *words, what="why")


def test_the_worklist_names_tags_that_say_another_name_until_they_are_printed_again(doubtful, tmp_path):
    run(doubtful, "tags", "G1-G4,P1,W4", "--medium", "letter-30up", "-o", tmp_path / "a.pdf", "--on", "2027-03-20")
    assert {} == listed(doubtful, "--as-of", "2027-03-25")
    run(doubtful, "name", "P1", "Tolm Beauty", "--sure", "tested", "--on", "2027-04-02")
    assert {} == listed(doubtful, "--as-of", "2027-03-25")
    found = listed(doubtful, "--as-of", "2027-04-03")
    assert f"printed as '{PIPPIN}', now 'Tolm Beauty' (tested)" == found["P1"] == found["G4"] == found["W4"]
    assert f"printed as '{PIPPIN}' or '{RUSSET}', now '{RUSSET}' or 'Tolm Beauty'" == found["G1"]
    assert "G3" not in found
    rows = {row["code"]: row for row in run(doubtful, "tags", "worklist", "--as-of", "2027-04-03", "--json").rows}
    assert ("cellar", "Tolm Beauty") == (rows["W4"]["place"] or "cellar", rows["G4"]["cultivar"])
    run(doubtful, "tags", "G1,G2,P1,W4", "--medium", "letter-30up", "-o", tmp_path / "b.pdf", "--on", "2027-04-03")
    assert ["G4"] == list(listed(doubtful, "--as-of", "2027-04-04"))
    run(doubtful, "care", "G4", "lasting-tag", "--on", "2027-04-04")
    assert {} == listed(doubtful, "--as-of", "2027-04-04")


def test_a_synonym_and_a_mix_found_out_later_call_for_new_tags_and_a_word_that_changes_nothing_does_not(
    orchard, tmp_path
):
    for wood, stock in (("W1", "P4"), ("W3", "P5")):
        run(orchard, "graft", wood, stock, "--method", "cleft", "--on", "2027-03-20")
    run(orchard, "tags", "G1,G2,P2,W2", "--medium", "letter-30up", "-o", tmp_path / "a.pdf", "--on", "2027-03-20")
    run(orchard, "name", "P2", RUSSET, "--on", "2027-03-21")
    assert {} == listed(orchard, "--as-of", "2027-04-01")
    run(orchard, "name", "synonym", RUSSET, "--of", "Stone Apple", "--on", "2027-03-21")
    assert {
        "P2": f"printed as '{RUSSET}', now 'Stone Apple'",
        "W2": f"printed as '{RUSSET}', now 'Stone Apple'",
    } == listed(orchard, "--as-of", "2027-04-01")
    run(orchard, "wood", "mixed", "W1", "W3", "--sticks", 8, "--on", "2027-03-01")
    assert "printed before its wood was mixed" in listed(orchard, "--as-of", "2027-04-01")["G1"]
