"""Scan: photos of a tag or of a whole tray are read, and what was in them is listed to record a look of.

A photo is looked at before it is read: its bytes are counted as they come, it must begin as a picture does, and its pixels are
counted before any is decoded. It is kept for as long as it is read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from starlette.datastructures import UploadFile
from starlette.responses import Response
from starlette.routing import Route

from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Report
from graftbook.actions.outcome import states
from graftbook.actions.tags import tag_photos
from graftbook.errors import BadData, UsageProblem
from graftbook.web import shown
from graftbook.web.day import SEEN
from graftbook.web.visit import Visit, page

MOST_PHOTOS = 12


@page()
async def scan(visit: Visit) -> Response:
    """Where a photo is taken or chosen, or a code typed."""
    return visit.show("scan.html")


@page()
async def read(visit: Visit) -> Response:
    """What is in the photos."""
    photos = [each for each in visit.form.getlist("photo") if isinstance(each, UploadFile) and each.size]
    if not photos or len(photos) > MOST_PHOTOS:
        raise UsageProblem(f"one to {MOST_PHOTOS} photos", f"{len(photos)}", "Take a photo of the tags, or choose one")
    pictures = [await each.read() for each in photos]
    for number, picture in enumerate(pictures, 1):
        if not is_picture(picture):
            raise UsageProblem(
                "a photo as JPEG, PNG or WebP", f"something else as photo {number}", "Take or save it as one of these"
            )
    report = await visit.bench.look_through(visit.member, lambda at: _read(at, pictures))
    return visit.show("many.html", rows=report.rows, seen=SEEN, cares=states.CARE_WORDS, notes=shown.notes(report))


def is_picture(data: bytes) -> bool:
    """Whether bytes begin as one of the kinds of pictures that cameras and browsers make."""
    return (
        data[:3] == b"\xff\xd8\xff"
        or data[:8] == b"\x89PNG\r\n\x1a\n"
        or (data[:4] == b"RIFF" and data[8:12] == b"WEBP")
    )


def _read(at: Desk, pictures: Sequence[bytes]) -> Report:
    """The report on the photos. Raises BadData that names them by number, not by where they lay."""
    with TemporaryDirectory(prefix="graftbook-") as folder:
        files = [Path(folder) / f"photo {number}" for number in range(1, len(pictures) + 1)]
        for file, picture in zip(files, pictures, strict=True):
            file.write_bytes(picture)
        try:
            return tag_photos.read(at, files)
        except BadData as error:
            problems = [
                replace(each, file=each.file.replace(f"{folder}/", ""), found=each.found.replace(f"{folder}/", ""))
                for each in error.problems
            ]
            raise BadData(problems, "the photos", "Take them again, or choose others") from error


ROUTES = (Route("/scan", scan), Route("/scan", read, methods=["POST"]))
