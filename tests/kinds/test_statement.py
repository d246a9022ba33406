"""Congruences as people type them, back again, and the whole message where they cannot be read."""

from itertools import product
from math import gcd
from random import Random

import pytest

from itembank.kinds.congruence import shift_class, unit_multiple
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.values.errors import StatementError
from tests.kinds.congruences import general

Poly = tuple[int, ...]


# ------------------------------------------------------------ as people type them


@pytest.mark.parametrize(
    ("typed", "left", "right", "modulus", "letter"),
    [
        ("x^2 + 3x + 8 = 0 mod 36", (8, 3, 1), (), 36, "x"),
        ("x**2+3*x+8=0 mod 36", (8, 3, 1), (), 36, "x"),
        ("x² + 3x + 8 ≡ 0 (mod 36)", (8, 3, 1), (), 36, "x"),
        ("x^2 + 3x + 8 == 0 modulo 36", (8, 3, 1), (), 36, "x"),
        ("  X^2=2   mod 7 ", (0, 0, 1), (2,), 7, "X"),
        ("3x^3 - x ≡ 5 (mod 49)", (0, -1, 0, 3), (5,), 49, "x"),
        ("5 = 3x^3 - x mod 49", (5,), (0, -1, 0, 3), 49, "x"),
        ("2*x**2 = 1 mod 7*11^2", (0, 0, 2), (1,), 847, "x"),
        ("t^2 − 4 = 0 mod 12", (-4, 0, 1), (), 12, "t"),
        ("(n - 2)(n + 3) = 0 mod 12", (-6, 1, 1), (), 12, "n"),
        ("n(n + 1)^2 = 4n mod 12", (0, 1, 2, 1), (0, 4), 12, "n"),
        ("-(x - 1)^2 = -3 mod 11", (-1, 2, -1), (-3,), 11, "x"),
        ("x · x = 4 mod 2^3 · 5", (0, 0, 1), (4,), 40, "x"),
        ("x^2 = 7^2 mod 10^3 + 9", (0, 0, 1), (49,), 1009, "x"),
        ("(x + 1)^(2^2) = 0 mod 9", (1, 4, 6, 4, 1), (), 9, "x"),
        ("x^2 = x^2 mod 9", (0, 0, 1), (0, 0, 1), 9, "x"),
        ("x^2 = 0 mod 1", (0, 0, 1), (), 1, "x"),
    ],
)
def test_a_polynomial_congruence_is_read(
    typed: str, left: Poly, right: Poly, modulus: int, letter: str
) -> None:
    assert general(typed) == PolynomialCongruence(
        left=left, right=right, modulus=modulus, letter=letter
    )


@pytest.mark.parametrize(
    ("typed", "left", "right", "modulus"),
    [
        ("3x = 6 mod 15", (0, 3), (6,), 15),
        ("3*x ≡ 6 (mod 15)", (0, 3), (6,), 15),
        ("3x + 4 = x - 2 mod 9", (4, 3), (-2, 1), 9),
        ("2(x - 1) = 6 mod 15", (-2, 2), (6,), 15),
        ("x = 5 mod 3", (0, 1), (5,), 3),
        ("0x = 3 mod 5", (), (3,), 5),
    ],
)
def test_a_congruence_of_degree_one_is_linear(
    typed: str, left: Poly, right: Poly, modulus: int
) -> None:
    assert problem_from([typed]) == LinearCongruence(left=left, right=right, modulus=modulus)


def test_a_statement_reads_back_as_an_equal_problem() -> None:
    chance = Random("statements")
    for _ in range(500):
        left, right = (
            tuple(chance.randrange(-9, 10) for _ in range(chance.randrange(0, 6))) for _ in "lr"
        )
        letter = chance.choice("xtnyfrqz")
        typed = f"{written(left, letter)} + 0{letter} = {written(right, letter)}"
        problem = problem_from(
            [f"{typed} mod {chance.randrange(1, 10 ** chance.randrange(1, 30))}"]
        )

        again = problem_from(problem.statement)

        assert again == problem
        assert again.statement == problem.statement
        assert list(map(plain.typed, problem.shown)) == list(problem.statement)


def written(f: Poly, letter: str) -> str:
    return " + ".join(f"{c}*{letter}^{i}" for i, c in enumerate(f)) or "0"


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("x^2 = 1 mod 3^4*5", "x² ≡ 1 (mod 405)"),
        ("x^2 = 1 mod 3^40", "x² ≡ 1 (mod 3⁴⁰)"),
        ("x^2 = 1 mod 12157665459056928801", "x² ≡ 1 (mod 12157665459056928801)"),
        ("0x = 3 mod 5", "0x ≡ 3 (mod 5)"),
        ("4 = 3 + 0x mod 5", "4 + 0x ≡ 3 (mod 5)"),
    ],
)
def test_a_long_modulus_is_shown_as_it_was_typed(typed: str, shown: str) -> None:
    problem = problem_from([typed])

    assert [plain.math(row) for row in problem.shown] == [shown]
    assert problem_from(problem.statement) == problem


# ------------------------------------------------------------ what cannot be read


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("", '"", column 1: expected a formula, found the end'),
        (
            "solve x^2 = 2 mod 7",
            '"solve x^2 = 2 mod 7", column 1: expected single letters, or a space between letters '
            'that are multiplied, found "solve"',
        ),
        ("x^2 = 2", "'x^2 = 2': expected a congruence with a modulus, such as x^2 = 2 mod 7"),
        (
            "x^2 + 1 mod 7",
            "'x^2 + 1 mod 7': expected one ≡ or = between two sides, such as x^2 = 2 mod 7",
        ),
        (
            "x = 1 = 2 mod 7",
            "'x = 1 = 2 mod 7': expected one ≡ or = between two sides, such as x^2 = 2 mod 7",
        ),
        (
            "x^2 < 2 mod 7",
            "'x^2 < 2 mod 7': expected one ≡ or = between two sides, such as x^2 = 2 mod 7",
        ),
        (
            "x = 2 mod 0",
            "'x = 2 mod 0': expected a modulus other than 0; modulo 0 only equal numbers are "
            "congruent",
        ),
        (
            "x = 2 mod 3 - 3",
            "'x = 2 mod 3 - 3': expected a modulus other than 0; modulo 0 only equal numbers are "
            "congruent",
        ),
        ("5 = 3 mod 7", "'5 = 3 mod 7': expected an unknown such as x, found only numbers"),
        (
            "x^2 = y mod 7",
            "'x^2 = y mod 7': expected one unknown, found x, y; write numbers for the others",
        ),
        ("x = 2 mod x", "'x = 2 mod x': expected a number, found x"),
        ("x = 2 mod 2y", "'x = 2 mod 2y': expected a number, found 2y"),
        (
            "x^y + x = 2 mod 7",
            "'x^y + x = 2 mod 7': expected one unknown, found x, y; write numbers for the others",
        ),
        ("x^-1 = 2 mod 7", "'x^-1 = 2 mod 7': expected an exponent of at least 0, got -1"),
        (
            "x/2 = 1 mod 7",
            "'x/2 = 1 mod 7': expected a polynomial with whole coefficients, found x/2",
        ),
        (
            "f(x) = 2 mod 7",
            "'f(x) = 2 mod 7': expected a polynomial with whole coefficients, found f(x)",
        ),
        (
            "gcd(x, 2) = 1 mod 7",
            "'gcd(x, 2) = 1 mod 7': expected a polynomial with whole coefficients, found gcd(x, 2)",
        ),
        (
            "±x = 1 mod 7",
            "'±x = 1 mod 7': expected a polynomial with whole coefficients, found ±x",
        ),
        (
            "x^2001 = x mod 7",
            "'x^2001 = x mod 7': the exponent 2001 is too large; degrees go up to 2000 and numbers "
            "up to 4096 bits",
        ),
        (
            "x = 2^10^9 mod 7",
            "'x = 2^10^9 mod 7': the exponent 1000000000 is too large; degrees go up to 2000 and "
            "numbers up to 4096 bits",
        ),
        (
            "x = 1 mod 2^10^9",
            "'x = 1 mod 2^10^9': the exponent 1000000000 is too large; degrees go up to 2000 and "
            "numbers up to 4096 bits",
        ),
        (
            "x = 1 mod 2^(2^10^9)",
            "'x = 1 mod 2^(2^10^9)': the exponent 1000000000 is too large; degrees go up to 2000 "
            "and numbers up to 4096 bits",
        ),
        (
            "x^1500*x^1500 = 1 mod 7",
            "'x^1500*x^1500 = 1 mod 7': the degree 3000 is above 2000",
        ),
        (
            "2^3000*2^3000 = x mod 7",
            "'2^3000*2^3000 = x mod 7': a number is longer than 4096 bits",
        ),
        (
            "(x + 1)^900 = 0 mod 7",
            "'(x + 1)^900 = 0 mod 7': multiplied out, it has 182137 characters, and at most 2000 "
            "are read; write a congruence of fewer terms",
        ),
        ("x = 2 mod", '"x = 2 mod", column 10: expected a number, a letter or "(", found the end'),
        (
            "1.5x = 2 mod 7",
            '"1.5x = 2 mod 7", column 2: expected an operator, a relation sign or the end, '
            'found "."',
        ),
        (
            "x" + "+1" * 1500 + " = 0 mod 7",
            f'"x{"+1" * 13}...": expected at most 2000 characters, got 3011',
        ),
    ],
)
def test_the_message_says_what_was_expected_and_what_was_found(typed: str, message: str) -> None:
    with pytest.raises(StatementError) as raised:
        problem_from([typed])
    assert str(raised.value) == message


# ------------------------------------------------------------ disguises and near twins


def unit_multiples(f: Poly, m: int) -> frozenset[Poly]:
    units = [u for u in range(1, m + 1) if gcd(u, m) == 1]
    return frozenset(tuple(u * c % m for c in f) for u in units)


@pytest.mark.parametrize("m", range(1, 13))
def test_two_congruences_are_disguises_exactly_if_a_unit_makes_one_the_other(m: int) -> None:
    """Every polynomial of degree at most 2 modulo m, against the orbits by exhaustion."""
    found: dict[frozenset[Poly], set[Poly]] = {}
    for f in product(range(m), repeat=3):
        found.setdefault(unit_multiples(f, m), set()).add(unit_multiple(f, m))

    assert all(len(representatives) == 1 for representatives in found.values())
    assert len({r for (r,) in found.values()}) == len(found)


def test_the_representative_is_a_unit_multiple() -> None:
    chance = Random("units")
    for _ in range(300):
        m = chance.randrange(2, 120)
        f = tuple(chance.randrange(m) for _ in range(chance.randrange(1, 6)))
        g = unit_multiple(f, m)

        assert (*g, *[0] * (len(f) - len(g))) in unit_multiples(f, m)


def test_disguises_of_a_large_congruence_are_recognised() -> None:
    chance = Random("large disguises")
    for _ in range(100):
        m = 2**20 * 3**15 * 10007
        f = tuple(
            chance.choice([1, 2**9, 3**8, 2**10 * 3**8]) * chance.randrange(m) for _ in range(4)
        )
        u = chance.choice([u for u in range(m // 2, m // 2 + 50) if gcd(u, m) == 1])

        assert unit_multiple(f, m) == unit_multiple(tuple(u * c for c in f), m)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("x^2 + 9x + 5 = 0 mod 117", "t^2 + 9t + 5 = 0 mod 117"),
        ("x^2 + 9x + 5 = 0 mod 117", "2x^2 + 18x = -10 mod 117"),
        ("x^2 + 9x + 5 = 0 mod 117", "x^2 = 108x - 5 mod 3^2*13"),
        ("2x^2 = 4 mod 6", "4x^2 = 2 mod 6"),
        ("3x = 6 mod 15", "12x = 9 mod 15"),
    ],
)
def test_a_disguise_has_the_same_canonical_form(one: str, other: str) -> None:
    assert problem_from([one]).canonical == problem_from([other]).canonical


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("x^2 + 9x + 5 = 0 mod 117", "x^2 + 9x + 5 = 0 mod 13"),
        ("x^2 + 9x + 5 = 0 mod 117", "x^2 + 9x + 6 = 0 mod 117"),
        ("2x^2 = 2 mod 6", "x^2 = 1 mod 6"),
        ("x^2 + x = 0 mod 6", "x^2 + x + 6 = 3 mod 6"),
    ],
)
def test_another_problem_has_another_canonical_form(one: str, other: str) -> None:
    assert problem_from([one]).canonical != problem_from([other]).canonical


def shifted(f: Poly, c: int, m: int) -> Poly:
    """f(x + c) mod m, by multiplying out."""
    g: Poly = ()
    for a in reversed(f):
        raised = (0, *g)
        g = tuple((c * b + r) % m for b, r in zip((*g, 0), raised, strict=True))
        g = ((g[0] + a) % m, *g[1:])
    return g


def test_a_shift_of_the_unknown_makes_a_near_twin() -> None:
    chance = Random("twins")
    for _ in range(300):
        m = chance.choice([7, 9, 12, 35, 99, 117, 10007, 10**10 + 19])
        f = tuple(chance.randrange(m) for _ in range(chance.randrange(2, 5)))
        n = len(f) - 1
        if m > 200 and gcd(n * f[-1], m) > 1:
            continue
        c, u = chance.randrange(m), chance.choice([u for u in range(1, 20) if gcd(u, m) == 1])
        twin = tuple(u * a for a in shifted(f, c, m))

        assert shift_class(f, m) == shift_class(twin, m), (f, m, c)


@pytest.mark.parametrize("m", range(2, 8))
def test_near_twins_are_exactly_the_shifts_and_their_unit_multiples(m: int) -> None:
    """Every quadratic modulo m, against the orbits by exhaustion."""
    found: dict[frozenset[Poly], set[Poly]] = {}
    for f in product(range(m), repeat=3):
        if f[2]:
            orbit = frozenset().union(*(unit_multiples(shifted(f, c, m), m) for c in range(m)))
            found.setdefault(orbit, set()).add(shift_class(f, m))

    assert all(len(representatives) == 1 for representatives in found.values())
    assert len({r for (r,) in found.values()}) == len(found)
