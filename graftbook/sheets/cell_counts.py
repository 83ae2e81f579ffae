"""Counts and results in growers' cells: how many grafts a row is, how many of them took, and what is not said."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from graftbook.sheets.doubt import Doubt, says_nothing
from graftbook.sheets.grid import CellValue, written
from graftbook.sheets.reading import Reading, fold

MOST = 2_000
"""The most grafts or plants of one row."""
TOOK, FAILED, UNKNOWN = "growing", "dead", "unknown"
WORDS = MappingProxyType({
    **dict.fromkeys((
        "yes", "y", "took", "take", "taken", "taking", "alive", "live", "living", "growing", "grew", "grows", "good", "ok", "okay",
        "success", "successful", "true", "✓", "✔", "☑", "yes!", "survived", "thriving", "well", "growing well", "doing well",
        "leafing out", "leafed out", "strong", "took well", "fine", "great", "all", "all took", "all alive", "all growing",
        "all good", "100%", "both", "both took",
    ), TOOK),
    **dict.fromkeys((
        "no", "n", "failed", "fail", "dead", "died", "did not take", "didn't take", "not taken", "no take", "false", "✗", "✘", "☒",
        "failure", "lost", "none", "none took", "all dead", "all failed", "0%", "nil", "unsuccessful", "zero",
    ), FAILED),
    **dict.fromkeys((
        "?", "unknown", "not sure", "unsure", "maybe", "don't know", "some", "some took", "most", "most took", "a few", "few",
        "mixed", "half", "partial", "some alive", "too early", "waiting", "not checked", "tbd", "not yet", "dormant", "n/a",
        "na", "-",
    ), UNKNOWN),
})  # fmt: skip
"""What words in a column of results are read as, unless a reading says otherwise."""
_ALL = frozenset(
    word
    for word in WORDS
    if word.startswith(("all", "none", "both", "zero", "nil", "0%", "100%")) or word in ("no take",)
)
_OF = re.compile(r"(\d{1,4})\s*(?:of|out of|from)\s*(\d{1,4})(?:\s+\w+)?$")
_SHARE = re.compile(r"(\d{1,4})\s*/\s*(\d{1,4})$")
_COUNTED = re.compile(
    r"(\d{1,4})\s*(took|take|takes|alive|live|growing|ok|good|survived|failed|dead|died|lost|fails?)$|"
    r"(took|alive|live|growing|ok|survived|failed|dead|died|lost)\s*:?\s*(\d{1,4})$"
)
_PERCENT = re.compile(r"(\d{1,3})(?:[.,]0+)?\s*%$")
_COUNT = re.compile(r"(?:x\s*)?(\d{1,4})(?:\s*[x×])?(?:\s*(?:no\.?|pcs?|grafts?|scions?|trees?|plants?|buds?|off|sticks?|stocks?))?"
                    r"\.?(?:\s*[,;:(–-]\s*(.+?)\)?)?$")  # fmt: skip


@dataclass(frozen=True)
class Outcome:
    """What became of the grafts of a row: `took` and `failed` of them, others not known (both None: of none); or the one
    `state` all were seen in. `made` is how many the words say there were (None: they do not say), `remark` what else they
    say."""

    took: int | None = None
    failed: int | None = None
    state: str | None = None
    made: int | None = None
    remark: str = ""


def read_count(value: CellValue) -> tuple[int, str] | Doubt:
    """How many, and what is said beside: `12 grafts, some took` is 12 and `some took`."""
    if isinstance(value, bool | date):
        return Doubt(written(value), "a whole number")
    match = _COUNT.match(fold(written(value)))
    if match is None:
        return Doubt(written(value), f"a whole number up to {MOST:,}")
    number = int(match[1])
    if not 1 <= number <= MOST:
        return Doubt(written(value), f"a whole number from 1 to {MOST:,}")
    return number, match[2] or ""


def read_result(value: CellValue, count: int | None, reading: Reading) -> Outcome | Doubt:
    """What a result means for the grafts of a row, of which there are `count` (None: the row does not say, so one unless the
    result says otherwise)."""
    if isinstance(value, date):
        return _as_day(value, count)
    text = written(value)
    folded = fold(reading.word(text))
    if folded in _STATES:
        return _every(count, text, folded)
    meant = WORDS.get(folded)
    if meant == UNKNOWN:
        return Outcome(remark="" if says_nothing(folded) else text)
    if meant is not None:
        if count is not None and count > 1 and folded not in _ALL and fold(text) == folded:
            return Doubt(text, f"how many of the {count} took, such as {count - 1} of {count}, or all, or none")
        return _every(count, "", meant)
    return _numbers(folded, text, count)


_STATES = frozenset({"no-movement", "swelling", "pushing", "growing", "stalled", "shrivelled", "dead", "not-found", "set",
                     "not-set", "forced"})  # fmt: skip


def _every(count: int | None, remark: str, state: str) -> Outcome:
    made = count or 1
    if state in (TOOK, FAILED):
        return Outcome(made if state == TOOK else 0, made if state == FAILED else 0)
    return Outcome(state=state)


def _numbers(folded: str, text: str, count: int | None) -> Outcome | Doubt:
    of = _OF.match(folded)
    if of is not None:
        return _part(int(of[1]), int(of[2]), count, text)
    share = _SHARE.match(folded)
    if share is not None:
        part, whole = int(share[1]), int(share[2])
        if whole == count and part <= whole:
            return Outcome(part, whole - part)
        offer = f"{part} of {whole}" if part <= whole <= MOST and count is None else ""
        return Doubt(text, "how many took of how many, such as 3 of 4", offer)
    counted = _COUNTED.match(folded)
    if counted is not None:
        number, word = int(counted[1] or counted[4]), counted[2] or counted[3]
        failed = word.startswith(("fail", "dead", "died", "lost"))
        found = _took(number, count, text)
        return Outcome(0, number) if failed and isinstance(found, Outcome) else found
    percent = _PERCENT.match(folded)
    if percent is not None and count is not None and count * int(percent[1]) % 100 == 0:
        return _took(count * int(percent[1]) // 100, count, text)
    if re.fullmatch(r"\d{1,4}(?:\.0+)?", folded):
        return _took(int(float(folded)), count, text)
    made = read_count(text)
    if isinstance(made, tuple) and made[1]:
        if count is not None and count != made[0]:
            return Doubt(text, f"a result for the {count} of the row")
        inner = WORDS.get(made[1])
        if inner == UNKNOWN or inner is None:
            return Outcome(made=made[0], remark=made[1])
        return Outcome(made[0] if inner == TOOK else 0, made[0] if inner == FAILED else 0, made=made[0])
    return Doubt(text, "yes, no, how many took such as 9 of 12, or a state such as growing or dead")


def _part(part: int, whole: int, count: int | None, text: str) -> Outcome | Doubt:
    if part > whole or whole > MOST or whole == 0:
        return Doubt(text, "how many took of how many, such as 3 of 4")
    if count is not None and whole != count:
        return Doubt(text, f"how many of the {count} took, such as {min(part, count)} of {count}")
    return Outcome(part, whole - part, made=whole)


def _took(number: int, count: int | None, text: str) -> Outcome | Doubt:
    """So many took of those of the row."""
    made = count or 1
    if not 0 <= number <= made:
        return Doubt(
            text, f"a number of takes from 0 to {made}" if count else "how many were made, beside how many took"
        )
    return Outcome(number, made - number)


def _as_day(value: date, count: int | None) -> Doubt:
    part, whole = sorted((value.day, value.month))
    offer = f"{part} of {whole}" if count in (None, whole) else ""
    return Doubt(written(value), "how many took; a spreadsheet may have made a day of it", offer)
