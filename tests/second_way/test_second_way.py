"""The second way against exhaustion, python-flint and theorems that give the answer outright."""

import random
from itertools import product
from math import ceil, prod

import pytest

from itembank.second_way import congruence as second
from itembank.second_way.table import check_set, check_value, decide, read, solutions

PRIME_POWERS = [(2, 1), (2, 2), (2, 5), (3, 1), (3, 3), (5, 2), (7, 2), (11, 1), (13, 2)]


def exhausted(f, m):
    """All x in range(m) with f(x) ≡ 0 (mod m), written out."""
    return [x for x in range(m) if sum(c * x**i for i, c in enumerate(f)) % m == 0]


def question(f, m):
    """f ≡ 0 (mod m) as the reader gives it."""
    return read(" + ".join(f"({c})*x^{i}" for i, c in enumerate(f)) + f" = 0 mod {m}")


def drawn(seed, largest_degree=5):
    """A polynomial, often singular: a random one, a product with repeated roots, or a multiple."""
    rng = random.Random(seed)
    p, k = rng.choice(PRIME_POWERS)
    f = [rng.randrange(-40, 41) for _ in range(rng.randrange(1, largest_degree + 1))]
    if seed % 3 == 0:
        f = [1]
        for root in rng.choices(range(3), k=rng.randrange(1, largest_degree + 1)):
            f = [a - root * b for a, b in zip([0, *f], [*f, 0], strict=True)]
        f[0] += p ** rng.randrange(k + 1)
    if seed % 5 == 0:
        f = [c * p for c in f]
    return f, p, k, rng


def moduli(seed):
    f, p, k, rng = drawn(seed)
    q, j = rng.choice([pk for pk in PRIME_POWERS if pk[0] != p])
    return f, p**k, q**j, rng


@pytest.mark.parametrize("block", range(8))
def test_the_set_that_exhaustion_finds_is_agreed_in_any_form_and_no_other_is(block):
    for seed in range(block * 250, block * 250 + 250):
        f, m, n, rng = moduli(seed)
        q, found = question(f, m * n), exhausted(f, m * n)
        whole = [(m * n, [(x, m * n) for x in found])]
        parts = [(k, [(x, k) for x in exhausted(f, k)]) for k in (n, m)]
        others = [x for x in range(m * n) if x not in set(found)]

        assert solutions(q) == tuple(found)
        assert check_set(q, whole).status == "agreed"
        assert check_set(q, parts).status == "agreed"
        if found:
            dropped = rng.choice(found)
            claim = [(m * n, [(x, m * n) for x in found if x != dropped])]
            verdict = check_set(q, claim)
            assert verdict.message == f"{dropped} is a solution, and the answer leaves it out"
        if others:
            added = rng.choice(others)
            verdict = check_set(q, [(m * n, [(x, m * n) for x in [*found, added]])])
            assert verdict.status == "disagreed"
            assert verdict.message.startswith(f"{added} is in the answer, and substituted leaves")


@pytest.mark.parametrize("block", range(4))
def test_integers_and_solvability_are_agreed_exactly_as_exhaustion_finds_them(block):
    for seed in range(block * 100, block * 100 + 100):
        f, m, n, _rng = moduli(seed)
        q, found = question(f, m * n), exhausted(f, m * n)
        right = {
            "how many": len(found),
            "the least": found[0] if found else None,
            "the largest": found[-1] if found else None,
            "whether any": bool(found),
        }
        for ask, claim in right.items():
            wrong = (not claim) if ask == "whether any" else (claim or 0) + 1
            assert check_value(q, ask, claim).status == "agreed", (f, m * n, ask)
            assert check_value(q, ask, wrong).status == "disagreed", (f, m * n, ask)


def test_the_solution_is_agreed_in_any_representative_and_only_where_it_is_the_only_one():
    # 3 · 5 = 15 ≡ 1 (mod 7); 2x ≡ 4 (mod 10) is solved by 2 and 7
    for claim, status in [(5, "agreed"), (-2, "agreed"), (12, "agreed"), (4, "disagreed")]:
        assert decide("3x = 1 mod 7", "the solution", claim).status == status
    for statement in ("2x = 4 mod 10", "2x = 3 mod 10"):
        assert decide(statement, "the solution", 2).status == "disagreed"
    assert decide("3x = 3 mod 10^9 + 7", "the solution", 1).status == "agreed"


def test_a_high_degree_is_tried_as_well():
    # Fermat: x^16 = 1 modulo 17 unless x = 0, so x^1000 = x^8
    assert decide("x^1000 = 1 mod 17", "how many", 8).status == "agreed"


# ------------------------------------------------------------ the ways for large moduli


def residues(classes, m):
    return sorted(x for r, d in classes for x in range(r, m, d))


@pytest.mark.parametrize("way", [second.by_digits, second.by_factors])
def test_branching_and_factoring_find_every_root_modulo_a_prime_power_once(way):
    for seed in range(1500):
        f, p, k, _rng = drawn(seed)
        reduced = question(f, p**k).coefficients
        assert residues(way(reduced, p, k), p**k) == exhausted(f, p**k), (f, p, k)


def test_branching_stays_small_where_the_fixed_divisor_is_large():
    # x(x - 1)...(x - 5) is divisible by 6! for every x, so by 2^4
    f = (0, -120, 274, -225, 85, -15, 1)
    assert residues(second.by_digits(f, 2, 4), 16) == list(range(16))
    assert residues(second.by_digits(f, 2, 10), 1024) == exhausted(f, 1024)


@pytest.mark.parametrize(("p", "n", "k"), [(3, 2, 40), (2, 3, 61), (199, 8, 60), (10007, 3, 50)])
def test_a_power_of_a_linear_factor_has_the_one_class_that_divisibility_gives(p, n, k):
    # p^k divides (x - 5)^n exactly when p^ceil(k/n) divides x - 5
    statement, d = f"(x - 5)^{n} = 0 mod {p}^{k}", p ** ceil(k / n)

    assert decide(statement, "all solutions", [(p**k, [(5 % d, d)])]).status == "agreed"
    assert decide(statement, "how many", p**k // d).status == "agreed"
    for wrong in ([(5 % (d * p), d * p)], [(5 % (d // p), d // p)], [(6 % d, d)], []):
        assert decide(statement, "all solutions", [(p**k, wrong)]).status == "disagreed"


def test_the_eight_fourth_roots_of_one_modulo_a_power_of_two():
    # the 2-torsion of the units modulo 2^k is {±1} x cyclic of order 2^(k-2): k = 60
    m = 2**60
    classes = [(x % (m // 4), m // 4) for x in (1, -1)]

    assert decide("x^4 = 1 mod 2^60", "all solutions", [(m, classes)]).status == "agreed"
    assert decide("x^4 = 1 mod 2^60", "how many", 8).status == "agreed"
    assert decide("x^4 = 1 mod 2^60", "the largest", m - 1).status == "agreed"
    # eight residues, the first of them a solution
    verdict = decide("x^4 = 1 mod 2^60", "all solutions", [(m, [(1, m // 8)])])
    assert verdict.message == f"x ≡ 1 (mod {m // 8}) does not solve it modulo {m}"


LARGE_PRIMES = (3333333403, 4333333343, 5333333393)


def flint_roots(f, p):
    from flint import fmpz_mod_ctx, fmpz_mod_poly_ctx

    poly = fmpz_mod_poly_ctx(fmpz_mod_ctx(p))(list(f))
    return sorted(int(root) for root, _multiplicity in poly.roots())


@pytest.mark.parametrize("seed", range(12))
def test_degree_eight_modulo_a_product_of_large_primes_is_as_flint_finds_it(seed):
    rng = random.Random(seed)
    m = prod(LARGE_PRIMES)
    planted = [rng.randrange(m) for _ in range(4)]
    f = [1]
    for root in planted:
        f = [a - root * b for a, b in zip([0, *f], [*f, 0], strict=True)]
    quartic = [rng.randrange(m) for _ in range(4)] + [1]
    f = [
        sum(f[i] * quartic[n - i] for i in range(len(f)) if 0 <= n - i < len(quartic))
        for n in range(9)
    ]
    q = question([c % m for c in f], "*".join(map(str, LARGE_PRIMES)))
    parts = [(p, [(r, p) for r in flint_roots(f, p)]) for p in LARGE_PRIMES]
    n = prod(len(classes) for _, classes in parts)

    assert check_set(q, parts).status == "agreed"
    assert check_value(q, "how many", n).status == "agreed"
    for i, (p, classes) in enumerate(parts):
        fewer = [*parts[:i], (p, classes[1:]), *parts[i + 1 :]]
        added = [*parts[:i], (p, [*classes, ((classes[0][0] + 1) % p, p)]), *parts[i + 1 :]]
        assert check_set(q, fewer).status == "disagreed"
        assert check_set(q, added).status == "disagreed"


def test_the_least_and_the_largest_of_large_classes_are_those_of_the_joined_residues():
    from sympy.ntheory.modular import crt

    f = (-4, 0, 1)  # x = ±2 modulo each prime
    joined = [int(crt(LARGE_PRIMES, signs)[0]) for signs in product((2, -2), repeat=3)]
    q = question(f, prod(LARGE_PRIMES))

    assert solutions(q) == tuple(sorted(joined))
    assert check_value(q, "the least", min(joined)).status == "agreed"
    assert check_value(q, "the largest", max(joined)).status == "agreed"
    assert check_value(q, "the least", max(joined)).status == "disagreed"
    assert check_value(q, "whether any", False).status == "disagreed"


def test_a_singular_root_modulo_a_power_of_a_large_prime_is_followed():
    p = 1_000_000_007
    # x^2 = p^2 has x = p*y with y^2 = 1 modulo p^2: y = ±1 modulo p^2, x modulo p^3 of p^4
    statement = f"x^2 = {p}^2 mod {p}^4"
    right = [(p, p**3), (p**3 - p, p**3)]

    assert decide(statement, "all solutions", [(p**4, right)]).status == "agreed"
    assert decide(statement, "all solutions", [(p**4, right[:1])]).status == "disagreed"
    assert decide(f"x^2 = {p} mod {p}^4", "how many", 0).status == "agreed"


# ------------------------------------------------------------ claims that are no answer


@pytest.mark.parametrize(
    ("parts", "message"),
    [
        ([(58, [(7, 58)])], "expected parts whose moduli have the product 117, got [58]"),
        ([(3, []), (39, [])], "expected parts with coprime moduli, got [3, 39]"),
        ([(117, [(7, 10)])], "expected residue classes modulo 117, got 7 modulo 10"),
        ([(117, [(117, 117)])], "expected residue classes modulo 117, got 117 modulo 117"),
        (
            [(117, [(7, 13), (7, 9)])],
            "expected disjoint classes, got 7 modulo 9 and 7 modulo 13",
        ),
        (
            [(117, [(7, 117), (7, 117)])],
            "expected disjoint classes, got 7 modulo 117 and 7 modulo 117",
        ),
    ],
)
def test_a_claim_that_is_no_set_of_residues_of_the_modulus_is_disagreed(parts, message):
    verdict = check_set(read("x^2 + 9x + 5 = 0 mod 117"), parts)

    assert (verdict.status, verdict.message) == ("disagreed", message)


@pytest.mark.parametrize(
    ("classes", "message"),
    [
        ([(0, 2)], "1 is a solution, and the answer leaves it out"),  # as many residues
        ([(1, 4)], "3 is a solution, and the answer leaves it out"),
        ([(0, 1)], "0 is in the answer, and substituted leaves 7 modulo 8"),
    ],
)
def test_a_class_of_the_wrong_modulus_is_disagreed_with_the_residue_that_shows_it(classes, message):
    # x^2 ≡ 1 (mod 8) is solved by the odd x: one class, 1 modulo 2
    assert decide("x^2 = 1 mod 8", "all solutions", [(8, [(1, 2)])]).status == "agreed"
    assert decide("x^2 = 1 mod 8", "all solutions", [(8, classes)]).message == message


# ------------------------------------------------------------ what cannot be decided


@pytest.mark.parametrize(
    ("statement", "ask", "message"),
    [
        ("x + = 1 mod 7", "how many", "statement 'x + = 1 mod 7'"),
        ("x^2 = 1 mod 7", "the sum", "expected an ask that can be checked, got 'the sum'"),
        ("x^150 = 3 mod 2^90", "how many", "degree 150 modulo 2^90 is beyond what is checked"),
        (
            "x^2 = 1 mod (10^40 + 121)*(10^41 + 109)",
            "how many",
            "the factor",
        ),
    ],
)
def test_what_is_beyond_the_second_way_is_unchecked_with_the_reason(statement, ask, message):
    verdict = decide(statement, ask, 2)

    assert verdict.status == "unchecked"
    assert verdict.message.startswith(message)


def test_a_modulus_too_hard_to_factor_is_decided_from_the_factors_that_the_claim_gives():
    p, q = 10**40 + 121, 10**41 + 109
    parts = [(p, [(1, p), (p - 1, p)]), (q, [(1, q), (q - 1, q)])]

    assert decide(f"x^2 = 1 mod {p * q}", "all solutions", parts).status == "agreed"
    assert decide(f"x^2 = 1 mod {p * q}", "all solutions", [parts[0], (q, [(1, q)])]).message == (
        f"expected 2 solutions modulo {q}, the answer holds 1"
    )
    assert decide(f"x^2 = 1 mod {p * q}", "how many", 4).status == "unchecked"


def test_the_method_says_in_words_what_was_done():
    by_trial = decide("x^2 + 9x + 5 = 0 mod 117", "how many", 4)
    claim = [(3**40, [(0, 3**20)]), (999983, [(0, 999983)])]
    by_counting = decide("x^2 = 0 mod 3^40*999983", "all solutions", claim)

    assert str(by_trial.method) == "all 117 residues were tried"
    assert str(by_counting.method) == (
        "classes substituted: 2; roots counted: classes modulo 3^40: 1 (by digits), "
        "1 modulo 999983 (by sympy)"
    )
