"""Answers about units modulo m against sympy, python-flint and PARI, each where it has them."""

from math import factorial, gcd
from random import Random

import pytest

from itembank.kinds.statement import problem_from
from itembank.values.answer import Absent, ResidueSet, Truth, Value
from tests.kinds.unit_samples import PRIMES, WITH_ROOTS, modulus, unit


def answer(statement: str) -> ResidueSet | Value | Truth | Absent:
    return problem_from([statement]).solve().answer


def value(statement: str) -> int | None:
    found = answer(statement)
    return found.value if isinstance(found, Value) else None


def test_inverses_agree_with_flint():
    from flint import nmod

    r = Random("inverses")
    for _ in range(400):
        m, a = modulus(r) + 1, r.randrange(-50, 3000)
        found = value(f"inverse of {a} mod {m}")
        expected = int(1 / nmod(a, m)) if gcd(a, m) == 1 else None
        assert found == expected, (a, m)


def test_powers_agree_with_flint():
    from flint import nmod

    r = Random("powers")
    for _ in range(400):
        m, a, e = modulus(r) + 1, r.randrange(-30, 500), r.randrange(0, 10**6)
        assert value(f"({a})^{e} mod {m}") == int(nmod(a, m) ** e), (a, e, m)


def test_towers_agree_with_the_power_written_out():
    r = Random("towers")
    for _ in range(300):
        m = modulus(r)
        a, b, c = r.randrange(0, 40), r.randrange(0, 9), r.randrange(0, 9)
        assert value(f"{a}^({b}^{c}) mod {m}") == pow(a, b**c, m), (a, b, c, m)


@pytest.mark.parametrize(
    ("tower", "m"),
    [("3^3^3^3", 1000), ("7^7^7^7", 10**6), ("5^5^5^5", 10**5 + 3), ("6^5^4^3", 720)],
)
def test_towers_too_large_to_write_agree_with_pari(tower, m):
    """a^(e mod phi + 40 phi) for an e that is larger than any power of a prime in the modulus."""
    from cypari import pari

    def residue(entries, n):
        if n == 1:
            return 0
        if len(entries) == 1:
            return entries[0] % n
        whole = int(pari(f"eulerphi({n})"))
        above = residue(entries[1:], whole) + whole * 40
        return int(pari(f"lift(Mod({entries[0]}, {n})^{above})"))

    assert value(f"{tower} mod {m}") == residue([int(n) for n in tower.split("^")], m)


def test_factorials_agree_with_the_product_written_out():
    r = Random("factorials")
    for _ in range(400):
        p = r.choice(PRIMES)
        m = r.choice([p, p, modulus(r)])
        n = r.randrange(0, m + 3)
        assert value(f"{n}! mod {m}") == factorial(n) % m, (n, m)


def test_a_factorial_near_a_prime_of_twenty_digits_satisfies_wilson():
    p = 10**19 + 51
    for k in range(1, 12):
        found = value(f"{p - k}! mod {p}")
        for i in range(p - k + 1, p):
            found = found * i % p
        assert found == p - 1


def test_orders_agree_with_sympy():
    from sympy import n_order

    r = Random("orders")
    for _ in range(400):
        m, a = modulus(r) + 1, r.randrange(1, 3000)
        expected = n_order(a, m) if gcd(a, m) == 1 else None
        assert value(f"order of {a} mod {m}") == expected, (a, m)


def test_primitive_roots_agree_with_sympy():
    from sympy import is_primitive_root, primitive_root, totient

    r = Random("roots")
    for _ in range(120):
        m = r.choice([r.choice(WITH_ROOTS), r.randrange(3, 300)])
        least = primitive_root(m)
        assert value(f"least primitive root mod {m}") == least, m
        assert answer(f"is there a primitive root mod {m}") == Truth(least is not None)
        count = int(totient(totient(m))) if least else 0
        assert value(f"number of primitive roots mod {m}") == count
        a = unit(r, m)
        assert answer(f"is {a} a primitive root mod {m}") == Truth(bool(is_primitive_root(a, m)))


def test_indices_agree_with_sympy():
    from sympy import discrete_log

    r = Random("indices")
    for _ in range(250):
        m = modulus(r) + 1
        g = unit(r, m)
        a = pow(g, r.randrange(m), m)
        assert value(f"index of {a} base {g} mod {m}") == discrete_log(m, a, g), (a, g, m)


def test_solutions_by_indices_are_the_roots_that_sympy_finds():
    from sympy import nthroot_mod

    r = Random("by indices")
    for _ in range(200):
        p, n = r.choice(PRIMES), r.randrange(2, 12)
        c = r.randrange(1, p)
        found = answer(f"x^{n} = {c} mod {p} by indices")
        assert list(found.residues()) == (nthroot_mod(c, n, p, all_roots=True) or []), (n, c, p)


def test_a_congruence_by_indices_has_the_solutions_of_the_congruence():
    r = Random("both ways")
    for _ in range(150):
        m = r.choice(WITH_ROOTS)
        statement = f"{unit(r, m)}x^{r.randrange(1, 9)} = {unit(r, m)} mod {m}"
        assert answer(f"{statement} by indices") == answer(statement), statement
