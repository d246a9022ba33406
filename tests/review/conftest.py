"""What the tests of reviewing share."""

from tests.measuring import counted_once

__all__ = ["counted_once"]
