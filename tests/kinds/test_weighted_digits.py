"""Check digits by weights: published numbers, and every error of small schemes made."""

from itertools import permutations, product

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.statement import problem_from
from itembank.kinds.weighted_digits.kind import KINDS
from itembank.second_way.table import decide
from itembank.values.answer import Absent
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples

ROUTING = (3, 7, 1) * 3
"""Routing numbers of the American Bankers Association, modulo 10."""

SERIAL = (8, 7, 6, 5, 4, 3, 2, 1)
"""ISO 3297 (ISSN), modulo 11."""

PUBLISHED = [
    ("111000025", ROUTING, 10),  # python-stdnum, stdnum/us/rtn.py
    ("03178471", SERIAL, 11),  # Library of Congress, ISSN Manual
    ("03785955", SERIAL, 11),  # Hearing Research
]


def solved(statement: str):
    return problem_from([statement]).solve().answer


@pytest.mark.parametrize(("number", "weights", "m"), PUBLISHED)
def test_a_published_number_is_found_again(number: str, weights: tuple, m: int) -> None:
    for i in range(len(number)):
        if weights[i] % 2 or m == 11:
            text = f"{number[:i]}?{number[i + 1 :]}"
            statement = f"digit for ? in {text} with weights {','.join(map(str, weights))} mod {m}"
            assert solved(statement).value == int(number[i])


def unseen(weights: tuple, m: int, changed) -> int:
    """Where no error of two digits keeps the remainder of the sum."""
    places = range(len(weights) - (changed is exchanged))
    return sum(
        all(changed(weights, i, a, b) % m for a, b in permutations(range(10), 2)) for i in places
    )


def replaced(weights, i, a, b):
    return weights[i] * (a - b)


def exchanged(weights, i, a, b):
    return (weights[i] - weights[i + 1]) * (a - b)


@pytest.mark.parametrize("m", [7, 9, 10, 11, 12, 18, 20, 97])
def test_the_errors_that_are_noticed_are_those_that_change_the_remainder(m: int) -> None:
    for weights in product((1, 2, 3, 5, 8, 12), repeat=3):
        text = ",".join(map(str, weights))
        for words, changed in (
            ("places where wrong digits are seen", replaced),
            ("pairs whose exchange is seen", exchanged),
        ):
            assert solved(f"{words} with weights {text} mod {m}").value == unseen(
                weights, m, changed
            )


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_the_second_way_agrees_and_refuses_the_next_number(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)
    answer = solved(statement)
    claim = None if isinstance(answer, Absent) else answer.value

    assert decide(statement.replace("check digit of", "digit for ? in"), "the value", claim)
    problem = problem_from([statement])
    assert decide(problem.statement, "the value", claim).status == "agreed"
    assert decide(problem.statement, "the value", (claim or 0) + 1).status == "disagreed"


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("digit for ? in 1?3 with weights 1,2,3 mod 10", "coprime to 10, got 2"),
        ("digit for ? in 1?3 with weights 1,3 mod 10", "expected 2 digits, got 1\\?3"),
        ("digit for ? in 1?3 with weights 1,3,1 mod 7", "a modulus of at least 10, got 7"),
    ],
)
def test_a_digit_that_is_not_determined_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])
