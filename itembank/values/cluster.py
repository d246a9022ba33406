"""A Dask cluster as the executor that shares the work (the extra `cluster`).

    with cluster("tcp://host:8786") as executor:
        make(pool, term, out, ["qti21"], executor=executor)

What a worker gets and gives are values, so it needs neither the spec files nor the bank; it must
hold this very version of the package, which is asked before each task; the scheduler passes
on what it does not read.  A task whose worker is lost
goes to another one; where none is left, or a task has ended several workers, the work stops with
one line, and nothing of it was written.
"""

import logging
import pickle
import re
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError, Executor, Future
from contextlib import contextmanager, suppress
from itertools import islice
from typing import TYPE_CHECKING, Any

from itembank.values.collecting import collect_seldom
from itembank.values.errors import ClusterError
from itembank.values.sharing import TOGETHER_FAR
from itembank.values.versions import own_version
from itembank.values.worded import laid_out, worded

if TYPE_CHECKING:
    import distributed

_ADDRESS = re.compile(r"(?:tcp|tls|ws|wss)://\S+:\d+")

ANSWERS_WITHIN = 10
"""Seconds within which a scheduler answers."""

LOOKS = 15
"""How often in a row a cluster may be found without a worker, `BETWEEN_LOOKS` seconds apart."""

BETWEEN_LOOKS = 2.0

_FETCHED = 32
"""The most results that are fetched at a time."""

_COUNTED_EVERY = 64
"""Tasks after which the workers are counted again, some of which may have come or gone."""


# ------------------------------------------------------------ the version


def _other_version(found: tuple[str, ...]) -> str:
    """How a version differs from the one here; "" where it does not."""
    own = own_version()
    missed = [part for part in own if part not in found]
    strange = [part for part in found if part not in own]
    return f"expected {', '.join(missed)}, found {', '.join(strange)}" if missed else ""


def worked(asked: tuple[str, ...], task: bytes) -> bytes:
    """The result of a task, on a worker that has joined at whatever time.

    Both are pickled here and not by the cluster, whose scheduler would read them on the way.
    """
    if difference := _other_version(asked):
        raise _OtherVersionError(difference)
    collect_seldom()
    work, args, kwargs = pickle.loads(task)
    return pickle.dumps(work(*args, **kwargs), pickle.HIGHEST_PROTOCOL)


class _OtherVersionError(Exception):
    """What a worker of another version says, seen from it."""


# ------------------------------------------------------------ the executor


@contextmanager
def cluster(address: str) -> "Iterator[Cluster]":
    """The workers of a Dask scheduler; ClusterError unless all are of this very version."""
    if not _ADDRESS.fullmatch(address):
        raise ClusterError(
            worded(
                "--cluster {address}: expected the address of a scheduler, such as tcp://host:8786",
                address=address,
            )
        )
    try:
        import dask
        from distributed import Client
    except ImportError:
        raise ClusterError(
            worded("--cluster: expected the library 'distributed'; pip install 'itembank[cluster]'")
        ) from None
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what is wrong is told in a line
    dask.config.set({"distributed.admin.low-level-log-length": 0})  # or it holds 1,000 messages
    try:
        client = Client(address, timeout=ANSWERS_WITHIN, set_as_default=False)
    except (OSError, ValueError) as e:
        raise ClusterError(
            worded(
                "--cluster {address}: expected a scheduler that answers within {answers_within} "
                "seconds, found none; start one with 'dask scheduler' ({found})",
                address=address,
                answers_within=ANSWERS_WITHIN,
                found=" ".join(str(e).split()),
            )
        ) from None
    try:
        found = Cluster(client, address)
        found.refuse_other_versions()
        yield found
    finally:
        with suppress(Exception):  # the scheduler may be gone, and the work is through or told
            client.close(timeout=ANSWERS_WITHIN)


class Cluster(Executor):
    """The executor; `workers` is how many tasks it works on at a time, and `together` how many
    items to put in one."""

    def __init__(self, client: "distributed.Client", address: str) -> None:
        self.client, self.address = client, address
        self.asked = 0
        self.workers = 1
        self.together = TOGETHER_FAR
        self.waiting: dict[Asked, None] = {}
        """What was asked and is not yet given, in order."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> "Future[Any]":
        if self.asked % _COUNTED_EVERY == 0:
            self.workers = max(1, self.threads())
        self.asked += 1
        task = pickle.dumps((fn, args, kwargs), pickle.HIGHEST_PROTOCOL)
        asked = Asked(self.sent(task), self)
        self.waiting[asked] = None
        return asked

    def sent(self, task: bytes) -> "distributed.Future[bytes]":
        return self.client.submit(worked, own_version(), task, pure=False)

    def fetch(self, wanted: "Asked") -> None:
        """Fetch what was asked, once it is there, with what else is: one by one each costs more
        than all else that is done with it.

        So the elder half of what waits is waited for: the workers have the other half to do.
        Raises what the work did, TimeoutError after `BETWEEN_LOOKS` seconds without it, and
        CancelledError or OSError where the scheduler is gone.
        """
        elder = list(islice(self.waiting, len(self.waiting) // 2))
        awaited = dict.fromkeys([wanted, *elder[:_FETCHED]])
        with suppress(TimeoutError):
            self.wait_for(awaited)
        if wanted.there.status != "finished":
            wanted.came(wanted.there.result(timeout=BETWEEN_LOOKS))
            return
        ready = [asked for asked in awaited if asked.there.status == "finished"]

        async def gathered() -> list[bytes]:
            found: list[bytes] = await self.client.gather(
                [asked.there for asked in ready], asynchronous=True
            )
            return found

        patience = LOOKS * BETWEEN_LOOKS
        for asked, data in zip(
            ready, self.client.sync(gathered, callback_timeout=patience), strict=True
        ):
            asked.came(data)

    def wait_for(self, all_of: "Iterable[Asked]") -> None:
        """Wait until each of these came to an end; TimeoutError if that takes too long."""
        from distributed import wait

        with self.client.as_current():
            wait([asked.there for asked in all_of], timeout=BETWEEN_LOOKS)

    def refuse_other_versions(self) -> None:
        """ClusterError unless there is a worker, and all are of this version."""
        try:
            self.client.wait_for_workers(1, timeout=LOOKS * BETWEEN_LOOKS)
        except TimeoutError:
            raise self.fault(self.without_worker()) from None
        for worker, found in self.client.run(own_version, on_error="return").items():
            if isinstance(found, Exception):
                raise self.fault(
                    worded(
                        "the worker {worker} does not know its version ({error}: {found}); "
                        "install this itembank there",
                        worker=worker,
                        error=type(found).__name__,
                        found=found,
                    )
                )
            if difference := _other_version(found):
                raise self.fault(
                    worded(
                        "the worker {worker}: {difference}; install the same there",
                        worker=worker,
                        difference=difference,
                    )
                )

    def threads(self) -> int:
        """How many tasks the workers take now; ClusterError where the scheduler is gone."""
        try:
            return sum(self.client.nthreads().values())
        except (OSError, ValueError):  # its end is an OSError; a client that gave up knows none
            raise self.gone() from None

    def gone(self) -> ClusterError:
        return self.fault(
            worded(
                "the scheduler is gone; what was not finished is not kept, so run the command again"
            )
        )

    def without_worker(self) -> str:
        return worded(
            "no worker for {seconds} seconds; start one with 'dask worker {address}'",
            seconds=round(LOOKS * BETWEEN_LOOKS),
            address=self.address,
        )

    def fault(self, message: str) -> ClusterError:
        return ClusterError(
            laid_out("--cluster {address}: {message}", address=self.address, message=message)
        )


class Asked(Future[Any]):
    """What a cluster was asked; its result is waited for as long as somebody may give it."""

    def __init__(self, there: "distributed.Future[Any]", of: Cluster) -> None:
        super().__init__()
        self.there, self.of = there, of
        self.data: bytes | None = None

    def result(self, timeout: float | None = None) -> Any:
        """The result, or the error of the work; ClusterError where nobody is left to give it.

        The timeout is the cluster's own.
        """
        from distributed import KilledWorker

        alone = 0
        while True:
            try:
                if self.data is None:
                    self.of.fetch(self)
                else:
                    return pickle.loads(self.data)
            except TimeoutError:
                alone = 0 if self.of.threads() else alone + 1
                if alone >= LOOKS:
                    raise self.of.fault(self.of.without_worker()) from None
            except KilledWorker:
                raise self.of.fault(
                    worded(
                        "one task has ended several workers, one after the other; their logs tell "
                        "why (is there memory enough?)"
                    )
                ) from None
            except _OtherVersionError as e:
                raise self.of.fault(
                    worded("a worker joined that is of another version: seen from it, {e}", e=e)
                ) from None
            except (OSError, CancelledError):
                raise self.of.gone() from None

    def came(self, data: bytes) -> None:
        """Keep the result until it is asked for; the cluster need not."""
        self.data = data
        self.cancel()

    def cancel(self) -> bool:
        """Ask for it no longer; a worker that is at it finishes for nobody."""
        self.of.waiting.pop(self, None)
        self.there.release()
        return True
