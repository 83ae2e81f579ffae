"""The server itself: what it prints, which names it goes by, a port that is taken, TLS, a missing library."""

from __future__ import annotations

import socket
import sys
from pathlib import Path

import httpx2
import pytest
from running import Running

from graftbook.errors import UsageProblem
from graftbook.web import serving
from graftbook.web.serving import Serving


@pytest.fixture(autouse=True)
def _own_data(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def test_this_computer_alone_is_served_and_its_address_opens_once(sqlite_location, command):
    with Running(sqlite_location) as running:
        assert "this computer alone" in running.lines[0]
        with httpx2.Client(follow_redirects=True, trust_env=False) as me:
            assert 200 == me.get(running.way_in).status_code
            assert "Today" in me.get(f"{running.base}/").text
        with httpx2.Client(trust_env=False) as other:
            assert 403 == other.get(running.way_in).status_code
            assert "server" not in other.get(running.way_in).headers
        port = running.port
        with pytest.raises(UsageProblem, match="a port that is free"):
            serving.serve(sqlite_location, Serving(port, browser=False), lambda _line: None)


def test_the_network_is_served_with_a_code_to_scan(sqlite_location, command):
    with Running(sqlite_location, lan=True, names=("Barn.Example",)) as running:
        said = "\n".join(running.lines)
        assert "█" in said and "scan it to join" in said and "Anyone on this network can read along" in said
        code, port = running.code, running.port
        with httpx2.Client(base_url=running.base, trust_env=False) as me:
            assert code in me.get(f"/join?code={code}").text
            for name, status in (("barn.example", 200), (f"{socket.gethostname()}", 200), ("evil.example", 421)):
                assert status == me.get("/join", headers={"Host": f"{name}:{port}"}).status_code, name


def test_a_certificate_that_is_none_is_said(sqlite_location, tmp_path):
    paper = tmp_path / "paper.pem"
    paper.write_text("nothing", encoding="utf-8")
    for how, said in (
        ({"cert": paper}, "--cert and --key together"),
        ({"cert": paper, "key": paper}, "a certificate and its key"),
    ):
        with pytest.raises(UsageProblem, match=said):
            serving.serve(sqlite_location, Serving(0, browser=False, **how), lambda _line: None)
    with pytest.raises(UsageProblem, match="no such file"):
        serving.serve(sqlite_location, Serving(0, cert=Path("no.pem"), key=Path("no.pem")), lambda _line: None)


def test_without_the_extra_it_says_how_to_get_it(on_sqlite, monkeypatch):
    monkeypatch.setitem(sys.modules, "starlette", None)
    done = on_sqlite("bench", "--no-browser")
    assert (2, "") == (done.code, done.out)
    assert "pip install 'graftbook[web]'" in done.err
