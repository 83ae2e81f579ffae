"""Books for tests, on SQLite and on PostgreSQL, and the command line run as a person would run it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from servers import Server

settings.register_profile("steady", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("steady")

TODAY = "2027-11-30"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The demo takes a minute to play: its file goes first, and each file to one process, so that none waits."""
    items.sort(key=lambda item: item.path.name != "test_demo.py")


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


@pytest.fixture(scope="session", autouse=True)
def statements_compiled_once() -> Iterator[None]:
    """Each test opens books of its own, and each engine would compile the same statements anew: half the time of most tests.
    All engines of one driver share the dialect of the first that connected, by which statements are kept, and its cache."""
    from graftbook.book import engine as room

    made, first = room.create_engine, {}

    def create_engine(*words: Any, **options: Any) -> Any:
        engine = made(*words, query_cache_size=5000, **options)
        kept = first.get(engine.dialect.driver)
        if kept is None or kept.dialect.server_version_info is None:
            first[engine.dialect.driver] = engine
        else:
            engine.dialect, engine._compiled_cache = kept.dialect, kept._compiled_cache
        return engine

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(room, "create_engine", create_engine)
        yield


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory) -> Path:
    """An empty SQLite book to copy."""
    from graftbook.book import versions

    path = tmp_path_factory.mktemp("template") / "book.sqlite"
    versions.create(str(path))
    return path


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A PostgreSQL server from a wheel, with an empty book to copy."""
    from servers import Server

    from graftbook.book import versions

    with Server() as server:
        server.create("empty_book")
        versions.create(server.url("empty_book"))
        yield server


@pytest.fixture
def postgres(server) -> Iterator[Callable[[str | None], str]]:
    """Hands out the URL of a new database, empty or a copy of the one named, which is gone after the test: thousands of them
    would fill the memory of a small machine."""
    made = []

    def make(template: str | None) -> str:
        made.append(server.make(template))
        return made[-1]

    yield make
    server.drop(made)


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
def command(capsys, monkeypatch, tmp_path) -> Callable[..., Run]:
    """Run one command line in this process, as a person would type it, on a fixed day."""
    from graftbook.cli.main import main

    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
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
