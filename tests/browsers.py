"""A real browser for tests: Chromium as the system has it, at the size of a phone."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

NAMES = ("chromium", "chromium-browser", "google-chrome")
NONE = "No Chromium and chromedriver were found: the tests in a browser are left out"
WAIT = 15


def found() -> tuple[str, str] | None:
    """Where Chromium and its driver are; None where one of them is not."""
    browser = next((path for name in NAMES if (path := shutil.which(name))), None)
    driver = shutil.which("chromedriver")
    return (browser, driver) if browser and driver else None


@contextmanager
def phone(folder: Path, width: int = 390, height: int = 844) -> Iterator[Any]:
    """A browser with nothing kept from before, and without a sandbox, in which it would not start for root or in a container; it is
    shown pages of ours alone."""
    from selenium import webdriver
    from selenium.webdriver.chrome.options import Options
    from selenium.webdriver.chrome.service import Service

    browser, driver = found() or ("", "")
    options = Options()
    options.binary_location = browser
    for word in ("--headless=new", "--disable-gpu", "--disable-dev-shm-usage", f"--user-data-dir={folder}", "--no-first-run",
                 "--disable-background-networking", "--disable-component-update", "--no-proxy-server",
                 "--no-sandbox"):  # fmt: skip
        options.add_argument(word)
    service = Service(driver)
    opened = webdriver.Chrome(options=options, service=service)
    metrics = {"width": width, "height": height, "deviceScaleFactor": 2, "mobile": width < 600}
    opened.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    try:
        yield opened
    finally:
        opened.quit()
        service.stop()


def text(browser: Any) -> str:
    """What is read on the page."""
    return browser.execute_script("return document.body.innerText")


def until(browser: Any, words: str) -> str:
    """Wait until the page says so."""
    from selenium.webdriver.support.ui import WebDriverWait

    WebDriverWait(browser, WAIT).until(
        lambda _b: words in text(browser), f"{words!r} is not on: {text(browser)[:1500]}"
    )
    return text(browser)


def tap(browser: Any, words: str) -> None:
    """Press the button or link that says so."""
    script = (
        "const wanted = arguments[0]; const all = [...document.querySelectorAll('button,a.button,summary')];"
        "const hit = all.find(e => e.innerText.trim() === wanted) || all.find(e => e.textContent.trim() === wanted);"
        "if (!hit) return false; hit.scrollIntoView({block: 'center'}); hit.click(); return true;"
    )
    assert browser.execute_script(script, words), f"no {words!r} on: {text(browser)[:1500]}"


def fill(browser: Any, **typed: str) -> None:
    """Type into fields by their names."""
    from selenium.webdriver.common.by import By
    from selenium.webdriver.support.ui import Select

    for name, value in typed.items():
        field = browser.find_element(By.NAME, name)
        if field.tag_name == "select":
            Select(field).select_by_value(value)
        else:
            field.clear()
            field.send_keys(value)
