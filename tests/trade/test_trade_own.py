"""Rows a person adds to the tables in their own book."""

import pytest

from graftbook.errors import UsageProblem
from graftbook.trade import aftercare, cautions, methods, own, tables


def test_an_own_row_is_whole_and_its_basis_is_own_whatever_was_said():
    row = own.parse("pairs", {
        "scion_taxon": " Apples ", "stock_taxon": "siberian crab", "verdict": "good", "basis": "published",
        "source": "my orchard",
    })  # fmt: skip

    assert tables.columns("pairs") == tuple(row)
    assert ("Malus domestica", "Malus baccata") == (row["scion_taxon"], row["stock_taxon"])
    assert ("own", "my orchard", "") == (row["basis"], row["source"], row["caveat"])


def test_a_stock_of_ones_own_and_a_species_of_a_known_genus_may_be_named():
    row = own.parse(
        "pairs", {"scion_taxon": "Malus sieversii", "stock_taxon": "apple", "stock_clone": "Barn 3", "verdict": "poor"}
    )

    assert ("Malus sieversii", "Barn 3") == (row["scion_taxon"], row["stock_clone"])
    assert "B.9" == own.parse("pairs", {**row, "stock_clone": "bud 9"})["stock_clone"]


def test_all_faults_of_a_row_are_told_at_once():
    with pytest.raises(UsageProblem) as told:
        own.parse("pairs", {"scion_taxon": "moon tree", "stock_taxon": "", "verdict": "splendid"})

    message = str(told.value)
    for part in (
        "scion_taxon 'moon tree'",
        "stock_taxon nothing",
        "verdict 'splendid'",
        "good, workable, delayed, poor, no",
    ):
        assert part in message
    assert "Nothing was added" in message


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ({"warmth_from": "143"}, "warmth_base_c nothing"),
        ({"warmth_base_c": "4"}, "warmth_from nothing"),
        ({"shoot_mm": "long"}, "shoot_mm 'long'"),
        ({"wood": "old"}, "dormant, summer"),
        ({"default": "maybe"}, "yes, no"),
    ],
)
def test_a_rule_of_aftercare_that_cannot_be_computed_is_refused(cells, said):
    with pytest.raises(UsageProblem) as told:
        own.parse(
            "aftercare", {"key": "mine", "rule": "look", "unit": "graft", "words": "Look.", "source": "me", **cells}
        )

    assert said in str(told.value)


def test_a_column_the_table_lacks_and_a_table_that_takes_no_rows_are_refused():
    with pytest.raises(UsageProblem, match=r"columns of the pairs table.*found 'opinion'"):
        own.parse("pairs", {"opinion": "good"})
    with pytest.raises(UsageProblem, match=r"pairs, methods, keeping, aftercare, cautions.*found 'sources'"):
        own.parse("sources", {"key": "x"})


def test_an_own_method_becomes_a_method():
    row = own.parse("methods", {
        "method": "zig-zag", "unit": "graft", "family_of_joint": "slant", "slip": "no", "scion_state": "dormant",
        "stock_ok_min": "6", "stock_ok_max": "12.5", "stage_to": "bud break", "judge_days": "50",
    })  # fmt: skip
    method = methods.from_row(row)

    assert ((6.0, 12.5), (None, None), 50, None) == (
        method.stock_ok,
        method.ratio_ok,
        method.judge_days,
        method.set_days,
    )
    assert "green tip" == method.stage_to


def test_sizes_the_wrong_way_round_are_a_fault():
    with pytest.raises(UsageProblem, match="stock_ok_max: 12 or more, since stock_ok_min is 12"):
        own.parse("methods", {
            "method": "zig-zag", "unit": "graft", "family_of_joint": "slant", "slip": "no", "scion_state": "dormant",
            "stock_ok_min": "12", "stock_ok_max": "6", "judge_days": "50",
        })  # fmt: skip


def test_an_own_rule_and_an_own_caution_are_read_like_the_trades():
    rule = aftercare.from_row(own.parse("aftercare", {
        "key": "mine", "rule": "look", "unit": "any", "after_from": "10", "after_to": "10", "default": "yes",
        "words": "Look early.", "methods": "cleft;bark",
    }))  # fmt: skip
    caution = cautions.from_row(own.parse("cautions", {"key": "bees", "when": "graft;prune", "words": "Hives near."}))

    assert (True, ("cleft", "bark"), 10) == (rule.is_default, rule.methods, rule.after_from)
    assert (("graft", "prune"), "own") == (caution.when, caution.basis)
