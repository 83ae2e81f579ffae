"""A bench served in a thread of its own, as `graftbook bench` serves it."""

from __future__ import annotations

import threading
import time
from typing import Any

from graftbook.web import serving
from graftbook.web.serving import Serving


class Running:
    """A bench that is served while the block runs. `lines` are those of the terminal."""

    def __init__(self, location: str, port: int = 0, **how: Any) -> None:
        self.lines: list[str] = []
        self.server: Any = None
        self._thread = threading.Thread(
            target=serving.serve, args=(location, Serving(port, browser=False, **how), self.lines.append, self._started)
        )

    def _started(self, server: Any) -> None:
        self.server = server

    def __enter__(self) -> Running:
        self._thread.start()
        end = time.monotonic() + 20
        while not (self.server is not None and self.server.started):
            assert time.monotonic() < end and self._thread.is_alive(), self.lines
            time.sleep(0.02)
        return self

    def __exit__(self, *_: object) -> None:
        self.server.should_exit = True
        self._thread.join(20)
        assert not self._thread.is_alive()

    @property
    def way_in(self) -> str:
        """The address that opens once."""
        return next(line for line in self.lines if "?key=" in line).rpartition(" ")[2]

    @property
    def base(self) -> str:
        """The address of this computer without a path."""
        return self.way_in.partition("/enter")[0]

    @property
    def port(self) -> int:
        """The port it is served at."""
        return int(self.base.rpartition(":")[2])

    @property
    def code(self) -> str:
        """The code to join with."""
        return next(line for line in self.lines if "scan it" in line).rpartition(" ")[2].rstrip(".")
