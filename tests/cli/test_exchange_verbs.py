"""Wood in and out: received, asked for, given, thanked for; rights until their last day; people; only; MCPD."""

import csv
import io

import pytest
from refusals import refused


@pytest.fixture
def club(graftbook):
    """A tree P1 with W1 (9 sticks), stocks P2-P5, and W2 (4 sticks) received from IM."""
    graftbook("tree", "add", "Kilwarden Pippin", "--species", "apple", "--acquired", "2020-03-01", "--place", "orchard")
    graftbook("wood", "add", "--source", "P1", "--sticks", 9, "--buds", 4, "--cut", "2027-01-14")
    graftbook("stock", "add", "MM.106", "--count", 4, "--acquired", "2027-01-01", "--place", "bed")
    words = ("Quern Russet", "--from", "IM", "--sticks", 4, "--species", "apple", "--buds", 3, "--on", "2027-02-01")
    assert graftbook("wood", "receive", *words).code == 0
    return graftbook


def test_wood_that_is_here_already_is_told_across_spellings(club):
    done = club("wood", "receive", "kilwarden pipin", "--from", "Bo", "--sticks", 2, "--species", "apple")
    assert (0, "") == (done.code, done.err)
    # W1, cut ten months before, is past keeping and no longer counts as having it.
    assert "You have 'Kilwarden Pippin' already (like it): P1." in done.out
    # So is W2, of which nobody knows when it was cut, for it was here as long; in March both counted.
    words = ("wood", "receive", "QUERN RUSSET", "--from", "Bo", "--sticks", 2)
    assert "already" not in club(*words).out
    assert club("undo", club("journal", "--json").rows[0]["entry"]).code == 0
    assert "You have 'Quern Russet' already: W2." in club(*words, today="2027-03-10").out


def test_a_parcel_with_a_doubt_a_swelling_and_a_right_is_recorded_whole(club):
    done = club("wood", "receive", "either Tolm Beauty or Quern Russet", "--from", "IM", "--sticks", 3, "--species", "apple",
                "--condition", "swelling", "--rights", "club only", "--until", "2028-03-01")  # fmt: skip
    assert (0, "") == (done.code, done.err)
    shown = club("wood", "show", "W3").out
    for words in ("swelling", "club only until 2028-03-01", "Quern Russet or Tolm Beauty", "from IM"):
        assert words in " ".join(shown.split())


NOT_RECEIVED = (
    (("X", "--from", " ", "--sticks", 2, "--species", "apple"), 2, "who the wood came from"),
    (("X", "--from", "IM", "--sticks", 0, "--species", "apple"), 2, "from 1 to"),
    (("A or A", "--from", "IM", "--sticks", 2, "--species", "apple"), 2, "one name twice"),
    (("X", "--from", "IM", "--sticks", 2, "--species", "apple", "--condition", "fine"), 2, "sound, swelling"),
    (("X", "--from", "IM", "--sticks", 2, "--species", "apple", "--until", "2028-01-01"), 2, "--until with --rights"),
    (("X", "--from", "IM", "--sticks", 2, "--rights", "a", "--until", "2026-01-01"), 21, "The rights ended on 2026-01-01."),
    (("X", "--from", "IM", "--sticks", 2, "--species", "apple", "--sure", "very"), 2, "believed"),
    (("Newcomer", "--from", "IM", "--sticks", 2), 2, "species"),
)  # fmt: skip


@pytest.mark.parametrize(("words", "code", "said"), NOT_RECEIVED)
def test_wood_that_cannot_be_received_leaves_the_book_as_it_was(club, words, code, said):
    before = club("journal", "--json").out
    refused(club("wood", "receive", *words), code, said)
    assert before == club("journal", "--json").out


def request(graftbook, number):
    return next(row for row in graftbook("wood", "requests", "--all", "--json").rows if row["number"] == number)


def test_requests_are_served_first_come_first_served_from_what_there_is(club):
    assert "9 sticks free (W1)" in club("wood", "request", "kilwarden pippin", "--for", "Mo", "--sticks", 6).out
    assert "3 sticks free (W1)" in club("wood", "request", "Kilwarden Pippin", "--for", "Bo", "--sticks", 6).out
    club("wood", "give", "W1", 4, "--to", "Mo", "--on", "2027-11-30")
    first, second = request(club, 1), request(club, 2)
    assert (6, 4, 2, 5, ["2027-11-30"]) == tuple(first[key] for key in ("asked", "sent", "open", "free", "sent_on"))
    assert (6, 0, 6, 3) == tuple(second[key] for key in ("asked", "sent", "open", "free"))
    club("wood", "give", "W1", 2, "--to", "Mo")
    assert [2] == [row["number"] for row in club("wood", "requests", "--json").rows]


def test_a_request_can_be_closed_and_undone(club):
    club("wood", "request", "Quern Russet", "--for", "Mo", "--sticks", 2)
    assert 0 == club("wood", "close", 1, "--note", "found elsewhere").code
    assert "2027-11-30" == request(club, 1)["closed_on"]
    refused(club("wood", "close", 1), 21, "closed on")
    refused(club("wood", "close", 7), 20, "No request 7")
    club("undo", club("journal", "--json").rows[0]["entry"])
    assert request(club, 1)["closed_on"] is None


def test_a_right_on_wood_without_a_name_is_told_when_it_is_given(club):
    club(
        "wood",
        "receive",
        "unknown",
        "--from",
        "Bo",
        "--sticks",
        2,
        "--species",
        "apple",
        "--rights",
        "not to be passed on",
    )
    assert "Your note on W3: not to be passed on." in club("wood", "give", "W3", 1, "--to", "Mo").out


def test_a_right_is_told_for_a_name_that_is_only_like_it(club):
    club("tree", "note", "P1", "--rights", "no giving on", "--on", "2027-01-01")
    done = club("wood", "request", "kilwarden pipin", "--for", "Mo", "--sticks", 2)
    assert "Your note on P1, 'Kilwarden Pippin': no giving on." in done.out


def test_a_bundle_written_down_as_one_or_the_other_of_known_cultivars_is_in_doubt(club):
    club("wood", "add", "Quern Russet or Kilwarden Pippin", "--species", "apple", "--sticks", 2)
    row = next(row for row in club("name", "list", "--doubt", "--json").rows)
    assert ("Kilwarden Pippin or Quern Russet", "doubtful", "W3") == (row["cultivar"], row["sure"], row["codes"])


def test_doubtful_wood_is_never_counted_as_free(club):
    club("wood", "receive", "Tolm Beauty or Quern Russet", "--from", "IM", "--sticks", 5, "--species", "apple")
    club("wood", "request", "Tolm Beauty", "--for", "Mo", "--sticks", 2)
    assert (0, 5) == (request(club, 1)["free"], request(club, 1)["doubtful"])


@pytest.mark.parametrize("words", [(" ", "--for", "Mo"), ("Quern Russet", "--for", " ")])
def test_a_request_without_a_name_is_refused(club, words):
    refused(club("wood", "request", *words, "--sticks", 2), 2, "a cultivar and who asks")


def test_rights_are_told_at_request_and_at_giving_until_their_last_day_and_not_the_day_after(club, monkeypatch):
    club("tree", "note", "P1", "--rights", "no giving on", "--until", "2027-12-02", "--on", "2027-01-01")
    monkeypatch.setenv("GRAFTBOOK_TODAY", "2027-12-02")
    said = "Your note on P1, 'Kilwarden Pippin': no giving on until 2027-12-02."
    assert said in club("wood", "request", "Kilwarden Pippin", "--for", "Mo", "--sticks", 2, today="2027-12-02").out
    assert said in club("wood", "give", "W1", 1, "--to", "Bo", today="2027-12-02").out
    assert said not in club("wood", "give", "W2", 1, "--to", "Bo", today="2027-12-02").out
    assert said in " ".join(club("wood", "requests", today="2027-12-02").out.split())
    assert said not in club("wood", "request", "Kilwarden Pippin", "--for", "Mo", "--sticks", 2, today="2027-12-03").out
    assert said not in club("wood", "give", "W1", 1, "--to", "Bo", today="2027-12-03").out


def test_thanks_say_what_took_of_what_was_grafted(club):
    club("graft", "W2", "P2-P4", "--method", "cleft", "--on", "2027-03-20")
    club("look", "G1-G2", "growing", "--on", "2027-07-20")
    club("look", "G3", "dead", "--on", "2027-07-20")
    row = club("wood", "thanks", "--json").rows[0]
    assert ("IM", "Quern Russet", 4, 3, 2, 3, 0) == tuple(
        row[key] for key in ("donor", "cultivar", "sticks", "made", "took", "decided", "waiting")
    )
    assert "Something took from IM" in club("wood", "thanks", "--from", "im").out
    refused(club("wood", "thanks", "--from", "nobody"), 20, "No wood from 'nobody'")


def test_people_join_names_and_initials_and_keep_contacts_to_themselves(club, tmp_path):
    done = club("people", "add", "Ilo Marren", "--initials", "I.M.", "--contact", "red gate, hill lane")
    assert "exported only with --contacts" in done.out
    row = club("people", "list", "--json").rows[0]
    assert ("Ilo Marren", 1, None) == (row["name"], row["bundles_from"], row["contact"])
    assert "red gate" in club("people", "list", "--contacts").out
    club("export", tmp_path / "out")
    assert not any("red gate" in path.read_text(encoding="utf-8") for path in (tmp_path / "out").iterdir())
    club("export", tmp_path / "with", "--contacts")
    assert "red gate" in (tmp_path / "with" / "people.csv").read_text(encoding="utf-8")
    refused(club("people", "add", "ilo marren"), 21, "'ilo marren' is Ilo Marren already.")
    refused(club("people", "add", "Another", "--initials", "IM"), 21, "'IM' is Ilo Marren already.")
    refused(club("people", "amend", "nobody", "--note", "x"), 20, "Nobody called 'nobody'")
    refused(club("people", "amend", "IM"), 2, "something to change")
    assert 0 == club("people", "amend", "IM", "--contact", "").code
    assert club("people", "list", "--contacts", "--json").rows[0]["contact"] is None


def risks(graftbook, *words):
    return {row["cultivar"]: row["risks"] for row in graftbook("only", "--json", *words).rows}


def test_only_names_what_is_alive_once_or_not_yet_judged(club):
    sticks = {"Quern Russet": ["only as sticks: 4 in W2, graft it first"]}
    alive = {"Kilwarden Pippin": ["one tree", "one place"]}
    assert sticks | alive == risks(club, "--as-of", "2027-03-10")
    assert alive == risks(club)  # by November W2 has been here longer than such wood keeps
    club("graft", "W2", "P2", "--method", "cleft", "--on", "2027-03-20")
    club("graft", "W1", "P3", "--method", "cleft", "--on", "2027-03-20")
    assert ["only as grafts not yet judged", "one tree", "one place"] == risks(club)["Quern Russet"]
    assert "Kilwarden Pippin" not in risks(club)
    club("look", "G2", "dead", "--on", "2027-07-01")
    club("look", "G1", "growing", "--on", "2027-07-01")
    assert ["one tree", "one place"] == risks(club)["Quern Russet"] == risks(club)["Kilwarden Pippin"]
    club("graft", "W2", "P4", "--method", "cleft", "--on", "2027-03-21")
    assert ["one place"] == risks(club)["Quern Russet"]


def test_only_keeps_doubt_in_a_row_of_its_own(club):
    club("graft", "W2", "P2", "--method", "cleft", "--on", "2027-03-20")
    club("name", "G1", "Quern Russet or Kilwarden Pippin")
    assert {"Kilwarden Pippin", "Kilwarden Pippin or Quern Russet"} == set(risks(club))


# FAO/Bioversity Multi-Crop Passport Descriptors V.2.1, December 2015: descriptors 0 to 28 by name, in order.
MCPD = (
    "PUID", "INSTCODE", "ACCENUMB", "COLLNUMB", "COLLCODE", "COLLNAME", "COLLINSTADDRESS", "COLLMISSID", "GENUS", "SPECIES",
    "SPAUTHOR", "SUBTAXA", "SUBTAUTHOR", "CROPNAME", "ACCENAME", "ACQDATE", "ORIGCTY", "COLLSITE", "DECLATITUDE", "LATITUDE",
    "DECLONGITUDE", "LONGITUDE", "COORDUNCERT", "COORDDATUM", "GEOREFMETH", "ELEVATION", "COLLDATE", "BREDCODE", "BREDNAME",
    "SAMPSTAT", "ANCEST", "COLLSRC", "DONORCODE", "DONORNAME", "DONORNUMB", "OTHERNUMB", "DUPLSITE", "DUPLINSTNAME",
    "STORAGE", "MLSSTAT", "REMARKS",
)  # fmt: skip


def test_living_cultivars_go_out_under_the_names_of_the_standard_identity_only(club, tmp_path):
    club("tree", "add", "Tolm; Beauty", "--species", "Prunus domestica")
    club("tree", "add", "quern gage", "--species", "plum")
    club("tree", "died", "P7", "--on", "2027-11-01")
    club("name", "synonym", "Old Pippin", "--of", "Kilwarden Pippin")
    done = club("mcpd", "-o", tmp_path / "living.csv")
    assert (0, "") == (done.code, done.err)
    rows = list(csv.DictReader(io.StringIO((tmp_path / "living.csv").read_text(encoding="utf-8"))))
    assert list(MCPD) == list(rows[0])
    filled = [{key: value for key, value in row.items() if value} for row in rows]
    apple = {"ACCENUMB": "P1", "GENUS": "Malus", "SPECIES": "domestica", "CROPNAME": "apple",
             "ACCENAME": "Kilwarden Pippin;Old Pippin"}  # fmt: skip
    assert apple == filled[0]
    assert ("Prunus", "domestica", "Tolm, Beauty") == tuple(filled[1][key] for key in ("GENUS", "SPECIES", "ACCENAME"))
    refused(club("mcpd", "-o", tmp_path / "living.csv"), 21, "--force")
    assert 0 == club("mcpd", "-o", tmp_path / "living.csv", "--force").code
    refused(
        club("mcpd", "-o", tmp_path / "no" / "living.csv"),
        21,
        f"living.csv cannot be written: no folder {tmp_path / 'no'}. Nothing was written.",
    )


def test_what_is_in_doubt_stays_out_of_the_exchange(club, tmp_path):
    club("name", "P1", "Kilwarden Pippin or Quern Russet")
    assert "1 living tree or graft in doubt" in club("mcpd", "-o", tmp_path / "living.csv").out


def test_have_looks_across_spellings_and_says_where(club):
    # By November W2 has been here longer than such wood keeps.
    past = club("name", "have", "quern  RUSSETT", "--json")
    assert ([], ["Wood past keeping is not counted: 'Quern Russet' W2."]) == (past.rows, past.json["notes"])
    row = club("name", "have", "quern  RUSSETT", "--json", today="2027-03-10").rows[0]
    assert ("Quern Russet", "like it", 4, "W2") == (row["cultivar"], row["match"], row["sticks"], row["codes"])
    assert "is not in this book" in club("name", "have", "Farbeyond").out
    refused(club("name", "have", "''"), 2, "a cultivar name")


IMPORTED = (
    ("namings", "subject,on,sure,candidates\nP1,2027-03-01,believed,A | a\n", "different cultivars"),
    ("namings", "subject,on,sure,candidates,stick\nP1,2027-03-01,believed,A,2\n", "unless the subject is wood"),
    ("namings", "subject,on,sure,candidates\nP1,2019-03-01,believed,A\n", "when P1 came"),
    ("namings", "subject,on,sure\nG9,2027-03-01,believed\n", "in the book or in these files"),
    ("movements", "wood,on,kind,sticks\nW1,2027-03-01,mixed,-2\n", "the bundle that the mixed sticks became"),
    ("movements", "wood,on,kind,sticks,into\nW1,2027-03-01,mixed,-2,W1\n", "was not mixed from"),
    ("movements", "wood,on,kind,sticks,into\nW1,2027-03-01,mixed,-2,W2\nW2,2027-03-02,mixed,-1,W1\n", "was not mixed from"),
    ("movements", "wood,on,kind,sticks,into\nW1,2027-03-01,given,-2,W2\n", "unless the kind is mixed"),
    ("synonyms", "name,preferred,on\nA,B,2027-03-01\nB,A,2027-03-01\n", "not itself called"),
    ("synonyms", "name,preferred,on\nA,B,2027-03-01\na,C,2027-03-01\n", "as a synonym once"),
    ("people", "name,initials\nAda,A\nADA,B\n", "each person once"),
    ("requests", "number,on,receiver,cultivar,sticks\n1,2027-03-01,Mo,A,2\n1,2027-03-01,Bo,A,2\n", "each request for wood once"),
)  # fmt: skip


@pytest.mark.parametrize(("name", "text", "said"), IMPORTED)
def test_files_that_contradict_themselves_are_refused_whole(club, tmp_path, name, text, said):
    path = tmp_path / f"{name}.csv"
    path.write_text(text, encoding="utf-8")
    before = club("journal", "--json").out
    refused(club("import", path), 3, said)
    assert before == club("journal", "--json").out


def test_namings_and_requests_of_a_person_are_taken_in(club, tmp_path):
    (tmp_path / "namings.csv").write_text(
        "subject,on,sure,candidates,why\nW2,3/4/2027,tested,Tolm Beauty,leaf\n", encoding="utf-8"
    )
    assert 0 == club("import", tmp_path / "namings.csv", "--dates", "day-first").code
    assert "Tolm Beauty" in club("wood", "list").out
    assert 3 == club("import", tmp_path / "namings.csv", "--dates", "day-first").code
