"""Questions that no amount of work would decide: each is left, with the reason, and soon.

The limit is of work, so that a question is decided on every machine or on none; the seconds
below only end a test that would never end.  The moduli are made of Mersenne primes, 2^p - 1
with p = 521, 607, 1279, 2203 (OEIS A000043).
"""

import signal

import pytest

from itembank.second_way.budget import FACTORED_BITS, MODULUS_BITS
from itembank.second_way.primes import prime_powers
from itembank.second_way.table import decide, read, solutions
from itembank.values.errors import StatementError

M521, M607, M1279, M2203 = (2**p - 1 for p in (521, 607, 1279, 2203))
HARD = M1279 * M607
"""A product of two primes, of 1886 binary digits, and given as one number: who could factor it?"""

PRIMES = [p for p in range(65_537, 68_000) if all(p % d for d in range(2, 261))]
"""Primes just above 2^16."""

PRODUCT = "*".join(map(str, PRIMES[:200]))


@pytest.fixture(autouse=True)
def _ends():
    def too_long(*_signal):
        raise AssertionError("expected an answer within the budget of work, got none in 20 s")

    before = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(20)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize(
    ("statement", "ask"),
    [
        ("x^2 = 4 mod {m}", "how many"),
        ("x^2 = 4 mod {m}", "the least"),
        ("3x = 6 mod {m}", "whether any"),
        ("x^65537 = 5 mod {m}", "how many"),
        ("number of solutions of x^2 = 1 mod {m}", "the value"),
        ("phi({m})", "the value"),
        ("lambda({m})", "the value"),
        ("number of primitive roots mod {m}", "the value"),
        ("is there a primitive root mod {m}", "whether any"),
        ("2*3^x = 5 mod {m}", "how many"),
        ("index of 5 base 3 mod {m}", "the value"),
        ("number of squares mod {m}", "the value"),
        ("is 2 a square mod {m}", "whether any"),
        ("(3/{m})", "the value"),
        ("number of zero divisors mod {m}", "the value"),
        ("7^(3^(5^6)) mod {m}", "the value"),
    ],
)
def test_a_modulus_of_two_large_primes_is_left_unchecked_with_the_limit(statement, ask):
    verdict = decide(statement.format(m=HARD), ask, 7)

    assert verdict.status == "unchecked"
    assert verdict.message == (
        "a factor of the modulus is composite and has 1886 binary digits;"
        f" at most {FACTORED_BITS} are searched for factors"
    )


@pytest.mark.parametrize("function", ["phi", "lambda"])
def test_the_factors_that_a_question_writes_out_are_enough(function):
    # phi and lambda of a product of two primes: (p - 1)(q - 1) and lcm(p - 1, q - 1)
    p, q = M1279, M607
    whole = (p - 1) * (q - 1)
    both_even = {"phi": 1, "lambda": gcd_by_division(p - 1, q - 1)}[function]

    assert decide(f"{function}({p}*{q})", "the value", whole // both_even).status == "agreed"
    assert decide(f"{function}({p}*{q})", "the value", whole + 2).status == "disagreed"


def gcd_by_division(a: int, b: int) -> int:
    return a if b == 0 else gcd_by_division(b, a % b)


def test_a_modulus_of_many_written_factors_is_split_by_each_of_them():
    # each factor written used to double the number of pieces
    m = 1
    for p in PRIMES[:200]:
        m *= p
    assert prime_powers(m, tuple(PRIMES[:200])) == tuple((p, 1) for p in PRIMES[:200])
    assert decide(f"5x = 1 mod {'*'.join(map(str, PRIMES[:60]))}", "how many", 1).status == (
        "agreed"
    )


@pytest.mark.parametrize(
    ("statement", "ask", "reason"),
    [
        ("x^2 = 1 mod 7^1500", "how many",
         f"the modulus has 4212 binary digits, at most {MODULUS_BITS} are checked"),
        ("order of 2 mod 7^1500", "the value", "the modulus has 4212 binary digits"),
        ("2*3^x = 5 mod 7^1500", "how many", "the modulus has 4212 binary digits"),
        (f"x^3 + 2x = 5 mod {M2203}", "how many",
         "roots modulo a prime of 2203 binary digits, 1024 are the most"),
        (f"x^60 + x + 1 = 0 mod {M521}*{M607}", "how many",
         "finding roots modulo powers of a number of 521 bits"),
        (f"x^30 + x = 1 mod {PRODUCT}", "how many", "trying the residues modulo each prime power"),
        ("x^60 - x^59 + x^58 = 0 mod 2^4000", "how many", "branching on digits modulo 2^4000"),
        ("number of squares mod 2^4000", "the value", "counting the square roots of 1"),
        (f"x^{'7' * 1900} = 5 mod {PRODUCT}", "how many", "raising the residues"),
    ],
)  # fmt: skip
def test_work_without_end_is_left_unchecked_with_what_is_too_large(statement, ask, reason):
    verdict = decide(statement, ask, 7)

    assert verdict.status == "unchecked"
    assert verdict.message.startswith(reason)


def test_a_number_that_no_list_can_hold_has_no_solutions_listed():
    assert solutions(read(f"2*3^x = 5 mod {HARD}")) is None
    assert solutions(read(f"x^2 = 4 mod {HARD}")) is None


def test_a_polynomial_that_takes_too_long_to_multiply_out_is_refused():
    with pytest.raises(StatementError, match="products of coefficients") as caught:
        read("+".join(f"(x + 1)^{n}" for n in range(999, 700, -1)) + " = 0 mod 7")
    assert "\n" not in str(caught.value)
    assert decide("(x + 1)^990 = 0 mod 7", "how many", 1).status == "agreed"
