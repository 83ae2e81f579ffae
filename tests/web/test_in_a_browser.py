"""The page in a real browser at the size of a phone: first book to printed tag, two phones on one graft, a server that stops in
mid-round, a page of another place."""

from __future__ import annotations

import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import browsers
import pytest
from browsers import fill, tap, text, until
from running import Running

pytestmark = pytest.mark.skipif(browsers.found() is None, reason=browsers.NONE)


@pytest.fixture(autouse=True)
def _own_data(monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture(scope="module")
def phones(tmp_path_factory):
    """Two phones that are kept for every test of this file: a browser takes seconds to start."""
    folder = tmp_path_factory.mktemp("phones")
    with browsers.phone(folder / "a") as first, browsers.phone(folder / "b") as second:
        yield first, second


@pytest.fixture
def real_day(monkeypatch, command):
    """The day by the clock, as a phone has it, which no test of the command line goes by."""
    monkeypatch.delenv("GRAFTBOOK_TODAY")
    return command


def filled(book, run):
    for words in (
        ("start",), ("tree", "add", "Dun Reinette", "--species", "apple", "--acquired", "2019-03-01"),
        ("stock", "add", "MM.106", "--count", 2, "--diameter", "8mm", "--acquired", "2026-02-01"),
        ("wood", "add", "--source", "P1", "--sticks", 3, "--cut", "-90d", "--buds", 6),
        ("graft", "W1", "P2-P3", "--method", "cleft", "--on", "-40d"),
    ):  # fmt: skip
        done = run("--book", book, *words)
        assert 0 == done.code, done.err


def join(browser, running, name):
    browser.get(f"{running.base}/join?code={running.code}")
    fill(browser, name=name)
    tap(browser, "Join")
    until(browser, "Today")


def test_first_book_to_printed_tag(phones, real_day, tmp_path):
    me, book = phones[0], tmp_path / "first.sqlite"
    with Running(str(book)) as running:
        me.get(running.way_in)
        until(me, "1 of 5")
        assert me.execute_script("return document.documentElement.scrollWidth") <= 390
        fill(me, name="Balcony", who="Una", units="mm", hemisphere="north")
        tap(me, "Make the book")
        until(me, "2 of 5")
        fill(me, cultivar="Dun Reinette", species="apple")
        tap(me, "Add the tree")
        until(me, "3 of 5")
        fill(me, save="3 sticks 6-9mm 6 buds", store="fridge", on="yesterday")
        tap(me, "Keep the wood")
        until(me, "4 of 5")
        fill(me, clone="MM.106", diameter="8mm", method="whip-and-tongue")
        tap(me, "Record it")
        until(me, "5 of 5")
        tap(me, "Make the tags")
        until(me, "Run 1")
        assert me.execute_async_script(
            "const done = arguments[0]; fetch('/tags/1.pdf').then(r => r.text()).then(t => done(t.slice(0, 5)));"
        ).startswith("%PDF")
        me.get(f"{running.base}/G1")
        small = me.execute_script(
            "return [...document.querySelectorAll('button,a.button,summary,nav a')].filter(e => e.offsetParent)"
            ".map(e => e.getBoundingClientRect()).filter(r => r.height < 45.3 || r.width < 45.3).length"
        )
        assert 0 == small  # 12 mm at 96 dots an inch
        assert [] == [each for each in me.get_log("browser") if "Content Security Policy" in each["message"]]
    assert 1 == len(real_day("--book", book, "graft", "list", "--json").rows)


def test_two_phones_on_one_graft_and_a_server_that_stops(phones, real_day, tmp_path):
    first, second = phones
    book = str(tmp_path / "two.sqlite")
    filled(book, real_day)
    with Running(book, lan=True) as running:
        port = running.port
        join(first, running, "Ann")
        join(second, running, "Bess")
        for each in phones:
            each.get(f"{running.base}/G1")
        tap(first, "swelling")
        until(first, "1 graft swelling")
        tap(second, "growing")
        until(second, "looked at the same day and found swelling")
        first.get(f"{running.base}/G2")
    tap(first, "pushing")
    until(first, "Waits in this phone: G2 pushing")
    tap(first, "rubbed off")
    until(first, "G2 rubbed off")
    with Running(book, port, lan=True):
        end = time.monotonic() + browsers.WAIT
        while "Waits in this phone" in text(first):
            assert time.monotonic() < end, text(first)[:800]
            time.sleep(0.2)
        first.get(f"{running.base}/G2")
        assert "Waits" not in until(first, "pushing")
    looks = [
        (row["graft"], row["state"], row["who"]) for row in real_day("--book", book, "look", "list", "--json").rows
    ]
    assert [("G1", "swelling", "Ann"), ("G1", "growing", "Bess"), ("G2", "pushing", "Ann")] == looks
    assert 1 == len(real_day("--book", book, "care", "list", "--json").rows)


HOSTILE = """<!doctype html><title>hostile</title><form id=f method=post action="%s/look"><input name=code value=G1>
<input name=state value=dead></form><iframe id=i src="%s/G1"></iframe>
<script>fetch("%s/G1", {credentials: "include"}).then(r => r.text()).then(t => document.title = "read " + t.length)
.catch(() => document.title = "kept out")</script>"""


def test_a_page_of_another_place_gets_nothing_and_does_nothing(phones, real_day, tmp_path):
    me, book = phones[0], str(tmp_path / "hostile.sqlite")
    filled(book, real_day)
    with Running(book) as running:

        class Page(BaseHTTPRequestHandler):
            def do_GET(self):
                self.send_response(200)
                self.send_header("Content-Type", "text/html")
                self.end_headers()
                self.wfile.write((HOSTILE % ((running.base,) * 3)).encode())

            def log_message(self, *_):
                """Say nothing."""

        other = ThreadingHTTPServer(("127.0.0.1", 0), Page)
        serving = threading.Thread(target=other.serve_forever)
        serving.start()
        try:
            me.get(running.way_in)
            until(me, "Today")
            me.get(f"http://localhost:{other.server_address[1]}/")
            end = time.monotonic() + browsers.WAIT
            while me.title == "hostile" and time.monotonic() < end:
                time.sleep(0.1)
            assert "kept out" == me.title
            me.execute_script("document.getElementById('f').submit()")
            until(me, "a page of another place")
        finally:
            other.shutdown()
            other.server_close()
            serving.join()
    assert [] == real_day("--book", book, "look", "list", "--json").rows
