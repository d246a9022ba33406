"""The second way for squares, symbols, units, phi and check digits, against definitions written
out here, and large claims.

`tests/kinds/test_about_residues.py` holds the solvers against it; here it is held against
what needs no solver, and wrong claims must be refused.
"""

from math import gcd
from typing import Any

import pytest

from itembank.second_way.table import decide, read
from itembank.values.errors import StatementError

P = 10**19 + 51


def agreed(statement: str, ask: str, claim: Any) -> bool:
    verdict = decide(statement, ask, claim)
    assert verdict.status != "unchecked", verdict
    return verdict.status == "agreed"


def whole(m: int, residues: set[int]) -> list[tuple[int, list[tuple[int, int]]]]:
    return [(m, [(x, m) for x in sorted(residues)])]


@pytest.mark.parametrize("m", [*range(1, 40), 60, 64, 81, 97, 105, 200])
def test_squares_are_agreed_exactly_as_they_are_written_out(m: int) -> None:
    written = {x * x % m for x in range(m)}
    coprime = {x * x % m for x in range(m) if gcd(x, m) == 1}
    for words, found in (("squares", written), ("quadratic residues", coprime)):
        assert agreed(f"{words} mod {m}", "all solutions", whole(m, found))
        assert agreed(f"{words} mod {m}", "the largest", max(found))
        assert agreed(f"number of {words} mod {m}", "the value", len(found))
        assert not agreed(f"number of {words} mod {m}", "the value", len(found) + 1)
        if m > 2:
            missing = set(sorted(found)[1:])
            assert not agreed(f"{words} mod {m}", "all solutions", whole(m, missing))
    for a in range(m):
        assert agreed(f"is {a} a square mod {m}", "whether any", a in written)
        assert not agreed(f"is {a} a square mod {m}", "whether any", a not in written)


@pytest.mark.parametrize("n", [1, 3, 5, 7, 9, 15, 21, 45, 77, 105, 121, 331])
def test_symbols_are_agreed_exactly_as_the_squares_have_them(n: int) -> None:
    for a in range(-5, n + 5):
        expected = 1
        for p in (p for p in range(3, n + 1, 2) if all(p % d for d in range(2, p))):
            rest = n
            while rest % p == 0:
                rest //= p
                squares = {x * x % p for x in range(1, p)}
                expected *= 0 if a % p == 0 else 1 if a % p in squares else -1
        for claim in (-1, 0, 1):
            assert agreed(f"({a}/{n})", "the value", claim) == (claim == expected)


@pytest.mark.parametrize(
    ("a", "n", "value"),
    # Cohen, A Course in Computational Algebraic Number Theory, Definition 1.4.8
    [(1, 0, 1), (-1, 0, 1), (2, 0, 0), (-3, -1, -1), (3, -1, 1), (3, 2, -1), (7, 2, 1), (4, 2, 0),
     (5, 8, -1), (-5, -3, -1)],
)  # fmt: skip
def test_kroneckers_symbol_is_agreed_as_it_is_defined(a: int, n: int, value: int) -> None:
    for claim in (-1, 0, 1):
        assert agreed(f"kronecker ({a}/{n})", "the value", claim) == (claim == value)


@pytest.mark.parametrize("m", [*range(1, 31), 36, 49, 60, 100, 301, 420])
def test_units_and_zero_divisors_are_agreed_exactly_as_products_show(m: int) -> None:
    units = {a for a in range(m) if any(a * b % m == 1 % m for b in range(m))}
    divisors = {a for a in range(1, m) if any(a * b % m == 0 for b in range(1, m))}

    assert agreed(f"units mod {m}", "all solutions", whole(m, units))
    assert agreed(f"zero divisors mod {m}", "all solutions", whole(m, divisors))
    assert agreed(f"zero divisors mod {m}", "whether any", bool(divisors))
    assert agreed(f"number of zero divisors mod {m}", "the value", len(divisors))
    assert agreed(f"phi({m})", "the value", len(units))
    pairs = [(a, b) for a in range(m) for b in range(m) if a * b % m == 1 % m]
    assert agreed(f"inverses mod {m}", "all solutions", pairs)
    assert not agreed(f"inverses mod {m}", "all solutions", pairs[1:])
    if m > 2:
        assert not agreed(f"inverses mod {m}", "all solutions", [(1, 1)] * len(pairs))
        assert not agreed(f"units mod {m}", "all solutions", whole(m, units - {1}))
        assert not agreed(f"zero divisors mod {m}", "all solutions", whole(m, divisors | {0}))


@pytest.mark.parametrize("n", [1, 2, 8, 15, 16, 36, 97, 100, 561, 720])
def test_lambda_is_agreed_exactly_as_the_powers_show(n: int) -> None:
    units = [a for a in range(n) if gcd(a, n) == 1]
    found = next(e for e in range(1, n + 1) if all(pow(a, e, n) == 1 % n for a in units))

    assert agreed(f"lambda({n})", "the value", found)
    assert not agreed(f"lambda({n})", "the value", 2 * found)


@pytest.mark.parametrize(
    ("statement", "ask", "claim", "right"),
    [
        (f"(2/{P})", "the value", -1, True),
        (f"(2/{P})", "the value", 1, False),
        (f"({P}/3^30)", "the value", 1, True),
        (f"is 4 a square mod {P}", "whether any", True, True),
        (f"is {P} a square mod {P}^2", "whether any", False, True),
        (f"number of squares mod {P}", "the value", (P + 1) // 2, True),
        # Stangl, Counting squares in Z_n: floor(2^n/6) + 2, and (3^(n+1) + 7)/8 for odd n
        ("number of squares mod 2^30", "the value", 2**30 // 6 + 2, True),
        ("number of squares mod 3^15", "the value", (3**16 + 7) // 8, True),
        ("number of squares mod 3^15", "the value", (3**16 + 7) // 8 - 1, False),
        (f"number of quadratic residues mod 2^50*{P}", "the value", 2**46 * (P - 1), True),
        (
            f"number of zero divisors mod 2^50*{P}",
            "the value",
            2**50 * P - 1 - 2**49 * (P - 1),
            True,
        ),
        (f"phi(2^50*{P})", "the value", 2**49 * (P - 1), True),
        (f"phi(2^50*{P})", "the value", 2**50 * (P - 1), False),
        ("lambda(2^50)", "the value", 2**48, True),
        ("lambda(2^50)", "the value", 2**49, False),
    ],
)
def test_large_claims_are_decided(statement: str, ask: str, claim: Any, right: bool) -> None:
    assert agreed(statement, ask, claim) == right


def test_lists_that_are_too_long_are_unchecked() -> None:
    for statement in ("squares mod 10^12", "units mod 10^12"):
        verdict = decide(statement, "all solutions", [(10**12, [(1, 10**12)])])
        assert verdict.status == "unchecked"


def test_check_digits_are_agreed_exactly_as_the_standards_have_them() -> None:
    for digit in range(11):
        assert agreed("isbn 0-306-40615-?", "the value", digit) == (digit == 2)
        assert agreed("isbn 0-8044-2957-?", "the value", digit) == (digit == 10)
    for value in range(100):
        iban = "iban GB?? WEST 1234 5698 7654 32"
        assert agreed(iban, "the value", value) == (value == 82)
    assert agreed("isbn 9780306406157", "whether any", True)
    assert agreed("isbn 9780306406158", "whether any", False)
    assert agreed("isbn 9770306406150", "whether any", False)  # the sum is 90, the prefix is none
    assert agreed("iban GB82 WEST 1234 5698 7654 32", "whether any", True)
    assert agreed("iban QM12 1234 5678 9?", "the value", None)


@pytest.mark.parametrize("statement", ["(3/8)", "isbn 12", "iban 12", "phi(0)", "squares mod 0"])
def test_statements_that_are_none_are_refused(statement: str) -> None:
    with pytest.raises(StatementError):
        read(statement)
    assert decide(statement, "the value", 1).status == "unchecked"
