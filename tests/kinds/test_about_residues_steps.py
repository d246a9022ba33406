"""Derivations about squares, symbols, units, phi and check digits: the steps are those of the
method, with true numbers."""

import pytest
from cypari import pari
from residue_samples import statements

from itembank.kinds.base import Step
from itembank.kinds.check_digits.iban.steps import Rearrange, Remainder
from itembank.kinds.statement import problem_from
from itembank.kinds.symbol.steps import Euler, Rewrite
from itembank.kinds.units.steps import InverseRows, NegateRows, Partners, Strike

METHODS = [
    ("squares mod 13", ["SquareTable"]),
    ("squares mod 360", ["SplitModulus", *["LocalSquares"] * 3, "MultiplyCounts"]),
    ("quadratic residues mod 97", ["LocalSquares"]),
    ("number of squares mod 1000", ["SplitModulus", *["LocalSquares"] * 2, "MultiplyCounts"]),
    ("number of squares mod 101", ["LocalSquares"]),
    ("is 2 a square mod 15", ["SplitModulus", "OddPrime", "Verdict"]),
    ("is 12 a square mod 72", ["SplitModulus", "TwoPower", "OddPower", "Verdict"]),
    ("is 10 a square mod 15", ["SplitModulus", "OddPrime", "ZeroLocal", "Verdict"]),
    ("is 207 a square mod 251", ["OddPrime", "Verdict"]),
    ("(3/7)", ["Flip", "ReduceTop", "SquareTop", "Conclude", "Euler"]),
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


def kronecker(a: int, n: int) -> int:
    return int(pari.kronecker(a, n))


def test_each_rule_keeps_the_symbol_up_to_its_factor() -> None:
    for statement in statements("symbol", 400):
        rules = [step for step in steps(statement) if isinstance(step, Rewrite)]
        for rule, following in zip(rules, [*rules[1:], None], strict=True):
            after = rule.after
            assert kronecker(rule.a, rule.n) == rule.factor * (kronecker(*after) if after else 1)
            assert after == ((following.a, following.n) if following else None)


@pytest.mark.parametrize("statement", ["(3/7)", "(5/199)", "(-42/61)", "(2/103)"])
def test_the_squarings_of_eulers_criterion_are_powers_and_multiply_to_the_value(
    statement: str,
) -> None:
    euler = one(Euler, statement)
    product = 1
    for e, value in euler.squarings:
        assert value == pow(euler.r, e, euler.p)
        product *= value if euler.exponent & e else 1

    assert product % euler.p == euler.value % euler.p


@pytest.mark.parametrize("m", [8, 12, 15, 30, 49, 60])
def test_what_is_struck_out_and_what_stays_are_all_residues_once(m: int) -> None:
    step = one(Strike, f"units mod {m}")
    struck = [a for _p, multiples in step.struck for a in multiples]

    assert sorted([*struck, *step.left]) == list(range(m))
    assert all(a % p == 0 for p, multiples in step.struck for a in multiples)


@pytest.mark.parametrize("m", [4, 12, 45, 60])
def test_every_zero_divisor_has_a_partner_that_is_not_zero(m: int) -> None:
    step = one(Partners, f"zero divisors mod {m}")

    assert all(0 < b < m and a * b % m == 0 for a, _d, b in step.rows)
    assert len(step.rows) == step.count


@pytest.mark.parametrize("m", [5, 12, 16, 35])
def test_inverses_are_found_up_to_half_and_the_others_by_sign(m: int) -> None:
    found, others = one(InverseRows, f"inverses mod {m}"), one(NegateRows, f"inverses mod {m}")

    assert all(2 * a <= m for a, _b in found.rows) and all(2 * a > m for a, _b in others.rows)
    assert {(m - a, m - b) for a, b in others.rows} == set(found.rows)


@pytest.mark.parametrize("statement", statements("iban_test", 40) + statements("iban_digits", 40))
def test_letters_are_the_numbers_that_stand_in_the_long_number(statement: str) -> None:
    step, pieces = one(Rearrange, statement), one(Remainder, statement)

    assert all(int(c, 36) == number for c, number in step.letters)
    written = "".join(str(int(c.replace("?", "0"), 36)) for c in step.moved)
    assert written == step.digits
    assert pieces.remainder == int(step.digits) % 97
    assert all(p.number % 97 == p.remainder and p.number < 10**9 for p in pieces.pieces)
