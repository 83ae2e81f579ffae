"""A blank tag: the code, and ruled lines to write on by hand, each with what belongs there in small type before it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from labels.fitting import COLUMN_GAP_MM, EASES, EASY_PT, Block, Ease, FittedRow, Texts
from labels.lettering import ASCENT_EM, BOLD, DESCENT_EM, PT_MM, REGULAR, ROW_EM, em_width

PITCH_MM = 6.5
"""From one line to the next: room for handwriting with a marker; ruled paper has 6 to 8 mm (common practice)."""
_LEAST_PITCH_MM = 5.0
_LEAST_RULE_MM = 18.0
_HEAD_PT = 14.0
_LEAST_HEAD_PT = 9.0


@dataclass(frozen=True, slots=True)
class Ruled:
    """Code and ruled lines in a box; `ease` ranks it by the lines that had no room."""

    made: Block

    @property
    def ease(self) -> Ease:
        """How many lines are missing, as its rank."""
        return self.made.ease

    @property
    def name_pt(self) -> float:
        """The size of the code."""
        return self.made.head_pt

    def block(self, texts: Texts) -> Block:
        """The same with the head of these texts."""
        head, *captions = self.made.rows
        return replace(self.made, rows=(replace(head, text=texts.head), *captions))


def ruled(head: str, captions: tuple[str, ...], w: float, h: float, wide: bool) -> Ruled | None:
    """The head over as many of the captions' lines as a box of `w` x `h` mm has room for, or beside them where `wide`.

    None where there is room for none.
    """
    ways = [_set(head, captions, w, h, beside) for beside in ((False, True) if wide else (False,))]
    found = [way for way in ways if way is not None]
    return min(found, key=lambda way: way.ease.rank, default=None)


def _set(head: str, captions: tuple[str, ...], w: float, h: float, beside: bool) -> Ruled | None:
    em = em_width(head, BOLD) * PT_MM
    room = w / 2 if beside else w
    size = min(_HEAD_PT, room / em, h / (ROW_EM * PT_MM))
    if not beside and h - ROW_EM * size * PT_MM < PITCH_MM * len(captions):
        size = min(size, max(_LEAST_HEAD_PT, (h - PITCH_MM * len(captions)) / (ROW_EM * PT_MM)))
    if size < _LEAST_HEAD_PT:
        return None
    high = ROW_EM * size * PT_MM
    left, top = (em * size + COLUMN_GAP_MM, 0.0) if beside else (0.0, high)
    count = min(len(captions), int((h - top) / (_LEAST_PITCH_MM if beside else PITCH_MM)))
    if count < 1 or w - left < _LEAST_RULE_MM:
        return None
    pitch = (h - top) / count
    small = EASY_PT * PT_MM
    rows = [FittedRow(head, size, BOLD, 0.0, (h - high) / 2 if beside else 0.0, em * size, high)]
    rules = []
    for i, caption in enumerate(captions[:count]):
        foot = top + (i + 1) * pitch - DESCENT_EM * small
        long = em_width(caption, REGULAR) * small
        rows.append(FittedRow(caption, EASY_PT, REGULAR, left, foot - ASCENT_EM * small, long, ROW_EM * small))
        rules.append((left + long + 1.0, foot, w - left - long - 1.0))
    ease = replace(EASES[0], rank=len(captions) - count)
    return Ruled(Block(tuple(rows), ease, size, size, EASY_PT, tuple(rules)))
