"""take --by: a note where a factor asked for went wholly with another, on both databases."""

from filling import Filling


def fill(location, *groups):
    """Grafts as (kind, method, day, tie)."""
    with Filling(location) as book:
        wood = {kind: book.wood(kind) for kind in ("Malus domestica", "Prunus avium")}
        for kind, method, day, tie in groups:
            clone = "M.26" if kind == "Malus domestica" else "Colt"
            book.looks(book.graft(wood[kind], book.stock(kind, clone), method, day, tie=tie), "08-01 growing")


APPLE, CHERRY = "Malus domestica", "Prunus avium"


def test_a_factor_that_went_wholly_with_another_is_said_not_to_be_told_from_it(graftbook, location):
    fill(location, *[(APPLE, "cleft", "04-01", "tape")] * 3, *[(APPLE, "bark", "04-20", "rubber")] * 3)
    done = graftbook("take", "--by", "species,method")
    said = "Method changed wholly with date and tie, so a difference between its rows may be theirs: ask take compare."
    assert said in " ".join(done.out.split())
    assert max(map(len, done.out.splitlines())) <= 80
    assert said in graftbook("take", "--by", "method", "--unit", "stock", "--json").json["notes"]


def test_one_graft_that_crosses_over_is_enough_to_part_them(graftbook, location):
    fill(
        location, *[(APPLE, "cleft", "04-01", "tape")] * 3, *[(APPLE, "bark", "04-20", "rubber")] * 3,
        (APPLE, "bark", "04-01", "tape"),
    )  # fmt: skip
    assert "changed wholly" not in graftbook("take", "--by", "species,method").out


def test_what_is_tied_within_each_row_group_is_found_though_it_turns_round(graftbook, location):
    fill(
        location, *[(APPLE, "cleft", "04-01", "tape")] * 2, *[(APPLE, "bark", "04-01", "rubber")] * 2,
        *[(CHERRY, "cleft", "04-01", "rubber")] * 2, *[(CHERRY, "bark", "04-01", "tape")] * 2,
    )  # fmt: skip
    assert "Method changed wholly with tie," in graftbook("take", "--by", "species,method").out
    assert "Method changed" not in graftbook("take", "--by", "method").out


def test_what_goes_together_by_nature_and_what_is_asked_for_is_not_said(graftbook, location):
    fill(location, (APPLE, "cleft", "04-01", "tape"), (CHERRY, "cleft", "04-01", "tape"))
    assert "changed wholly" not in graftbook("take", "--by", "species").out
    fill(location, (APPLE, "bark", "04-20", "tape"))
    assert "Date changed wholly with" not in graftbook("take", "--by", "month,method").out


def test_a_factor_recorded_for_none_or_for_one_alone_is_not_said(graftbook, location):
    fill(location, *[(APPLE, "cleft", "04-01", "tape")] * 2, (APPLE, "bark", "04-01", None))
    assert "changed wholly" not in graftbook("take", "--by", "method").out
    fill(location, *[(APPLE, "bark", "04-01", "rubber")] * 2)
    assert "Method changed wholly with tie," in graftbook("take", "--by", "method").out


def test_a_large_book_is_looked_at_by_a_sample_first_and_says_the_same(graftbook, location, monkeypatch):
    from graftbook.actions.takes import judging

    fill(location, *[(APPLE, "cleft", "04-01", "tape")] * 12, *[(APPLE, "bark", "04-01", "rubber")] * 12)
    before = graftbook("take", "--by", "species,method", "--json").json["notes"]
    monkeypatch.setattr(judging, "PROBED", 4)
    assert before == graftbook("take", "--by", "species,method", "--json").json["notes"]
    assert any(note.startswith("Method changed wholly with tie,") for note in before)


def test_what_a_sample_missed_is_still_found_in_the_whole(graftbook, location, monkeypatch):
    from graftbook.actions.takes import judging

    monkeypatch.setattr(judging, "PROBED", 4)
    groups = [*[(APPLE, "cleft", "04-01", "tape")] * 12, *[(APPLE, "bark", "04-01", "rubber")] * 12]
    fill(location, *groups, (APPLE, "bark", "04-01", "tape"))
    assert "changed wholly" not in graftbook("take", "--by", "species,method").out
