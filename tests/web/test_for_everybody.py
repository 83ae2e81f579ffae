"""Every page in a real browser for those who see little, hear pages read out, have scripts switched off, or tap twice."""

from __future__ import annotations

import accessible
import browsers
import pytest
from browsers import fill, tap, text, until
from PIL import Image
from running import Running

pytestmark = pytest.mark.skipif(browsers.found() is None, reason=browsers.NONE)

PAGES = (
    "/", "/scan", "/find?q=dun", "/more", "/G1", "/P1", "/W1", "/G1/cause?state=dead", "/G1/history", "/many?codes=G1,G2,P1,W1",
    "/store", "/match", "/plans", "/plan/1", "/tags", "/tags/new", "/new/tree", "/new/stock", "/new/prune", "/new/wood",
    "/new/graft", "/took", "/took/compare", "/took/curve", "/took/review", "/who", "/first/wood", "/nothing", "/G99",
)  # fmt: skip
DARK = ("/", "/G1", "/W1", "/G1/cause?state=dead", "/many?codes=G1,G2,P1,W1", "/plan/1", "/scan", "/took", "/nothing")
"""Pages with every colour there is."""


@pytest.fixture
def book(command, monkeypatch, tmp_path):
    """A book with something on every page, by the clock's own day."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("GRAFTBOOK_TODAY")
    place = str(tmp_path / "everybody.sqlite")
    for words in (
        ("start",), ("tree", "add", "Dun Reinette", "--species", "apple", "--acquired", "2019-03-01", "--place", "Home row"),
        ("stock", "add", "MM.106", "--count", 4, "--diameter", "8mm", "--acquired", "2026-02-01", "--place", "Shed"),
        ("wood", "add", "--source", "P1", "--sticks", 6, "--cut", "-80d", "--buds", 6, "--diameter", "8mm"),
        ("graft", "W1", "P2-P3", "--method", "whip-and-tongue", "--on", "-40d"), ("want", "add", "Dun Reinette", 1),
        ("plan",), ("look", "G1", "pushing", "--on", "-3d"), ("tags", "G1", "--medium", "a4-21up", "-o", tmp_path / "t.pdf"),
    ):  # fmt: skip
        done = command("--book", place, *words)
        assert 0 == done.code, done.err
    return place


@pytest.fixture(scope="module")
def phone(tmp_path_factory):
    with browsers.phone(tmp_path_factory.mktemp("everybody")) as opened:
        yield opened


def test_the_check_finds_what_is_wrong(phone):
    phone.get(
        "data:text/html,<p style='color:%23777'>pale</p><input id=a><button id=a>x</button><img src=x><h2>two</h2>"
    )
    found = accessible.faults(phone)
    # 4.48 to 1 is what is published of #777 on white, the grey just too light for AA
    for said in ("contrast 4.48", "no name: textbox", "no name: image", "under 12 mm: x", "0 main", "0 h1", "no title",
                 "heading 2 after 0", "no language", "id twice: a"):  # fmt: skip
        assert any(each.startswith(said) for each in found), (said, found)


def test_every_page_can_be_seen_read_out_and_reached(phone, book):
    with Running(book, lan=True) as running:
        phone.get(running.way_in)
        until(phone, "Today")
        for width, dark, pages in ((320, False, PAGES), (1280, True, DARK)):
            accessible.set_up(phone, width, dark)
            found = {}
            for path in pages:
                phone.get(running.base + path)
                found[path] = accessible.faults(phone)
            assert {} == {path: each for path, each in found.items() if each}, (width, dark)
        told = [each for each in phone.get_log("browser") if "404" not in each["message"]]
        assert [] == told
        phone.delete_all_cookies()
        phone.get(f"{running.base}/join")
        assert [] == accessible.faults(phone)
    accessible.set_up(phone, 390, False)


def test_without_scripts_forms_work_and_a_double_tap_counts_once(phone, book, command):
    from selenium.webdriver.common.action_chains import ActionChains
    from selenium.webdriver.common.by import By

    with Running(book, lan=True) as running:
        phone.get(f"{running.base}/join?code={running.code}")
        phone.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
        try:
            phone.get(f"{running.base}/join?code={running.code}")
            fill(phone, name="Ann")
            phone.find_element(By.CSS_SELECTOR, "main button").click()
            said(phone, "Today", "nav")
            phone.get(f"{running.base}/G2")
            growing = phone.find_element(By.CSS_SELECTOR, "button[value=growing]")
            ActionChains(phone).double_click(growing).perform()
            said(phone, "1 graft growing")
            phone.get(f"{running.base}/new/tree")
            fill(phone, cultivar="Dun Reinette", species="apple")
            phone.find_element(By.CSS_SELECTOR, "main form > button").click()
            said(phone, "Added tree P6")
            phone.find_element(By.CSS_SELECTOR, ".done button").click()
            said(phone, "Undid")
        finally:
            phone.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
    looks = command("--book", book, "look", "list", "G2", "--json").rows
    assert [("growing", "Ann")] == [(row["state"], row["who"]) for row in looks]


def test_a_tray_is_photographed_and_what_cannot_be_recorded_comes_back(phone, book, command, tmp_path):
    tray = Image.new("L", (1100, 500), 255)
    for at, code in enumerate(("G1", "G2")):
        file = tmp_path / f"{code}.png"
        assert 0 == command("--book", book, "tags", "show", code, "--png", file, "--dpi", 200).code
        tray.paste(Image.open(file).convert("L"), (20 + 490 * at, 40))
    tray.save(tmp_path / "tray.jpg")
    with Running(book, lan=True) as running:
        port = running.port
        phone.get(f"{running.base}/join?code={running.code}")
        fill(phone, name="Bess")
        tap(phone, "Join")
        until(phone, "Today")
        phone.get(f"{running.base}/scan")
        fill_file(phone, tmp_path / "tray.jpg")
        tap(phone, "Read the tags")
        until(phone, "2 tags")
        phone.execute_script("document.querySelector('input[value=G1]').click()")
        tap(phone, "pushing")
        until(phone, "G2: 1 graft pushing")
        phone.get(f"{running.base}/W1")
        fill(phone, move="given", sticks="99", to="Ilo")
    tap(phone, "Record")
    until(phone, "Waits in this phone: W1 Record")
    with Running(book, port, lan=True):
        until(phone, "Not recorded: W1 Record.")
        assert "Waits" not in text(phone) and "6" in text(phone)
        tap(phone, "Throw it away")
        phone.refresh()
        assert "Not recorded" not in text(phone)
    assert ["pushing"] == [row["state"] for row in command("--book", book, "look", "list", "G2", "--json").rows]


def said(browser, words, where=".done"):
    """Wait until a part of the page says so, without a script in the page."""
    from selenium.common.exceptions import NoSuchElementException, StaleElementReferenceException
    from selenium.webdriver.common.by import By
    from selenium.webdriver.support.ui import WebDriverWait

    passed_over = (NoSuchElementException, StaleElementReferenceException)
    waiting = WebDriverWait(browser, browsers.WAIT, ignored_exceptions=passed_over)
    waiting.until(lambda _b: words in browser.find_element(By.CSS_SELECTOR, where).text, words)


def fill_file(browser, file):
    from selenium.webdriver.common.by import By

    browser.find_element(By.NAME, "photo").send_keys(str(file))
