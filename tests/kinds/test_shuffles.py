"""Perfect shuffles: published numbers, and every small pack shuffled."""

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.shuffles.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

A002326 = [
    2,
    4,
    3,
    6,
    10,
    12,
    4,
    8,
    18,
    6,
    11,
    20,
    18,
    28,
    5,
    10,
    12,
    36,
    12,
    20,
    14,
    12,
    23,
    21,
    8,
]
"""OEIS A002326 from its second term on: out-shuffles of 4, 6, ..., 52 cards."""


def shuffles(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


def test_published_numbers() -> None:
    assert [shuffles(f"perfect out-shuffles of {n} cards") for n in range(4, 54, 2)] == A002326
    # M. Gardner, Mathematical Carnival, chapter 10
    assert shuffles("perfect in-shuffles of 52 cards") == 52


@pytest.mark.parametrize("n", range(4, 60, 2))
def test_a_pack_is_in_order_again_after_so_many_shuffles_and_not_before(n: int) -> None:
    for way in ("out", "in"):
        statement = f"perfect {way}-shuffles of {n} cards"
        t = shuffles(statement)
        assert decide(statement, "the value", t).status == "agreed"
        assert decide(statement, "the value", 2 * t).status == "disagreed"


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)


def test_an_odd_pack_is_refused() -> None:
    with pytest.raises(StatementError, match="expected an even number of cards"):
        problem_from(["out-shuffles of 7 cards"])
