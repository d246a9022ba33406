"""The one table of kinds of problem.  A new kind is one folder and its lines here."""

from collections.abc import Callable, Sequence
from typing import Any

from itembank.kinds import one_unknown
from itembank.kinds.base import Problem
from itembank.kinds.check_digits import kind as check_digits
from itembank.kinds.check_digits.kind import IbanDigits, IbanTest, IsbnDigit, IsbnTest
from itembank.kinds.factorial import kind as factorial
from itembank.kinds.factorial.kind import FactorialModulo
from itembank.kinds.index import kind as index
from itembank.kinds.index.kind import ExponentialCongruence, IndexModulo, PowerByIndices
from itembank.kinds.inverse import kind as inverse
from itembank.kinds.inverse.kind import InverseModulo
from itembank.kinds.lifting_step import kind as lifting_step
from itembank.kinds.lifting_step.kind import LiftingStep
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.linear_pair import kind as linear_pair
from itembank.kinds.linear_pair.kind import LinearPair
from itembank.kinds.order import kind as order
from itembank.kinds.order.kind import OrderModulo
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.power import kind as power
from itembank.kinds.power.kind import PowerModulo, TowerModulo
from itembank.kinds.power_root.kind import PowerRoot
from itembank.kinds.primitive_root import kind as primitive_root
from itembank.kinds.primitive_root.kind import (
    LeastPrimitiveRoot,
    PrimitiveRootCount,
    PrimitiveRootExistence,
    PrimitiveRoots,
    PrimitiveRootTest,
)
from itembank.kinds.solution_count import kind as solution_count
from itembank.kinds.solution_count.kind import SolutionCount
from itembank.kinds.square_test import kind as square_test
from itembank.kinds.square_test.kind import SquareTest
from itembank.kinds.squares import kind as squares
from itembank.kinds.squares.kind import (
    NumberOfQuadraticResidues,
    NumberOfSquares,
    QuadraticResidues,
    Squares,
)
from itembank.kinds.symbol import kind as symbol
from itembank.kinds.symbol.kind import SymbolValue
from itembank.kinds.system import kind as system
from itembank.kinds.system.kind import System
from itembank.kinds.totient import kind as totient
from itembank.kinds.totient.kind import CarmichaelLambda, EulerPhi
from itembank.kinds.units import kind as units
from itembank.kinds.units.kind import Inverses, NumberOfZeroDivisors, Units, ZeroDivisors
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature

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
