"""Codes: the short names that stand on tags, with a check character a wet pencil cannot fool.

A code is a letter for the kind of thing and a number: `P12` a plant, `W7` a bundle of wood, `G105` a graft; `W7/3` is
the third stick of bundle W7. On a tag it carries one check character after a hyphen, `G105-K`, from the ISO/IEC 7064
pure system with modulus 29 and radix 2 over 29 signs that cannot be mistaken for each other. Typed codes are read with
or without it; look-alikes are read as what they look like (O as 0, I and L as 1, S as 5, B as 8, Z as 2, U as V).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from graftbook.errors import UsageProblem

SIGNS = "0123456789ACDEFGHJKMNPQRTVWXY"
KINDS = {"P": "plant", "W": "bundle", "G": "graft"}
LARGEST_NUMBER = 9_999_999
MOST_IN_A_RANGE = 100_000
_LOOK_ALIKES = str.maketrans("OILSBZU", "011582V")
_ONE = r"([A-Za-z])\s*([0-9OILSBZoilsbz]{1,20})"
_CODE = re.compile(rf"{_ONE}(?:/([0-9]{{1,9}}))?(?:-([A-Za-z0-9]))?$")
_RANGE = re.compile(rf"{_ONE}(?:-([A-Za-z0-9]))?\s*(?:-|\.\.)\s*{_ONE}(?:-([A-Za-z0-9]))?$")


@dataclass(frozen=True, order=True)
class Code:
    """One code as read: its letter, its number and, for a stick, the stick's number (None: not a stick)."""

    letter: str
    number: int
    stick: int | None = None

    def __str__(self) -> str:
        base = f"{self.letter}{self.number}"
        return base if self.stick is None else f"{base}/{self.stick}"

    @property
    def base(self) -> str:
        """The code without the stick."""
        return f"{self.letter}{self.number}"


def check_character(body: str) -> str:
    """The ISO/IEC 7064 pure-system check character (modulus 29, radix 2) of a body written in the 29 signs.

    Source: ISO/IEC 7064:2003, pure systems; computed by python-stdnum. Raises UsageProblem for a sign outside the set.
    """
    from stdnum.iso7064 import mod_37_2

    stray = sorted({sign for sign in body if sign not in SIGNS})
    if stray:
        raise UsageProblem(f"a code is written in {SIGNS}", f"{', '.join(stray)} in {body!r}")
    return mod_37_2.calc_check_digit(body, alphabet=SIGNS)


def with_check(code: str) -> str:
    """The code as it stands on a tag: `G105` gives `G105-` and its check character."""
    return f"{code}-{check_character(code)}"


def read_one(text: str) -> Code:
    """The code in a piece of typing, with or without its check character.

    Raises UsageProblem when it is no code, or when the check character is wrong (naming the nearest valid codes).
    """
    match = _CODE.match(text.strip())
    if match is None:
        raise UsageProblem(
            "a code, which is a letter and a number, such as P12, W7, W7/3 or G105-K",
            repr(text),
            "Check the tag and try again",
        )
    letter, digits, stick, check = match.groups()
    return _verified(letter, digits, check, text, int(stick) if stick else None)


def read_many(text: str) -> tuple[Code, ...]:
    """Every code in a list such as `G101-G150` or `P3,P7-P9`, in the order written, each once.

    Raises UsageProblem for anything unreadable, a range that runs backwards or across kinds, or one over 100,000 codes.
    """
    found: dict[Code, None] = {}
    for piece in re.split(r"[,;\s]+(?![-.])", text.strip()):
        if piece:
            found.update(dict.fromkeys(_read_piece(piece)))
    if not found:
        raise UsageProblem("at least one code, such as P12 or G101-G150", repr(text))
    return tuple(found)


def _read_piece(piece: str) -> tuple[Code, ...]:
    match = _RANGE.match(piece)
    if match is None:
        return (read_one(piece),)
    kind, first, first_check, last_kind, last, last_check = match.groups()
    start, end = _verified(kind, first, first_check, piece), _verified(last_kind, last, last_check, piece)
    if start.letter != end.letter or end.number < start.number:
        raise UsageProblem("a range runs upwards within one kind, such as G101-G150", piece)
    if end.number - start.number >= MOST_IN_A_RANGE:
        raise UsageProblem(f"a range of at most {MOST_IN_A_RANGE:,} codes", piece)
    return tuple(Code(start.letter, number) for number in range(start.number, end.number + 1))


def _verified(letter: str, digits: str, check: str | None, text: str, stick: int | None = None) -> Code:
    code = Code(letter.upper(), int(digits.upper().translate(_LOOK_ALIKES)), stick)
    if code.letter not in KINDS:
        raise UsageProblem("a code starts with P (plant), W (wood) or G (graft)", repr(text))
    if not 1 <= code.number <= LARGEST_NUMBER:
        raise UsageProblem(f"the number in a code is from 1 to {LARGEST_NUMBER:,}", repr(text))
    if check is None:
        return code
    due, given = check_character(code.base), check.upper().translate(_LOOK_ALIKES)
    if given == due:
        return code
    near = ", ".join(nearest(code, given))
    again = f"did you mean {near}? For a run of codes write {code.letter}1-{code.letter}9"
    raise UsageProblem(f"the check character {due} for {code.base}", repr(text), f"Look at the tag again; {again}")


def nearest(code: Code, check: str, most: int = 4) -> tuple[str, ...]:
    """Valid tag codes one slip away from what was typed: one digit changed or two neighbours swapped, check kept;
    the code with its right check character comes first."""
    digits = str(code.number)
    slips = {digits[:i] + d + digits[i + 1 :] for i in range(len(digits)) for d in "0123456789"}
    slips |= {digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :] for i in range(len(digits) - 1)}
    bodies = sorted(f"{code.letter}{slip}" for slip in slips if slip[0] != "0" and slip != digits)
    hits = [f"{body}-{check}" for body in bodies if check_character(body) == check]
    return (with_check(code.base), *hits[: most - 1])
