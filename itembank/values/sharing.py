"""Work shared out over an executor, its results in the order of the tasks.

Any executor with the interface of `concurrent.futures` serves: processes of this machine, or the
client of a cluster.  Tasks and results are values that can be pickled, and the work reads no
file, so that the workers need nothing of this machine but the same version of this package.
"""

import atexit
import multiprocessing
import os
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import suppress
from itertools import islice
from typing import TypeVar

from itembank.values.collecting import collect_seldom

AHEAD = 8
"""Tasks that wait in an executor of few workers at a time; results are taken in order."""

PER_WORKER = 4
"""Tasks for each worker of an executor that says in `workers` how many it has."""

_AT_LEAST = 2
"""Tasks that wait at a time though fewer seem to be needed: what is needed is a guess."""

TOGETHER = 16
"""Items worked on in one task of an executor."""

TOGETHER_FAR = 48
"""The same where each task is a message to another machine, which costs as much as some items."""

Task = TypeVar("Task")
Result = TypeVar("Result")


def in_order(
    work: Callable[[Task], Result],
    tasks: Iterable[Task],
    executor: Executor,
    *,
    all_wanted: bool = False,
    needed: Callable[[], int] | None = None,
) -> Iterator[Result]:
    """The results of all tasks, in their order; few wait at a time, so tasks may be endless.

    They are few at first, so that a job of few results leaves little undone work, and one more
    with each result, up to what keeps all workers busy; as many from the beginning where all
    results are wanted.  No more than are `needed` then, if that is known; but for _AT_LEAST.
    """
    waiting: deque[Future[Result]] = deque()
    most = AHEAD
    try:
        for task in tasks:
            waiting.append(executor.submit(work, task))
            if all_wanted:
                most = ahead(executor)
            while len(waiting) >= (min(most, max(_AT_LEAST, needed())) if needed else most):
                yield waiting.popleft().result()
                if most < ahead(executor):
                    most += 1
        while waiting:
            yield waiting.popleft().result()
    finally:
        for future in waiting:  # what runs already is waited for, so that nothing is left behind
            if not future.cancel():
                with suppress(Exception):
                    future.result()


def ahead(executor: Executor) -> int:
    """The most tasks that wait in an executor at a time."""
    return max(AHEAD, PER_WORKER * getattr(executor, "workers", 1))


def together(executor: Executor | None) -> int:
    """Items worked on in one task; an executor may say so in `together`."""
    n: int = getattr(executor, "together", TOGETHER)
    return n


class Processes(ProcessPoolExecutor):
    """Processes of this machine, which share no open database and no lock with this one."""

    def __init__(self, workers: int) -> None:
        super().__init__(workers, multiprocessing.get_context("spawn"), _begin)
        self.workers = workers


def several(things: Iterable[Task], n: int) -> Iterator[tuple[Task, ...]]:
    """The things, n together, the last perhaps fewer."""
    rest = iter(things)
    while together := tuple(islice(rest, n)):
        yield together


def _begin() -> None:
    """What a process does before its first task."""
    collect_seldom()
    _end_with_parent()
    atexit.register(os._exit, 0)  # at last: to take down what it holds takes a fifth of its start


def _end_with_parent() -> None:
    """End this process when the one that started it ends, however it ends.

    A process that waits for work does not see that nobody is left to give it any.
    """
    parent = multiprocessing.parent_process()
    if parent is None:
        raise ValueError("end_with_parent is for a process that another one started")

    def watch() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
