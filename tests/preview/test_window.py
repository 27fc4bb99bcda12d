"""The whole of a preview: the command, its processes, and its page in a browser without a screen.

The browser tests need Chromium with its driver and selenium (Debian: chromium, chromium-driver);
accessibility is judged by axe-core, which axe-selenium-python brings along.
"""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from tests.plans import ROOT
from tests.shared import print_sheets

NAME = "practice-lawn.plan.yaml"
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    "--disable-dev-shm-usage",  # in a container that is small
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)
PATIENCE_S = 60.0
needs_browser = pytest.mark.skipif(
    not (shutil.which("chromium") and shutil.which("chromedriver") and find_spec("selenium")),
    reason="no Chromium with its driver, or no selenium, on this machine",
)


class Preview:
    """A running command and the address that it gave."""

    def __init__(self, folder: Path) -> None:
        for name in (NAME, "machine.yaml"):
            shutil.copy(ROOT / "demo" / name, folder)
        self.file = folder / NAME
        self.text = self.file.read_text("utf-8")
        command = [sys.executable, "-m", "renderer", "preview", str(self.file)]
        self.process = subprocess.Popen(
            [*command, "--layout", "carry"],
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout is not None
        self.address = self.process.stdout.readline().strip()


@pytest.fixture(scope="module")
def preview(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Preview]:
    running = Preview(tmp_path_factory.mktemp("preview"))
    yield running
    running.process.send_signal(signal.SIGINT)
    assert running.process.wait(20) == 0


@pytest.fixture(scope="module")
def browser(preview: Preview, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium")
    profile = tmp_path_factory.mktemp("profile")
    for flag in (*FLAGS, f"--user-data-dir={profile}", "--window-size=1280,900"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(shutil.which("chromedriver")))
    driver.get(preview.address)
    waited(lambda: "up to date" in news(driver) and seen(driver, "ground !== null"))
    yield driver
    driver.quit()


def news(browser: Any) -> str:
    text: str = browser.execute_script("return document.getElementById('news').textContent")
    return text


def waited(is_so: Any) -> None:
    end = time.monotonic() + PATIENCE_S
    while not is_so():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.05)


def seen(browser: Any, script: str) -> Any:
    return browser.execute_script(f"return {script}")


def violations(browser: Any) -> list[str]:
    """What axe-core finds on the page as it is now."""
    if find_spec("axe_selenium_python") is None:
        pytest.skip("no axe-core on this machine (axe-selenium-python)")
    import axe_selenium_python

    package = Path(axe_selenium_python.__file__).parent
    browser.execute_script((package / "node_modules/axe-core/axe.min.js").read_text("utf-8"))
    found: list[str] = browser.execute_async_script(
        "const done = arguments[0];"
        "axe.run().then((r) => done(r.violations.map((v) =>"
        " `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html)}`)))"
    )
    return found


def test_without_a_browser_the_pages_are_there(preview: Preview) -> None:
    """Also on a machine that has none: findings, garden, pages, and the print of the command."""
    import json
    from urllib.request import urlopen

    from renderer import load

    def get(path: str) -> bytes:
        with urlopen(preview.address + path, timeout=PATIENCE_S) as answer:
            data: bytes = answer.read()
        return data

    state: dict[str, Any] = {"version": 0, "working": True}
    while state["working"]:
        state = json.loads(get(f"state?after={state['version']}"))
    assert state["findings"] and state["pages"] and not state["mistakes"]
    assert json.loads(get(f"garden?of={state['garden']}"))["things"]
    assert b"<svg" in get(f"page?of={state['sheets']}&number=1")
    assert get("sheets.pdf") == print_sheets([load(preview.file)], layout="carry")


@needs_browser
def test_a_finding_leads_to_its_place_and_its_line(preview: Preview, browser: Any) -> None:
    number = seen(browser, "ground.places.findIndex(Boolean)")
    browser.execute_script(
        f"document.querySelectorAll('#findings button')[{max(number, 0)}].click()"
    )
    if number >= 0:
        assert seen(browser, "document.querySelector('.flag.looked').dataset.number") == str(number)
    assert seen(browser, "document.querySelectorAll('#findings .more').length") > 0


@needs_browser
def test_by_keyboard_from_peg_to_peg_and_to_the_line(preview: Preview, browser: Any) -> None:
    from selenium.webdriver.common.keys import Keys

    browser.execute_script("document.querySelector('[data-key=\"peg Peg 3\"]').focus()")
    browser.switch_to.active_element.send_keys(Keys.ARROW_RIGHT)
    assert seen(browser, "document.activeElement.dataset.key") == "peg Peg 4"
    assert seen(browser, "document.querySelector('#thing h3').textContent") == "Peg 4"
    browser.switch_to.active_element.send_keys(Keys.ENTER)
    waited(lambda: seen(browser, "document.querySelector('#thing pre mark') !== null"))
    line = seen(browser, "document.querySelector('#thing pre mark').textContent")
    assert line.split()[0].isdecimal() and line[6:] in preview.text


@needs_browser
def test_a_distance_is_measured_in_the_unit_of_the_plan(browser: Any) -> None:
    browser.execute_script(
        "measuring(true);"
        "const side = ground.things.find((each) => each.kind === 'side').points;"
        "measureAt(side[0]); measureAt(side[1]);"
    )
    waited(lambda: seen(browser, "document.getElementById('taped').textContent") == "12.00 m")
    browser.execute_script("measuring(false)")


@needs_browser
def test_layers_go_and_come(browser: Any) -> None:
    shown = "getComputedStyle(document.getElementById('peg-1')).display"
    assert seen(browser, shown) != "none"
    click = "document.querySelector('[data-layer=pegs]').click()"
    browser.execute_script(click)
    assert seen(browser, shown) == "none"
    browser.execute_script(click)
    assert seen(browser, shown) != "none"


@needs_browser
def test_a_saved_change_keeps_sheet_zoom_and_scroll_and_a_mistake_the_last_good(
    preview: Preview, browser: Any
) -> None:
    browser.execute_script("document.getElementById('tab-sheets').click()")
    waited(lambda: seen(browser, "document.querySelector('#leaf svg') !== null"))
    browser.execute_script("turn(1); zoom('sheets', 'in'); zoom('sheets', 'in')")
    waited(lambda: seen(browser, "document.querySelector('#leaf svg').dataset.page") == "2")
    browser.execute_script("the('leaf').scrollTo({top: 150, behavior: 'instant'})")
    before = seen(browser, "[at.page, zooms.sheets, document.getElementById('leaf').scrollTop]")
    assert before[2] > 0

    preview.file.write_text(preview.text.replace("kind: bed", "kind: bde"), "utf-8")
    waited(lambda: "cannot be used" in news(browser))
    told = seen(browser, "document.getElementById('mistakes').textContent")
    line = 1 + preview.text[: preview.text.index("kind: bed")].count("\n")
    assert f"{NAME}:{line}" in told and "did you mean 'bed'" in told
    assert seen(browser, "document.querySelector('#leaf svg') !== null")

    changed = preview.text.replace("Practice lawn", "Training lawn")
    preview.file.write_text(changed, "utf-8")
    waited(lambda: "up to date" in news(browser))
    waited(lambda: "Training lawn" in seen(browser, "document.querySelector('#leaf').textContent"))
    assert seen(browser, "document.getElementById('mistakes').hidden")
    after = seen(browser, "[at.page, zooms.sheets, document.getElementById('leaf').scrollTop]")
    assert after == before


@needs_browser
def test_it_can_be_read_and_used_by_everybody(browser: Any) -> None:
    """By axe-core's rules, in both views, one of them 400 pixels across (WCAG 2.2, 1.4.10)."""
    browser.execute_script("choose('garden')")
    assert violations(browser) == []
    size = {"width": 400, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    assert seen(browser, "document.documentElement.scrollWidth") <= 400
    browser.execute_script("choose('sheets')")
    assert seen(browser, "document.documentElement.scrollWidth") <= 400
    assert violations(browser) == []
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


@needs_browser
def test_the_page_had_nothing_to_complain_of(browser: Any) -> None:
    """Nothing that its policy refused, no error of its script: the last test of the page."""
    assert browser.get_log("browser") == []
