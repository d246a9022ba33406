"""The one table of kinds of problem.  A new kind is one file and its lines here."""

from collections.abc import Callable, Sequence
from typing import Any

from itembank.errors import StatementError
from itembank.problems import (
    check_digits,
    factorial,
    index,
    inverse,
    lifting_step,
    linear_pair,
    one_unknown,
    order,
    power,
    primitive_root,
    solution_count,
    square_test,
    squares,
    symbol,
    system,
    totient,
    units,
)
from itembank.problems.base import Problem
from itembank.problems.check_digits import IbanDigits, IbanTest, IsbnDigit, IsbnTest
from itembank.problems.factorial import FactorialModulo
from itembank.problems.index import ExponentialCongruence, IndexModulo, PowerByIndices
from itembank.problems.inverse import InverseModulo
from itembank.problems.lifting_step import LiftingStep
from itembank.problems.linear import LinearCongruence
from itembank.problems.linear_pair import LinearPair
from itembank.problems.order import OrderModulo
from itembank.problems.polynomial import PolynomialCongruence
from itembank.problems.power import PowerModulo, TowerModulo
from itembank.problems.power_root import PowerRoot
from itembank.problems.primitive_root import (
    LeastPrimitiveRoot,
    PrimitiveRootCount,
    PrimitiveRootExistence,
    PrimitiveRoots,
    PrimitiveRootTest,
)
from itembank.problems.solution_count import SolutionCount
from itembank.problems.square_test import SquareTest
from itembank.problems.squares import (
    NumberOfQuadraticResidues,
    NumberOfSquares,
    QuadraticResidues,
    Squares,
)
from itembank.problems.symbol import SymbolValue
from itembank.problems.system import System
from itembank.problems.totient import CarmichaelLambda, EulerPhi
from itembank.problems.units import Inverses, NumberOfZeroDivisors, Units, ZeroDivisors
from itembank.vocabulary import KindSignature

KINDS: dict[str, type[Any]] = {
    kind.kind: kind
    for kind in (
        LinearCongruence,
        PolynomialCongruence,
        PowerRoot,
        SolutionCount,
        LiftingStep,
        System,
        LinearPair,
        InverseModulo,
        PowerModulo,
        TowerModulo,
        FactorialModulo,
        OrderModulo,
        PrimitiveRoots,
        LeastPrimitiveRoot,
        PrimitiveRootCount,
        PrimitiveRootExistence,
        PrimitiveRootTest,
        IndexModulo,
        ExponentialCongruence,
        PowerByIndices,
        Squares,
        QuadraticResidues,
        NumberOfSquares,
        NumberOfQuadraticResidues,
        SquareTest,
        SymbolValue,
        Units,
        ZeroDivisors,
        NumberOfZeroDivisors,
        Inverses,
        EulerPhi,
        CarmichaelLambda,
        IsbnDigit,
        IsbnTest,
        IbanDigits,
        IbanTest,
    )
}
"""Every kind, a dataclass that satisfies `Problem`, by its name."""

SIGNATURES: dict[str, KindSignature] = {name: kind.signature for name, kind in KINDS.items()}
"""What a family of each kind may say."""


Reader = Callable[[Sequence[str]], Any]
"""Gives the problem of its kind, or None where the statement has another form than its own."""

READERS: tuple[Reader, ...] = (
    check_digits.read,
    symbol.read,
    totient.read,
    squares.read,
    square_test.read,
    units.read,
    linear_pair.read,
    system.read,
    lifting_step.read,
    solution_count.read,
    inverse.read,
    order.read,
    primitive_root.read,
    index.read,
    factorial.read,
    power.read,
    one_unknown.read,
)
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
    try:
        return bool(problem.shown)
    except StatementError:
        return False
