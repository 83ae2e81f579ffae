"""One book served to many: the book held open, one writer at a time, and each request's work done off the server's own thread.

What reads waits for one of a few places, so that sixty phones do not open sixty connections; what writes waits for the one
place there is, without holding a thread meanwhile. The wait for another program that writes is the book's own.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

from graftbook.actions.desk import desk as desks
from graftbook.actions.desk.desk import Desk
from graftbook.actions.desk.results import Recorded
from graftbook.errors import NotABook
from graftbook.web.doors import Doors
from graftbook.web.kept import Member

Value = TypeVar("Value")

READERS = 8
"""Pages made at the same time."""
LINES_KEPT = 300
"""Of so many entries what was said when they were recorded is still known."""


@dataclass(frozen=True)
class Address:
    """Where the bench is served: `host` and `port` it listens at, `secure` with TLS, `names` it goes by, with the port."""

    host: str
    port: int
    names: frozenset[str]
    secure: bool = False

    @property
    def scheme(self) -> str:
        """http or https."""
        return "https" if self.secure else "http"


class Bench:
    """The bench of the book at a location. The book may not be there yet; it is opened when it is first asked for."""

    def __init__(self, location: str, doors: Doors, address: Address, named: str | None = None) -> None:
        """`named` is the location as the person named it, None where nobody did and it is the usual one."""
        self.location, self.doors, self.address, self.named = location, doors, address, named
        self._first: Desk | None = None
        self._said: OrderedDict[int, Recorded] = OrderedDict()

    async def read(self, member: Member | None, work: Callable[[Desk], Value]) -> Value:
        """What some work at the desk comes to that writes nothing. Raises as the work does, and NotABook without a book."""
        return await self._off_thread(lambda: work(self._desk(member, None)), self._reading)

    async def write(self, member: Member, uid: str, work: Callable[[Desk], Recorded]) -> Recorded:
        """What was recorded, as the entry of this uid. Raises as the work does, and AlreadyRecorded for one there is."""
        done = await self._off_thread(lambda: work(self._desk(member, uid)), self._writing)
        if done.entry_id is not None:
            self._said[done.entry_id] = done
            while len(self._said) > LINES_KEPT:
                self._said.popitem(last=False)
        return done

    async def look_through(self, member: Member | None, work: Callable[[Desk], Value]) -> Value:
        """The same for work on photos, one at a time: it takes seconds and much room."""
        return await self._off_thread(lambda: work(self._desk(member, None)), self._photos)

    async def alone(self, work: Callable[[], Value]) -> Value:
        """What some work without a desk comes to, while nothing is written."""
        return await self._off_thread(work, self._writing)

    def said(self, entry: int) -> Recorded | None:
        """What was said when an entry was recorded here, None when that was long ago or elsewhere."""
        return self._said.get(entry)

    def close(self) -> None:
        """Let go of the book."""
        if self._first is not None:
            self._first.book.close()
            self._first = None

    def open(self) -> Desk:
        """The desk at the book, opened when this is first asked. Raises as sitting down does."""
        if self._first is None:
            self._first = desks.sit_down(self.location)
        return self._first

    def _desk(self, member: Member | None, uid: str | None) -> Desk:
        first = self.open()
        # Who sits at the book itself is who the book or the environment names, unless a name was given.
        named = member.name if member is not None and member.name else None
        return first.again(named or first.who, uid)

    async def _off_thread(self, work: Callable[[], Value], places: Any) -> Value:
        from anyio import to_thread

        return await to_thread.run_sync(work, limiter=places)

    @cached_property
    def _reading(self) -> Any:
        from anyio import CapacityLimiter

        return CapacityLimiter(READERS)

    @cached_property
    def _photos(self) -> Any:
        from anyio import CapacityLimiter

        return CapacityLimiter(1)

    @cached_property
    def _writing(self) -> Any:
        from anyio import CapacityLimiter

        return CapacityLimiter(1)


def no_book(error: Exception) -> bool:
    """Whether an error says that there is no book yet."""
    return isinstance(error, NotABook) and error.expected.startswith("no book at")
