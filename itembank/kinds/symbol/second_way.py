"""The second way for Legendre's, Jacobi's and Kronecker's symbols: by their definitions.

The bottom is taken apart into primes. For each prime the squares are listed, or Euler's
criterion is applied; no reciprocity.
"""

import re
from dataclasses import dataclass, field
from functools import lru_cache

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.primes import prime_powers
from itembank.second_way.verdict import Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_LISTED = 2_000
"""The largest prime whose squares are listed."""


@dataclass(frozen=True)
class Symbol:
    """The symbol (top/bottom)."""

    top: int
    bottom: int
    hints: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus(self) -> int:
        return max(abs(self.bottom), 1)


_FORMS = (
    re.compile(
        r"(?:(?:the )?(?P<name>legendre|jacobi|kronecker)(?:'s)?(?: symbol)? ?)?"
        r"\((?P<top>\([^()]+\)|[^()/]+)/(?P<bottom>\([^()]+\)|[^()/]+)\)",
        re.I,
    ),
    re.compile(
        r"(?:the )?(?P<name>legendre|jacobi|kronecker)(?:'s)?(?: symbol)? "
        r"(?P<top>[^ ,]+)[ ,]+(?P<bottom>[^ ,]+)",
        re.I,
    ),
)


def read(statement: str) -> Symbol | None:
    """The question of "(3/7)", "jacobi 45 77" and the like; None for another form."""
    text = " ".join(statement.split())
    match = _FORMS[0].fullmatch(text) or _FORMS[1].fullmatch(text)
    if match is None:
        return None
    found = Symbol(units.integer(match["top"], text), units.integer(match["bottom"], text))
    if (match["name"] or "").lower() != "kronecker" and not (found.bottom > 0 and found.bottom % 2):
        raise StatementError(
            f"statement '{statement[:60]}': expected an odd bottom of at least 1, "
            f"got {found.bottom}"
        )
    return found


def _value(question: Symbol) -> int:
    a, n = question.top, question.bottom
    if n == 0:
        return int(a in (1, -1))
    found = -1 if n < 0 and a < 0 else 1
    for p, k in prime_powers(abs(n), question.hints):
        found *= (_at_two(a) if p == 2 else _legendre(a % p, p)) ** k
    return found


def _at_two(a: int) -> int:
    """(a/2), by Kronecker's definition."""
    return 0 if a % 2 == 0 else 1 if a % 8 in (1, 7) else -1


def _legendre(a: int, p: int) -> int:
    """(a/p) for an odd prime p and 0 <= a < p."""
    if a == 0:
        return 0
    if p <= _LISTED:
        return 1 if a in _squares(p) else -1
    return 1 if pow(a, (p - 1) // 2, p) == 1 else -1


@lru_cache(maxsize=512)
def _squares(p: int) -> frozenset[int]:
    return frozenset(x * x % p for x in range(1, p))


def _value_verdict(question: Symbol, claim: int) -> Verdict:
    found = _value(question)
    method = done(
        "taken apart into prime factors; for each the squares listed, or Euler's criterion"
    )
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


KIND = Kind(checks={"the value": _value_verdict}, solutions=lambda question: None)
