"""The page of `show --watch` in a browser: file edited, page renewed, fault shown, mended."""

import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from itembank.cli.watching import server
from itembank.languages.catalogue import translated
from itembank.pipeline import showing
from tests.browser.chromium import Chromium, Page, executable
from tests.browser.readers import MODULES

pytestmark = pytest.mark.browser

AXE = MODULES / "axe-core" / "axe.min.js"

FAMILY = """\
id: fam
version: 1
title: Remainders
problem: polynomial
outcomes: [solve]
level: easy
parameters:
  p: {prime: [13, 97]}
  a: {integer: [1, 12]}
where: [solutions == 2]
given: {congruence: x^2 + a*x = 3, modulus: p}
ask: all solutions
forms: [list]
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Chromium]:
    reason = None if executable() else "chromium is not installed"
    if reason and "browser" in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for the browser tests, but {reason}")
    if reason:
        pytest.skip(reason)
    with Chromium() as opened:
        yield opened


@pytest.fixture
def family(tmp_path: Path) -> Path:
    path = tmp_path / "fam.yaml"
    path.write_text(FAMILY, encoding="utf-8")
    return path


def page_of(family: Path, wish: showing.Wish) -> str:
    return showing.as_page(showing.shown(family, wish), renews=True)


@pytest.fixture
def page(browser: Chromium, family: Path) -> Iterator[Page]:
    wish = showing.Wish()
    with server(family, lambda: page_of(family, wish), showing.RENEW) as it:
        thread = threading.Thread(target=it.serve_forever, kwargs={"poll_interval": 0.05})
        thread.start()
        opened = browser.page(f"http://127.0.0.1:{it.server_address[1]}/")
        opened.wait("changes.readyState === 1")
        yield opened
        opened.call("Page.close")
        it.shutdown()
        thread.join()


def test_the_page_renews_itself_shows_a_fault_and_loses_it(page: Page, family: Path):
    assert page.run("document.querySelector('h1').textContent") == "fam: Remainders"

    family.write_text(FAMILY.replace("Remainders", "Leftovers"), encoding="utf-8")
    page.wait("document.querySelector('h1').textContent === 'fam: Leftovers'")
    assert page.run("document.getElementById('status').textContent") == "Renewed"

    family.write_text(FAMILY.replace("modulus: p", "modulus: p*q"), encoding="utf-8")
    page.wait("document.querySelector('.fault')")
    fault = page.run("document.querySelector('.fault').textContent")
    assert fault.startswith(f"{family}:11:47: given.modulus: unknown name 'q'")
    assert page.run("document.querySelector('pre').textContent").endswith("modulus: p*q}")
    status = page.run("document.querySelector('[role=status]').textContent")
    assert status == "Renewed: faults in the file: 1"

    family.write_text(FAMILY, encoding="utf-8")
    page.wait("!document.querySelector('.fault') && document.querySelector('section')")


VIOLATIONS = (
    "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v => v.id))"
)


def with_axe(page: Page) -> Page:
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run `npm ci` in tests/browser")
    page.run(AXE.read_text(encoding="utf-8") + "; 0")
    return page


def test_the_page_breaks_no_rule_of_accessibility_with_variants_and_with_a_fault(
    page: Page, family: Path
):
    with_axe(page)
    assert page.run(VIOLATIONS) == []

    family.write_text(FAMILY.replace("modulus: p", "modulus: p*q"), encoding="utf-8")
    page.wait("document.querySelector('.fault')")
    assert page.run(VIOLATIONS) == []


def test_who_reads_by_the_keyboard_keeps_the_place_when_the_page_is_renewed(
    page: Page, family: Path
):
    page.call(
        "Emulation.setDeviceMetricsOverride",
        width=800, height=200, deviceScaleFactor=1, mobile=False,
    )  # fmt: skip
    page.run("addEventListener('scrollend', () => { window.ended = true; }), true")
    for kind in ("keyDown", "keyUp"):
        page.call("Input.dispatchKeyEvent", type=kind, key="End", code="End",
                  windowsVirtualKeyCode=35)  # fmt: skip
    page.wait("scrollY > 0 && scrollY + innerHeight >= document.documentElement.scrollHeight - 1")
    page.wait("window.ended")  # it moves no more
    place = page.run("window.scrollY")

    family.write_text(FAMILY.replace("Remainders", "Leftovers"), encoding="utf-8")
    page.wait("document.title === 'fam: Leftovers'")
    assert page.run("window.scrollY") == place


LABELS = """
[...document.querySelectorAll("main section")].map(section =>
  document.getElementById(section.getAttribute("aria-labelledby")).textContent)
"""


def test_a_screen_reader_finds_each_variant_by_its_name(page: Page):
    assert [label.partition(":")[0] for label in page.run(LABELS)] == ["variant 0, list"]
    assert page.run("document.querySelector('[role=status]').textContent") == "Watching the file"


def test_the_command_speaks_its_language_on_the_page_until_it_has_ended(
    browser: Chromium, family: Path
):
    command = [
        sys.executable, "-c", "from itembank.cli import main; main()",
        "--speak", "de", "show", str(family), "--watch",
    ]  # fmt: skip
    with running(command) as (process, address):
        opened = browser.page(address)
        opened.wait("changes.readyState === 1")
        assert opened.run("document.documentElement.lang") == "de"
        assert opened.run(LABELS)[0].startswith("Variante 0, list")

        family.write_text(FAMILY.replace("modulus: p", "modulus: p*q"), encoding="utf-8")
        opened.wait("document.querySelector('.fault')")
        assert "Name 'q' ist unbekannt" in opened.run(
            "document.querySelector('.fault').textContent"
        )
        told = translated("de", "Renewed: faults in the file: {n}").format(n=1)
        assert opened.run("document.getElementById('status').textContent") == told

        process.send_signal(signal.SIGINT)
        ended = json.dumps(translated("de", "The command has ended: nothing is renewed"))
        opened.wait(f"document.getElementById('status').textContent === {ended}")
        assert process.wait(timeout=30) == 0
        opened.call("Page.close")


@contextmanager
def running(command: list[str]) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The command while it runs, and the address that it prints; it is gone afterwards."""
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        yield process, process.stdout.readline().partition(" ")[0]
    finally:
        process.kill()
        process.communicate()
