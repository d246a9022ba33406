"""The one table of kinds of problem.  A new kind is one folder and its line here."""

from collections.abc import Sequence

from itembank.kinds.base import Kind, Problem
from itembank.kinds.check_digits import kind as check_digits
from itembank.kinds.factorial import kind as factorial
from itembank.kinds.gcd import kind as gcd
from itembank.kinds.index import kind as index
from itembank.kinds.inverse import kind as inverse
from itembank.kinds.lifting_step import kind as lifting_step
from itembank.kinds.linear import kind as linear
from itembank.kinds.linear_pair import kind as linear_pair
from itembank.kinds.order import kind as order
from itembank.kinds.polynomial import kind as polynomial
from itembank.kinds.power import kind as power
from itembank.kinds.power_root import kind as power_root
from itembank.kinds.primitive_root import kind as primitive_root
from itembank.kinds.solution_count import kind as solution_count
from itembank.kinds.square_test import kind as square_test
from itembank.kinds.squares import kind as squares
from itembank.kinds.symbol import kind as symbol
from itembank.kinds.system import kind as system
from itembank.kinds.totient import kind as totient
from itembank.kinds.units import kind as units
from itembank.notation.reading import is_short_enough
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature

FOLDERS: tuple[tuple[Kind, ...], ...] = (
    check_digits.KINDS,
    gcd.KINDS,
    symbol.KINDS,
    totient.KINDS,
    squares.KINDS,
    square_test.KINDS,
    units.KINDS,
    linear_pair.KINDS,
    system.KINDS,
    lifting_step.KINDS,
    solution_count.KINDS,
    inverse.KINDS,
    order.KINDS,
    primitive_root.KINDS,
    index.KINDS,
    factorial.KINDS,
    power.KINDS,
    power_root.KINDS,
    linear.KINDS,
    polynomial.KINDS,
)
"""The kinds of every folder, in the order in which their readers are tried.

A form that two readers know belongs to the first: a pure power is a root, a congruence of
degree at most 1 is linear, what is left is polynomial.
"""

KINDS: dict[str, Kind] = {kind.name: kind for folder in FOLDERS for kind in folder}
"""Every kind by its name."""

SIGNATURES: dict[str, KindSignature] = {
    name: kind.problem.signature for name, kind in sorted(KINDS.items())
}
"""What a family of each kind may say."""

READERS = tuple(dict.fromkeys(kind.read for kind in KINDS.values()))
"""Tried in order."""


def read(statements: Sequence[str]) -> Problem | None:
    """The problem that the first reader to know the form reads; None if none does."""
    for reader in READERS:
        problem: Problem | None = reader(statements)
        if problem is not None:
            if not reads_back(problem):
                raise StatementError(f"{statements[0]!r}: too long when it is multiplied out")
            return problem
    return None


def reads_back(problem: Problem) -> bool:
    """Whether the statement, its products multiplied out, keeps the bounds of the notation."""
    return all(map(is_short_enough, problem.statement))
