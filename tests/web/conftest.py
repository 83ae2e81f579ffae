"""The page at the bench for tests: a bench over a fresh book, and phones that ask it as browsers do."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from starlette.testclient import TestClient
from uuid6 import uuid7

from graftbook.web.bench import Address, Bench
from graftbook.web.doors import Doors
from graftbook.web.kept import Members
from graftbook.web.site import make_site

HERE = "http://127.0.0.1:8017"


@dataclass
class Phone:
    """A browser that has come in, or not yet. `client` keeps its cookies."""

    client: TestClient
    bench: Bench

    def get(self, path: str, **words: Any) -> Any:
        """A page, where it was sent to if it was."""
        return self.client.get(path, **words)

    def token(self) -> str:
        """The token of the forms made for this phone."""
        return re.search('name="token" value="([^"]+)"', self.get("/more").text)[1]

    def send(self, path: str, uid: str | None = None, program: bool = False, **fields: Any) -> Any:
        """A form sent as a page of this server sends it; not followed, and as the page's own script sends it where asked."""
        data = {"token": fields.pop("token", None) or self.token(), "uid": uid or str(uuid7()), **fields}
        headers = {"Origin": HERE, **({"Accept": "application/json"} if program else {})}
        return self.client.post(path, data=data, headers=headers, follow_redirects=False)

    def enter(self) -> Phone:
        """Come in by the key that opens once."""
        assert 200 == self.get(f"/enter?key={self.bench.doors.key}").status_code
        return self

    def join(self, name: str, role: str = "record") -> Phone:
        """Come in by a code to join with."""
        token = re.search('name="token" value="([^"]+)"', self.get("/join").text)[1]
        done = self.send("/join", token=token, name=name, code=self.bench.doors.codes[role])
        assert 303 == done.status_code, done.text
        return self


@pytest.fixture
def bench(graftbook, location) -> Iterator[Bench]:
    """A bench that others can join, over a fresh book that the command line may fill first."""
    names = frozenset({"127.0.0.1:8017", "barn.local:8017"})
    made = Bench(location, Doors(Members(None), lan=True), Address("127.0.0.1", 8017, names), location)
    yield made
    made.close()


@pytest.fixture
def phone_of() -> Callable[[Bench], Phone]:
    """A new browser at a bench, which has not come in."""
    return lambda bench: Phone(TestClient(make_site(bench), HERE, raise_server_exceptions=False), bench)


@pytest.fixture
def phone(bench, phone_of) -> Callable[[], Phone]:
    """A new browser at the bench of the book."""
    return lambda: phone_of(bench)


@pytest.fixture
def orchard(graftbook):
    """A small book: a tree, wood of it, three stocks, two grafts and a bud."""
    for words in (
        ("tree", "add", "Dun <b>Reinette</b>", "--species", "apple", "--acquired", "2019-03-01", "--place", "Home row"),
        ("stock", "add", "MM.106", "--count", 4, "--diameter", "8mm", "--acquired", "2026-02-01", "--place", "Shed"),
        (
            "prune",
            "P1",
            "--on",
            "2027-01-14",
            "--save",
            "5 sticks 6-9mm 6 buds",
            "--store",
            "fridge",
            "--temperature",
            "3C",
        ),
        ("graft", "W1", "P2-P3", "--method", "whip-and-tongue", "--on", "2027-03-28", "--tie", "rubber"),
    ):
        assert 0 == graftbook(*words, today="2027-04-28").code
    return graftbook
