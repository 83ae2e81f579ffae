"""Tags read from photos: what each code is, which are unknown or misread, which of an expected set are missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, ClassVar

from sqlmodel import Session

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report, code_list, count
from graftbook.actions.desk.tag_site import ours
from graftbook.actions.tags import tag_fields
from graftbook.book import find, tag_queries
from graftbook.codes import Code, check_character, read_many, read_one, with_check
from graftbook.errors import BadData, Problem, UsageProblem


@dataclass(frozen=True)
class ReadRow:
    """One code in a photo. `found` is `known`, `blank` (given out ahead and not used), `unknown` (not in this book, or no
    code at all), `misread` (its check character is wrong); `what` says what it is. A tag that carries its code twice is one
    row."""

    photo: str
    code: str
    found: str
    what: str
    where: str
    headings: ClassVar = {"what": "what it is"}


def read(desk: Desk, photos: Sequence[Path], expect: str | None = None, progress: Any = None) -> Report:
    """Every code in photos, in the order it stands in each. Raises BadData naming every photo that cannot be read."""
    texts = texts_in(photos, progress)
    with desk.book.read() as session:
        rows = tuple(_rows(session, texts))
    notes = [f"Read {count(len({row.code for row in rows}), 'code')} in {count(len(photos), 'photo')}."]
    missing: tuple[str, ...] = ()
    if expect is not None:
        seen = {row.code for row in rows}
        missing = tuple(code.base for code in read_many(expect) if code.base not in seen)
        lacking = f"Missing of those expected: {code_list(missing)}."
        notes.append(lacking if missing else "All that were expected are there.")
    strange = tuple(row.code for row in rows if row.found in ("unknown", "misread"))
    if strange:
        notes.append(f"Not in this book, or misread: {', '.join(strange[:12])}.")
    return Report(ReadRow, rows, tuple(notes), {"as_of": desk.today, "missing": missing})


def named(desk: Desk, codes: Sequence[Code]) -> tuple[ReadRow, ...]:
    """What codes stand for, each once, as if their tags had been read in a photo."""
    with desk.book.read() as session:
        return tuple(_rows(session, [("", with_check(code.base)) for code in codes]))


def texts_in(photos: Sequence[Path], progress: Any = None) -> list[tuple[str, str]]:
    """The name of each photo and a text read in it, in order. Raises BadData for photos that cannot be read."""
    from labels import reading

    step = None if progress is None else lambda done, of: progress(1)
    found = ours(lambda: reading.read_images(photos, progress=step))
    bad = [(str(photo.path), photo.problem) for photo in found if photo.problem]
    problems = [Problem(path, 0, 0, "", problem.found, problem.expected) for path, problem in bad]
    if problems:
        raise BadData(problems, count(len(problems), "photo"), "Give pictures such as JPEG or PNG")
    return [(photo.path.name, read.text) for photo in found for read in photo.reads]


def _code(text: str) -> tuple[Code | None, str]:
    """The code in a text as read, None where there is none, and the check character it should have, '' where it has it."""
    from labels.payload import code_in

    body, _, check = (code_in(text) or "").partition("-")
    try:
        code = read_one(body)
    except UsageProblem:
        return None, ""
    due = check_character(code.base)
    return code, "" if check == due else due


def _rows(session: Session, texts: Sequence[tuple[str, str]]) -> list[ReadRow]:
    read = [(photo, text, *_code(text)) for photo, text in dict.fromkeys(texts)]
    held = {row.code: row for row in find.known(session, [code for *_, code, due in read if code and not due])}
    words = tag_fields.Words(session, list(held.values()))
    blank = {code for code, _on, _what in tag_queries.unused(session)}
    return [
        ReadRow(photo, code.base if code is not None and not due else text, *_what(code, due, held, blank, words))
        for photo, text, code, due in read
    ]


def _what(
    code: Code | None, due: str, held: dict[str, Any], blank: set[str], words: tag_fields.Words
) -> tuple[str, str, str]:
    if code is None:
        return "unknown", "no code of a plant, wood or a graft", ""
    if due:
        return "misread", f"its check character is wrong: {code.base} has {due}", ""
    row = held.get(code.base)
    if row is not None:
        return "known", words.line(row), tag_fields.where(*words.stands(row))
    if code.base in blank:
        return "blank", "a blank tag, not used yet", ""
    return "unknown", "nothing in this book has this code", ""


def grafts_in(report: Report, photo: Path) -> str:
    """The grafts of a photo, as a list of codes. Raises UsageProblem where some are not in the book or are no grafts."""
    bad = [row.code for row in report.rows if row.found != "known"]
    others = [row.code for row in report.rows if row.found == "known" and row.code[0] not in "GP"]
    if bad or others:
        raise UsageProblem(
            f"tags of grafts in this book in {photo.name}", ", ".join(bad + others),
            "Leave them out of the photo, or name the codes yourself",
        )  # fmt: skip
    if not report.rows:
        raise UsageProblem(f"tags in {photo.name}", "none that can be read", "Go nearer, or name the codes yourself")
    return ",".join(dict.fromkeys(row.code for row in report.rows))
