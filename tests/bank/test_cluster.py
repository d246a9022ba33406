"""The scheduler of a cluster in place of the executor of this machine, with no code for it.

The cluster is a real one of two processes, which reach neither the bank nor the folder of the
packages: work goes out, and comes back, as values.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from distributed import Client, LocalCluster

from itembank.bank import open_bank
from itembank.spec import Pool
from itembank.terms import draw, export

TERM = "2027-spring"
FORMATS = ("qti21", "cc13")
ENTRIES = (
    "  - {family: linear-one-solution, variants: 40}\n"
    "  - {family: square-roots-two-primes, variants: 20, choose: 2, form: select one}\n"
)


@contextmanager
def cluster(folder: Path) -> Iterator[Client]:
    """A scheduler and two workers, which are gone in the end."""
    with (
        LocalCluster(
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
            local_directory=str(folder),
        ) as found,
        Client(found) as client,
    ):
        yield client


def exported(pool: Pool, executor=None) -> dict[str, bytes]:
    """What a term leaves in a folder of its own, by file; paths are relative ones."""
    out = Path("shared" if executor else "alone")
    out.mkdir()
    bank = open_bank(str(out / "bank.db"), create=True)
    draw.draw(bank, pool, TERM, executor=executor)
    export.export(bank, pool.id, TERM, out, FORMATS, executor=executor)
    return {path.name: path.read_bytes() for path in out.iterdir() if path.name != "bank.db"}


def test_a_cluster_draws_exports_and_audits_what_one_process_does(pool_of, tmp_path, monkeypatch):
    pool = pool_of(ENTRIES)
    monkeypatch.chdir(tmp_path)
    alone = exported(pool)

    with cluster(tmp_path / "scratch") as client:
        client.run(os.chdir, "/")
        processes = client.run(os.getpid)
        shared = exported(pool, client.get_executor())
        loaded = client.run(
            lambda: {"itembank.pipeline.compose", "exporters.qti2"} <= set(sys.modules)
        )

    assert shared == alone
    assert len(alone) == len(FORMATS) + 1
    assert len(processes) == 2 and all(loaded.values())
    for process in processes.values():
        with pytest.raises(ProcessLookupError):
            os.kill(process, 0)
