"""Trees built from numbers: what a kind of problem states and what its steps say.

A polynomial is the tuple of its coefficients, constant term first, so that
(8, -3, 1) is x^2 - 3x + 8.  Built trees are those that the reader would give for
their typed form: no factor 1, no exponent 1, no term 0, no sign after a sign.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Literal

from itembank.notation.tree import (
    Call,
    Group,
    Letter,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
    Sum,
)

_NUMBERS = 4096
"""Numbers that are kept: those of one problem come again and again in its solution."""


@lru_cache(maxsize=_NUMBERS)
def number(n: int) -> Number:
    return Number(n)


def polynomial(coefficients: Sequence[int], letter: str = "x") -> Math:
    """The polynomial in descending powers; the polynomial 0 is the number 0.

    >>> polynomial((0, -1))
    Minus(term=Letter(name='x', primes=0))
    """
    x = Letter(letter)
    return total([(sign, monomial(c, x, k)) for sign, c, k in signed_terms(coefficients)])


def total(terms: Sequence[tuple[Literal[1, -1], Math]]) -> Math:
    """The signed terms in a sum; one alone is itself, and none is the number 0."""
    if not terms:
        return Number(0)
    if len(terms) > 1:
        return Sum(tuple(terms))
    sign, term = terms[0]
    if sign == 1:
        return term
    return Number(-term.value) if isinstance(term, Number) else Minus(term)


def signed_terms(coefficients: Sequence[int]) -> Iterator[tuple[Literal[1, -1], int, int]]:
    """(sign, |c|, k) for each term c x^k that is not 0, in descending powers."""
    for k in range(len(coefficients) - 1, -1, -1):
        c = coefficients[k]
        if c:
            yield (1, c, k) if c > 0 else (-1, -c, k)


def monomial(c: int, x: Math, k: int) -> Math:
    """c x^k for c >= 1, k >= 0."""
    if k == 0:
        return number(c)
    power = x if k == 1 else Power(x, number(k))
    return power if c == 1 else Product((number(c), power))


def plain_polynomial(coefficients: Sequence[int], letter: str = "x") -> str:
    """The typed form of `polynomial`, without building the tree.

    >>> plain_polynomial((8, -3, 1))
    'x^2 - 3x + 8'
    """
    pieces: list[str] = []
    for sign, c, k in signed_terms(coefficients):
        power = "" if k == 0 else letter if k == 1 else f"{letter}^{k}"
        term = power if c == 1 and k else f"{c}{power}"
        joint = (" + " if sign == 1 else " - ") if pieces else ("" if sign == 1 else "-")
        pieces.append(joint + term)
    return "".join(pieces) or "0"


def power(base: int | Math, exponent: int) -> Math:
    """The power, and the base alone for the exponent 1."""
    b = number(base) if isinstance(base, int) else base
    return b if exponent == 1 else Power(b, number(exponent))


def factored_modulus(factors: Sequence[tuple[int, int]]) -> Math:
    """2^3 · 5 for ((2, 3), (5, 1)), and 1 for no factor."""
    powers = [power(p, k) for p, k in factors]
    if len(powers) > 1:
        return Product(tuple(powers), dot=True)
    return powers[0] if powers else Number(1)


def listed(values: Iterable[int]) -> Math:
    """7, 20, 88; one value alone is that number."""
    items = tuple(map(number, values))
    return items[0] if len(items) == 1 else Listing(items)


def none_of(letter: str) -> Product:
    """0x, which names an unknown."""
    return Product((Number(0), Letter(letter)))


def naming(node: Math, letter: str) -> Sum:
    """The node with 0x added: an unknown has to be named where it stands nowhere.

    >>> naming(Number(-4), "x") == Sum(((-1, Number(4)), (1, none_of("x"))))
    True
    """
    nothing = none_of(letter)
    match node:
        case Sum(terms):
            return Sum((*terms, (1, nothing)))
        case Minus(term):
            return Sum(((-1, term), (1, nothing)))
        case Number(n) if n < 0:
            return Sum(((-1, Number(-n)), (1, nothing)))
    return Sum(((1, node), (1, nothing)))


def congruence(left: Math, right: Math, modulus: int | Math) -> Modulo:
    """left ≡ right (mod modulus)."""
    m = number(modulus) if isinstance(modulus, int) else modulus
    return Modulo(Relation((left, right), ("≡",)), m)


def dotted(factors: Iterable[int | Math]) -> Math:
    """The factors with dots between them; one factor alone is itself.

    >>> dotted([2, 3]) == factored_modulus([(2, 1), (3, 1)])
    True
    """
    found = tuple(map(tree, factors))
    return found[0] if len(found) == 1 else Product(found, dot=True)


def added(terms: Iterable[int | Math]) -> Math:
    """The terms with plus signs between them; one term alone is itself."""
    found = tuple(map(tree, terms))
    return found[0] if len(found) == 1 else Sum(tuple((1, term) for term in found))


def difference(a: int | Math, b: int | Math) -> Sum:
    """a - b, b not negative where it is an integer."""
    return Sum(((1, tree(a)), (-1, tree(b))))


def equal(*sides: int | Math) -> Math:
    """The sides in a chain of equalities; one side alone is itself."""
    found = tuple(map(tree, sides))
    return found[0] if len(found) == 1 else Relation(found, ("=",) * (len(found) - 1))


def tree(value: int | Math) -> Math:
    return number(value) if isinstance(value, int) else value


def applied(name: str, argument: int | Math, primes: int = 0) -> Call:
    """The function at its argument: f(3), f'(r)."""
    return Call(Letter(name, primes), (tree(argument),))


def linear_factors(roots: Sequence[int], letter: str = "x") -> Math:
    """x - r for each root r, side by side: x(x - 3), and (x + 2)^2 for a root given twice.

    At least one root.
    """
    if len(roots) == 1:
        return polynomial((-roots[0], 1), letter)
    factors = [bracketed(polynomial((-r, 1), letter)) for r in roots]
    if len(set(roots)) == 1:
        return Power(factors[0], Number(len(roots)))
    return Product(tuple(factors))


def bracketed(node: Math) -> Math:
    """A sum in round brackets, anything else as it is."""
    return Group(node) if isinstance(node, Sum) else node
