"""The browser and the two readers, opened once for all tests; where they are missing, why."""

import os
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from exporters.release import Release
from itembank.cli.arguments import pool_named
from itembank.pipeline import making
from itembank.review import packet_of_release
from tests.browser.chromium import Chromium, Page, executable
from tests.browser.packets import POOL, missing_for_packets, opened_anew
from tests.browser.readers import MODULES, Reader, Served

READERS = ("components", "player")


def missing() -> str | None:
    """What the browser tests need and this machine has not."""
    if executable() is None:
        return "chromium is not installed"
    if not (MODULES / "vue").is_dir():
        return "the readers are not installed: run `npm ci` in tests/browser"
    return None


@pytest.fixture(scope="session")
def readers() -> Iterator[dict[str, Reader]]:
    """Each in a browser of its own, so that both can be used at once."""
    reason = missing()
    if reason and "browser" in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for the browser tests, but {reason}")
    if reason:
        pytest.skip(reason)
    with Served() as address, ExitStack() as opened:
        yield {
            name: Reader.opened(name, opened.enter_context(Chromium()), address) for name in READERS
        }


@pytest.fixture(params=READERS)
def reader(request: pytest.FixtureRequest, readers: dict[str, Reader]) -> Reader:
    found = readers[request.param]
    return found


# ------------------------------------------------------------ the packet


@pytest.fixture(scope="session")
def browser() -> Iterator[Chromium]:
    reason = missing_for_packets()
    if reason and "browser" in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for the browser tests, but {reason}")
    if reason:
        pytest.skip(reason)
    with Chromium() as opened:
        yield opened


@pytest.fixture(scope="session")
def release(tmp_path_factory: pytest.TempPathFactory) -> Release:
    path = tmp_path_factory.mktemp("pool") / "review-me.yaml"
    path.write_text(POOL, encoding="utf-8")
    return making.released(pool_named(str(path), ()), "2027-spring")


@pytest.fixture(scope="session")
def packet(release: Release) -> bytes:
    return packet_of_release(release)


@pytest.fixture
def page(browser: Chromium, packet: bytes, tmp_path: Path) -> Iterator[Page]:
    """The packet, opened from a file, wide as a desk's screen, nothing of it remembered."""
    opened = opened_anew(browser, tmp_path / "review.html", packet)
    yield opened
    opened.call("Page.close")


@pytest.fixture
def other(browser: Chromium, page: Page) -> Iterator[Page]:
    """The same packet in another tab."""
    opened = browser.page(str(page.run("location.href.split('#')[0]")))
    yield opened
    opened.call("Page.close")
