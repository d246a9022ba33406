"""How seldom Python looks for cycles among what was made.

Expressions, sentences and elements are trees of many small objects, which go when they are used
no longer; hardly anything here is a cycle.  To look for some after each 700 took a tenth to a sixth
of the time in which a package is made.
"""

import atexit
import gc
from collections.abc import Iterator
from contextlib import contextmanager

YOUNG = 100_000
"""Objects made after which Python looks for cycles, some megabytes of them."""


def collect_seldom() -> None:
    """From now on, in this process; and not at all when it ends, since then nothing is needed.

    To go once more through all that it held took a command up to a tenth of its time.
    """
    gc.set_threshold(YOUNG, 20, 50)
    atexit.register(gc.freeze)


@contextmanager
def collecting_after(young: int) -> Iterator[None]:
    """In this block, only after so many objects."""
    before = gc.get_threshold()
    gc.set_threshold(young, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
