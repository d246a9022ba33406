"""Real processes on one bank: they never draw the same, and may be killed at any moment."""

import signal
import time
from collections.abc import Sequence
from pathlib import Path

import pytest
from sqlalchemy import func, select, text

from itembank.bank import Bank, draws, entries, open_bank
from itembank.bank.schema import draws as draws_table
from itembank.bank.schema import items, terms, uses
from itembank.pipeline.selection import fits
from itembank.values.errors import BankError
from tests import measuring
from tests.forked import Forked
from tests.shipped import FAMILIES

RUN = "from itembank.cli import main; main()"

DIE = """
import os, signal, sys
from pathlib import Path
from itembank.terms import draw as drawing, export as exporting
from itembank.bank import open_bank
from itembank.kinds.table import SIGNATURES
from itembank.spec import FamilyShelf, find_families, library, load_pool

place, pool_file, moment = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3])
told = 0

def die(name):
    global told
    told += 1
    if told == moment:
        os.kill(os.getpid(), signal.SIGKILL)

pool = load_pool(pool_file, FamilyShelf(find_families([library() / "families"]), SIGNATURES))
drawing.draw(open_bank(place, create=True), pool, "2027-spring", die)
"""
"""A draw that is killed, by a signal that nothing can catch, when `moment` items are entered."""


_DRAWN = (
    "linear-one-solution", "quadratic-prime-square", "quadratic-mod-prime", "count-square-roots",
)  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def counted() -> None:
    """How many variants the families have, which each process would count for a new bank."""
    for name in _DRAWN:
        measuring.count(FAMILIES[name], fits(FAMILIES[name]))


def outcomes(processes: Sequence[Forked]) -> list[tuple[int | None, str]]:
    """The exit code of each, and what it said besides that it waits for another."""
    found = []
    for process in processes:
        _out, error = process.communicate(timeout=300)
        lines = [line for line in error.splitlines() if "is at work in this bank" not in line]
        found.append((process.returncode, "\n".join(lines)))
    return found


def drawing_processes(place: str, pools: Sequence[Path], term: str) -> list[tuple[int | None, str]]:
    """The outcome of as many processes at once as there are pools."""
    return outcomes(
        [Forked(RUN, "draw", str(pool), "--term", term, "--bank", place) for pool in pools]
    )


def used(bank: Bank) -> int:
    with bank.reading() as connection:
        return connection.scalar(select(func.count()).select_from(uses)) or 0


def assert_whole(bank: Bank, expected: dict[str, int]) -> None:
    """Every draw that is on record has all its items, and no problem is used twice."""
    with bank.reading() as connection:
        if connection.dialect.name == "sqlite":
            assert connection.scalar(text("PRAGMA integrity_check")) == "ok"
        for row in connection.execute(select(draws_table.c.id, draws_table.c.pool)).all():
            held = connection.scalar(
                select(func.count()).select_from(uses).where(uses.c.draw == row.id)
            )
            assert held == expected[row.pool]
        assert connection.scalar(select(func.count()).select_from(items)) == connection.scalar(
            select(func.count()).select_from(uses)
        )
        problems = list(connection.scalars(select(uses.c.problem)))
        assert len(problems) == len(set(problems))


# ------------------------------------------------------------ at once


def test_processes_at_once_never_draw_the_same_variant(place, pool_of):
    """Four pools of the same families with the same seed: each would draw the very same."""
    entry = (
        "  - {family: linear-one-solution, variants: 15}\n"
        "  - {family: quadratic-prime-square, variants: 15, form: list}\n"
    )
    pools = [pool_of(entry, id=f"quiz-{n}").path for n in range(4)]

    assert drawing_processes(place, pools, "2027-spring") == [(0, "")] * 4
    bank = open_bank(place)
    assert used(bank) == 120
    assert_whole(bank, {f"quiz-{n}": 30 for n in range(4)})


def test_processes_at_once_for_one_pool_and_term_draw_it_once(place, pool_of):
    pool = pool_of("  - {family: linear-one-solution, variants: 20}\n")

    assert drawing_processes(place, [pool.path] * 3, "2027-spring") == [(0, "")] * 3
    bank = open_bank(place)
    assert used(bank) == 20
    assert_whole(bank, {"quiz": 20})


def test_processes_at_once_in_several_terms_leave_every_problem_its_rest(place, pool_of):
    pool = pool_of("  - {family: linear-one-solution, variants: 12}\n")
    names = ("2027-spring", "2027-autumn", "2028-spring")
    processes = [
        Forked(RUN, "draw", str(pool.path), "--term", term, "--bank", place) for term in names
    ]

    assert outcomes(processes) == [(0, "")] * 3
    bank = open_bank(place)
    assert used(bank) == 36
    assert_whole(bank, {"quiz": 12})
    with bank.reading() as connection:
        assert set(connection.scalars(select(terms.c.name))) == set(names)


@pytest.mark.parametrize("same_term", [True, False])
def test_the_database_itself_refuses_the_same_draw_twice(bank, pool_of, same_term):
    """Without any lock: two processes that saw the same record write the same use."""
    from itembank.terms import draw as drawing

    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n", rests="0")
    drawing.draw(bank, pool, "2027-spring")
    with bank.writing() as connection:
        entries.term_id(connection, "2027-autumn")
    with bank.reading() as connection:
        first = connection.execute(select(uses)).one()

    again = {
        **first._asdict(),
        "id": None,
        "item": None,
        "term": first.term if same_term else 2,
        "times": 2 if same_term else first.times,
    }
    with pytest.raises(BankError, match=r"(?i)unique"), bank.writing() as connection:
        d = draws.begun(connection, "other", "2027-autumn", "graded", 0)
        again["draw"] = first.draw if same_term else d.record({})
        # An item of its own, as a second process would have entered.
        copy = connection.execute(select(items)).one()._asdict()
        copy |= {"id": 99, "identifier": "item-other", "fingerprint": "other"}
        connection.execute(items.insert().values(copy))
        again["item"] = 99
        del again["id"]
        connection.execute(uses.insert().values(again))


# ------------------------------------------------------------ killed

ENTRIES = (
    "  - {family: linear-one-solution, variants: 8}\n"
    "  - {family: quadratic-mod-prime, variants: 8, form: list}\n"
)


@pytest.mark.parametrize("moment", [9, 16])
def test_a_draw_that_is_killed_is_not_there_and_can_be_made_again(place, pool_of, moment):
    other = pool_of("  - {family: count-square-roots, variants: 3}\n", id="other")
    quiz = pool_of(ENTRIES)
    assert drawing_processes(place, [other.path], "2027-spring") == [(0, "")]

    process = Forked(DIE, place, str(quiz.path), str(moment))
    assert outcomes([process])[0][0] == -signal.SIGKILL

    bank = open_bank(place)
    assert used(bank) == 3
    assert_whole(bank, {"other": 3})
    assert drawing_processes(place, [quiz.path], "2027-spring") == [(0, "")]
    assert_whole(bank, {"other": 3, "quiz": 16})


def test_killed_at_whatever_moment_every_draw_is_whole_or_not_there(place, pool_of):
    """Processes that draw one pool after another, killed after ever longer times."""
    sizes = {f"quiz-{n}": 2 for n in range(12)}
    pools = [
        pool_of("  - {family: linear-one-solution, variants: 2}\n", id=name).path for name in sizes
    ]
    code = (
        "import sys; from itembank.cli import main\n"
        "for pool in sys.argv[2:]:\n"
        "    main(['draw', pool, '--term', '2027-spring', '--bank', sys.argv[1]], "
        "standalone_mode=False)\n"
    )
    for n in range(6):
        process = Forked(code, place, *map(str, pools))
        time.sleep(0.2 + 0.15 * n)
        process.send_signal(signal.SIGKILL)
        process.communicate()

        assert_whole(open_bank(place, create=True), sizes)
    assert outcomes([Forked(code, place, *map(str, pools))])[0][0] == 0
    assert used(open_bank(place)) == 24
