"""Statements in plain notation, as people type them, to problems.

`x^2 + 3x + 8 = 0 mod 36`, `3x^3 - x ≡ 5 (mod 49)`, `2*x**2 = 1 mod 7*11^2`: any letter,
something on both sides, the modulus a number or a product of powers.  Each kind reads its own
statements (`kinds/table.py`); the first that knows the form answers.
"""

from collections.abc import Sequence

from itembank.kinds import table
from itembank.kinds.base import Problem
from itembank.values.errors import StatementError
from itembank.values.worded import worded


def problem_from(statements: Sequence[str]) -> Problem:
    """The problem stated; StatementError if no kind can read it.

    >>> problem_from(["3x = 6 mod 15"]).kind
    'linear'
    """
    problem = table.read(statements)
    if problem is not None:
        return problem
    raise StatementError(
        worded(
            "expected one congruence, got {n}; put it in quotes: 'x^2 = 2 mod 7'", n=len(statements)
        )
    )


def problem_of(kind: str, statements: Sequence[str]) -> Problem:
    """The problem stated, of this kind where it reads it: several may read one statement.

    >>> problem_of("polynomial", ["x^2 = 2 mod 7"]).kind
    'polynomial'
    """
    found: Problem | None = table.KINDS[kind].read(statements) if kind in table.KINDS else None
    return found or problem_from(statements)
