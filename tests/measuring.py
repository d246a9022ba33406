"""How many variants a family has, told to every bank of a worker from one count."""

from collections.abc import Iterator

import pytest

from itembank.pipeline.candidates import Fits
from itembank.pipeline.capacity import Capacity, capacity
from itembank.spec import Family
from itembank.terms import status


@pytest.fixture(scope="session", autouse=True)
def counted_once() -> Iterator[None]:
    """A command that is run in this process takes the count that another made here.

    A bank keeps it, and each test has a new bank; to count the same families for each of them
    was half of the time of these tests.  What is counted, and how, is as it is.
    """
    found: dict[tuple[str, str], Capacity] = {}

    def count(family: Family, fits: Fits) -> Capacity:
        said = (repr(family), family.fingerprint)
        if said not in found:
            found[said] = capacity(family, fits)
        return found[said]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(status, "capacity", count)
        yield
