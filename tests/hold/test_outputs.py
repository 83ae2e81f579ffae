"""No room writes a file by itself: what may be written over is judged in one place."""

from __future__ import annotations

import re
from pathlib import Path

import labels

TOP = Path(labels.__file__).parent.parent
WRITES = re.compile(
    r"write_text\(|write_bytes\(|mkstemp\(|mkdtemp\(|TemporaryDirectory\(|shutil\.(copy|move)|open\([^)]*[\"'][wax]b?[+\"']"
)
JUDGES = {
    "graftbook/actions/desk/file_out.py",  # the judge itself
    "graftbook/actions/exchange/exporting.py",  # files of an export in a folder that it gave
    "graftbook/actions/exchange/backing_up.py",  # a part folder beside the place that it gave
    "graftbook/actions/exchange/restore_book.py",  # a staging folder of its own
    "graftbook/actions/together/other_book.py",  # a folder of its own for a copy of the other book
    "graftbook/book/versions.py",  # a book being made beside its place
    "graftbook/book/kept_before.py",  # copies beside the book, under names that nothing has
    "graftbook/web/printing.py",  # a folder of its own for tags that go to the browser
    "graftbook/web/scanning.py",  # a folder of its own for photos that came from one
    "graftbook/book/restoring.py",  # a staged copy, and the book that is restored over, kept aside first
}


def test_only_the_judge_of_outputs_writes_files():
    found = {
        str(path.relative_to(TOP))
        for folder in ("graftbook", "labels")
        for path in (TOP / folder).rglob("*.py")
        if WRITES.search(path.read_text(encoding="utf-8"))
    }
    assert JUDGES == found
