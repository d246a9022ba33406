"""Polynomial congruences against exhaustion, planted roots, FLINT and PARI.

Exhaustion is Horner's rule in this file; where the modulus is too large to try every
residue, each class of the answer is substituted by finite differences and the roots are
counted by another library or by theory. None of it is code of ours.
"""

from collections import Counter
from itertools import product
from math import gcd, isqrt, prod
from random import Random

import pytest

from itembank.kinds.base import Solution
from itembank.kinds.polynomial.kind import KINDS, PolynomialCongruence
from itembank.kinds.polynomial.steps import (
    ChainLift,
    Constant,
    DivideOut,
    Isolate,
    LevelLift,
    RootsModPrime,
    Splitting,
    Square,
    TreeLift,
    Trial,
    ZeroProduct,
)
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.values.answer import LISTED, Class, ResidueSet, TooMany
from itembank.values.errors import StatementError
from tests.kinds.congruences import general
from tests.kinds.telling import rendered

Poly = tuple[int, ...]
"""Coefficients, constant term first."""

SMALL_PRIMES = [p for p in range(2, 5000) if all(p % d for d in range(2, isqrt(p) + 1))]


def value(f: Poly, x: int) -> int:
    v = 0
    for c in reversed(f):
        v = v * x + c
    return v


def tried(f: Poly, m: int) -> tuple[int, ...]:
    """The solutions by exhaustion, Horner's rule for each residue."""
    leading_first = [c % m for c in reversed(f)]
    found = []
    for x in range(m):
        v = 0
        for c in leading_first:
            v = (v * x + c) % m
        if not v:
            found.append(x)
    return tuple(found)


def times(f: Poly, g: Poly) -> Poly:
    h = [0] * (len(f) + len(g) - 1)
    for (i, a), (j, b) in product(enumerate(f), enumerate(g)):
        h[i + j] += a * b
    return tuple(h)


def power(f: Poly, n: int) -> Poly:
    return prod_of([f] * n)


def prod_of(factors: list[Poly]) -> Poly:
    g: Poly = (1,)
    for f in factors:
        g = times(g, f)
    return g


def solved(f: Poly, m: int, factors: tuple[int, ...] = ()) -> Solution[ResidueSet]:
    return congruence(f, m, factors).solve()


def congruence(f: Poly, m: int, factors: tuple[int, ...] = ()) -> PolynomialCongruence:
    return PolynomialCongruence(left=f, right=(), modulus=m, known_factors=factors)


# ------------------------------------------------------------ against exhaustion


def any_modulus(chance: Random) -> int:
    """Most are small; some have a high power of a small prime; all are at most 5,000."""
    kind = chance.random()
    if kind < 0.55:
        return chance.randrange(1, 300)
    if kind < 0.9:
        p = chance.choice([2, 2, 3, 3, 5, 7])
        k = chance.randrange(2, 1 + next(k for k in range(20) if p ** (k + 1) > 2000))
        return p**k * chance.randrange(1, 1 + min(2000 // p**k, 12))
    if kind < 0.97:
        return chance.choice(SMALL_PRIMES) if chance.random() < 0.5 else chance.randrange(300, 1500)
    return chance.randrange(1500, 5001)


def any_polynomial(chance: Random, m: int) -> Poly:
    """Degree at most 6; more than half made to have singular roots or a leading zero divisor."""
    kind = chance.random()
    if kind < 0.3:
        return tuple(chance.randrange(-m, m + 1) for _ in range(chance.randrange(1, 8)))
    p = chance.choice([q for q in (2, 3, 5, 7) if m % q == 0] or [2])
    if kind < 0.65:  # repeated factors, a little off
        lead = chance.choice([1, 1, 1, p, chance.randrange(1, 20)])
        linear = (chance.randrange(m), lead)
        f = times(power(linear, chance.choice([2, 2, 3])), (chance.randrange(m), 1))
        off = chance.choice([0, 0, p, p**2, p**3, chance.randrange(m)])
        return (f[0] + off, *f[1:])
    if kind < 0.85:  # coefficients with different powers of p
        return tuple(
            chance.randrange(-9, 10) * p ** chance.choice([0, 0, 1, 2, 3])
            for _ in range(chance.randrange(2, 8))
        )
    common = p ** chance.choice([1, 1, 2, 3])  # a common factor, so that it is divided out
    return tuple(common * chance.randrange(-9, 10) for _ in range(chance.randrange(2, 6)))


@pytest.mark.parametrize("part", range(10))
def test_twenty_thousand_congruences_agree_with_exhaustion(part: int) -> None:
    chance = Random(f"polynomial congruences {part}")
    seen: Counter[str] = Counter()
    for _ in range(2000):
        m = any_modulus(chance)
        f = any_polynomial(chance, m)
        expected = tried(f, m)

        solution = solved(f, m)

        assert solution.answer.residues() == expected, (f, m)
        assert solution.answer.count == len(expected)
        seen["solvable"] += bool(expected)
        seen["wide classes"] += any(d < m for _r, d in solution.answer.classes()) and m > 1
        seen["large"] += m > 1500
        seen.update(type(step).__name__ for step in solution.steps)
        seen["zero divisor leads"] += gcd(f[-1], m) not in (1, m)
    assert seen["solvable"] > 800 and seen["wide classes"] > 400 and seen["large"] > 30
    assert seen["zero divisor leads"] > 300
    assert all(seen[step.__name__] > 20 for step in (DivideOut, LevelLift, ChainLift, TreeLift))


@pytest.mark.parametrize(
    ("method", "f", "m"),
    [
        (Constant, (5, 0, 7), 7),
        (Trial, (1, 0, 1), 5),
        (Trial, (3, 1, 0, 1), 31),
        (Isolate, (3, 5, 7), 7),
        (ZeroProduct, (6, -5, 1), 7),
        (Square, (2, 3, 5), 37),
        (Square, (0, 0, 1), 7),
        (Splitting, (3, 1, 0, 1), 37),
    ],
)
def test_each_method_modulo_a_prime_agrees_with_exhaustion(method: type, f: Poly, m: int) -> None:
    solution = solved(f, m)
    (step,) = [s for s in solution.steps if isinstance(s, RootsModPrime)]

    assert isinstance(step.method, method)
    assert step.roots == solution.answer.residues() == tried(f, m)


@pytest.mark.parametrize(
    ("f", "m", "answer"),
    [
        ((), 9, ((0, 1),)),  # x^2 = x^2
        ((0, 0, 9), 9, ((0, 1),)),
        ((3, 6, 9), 3, ((0, 1),)),
        ((5,), 9, ()),  # x^2 + 5 = x^2
        ((9,), 9, ((0, 1),)),
        ((0, 0, 1), 1, ((0, 1),)),
        ((0, 0, 4), 8, ((0, 2),)),
        ((4, 0, 4), 8, ((1, 2),)),
    ],
)
def test_congruences_that_lose_their_unknown_or_their_modulus(
    f: Poly, m: int, answer: tuple[Class, ...]
) -> None:
    problem = congruence(f, m)
    solution = problem.solve()

    assert solution.answer == ResidueSet.of(m, answer)
    assert solution.answer.residues() == tried(f, m)
    assert rendered(problem.worked(solution))
    assert all(slip.answer != solution.answer.residues() for slip in problem.slips(solution))


# ------------------------------------------------------------ large primes

LARGE_PRIMES = [
    10**10 + 19,
    10**18 + 9,
    29 * 2**57 + 1,
    2**61 - 1,
    10**30 + 57,
    2**127 - 1,
    10**39 + 3,
]


def test_the_large_primes_are_prime_and_have_ten_to_forty_digits() -> None:
    sympy = pytest.importorskip("sympy", reason="a required package of ours")

    assert all(map(sympy.isprime, LARGE_PRIMES))
    assert [len(str(p)) for p in LARGE_PRIMES] == [11, 19, 19, 19, 31, 39, 40]


def drawn_modulo(p: int, count: int) -> list[tuple[Poly, list[int]]]:
    """Polynomials of degree 2 to 8, some with planted roots, some of these twice."""
    chance = Random(f"large primes {p}")
    cases = []
    for _ in range(count):
        planted = [chance.randrange(p) for _ in range(chance.randrange(4))]
        planted += planted[: chance.randrange(2)]
        rest = tuple(chance.randrange(p) for _ in range(chance.randrange(2, 5)))
        f = times(prod_of([(-r, 1) for r in planted]), (*rest, chance.randrange(1, p)))
        cases.append((f, planted))
    return cases


@pytest.mark.parametrize("p", LARGE_PRIMES)
def test_roots_modulo_a_large_prime_are_those_of_flint(p: int) -> None:
    flint = pytest.importorskip("flint", reason="python-flint checks roots modulo large primes")
    ring = flint.fmpz_mod_poly_ctx(flint.fmpz_mod_ctx(p))
    for f, planted in drawn_modulo(p, 12):
        found = solved(f, p).answer.residues()

        assert set(r % p for r in planted) <= set(found)
        assert list(found) == sorted(int(r) for r, _multiplicity in ring(list(f)).roots())


@pytest.mark.parametrize("p", LARGE_PRIMES)
def test_roots_modulo_a_large_prime_are_those_of_pari(p: int) -> None:
    pari = pytest.importorskip("cypari", reason="PARI checks roots modulo large primes").pari
    for f, planted in drawn_modulo(p, 6):
        found = solved(f, p).answer.residues()

        assert set(r % p for r in planted) <= set(found)
        assert list(found) == pari_roots(pari, f, p)


def pari_roots(pari, f: Poly, p: int) -> list[int]:
    """The distinct roots modulo p by PARI's polrootsmod."""
    roots = pari.polrootsmod(pari.Polrev(list(f)), p)
    return sorted({int(pari.lift(r)) for r in roots})


# ------------------------------------------------------------ large prime powers and composites


def vanishes_on(f: Poly, c: Class, m: int) -> bool:
    """Whether f(r + dy) is a multiple of m for every y, by n + 1 values.

    A polynomial of degree n takes only multiples of m exactly when it does at n + 1
    consecutive arguments, since its values are integer combinations of its differences
    there (Newton's forward difference formula).
    """
    r, d = c
    return all(value(f, r + d * y) % m == 0 for y in range(len(f)))


def overlap(c: Class, e: Class) -> bool:
    return (c[0] - e[0]) % gcd(c[1], e[1]) == 0


def assert_is_complete(f: Poly, answer: ResidueSet, count: int) -> None:
    """Every class solves, no two overlap, and together they hold `count` residues."""
    classes = answer.classes()
    assert all(vanishes_on(f, c, answer.modulus) for c in classes)
    assert not any(overlap(c, e) for i, c in enumerate(classes) for e in classes[:i])
    assert sum(answer.modulus // d for _r, d in classes) == answer.count == count


def roots_of_unity(n: int, p: int, k: int) -> int:
    """How many x modulo p^k, p odd, have x^n = 1: the unit group is cyclic."""
    return gcd(n, p ** (k - 1) * (p - 1))


P = 10**10 + 19
THREE = (10**10 + 19, 10**10 + 33, 10**10 + 61)


def eighth_power(p: int, k: int) -> int:
    """How many x modulo p^k have p^k | (x - r)^8: x - r is a multiple of p^ceil(k/8)."""
    return p ** (k - -(-k // 8))


LARGE: list[tuple[str, Poly, int]] = [
    ("x^2 = 0 mod 3^40", (0, 0, 1), 3**20),
    ("x^4 = 1 mod 2^60", (-1, 0, 0, 0, 1), 8),  # units: {1, -1} x cyclic of order 2^58
    ("(x - 1)^8 = 0 mod 2^50*3^30", power((-1, 1), 8), eighth_power(2, 50) * eighth_power(3, 30)),
    (f"x^2 = 1 mod {P}^60", (-1, 0, 1), 2),
    (f"x^8 = 1 mod {P}^60", (-1, *[0] * 7, 1), roots_of_unity(8, P, 60)),
    (
        f"(x - 5)^3*(x + 7)*(x - {P}) = 0 mod {P}^60",
        prod_of([power((-5, 1), 3), (7, 1), (-P, 1)]),
        P**40 + 2,
    ),
    (f"x^3 = {P}^3 mod {P}^60", (-(P**3), 0, 0, 1), P**2 * gcd(3, P - 1)),
    (f"x^2 = 2 mod {P}^60", (-2, 0, 1), 0),
    ("x^3 = x^2 mod 3^40*5", (0, 0, -1, 1), (3**20 + 1) * 2),
    ("x^84 = 1 mod 7^100", (-1, *[0] * 83, 1), roots_of_unity(84, 7, 100)),
]


@pytest.mark.parametrize(("statement", "f", "count"), LARGE, ids=[case[0][:40] for case in LARGE])
def test_large_prime_powers_are_solved_as_classes(statement: str, f: Poly, count: int) -> None:
    """The counts by theory: cyclic unit groups, and (x - r)^n where no other root is near."""
    problem = general(statement)
    solution = problem.solve()

    assert_is_complete(f, solution.answer, count)
    assert plain.blocks(rendered(problem.worked(solution)))
    assert all(slip.feedback for slip in problem.slips(solution))


def test_a_square_of_zero_is_one_class() -> None:
    answer = general("x^2 = 0 mod 3^40").solve().answer

    assert answer.classes() == ((0, 3**20),)


@pytest.mark.parametrize("seed", range(4))
def test_degree_eight_modulo_three_large_primes_agrees_with_pari(seed: int) -> None:
    pari = pytest.importorskip("cypari", reason="PARI counts roots modulo the primes").pari
    chance = Random(f"three primes {seed}")
    m = prod(THREE)
    planted = [chance.randrange(m) for _ in range(3)]
    f = times(prod_of([(-r, 1) for r in planted]), tuple(chance.randrange(1, m) for _ in range(6)))
    problem = congruence(f, m, THREE)
    solution = problem.solve()

    assert_is_complete(f, solution.answer, prod(len(pari_roots(pari, f, p)) for p in THREE))
    assert set(planted) <= set(solution.answer.residues())
    assert plain.blocks(rendered(problem.worked(solution)))


@pytest.mark.parametrize(("p", "k"), [(2, 40), (3, 30), (7, 20), (10**10 + 19, 12)])
def test_roots_modulo_a_large_power_are_those_that_pari_finds_p_adically(p: int, k: int) -> None:
    """Planted roots that PARI separates: each p-adic root gives its class modulo p^k.

    With all p-adic roots in Z_p and v the valuation of f'(r), the solutions near r are
    the class of r modulo p^(k - v), as soon as k is above twice every v.
    """
    pari = pytest.importorskip("cypari", reason="PARI finds p-adic roots").pari
    chance = Random(f"p-adic {p}")
    for _ in range(8):
        roots = [chance.randrange(p**3) for _ in range(4)]
        if len(set(roots)) < 4:
            continue
        f = prod_of([(-r, 1) for r in roots])
        slopes = [prod(r - s for s in roots if s != r) for r in roots]
        if max(valuation(s, p) for s in slopes) * 2 >= k:
            continue
        found = pari.polrootspadic(pari.Polrev(list(f)), p, k)
        expected = set()
        for root in found:
            r = int(pari.lift(root))
            v = valuation(prod(r - s for s in roots if (s - r) % p**k), p)
            expected.add((r % p ** (k - v), p ** (k - v)))

        assert set(solved(f, p**k).answer.classes()) == expected


def valuation(n: int, p: int) -> int:
    v = 0
    while n % p == 0:
        n, v = n // p, v + 1
    return v


def test_eight_roots_modulo_each_of_ten_primes_are_counted_and_not_listed() -> None:
    primes = [p for p in SMALL_PRIMES if p % 8 == 1][:10]
    m = prod(primes)
    problem = general(f"x^8 = 1 mod {'*'.join(map(str, primes))}")
    solution = problem.solve()

    assert solution.answer.count == 8**10 == solution.answer.class_count
    assert all(len(tried((-1, *[0] * 7, 1), p)) == 8 for p in primes)
    assert 1 in solution.answer and m - 1 in solution.answer and 2 not in solution.answer
    assert all(pow(r, 8, m) == 1 for r, _d in solution.answer.sample_classes(50))
    with pytest.raises(TooMany, match=f"^1073741824 classes, more than {LISTED}$"):
        solution.answer.classes()
    assert plain.blocks(rendered(problem.worked(solution)))
    assert all(len(slip.answer) <= 64 for slip in problem.slips(solution))


def test_a_modulus_of_more_primes_than_letters_has_a_worked_solution() -> None:
    primorial = prod(SMALL_PRIMES[:15])
    problem = congruence((-1, 0, 1), primorial)
    solution = problem.solve()

    assert solution.answer.count == 2**14
    assert "16384 solutions" in plain.blocks(rendered(problem.worked(solution)))


def test_a_modulus_that_cannot_be_factored_is_one_clear_error() -> None:
    p, q = 10**39 + 3, 10**40 + 121
    with pytest.raises(StatementError) as raised:
        general(f"x^2 = 1 mod {p * q}").solve()

    message = str(raised.value)
    assert message.startswith(f"x^2 = 1 mod {p * q}: ")
    assert "has no prime factor small enough to find" in message and "\n" not in message


def test_the_factors_of_a_modulus_as_typed_help_to_factor_it() -> None:
    p, q = 10**39 + 3, 2**127 - 1
    answer = general(f"x^2 = 1 mod {p}*{q}").solve().answer

    assert_is_complete((-1, 0, 1), answer, 4)


# ------------------------------------------------------------ measures


MEASURES = ("solutions", "classes", "depth", "singular_roots", "prime_powers", "degree", "digits")


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("x^2 + 9x + 5 = 0 mod 117", (4, 4, 2, 0, 2, 2, 3)),
        ("x^3 + 3x + 5 = 0 mod 27", (3, 1, 3, 1, 1, 3, 2)),
        ("x^4 = 1 mod 2^60", (8, 2, 60, 1, 1, 4, 19)),
        ("x^2 = 0 mod 1", (1, 1, 0, 0, 0, 2, 1)),
    ],
)
def test_the_profile_of_a_congruence_is_what_a_reader_counts(
    statement: str, expected: tuple[int, ...]
) -> None:
    problem = general(statement)
    measured = problem.measures(problem.solve())

    assert tuple(measured[name] for name in MEASURES) == expected
    assert set(measured) == {*MEASURES, "steps"} == set(problem.signature.measures)


def test_the_step_count_grows_with_the_work() -> None:
    def steps(statement: str) -> int:
        return general(statement).solve().effort

    assert steps("x^2 = 2 mod 7") < steps("x^2 = 2 mod 49") < steps("x^2 = 2 mod 343")
    assert steps("x^2 = 2 mod 49") < steps("x^2 = 2 mod 49*17")


# ------------------------------------------------------------ the record of the kind


@pytest.mark.parametrize("statement", [s for kind in KINDS for s in kind.samples])
def test_a_sample_is_of_the_kind(statement: str) -> None:
    (kind,) = KINDS
    problem = kind.read([statement])

    assert type(problem) is kind.problem and problem == problem_from([statement])
    assert rendered(problem.worked(problem.solve()))


@pytest.mark.parametrize("statements", [["3x = 5 mod 7"], ["x^2 = 1 mod 3", "x = 1 mod 5"]])
def test_other_statements_are_left_to_other_kinds(statements: list[str]) -> None:
    (kind,) = KINDS

    assert kind.read(statements) is None


def test_a_line_with_a_negative_shift_tells_of_no_negative_number():
    """x^2 + 17x + 9 = (x - 7)^2 - 9 modulo 31: 7 is to be added, "the shift -7" was."""
    problem = problem_from(["x^2 + 17x + 9 = 0 mod 217"])
    told = {
        (w.name, Speaker().text(w.feedback))
        for line in problem.lines(problem.solve())
        for w in line.wrong
        if w.name in ("shift-sign", "shift-forgotten")
    }

    assert ("shift-forgotten", "These are the square roots: 7 is still to be added.") in told
    assert ("shift-sign", "This comes out if 7 is subtracted: it must be added.") in told
