"""A power modulo m as it is computed within a sentence: squarings, then the product of some."""

from collections.abc import Iterator

from itembank.kinds.wording import FITS_ON_THE_BOARD, Piece, residue_chain
from itembank.languages.words import _

LARGEST_MODULUS = 10**6
"""Squarings are shown up to this modulus; beyond it the power is only stated."""

MOST_SQUARINGS = 20


def power_told(a: int, n: int, m: int, name: str = "") -> Iterator[Piece]:
    """The sentences that compute a^n modulo m; `name` stands before the result ("x ≡ ").

    Requires 0 <= a < m and n >= 1: unchecked.
    """
    words = {"name": name, "a": a, "n": n, "m": m, "value": pow(a, n, m)}
    if n == 1 or a <= 1:
        power = str(a) if n == 1 else f"{a}^{n} ≡ {a}"
        yield _("${name}{power} (mod {m})$.").format(**words, power=power)
    elif n * a.bit_length() <= FITS_ON_THE_BOARD.bit_length():
        yield _("${name}{a}^{n} = {chain} (mod {m})$.").format(
            **words, chain=residue_chain(a**n, m)
        )
    elif m > LARGEST_MODULUS or n.bit_length() > MOST_SQUARINGS:
        yield _("Repeated squaring gives ${name}{a}^{n} ≡ {value} (mod {m})$.").format(**words)
    else:
        squares = squares_up_to(a, n, m)
        yield _("Squaring again and again modulo {m}: {squarings}.").format(
            **words, squarings=", ".join(f"${line}$" for line in squarings(a, squares, m))
        )
        yield product_told(squares, words)


def squares_up_to(a: int, n: int, m: int) -> list[tuple[int, int]]:
    """(i, a^i mod m) for i = 1, 2, 4, ... up to n."""
    squares = [(1, a)]
    while 2 * squares[-1][0] <= n:
        i, square = squares[-1]
        squares.append((2 * i, square * square % m))
    return squares


def squarings(a: int, squares: list[tuple[int, int]], m: int) -> Iterator[str]:
    """5^2 = 25 ≡ 2, 5^4 ≡ 2^2 = 4, ..."""
    for i, square in squares[:-1]:
        sign = "=" if i == 1 else f"≡ {square}^2 ="
        yield f"{a}^{2 * i} {sign} {residue_chain(square * square, m)}"


def product_told(squares: list[tuple[int, int]], words: dict[str, object]) -> str:
    """The squares that the exponent needs, multiplied."""
    a, n = words["a"], squares_needed(squares, words["n"])
    if len(n) == 1:
        return _("So ${name}{a}^{n} ≡ {value} (mod {m})$.").format(**words)
    return _(
        "Since ${n} = {binary}$, ${name}{a}^{n} = {powers} ≡ {numbers} ≡ {value} (mod {m})$."
    ).format(
        **words,
        binary=" + ".join(str(i) for i, _square in n),
        powers=" · ".join(f"{a}^{i}" if i > 1 else f"{a}" for i, _square in n),
        numbers=" · ".join(str(square) for _i, square in n),
    )


def squares_needed(squares: list[tuple[int, int]], n: object) -> list[tuple[int, int]]:
    """Those whose exponents add up to n, the largest first."""
    assert isinstance(n, int)
    return [(i, square) for i, square in reversed(squares) if n & i]
