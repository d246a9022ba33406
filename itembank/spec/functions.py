"""The operators and functions that an expression may use, exact and bounded.

What has no value raises Undefined; what would be larger than the bounds below
raises TooLarge, before it is computed.  Letters: a, b, n integers, m modulus,
p prime, e exponent.
"""

import ast
import operator
from collections.abc import Callable
from dataclasses import dataclass
from math import gcd, isqrt, lcm

from itembank.maths import prime_roots, primes, remainders
from itembank.spec.nodes import short
from itembank.values.errors import ItemBankError
from itembank.values.worded import worded

MOST_BITS = 4096
"""The largest value of any part of an expression."""

_MOST_BITS_TESTED = 512
"""The largest number tested for primality (is_prime, legendre)."""

_MOST_BITS_FACTORED = 64
"""The largest number factored (phi, order): a twentieth of a second at worst."""


_FACTORED = worded("a number to be factored")
_TESTED = worded("a number tested for primality")
"""What is beyond these bounds, as a message says it."""


class Undefined(ItemBankError):
    """An expression that has no value here: a division by 0, the inverse of a non-unit."""


class TooLarge(ItemBankError):
    """An expression whose value is beyond the bounds."""


def within(n: int, bits: int, what: str) -> int:
    """n itself; TooLarge if it has more bits."""
    if n.bit_length() > bits:
        raise TooLarge(worded("{what} is beyond {bits} bits", what=what, bits=bits))
    return n


def shown(n: int) -> str:
    """n as a message shows it."""
    return short(str(n))


# ------------------------------------------------------------ operators


def power(a: int, e: int) -> int:
    """a^e, whose size is bounded before it is computed."""
    if e < 0:
        raise Undefined(worded("an exponent is at least 0, got {shown}", shown=shown(e)))
    if abs(a) > 1 and (abs(a).bit_length() - 1) * e > MOST_BITS:
        raise TooLarge(worded("a power is beyond {most_bits} bits", most_bits=MOST_BITS))
    return int(a**e)


def _quotient(a: int, b: int) -> int:
    if b == 0:
        raise Undefined(worded("a division by 0"))
    return a // b


def _remainder(a: int, b: int) -> int:
    if b == 0:
        raise Undefined(worded("a remainder modulo 0"))
    return a % b


_ARITHMETIC: dict[type[ast.operator], Callable[[int, int], int]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.FloorDiv: _quotient,
    ast.Mod: _remainder,
    ast.Pow: power,
}
_COMPARISONS: dict[type[ast.cmpop], Callable[[int, int], bool]] = {
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
}
PREFIXES: dict[type[ast.unaryop], Callable[[int], int]] = {
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
    ast.Not: operator.not_,
}

# ------------------------------------------------------------ functions


def _inverse(a: int, m: int) -> int:
    """The least residue b with ab = 1 (mod m)."""
    if m < 1:
        raise Undefined(
            worded("inverse needs a modulus of at least 1, got {shown}", shown=shown(m))
        )
    if not (gcd(a, m) == 1):
        raise Undefined(
            worded(
                "{shown} has no inverse modulo {other_shown}", shown=shown(a), other_shown=shown(m)
            )
        )
    return remainders.inverse(a, m)


def _phi(n: int) -> int:
    """How many of 1, ..., n are coprime to n."""
    if n < 1:
        raise Undefined(worded("phi needs an argument of at least 1, got {shown}", shown=shown(n)))
    return primes.phi(within(n, _MOST_BITS_FACTORED, _FACTORED))


def _order(a: int, m: int) -> int:
    """The least e >= 1 with a^e = 1 (mod m): phi(m), less its primes while that holds.

    Source: Cohen, A Course in Computational Algebraic Number Theory, Algorithm 1.4.3.
    """
    if m < 1:
        raise Undefined(worded("order needs a modulus of at least 1, got {shown}", shown=shown(m)))
    if not (gcd(a, m) == 1):
        raise Undefined(
            worded(
                "{shown} has no order modulo {other_shown}", shown=shown(a), other_shown=shown(m)
            )
        )
    e = _phi(m)
    for p, k in primes.factorisation(e):
        for _ in range(k):
            if pow(a, e // p, m) != 1 % m:
                break
            e //= p
    return e


def _is_prime(n: int) -> bool:
    return primes.is_prime(within(n, _MOST_BITS_TESTED, _TESTED))


def _is_square(n: int) -> bool:
    """Whether n is the square of an integer."""
    return n >= 0 and isqrt(n) ** 2 == n


def _legendre(a: int, p: int) -> int:
    if not (p > 2 and _is_prime(p)):
        raise Undefined(worded("legendre needs an odd prime, got {shown}", shown=shown(p)))
    return prime_roots.jacobi(a, p)


def _jacobi(a: int, n: int) -> int:
    if not (n >= 1 and n % 2 == 1):
        raise Undefined(
            worded("jacobi needs an odd number of at least 1, got {shown}", shown=shown(n))
        )
    return prime_roots.jacobi(a, n)


def _digits(n: int) -> int:
    """The number of decimal digits of |n|; 1 for 0."""
    return len(str(abs(n)))


def _valuation(n: int, p: int) -> int:
    """The largest e with p^e | n."""
    if not (p >= 2):
        raise Undefined(worded("valuation needs a base of at least 2, got {shown}", shown=shown(p)))
    if n == 0:
        raise Undefined(worded("valuation needs a number other than 0"))
    return primes.valuation(n, p)


@dataclass(frozen=True)
class _Function:
    """What a function computes, how its arguments are written, and whether it is a condition."""

    value: Callable[..., int]
    arguments: str
    condition: bool = False

    def takes(self, count: int) -> bool:
        """Whether it takes this many arguments; two or more where the list is open."""
        least = self.arguments.count(",") + 1
        return count >= 2 if "..." in self.arguments else count == least


FUNCTIONS = {
    "abs": _Function(abs, "n"),
    "digits": _Function(_digits, "n"),
    "gcd": _Function(gcd, "a, b, ..."),
    "inverse": _Function(_inverse, "a, m"),
    "is_prime": _Function(_is_prime, "n", condition=True),
    "is_square": _Function(_is_square, "n", condition=True),
    "jacobi": _Function(_jacobi, "a, n"),
    "lcm": _Function(lcm, "a, b, ..."),
    "legendre": _Function(_legendre, "a, p"),
    "max": _Function(max, "a, b, ..."),
    "min": _Function(min, "a, b, ..."),
    "order": _Function(_order, "a, m"),
    "phi": _Function(_phi, "n"),
    "valuation": _Function(_valuation, "n, p"),
}
