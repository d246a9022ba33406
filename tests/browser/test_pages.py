"""The pages for an instructor in a browser: rules of accessibility, light and dark, on a phone."""

from collections.abc import Callable
from pathlib import Path

import pytest

from itembank.bank import entries, measured, open_bank
from itembank.cli.arguments import pool_named
from itembank.pipeline.species import exactly
from itembank.terms import results
from itembank.terms.results_page import results_page
from itembank.terms.runway_page import runway_page
from itembank.terms.status import PoolStanding, family_standing, meetings
from tests.bank.classes import COLUMNS, POOL, SPRING, class_of
from tests.browser.chromium import Chromium, Page
from tests.browser.readers import MODULES

pytestmark = pytest.mark.browser

AXE = MODULES / "axe-core" / "axe.min.js"
VIOLATIONS = (
    "axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v => v.id))"
)


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    bank, path = open_bank(str(folder / "bank.db"), create=True), folder / "quiz.yaml"
    path.write_text(
        f"id: quiz\ntitle: Quiz\ncourse: NT 210\nseed: pages\nitems:\n{POOL}", encoding="utf-8"
    )
    pool = pool_named(str(path), ())
    answers = class_of(bank, pool, folder)
    report = results.record_results(bank, f"quiz-{SPRING}", [answers], COLUMNS)
    with bank.writing() as connection:
        for entry in pool.entries:
            number = entries.family_id(connection, entry.family)
            measured.keep_capacity(connection, number, exactly(3))
    standing = PoolStanding(
        pool=pool.id,
        families=tuple(family_standing(bank, pool, entry) for entry in pool.entries),
        terms=tuple(meetings(bank, pool)),
    )
    found = {"results": results_page(bank, report), "status": runway_page(standing, "en")}
    for name, page in found.items():
        (folder / f"{name}.html").write_bytes(page)
    return {name: folder / f"{name}.html" for name in found}


@pytest.fixture
def opened(browser: Chromium, pages: dict[str, Path]) -> Callable[[str, str, int], Page]:
    """A page in a colour scheme, so many pixels wide."""

    def shown(name: str, scheme: str, width: int) -> Page:
        target = browser.call("Target.createTarget", url="about:blank", newWindow=True)["targetId"]
        session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        page = Page(browser, session)
        size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
        page.call("Emulation.setDeviceMetricsOverride", **size)
        feature = {"name": "prefers-color-scheme", "value": scheme}
        page.call("Emulation.setEmulatedMedia", features=[feature])
        page.call("Page.navigate", url=pages[name].as_uri())
        page.wait("document.readyState === 'complete' && document.querySelector('h1')")
        return page

    return shown


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["results", "status"])
def test_a_page_breaks_no_rule_of_accessibility_and_fits_a_phone(opened, name, scheme):
    if not AXE.is_file():
        pytest.skip("axe-core is not installed: run `npm ci` in tests/browser")
    page = opened(name, scheme, 390)

    page.run(AXE.read_text(encoding="utf-8") + "; 0")

    assert page.run(VIOLATIONS) == []
    assert page.run("document.documentElement.scrollWidth") <= 390
    page.call("Page.close")


def test_tables_wider_than_a_phone_are_scrolled_by_the_keyboard(opened):
    page = opened("results", "light", 390)

    page.run("document.querySelector('#questions .wide').focus()")

    assert page.run("document.activeElement.getAttribute('aria-label')") == "All questions"
    assert page.run("document.activeElement.scrollWidth > document.activeElement.clientWidth")
    page.call("Page.close")
