"""Remainders of expressions: against Python's own arithmetic, the expression worked out exactly."""

from fractions import Fraction
from math import factorial, gcd
from random import Random
from typing import Any

import pytest

from itembank.kinds.remainder.kind import Remainder
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from tests.kinds.telling import rendered


def drawn(chance: Random) -> tuple[str, int]:
    """A sum of terms as it is typed, and its exact value."""
    text, value = "", 0
    for i in range(chance.randrange(1, 5)):
        sign = chance.choice("+-")
        a, b, e = chance.randrange(1, 30), chance.randrange(-20, 90), chance.randrange(2, 60)
        n = chance.randrange(0, 12)
        term, worth = chance.choice(
            [
                (str(a), a),
                (f"{a}*({b})^{e}", a * b**e),
                (f"{n}!", factorial(n)),
                (f"{n + 3}!/{n}!", factorial(n + 3) // factorial(n)),
                (f"({a} + {e})*{n}", (a + e) * n),
            ]
        )
        text += f"{sign if i or sign == '-' else ''}{term}"
        value += worth if sign == "+" else -worth
    return text, value


def test_every_expression_has_the_remainder_of_its_exact_value() -> None:
    chance = Random("remainders")
    for _ in range(1500):
        text, value = drawn(chance)
        m = chance.randrange(1, 120)
        problem = problem_from([f"{text} mod {m}"])
        answer = problem.solve().answer

        assert answer == Value(value % m, m), (text, m)
        assert problem_from(problem.statement) == problem
        assert decide(problem.statement, "the value", value % m).status == "agreed"
        assert decide(problem.statement, "the value", (value + 1) % m).status == (
            "disagreed" if m > 1 else "agreed"
        )


def test_a_fraction_is_its_top_times_the_inverse_of_its_bottom() -> None:
    chance = Random("fractions")
    for _ in range(500):
        a, b, c, m = (chance.randrange(1, 40) for _ in range(4))
        answer = problem_from([f"{a}/{b} + {c} mod {m}"]).solve().answer
        found = Fraction(a, b) + c
        if isinstance(answer, Absent):
            assert gcd(b, m) > 1 and a % b
        else:
            assert (found.denominator * answer.value - found.numerator) % m == 0


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("17 mod 5", "17 = 3 · 5 + 2, and 2 is less than 5."),
        ("-17 mod 5", "−17 = −4 · 5 + 3: the quotient is rounded down"),
        ("3 mod 7", "3 is a least residue modulo 7 already."),
        ("20!/10! mod 101", "The factors 1 to 10 cancel: 20!/10! = 11 · 12 · … · 20."),
        ("20!/10! mod 11", "One of these factors is a multiple of 11"),
        ("1/2 + 3 mod 4", "shares the factor 2 with 4"),
    ],
)
def test_the_working_says_how(statement: str, said: str) -> None:
    problem = problem_from([statement])
    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert said in text


def test_a_family_gives_terms_and_leaves_out_what_is_zero() -> None:
    given: dict[str, Any] = {
        "factors": (2, 0, -1),
        "bases": (7, 3, -2),
        "exponents": (222, 5, 3),
        "modulus": 11,
    }
    problem = Remainder.from_given(given)

    assert problem.statement == ("2 * 7^222 - (-2)^3 mod 11",)
    assert problem.solve().answer == Value((2 * 7**222 - (-2) ** 3) % 11, 11)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"bases": (7,)}, "given.factors: expected 1 to 6 factors and as many bases"),
        ({"exponents": (-1, 2)}, "given.exponents: expected exponents of at least 0, got -1"),
        ({"modulus": 0}, "given.modulus: expected a modulus of at least 1, got 0"),
    ],
)
def test_what_a_family_may_not_give(change: dict[str, object], message: str) -> None:
    given: dict[str, Any] = {
        "factors": (2, 3),
        "bases": (7, 5),
        "exponents": (4, 2),
        "modulus": 11,
        **change,
    }
    with pytest.raises(StatementError, match=message):
        Remainder.from_given(given)


@pytest.mark.parametrize(
    ("statement", "slip", "value"),
    [
        ("2*3^20 + 1 mod 11", "exponent-reduced-modulo-m", (2 * 3 ** (20 % 11) + 1) % 11),
        ("2*3^20 + 1 mod 11", "base-times-exponent", (2 * 3 * 20 + 1) % 11),
        ("2*3^20 + 1 mod 11", "factor-raised", (6**20 + 1) % 11),
        ("2*3^20 - 4 mod 11", "sign-lost", (2 * 3**20 + 4) % 11),
        ("-17 mod 5", "sign-lost", 17 % 5),
        ("2*3^20 - 4 mod 11", "last-term-left-out", 2 * 3**20 % 11),
    ],
)
def test_a_slip_is_the_expression_altered(statement: str, slip: str, value: int) -> None:
    problem = problem_from([statement])
    found = {n: s.answer for s in problem.slips(problem.solve()) for n in s.names}

    assert found[slip] == (value,)
