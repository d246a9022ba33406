"""Which variants a pool gets does not depend on who works them out; bands and near twins."""

import threading
from collections.abc import Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from itertools import count, islice
from multiprocessing import get_context

import pytest
from hypothesis import given
from hypothesis import strategies as st

from itembank import making, selection
from itembank.draw import Effort
from itembank.errors import DrawError
from itembank.problems.kinds import SIGNATURES
from itembank.selection import Band, Standing, apart, band_of, in_order
from itembank.spec import FamilyShelf, find_families, library, load_pool


@pytest.fixture(scope="module")
def pool():
    shelf = FamilyShelf(find_families([library() / "families"]), SIGNATURES)
    return load_pool(library() / "pools" / "lifting-homework.yaml", shelf)


class AtOnce(Executor):
    """The least that has the interface of an executor."""

    def submit(self, fn, /, *args, **kwargs):
        future: Future = Future()
        future.set_result(fn(*args, **kwargs))
        return future


@contextmanager
def executor_named(name: str) -> Iterator[Executor]:
    if name == "at once":
        yield AtOnce()
    elif name == "threads":
        with ThreadPoolExecutor(3) as executor:
            yield executor
    else:
        with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as executor:
            yield executor


@pytest.mark.parametrize("name", ["at once", "threads", "processes"])
def test_what_is_drawn_and_written_does_not_depend_on_the_executor(pool, tmp_path, name):
    for folder in ("alone", "shared"):
        (tmp_path / folder).mkdir()
    formats = ("qti21", "cc13")
    alone = making.make(pool, "2027-spring", tmp_path / "alone", formats)
    with executor_named(name) as executor:
        shared = making.make(pool, "2027-spring", tmp_path / "shared", formats, executor=executor)

    assert [report for _w, report in shared.packages] == [report for _w, report in alone.packages]
    for path in (tmp_path / "alone").iterdir():
        assert path.read_bytes() == (tmp_path / "shared" / path.name).read_bytes()


def test_a_family_that_runs_out_does_so_with_an_executor_too(pool):
    entry = next(e for e in pool.entries if e.family.id == "singular-root")
    with ThreadPoolExecutor(2) as executor:
        alone, shared = (
            list(selection.stream_of(entry.family, pool, "s", e)) for e in (None, executor)
        )

    assert [v.parameters for v in alone] == [v.parameters for v in shared]


# ------------------------------------------------------------ in order


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
    assert len(submitted) <= 5 + selection.AHEAD


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


# ------------------------------------------------------------ choosing


def test_fresh_variants_come_before_rested_ones_and_refused_ones_never(pool):
    entry = next(e for e in pool.entries if e.family.id == "singular-root")
    every = list(selection.stream_of(entry.family, pool, "s"))
    rested = {v.name for v in every[::3]}
    refused = {v.name for v in every[1::3]}

    def record(variant):
        if variant.name in refused:
            return Standing("used")
        return Standing(fresh=variant.name not in rested)

    wanted = len(every) - len(refused)
    stream = selection.stream_of(entry.family, pool, "s")
    found = [v.name for v in selection.chosen(stream, wanted, pool, {}, record)]

    fresh = [v.name for v in every if v.name not in rested | refused]
    assert found == fresh + [v.name for v in every[::3]]
    with pytest.raises(DrawError) as error:
        stream = selection.stream_of(entry.family, pool, "s")
        list(selection.chosen(stream, wanted + 1, pool, {}, record))
    assert str(error.value) == (
        f"pool lifting-homework: family singular-root: expected {wanted + 1} variants, it has "
        f"{wanted} left (passed over: {len(refused)} x used); widen its parameters or ask for fewer"
    )


efforts = st.builds(Effort, st.integers(1, 12), st.integers(1, 4), st.integers(0, 2))


@given(st.lists(efforts, min_size=1, max_size=30), efforts)
def test_no_band_of_the_same_width_holds_more(found, spread):
    band = band_of(found, spread)

    held = sum(map(band.holds, found))
    for low in found:
        top = Effort(
            low.steps + spread.steps, low.digits + spread.digits, low.singular + spread.singular
        )
        assert sum(map(Band(low, top).holds, found)) <= held
    assert band.most.steps - band.least.steps == spread.steps


@given(
    st.lists(st.lists(st.sampled_from("abcdefgh"), max_size=3), min_size=1, max_size=12),
    st.integers(1, 4),
)
def test_parts_hold_everything_once_and_keep_twins_together(signs, choose):
    things = list(enumerate(signs))
    try:
        parts = apart(things, lambda thing: thing[1], choose, "f")
    except DrawError:
        return

    assert sorted(thing for part in parts for thing in part) == things
    assert len(parts) in (1, choose)
    if choose > 1:
        for i, part in enumerate(parts):
            for other in parts[i + 1 :]:
                assert not {s for t in part for s in t[1]} & {s for t in other for s in t[1]}
        if len(parts) == 1:
            alone = [set(s) for s in signs]
            assert not any(a & b for i, a in enumerate(alone) for b in alone[i + 1 :])
