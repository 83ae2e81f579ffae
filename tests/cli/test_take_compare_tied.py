"""take compare: what moved together is named, and nothing is blamed for it."""

from filling import Filling

GREW, DIED = "08-01 growing", "06-01 dead"


def fill(location, *groups):
    """Grafts as (kind, method, day, clone, how many took, of how many), and more of each graft where given."""
    with Filling(location) as book:
        woods = {}
        for kind, method, day, clone, took, number, *more in groups:
            wood = woods.setdefault(kind, book.wood(kind, f"Kind of {kind.split()[0]}"))
            for place in range(number):
                graft = book.graft(wood, book.stock(kind, clone), method, day, **(more[0] if more else {}))
                book.looks(graft, GREW if place < took else DIED)


def test_what_changed_at_the_same_time_is_named_and_no_cause_is(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 2, 20),
        ("Malus domestica", "whip-and-tongue", "05-15", "MM.106", 17, 20),
    )
    document = graftbook("take", "compare", "method=whip-and-tongue,cleft", "--json").json
    assert {"week", "stock"} == set(document["together_with"])
    out = " ".join(graftbook("take", "compare", "method=whip-and-tongue,cleft").out.split())
    assert "none of method, date and stock can be named as the cause" in out
    assert "Date changed wholly with it" in out
    assert "give half of each bundle each way" in out


def test_stocks_that_never_varied_within_a_kind_are_not_blamed(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 38, 40), ("Malus domestica", "bark", "04-01", "M.26", 2, 4),
        ("Prunus avium", "cleft", "04-01", "Colt", 2, 4), ("Prunus avium", "bark", "04-01", "Colt", 8, 40),
    )  # fmt: skip
    document = graftbook("take", "compare", "method=cleft,bark", "--json").json
    assert [] == document["together_with"]
    assert not any("changed" in note for note in document["notes"])


def test_two_weeks_of_one_month_are_not_the_same_date(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 2, 20),
        ("Malus domestica", "bark", "04-20", "M.26", 17, 20),
    )
    out = " ".join(graftbook("take", "compare", "method=cleft,bark").out.split())
    assert "but date changed with it, so neither method nor date can be named as the cause." in out
    assert "Date changed wholly with it (bark: week of 2027-04-19 20; cleft: week of 2027-03-29 20)." in out


def test_early_and_late_are_told_apart_though_each_graft_had_its_own_week(graftbook, location):
    early = [("Malus domestica", "cleft", f"03-{day:02}", "M.26", 0, 1) for day in (1, 8, 15, 22, 29)]
    late = [("Malus domestica", "bark", f"05-{day:02}", "M.26", 1, 1) for day in (3, 10, 17, 24, 31)]
    fill(location, *early, *late)
    assert ["week"] == graftbook("take", "compare", "method=cleft,bark", "--json").json["together_with"]


def test_cultivars_of_one_graft_each_are_not_blamed(graftbook, location):
    with Filling(location) as book:
        for number in range(16):
            wood = book.wood(cultivar=f"Kind {number}")
            book.looks(book.graft(wood, book.stock(), "cleft" if number % 2 else "bark"), GREW if number % 2 else DIED)
    assert [] == graftbook("take", "compare", "method=cleft,bark", "--json").json["together_with"]
    assert "changed wholly" not in graftbook("take", "--by", "method").out


def test_a_tie_that_turns_round_from_kind_to_kind_is_still_found(graftbook, location):
    early, late = {"tie": "rubber"}, {"tie": "tape"}
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 9, 10, early), ("Malus domestica", "bark", "04-01", "M.26", 2, 10, late),
        ("Prunus avium", "cleft", "04-01", "Colt", 9, 10, late), ("Prunus avium", "bark", "04-01", "Colt", 2, 10, early),
    )  # fmt: skip
    assert ["tie"] == graftbook("take", "compare", "method=cleft,bark", "--json").json["together_with"]


def test_what_was_recorded_on_one_side_only_cannot_be_ruled_out(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 2, 20, {"stage": "tight-bud"}),
        ("Malus domestica", "bark", "04-01", "M.26", 17, 20),
    )
    document = graftbook("take", "compare", "method=cleft,bark", "--json").json
    assert [] == document["together_with"]
    assert "Growth stage was recorded for cleft only, so it cannot be ruled out." in document["notes"]


def test_methods_used_on_one_kind_each_cannot_be_told_from_the_kind(graftbook, location):
    fill(
        location,
        ("Malus domestica", "cleft", "04-01", "M.26", 9, 10),
        ("Prunus avium", "bark", "04-01", "Colt", 2, 10),
    )
    done = graftbook("take", "compare", "method=cleft,bark", "--json").json
    assert {"species", "stock", "cultivar", "wood"} == set(done["together_with"])
    out = " ".join(graftbook("take", "compare", "method=cleft,bark", "--notes").out.split())
    assert "No answer: cleft 9 of 10, bark 2 of 10, and in every stratum only one of the two was used." in out
    assert "With it changed " in out
    assert "Kind changed wholly with it (bark: sweet cherry 10; cleft: apple 10)." in out


def test_new_tape_a_new_donor_and_a_new_stock_in_one_year_are_all_named(graftbook, location):
    """The classic: everything changed at once, and no culprit can be picked."""
    with Filling(location) as book:
        for made, clone, donor, tie, took in (
            ("2026-04-01", "M.26", "K.T.", "rubber", 9),
            ("2027-04-01", "MM.111", "L.F.", "tape", 2),
        ):
            wood = book.wood(donor=donor, cut_on=None)
            for place in range(10):
                graft = book.graft(wood, book.stock(clone=clone), "cleft", made, tie=tie)
                year = made[:4]
                book.looks(graft, f"{year}-08-01 growing" if place < took else f"{year}-06-01 dead")
    document = graftbook("take", "compare", "season=2025-26,2026-27", "--json").json
    assert {"stock", "wood", "donor", "tie"} == set(document["together_with"])
    out = " ".join(graftbook("take", "compare", "season=2025-26,2026-27").out.split())
    assert "none of date, stock, bundle of wood, donor and tie can be named as the cause" in out
