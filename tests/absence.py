"""What a machine lacks: its tests are skipped, or fail where they are mandatory."""

import os
from typing import NoReturn

import pytest


def absent(what: str, reason: str) -> NoReturn:
    """Skip a test for want of something, unless ITEMBANK_REQUIRE names it."""
    if what in os.environ.get("ITEMBANK_REQUIRE", "").split():
        pytest.fail(f"ITEMBANK_REQUIRE asks for {what}, but {reason}")
    pytest.skip(reason)
