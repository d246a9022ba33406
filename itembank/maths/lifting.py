"""Roots of an integer polynomial modulo a prime power, as classes.

Letters: f polynomial (constant term first), p prime (unchecked everywhere), k
the exponent, r a residue modulo p^j, t a digit: r + p^j t refines r.

Two ways to tell the same story.  The *tree*: put x = r + p^j y, divide the
result by the largest power p^e it is divisible by, and solve what is left, g(y),
modulo p; its simple roots lift in one way, each other root is put in again.  A
branch ends as a whole class, so x^2 = 0 modulo 3^40 is the class 0 modulo 3^20,
and f has at most deg f classes.  The *levels*: the textbook table, residue by
residue, from p^j to p^(j+1).

Sources: Berthomieu, Lecerf & Quintin, Polynomial root finding over local rings
and application to error correcting codes, AAECC 24 (2013), for the tree; Niven,
Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., section
2.6 (Theorem 2.23), for the levels.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from itembank.maths.polynomials import (
    Poly,
    content_valuation,
    derivative,
    reduced,
    shifted,
    value,
    value_mod,
)
from itembank.maths.prime_roots import roots_mod_prime
from itembank.values.answer import Class

_SMALL = 10_000
"""Up to this modulus roots are kept: variants and their wrong answers ask for the same ones."""

# ------------------------------------------------------------ the tree


@dataclass(frozen=True, slots=True)
class Node:
    """The class r mod p^j, and what is left to solve inside it.

    Every value f(r + p^j y) is divisible by p^e (e is at most k), and modulo p the
    quotient is g(y).  Where e = k the whole class solves the congruence and g = ().
    `digits` are the roots of g modulo p, increasing, each with its child
    (r + p^j digit, j + 1); without any, the class holds no solution.

    At a simple root of the parent's g the branch ends early, in a leaf: g is then
    linear and `lifted` is the one class of solutions inside r mod p^j.
    """

    r: int
    j: int
    e: int
    g: Poly
    digits: tuple[int, ...]
    children: tuple["Node", ...] = ()
    lifted: Class | None = None


def tree(f: Poly, p: int, k: int) -> Node:
    """The tree of f modulo p^k, from the class 0 mod 1.  Requires k >= 1 (ValueError).

    Its depth is at most k/2 + 2, and at most deg f of its leaves hold solutions.

    >>> root = tree((0, 0, 1), 3, 4)  # x^2 = 0 (mod 81): x = 3y, then x = 9z
    >>> root.g, root.digits, root.children[0].g, root.children[0].e
    ((0, 0, 1), (0,), (0, 0, 1), 2)
    """
    _check_exponent(k)
    made: list[tuple[int, Node]] = []  # (place of the parent, node still without children)
    pending = [(-1, 0, 0, 0, reduced(f, p**k))]  # f(r + p^j y) = p^e h(y) modulo p^k
    while pending:
        parent, r, j, e, h = pending.pop()
        e, h = _divided(h, e, p, k)
        g = reduced(h, p)
        digits = roots_mod_prime(g, p) if g else ()
        place = len(made)
        made.append((parent, Node(r, j, e, g, digits)))
        slope = derivative(h)
        for t in digits:
            if s := value_mod(slope, t, p):
                y = _lifted(h, slope, t, pow(s, -1, p), p, k - e)
                made.append((place, _regular_leaf(r, j, e, y, s, p, k)))
            else:
                child = reduced(shifted(h, t, p), p ** (k - e))
                pending.append((place, r + p**j * t, j + 1, e, child))
    return _assembled(made)


def _divided(h: Poly, e: int, p: int, k: int) -> tuple[int, Poly]:
    """(e', p^e h / p^e') with the largest e' <= k; h is reduced modulo p^(k - e)."""
    if not h:
        return k, ()
    more = content_valuation(h, p)
    if not more:
        return e, h
    q = p**more
    return e + more, tuple([c // q for c in h])


def _regular_leaf(r: int, j: int, e: int, y: int, slope: int, p: int, k: int) -> Node:
    """The child at the simple root y mod p of h, which lifts to y modulo p^(k - e) only."""
    q = p**j
    y_rest, t = divmod(y, p)
    lifted = (r + q * y, q * p ** (k - e))
    if e + 1 == k:
        return Node(r + q * t, j + 1, k, (), (), (), lifted)
    digit = y_rest % p
    return Node(r + q * t, j + 1, e + 1, (-digit * slope % p, slope), (digit,), (), lifted)


def _assembled(made: list[tuple[int, Node]]) -> Node:
    """The nodes, parents before children, put together without recursion."""
    children: list[list[Node]] = [[] for _ in made]
    for place in range(len(made) - 1, 0, -1):
        parent, node = made[place]
        children[parent].append(_with_children(node, children[place]))
    return _with_children(made[0][1], children[0])


def _with_children(node: Node, below: list[Node]) -> Node:
    ordered = tuple(sorted(below, key=lambda child: child.r))
    return Node(node.r, node.j, node.e, node.g, node.digits, ordered, node.lifted)


def nodes(root: Node) -> Iterator[Node]:
    """All nodes, each before its children, these in increasing order of r."""
    pending = [root]
    while pending:
        node = pending.pop()
        yield node
        pending += reversed(node.children)


def classes(root: Node, p: int, k: int) -> tuple[Class, ...]:
    """The roots of f modulo p^k: disjoint classes (r, d), d | p^k, increasing.

    Requires root = tree(f, p, k).  At most deg f classes.
    """
    found = []
    for node in nodes(root):
        if node.lifted:
            found.append(node.lifted)
        elif node.e == k:
            found.append((node.r, p**node.j))
    return tuple(sorted(found))


def roots_mod_prime_power(f: Poly, p: int, k: int) -> tuple[Class, ...]:
    """All x with f(x) = 0 (mod p^k) as disjoint classes (r, d), d | p^k, increasing.

    () if there is none; ((0, 1),) if f is zero modulo p^k.  Requires k >= 1 (ValueError).

    >>> roots_mod_prime_power((7, 1, 1), 3, 3)  # x^2 + x + 7: 4, 13, 22 modulo 27
    ((4, 9),)
    >>> roots_mod_prime_power((5, 9, 1), 3, 2)
    ((2, 9), (7, 9))
    >>> roots_mod_prime_power((-1, 0, 0, 0, 1), 2, 4)  # x^4 = 1 (mod 16): every odd x
    ((1, 2),)
    """
    _check_exponent(k)
    q = p**k
    found = _roots_of_reduced if q <= _SMALL else _roots_of_reduced.__wrapped__
    return found(reduced(f, q), p, k)


@lru_cache(maxsize=4096)
def _roots_of_reduced(f: Poly, p: int, k: int) -> tuple[Class, ...]:
    return merged(classes(tree(f, p, k), p, k), p)


def forget() -> None:
    """Drop the roots that were kept, so that a measurement begins with none."""
    _roots_of_reduced.cache_clear()


def merged(found: tuple[Class, ...], p: int) -> tuple[Class, ...]:
    """The classes with one for p that make it up, increasing.

    >>> merged(((0, 8), (1, 4), (3, 4)), 2)
    ((0, 8), (1, 2))
    """
    counts = Counter((r % (d // p), d // p) for r, d in found if d > 1)
    whole = {c for c, n in counts.items() if n == p}
    if not whole:
        return found
    kept = [(r, d) for r, d in found if d == 1 or (r % (d // p), d // p) not in whole]
    return merged(tuple(sorted((*kept, *whole))), p)


# ------------------------------------------------------------ simple roots


def lifted_root(f: Poly, r: int, p: int, k: int) -> int:
    """The only x in [0, p^k) with f(x) = 0 (mod p^k) and x = r (mod p).

    Newton's method: each step doubles the power of p.  Requires k >= 1, and r a
    simple root modulo p: p divides f(r) and not f'(r) (ValueError).

    >>> lifted_root((-2, 0, 1), 3, 7, 3)  # 108^2 = 2 (mod 343)
    108
    """
    _check_exponent(k)
    slope = derivative(f)
    s = value_mod(slope, r, p)
    if value_mod(f, r, p) or not s:
        raise ValueError(f"{r} is not a simple root modulo {p}")
    return _lifted(f, slope, r % p, pow(s, -1, p), p, k)


def _lifted(f: Poly, slope: Poly, x: int, unit: int, p: int, k: int) -> int:
    """As `lifted_root`; unit is the inverse of f'(x) = slope(x) modulo p."""
    exponents = []
    while k > 1:
        exponents.append(k)
        k = (k + 1) // 2
    while exponents:
        m = p ** exponents.pop()
        x = (x - value_mod(f, x, m) * unit) % m
        if exponents:
            unit = unit * (2 - value_mod(slope, x, m) * unit) % m
    return x


class Lift(NamedTuple):
    """From the root r modulo p^j to r + p^j t: quotient + slope * t = 0 (mod p).

    `quotient` is f(r)/p^j and `slope` is f'(r), both least residues modulo p.
    """

    j: int
    r: int
    quotient: int
    slope: int
    t: int


def regular_lifts(f: Poly, r: int, p: int, k: int) -> list[Lift]:
    """The lifts of the simple root r from modulo p to modulo p^k: j = 1, ..., k - 1.

    Read off the digits of the lifted root, so that no large value is computed twice.
    Requires as `lifted_root` (ValueError).

    >>> [tuple(row) for row in regular_lifts((5, 9, 1), 1, 3, 2)]  # 2 + 2t = 0 (mod 3)
    [(1, 1, 2, 2, 2)]
    """
    rest = lifted_root(f, r, p, k)
    slope = value_mod(derivative(f), r, p)
    rest, known = divmod(rest, p)
    rows, q = [], p
    for j in range(1, k):
        rest, t = divmod(rest, p)
        rows.append(Lift(j, known, -slope * t % p, slope, t))
        known, q = known + q * t, q * p
    return rows


# ------------------------------------------------------------ the textbook table


class Row(NamedTuple):
    """One residue r that solves f modulo p^j, and its lifts r + p^j t to p^(j+1).

    `value` is the integer f(r); `quotient` and `slope` are f(r)/p^j and f'(r), least
    residues modulo p.  `ts` holds the t with quotient + slope * t = 0 (mod p),
    increasing: one, none, or all of range(p).
    """

    r: int
    value: int
    quotient: int
    slope: int
    ts: Sequence[int]


def levels(f: Poly, p: int, k: int, limit: int) -> list[list[Row]] | None:
    """Level by level: for j = 1, ..., k - 1 the rows of all roots r in [0, p^j), increasing.

    None if that takes more than `limit` rows in all.  The roots modulo p^k are the
    r + p^(k-1) t of the last level.  Requires k >= 1 (ValueError).

    >>> [[(row.r, list(row.ts)) for row in level] for level in levels((7, 1, 1), 3, 3, 10)]
    [[(1, [0, 1, 2])], [(1, []), (4, [0, 1, 2]), (7, [])]]
    """
    _check_exponent(k)
    slope = derivative(f)
    table: list[list[Row]] = []
    left = limit
    for j in range(1, k):
        live = _live(f, p, table, left)
        if live is None or len(live) > left:
            return None
        left -= len(live)
        table.append([_row(f, slope, r, p, j) for r in live])
    return table


def _live(f: Poly, p: int, table: list[list[Row]], limit: int) -> list[int] | None:
    """The roots one level beyond the table, increasing; None if plainly more than `limit`."""
    if not table:
        if reduced(f, p):
            return list(roots_mod_prime(f, p))
        return list(range(p)) if p <= limit else None
    last, q = table[-1], p ** len(table)
    if p > limit and any(not row.slope and not row.quotient for row in last):
        return None
    return sorted(row.r + q * t for row in last for t in row.ts)


def _row(f: Poly, slope: Poly, r: int, p: int, j: int) -> Row:
    v, s = value(f, r), value_mod(slope, r, p)
    quotient = v // p**j % p
    if s:
        return Row(r, v, quotient, s, (-quotient * pow(s, -1, p) % p,))
    return Row(r, v, quotient, s, () if quotient else range(p))


def _check_exponent(k: int) -> None:
    if k < 1:
        raise ValueError(f"a power of p needs an exponent k >= 1, got k = {k}")
