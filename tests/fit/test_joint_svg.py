"""The drawing of a joint: well formed, true to scale, and with every line it promises."""

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from fit.given import method

from graftbook.fit.joint_kinds import cut_of
from graftbook.fit.joint_lines import panels
from graftbook.fit.joint_svg import drawing
from graftbook.fit.joint_words import line, reasons
from graftbook.fit.joints import joint
from graftbook.trade import methods

SVG = "{http://www.w3.org/2000/svg}"
MODELLED = [m.method for m in methods.all() if cut_of(m) is not None]


def drawn(name, scion=8.0, stand=12.0, title="W7 on P12", unit="mm"):
    found = joint(method(name), scion, stand, "Malus domestica", "Malus domestica")
    return found, drawing(found, title, [line(found, unit), *reasons(found, method(name), unit)], unit)


def numbers(path):
    return [float(text) for text in re.findall(r"-?\d+\.\d+", path)]


@pytest.mark.parametrize("name", MODELLED)
@pytest.mark.parametrize("stand", [7.5, 8.0, 12.0, 60.0])
def test_a_drawing_is_sound_and_its_size_is_in_millimetres(name, stand):
    root = ElementTree.fromstring(drawn(name, stand=stand)[1])
    width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))

    assert f"0 0 {width:.2f} {height:.2f}" == root.get("viewBox")
    assert width >= 110
    for mark in root.iter(f"{SVG}text"):
        assert 0 <= float(mark.get("y")) <= height or mark.text.startswith("shift")


def test_the_rings_are_as_wide_as_the_cambium():
    found, _ = drawn("whip-and-tongue")
    end, face = panels(found, "")
    ring = numbers(re.search(r'd="(M[^"]*Z)"', end.marks[0])[1])
    flat = numbers(re.search(r'd="(M[^"]*Z)"', face.marks[0])[1])

    assert pytest.approx(2 * found.sizes.stock_radius, abs=0.01) == max(ring[::2]) - min(ring[::2])
    assert pytest.approx(2 * found.sizes.stock_radius, abs=0.01) == max(flat[::2]) - min(flat[::2])
    assert pytest.approx(17**0.5, abs=0.01) == max(flat[1::2]) / max(flat[::2])
    assert f'stroke-width="{2 * found.reach_mm:.3f}"' in end.marks[0]


def test_the_thick_part_of_the_outline_is_the_share_that_meets():
    found, _ = drawn("whip-and-tongue")
    runs = {True: 0.0, False: 0.0}
    for mark in panels(found, "")[1].marks:
        if 'stroke-width="0.5"' in mark or 'stroke-dasharray="1 1"' in mark:
            points = numbers(re.search(r'd="([^"]*)"', mark)[1])
            steps = list(zip(points[::2], points[1::2], strict=True))
            runs["dasharray" not in mark] += sum(
                ((a - c) ** 2 + (b - d) ** 2) ** 0.5 for (a, b), (c, d) in pairwise(steps)
            )

    assert pytest.approx(found.share, abs=0.02) == runs[True] / sum(runs.values())


@pytest.mark.parametrize(("unit", "long", "words"), [("mm", 20.0, "20 mm"), ("in", 25.4, "1 in")])
def test_the_bar_is_as_long_as_it_says(unit, long, words):
    text = drawn("whip-and-tongue", unit=unit)[1]

    assert f"h{long}" in text
    assert f"{words}, printed at 100 %" in text


def test_the_shift_is_measured_where_there_is_one():
    found, text = drawn("whip-and-tongue")

    assert f"shift {round(found.shift_mm, 1):g} mm" in text
    assert "shift" not in drawn("whip-and-tongue", stand=8.0)[1].split("joint:")[0]


def test_a_second_scion_is_drawn_at_the_other_edge_of_a_split_that_has_room_for_it():
    rings = {
        stand: [numbers(mark)[0] for mark in panels(drawn("cleft", stand=stand)[0], "")[0].marks if "Z" in mark]
        for stand in (12.0, 40.0)
    }

    assert len(rings[12.0]) + 1 == len(rings[40.0])
    assert min(rings[40.0]) < 0


def test_names_with_signs_of_their_own_do_no_harm():
    text = drawn("splice", title="W7 (Smith & Son's <Early>) on P12")[1]

    assert ElementTree.fromstring(text).find(f"{SVG}title").text == "W7 (Smith & Son's <Early>) on P12"


def test_a_title_that_would_break_the_drawing_is_shown_by_its_numbers():
    """XML 1.0 (W3C, fifth edition, 2008), 2.2: no control character but tab, line feed and carriage return may stand in it."""
    root = ElementTree.fromstring(drawn("cleft", title="W7\x1b[31m <b> on P12")[1])
    assert "W7\\x1b[31m <b> on P12" == root.find(f"{SVG}title").text
