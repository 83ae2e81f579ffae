"""What the model of joints takes from the book, a joint in words and drawn, and the ways to cut the sticks of a bundle."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook import numbers, units
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.file_out import MARK, write_file
from graftbook.actions.desk.results import Report, Usual, count
from graftbook.actions.trade import own_tables
from graftbook.actions.wood import drawing
from graftbook.book import find
from graftbook.book.wood import Bundle
from graftbook.codes import read_one
from graftbook.errors import UsageProblem
from graftbook.fit import cutting, joint_words
from graftbook.fit.cutting import Piece, Rules, Stick, Way
from graftbook.fit.facts import StockFacts, WoodFacts
from graftbook.fit.gate import overlap
from graftbook.fit.joints import REACH_MM, Joint, JointAssumptions, best_joint
from graftbook.fit.match import Judgement
from graftbook.trade import bark_thickness
from graftbook.visible import visible

REACH = units.Limit("the gap callus is trusted to bridge", 0.05, 5.0)


def given(desk: Desk, session: Session, reach: str | None) -> JointAssumptions:
    """The reach as typed, 0.5 mm when it is None, and the grower's own rows of bark."""
    own = tuple(bark_thickness.from_row(row) for row in find.own_rows(session, "bark"))
    return JointAssumptions(REACH_MM if reach is None else desk.length(reach, REACH), own_bark=own)


def of_pair(judged: Judgement, assumed: JointAssumptions) -> Joint | None:
    """The joint of a pair whether it goes or not; None where a diameter is not known or the method has no model."""
    wood, stock = judged.wood, judged.stock
    if judged.joint is not None or wood.diameter_mm is None or stock.diameter_mm is None:
        return judged.joint
    return best_joint(judged.method, wood.diameter_mm, stock.diameter_mm, wood.taxon, stock.taxon, assumed)


def facts(found: Joint | None) -> dict[str, Any]:
    """A joint under its promised names, rounded as it is shown; every value None where there is none."""
    if found is None:
        return dict.fromkeys(("joint_share", "shift_mm", "alignment", "sides", "cut_mm"))
    return {
        "joint_share": round(found.share, 2), "shift_mm": round(found.shift_mm, 1), "alignment": found.alignment,
        "sides": found.sides, "cut_mm": float(round(found.cut_mm)),
    }  # fmt: skip


def notes(judged: Judgement, found: Joint | None, unit: str) -> tuple[str, ...]:
    """The joint of a pair as one line and one paragraph; why there is none, where there is none."""
    if found is not None:
        notes = joint_words.line(found, unit), " ".join(joint_words.reasons(found, judged.method, unit))
        printed = joint_words.printed_lengths(judged.method)
        return (*notes, Usual(f"Lengths as printed: {'; '.join(printed)}.")) if printed else notes
    missing = _unknown(judged.wood, judged.stock)
    if missing:
        return (f"joint: not known, since the diameter of {' and of '.join(missing)} is not.",)
    return (f"joint: not worked out for {judged.method.method}.",)


def draw(judged: Judgement, found: Joint | None, output: Path, unit: str) -> str:
    """Write the joint as a drawing true to scale and say so. Raises UsageProblem where there is none or for a file that is
    not named as an SVG, CannotWrite."""
    from graftbook.fit.joint_svg import drawing

    if output.suffix.lower() != ".svg":
        raise UsageProblem("a file that ends in .svg, which the drawing is", str(output))
    if found is None:
        raise _nothing_to_draw(judged)
    wood, stock, method = judged.wood, judged.stock, judged.method
    called = (f"{facts.code} ({name})" if name else facts.code for facts, name in (
        (wood, wood.cultivar), (stock, stock.clone)))  # fmt: skip
    title = f"{' on '.join(called)} by {method.method}"
    lines = (joint_words.line(found, unit), *joint_words.reasons(found, method, unit))
    write_file(output, MARK + b"\n" + visible(drawing(found, title, lines, unit)).encode("utf-8"))
    return f"Drew the joint true to scale in {output}: print it at 100 %."


def _unknown(wood: WoodFacts, stock: StockFacts) -> list[str]:
    return [facts.code for facts in (wood, stock) if facts.diameter_mm is None]


def _nothing_to_draw(judged: Judgement) -> UsageProblem:
    missing = _unknown(judged.wood, judged.stock)
    if not missing:
        return UsageProblem(
            "a method whose joint is worked out", judged.method.method,
            "Try --method whip-and-tongue, cleft, bark, side-veneer, chip-bud or T-bud",
        )  # fmt: skip
    ways = {"W": "graftbook wood amend {} --diameter 6-9mm", "P": "graftbook stock measure {} 9mm"}
    steps = [ways[code[0]].format(code) for code in missing if code[0] in ways]
    what = f"the diameter of {' and of '.join(missing)} to draw the joint"
    return UsageProblem(what, "none recorded", f"Measure, then: {'; '.join(steps)}" if steps else "")


@dataclass(frozen=True)
class CutRow:
    """A way to cut a stick, the same for every stick of the bundle. `way` is the buds of its scions from the butt on, `fit`
    how many of them are of the thickness the method wants (all where none was named), `in_all` the scions from all sticks
    left, `lost` the buds on the wood of cuts and `left_over` those at the tip, `from_mm` to `to_mm` the thickest and the
    thinnest end, `pieces` each scion in words."""

    way: str
    scions: int
    fit: int
    in_all: int
    buds: int
    lost: int
    left_over: int
    from_mm: float
    to_mm: float
    pieces: tuple[str, ...]
    shown: ClassVar = ("way", "scions", "fit", "in_all", "lost", "left_over", "pieces")
    headings: ClassVar = {"in_all": "from all sticks", "lost": "buds lost", "left_over": "left at tip"}


def cuts(desk: Desk, wood: str, method: str | None = None, buds: str | None = None, limit: int = 12) -> Report:
    """The ways to cut the sticks of a bundle into scions, best first: most that suit the method, most scions, least lost.

    `buds` is the numbers of buds a scion may have, such as `2,3`; None means 1, 2 or 3, and 1 for a bud. Raises UsageProblem
    for what the book does not know of the bundle.
    """
    with desk.book.read() as session:
        bundle = find.one(session, read_one(wood))
        if not isinstance(bundle, Bundle):
            raise UsageProblem("a bundle of wood, such as W7", bundle.code)
        left = drawing.in_hand(session, [bundle])[bundle.id].left
        chosen = None if method is None else own_tables.method_named(session, method)
        stick = _stick(bundle)
    rules = Rules(_buds(buds, chosen is not None and chosen.is_bud), chosen)
    ways = [_cut_row(way, rules, left, desk.settings.units) for way in cutting.patterns(stick, rules) if way.pieces]
    ways.sort(key=lambda row: (-row.fit, -row.scions, row.lost + row.left_over, row.way))
    named = None if chosen is None else chosen.method
    facts = {"wood": bundle.code, "sticks_left": left, "ways": len(ways), "method": named}
    notes = _cut_notes(stick, rules, left, len(ways), limit, desk.settings.units)
    return Report(CutRow, tuple(ways[:limit]), notes, facts, title=f"Ways to cut a stick of {bundle.code}, best first")


def _stick(bundle: Bundle) -> Stick:
    ends = [end for end in (bundle.diameter_min_mm, bundle.diameter_max_mm) if end is not None]
    wanted = (("diameter", "--diameter 6-9mm", ends or None), ("length", "--length 30cm", bundle.length_mm),
              ("buds a stick", "--buds 8", bundle.buds_per_stick))  # fmt: skip
    missing = [(name, option) for name, option, value in wanted if value is None]
    if missing or bundle.length_mm is None or bundle.buds_per_stick is None:
        raise UsageProblem(
            f"the {', '.join(name for name, _ in missing)} of {bundle.code}", "none recorded",
            f"Measure a stick, then: graftbook wood amend {bundle.code} {' '.join(option for _, option in missing)}",
        )  # fmt: skip
    return Stick(max(ends), min(ends), bundle.length_mm, bundle.buds_per_stick)


def _buds(text: str | None, is_bud: bool) -> tuple[int, ...]:
    if text is None:
        return (1,) if is_bud else cutting.BUDS
    buds = [numbers.whole(part, 1, 9) for part in text.split(",")]
    if None in buds:
        raise UsageProblem("numbers of buds from 1 to 9, such as 2,3", repr(text))
    return tuple(each for each in buds if each is not None)


def _cut_row(way: Way, rules: Rules, left: int, unit: str) -> CutRow:
    pieces, lost = way.pieces, sum(piece.lost for piece in way.pieces)
    fit = sum(_suits(piece, rules) for piece in pieces)
    words = tuple(
        f"{count(piece.buds, 'bud')} {units.show_length(round(piece.butt_mm, 1), unit)}, "
        f"{units.show_length(round(piece.length_mm), unit)} long" for piece in pieces
    )  # fmt: skip
    return CutRow(
        "+".join(str(piece.buds) for piece in pieces), len(pieces), fit, len(pieces) * left, way.buds, lost, way.left_over,
        round(pieces[0].butt_mm, 1), round(pieces[-1].tip_mm, 1), words,
    )  # fmt: skip


def _suits(piece: Piece, rules: Rules) -> bool:
    """Whether the end that is cut is of a thickness the method is used with."""
    return rules.method is None or overlap((piece.butt_mm, piece.butt_mm), rules.method.scion_ok) is not None


def _cut_notes(stick: Stick, rules: Rules, left: int, ways: int, limit: int, unit: str) -> tuple[str, ...]:
    size, long = units.show_range(stick.tip_mm, stick.butt_mm, unit), units.show_length(stick.length_mm, unit)
    notes = [
        f"{count(left, 'stick')} left, each taken as {long} long, {size} from tip to butt, with {count(stick.buds, 'sound bud')}."
    ]
    if not ways:
        notes.append(
            f"No scion of {min(rules.buds)} or more buds can be had: it would be at least "
            f"{units.show_length(rules.shortest(stick.butt_mm), unit)} long, and below the soft tip a stick is "
            f"{units.show_length(stick.sound_mm, unit)} with {count(stick.buds, 'bud')}."
        )
    if ways > limit:
        notes.append(f"{count(ways - limit, 'way')} more: --limit {ways} shows them all.")
    notes.append(
        "The soft tip, a tenth of the length, is left; fewer buds on a scion leave less to spare. Shortest lengths and the soft "
        "tip are working values from memory."
    )
    return tuple(notes)
