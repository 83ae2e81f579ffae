"""What compare advises can be carried out: each sentence is acted out in a new book, and then nothing moved with the sides."""

import pytest
from filling import Filling, day

from graftbook.actions.takes.advice import advice
from graftbook.actions.takes.factors import FACTORS
from graftbook.book.plants import Plant

GREW, DIED = "08-01 growing", "06-01 dead"
DAYS, BUNDLES = ("04-05", "04-19"), ("a", "b")


def book_of(location, grafts):
    """Grafts as (bundle, day, what is recorded of them): every third dead, all wood of one tree."""
    with Filling(location) as book:
        mother = book._numbered(Plant, "P", {"kind": "tree", "taxon": "Malus domestica"})
        woods = {}
        for place, (bundle, on, more) in enumerate(grafts):
            own = {"method": "cleft", "clone": "MM.106", "cut": "01-14", **more}
            if (bundle, own["cut"]) not in woods:
                woods[bundle, own["cut"]] = book.wood(cut_on=day(own["cut"]), cut_plant_id=mother.id)
            wood, host = woods[bundle, own.pop("cut")], book.stock(clone=own.pop("clone"))
            book.looks(book.graft(wood, host, own.pop("method"), on, **own), DIED if place % 3 == 0 else GREW)


def halves(first, second):
    """Half of each bundle each way, on the same days."""
    return [(bundle, on, way) for bundle in BUNDLES for on in DAYS for way in (first, second) for _ in range(4)]


def confounded(first, second):
    """All of one way on one day of one bundle, all of the other on another."""
    return [("a", DAYS[0], first)] * 10 + [("b", DAYS[1], second)] * 10


def by_day(methods):
    """Half of each bundle early, half late, by the methods of each day."""
    return [(bundle, on, {"method": method}) for bundle in BUNDLES
            for on, method in zip(DAYS, methods, strict=True) for _ in range(5)]  # fmt: skip


SPLITS = {
    "method=cleft,bark": ({"method": "cleft"}, {"method": "bark"}), "tie=tape,rubber": ({"tie": "tape"}, {"tie": "rubber"}),
    "stock=MM.106,M.26": ({"clone": "MM.106"}, {"clone": "M.26"}), "buds=2,3": ({"buds": 2}, {"buds": 3}),
    "seal=wax,none": ({"seal": "wax"}, {"seal": "none"}), "place=tunnel,yard": ({"place": "tunnel"}, {"place": "yard"}),
    "stock-diameter<8mm": ({"stock_mm": 7.0}, {"stock_mm": 9.0}),
}  # fmt: skip

ACTED_OUT = {
    **{what: ("half of each bundle each way", confounded(*ways), halves(*ways)) for what, ways in SPLITS.items()},
    "on<2027-04-12": (
        "half of each bundle on an early day and half on a late one", by_day(("cleft", "bark")), by_day(("cleft",) * 2),
    ),
    "wood-age<85": (
        "cut each tree's wood half early and half late",
        confounded({"cut": "01-20", "method": "bark"}, {"cut": "01-05"}),
        halves({"cut": "02-14"}, {"cut": "01-05"}),
    ),
    "scion-diameter<7mm": (
        "sort each bundle into thin and thick", confounded({"scion_mm": 6.0}, {"scion_mm": 8.0}),
        halves({"scion_mm": 6.0}, {"scion_mm": 8.0}),
    ),
    "wood=W1,W2": (
        "as many of each on each grafting day", confounded({}, {}),
        [(bundle, on, {}) for on in DAYS for bundle in BUNDLES for _ in range(5)],
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", ACTED_OUT)
def test_what_is_advised_separates_the_effects_once_it_is_done(graftbook, location, other, what, monkeypatch):
    said, before, after = ACTED_OUT[what]
    book_of(location, before)
    found = graftbook("take", "compare", what, "--json").json
    assert found["together_with"]
    assert any(said in note for note in found["notes"]), found["notes"]
    book_of(other, after)
    done = graftbook("--book", other, "take", "compare", what, "--json").json
    assert [] == done["together_with"], done["notes"]
    assert not any("then their effects can be separated" in note for note in done["notes"])


@pytest.mark.parametrize("factor", FACTORS)
def test_no_advice_asks_for_the_same_of_what_is_to_differ(factor):
    text = advice(factor)
    assert text.endswith(".")
    if factor in ("on", "week", "month", "half-month", "stage", "days-from-green-tip", "warmth"):
        assert "same days" not in text
    if factor in ("stock", "stock-diameter", "mismatch", "joint-share"):
        assert "same days and stocks" not in text
    if factor in ("species", "cultivar", "wood", "donor", "mother-tree", "wood-age", "season"):
        assert "half of each bundle" not in text


def test_the_split_of_a_trial_recorded_as_said_is_compared_within_its_blocks(graftbook, location):
    """graft --trial NAME --block BUNDLE, and compare holds the bundles apart."""
    with Filling(location) as book:
        for name in BUNDLES:
            wood = book.wood(cultivar=f"Kind {name}")
            for place, method in enumerate(("cleft", "bark") * 6):
                graft = book.graft(wood, book.stock(), method, trial="tie", block=wood.code)
                book.looks(graft, GREW if place % 2 == 0 else DIED)
    found = graftbook("take", "compare", "method=cleft,bark", "--json").json
    assert ["species", "trial", "block"] == found["within"]
    assert {"apple, tie, W1, graft", "apple, tie, W2, graft"} <= {row["stratum"] for row in found["rows"]}
