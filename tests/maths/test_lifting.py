"""itembank.maths.lifting against exhaustion, planted roots and published values."""

import pickle
from random import Random

import pytest

from itembank.maths.lifting import (
    Lift,
    Node,
    classes,
    levels,
    lifted_root,
    merged,
    nodes,
    regular_lifts,
    roots_mod_prime_power,
    tree,
)
from itembank.maths.polynomials import (
    Poly,
    content_valuation,
    derivative,
    product,
    reduced,
    scaled,
    shifted,
    sum_of,
    value,
    value_mod,
)
from itembank.values.answer import Class, Part

PRIME_POWERS = [
    (p, k) for p in (2, 3, 5, 7, 11, 13, 43) for k in range(1, 12) if p**k <= 2200
]  # fmt: skip
LARGE_PRIME = 10**10 + 19


def power(f: Poly, n: int) -> Poly:
    g: Poly = (1,)
    for _ in range(n):
        g = product(g, f)
    return g


def random_polynomial(chance: Random, p: int, k: int) -> Poly:
    """Mostly with singular roots: repeated linear factors, a little off, times powers of p."""
    m = p**k
    f: Poly = (1,)
    for _ in range(chance.randrange(4)):
        linear = (chance.randrange(m), chance.choice([1, 1, 1, p, chance.randrange(m)]))
        f = product(f, power(linear, chance.choice([1, 1, 2, 3])))
    off = tuple(chance.randrange(3) * p ** chance.randrange(k + 1) for _ in range(3))
    if chance.random() < 0.6:
        f = sum_of(f, off)
    return scaled(f, p ** chance.choice([0, 0, 0, 1, 2]))


def cases(count: int) -> list[tuple[Poly, int, int]]:
    chance = Random("lifting")
    drawn = [chance.choice(PRIME_POWERS) for _ in range(count)]
    return [(random_polynomial(chance, p, k), p, k) for p, k in drawn]


def tried(f: Poly, m: int) -> list[int]:
    return [x for x in range(m) if sum(c * x**i for i, c in enumerate(f)) % m == 0]


def listed(found: tuple[Class, ...], m: int) -> list[int]:
    """Every residue of every class: a residue of two classes would appear twice."""
    return sorted(x for r, d in found for x in range(r, m, d))


# ------------------------------------------------------------ the answer


def test_the_classes_hold_exactly_the_roots_found_by_exhaustion() -> None:
    with_roots = singular = 0
    for f, p, k in cases(4000):
        found = roots_mod_prime_power(f, p, k)
        expected = tried(f, p**k)

        assert listed(found, p**k) == expected, (f, p, k)
        assert Part(p**k, found).classes == found  # d | p^k, 0 <= r < d, increasing
        with_roots += bool(expected)
        singular += any(d < p**k for _, d in found)
    assert with_roots > 2000 and singular > 1000


def test_there_are_at_most_as_many_classes_as_the_degree() -> None:
    for f, p, k in cases(2000):
        content = reduced(f, p**k)
        if content:
            degree = len(reduced(tuple(c // p ** content_valuation(content, p) for c in f), p)) - 1

            assert len(roots_mod_prime_power(f, p, k)) <= degree


@pytest.mark.parametrize("f", [(), (0,), (81,), (81, 0, -162)])
def test_a_polynomial_that_is_zero_modulo_the_power_has_every_root(f: Poly) -> None:
    assert roots_mod_prime_power(f, 3, 4) == ((0, 1),)


@pytest.mark.parametrize(
    ("f", "p", "k", "expected"),
    [
        ((0, 0, 1), 3, 40, ((0, 3**20),)),
        ((0, 0, 1), 3, 41, ((0, 3**21),)),
        ((0, 0, 0, 0, 0, 1), 2, 1001, ((0, 2**201),)),
        ((-1, 0, 0, 0, 1), 2, 60, ((1, 2**58), (2**58 - 1, 2**58))),
        (power((-1, 0, 1), 3), 2, 50, ((1, 2**16), (2**16 - 1, 2**16))),
        (power((-(5**30), 1), 2), 7, 400, ((5**30, 7**200),)),
        (power((-(5**30), 1), 2), 7, 4000, ((5**30, 7**2000),)),
        (power((-123456789, 1), 8), LARGE_PRIME, 60, ((123456789, LARGE_PRIME**8),)),
        ((3**399, 0, 1), 3, 400, ()),
        ((-(3**398), 0, 1), 3, 400, ((3**199, 3**201), (3**201 - 3**199, 3**201))),
    ],
)
def test_large_singular_cases_come_out_as_few_classes(
    f: Poly, p: int, k: int, expected: tuple[Class, ...]
) -> None:
    assert roots_mod_prime_power(f, p, k) == expected


def test_the_classes_named_above_are_right() -> None:
    # by hand for the two that do not follow from unique factorisation:
    # x odd has x^4 - 1 = (x^2 + 1)(x - 1)(x + 1) with exactly 2 in x^2 + 1 and in one of
    # the others; (x^2 - 1)^3 needs 2^17 | x^2 - 1, that is 2^16 | x - 1 or x + 1
    for f, k, d in (((-1, 0, 0, 0, 1), 12, 2**10), (power((-1, 0, 1), 3), 11, 2**3)):
        assert tried(f, 2**k) == sorted({r for s in (1, -1) for r in range(s % d, 2**k, d)})


@pytest.mark.parametrize("k", [1, 2, 17, 60])
def test_eight_planted_roots_modulo_a_power_of_a_large_prime_are_found(k: int) -> None:
    chance = Random(f"planted {k}")
    m = LARGE_PRIME**k
    roots = [chance.randrange(m) for _ in range(8)]
    f: Poly = (1,)
    for r in roots:
        f = reduced(product(f, (-r, 1)), m)

    assert roots_mod_prime_power(f, LARGE_PRIME, k) == tuple(sorted((r, m) for r in roots))


def test_planted_roots_that_agree_to_a_depth_are_told_apart() -> None:
    p, k = LARGE_PRIME, 30
    a, b = 1234567, 1234567 + 89 * p**7  # (x - a)(x - b): the sum of two valuations
    f = product((-a, 1), (-b, 1))

    assert roots_mod_prime_power(f, p, k) == ((a, p ** (k - 7)), (b, p ** (k - 7)))
    assert roots_mod_prime_power(f, p, 13) == ((a, p**7),)


@pytest.mark.parametrize(
    "call",
    [
        lambda: tree((1, 1), 3, 0),
        lambda: levels((1, 1), 3, 0, 5),
        lambda: lifted_root((1, 1), 2, 3, 0),
        lambda: roots_mod_prime_power((1, 1), 3, -1),
    ],
)
def test_an_exponent_below_one_is_refused(call) -> None:
    with pytest.raises(ValueError, match="k >= 1"):
        call()


# ------------------------------------------------------------ the tree


def test_every_node_says_the_truth_about_its_class() -> None:
    for f, p, k in cases(1500):
        root = tree(f, p, k)
        assert (root.r, root.j) == (0, 0)
        for node in nodes(root):
            q = p**node.e
            at = [value(f, node.r + p**node.j * y) for y in range(p)]

            assert 0 <= node.r < p**node.j
            assert all(v % q == 0 for v in at)
            if node.e == k:
                assert (node.g, node.digits, node.children) == ((), (), ())
            else:
                assert [v // q % p for v in at] == [value(node.g, y) % p for y in range(p)]
                assert node.g and node.g == reduced(node.g, p)
                assert list(node.digits) == [y for y in range(p) if at[y] // q % p == 0]


def test_every_digit_has_its_child_and_only_simple_roots_end_in_a_lift() -> None:
    for f, p, k in cases(1500):
        for node in nodes(tree(f, p, k)):
            if node.lifted:
                assert node.children == ()
                continue
            assert [(c.r, c.j) for c in node.children] == [
                (node.r + p**node.j * t, node.j + 1) for t in node.digits
            ]
            for t, child in zip(node.digits, node.children, strict=True):
                simple = value(derivative(node.g), t) % p != 0
                assert bool(child.lifted) == simple
                if simple:
                    assert child.e == node.e + 1 and len(child.g) == (2 if child.e < k else 0)


def test_the_substituted_polynomial_is_exact_and_reduces_to_g() -> None:
    for f, p, k in cases(800):
        for node in nodes(tree(f, p, k)):
            h = tuple(c // p**node.e for c in shifted(f, node.r, p**node.j))
            for y in range(-2, 3):
                assert value(h, y) * p**node.e == value(f, node.r + p**node.j * y)
            if node.e < k:
                assert reduced(h, p) == node.g


def preorder(node: Node) -> list[Node]:
    return [node, *(below for child in node.children for below in preorder(child))]


def test_the_nodes_come_before_their_children_in_increasing_order() -> None:
    for f, p, k in cases(500):
        root = tree(f, p, k)

        assert list(nodes(root)) == preorder(root)
        for node in nodes(root):
            assert [c.r for c in node.children] == sorted(c.r for c in node.children)
        assert merged(classes(root, p, k), p) == roots_mod_prime_power(f, p, k)


def test_the_tree_of_a_double_root_is_a_chain_half_as_deep_as_the_exponent() -> None:
    chain = list(nodes(tree((0, 0, 1), 3, 40)))

    assert [(n.j, n.e) for n in chain] == [(j, 2 * j) for j in range(21)]


def test_a_deep_tree_can_be_compared_and_stored() -> None:
    root = tree(power((-(5**30), 1), 2), 7, 400)

    assert pickle.loads(pickle.dumps(root)) == root
    assert root != tree(power((-(5**30), 1), 2), 7, 399)


# ------------------------------------------------------------ simple roots


def test_the_lifts_of_a_simple_root_are_the_rows_of_long_hand() -> None:
    rows_seen = 0
    for f, p, k in cases(1500):
        for r in range(p):
            slope = value(derivative(f), r) % p
            if value(f, r) % p or not slope:
                continue
            rows = regular_lifts(f, r, p, k)
            known = r
            assert [row.j for row in rows] == list(range(1, k))
            for row in rows:
                quotient = value(f, known) // p**row.j % p
                ts = [t for t in range(p) if value(f, known + p**row.j * t) % p ** (row.j + 1) == 0]

                assert row == Lift(row.j, known, quotient, slope, ts[0])
                assert len(ts) == 1
                known += p**row.j * ts[0]
                rows_seen += 1
            assert lifted_root(f, r, p, k) == known
    assert rows_seen > 500


def test_a_root_lifted_to_a_high_power_solves_the_congruence() -> None:
    f = (1, 0, 5, -3, 0, 0, 1)
    for p in (10**10 + 19, 10**18 + 9):
        g = sum_of(f, (-value(f, 424242),))  # so that 424242 is a root
        assert value_mod(derivative(g), 424242, p)

        for k in (1, 2, 3, 31, 60):
            x = lifted_root(sum_of(g, (p,)), 424242, p, k)
            assert value(sum_of(g, (p,)), x) % p**k == 0 and x % p == 424242 and x < p**k


@pytest.mark.parametrize("r", [0, 1])
def test_only_simple_roots_are_lifted(r: int) -> None:
    for call in (lifted_root, regular_lifts):
        with pytest.raises(ValueError, match=f"{r} is not a simple root modulo 3"):
            call((0, 0, 1), r, 3, 4)  # 0 is a double root of x^2, 1 is none


# ------------------------------------------------------------ the levels


def test_the_levels_list_every_root_of_every_level_with_its_numbers() -> None:
    for f, p, k in cases(500):
        if p**k > 350:
            continue
        table = levels(f, p, k, 10_000)
        assert table is not None and len(table) == k - 1
        for j, rows in enumerate(table, 1):
            assert [row.r for row in rows] == tried(f, p**j)
            above = set(tried(f, p ** (j + 1)))
            for row in rows:
                v = sum(c * row.r**i for i, c in enumerate(f))
                slope = sum(i * c * row.r ** (i - 1) for i, c in enumerate(f) if i)

                assert (row.value, row.quotient, row.slope) == (v, v // p**j % p, slope % p)
                assert list(row.ts) == [t for t in range(p) if row.r + p**j * t in above]


@pytest.mark.parametrize(
    ("f", "p", "k", "rows"),
    [
        ((0, 0, 1), 3, 4, 1 + 3 + 3),  # 0; 0, 3, 6; 0, 9, 18
        ((-1, 0, 1), 5, 4, 6),
        ((1, 0, 1), 3, 9, 0),
        ((3, 3), 3, 3, 3 + 3),  # every residue, then 2, 5, 8
        ((0, 0, 1), LARGE_PRIME, 2, 1),  # p lifts, but one row
        ((5, 1), 7, 1, 0),
    ],
)
def test_the_levels_keep_to_the_limit_and_no_less(f: Poly, p: int, k: int, rows: int) -> None:
    table = levels(f, p, k, rows)

    assert table is not None and sum(map(len, table)) == rows
    if rows:
        assert levels(f, p, k, rows - 1) is None


@pytest.mark.parametrize(
    ("f", "p", "k"),
    [
        ((0, 0, 1), LARGE_PRIME, 3),
        ((0, 0, 1), 10**30 + 57, 40),
        ((10**30 + 57, 0, 10**30 + 57), 10**30 + 57, 2),
        ((0, 0, 1), 3, 40),
    ],
)
def test_the_levels_give_up_before_they_list_too_much(f: Poly, p: int, k: int) -> None:
    assert levels(f, p, k, 100) is None


# ------------------------------------------------------------ published values

HENSEL_LIFTS = [
    # coefficients (constant first), p, k, root modulo p^k, its lifts modulo p^(k+1), source
    ((-1, -2, 0, 1), 5, 1, 3, [], "Mathonline, Examples of Applying Hensel's Lemma, ex. 1"),
    ((23, 4, 1), 5, 1, 2, [7], "Hensel's Lemma, Math 453 Spring 2009 course wiki"),
    ((1, 1, 1), 3, 1, 1, [], "Barbeau, Polynomials, E.33"),
    ((3, 1, 10, 1), 3, 1, 1, [], "Niven, Zuckerman & Montgomery, exercise 2.6.5"),
    ((3, 1, 10, 1), 3, 1, 0, [6], "Niven, Zuckerman & Montgomery, exercise 2.6.5"),
    ((2, -3, 0, 1), 5, 1, 1, [1, 6, 11, 16, 21], "Math StackExchange 3468746"),
    ((-17, 0, 1), 2, 3, 1, [1, 9], "Math StackExchange 2298779"),
    ((-17, 0, 1), 2, 3, 5, [], "Math StackExchange 2298779"),
    (
        (-1, -1, 8, 1),
        11,
        1,
        5,
        [],
        "Rosen, Elementary Number Theory 5th ed., 4.4 ex. 2, from memory",
    ),
    ((7, 1, 1), 3, 2, 4, [4, 13, 22], "Niven, Zuckerman & Montgomery 2.6, from memory"),
    ((7, 1, 1), 3, 2, 1, [], "Niven, Zuckerman & Montgomery 2.6, from memory"),
]


@pytest.mark.parametrize(("f", "p", "k", "r", "expected", "source"), HENSEL_LIFTS)
def test_published_lifts(f: Poly, p: int, k: int, r: int, expected: list[int], source: str) -> None:
    table = levels(f, p, k + 1, 100)
    assert table is not None, source
    row = next(row for row in table[-1] if row.r == r)
    found = listed(roots_mod_prime_power(f, p, k + 1), p ** (k + 1))

    assert [r + p**k * t for t in row.ts] == expected, source
    assert [x for x in found if x % p**k == r] == expected, source


@pytest.mark.parametrize(
    ("f", "p", "k", "expected"),
    [
        # SymPy 1.14, sympy/ntheory/tests/test_residue.py: x^2 = 9
        ((-9, 0, 1), 3, 3, [3, 6, 12, 15, 21, 24]),
        ((-9, 0, 1), 3, 4, [3, 24, 30, 51, 57, 78]),
        # Niven, Zuckerman & Montgomery, 5th ed., section 2.6, from memory
        ((47, 1, 1), 7, 3, [99, 243]),
        ((7, 1, 1), 3, 4, []),
        ((57, 1, 0, 1), 5, 3, [4]),
    ],
)
def test_published_roots_modulo_prime_powers(f: Poly, p: int, k: int, expected: list[int]) -> None:
    assert listed(roots_mod_prime_power(f, p, k), p**k) == expected
