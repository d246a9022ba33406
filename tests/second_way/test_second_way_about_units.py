"""The second way for units modulo m against definitions written out here, and large claims.

`tests/kinds/test_about_residues.py` holds the solvers against it; here it is held against what
needs no solver, and wrong claims must be refused.
"""

from itertools import count
from math import factorial, gcd
from typing import Any

import pytest

from itembank.second_way.table import decide, read
from itembank.second_way.units import is_no_power, is_order, order_by_multiplying, units_counted
from itembank.values.errors import StatementError

P = 10**19 + 51


def agreed(statement: str, ask: str, claim: Any) -> bool:
    verdict = decide(statement, ask, claim)
    assert verdict.status != "unchecked", verdict
    return verdict.status == "agreed"


def powers(a: int, m: int) -> list[int]:
    """1, a, a^2, ... until a power repeats."""
    found = []
    value = 1 % m
    while value not in found:
        found.append(value)
        value = value * a % m
    return found


@pytest.mark.parametrize("m", range(1, 40))
def test_inverses_orders_and_indices_are_agreed_exactly_as_the_definition_has_them(m: int) -> None:
    for a in range(m):
        inverses = [y for y in range(m) if a * y % m == 1 % m]
        assert agreed(f"inverse of {a} mod {m}", "whether any", bool(inverses))
        for y in range(m):
            assert agreed(f"inverse of {a} mod {m}", "the value", y) == (y in inverses)
        if gcd(a, m) == 1:
            t = next(t for t in count(1) if pow(a, t, m) == 1 % m)
            assert agreed(f"order of {a} mod {m}", "the value", t)
            assert not agreed(f"order of {a} mod {m}", "the value", 2 * t)
            cycle = powers(a, m)
            for b in range(m):
                k = cycle.index(b) if b in cycle else None
                assert agreed(f"index of {b} base {a} mod {m}", "the value", k)
                assert not agreed(f"index of {b} base {a} mod {m}", "the value", t)
        else:
            assert agreed(f"order of {a} mod {m}", "the value", None)


@pytest.mark.parametrize("m", [1, 2, 4, 6, 7, 8, 9, 12, 15, 18, 25, 27, 31, 49, 50, 60])
def test_primitive_roots_are_agreed_exactly_as_their_powers_show(m: int) -> None:
    units = {a for a in range(m) if gcd(a, m) == 1}
    roots = [a for a in units if set(powers(a, m)) == units]

    assert agreed(f"primitive roots mod {m}", "all solutions", [(m, [(a, m) for a in roots])])
    assert agreed(f"primitive roots mod {m}", "how many", len(roots))
    assert agreed(f"number of primitive roots mod {m}", "the value", len(roots))
    assert agreed(f"least primitive root mod {m}", "the value", min(roots, default=None))
    assert agreed(f"is there a primitive root mod {m}", "whether any", bool(roots))
    for a in range(m):
        assert agreed(f"is {a} a primitive root mod {m}", "whether any", a in roots)


@pytest.mark.parametrize("m", [1, 2, 7, 12, 36, 101])
def test_powers_and_factorials_are_those_written_out(m: int) -> None:
    for a in range(-3, 8):
        for e in (0, 1, 2, 7, 30):
            assert agreed(f"({a})^{e} mod {m}", "the value", a**e % m)
            assert m == 1 or not agreed(f"({a})^{e} mod {m}", "the value", a**e % m + 1)
    for b, c, d in [(2, 3, 2), (3, 2, 2), (0, 0, 3), (5, 0, 0), (1, 9, 9)]:
        assert agreed(f"{b}^({c}^{d}) mod {m}", "the value", b ** (c**d) % m)
    for n in range(0, 45):
        assert agreed(f"{n}! mod {m}", "the value", factorial(n) % m)


@pytest.mark.parametrize(
    ("a", "b", "m"), [(3, 5, 17), (2, 2, 15), (4, 4, 17), (1, 3, 28), (6, 5, 14)]
)
def test_exponents_are_those_that_trying_finds(a: int, b: int, m: int) -> None:
    n = sum(gcd(x, m) == 1 for x in range(m))
    for c in range(m):
        found = [x for x in range(n) if a * b**x % m == c]
        statement = f"{a} * {b}^x = {c} mod {m}"
        assert agreed(statement, "all solutions", [(n, [(x, n) for x in found])])
        assert agreed(statement, "how many", len(found))
        assert agreed(statement, "the least", min(found, default=None))
        assert agreed(statement, "whether any", bool(found))
        if found:
            assert not agreed(statement, "all solutions", [(n, [(x, n) for x in found[1:]])])


LARGE = [
    (f"inverse of 3 mod {P}", "the value", pow(3, -1, P)),
    ("inverse of 6 mod 3^40", "the value", None),
    (f"3^(10^30) mod {P}", "the value", pow(3, 10**30, P)),
    (f"3^(-12345) mod {P}", "the value", pow(3, -12345, P)),
    (f"order of 2 mod {P}", "the value", P - 1),
    ("order of 2 mod 3^40", "the value", 2 * 3**39),
    (f"least primitive root mod {P}", "the value", 2),
    ("number of primitive roots mod 3^40", "the value", 2 * 3**38),
    ("is there a primitive root mod 8*3^40", "whether any", False),
    (f"index of {pow(2, 10**18 + 7, P)} base 2 mod {P}", "the value", 10**18 + 7),
    ("index of 5 base 3 mod 2^64", "the value", None),
    (f"{P - 3}! mod {P}", "the value", -pow(2, -1, P) % P),
    (f"{P - 1}! mod {P}", "the value", P - 1),
    (f"5^x = {pow(5, 10**18, P)} mod {P}", "all solutions", [(P - 1, [(10**18, None)])]),
    ("3^x = 5 mod 2^64", "all solutions", [(2**63, [])]),
]


@pytest.mark.parametrize(("statement", "ask", "claim"), LARGE, ids=[c[0][:40] for c in LARGE])
def test_a_true_claim_about_large_numbers_is_agreed_and_a_false_one_is_not(
    statement: str, ask: str, claim: Any
) -> None:
    if isinstance(claim, list) and claim[0][1]:
        n, ((k, _none),) = claim[0]
        t = next(d for d in divisors_from_below(n) if pow(5, d, P) == 1)
        assert agreed(statement, ask, [(n, [(k % t, t)])])
        assert not agreed(statement, ask, [(n, [((k + 1) % t, t)])])
        return
    assert agreed(statement, ask, claim)
    if isinstance(claim, bool):
        assert not agreed(statement, ask, not claim)
    elif isinstance(claim, int):
        assert not agreed(statement, ask, claim + 1)


def divisors_from_below(n: int) -> list[int]:
    from sympy import divisors

    return [int(d) for d in divisors(n)]


def test_an_order_is_proved_by_its_certificate_and_no_multiple_of_it_is() -> None:
    assert is_order(2, P - 1, P)
    assert not is_order(2, 2 * (P - 1), P)
    assert not is_order(4, P - 1, P)
    assert order_by_multiplying(2, P) is None
    assert order_by_multiplying(2, 4) == 0


def test_units_are_counted_one_by_one_and_beyond_that_from_primes() -> None:
    assert [units_counted(n) for n in (1, 2, 12, 99991)] == [1, 1, 4, 99990]
    assert units_counted(3**40) == 2 * 3**39


def test_a_number_is_no_power_if_it_is_none_modulo_a_divisor() -> None:
    assert is_no_power(5, 3, 2**64)
    assert not is_no_power(9, 3, 2**64)


@pytest.mark.parametrize(
    "statement",
    [
        "inverse of x mod 7",
        "order of 3 mod 0",
        "index of 2 base 2 mod 4",
        "primitive root mod 7 or so",
    ],
)
def test_what_cannot_be_read_is_refused_and_unchecked(statement: str) -> None:
    with pytest.raises(StatementError):
        read(statement)
    assert decide(statement, "the value", 1).status == "unchecked"
