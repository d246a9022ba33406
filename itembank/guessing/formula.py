"""A small reader of formulas, for students who can substitute a number and no more.

It reads `x^2+9*x+5=0 (mod 117)`, evaluates it, and reads off the symmetry that its solutions must
have: nothing is solved.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import gcd, lcm
from unicodedata import normalize

Number = int | tuple[int, ...]
"""The value of x; or of x and y."""

Term = Callable[[dict[str, int], int], int]
"""A value modulo m, of the values of the letters."""

_TOKEN = re.compile(r"\s*(\d+|[A-Za-z]|[-+*^()=])")
_CONGRUENCE = re.compile(r"(?P<left>[^=]+)=(?P<right>[^=]+?)\s*\(?\s*mod\s+(?P<m>[1-9]\d*)\s*\)?")
_LONGEST = 300
"""Characters of a row, and with them the depth of its terms."""

_DEEPEST = 20
"""Brackets of a row."""

_LARGEST_ORBIT = 1000
"""More residues that go together are not written down by anybody."""

_FEW_PRIMES = (2, 3, 5, 7, 11, 13)
"""Modulo these all residues are tried."""


class _Unread(Exception):
    """A formula beyond this reader."""


# ------------------------------------------------------------ reading


@dataclass
class _Reader:
    """The tokens of one side, read from the left."""

    tokens: list[str]
    at: int = 0

    def next(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        token = self.next()
        self.at += 1
        return token

    def sum(self) -> Term:
        negative = self.next() == "-"
        if negative:
            self.take()
        value = _negated(self.product()) if negative else self.product()
        while self.next() in ("+", "-"):
            sign = self.take()
            term = self.product()
            value = _added(value, term if sign == "+" else _negated(term))
        return value

    def product(self) -> Term:
        value = self.power()
        while (token := self.next()) and (token == "*" or token == "(" or token.isalnum()):
            if token == "*":
                self.take()
            value = _multiplied(value, self.power())
        return value

    def power(self) -> Term:
        base = self.atom()
        if self.next() != "^":
            return base
        self.take()
        return _raised(base, self.exponent())

    def exponent(self) -> Term:
        """A number or a letter, perhaps in brackets: what cannot be negative."""
        bracket = self.next() == "("
        if bracket:
            self.take()
        if not self.next().isalnum():
            raise _Unread
        value = self.atom()
        if bracket and self.take() != ")":
            raise _Unread
        return value

    def atom(self) -> Term:
        token = self.take()
        if token.isdigit():
            return _constant(int(token))
        if token.isalpha():
            return _letter(token)
        if token == "(":
            value = self.sum()
            if self.take() != ")":
                raise _Unread
            return value
        raise _Unread


def _constant(n: int) -> Term:
    return lambda _env, m: n % m if m else n


def _letter(name: str) -> Term:
    return lambda env, m: env[name] % m if m else env[name]


def _negated(a: Term) -> Term:
    return lambda env, m: -a(env, m)


def _added(a: Term, b: Term) -> Term:
    return lambda env, m: a(env, m) + b(env, m)


def _multiplied(a: Term, b: Term) -> Term:
    return lambda env, m: a(env, m) * b(env, m)


def _raised(a: Term, b: Term) -> Term:
    """An exponent is an integer, not a residue; it has no powers of its own and is not negative."""

    def value(env: dict[str, int], m: int) -> int:
        exponent = b(env, 0)
        if not m or exponent < 0:
            raise _Unread
        return pow(a(env, m), exponent, m)

    return value


def _side(text: str) -> tuple[Term, frozenset[str]]:
    tokens, at = [], 0
    text = text.strip()
    while at < len(text):
        found = _TOKEN.match(text, at)
        if not found:
            raise _Unread
        tokens.append(found[1])
        at = found.end()
    reader = _Reader(tokens)
    term = reader.sum()
    if reader.next():
        raise _Unread
    return term, frozenset(filter(str.isalpha, tokens))


_SIGNS = str.maketrans({"≡": "=", "−": "-", "·": "*", "⋅": "*", "\u2061": "", "\u2062": ""})
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹]+")


def _in_ascii(row: str) -> str:
    """The row with the signs of print as they are typed."""
    raised = _RAISED.sub(lambda found: "^" + normalize("NFKC", found[0]), row)
    return raised.translate(_SIGNS).strip()


@lru_cache(maxsize=1024)
def congruence(row: str) -> "Congruence | None":
    """A row `f = g (mod m)`; None for anything else.

    >>> congruence("x^2+9*x+5=0 (mod 117)").holds(26), congruence("0<=x<180")
    (False, None)
    >>> congruence("x² − 4 ≡ 0 (mod 5)").holds(3)
    True
    """
    readable = len(row) <= _LONGEST and row.count("(") <= _DEEPEST
    found = _CONGRUENCE.fullmatch(_in_ascii(row)) if readable else None
    if not found:
        return None
    try:
        left, of_left = _side(found["left"])
        right, of_right = _side(found["right"])
        row_read = Congruence(left, right, tuple(sorted(of_left | of_right)), int(found["m"]))
        row_read.holds(1)
    except (_Unread, ValueError):
        return None
    return row_read if row_read.letters else None


# ------------------------------------------------------------ substituting


@dataclass(frozen=True)
class Congruence:
    """left = right modulo m, in some letters."""

    left: Term
    right: Term
    letters: tuple[str, ...]
    modulus: int

    def residual(self, values: dict[str, int], m: int) -> int:
        return (self.left(values, m) - self.right(values, m)) % m

    def holds(self, x: int) -> bool:
        return self.residual(dict.fromkeys(self.letters, x), self.modulus) == 0


@dataclass(frozen=True)
class System:
    """The congruences of a stem, all in the same unknowns."""

    rows: tuple[Congruence, ...]

    @cached_property
    def letters(self) -> tuple[str, ...]:
        return tuple(sorted({letter for row in self.rows for letter in row.letters}))

    @cached_property
    def modulus(self) -> int:
        return lcm(*(row.modulus for row in self.rows))

    def holds(self, x: Number, modulo: int = 0) -> bool | None:
        """Whether x solves all, or all modulo a divisor; None if x is not of their unknowns."""
        if (x, modulo) not in self.tried:
            self.tried[x, modulo] = self._tells(x, modulo)
        return self.tried[x, modulo]

    @cached_property
    def tried(self) -> dict[tuple[Number, int], bool | None]:
        """What was substituted so far, since one habit after another tries the same options."""
        return {}

    def _tells(self, x: Number, modulo: int) -> bool | None:
        values = self.values(x)
        if values is None:
            return None
        try:
            return all(
                row.residual(values, m) == 0
                for row in self.rows
                if (m := gcd(row.modulus, modulo) if modulo else row.modulus) > 1
            )
        except _Unread:
            return None

    def values(self, x: Number) -> dict[str, int] | None:
        given = x if isinstance(x, tuple) else (x,)
        if len(given) != len(self.letters):
            return None
        return dict(zip(self.letters, given, strict=True))

    @cached_property
    def polynomial(self) -> tuple[int, int, int] | None:
        """(a, b, c) where the one congruence is a x^2 + b x + c; None where it is not.

        Read off from three values and held against five more.
        """
        if len(self.rows) != 1 or len(self.letters) != 1:
            return None
        (row,), m = self.rows, self.modulus
        name = self.letters[0]

        def f(x: int) -> int:
            return row.residual({name: x}, _BEYOND * m)

        c = f(0)
        twice = f(2) - 2 * f(1) + c
        if twice % 2:
            return None
        a = twice // 2
        b = f(1) - a - c
        if any((a * x * x + b * x + c - f(x)) % m for x in range(3, 8)):
            return None
        return a % m, b % m, c % m

    @cached_property
    def _is_even(self) -> bool:
        """Whether the one congruence has even powers alone, as far as values tell."""
        if len(self.rows) != 1 or len(self.letters) != 1:
            return False
        (row,), m = self.rows, self.modulus
        name = self.letters[0]
        return m > 2 and all(
            row.residual({name: x}, m) == row.residual({name: -x % m}, m) for x in range(1, 6)
        )

    def orbit(self, x: int) -> frozenset[int] | None:
        """x with the residues that must be solutions if it is one; None if nothing is read off.

        The partner -b/a - x of a quadratic, the negative where powers are even, the steps
        m/gcd(a, m) of a linear congruence.
        """
        m = self.modulus
        if self.polynomial:
            a, b, _c = self.polynomial
            if a and gcd(a, m) == 1:
                return frozenset((x % m, (-b * pow(a, -1, m) - x) % m))
            if not a:
                step = m // gcd(b, m)
                few = m // step <= _LARGEST_ORBIT
                return frozenset(range(x % step, m, step)) if few else None
        return frozenset((x % m, -x % m)) if self._is_even else None


_BEYOND = 2
"""Twice a value is halved, so that it is wanted modulo twice the modulus."""


def small_prime(m: int) -> int | None:
    """The smallest prime factor of m, if it is small and m is not prime itself.

    >>> small_prime(117), small_prime(11), small_prime(17 * 19)
    (3, None, None)
    """
    return next((p for p in _FEW_PRIMES if m % p == 0 and p < m), None)
