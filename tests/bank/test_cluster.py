"""A cluster shares the work: a real one, started from the shell, whose workers reach no file of
ours.

Work goes out, and comes back, as values; a worker that is killed loses nothing.
"""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner
from distributed import Client

from itembank.bank import open_bank
from itembank.cli import main
from itembank.pipeline import making
from itembank.spec import Pool
from itembank.terms import draw
from itembank.values import cluster as clusters
from itembank.values.cluster import Cluster, cluster
from itembank.values.errors import ClusterError
from itembank.values.sharing import PER_WORKER, ahead, in_order

ROOT = Path(__file__).parents[2]
TERM = "2027-spring"
FORMATS = ("qti21", "cc13")
ENTRIES = (
    "  - {family: linear-one-solution, variants: 40}\n"
    "  - {family: square-roots-two-primes, variants: 8, choose: 2, form: select one}\n"
)


class Started:
    """A scheduler, and the workers that were started for it."""

    def __init__(self, folder: Path, ending: ExitStack) -> None:
        self.folder, self.ending = folder, ending
        self.contact = folder / "scheduler.json"
        self.scheduler = self.dask("scheduler", "--host", "127.0.0.1", "--port", "0")
        for _ in range(600):
            if self.contact.is_file() and self.contact.stat().st_size:
                break
            time.sleep(0.05)
        self.address = json.loads(self.contact.read_text())["address"]

    def dask(self, *command: str, code: Path = ROOT) -> subprocess.Popen:
        process = subprocess.Popen(
            [
                sys.executable, "-m", "dask", *command, "--no-dashboard",
                "--scheduler-file", str(self.contact),
            ],
            cwd=self.folder,
            env={**os.environ, "PYTHONPATH": str(code), "PYTHONDONTWRITEBYTECODE": "1"},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self.ending.callback(ended, process)
        return process

    def worker(self, name: str, code: Path = ROOT) -> subprocess.Popen:
        return self.dask("worker", "--no-nanny", "--nthreads", "1", "--name", name, code=code)


class Fetching(Cluster):
    """A cluster that counts how often it fetches results."""

    fetches = 0

    def fetch(self, wanted) -> None:
        self.fetches += 1
        super().fetch(wanted)


def ended(process: subprocess.Popen) -> None:
    process.kill()
    process.wait()


@contextmanager
def started(folder: Path) -> Iterator[Started]:
    folder.mkdir()
    with ExitStack() as ending:
        yield Started(folder, ending)


def waited_for(address: str, workers: int) -> None:
    with Client(address, set_as_default=False) as client:
        client.wait_for_workers(workers, timeout=60)


def run(*args: object) -> str:
    result = CliRunner().invoke(main, [str(arg) for arg in args])
    assert result.exit_code == 0, result.output
    return result.stdout


def told(*args: object) -> str:
    """The one line in which a command says why it does not go on."""
    result = CliRunner().invoke(main, [str(arg) for arg in args])
    assert result.exit_code == 1 and not result.stdout
    assert result.stderr.count("\n") == 1
    return result.stderr


def left_in(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def everything(pool: Pool, family: Path, *sharing: str) -> tuple[list[str], dict[str, bytes]]:
    """What all commands that share their work print and write; paths are relative ones."""
    quiz = pool.path
    out = Path("shared" if sharing else "alone")
    formats = [word for name in FORMATS for word in ("--to", name)]
    bank = ["--bank", out / "bank.db"]
    out.mkdir()
    draw.draw(open_bank(str(out / "bank.db"), create=True), pool, TERM)
    said = [
        run("draw", quiz, "--term", "2027-autumn", "--dry-run", *bank, *sharing),
        run("export", quiz, "--term", TERM, *bank, "--out", out, *formats, *sharing),
        run("audit", *sorted(out.glob("*.zip")), "--json", *sharing),
        run("check", family, *sharing),
    ]
    (out / "bank.db").unlink()
    return [text.replace(str(out), "") for text in said], left_in(out)


def test_a_cluster_gives_what_one_process_does_and_a_killed_worker_loses_nothing(
    pool_of, tmp_path, monkeypatch
):
    pool = pool_of(ENTRIES)
    family = shutil.copy(ROOT / "specs/families/linear/linear-one-solution.yaml", tmp_path)
    monkeypatch.chdir(tmp_path)
    for folder in ("by-one", "by-two"):
        Path(folder).mkdir()
    with started(tmp_path / "scratch") as here:
        processes = {name: here.worker(name) for name in ("first", "second")}
        alone = everything(pool, Path(family))
        making.make(pool, TERM, Path("by-one"), FORMATS)
        waited_for(here.address, 2)

        assert everything(pool, Path(family), "--cluster", here.address) == alone
        with Client(here.address, set_as_default=False) as client:
            seen = client.run(lambda: {"itembank.pipeline.compose", "exporters"} <= {*sys.modules})
        assert len(seen) == 2 and all(seen.values())

        with Client(here.address, set_as_default=False) as client:
            counting = Fetching(client, here.address)
            assert list(in_order(abs, range(-99, 1), counting)) == [*range(99, -1, -1)]
            assert counting.fetches < 50 and not counting.waiting
        with cluster(here.address) as executor:
            tracemalloc.start()
            sent = (bytes(100_000) for _ in range(300))
            assert set(in_order(len, sent, executor)) == {100_000}
            assert tracemalloc.get_traced_memory()[0] < 5_000_000
            tracemalloc.stop()

        progressed = []

        def kill_in_the_middle(name: str) -> None:
            progressed.append(name)
            if len(progressed) == 20:
                processes["second"].send_signal(signal.SIGKILL)
                processes["second"].wait()

        with cluster(here.address) as executor:
            making.make(pool, TERM, Path("by-two"), FORMATS, kill_in_the_middle, executor)

    assert len(progressed) > 20 and processes["second"].returncode == -signal.SIGKILL
    assert left_in(Path("by-two")) == left_in(Path("by-one"))
    assert len(alone[1]) == len(FORMATS) + 1


def test_what_a_cluster_cannot_do_is_told_in_one_line(pool_of, tmp_path, monkeypatch):
    quiz = pool_of("  - {family: linear-one-solution, variants: 40}\n").path
    make = ["make", quiz, "--term", TERM, "--out", tmp_path / "out", "--cluster"]
    monkeypatch.setattr(clusters, "BETWEEN_LOOKS", 0.1)
    monkeypatch.setattr(clusters, "LOOKS", 2)
    monkeypatch.setenv("DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES", "0")
    with started(tmp_path / "scratch") as here:
        here.worker("own")
        foreign = here.worker("foreign", code_with_a_change(tmp_path / "other"))
        assert "expected the address of a scheduler, such as tcp" in told(*make, "tcp://host")
        with monkeypatch.context() as hasty:
            hasty.setattr(clusters, "ANSWERS_WITHIN", 0.2)
            assert "expected a scheduler that answers within" in told(*make, "tcp://127.0.0.1:9")

        waited_for(here.address, 2)
        refused = told(*make, here.address)
        assert "expected itembank " in refused and refused.endswith("install the same there\n")
        with (
            Client(here.address, set_as_default=False) as client,
            pytest.raises(ClusterError, match="joined that is of another version: seen from it"),
        ):
            list(in_order(time.sleep, [0.02] * 40, Cluster(client, here.address)))

        ended(foreign)
        with cluster(here.address) as executor:
            with pytest.raises(ClusterError, match="one task has ended several workers"):
                executor.submit(os._exit, 1).result()
            with pytest.raises(ClusterError, match="no worker for 0 seconds; start one with"):
                executor.submit(abs, 1).result()
        assert "no worker for 0 seconds" in told(*make, here.address)
        with Client(here.address, set_as_default=False) as client:
            waiting = Cluster(client, here.address).submit(abs, 1)
            ended(here.scheduler)
            with pytest.raises(ClusterError, match="the scheduler is gone; what was not finished"):
                waiting.result()
    assert not (tmp_path / "out").exists() or not left_in(tmp_path / "out")


def code_with_a_change(folder: Path) -> Path:
    """A copy of the package in which a comment differs."""
    for room in ("itembank", "exporters"):
        shutil.copytree(
            ROOT / room, folder / room, ignore=shutil.ignore_patterns("__pycache__", "*.po")
        )
    with (folder / "itembank" / "values" / "answer.py").open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    return folder


@pytest.mark.parametrize("workers", [1, 2, 32])
def test_tasks_in_flight_grow_with_the_workers(workers):
    class Many:
        pass

    executor = Many()
    executor.workers = workers

    assert ahead(executor) == max(8, PER_WORKER * workers)
