"""Decimal fractions: published periods, and every fraction of a small denominator written out."""

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.decimals.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

PERIODS = {7: 6, 17: 16, 19: 18, 6: 1, 12: 1, 31: 15, 2: 0}
"""OEIS A051626, A002371: the examples; 0 where the decimals end."""

A051626 = [0, 1, 0, 0, 1, 6, 0, 1, 0, 2, 1, 6, 6, 1, 0, 16, 1, 18, 0, 6, 2, 22, 1, 0, 6, 3, 6, 28]
"""OEIS A051626, the terms of 2 to 29."""


def period(a: int, b: int) -> int:
    answer = problem_from([f"period of {a}/{b}"]).solve().answer
    return 0 if isinstance(answer, Absent) else answer.value


def test_published_periods() -> None:
    assert {n: period(1, n) for n in PERIODS} == PERIODS
    assert [period(1, n) for n in range(2, 30)] == A051626


def test_the_digits_that_are_told_repeat_and_no_fewer_do() -> None:
    """Against the digits themselves, of Python's integers."""
    for b in range(2, 60):
        for a in (1, b // 2, b - 1):
            if not 0 < a < b:
                continue
            digits = str(a * 10**200 // b).rjust(200, "0")
            t = period(a, b)
            if t == 0:
                assert digits.endswith("0" * 150)
                continue
            before = problem_from([f"preperiod of {a}/{b}"]).solve().answer
            assert isinstance(before, Value)
            assert all(digits[i] == digits[i + t] for i in range(before.value, 200 - t))
            for s, u in ((before.value - 1, t), *((before.value, u) for u in range(1, t))):
                if s >= 0:
                    assert any(digits[i] != digits[i + u] for i in range(s, 200 - u)), (a, b)


def test_the_second_way_divides() -> None:
    assert decide("period of 5/28", "the value", 6).status == "agreed"
    assert decide("period of 5/28", "the value", 8).status == "disagreed"
    assert decide("period of 3/20", "the value", None).status == "agreed"
    assert decide("digits before the period of 7/600", "the value", 3).status == "agreed"
    assert decide("digits before the period of 7/600", "the value", 5).status == "disagreed"


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)


def test_fractions_that_are_not_between_0_and_1_are_refused() -> None:
    with pytest.raises(StatementError, match="a numerator from 1 to 6, got 8"):
        problem_from(["period of 8/7"])
    with pytest.raises(StatementError, match="a fraction whose decimals do not end"):
        problem_from(["preperiod of 3/20"])
