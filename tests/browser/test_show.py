"""The page of `show --watch` in a browser: file edited, page renewed, fault shown, mended."""

import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from itembank.cli.watching import server
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


def test_the_page_breaks_no_rule_of_accessibility(page: Page):
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run `npm ci` in tests/browser")
    page.run(AXE.read_text(encoding="utf-8") + "; 0")

    found = (
        "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v => v.id))"
    )

    assert page.run(found) == []
