"""What is drawn, written and reported does not depend on who shares the work."""

import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from itertools import count, islice
from multiprocessing import get_context
from pathlib import Path
from zipfile import ZipFile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.pipeline import making, selection
from itembank.pipeline.candidates import BATCH
from itembank.spec import library, load_pool
from itembank.values import sharing
from itembank.values.errors import DrawError, ExportError
from itembank.values.sharing import TOGETHER, in_order
from itembank.values.vocabulary import PROFILES
from tests.audit.test_mutants import mutated
from tests.exporters import samples
from tests.shipped import FAMILIES

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}


@pytest.fixture(scope="module")
def pool():
    return load_pool(library() / "pools" / "lifting-homework.yaml", FAMILIES)


class AtOnce(Executor):
    """The least that has the interface of an executor."""

    def submit(self, fn, /, *args, **kwargs):
        future: Future = Future()
        future.set_result(fn(*args, **kwargs))
        return future


@pytest.fixture(scope="module")
def processes() -> Iterator[Executor]:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as executor:
        yield executor


@contextmanager
def executor_named(name: str, processes: Executor) -> Iterator[Executor]:
    if name == "threads":
        with ThreadPoolExecutor(3) as executor:
            yield executor
    else:
        yield AtOnce() if name == "at once" else processes


BOTH = ("qti21", "cc13")


@pytest.fixture(scope="module")
def alone(pool, tmp_path_factory) -> tuple[Path, making.Made]:
    """A folder with what nobody shares the making of, and what is told of it."""
    folder = tmp_path_factory.mktemp("alone")
    return folder, making.make(pool, "2027-spring", folder, BOTH)


@pytest.mark.parametrize("name", ["at once", "threads", "processes"])
def test_the_main_job_gives_the_same_bytes_whoever_shares_it(
    pool, tmp_path, alone, processes, name
):
    folder, made = alone
    with executor_named(name, processes) as executor:
        shared = making.make(pool, "2027-spring", tmp_path, BOTH, executor=executor)

    assert [report for _w, report in shared.packages] == [report for _w, report in made.packages]
    assert {path.name for path in tmp_path.iterdir()} == {path.name for path in folder.iterdir()}
    for path in folder.iterdir():
        assert path.read_bytes() == (tmp_path / path.name).read_bytes()


def test_items_composed_anew_for_each_package_are_the_same(pool, tmp_path, processes, monkeypatch):
    for folder in ("held", "anew"):
        (tmp_path / folder).mkdir()
    making.make(pool, "2027-spring", tmp_path / "held", ("qti21",))
    monkeypatch.setattr(making, "HELD", 0)
    making.make(pool, "2027-spring", tmp_path / "anew", ("qti21",), executor=processes)

    for path in (tmp_path / "held").iterdir():
        assert path.read_bytes() == (tmp_path / "anew" / path.name).read_bytes()


# ------------------------------------------------------------ packages

MANY = tuple(
    replace(item, provenance=replace(item.provenance, index=n))
    for n in range(TOGETHER // 2)
    for item in (samples.INTEGER, samples.LIST, samples.LIST_ANY_ORDER, samples.TRUE_FALSE)
)
"""Items that every format carries, for more lots than there are processes."""


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("profile", PROFILES)
def test_every_format_is_written_and_audited_alike(tmp_path, processes, format, profile):
    release = samples.release(samples.group(*MANY), samples.group(samples.COUNT))
    alone, shared = tmp_path / "alone" / "p.zip", tmp_path / "shared" / "p.zip"
    for path in (alone, shared):
        path.parent.mkdir()

    written = write_package(format, release, alone, profile=profile)

    assert write_package(format, release, shared, None, None, profile, processes) == written
    assert shared.read_bytes() == alone.read_bytes()
    report = audit_package(alone)
    assert len(report.items) == len(MANY) + 1
    assert audit_package(alone, processes) == report


@pytest.mark.parametrize("format", ["qti21", "cc13"])
def test_what_is_wrong_with_a_package_is_told_alike(pool, tmp_path, processes, format):
    whole, spoilt = tmp_path / "whole.zip", tmp_path / "spoilt.zip"
    write_package(format, making.released(pool, "2027-spring"), whole)
    mutated(whole, spoilt, format, 0)
    with ZipFile(spoilt, "a") as package:
        package.writestr("stray.txt", "stray")

    report = audit_package(spoilt)

    assert {r.status for r in report.items} == {"disagreed", "unchecked"}
    assert report.package_findings
    assert audit_package(spoilt, processes) == report


def test_what_may_not_pass_is_refused_alike(tmp_path, processes):
    """In the middle of a lot, and an item that stands in two lots."""
    wrong = replace(samples.INTEGER, scoring=replace(samples.INTEGER.scoring, points=3))
    for items in ((*MANY[:20], wrong, *MANY[20:]), (*MANY, MANY[0])):
        told = []
        for executor in (None, processes):
            with pytest.raises(ExportError) as refused:
                release = samples.release(samples.group(*items))
                write_package("qti21", release, tmp_path / "p.zip", executor=executor)
            told.append(str(refused.value))

        assert told[0] == told[1]
        assert "qti21: item item-" in told[0]
    assert list(tmp_path.iterdir()) == []


def test_a_family_that_runs_out_does_so_with_an_executor_too(pool):
    entry = next(e for e in pool.entries if e.family.id == "singular-root")
    with ThreadPoolExecutor(2) as executor:
        alone, shared = (
            list(selection.stream_of(entry.family, pool, "s", e)) for e in (None, executor)
        )

    assert [v.parameters for v in alone] == [v.parameters for v in shared]


# ------------------------------------------------------------ processes

WAITING = """
from itembank.cli.arguments import workers

if __name__ == "__main__":
    with workers(2) as executor:
        print(sorted(executor.map(abs, range(-20, 0)))[0], flush=True)
        input()
"""


def test_workers_end_when_the_process_that_started_them_is_killed(tmp_path):
    """All of them hold the standard output, so its end is seen once the last is gone."""
    script = tmp_path / "waiting.py"
    script.write_text(WAITING, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, script], stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=ENVIRONMENT
    ) as process:
        assert process.stdout.readline() == b"1\n"
        process.kill()
        assert process.communicate(timeout=60) == (b"", None)


# ------------------------------------------------------------ in order


@settings(deadline=None)
@given(st.lists(st.integers(), max_size=40))
def test_results_come_in_the_order_of_the_tasks(tasks):
    with ThreadPoolExecutor(4) as executor:
        assert list(in_order(lambda x: x * x, tasks, executor)) == [x * x for x in tasks]


def test_tasks_may_be_endless_and_few_wait():
    submitted = []

    class Counting(AtOnce):
        def submit(self, fn, /, *args, **kwargs):
            submitted.append(args)
            return super().submit(fn, *args, **kwargs)

    assert list(islice(in_order(abs, count(), Counting()), 5)) == [0, 1, 2, 3, 4]
    assert len(submitted) <= 5 + sharing.AHEAD


@pytest.mark.parametrize(("all_wanted", "at_once"), [(False, sharing.AHEAD), (True, 100)])
def test_where_all_results_are_wanted_all_workers_have_work_at_once(all_wanted, at_once):
    submitted = []

    class Many(AtOnce):
        workers = 100 // sharing.PER_WORKER

        def submit(self, fn, /, *args, **kwargs):
            submitted.append(args)
            return super().submit(fn, *args, **kwargs)

    assert next(in_order(abs, range(300), Many(), all_wanted=all_wanted)) == 0
    assert len(submitted) == at_once


def test_a_draw_tries_few_parameter_sets_more_than_it_needs(pool):
    """It tried eight batches ahead to the end, whatever was still lacking."""
    tried = []

    class Counting(AtOnce):
        def submit(self, fn, /, *args, **kwargs):
            tried.append(args)
            return super().submit(fn, *args, **kwargs)

    entry = pool.entries[0]
    for wanted in (1, 40):
        tried.clear()
        alone, shared = (
            selection.stream_of(entry.family, pool, "s", executor)
            for executor in (None, Counting())
        )
        drawn = [list(selection.chosen(one, wanted, pool, {})) for one in (alone, shared)]
        assert [v.name for v in drawn[0]] == [v.name for v in drawn[1]]
        assert -(-alone.attempts // BATCH) <= len(tried) <= alone.attempts // BATCH + 3


def test_items_of_several_groups_are_composed_together(pool):
    """Each result was waited for before the next group was begun."""
    waiting = []

    class Later(Future):
        def result(self, timeout=None):
            waiting.append(len(given) - len(waiting))
            return super().result(timeout)

    given = []

    class Counting(AtOnce):
        def submit(self, fn, /, *args, **kwargs):
            given.append(Later())
            given[-1].set_result(fn(*args, **kwargs))
            return given[-1]

    parts = [
        part
        for entry in pool.entries[:3]
        for part in making.parts_of(entry, pool, "2027-spring", {}, making.unheard, None)
    ]

    shared = making.groups_of(parts, pool, Counting())

    assert waiting[0] == len(given) >= 3
    assert [tuple(g.items) for g in shared] == [
        tuple(g.items) for g in making.groups_of(parts, pool, None)
    ]


def test_held_items_are_packed(pool):
    """Those of the other processes, which are only passed on."""
    parts = making.parts_of(pool.entries[0], pool, "2027-spring", {}, making.unheard, None)
    (part,) = parts
    alone, shared = (
        making.groups_of([part], pool, executor)[0].items for executor in (None, AtOnce())
    )

    assert tuple(shared) == alone
    assert sum(map(len, shared.packed)) < len(pickle.dumps(alone)) / 3


def test_an_error_comes_through_and_nothing_runs_on():
    running = threading.Semaphore(0)
    done = []

    def work(n: int) -> int:
        if n == 0:
            running.acquire()
            raise DrawError("no")
        running.release()
        threading.Event().wait(0.05)
        done.append(n)
        return n

    with ThreadPoolExecutor(2) as executor:
        with pytest.raises(DrawError):
            list(in_order(work, range(3), executor))
        left = len(done)
        assert left >= 1
    assert len(done) == left
