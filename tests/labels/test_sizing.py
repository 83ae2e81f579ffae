"""Module sizes: aim, floor, quiet zone and whole printer dots."""

from __future__ import annotations

import pytest

from labels.sizing import AIM_MM, FLOOR_MM, LARGEST_MM, module_sizes

GS1_LEAST_MM = 0.396
"""GS1 General Specifications, QR code with a web address at the point of sale: X-dimension 0.396 to 0.990 mm."""


def test_the_floor_is_not_below_the_gs1_minimum_x_dimension():
    assert GS1_LEAST_MM <= FLOOR_MM <= AIM_MM


@pytest.mark.parametrize("dpi", [None, 203, 300, 600, 1200])
@pytest.mark.parametrize("modules", [21, 25, 29, 33])
@pytest.mark.parametrize("breadth", [10.0, 12.7, 13.0, 15.875, 16.9, 19.05, 21.2, 25.4, 38.1, 50.8, 101.6])
def test_every_size_offered_fits_the_breadth_and_keeps_the_floor(breadth, modules, dpi):
    for size in module_sizes(modules, breadth, dpi):
        assert size.mm >= GS1_LEAST_MM
        assert size.quiet in (2, 4)
        assert (modules + 2 * size.quiet) * size.mm + 2 * size.edge_mm <= breadth + 1e-4
        assert size.quiet == 4 or any("quiet zone" in w for w in size.warnings)


def test_the_code_of_a_one_inch_label_fills_its_height_with_the_standard_quiet_zone():
    """ISO/IEC 18004: a quiet zone of four modules; 1.5 mm to the edge of the label on either side."""
    best = module_sizes(21, 25.4, None)[0]
    assert (pytest.approx((25.4 - 3) / 29), 4, ()) == (best.mm, best.quiet, best.warnings)


def test_smaller_codes_are_offered_down_to_the_floor():
    sizes = [size.mm for size in module_sizes(21, 25.4, None)]
    assert sorted(sizes, reverse=True) == sizes
    assert {AIM_MM, FLOOR_MM} <= set(sizes)
    assert FLOOR_MM == sizes[-1]


def test_half_inch_stock_gets_a_narrower_quiet_zone_and_a_warning():
    best = module_sizes(21, 12.7, None)[0]
    assert pytest.approx(0.428) == best.mm
    assert 2 == best.quiet
    assert "a 12.7 mm breadth leaves a quiet zone of 2 modules where the standard asks for 4" in best.warnings[0]


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_every_module_is_a_whole_number_of_dots(dpi):
    for size in module_sizes(21, 25.4, dpi):
        assert round(size.mm * dpi / 25.4) == pytest.approx(size.mm * dpi / 25.4)
        assert () == size.warnings


def test_where_no_whole_number_of_dots_keeps_the_floor_the_size_stays_unsnapped_with_a_warning():
    best = module_sizes(21, 15.875, 203)[0]
    assert FLOOR_MM <= best.mm < 4 * 25.4 / 203
    assert "no whole number of dots at 203 dpi" in best.warnings[-1]


def test_a_big_label_gets_a_bigger_code_but_never_above_the_largest():
    assert AIM_MM < module_sizes(21, 38.1, None)[0].mm < LARGEST_MM
    assert LARGEST_MM == module_sizes(21, 101.6, None)[0].mm


def test_nothing_is_offered_where_the_floor_does_not_fit():
    assert () == module_sizes(21, 10.0, None)
    assert () == module_sizes(41, 15.875, None)
