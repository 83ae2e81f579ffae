"""Weather files opened and read, all of them before the book is written to."""

from __future__ import annotations

import gzip
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import nullcontext
from pathlib import Path

from graftbook import dates
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import count
from graftbook.errors import BadData, NotFound, Problem, UsageProblem
from graftbook.season import weather_reading
from graftbook.season.weather_file import WeatherFile

Progress = Callable[[int], None] | None


def order_of(desk: Desk, order: str | None) -> str | None:
    """How these files write dates: as stated, else as the book is set. Raises UsageProblem for another word."""
    if order is not None and order not in dates.ORDERS:
        raise UsageProblem(f"--dates {' or '.join(dates.ORDERS)}", repr(order))
    return order if order is not None else desk.settings.date_order


def read_all(
    desk: Desk, paths: Sequence[Path], options: weather_reading.FileOptions, order: str | None, progress: Progress
) -> list[WeatherFile]:
    """Every file read; the problems of all of them are raised together."""
    found: list[WeatherFile] = []
    problems: list[Problem] = []
    for path in paths:
        if not path.is_file():
            raise NotFound(f"no file {path}", "", "Name a file of daily temperatures")
        try:
            with path.open("rb") as stream:
                if stream.read(2) in (b"\xff\xfe", b"\xfe\xff"):
                    raise BadData([Problem(str(path), 1, 0, "", "UTF-16 text", "UTF-8: save it as 'CSV UTF-8'")])
            lines = _lines(path, progress)
            found.append(
                weather_reading.read(str(path), lines, lambda text: dates.read_date(text, desk.today, order), options)
            )
        except BadData as error:
            problems += error.problems
        except (EOFError, zlib.error, gzip.BadGzipFile) as error:
            problems.append(Problem(str(path), 0, 0, "", f"a damaged file ({error})", "a whole gzip file"))
    if problems:
        raise BadData(problems, files_named(paths))
    return found


def files_named(paths: Sequence[Path]) -> str:
    """The one file by its name, several by their number."""
    return str(paths[0]) if len(paths) == 1 else count(len(paths), "file")


def _lines(path: Path, progress: Progress) -> Iterator[str]:
    """The lines of a file, also a gzipped one, telling how many bytes are done; signs that are no UTF-8 are let stand."""
    with path.open("rb") as plain, gzip.open(plain) if path.suffix == ".gz" else nullcontext(plain) as stream:
        done = 0
        for number, line in enumerate(stream):
            done += len(line)
            if progress is not None and done > 200_000:
                progress(done)
                done = 0
            if b"\0" in line:
                raise BadData(
                    [Problem(str(path), number + 1, 0, "", "a NUL sign", "a text file of daily temperatures")]
                )
            text = line.decode("utf-8-sig" if number == 0 else "utf-8", errors="replace")
            if "\r" in text.rstrip("\r\n"):
                yield from text.splitlines(keepends=True)
            else:
                yield text
        if progress is not None:
            progress(done)
