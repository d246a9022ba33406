"""A cluster from one worker up: items a second, what the main process itself costs, and memory.

    python -m tests.bench.cluster [ITEMS] [FORMAT] [WORKERS...]

A pool of about ITEMS items is made and audited through a scheduler and workers started from the
shell, with each number of WORKERS (1, 2, 4; 0 for none of it) of one thread.  Then again with 2, 8
and 32 that wait instead of computing: each task was worked on once, and what waits gives the result
of then after the seconds of CPU that it took then, so that all else - the main process, the
scheduler, what goes between them - is as on so many machines; not of more than 10,000 items, whose
results would fill a disk.  Told are the seconds of the clock, the CPU of the main process and of
the scheduler an item, and the peak memory of each.  Run by hand; figures stand in DEVELOPERS.md.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any

import psutil

from itembank.pipeline import making
from itembank.spec import Pool
from itembank.values.cluster import Cluster, cluster, worked
from itembank.values.collecting import collect_seldom
from itembank.values.versions import own_version
from tests.bench.ten_thousand import pool_of

ROOT = Path(__file__).parents[2]

KEPT = 10_000
"""At most so many items are made by workers that wait."""


@contextmanager
def started(folder: Path, workers: int, threads: int) -> Iterator[tuple[str, psutil.Process]]:
    """The address of a scheduler with such workers, and its process."""
    contact = folder / "scheduler.json"
    contact.unlink(missing_ok=True)
    running: list[subprocess.Popen] = []

    def dask(*command: str) -> None:
        running.append(
            subprocess.Popen(
                [sys.executable, "-m", "dask", *command, "--no-dashboard",
                 "--scheduler-file", str(contact)],
                cwd=folder, env={**os.environ, "PYTHONPATH": str(ROOT)},
                stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
            )
        )  # fmt: skip

    dask("scheduler", "--host", "127.0.0.1", "--port", "0")
    while not contact.is_file() or not contact.stat().st_size:
        time.sleep(0.05)
    for _ in range(workers):
        dask("worker", "--no-nanny", "--nthreads", str(threads))
    try:
        yield json.loads(contact.read_text())["address"], psutil.Process(running[0].pid)
    finally:
        for process in running:
            process.kill()
            process.wait()


class Waiting(Cluster):
    """A cluster whose workers wait as long as they once worked, and give what they gave then."""

    def __init__(self, found: Cluster, kept: Path) -> None:
        super().__init__(found.client, found.address)
        self.kept = str(kept)

    def sent(self, task: bytes) -> Any:
        return self.client.submit(waited, self.kept, task, pure=False)


def waited(kept: str, task: bytes) -> bytes:
    """The result of a task, after the CPU seconds that it took; worked on if it never was."""
    place = Path(kept, sha256(task).hexdigest())
    if place.is_file():
        data = place.read_bytes()
        before, _, result = data.partition(b"\n")
        time.sleep(float(before))
        return result
    start = time.thread_time()
    result = worked(own_version(), task)
    took = time.thread_time() - start
    part = place.with_suffix(f".{os.getpid()}-{time.monotonic_ns()}")
    part.write_bytes(f"{took:.6f}\n".encode() + result)
    part.rename(place)
    return result


def measured(
    pool: Pool,
    folder: Path,
    format: str,
    address: str,
    kept: Path | None,
    scheduler: psutil.Process,
) -> tuple[float, str]:
    """The seconds that a pool takes, and a line that tells of them."""
    items = sum(entry.variants for entry in pool.entries)
    with cluster(address) as found:
        executor = Waiting(found, kept) if kept else found
        found.client.wait_for_workers(1)
        before = sum(scheduler.cpu_times()[:2])
        start, own = time.perf_counter(), time.process_time()
        making.make(pool, "2027-spring", folder, (format,), executor=executor)
        clock, own = time.perf_counter() - start, time.process_time() - own
        theirs = sum(scheduler.cpu_times()[:2]) - before
        peaks = found.client.run(peak).values()
        line = (
            f"{clock:7.1f} s, {items / clock:6.1f} items/s; ms an item: main "
            f"{own / items * 1e3:.2f}, scheduler {theirs / items * 1e3:.2f}; "
            f"{executor.asked} tasks; MB: main {peak()}, "
            f"scheduler {scheduler.memory_info().rss >> 20}, worker {max(peaks)}"
        )
    return clock, line


def peak() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss >> 10


def main() -> None:
    collect_seldom()  # as the commands do
    items = int(sys.argv[1]) if sys.argv[1:] else 1000
    format = sys.argv[2] if sys.argv[2:] else "qti21"
    several = [int(word) for word in sys.argv[3:]] or [1, 2, 4]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pool = pool_of(items, folder)
        for workers in filter(None, several):
            with started(folder, workers, 1) as (address, scheduler):
                _, line = measured(pool, folder, format, address, None, scheduler)
                print(f"{workers} workers: {line}", flush=True)
        kept = folder / "kept"
        kept.mkdir()
        first = (32, 32)  # these work on what is kept for the others
        for threads in (*first, 2, 8, 32) if items <= KEPT else ():
            with started(folder, 1, threads) as (address, scheduler):
                _, line = measured(pool, folder, format, address, kept, scheduler)
                found = len(list(kept.iterdir()))
            print(f"{threads} that wait ({found} results kept): {line}", flush=True)


if __name__ == "__main__":
    main()
