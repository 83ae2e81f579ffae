"""Methods and their limits, against what handbooks and extension services print."""

import pytest

from graftbook.trade import methods, stages

INCH = 25.4


def limit(method, source):
    return next(entry for entry in methods.limits(method) if entry.source == source and any(entry.stock + entry.scion))


@pytest.mark.parametrize(
    ("method", "source", "low", "high"),
    [
        ("whip-and-tongue", "ndsu-grafting", 1 / 4, 1 / 2),  # NDSU Extension, Grafting Techniques
        ("whip-and-tongue", "tamu-whip", 3 / 8, 1),  # Texas A&M, Whip Grafting
        ("cleft", "ncsu-ag396-cleft", None, 2.5),  # NC State Extension, AG-396: old limbs up to 2-1/2 in
        ("cleft", "bailey-apple-tree", 1, 2),  # Bailey, The Apple-Tree
        ("bark", "nmsu-h623", 1.5, 3.5),  # New Mexico State University, Guide H-623
        ("T-bud", "mu-g6972", 1 / 4, 1),  # University of Missouri Extension, G6972
        ("patch-bud", "osu-patch-pecan", 3 / 8, 1.5),  # Oklahoma State University Extension, Patch Budding Pecans
        ("four-flap", "tamu-four-flap", 1 / 2, 1),  # Texas Cooperative Extension, The Four-Flap Graft
        ("four-flap", "osu-hla-6230", 3 / 8, 1),  # Oklahoma Cooperative Extension, HLA-6230
    ],
)
def test_printed_stock_sizes_stand_as_printed(method, source, low, high):
    found = limit(method, source)

    assert (low is None) == (found.stock[0] is None)
    assert low is None or found.stock[0] == pytest.approx(low * INCH, abs=0.06)
    assert found.stock[1] == pytest.approx(high * INCH, abs=0.06)
    assert "published" == found.basis


def test_bridge_scions_are_a_quarter_to_half_an_inch():
    """Michigan State University Extension, Bridge grafting girdled fruit tree trunks."""
    assert (6.35, 12.7) == limit("bridge", "msu-bridge").scion


def test_envelopes_lie_within_what_the_better_sources_print():
    """NDSU: whip-and-tongue 1/4 to 1/2 in; University of Missouri G6972: T-bud 1/4 to 1 in; NC State: cleft to 2-1/2 in."""
    assert methods.find("whip-and-tongue").stock_ok == pytest.approx((INCH / 4, INCH / 2), abs=0.5)
    assert methods.find("T-bud").stock_ok == pytest.approx((INCH / 4, INCH), abs=0.5)
    assert methods.find("cleft").stock_ok[1] == pytest.approx(2.5 * INCH, abs=0.6)


def test_sources_that_disagree_all_stand():
    """Cleft at most 51, 64 or 254 mm; bark from 25, 38 or 102 mm."""
    assert {50.8, 63.5, 254} <= {entry.stock[1] for entry in methods.limits("cleft")}
    assert {25.4, 38.1, 101.6} <= {entry.stock[0] for entry in methods.limits("bark")}
    assert () == methods.limits("no-such-method")


def test_a_scion_as_thick_as_the_stock_or_a_little_thinner():
    """Common practice; NDSU prints that a whip's scion is never thicker than the stock."""
    for name in ("whip-and-tongue", "splice", "saddle"):
        assert 1.0 == methods.find(name).ratio_ok[1] == methods.find(name).ratio_tried[1]
        assert methods.find(name).ratio_ok[0] < 1.0


def test_a_four_flap_scion_may_be_a_little_thicker():
    """Texas Cooperative Extension and Oklahoma HLA-6230: scion slightly thicker than the stock."""
    assert methods.find("four-flap").ratio_ok[1] > 1.0


def test_one_live_bud_is_enough():
    """Common practice."""
    assert all(1 == method.buds_min for method in methods.all() if method.buds_min is not None)
    assert all(method.buds_min is not None for method in methods.all() if method.family_of_joint in ("slant", "wedge"))


@pytest.mark.parametrize(
    ("method", "slip"),
    [
        ("bark", "yes"), ("T-bud", "yes"), ("four-flap", "yes"), ("bridge", "yes"), ("patch-bud", "both"),
        ("flute-bud", "both"), ("cleft", "tight"), ("splice", "no"), ("whip-and-tongue", "no"), ("saddle", "no"),
        ("omega", "no"), ("chip-bud", "no"), ("side-veneer", "no"),
    ],
)  # fmt: skip
def test_which_methods_need_the_bark_to_slip(method, slip):
    """NC State AG-396 for cleft (tight), chip and T; Oklahoma State for patch, bark and four-flap; the rest common practice."""
    found = methods.find(method)

    assert slip == found.slip
    assert (slip in ("yes", "both")) == found.needs_slip


def test_dormant_grafts_are_for_late_winter_and_early_spring():
    """Common practice: graft in late winter to early spring, as the sap starts to move."""
    for name in ("whip-and-tongue", "splice", "saddle", "cleft", "side-stub"):
        method = methods.find(name)
        assert "dormant" == method.stage_from == method.scion_state
        assert stages.order(method.stage_from) <= stages.order("bud swell") <= stages.order(method.stage_to)


def test_methods_that_need_slip_start_once_the_bark_can_slip():
    for method in methods.all():
        if method.needs_slip:
            assert "tight" != stages.bark(method.stage_from)


def test_buds_are_set_before_they_are_judged_and_grafts_are_never_set():
    for method in methods.all():
        assert method.is_bud == (method.set_days is not None)
        assert method.set_days is None or method.set_days < method.judge_days
        assert method.is_bud <= (1 == method.buds_default)


def test_what_is_asked_for_lies_within_what_is_tried():
    def inside(ok, tried):
        low = tried[0] is None or (ok[0] is not None and tried[0] <= ok[0])
        return low and (tried[1] is None or (ok[1] is not None and ok[1] <= tried[1]))

    for method in methods.all():
        assert inside(method.stock_ok, method.stock_tried), method.method
        assert inside(method.ratio_ok, method.ratio_tried), method.method
        stock_stages = [stages.order(word) for word in (method.stage_from, method.stage_to) if word]
        assert stock_stages == sorted(stock_stages)


def test_the_length_of_a_whip_cut_is_four_diameters():
    """NDSU: 1 to 2 in for wood of 1/4 to 1/2 in, so 4 to 1 read in proportion (derived)."""
    assert 4 == methods.find("whip-and-tongue").cut_times
