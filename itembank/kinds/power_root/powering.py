"""A power modulo m as it is computed within a paragraph: squarings, then the product of some."""

from collections.abc import Iterator

from itembank.kinds.polynomial.telling.phrases import reduced_to
from itembank.kinds.power_root.wording import before_modulus
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.languages import Said, each, say
from itembank.notation.building import added, dotted, power
from itembank.notation.tree import Letter, Math, Number, Power, Relation

LARGEST_MODULUS = 10**6
"""Squarings are shown up to this modulus; beyond it the power is only stated."""

MOST_SQUARINGS = 20


def power_told(a: int, n: int, m: int, of: Letter | None = None) -> Iterator[Said]:
    """The sentences that compute a^n modulo m, which the unknown `of` is congruent to, if given.

    Requires 0 <= a < m and n >= 1: unchecked.
    """
    left, value = Power(Number(a), Number(n)), Number(pow(a, n, m))
    result = Relation((left, value), ("≡",))
    if n == 1:
        yield say("The power with the exponent 1 is the number itself, {a}.", a=a)
    elif a <= 1:
        yield say("${power} (mod {m})$.", power=after(of, result), m=m)
    elif n * a.bit_length() <= FITS_ON_THE_BOARD.bit_length():
        yield say("${power} (mod {m})$.", power=after(of, reduced_to(left, a**n, m)), m=m)
    elif m > LARGEST_MODULUS or n.bit_length() > MOST_SQUARINGS:
        yield say("Repeated squaring gives ${power} (mod {m})$.", power=after(of, result), m=m)
    else:
        squares = squares_up_to(a, n, m)
        yield say(
            "Squaring again and again modulo {m}: {squarings}.",
            m=m,
            squarings=each(squarings(a, squares, m)),
        )
        yield product_told(a, n, m, squares_needed(squares, n), of)


def after(of: Letter | None, chain: Relation) -> Relation:
    """x ≡ a chain, or the chain alone, as (mod m) follows it."""
    return Relation((of, *chain.sides), ("≡", *chain.signs)) if of else before_modulus(chain)


Squares = list[tuple[int, int]]
"""(i, a^i mod m) for some powers i of 2."""


def squares_up_to(a: int, n: int, m: int) -> Squares:
    """(i, a^i mod m) for i = 1, 2, 4, ... up to n."""
    squares = [(1, a)]
    while 2 * squares[-1][0] <= n:
        i, square = squares[-1]
        squares.append((2 * i, square * square % m))
    return squares


def squarings(a: int, squares: Squares, m: int) -> Iterator[Math]:
    """5^2 = 25 ≡ 2, 5^4 ≡ 2^2 = 4, ..."""
    for i, square in squares[:-1]:
        left = Power(Number(a), Number(2 * i))
        if i > 1:
            squared = reduced_to(Power(Number(square), Number(2)), square * square, m)
            yield Relation((left, *squared.sides), ("≡", *squared.signs))
        else:
            yield reduced_to(left, square * square, m)


def product_told(a: int, n: int, m: int, needed: Squares, of: Letter | None) -> Said:
    """The squares that the exponent needs, multiplied."""
    left, value = Power(Number(a), Number(n)), Number(pow(a, n, m))
    if len(needed) == 1:
        return say("So ${power} (mod {m})$.", power=after(of, Relation((left, value), ("≡",))), m=m)
    powers = dotted(power(a, i) for i, _square in needed)
    numbers = dotted(square for _i, square in needed)
    return say(
        "Since ${n} = {binary}$, ${power} (mod {m})$.",
        n=n,
        binary=added(i for i, _square in needed),
        power=after(of, Relation((left, powers, numbers, value), ("=", "≡", "≡"))),
        m=m,
    )


def squares_needed(squares: Squares, n: int) -> Squares:
    """Those whose exponents add up to n, the largest first."""
    return [(i, square) for i, square in reversed(squares) if n & i]
