"""Runs of tags kept and printed again, blank tags given out ahead, own media and printers, and what to replace."""

import pytest
from filling import Filling
from reading_back import codes_in
from refusals import refused


@pytest.fixture
def bench(graftbook, location):
    """Three grafts that took and one that is dead, in walking order 4, 3, 2, 1."""
    with Filling(location) as book:
        wood = book.wood()
        for number in range(4):
            graft = book.graft(wood, book.stock(place="bench", row="2", order=4 - number), "cleft")
            book.looks(graft, "06-20 growing" if number < 3 else "06-20 dead")
    return graftbook


def printed(run, codes, path, *more):
    done = run("tags", codes, "--medium", "letter-30up", "-o", path, *more)
    assert 0 == done.code, done.err
    return done


def test_a_run_is_kept_listed_and_printed_again_byte_for_byte(bench, tmp_path):
    first, second = tmp_path / "a.pdf", tmp_path / "b.pdf"
    assert printed(bench, "G1-G3", first, "--start", 4, "--copies", 2, "--for", "row 2").out.startswith(
        "Run 1. Printed 6 tags"
    )
    (row,) = bench("tags", "runs", "--json").rows
    assert (1, 6, "G1-G3", "letter-30up", "row 2") == tuple(
        row[k] for k in ("run", "tags", "codes", "medium", "purpose")
    )
    assert 0 == bench("tags", "again", 1, "-o", second).code
    assert first.read_bytes() == second.read_bytes()


def test_tags_leave_out_what_is_excepted(bench, tmp_path):
    assert printed(bench, "G1-G4", tmp_path / "a.pdf", "--except", "G2,G4").out.startswith(
        "Run 1. Printed 2 tags (G1, G3)"
    )
    words = ("tags", "G1-G2", "--medium", "letter-30up", "-o", tmp_path / "b.pdf", "--except")
    refused(bench(*words, "G4"), 2, "exceptions that are among the codes; found G4")
    refused(bench(*words, "G1-G2"), 2, "a code that is not excepted")
    assert not (tmp_path / "b.pdf").exists()


def test_what_is_near_to_what_was_typed_is_named(bench):
    refused(bench("prune", "G2"), 2, "G2 stands on P2")
    refused(bench("look", "G3-G9", "growing"), 20, "Of these the book has G3-G4: name those")


def test_one_sheet_of_a_run_holds_the_codes_of_that_sheet(bench, location, tmp_path):
    with Filling(location) as book:
        for _ in range(40):
            book.stock()
    printed(bench, "P5-P44", tmp_path / "all.pdf")
    assert 0 == bench("tags", "again", 1, "--sheet", 2, "-o", tmp_path / "two.pdf").code
    second = set(codes_in(tmp_path / "two.pdf"))
    assert 10 == len(second)
    assert second < set(codes_in(tmp_path / "all.pdf"))


def test_a_run_can_be_undone_and_then_is_not_there(bench, tmp_path):
    printed(bench, "G1", tmp_path / "a.pdf")
    entry = bench("journal", "--json").rows[0]["entry"]
    assert 0 == bench("undo", entry).code
    assert 20 == bench("tags", "again", 1, "-o", tmp_path / "b.pdf").code
    assert not (tmp_path / "b.pdf").exists()


@pytest.mark.parametrize(("order", "first"), [("asked", "G2"), ("code", "G1"), ("place", "G3")])
def test_tags_come_in_the_order_asked_for(bench, tmp_path, order, first):
    done = bench("tags", "G2,G1,G3", "--medium", "letter-30up", "-o", tmp_path / "a.pdf", "--order", order, "--json")
    assert first == done.rows[0]["code"]


def test_blank_tags_are_given_out_once_used_by_a_graft_and_listed_until_then(bench, tmp_path):
    path = tmp_path / "blank.pdf"
    done = bench("tags", "blank", 3, "--for", "barn day", "--medium", "letter-30up", "-o", path)
    assert "gave out 3 blank tags G5-G7 for barn day" in done.out
    assert {"G5", "G6", "G7"} == {text.split("-")[0] for text in codes_in(path)}
    assert 0 == bench("graft", "W1", "P4", "--method", "cleft", "--tag", "G6", "--on", "2027-07-01", "--yes").code
    assert [("barn day", 2, "G5, G7")] == [
        (r["purpose"], r["unused"], r["codes"]) for r in bench("tags", "blanks", "--json").rows
    ]
    assert (
        "G8" == bench("graft", "W1", "P4", "--method", "cleft", "--on", "2027-07-01", "--yes", "--json").rows[0]["code"]
    )


@pytest.mark.parametrize(
    ("tag", "code", "said"),
    [
        ("G5,G6", 2, "one for each graft"),
        ("G1", 20, "No unused blank tag G1"),
        ("G99", 20, "G99"),
        ("G5-X", 2, "check character"),
    ],
)
def test_a_tag_that_cannot_be_used_is_refused_and_nothing_recorded(bench, tmp_path, tag, code, said):
    bench("tags", "blank", 2, "--medium", "letter-30up", "-o", tmp_path / "blank.pdf")
    bad = bench("graft", "W1", "P4", "--method", "cleft", "--tag", tag, "--on", "2027-07-01", "--yes")
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err
    assert 4 == len(bench("graft", "list", "--json").rows)


def test_blank_tags_that_cannot_be_printed_give_out_nothing(bench, tmp_path):
    assert 20 == bench("tags", "blank", 3, "--medium", "letter-99up", "-o", tmp_path / "a.pdf").code
    assert 2 == bench("tags", "blank", 0, "--medium", "letter-30up", "-o", tmp_path / "a.pdf").code
    assert bench("tags", "blanks", "--json").rows == []
    assert list(tmp_path.glob("*.pdf")) == []


def test_the_worklist_names_living_grafts_in_walking_order_with_one_reason_each(bench, tmp_path):
    assert [
        ("G3", "took, and no tag was printed"),
        ("G2", "took, and no tag was printed"),
        ("G1", "took, and no tag was printed"),
    ] == [(row["code"], row["why"]) for row in bench("tags", "worklist", "--json").rows]
    printed(bench, "G1-G4", tmp_path / "a.pdf")
    short = {row["code"]: row["why"] for row in bench("tags", "worklist", "--json").rows}
    assert dict.fromkeys(("G1", "G2", "G3"), "took, still on a short-lived tag") == short
    bench("care", "G1", "lasting-tag", "--on", "2027-11-30")
    bench("care", "G2", "tag lost", "--on", "2027-11-30")
    later = {row["code"]: row["why"] for row in bench("tags", "worklist", "--as-of", "2028-07-01", "--json").rows}
    assert {"G2": "missing since 2027-11-30", "G3": "past the 0.5 y such a mark lasts"} == later


def test_an_own_medium_is_checked_kept_and_printed_on(bench, tmp_path):
    wrong = bench("tags", "media", "add", "pot", "page_w_mm=60", "page_h_mm=20", "label_w_mm=80", "label_h_mm=x")
    assert (2, "") == (wrong.code, wrong.out)
    assert "label_h_mm must be a number" in wrong.err
    added = bench("tags", "media", "add", "pot-60x25", "page_w_mm=60", "page_h_mm=25", "label_w_mm=60", "label_h_mm=25")
    assert 0 == added.code, added.err
    assert "pot-60x25" == bench("tags", "media", "list", "--json").rows[0]["name"]
    done = bench("tags", "G1", "--medium", "pot-60x25", "-o", tmp_path / "a.pdf")
    assert 0 == done.code, done.err
    again = bench("tags", "media", "add", "pot-60x25", "page_w_mm=60", "page_h_mm=25", "label_w_mm=60", "label_h_mm=25")
    assert 21 == again.code


def test_a_printer_keeps_its_shift_and_scale_for_a_medium(bench, tmp_path):
    assert (
        0
        == bench(
            "tags", "printer", "office", "--medium", "letter-30up", "--shift-right", "1.5", "--measured", "99.8mm"
        ).code
    )
    assert 0 == bench("tags", "printer", "office", "--medium", "letter-30up", "--shift-down", "-0.5").code
    (row,) = bench("tags", "printer", "--json").rows
    assert (1.5, -0.5, 1.002) == (row["shift_right_mm"], row["shift_down_mm"], row["scale_across"])
    printed(bench, "G1", tmp_path / "plain.pdf")
    printed(bench, "G1", tmp_path / "shifted.pdf", "--printer", "office")
    assert (tmp_path / "plain.pdf").read_bytes() != (tmp_path / "shifted.pdf").read_bytes()
    assert 20 == bench("tags", "G1", "--medium", "letter-30up", "--printer", "attic", "-o", tmp_path / "x.pdf").code


def test_a_page_that_was_scaled_is_mended_in_the_print_dialogue_not_here(bench):
    bad = bench("tags", "printer", "office", "--medium", "letter-30up", "--measured", "97mm")
    assert 21 == bad.code
    assert "print dialogue" in bad.err
    assert bench("tags", "printer", "--json").rows == []


def test_a_calibration_page_is_written(bench, tmp_path):
    assert 0 == bench("tags", "calibrate", "--medium", "a4-21up", "-o", tmp_path / "cal.pdf").code
    assert {"TEST"} == set(codes_in(tmp_path / "cal.pdf", 300))


def test_a_site_stands_in_front_of_codes_and_is_taken_off_again(bench, tmp_path):
    assert 0 == bench("settings", "site=https://tag.example/t/").code
    printed(bench, "G1", tmp_path / "a.pdf")
    assert ["https://TAG.EXAMPLE/T/G1-W"] == codes_in(tmp_path / "a.pdf", 300)
    assert "https://TAG.EXAMPLE/T/G1-W" == bench("tags", "show", "G1", "--json").rows[0]["payload"]
    for wrong in ("site=tag", "site=https://tag.example/?q="):
        assert 2 == bench("settings", wrong).code


def test_a_tag_is_shown_in_the_terminal_and_as_a_picture(bench, tmp_path):
    out = bench("tags", "show", "G1").out
    assert "Stoneway Pearmain\nG1-W\non MM.106\n" in out
    assert "█" in out
    assert 0 == bench("tags", "show", "G1", "--png", tmp_path / "g1.png").code
    assert (tmp_path / "g1.png").read_bytes().startswith(b"\x89PNG")


def photo_of(path, picture):
    """A PDF's first page as a photo taken a little askew."""
    import pypdfium2

    document = pypdfium2.PdfDocument(path)
    page = document[0].render(scale=200 / 72, grayscale=True).to_pil()
    document.close()
    page.rotate(2, expand=True, fillcolor=255).save(picture, quality=80)


def test_a_photo_is_read_and_what_is_missing_is_named(bench, tmp_path):
    printed(bench, "G1-G2,P1", tmp_path / "a.pdf")
    photo_of(tmp_path / "a.pdf", tmp_path / "tray.jpg")
    document = bench("tags", "read", tmp_path / "tray.jpg", "--expect", "G1-G3", "--json").json
    assert ["G1", "G2", "P1"] == [row["code"] for row in document["rows"]]
    assert {"known"} == {row["found"] for row in document["rows"]}
    assert ["G3"] == document["missing"]
    bad = bench("tags", "read", tmp_path / "a.pdf", tmp_path / "none.jpg")
    assert (3, "") == (bad.code, bad.out)
    assert "none.jpg" in bad.err


def test_a_look_is_recorded_for_every_tag_in_a_photo_once_agreed(bench, tmp_path):
    printed(bench, "G1-G3", tmp_path / "a.pdf")
    photo_of(tmp_path / "a.pdf", tmp_path / "tray.jpg")
    asked = bench("look", "--photo", tmp_path / "tray.jpg", "growing")
    assert 21 == asked.code
    assert "Stoneway Pearmain" in asked.out
    before = len(bench("look", "list", "--json").rows)
    done = bench("look", "--photo", tmp_path / "tray.jpg", "growing", "--yes")
    assert 0 == done.code, done.err
    rows = bench("look", "list", "--json").rows
    assert before + 3 == len(rows)
    assert str(tmp_path / "tray.jpg") == rows[-1]["photo"]


def test_a_photo_with_tags_of_another_book_records_nothing(bench, command, tmp_path, monkeypatch):
    printed(bench, "G1-G3", tmp_path / "a.pdf")
    photo_of(tmp_path / "a.pdf", tmp_path / "tray.jpg")
    command("--book", tmp_path / "other.sqlite", "start")
    bad = command("--book", tmp_path / "other.sqlite", "look", "--photo", tmp_path / "tray.jpg", "growing", "--yes")
    assert (2, "") == (bad.code, bad.out)
    assert "G1, G2, G3" in bad.err


def test_a_run_printed_with_shifts_by_hand_is_the_same_again_when_they_are_given_again(bench, tmp_path):
    by_hand = ("--shift-right", "1", "--shift-down", "-0.5", "--dpi", "300")
    printed(bench, "G1-G3", tmp_path / "a.pdf", *by_hand)
    assert 0 == bench("tags", "again", 1, "-o", tmp_path / "b.pdf", *by_hand).code
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    bench("tags", "printer", "office", "--medium", "letter-30up", "--shift-right", "2")
    assert 0 == bench("tags", "again", 1, "-o", tmp_path / "c.pdf", "--printer", "office").code
    assert (tmp_path / "a.pdf").read_bytes() != (tmp_path / "c.pdf").read_bytes()


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["1", "--sheet", "2"], 2, "sheets from 1 to 1"),
        (["2"], 20, "No run 2"),
        (["1", "--printer", "attic"], 20, "No printer attic"),
    ],
)
def test_what_cannot_be_printed_again_is_said(bench, tmp_path, words, code, said):
    printed(bench, "G1", tmp_path / "a.pdf")
    bad = bench("tags", "again", *words, "-o", tmp_path / "b.pdf")
    assert (code, "") == (bad.code, bad.out)
    assert said in bad.err
    assert not (tmp_path / "b.pdf").exists()


def test_the_book_itself_is_never_written_over(on_sqlite, sqlite_location, tmp_path):
    on_sqlite("stock", "add", "MM.106")
    for words in (
        ("P1", "--medium", "letter-30up"), ("blank", 3, "--medium", "letter-30up"),
        ("calibrate", "--medium", "letter-30up"),
    ):  # fmt: skip
        bad = on_sqlite("tags", *words, "-o", sqlite_location)
        assert (21, "") == (bad.code, bad.out)
        assert "is a book or another database" in bad.err
    assert 21 == on_sqlite("tags", "show", "P1", "--png", sqlite_location).code
    assert on_sqlite("tags", "runs", "--json").rows == []
    assert on_sqlite("tags", "blanks", "--json").rows == []


def test_when_the_run_cannot_be_kept_the_file_of_before_stays(bench, tmp_path, monkeypatch):
    from graftbook.book.unit import Unit
    from graftbook.errors import Refused

    path = tmp_path / "a.pdf"
    printed(bench, "G1", path)
    before = path.read_bytes()

    def full(unit, summary):
        raise Refused("room in the book", "none")

    monkeypatch.setattr(Unit, "commit", full)
    for words in (("G1-G3",), ("blank", 2)):
        assert 21 == bench("tags", *words, "--medium", "letter-30up", "-o", path).code
    assert before == path.read_bytes()
    assert [path] == list(tmp_path.glob("*.pdf*")) + list(tmp_path.glob(".a*"))
    assert 1 == len(bench("tags", "runs", "--json").rows)


def test_an_empty_purpose_is_none_and_a_stick_has_no_tag_of_its_own(bench, tmp_path):
    printed(bench, "G1", tmp_path / "a.pdf", "--for", " ")
    assert bench("tags", "runs", "--json").rows[0]["purpose"] is None
    bad = bench("tags", "W1/3", "--medium", "letter-30up", "-o", tmp_path / "b.pdf")
    assert (2, "") == (bad.code, bad.out)
    assert "W1/3" in bad.err


def test_tags_come_in_walking_order_row_2_before_row_10(bench, location, tmp_path):
    with Filling(location) as book:
        for row in ("10", "9", "2"):
            book.stock(place="bench", row=row)
    done = bench("tags", "P5-P7", "--medium", "letter-30up", "-o", tmp_path / "a.pdf", "--order", "place", "--json")
    assert ["P7", "P6", "P5"] == [row["code"] for row in done.rows]


def test_an_address_that_cannot_stand_before_codes_is_refused_from_a_file_too(bench, tmp_path):
    (tmp_path / "settings.csv").write_text("setting,value\nsite,https://tag.example/?q=\n")
    bad = bench("import", tmp_path / "settings.csv")
    assert (3, "") == (bad.code, bad.out)
    assert "? = in https://tag.example/?q=" in bad.err
    printed(bench, "G1", tmp_path / "a.pdf")


def test_blank_tags_are_used_by_grafts_from_a_file_and_never_given_to_those_without_a_code(bench, tmp_path):
    bench("tags", "blank", 3, "--medium", "letter-30up", "-o", tmp_path / "a.pdf")
    (tmp_path / "grafts.csv").write_text(
        "code,wood,host,method,made_on\nG6,W1,P4,cleft,2027-07-01\n,W1,P4,cleft,2027-07-01\n"
    )
    done = bench("import", tmp_path / "grafts.csv", "--json")
    assert 0 == done.code, done.err
    assert ["G6", "G8"] == [row["code"] for row in done.rows]
    assert ["G5, G7"] == [row["codes"] for row in bench("tags", "blanks", "--json").rows]


def test_a_run_of_hosts_takes_a_run_of_blank_tags_in_order_and_undo_gives_them_back(bench, location, tmp_path):
    with Filling(location) as book:
        for _ in range(3):
            book.stock(place="bench")
    bench("tags", "blank", 3, "--medium", "letter-30up", "-o", tmp_path / "a.pdf")
    done = bench("graft", "W1", "P5-P7", "--method", "cleft", "--tag", "G5-G7", "--on", "2027-07-01", "--yes", "--json")
    assert ["G5", "G6", "G7"] == [row["code"] for row in done.rows]
    assert bench("tags", "blanks", "--json").rows == []
    assert 0 == bench("undo", done.json["entry"]).code
    assert ["G5-G7"] == [row["codes"] for row in bench("tags", "blanks", "--json").rows]


def test_rows_get_a_tag_for_their_end_that_says_how_many_of_what_live_there(bench, location, tmp_path):
    with Filling(location) as book:
        book.stock(place="shed B", clone="M.26")
    path = tmp_path / "rows.pdf"
    done = bench("tags", "rows", "--medium", "letter-10up", "-o", path, "--json")
    assert [("bench", "2", 4), ("shed B", None, 1)] == [
        (row["place"], row["row"], row["standing"]) for row in done.rows
    ]
    assert "3 × Stoneway Pearmain on MM.106" in done.rows[0]["lines"]
    assert set() == set(codes_in(path))
    assert [] == bench("tags", "runs", "--json").rows
    for words, said in (
        (("--place", "shed C"), "lives at 'shed C'. Something lives at: bench, shed B"),
        (("--row", "7"), "row '7' in which anything lives. There are rows: 2"),
        (("--medium", "letter-11up"), "letter-10up"),
    ):
        refused(bench("tags", "rows", "--medium", "letter-10up", "-o", tmp_path / "no.pdf", *words), 20, said)
    refused(bench("tags", "rows", "--medium", "letter-10up", "-o", path.parent / "none" / "a.pdf"), 21, "none")
    assert not (tmp_path / "no.pdf").exists()


def test_a_preview_is_a_picture_and_records_nothing_and_lines_are_ruled_on_blank_tags(bench, tmp_path):
    path = tmp_path / "first.png"
    done = bench("tags", "G1-G4", "--medium", "letter-30up", "--copies", 10, "--preview", "-o", path)
    assert "first sheet of 40 tags on letter-30up" in done.out
    assert path.read_bytes().startswith(b"\x89PNG")
    assert [] == bench("tags", "runs", "--json").rows
    refused(
        bench("tags", "G1", "--medium", "letter-30up", "--start", 31, "--preview", "-o", tmp_path / "b.png"), 2, "30"
    )
    blank = tmp_path / "blank.pdf"
    assert 0 == bench("tags", "blank", 2, "--lines", "--medium", "letter-20up", "-o", blank).code
    assert {"G5", "G6"} == {code.split("-")[0] for code in codes_in(blank)}
    again = tmp_path / "again.pdf"
    assert 0 == bench("tags", "again", 1, "--lines", "-o", again).code
    assert blank.read_bytes() == again.read_bytes()
    (row,) = bench("tags", "show", "G1", "--medium", "roll-51x25", "--json").rows
    assert row["code_read_from_mm"] == pytest.approx(10 * row["code_side_mm"], abs=1)
    assert "read its largest words from about" in bench("tags", "show", "G1").out
