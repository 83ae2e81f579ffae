"""Text from outside as it may be put on a screen, on paper or in a table: what would steer either is shown, not done.

Names, notes and headers come from files and from typing, and may hold characters that move a cursor, colour a terminal,
change its title (ECMA-48) or turn the order of what follows (Unicode Standard Annex 9). Such characters are shown by their
numbers, as programmers write them; what was kept stays as it was kept.
"""

from __future__ import annotations

import re

_CONTROLS = "\x00-\x08\x0b-\x1f\x7f-\x9f"  # but for tab and line feed
_DIRECTIONS = "\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069"  # marks, overrides, and separators of lines and paragraphs
_UNSEEN = "\ud800-\udfff\ufffe\uffff\U000e0000-\U000e007f"  # half a character, no character, tags
_STEERING = re.compile(f"[{_CONTROLS}{_DIRECTIONS}{_UNSEEN}]")
_LINES = re.compile("[\t\n]")


def visible(text: str) -> str:
    """The text with every character that steers a terminal or turns the order of signs as `\\x1b` or `\\u202e`; tabs and line
    feeds stay."""
    return _STEERING.sub(_number, text)


def on_one_line(text: str) -> str:
    """The same with tabs and line feeds as `\\t` and `\\n`, for what must stay on its line."""
    return _LINES.sub(lambda found: "\\t" if found[0] == "\t" else "\\n", visible(text))


def in_json(text: str) -> str:
    """JSON with the same characters escaped as JSON escapes them, so that what is read of it is what was kept."""
    return _STEERING.sub(_escape, text)


def faults(text: str) -> str:
    """What keeps a text from being kept at all, in words: half a character, or a NUL; '' where nothing does."""
    if "\0" in text:
        return "a NUL character"
    broken = next((sign for sign in text if "\ud800" <= sign <= "\udfff"), None)
    return "" if broken is None else "bytes that are no UTF-8"


def _number(found: re.Match[str]) -> str:
    code = ord(found[0])
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _escape(found: re.Match[str]) -> str:
    code = ord(found[0])
    if code < 0x10000:
        return f"\\u{code:04x}"
    high, low = divmod(code - 0x10000, 0x400)
    return f"\\u{0xD800 + high:04x}\\u{0xDC00 + low:04x}"


_RUNS = re.compile("'*[=+\\-@\t\r\n＝＋－＠]")
_INERT = re.compile("'+[=+\\-@\t\r\n＝＋－＠]")


def inert(text: str) -> str:
    """A cell of a table that no spreadsheet takes for a formula: an apostrophe before what begins as one.

    What begins so: the list under "CSV Injection" of the Open Worldwide Application Security Project, from memory.
    """
    return f"'{text}" if _RUNS.match(text) else text


def as_typed(cell: str) -> str:
    """The text of a cell that was made inert, and of any other cell as it stands."""
    return cell[1:] if _INERT.match(cell) else cell
