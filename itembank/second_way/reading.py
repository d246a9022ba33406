"""Plain notation of a congruence in one unknown, read by code of the check's own.

`x^2 + 9x + 5 = 0 mod 117` is the polynomial f = left - right and the modulus.
Also read: ≡ for =, (mod 117), x² with raised digits, **, · and × for *, U+2212
for the minus sign, factors side by side (3x, 2(x + 1)(x - 4)), a polynomial on
either side, and a modulus written as an integer expression (7*11^2, 10^9 + 7).

What has two readings is refused, never guessed: a number to the right of a
factor without a sign between (`x2`, `3 4`) and a tower of exponents without
brackets.  Length, degree, size and nesting are bounded, so that no text takes
longer than a moment to read.
"""

import re
from dataclasses import dataclass, field
from itertools import zip_longest
from typing import NamedTuple

from itembank.second_way.budget import EXPANDED
from itembank.values.errors import StatementError

_LONGEST = 4_000
"""Characters of a statement."""
DEGREE = 1_000
_BITS = 8_000
"""Size of an integer: 30 digits to the power 60 is within it."""
_NESTED = 30

Poly = tuple[int, ...]
"""Coefficients, constant term first."""


@dataclass(frozen=True)
class Congruence:
    """f(x) ≡ 0 (mod modulus).

    `coefficients` of f, constant term first, are least residues and the last is not 0, so
    that equal congruences after reduction are equal values; () is the polynomial 0.
    `hints` are numbers that stood in the modulus as written and may be factors of it.
    """

    coefficients: Poly
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def congruence(statement: str) -> Congruence:
    """The congruence that one line of plain notation states; StatementError if none.

    >>> congruence("x² + 9x ≡ −5 (mod 9·13)")
    Congruence(coefficients=(5, 9, 1), modulus=117, hints=(9, 13))
    """
    reader = Reader(tokens(statement), statement)
    f = reader.polynomial()
    reader.expect("=", "a sign = or ≡")
    f = _difference(f, reader.polynomial())
    bracket = reader.take("(")
    reader.expect("mod", "mod and a modulus")
    hints = tuple(int(t.text) for t in reader.ahead() if t.kind == "number")
    m = reader.polynomial(constant=True)
    if bracket:
        reader.expect(")", "a closing bracket")
    reader.expect("end", "the end of the statement")
    if not m or m[0] < 1:
        raise StatementError(
            f"statement '{statement[:60]}': expected a modulus of at least 1, got {sum(m)}"
        )
    return Congruence(trimmed(tuple(c % m[0] for c in f)), m[0], hints)


# ------------------------------------------------------------ tokens


class Token(NamedTuple):
    kind: str
    text: str
    column: int


_PATTERNS = {
    "mod": r"mod(?![A-Za-z])",
    "number": r"[0-9]+",
    "letter": r"[A-Za-z]",
    "raised": r"[⁰¹²³⁴⁵⁶⁷⁸⁹]+",
    "^": r"\^|\*\*",
    "*": r"[*·⋅×]",
    "+": r"\+",
    "-": r"[-\u2212]",
    "=": r"[=≡]",
    "(": r"\(",
    ")": r"\)",
    "space": r"[ \t\u00a0\u2009\u202f\u2061-\u2064]+",
    "other": r".",
}
"""Kinds of token; the invisible operators of MathML (U+2061 to U+2064) count as spaces."""

_TOKEN = re.compile("|".join(f"(?P<k{i}>{p})" for i, p in enumerate(_PATTERNS.values())), re.S)
KINDS = tuple(_PATTERNS)
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")


def tokens(statement: str) -> list[Token]:
    """The tokens of a statement, without spaces, and an "end" after them."""
    if len(statement) > _LONGEST:
        raise StatementError(
            f"statement: expected at most {_LONGEST} characters, got {len(statement)}"
        )
    found = [
        Token(KINDS[int(match.lastgroup[1:])], match.group(), match.start() + 1)
        for match in _TOKEN.finditer(statement)
        if match.lastgroup
    ]
    return [t for t in found if t.kind != "space"] + [Token("end", "", len(statement) + 1)]


class Reader:
    """Recursive descent over the tokens of one statement.

    sum = [sign] product (sign product)*; product = power (["*"] power)*;
    power = atom [exponent]; atom = number | the unknown | "(" sum ")".
    """

    def __init__(self, found: list[Token], statement: str) -> None:
        self.tokens = found
        self.statement = statement
        self.at = 0
        self.unknown = ""
        self.constant = False
        self.depth = 0
        self.products = 0

    @property
    def token(self) -> Token:
        return self.tokens[self.at]

    def ahead(self) -> list[Token]:
        return self.tokens[self.at :]

    def fault(self, expected: str) -> StatementError:
        got = f"'{self.token.text[:20]}'" if self.token.text else "the end"
        return StatementError(
            f"statement '{self.statement[:60]}', column {self.token.column}: {expected}, got {got}"
        )

    def take(self, *kinds: str) -> Token | None:
        """The next token, passed over, if it is of one of these kinds."""
        token = self.token
        if token.kind not in kinds:
            return None
        self.at += token.kind != "end"
        return token

    def expect(self, kind: str, words: str) -> Token:
        token = self.take(kind)
        if token is None:
            raise self.fault(f"expected {words}")
        return token

    def polynomial(self, constant: bool = False) -> Poly:
        """A sum; if `constant`, without the unknown."""
        self.constant = constant
        return self.sum()

    def sum(self) -> Poly:
        sign = self.take("+", "-")
        total = self.signed(sign, self.product())
        while sign := self.take("+", "-"):
            total = _added(total, self.signed(sign, self.product()))
        return total

    @staticmethod
    def signed(sign: Token | None, f: Poly) -> Poly:
        return tuple(-c for c in f) if sign and sign.kind == "-" else f

    def product(self) -> Poly:
        f = self.power()
        while True:
            if self.take("*"):
                f = self._bounded(f, self.signed(self.take("-"), self.power()))
            elif self.token.kind == "letter" or (
                self.token.kind == "(" and self.tokens[self.at + 1].kind != "mod"
            ):
                f = self._bounded(f, self.power())
            else:
                return f

    def power(self) -> Poly:
        base = self.atom()
        if raised := self.take("raised"):
            exponent = self.integer(raised.text.translate(_RAISED))
        elif self.take("^"):
            exponent = self.exponent()
        else:
            return base
        if self.token.kind in ("^", "raised"):
            raise self.fault("expected one exponent (write brackets for a tower)")
        if base in ((), (1,), (-1,)):
            exponent = min(exponent, 2 + exponent % 2)  # the rest depends on its parity alone
        else:
            largest = max(abs(c) for c in base)
            size = exponent * (largest.bit_length() + len(base).bit_length() - 1)
            self.bound(exponent * (len(base) - 1), DEGREE, "the degree")
            self.bound(size, _BITS, "the number of binary digits")
        result: Poly = (1,)
        for _ in range(exponent):
            result = self._expanded(result, base)
        return result

    def exponent(self) -> int:
        if number := self.take("number"):
            return self.integer(number.text)
        opened = self.expect("(", "a whole number as exponent")
        outer, self.constant = self.constant, True
        inside = self._enclosed(opened)
        self.constant = outer
        if inside and inside[0] < 0:
            raise self.fault("expected an exponent of at least 0")
        return inside[0] if inside else 0

    def atom(self) -> Poly:
        if number := self.take("number"):
            return trimmed((self.integer(number.text),))
        if opened := self.take("("):
            return self._enclosed(opened)
        letter = self.token
        if letter.kind != "letter" or self.constant:
            raise self.fault(
                "expected a number" if self.constant else "expected a number or the unknown"
            )
        if self.unknown not in ("", letter.text):
            raise self.fault(f"expected the one unknown {self.unknown}")
        self.take("letter")
        self.unknown = letter.text
        return (0, 1)

    def _enclosed(self, opened: Token) -> Poly:
        """The sum after an opening bracket, and the closing one passed over."""
        self.depth += 1
        self.bound(self.depth, _NESTED, "the depth of brackets")
        inside = self.sum()
        self.expect(")", f"a bracket to close the one at column {opened.column}")
        self.depth -= 1
        return inside

    def integer(self, digits: str) -> int:
        self.bound(len(digits) * 10 // 3, _BITS, "the number of binary digits")
        return int(digits)

    def _bounded(self, f: Poly, g: Poly) -> Poly:
        """f*g, if neither its degree nor its coefficients are too large."""
        self.bound(len(f) + len(g) - 2, DEGREE, "the degree")
        size = [max((abs(c) for c in h), default=0).bit_length() for h in (f, g)]
        self.bound(sum(size), _BITS, "the number of binary digits")
        return self._expanded(f, g)

    def _expanded(self, f: Poly, g: Poly) -> Poly:
        """f*g, if it and all that was multiplied out before is not too much work."""
        self.products += len(f) * len(g)
        self.bound(self.products, EXPANDED, "the products of coefficients, multiplied out,")
        return _multiplied(f, g)

    def bound(self, size: int, limit: int, what: str) -> None:
        if size > limit:
            raise StatementError(
                f"statement '{self.statement[:60]}': expected {what} to be at most {limit}, "
                f"got {size}"
            )


# ------------------------------------------------------------ polynomials


def trimmed(f: Poly) -> Poly:
    """f without zeros at the top."""
    n = len(f)
    while n and f[n - 1] == 0:
        n -= 1
    return f[:n]


def _added(f: Poly, g: Poly) -> Poly:
    return trimmed(tuple(a + b for a, b in zip_longest(f, g, fillvalue=0)))


def _difference(f: Poly, g: Poly) -> Poly:
    return _added(f, tuple(-c for c in g))


def _multiplied(f: Poly, g: Poly) -> Poly:
    total = [0] * max(len(f) + len(g) - 1, 0)
    for i, a in enumerate(f):
        for j, b in enumerate(g):
            total[i + j] += a * b
    return trimmed(tuple(total))
