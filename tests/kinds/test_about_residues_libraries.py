"""Answers about squares, symbols and phi against sympy, python-flint and PARI, each where it has
them."""

from random import Random

import pytest

from itembank.kinds.statement import problem_from
from itembank.values.answer import Truth


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


def test_jacobi_symbols_agree_with_flint_up_to_300_digits():
    from flint import fmpz

    r = Random("symbols")
    for digits in (3, 3, 3, 6, 20, 100, 300):
        for _ in range(60):
            n = r.randrange(1, 10**digits) | 1
            a = r.randrange(-(10**digits), 10**digits)
            assert value(f"({a}/{n})") == int(fmpz(a).jacobi(fmpz(n))), (a, n)


def test_kronecker_symbols_agree_with_pari():
    from cypari import pari

    r = Random("kronecker")
    for _ in range(1500):
        a, n = r.randrange(-300, 300), r.randrange(-300, 300)
        assert value(f"kronecker ({a}/{n})") == int(pari.kronecker(a, n)), (a, n)


def test_squares_are_told_as_pari_tells_them():
    from cypari import pari

    r = Random("is it a square")
    for _ in range(1500):
        m = r.choice([r.randrange(1, 500), r.randrange(2, 10**12), 4 ** r.randrange(9) * 3**5])
        a = r.choice([r.randrange(m), r.randrange(m) ** 2 % m])
        expected = bool(pari(f"issquare(Mod({a}, {m}))"))
        assert problem_from([f"is {a} a square mod {m}"]).solve().answer == Truth(expected), (a, m)


def test_quadratic_residues_modulo_primes_agree_with_sympy():
    from sympy import primerange
    from sympy.ntheory import quadratic_residues

    for p in primerange(3, 260):
        found = problem_from([f"squares mod {p}"]).solve().answer.residues()
        assert list(found) == sorted(quadratic_residues(p))


@pytest.mark.parametrize("name", ["phi", "lambda"])
def test_phi_and_lambda_agree_with_sympy(name):
    from sympy import reduced_totient, totient

    known = {"phi": totient, "lambda": reduced_totient}[name]
    r = Random(name)
    for _ in range(800):
        n = r.choice([r.randrange(1, 3000), r.randrange(1, 10**12), 2 ** r.randrange(1, 40) * 45])
        assert value(f"{name}({n})") == int(known(n)), n


def test_numbers_of_units_and_zero_divisors_agree_with_flint():
    from flint import fmpz

    for m in range(2, 600):
        phi = int(fmpz(m).euler_phi())
        assert problem_from([f"units mod {m}"]).solve().answer.count == phi
        assert value(f"number of zero divisors mod {m}") == m - 1 - phi


def test_inverses_in_the_table_agree_with_flint():
    from flint import nmod

    for m in range(2, 150):
        for a, b in problem_from([f"inverses mod {m}"]).solve().answer.pairs:
            assert int(1 / nmod(a, m)) == b
