"""The browser and the two readers, opened once for all tests; where they are missing, why."""

import os
from collections.abc import Iterator

import pytest
from chromium import Chromium, executable
from readers import MODULES, Reader, Served

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
    reason = missing()
    if reason and "browser" in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for the browser tests, but {reason}")
    if reason:
        pytest.skip(reason)
    with Served() as address, Chromium() as browser:
        yield {name: Reader.opened(name, browser, address) for name in READERS}


@pytest.fixture(params=READERS)
def reader(request: pytest.FixtureRequest, readers: dict[str, Reader]) -> Reader:
    found = readers[request.param]
    return found
