"""Steps of worked solutions whose numbers once came from nowhere, or said more than was needed."""

import pytest
from telling import rendered

from itembank.kinds.statement import problem_from
from itembank.notation import plain

TOLD = {
    "weekday of 1.3.1900": ("474 are divisible by 4, 18 by 100 and 4 by 400",),
    "primes modulo which 7 is a quadratic residue": (
        "The prime. Let p be",
        "The squares modulo 7 are, without 0, 1, 2, 4.",
    ),
}
"""What stands in the worked solution of a statement."""

UNTOLD = {
    "primes modulo which 5 is a quadratic residue": ("Split the number",),
}
"""What does not."""


def worked(statement: str) -> str:
    problem = problem_from([statement])
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


@pytest.mark.parametrize(("statement", "words"), TOLD.items(), ids=list(TOLD))
def test_the_working_is_told(statement: str, words: tuple[str, ...]) -> None:
    told = worked(statement)

    assert [w for w in words if w not in told] == [], told


@pytest.mark.parametrize(("statement", "words"), UNTOLD.items(), ids=list(UNTOLD))
def test_nothing_is_told_twice_or_for_nothing(statement: str, words: tuple[str, ...]) -> None:
    told = worked(statement)

    assert [w for w in words if w in told] == [], told
