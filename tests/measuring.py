"""How many variants a family has, told to every bank of a worker from one count."""

import re
from collections.abc import Iterator

import pytest

from itembank.pipeline.candidates import Fits
from itembank.pipeline.capacity import Capacity, capacity
from itembank.spec import Family
from itembank.terms import status

Counted = dict[tuple[str, str], Capacity]
"""What was counted, by what a family says."""

COUNTED: Counted = {}
"""In this process, and those that it began with."""


_SET = re.compile(r"frozenset\({([^{}]*)}\)")


def _in_order(found: re.Match[str]) -> str:
    """Names of a set, which stand in another order in each process."""
    return ", ".join(sorted(found[1].split(", ")))


def count(family: Family, fits: Fits) -> Capacity:
    """How many variants a family has, as `capacity` says, counted once."""
    said = (_SET.sub(_in_order, repr(family)), family.fingerprint)
    if said not in COUNTED:
        COUNTED[said] = capacity(family, fits)
    return COUNTED[said]


@pytest.fixture(scope="session", autouse=True)
def counted_once() -> Iterator[None]:
    """A command that is run in this process takes the count that another made here.

    A bank keeps it, and each test has a new bank; to count the same families for each of them
    was half of the time of these tests.  What is counted, and how, is as it is.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(status, "capacity", count)
        yield


def begin_with(counted: Counted) -> None:
    """A command that is run in this process, to its end, takes these counts."""
    COUNTED.update(counted)
    pytest.MonkeyPatch().setattr(status, "capacity", count)
