"""Derivations about squares, symbols, units, phi and check digits: the steps are those of the
method, with true numbers."""

import pytest

from itembank.kinds.base import Step
from itembank.kinds.check_digits.iban.steps import Rearrange, Remainder
from itembank.kinds.statement import problem_from
from tests.kinds.residue_samples import statements

METHODS = [
    ("squares mod 13", ["SquareTable"]),
    ("squares mod 360", ["SplitModulus", *["LocalSquares"] * 3, "MultiplyCounts"]),
    ("quadratic residues mod 97", ["LocalSquares"]),
    ("number of squares mod 1000", ["SplitModulus", *["LocalSquares"] * 2, "MultiplyCounts"]),
    ("number of squares mod 101", ["LocalSquares"]),
    ("is 2 a square mod 15", ["SplitModulus", "OddPrime", "Verdict"]),
    ("is 12 a square mod 72", ["SplitModulus", "TwoPower", "OddPower", "Verdict"]),
    ("is 10 a square mod 15", ["SeenSquare", "Verdict"]),
    ("is 15 a square mod 35", ["SplitModulus", "ZeroLocal", "OddPrime", "Verdict"]),
    ("is 207 a square mod 251", ["OddPrime", "Verdict"]),
    ("(3/7)", ["Flip", "ReduceTop", "SquareTop", "Conclude"]),
    ("(2/7)", ["TakeOutTwos", "Conclude", "RootFound"]),
    ("(-1/7)", ["MinusOne", "Conclude", "Euler"]),
    ("(-2/53)", ["TakeOutMinus", "TakeOutTwos", "Conclude"]),
    ("(45/77)", ["Flip", "ReduceTop", "TakeOutTwos", "Conclude", "ByDefinition"]),
    ("(-1/93)", ["MinusOne", "Conclude", "ByDefinition"]),
    ("(22/11)", ["ReduceTop", "CommonFactor", "Conclude"]),
    ("(5/1)", ["One", "Conclude"]),
    ("kronecker (101/4)", ["Kronecker", "Conclude"]),
    ("units mod 12", ["FactorModulus", "Strike", "CountUnits"]),
    ("zero divisors mod 12", ["FactorModulus", "Partners", "CountUnits", "CountZeroDivisors"]),
    ("zero divisors mod 7", ["FactorModulus", "CountUnits", "CountZeroDivisors"]),
    ("number of zero divisors mod 12", ["FactorModulus", "CountUnits", "CountZeroDivisors"]),
    ("inverses mod 12", ["FactorModulus", "InverseRows", "NegateRows"]),
    ("phi(36)", ["FactorNumber", "LocalValues", "Combine", "ByFormula"]),
    ("phi(97)", ["FactorNumber", "LocalValues"]),
    ("lambda(561)", ["FactorNumber", "LocalValues", "Combine", "Exponent"]),
    ("isbn 030640615?", ["Weigh", "SolveForDigit", "Complete"]),
    ("isbn 0306406152", ["Weigh", "Divide"]),
    ("iban QM?? 1234", ["Rearrange", "Remainder", "CheckDigits", "Complete"]),
    ("iban QM84 0?0", ["Rearrange", "Remainder", "SolveForDigit", "Complete"]),
    ("iban QM84 090", ["Rearrange", "Remainder", "Verdict"]),
]


def steps(statement: str) -> tuple[Step, ...]:
    return problem_from([statement]).solve().steps


def one(kind: type[Step], statement: str):
    (found,) = [step for step in steps(statement) if isinstance(step, kind)]
    return found


@pytest.mark.parametrize(("statement", "names"), METHODS, ids=[m[0] for m in METHODS])
def test_the_steps_are_those_of_the_method(statement: str, names: list[str]) -> None:
    assert [type(step).__name__ for step in steps(statement)] == names


@pytest.mark.parametrize("statement", statements("iban_test", 40) + statements("iban_digits", 40))
def test_letters_are_the_numbers_that_stand_in_the_long_number(statement: str) -> None:
    step, pieces = one(Rearrange, statement), one(Remainder, statement)

    assert all(int(c, 36) == number for c, number in step.letters)
    written = "".join(str(int(c.replace("?", "0"), 36)) for c in step.moved)
    assert written == step.digits
    assert pieces.remainder == int(step.digits) % 97
    assert all(p.number % 97 == p.remainder and p.number < 10**9 for p in pieces.pieces)
