"""How many variants a family has, and how hard they are, told to every bank once.

What one worker has counted the others read, as pickles in the folder of this run.
"""

import os
import pickle
import re
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest

from itembank.pipeline import selection
from itembank.pipeline.candidates import Effort, Fits
from itembank.pipeline.capacity import Capacity, capacity
from itembank.spec import Family, Pool
from itembank.terms import status

Counted = dict[tuple[str, str], Capacity]
"""What was counted, by what a family says."""

COUNTED: Counted = {}
"""In this process, and those that it began with."""

_of_this_run: list[Path] = []
"""The folder where all workers have theirs, once it is known."""

_typical_efforts = selection.typical_efforts

_SET = re.compile(r"frozenset\({([^{}]*)}\)")


def _in_order(found: re.Match[str]) -> str:
    """Names of a set, which stand in another order in each process."""
    return ", ".join(sorted(found[1].split(", ")))


def told(family: Family) -> str:
    """All that a family says, the same in each process."""
    return _SET.sub(_in_order, repr(family))


def count(family: Family, fits: Fits) -> Capacity:
    """How many variants a family has, as `capacity` says, counted once."""
    said = (told(family), family.fingerprint)
    if said not in COUNTED:
        COUNTED[said] = _read(said) or _written(said, capacity(family, fits))
    return COUNTED[said]


def _file(said: tuple[str, str]) -> Iterator[Path]:
    for folder in _of_this_run:
        yield folder / sha256("\n".join(said).encode()).hexdigest()


def _read(said: tuple[str, str]) -> Capacity | None:
    for path in _file(said):
        if path.exists():
            found: Capacity = pickle.loads(path.read_bytes())
            return found
    return None


def _written(said: tuple[str, str], found: Capacity) -> Capacity:
    for path in _file(said):
        whole = path.with_suffix(f".{os.getpid()}")
        whole.write_bytes(pickle.dumps(found))
        whole.replace(path)
    return found


_EFFORTS: dict[tuple[str, ...], list[Effort]] = {}


def efforts(family: Family, pool: Pool) -> list[Effort]:
    """The efforts from which a band is set, as `typical_efforts` says, taken once.

    They follow from the family, and from the forms and what is taught in the pool.
    """
    forms = [(entry.family.id, entry.instead, entry.forms_used) for entry in pool.entries]
    said = (told(family), pool.letter, repr(pool.teaching), repr(forms))
    if said not in _EFFORTS:
        _EFFORTS[said] = _typical_efforts(family, pool)
    return _EFFORTS[said]


@pytest.fixture(scope="session", autouse=True)
def counted_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A command that is run in this process takes the count that another made here, and efforts.

    A bank keeps it, and each test has a new bank; to count the same families for each of them
    was half of the time of these tests.  What is counted, and how, is as it is.
    """
    own = tmp_path_factory.getbasetemp()
    folder = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "counted"
    folder.mkdir(exist_ok=True)
    _of_this_run[:] = [folder]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(status, "capacity", count)
        patch.setattr(status, "typical_efforts", efforts)
        patch.setattr(selection, "typical_efforts", efforts)
        yield


def begin_with(counted: Counted) -> None:
    """A command that is run in this process, to its end, takes these counts."""
    COUNTED.update(counted)
    pytest.MonkeyPatch().setattr(status, "capacity", count)
