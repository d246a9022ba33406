"""The second way for claims: every choice of residues for the letters is tried.

A claim is a condition on integers and what is said to follow from it.  All of both depends on
the letters modulo the numbers that are named alone, so that residues modulo their least
common multiple stand for all integers.  Nothing is known here of why a claim holds.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import product
from math import gcd, lcm, prod
from typing import ClassVar

from itembank.second_way.kind import Kind
from itembank.second_way.reading import Token, tokens
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_TRIED = 60_000
"""The most choices of residues that are tried."""

_LARGEST = 1000
"""The largest modulus."""

_HOW = done("every choice of residues tried for the letters")

_VERDICTS = ("never", "sometimes", "always")
"""By their numbers 0, 1, 2."""

Values = Mapping[str, int]


@dataclass(frozen=True)
class Condition:
    """What is said of the letters: a relation of two sides modulo m, denied or not.

    coprime: gcd(left, m) = 1 instead.  count: how many x solve left = right, instead.
    """

    left: str
    right: str
    modulus: int
    denied: bool = False
    coprime: bool = False
    count: int | None = None

    def holds(self, values: Values) -> bool:
        m = self.modulus
        if self.coprime:
            return gcd(_value(self.left, values, m), m) == 1
        if self.count is None:
            return self.equal(values) != self.denied
        return sum(self.equal({**values, "x": x}) for x in range(m)) == self.count

    def equal(self, values: Values) -> bool:
        m = self.modulus
        return (_value(self.left, values, m) - _value(self.right, values, m)) % m == 0

    @property
    def letters(self) -> set[str]:
        found = set(re.findall("[a-z]", self.left + self.right))
        return found - {"x"} if self.count is not None else found


@dataclass(frozen=True)
class Claim:
    """If all of `given` hold, one of `follows` does."""

    given: tuple[Condition, ...]
    follows: tuple[Condition, ...]
    modulus: ClassVar[None] = None
    hints: tuple[int, ...] = field(default=(), compare=False)


# ------------------------------------------------------------ reading

_CLAIM = re.compile(r"claim: (?:if (?P<given>.+?) then )?(?P<follows>.+)", re.I)
_COPRIME = re.compile(r"gcd ?\((?P<left>[^,]+), ?(?P<m>\d{1,4})\) ?= ?1")
_COUNTED = re.compile(r"(?P<congruence>.+) has exactly (?P<count>\d{1,4}) solutions?")
_RELATION = re.compile(
    r"(?P<left>[^=≡≢!]+)(?P<sign>=|≡|≢|!=)(?P<right>[^=≡≢]+?) ?\(?mod (?P<m>\d{1,4})\)?"
)
_SPACES = re.compile("[\\s\\u2061-\\u2064]+")


def read(statement: str) -> Claim | None:
    """The claim of "claim: if a = b mod 4 then a^2 = b^2 mod 8"; None for another form."""
    match = _CLAIM.fullmatch(_SPACES.sub(" ", statement.strip()))
    if match is None:
        return None
    given = tuple(map(_condition, match["given"].split(" and "))) if match["given"] else ()
    return Claim(given, tuple(map(_condition, match["follows"].split(" or "))))


def _condition(text: str) -> Condition:
    text = text.strip()
    if match := _COPRIME.fullmatch(text):
        return _of(match["left"], "0", match["m"], coprime=True)
    if counted := _COUNTED.fullmatch(text):
        relation = _condition(counted["congruence"])
        if relation.coprime or relation.denied or relation.count is not None:
            raise StatementError(f"statement '{text[:60]}': expected a congruence to count by")
        m, count = str(relation.modulus), int(counted["count"])
        return _of(relation.left, relation.right, m, count=count)
    match = _RELATION.fullmatch(text)
    if match is None:
        raise StatementError(f"statement '{text[:60]}': expected a relation modulo a number")
    denied = match["sign"] in ("≢", "!=")
    return _of(match["left"], match["right"], match["m"], denied=denied)


def _of(
    left: str,
    right: str,
    modulus: str,
    denied: bool = False,
    coprime: bool = False,
    count: int | None = None,
) -> Condition:
    """The condition, its sides in one spelling."""
    m = int(modulus)
    for side in (left, right):
        _reckoned(_spelled(side), m)
    if not 1 <= m <= _LARGEST:
        raise StatementError(f"statement: expected a modulus of 1 to {_LARGEST}, got {m}")
    return Condition(_spelled(left), _spelled(right), m, denied, coprime, count)


def _spelled(side: str) -> str:
    """A side with signs alone between its tokens, raised digits as exponents."""
    return "".join(token.text for token in _ascii_tokens(side))


def _ascii_tokens(side: str) -> Iterator[Token]:
    for token in tokens(side):
        match token.kind:
            case "raised":
                digits = token.text.translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789"))
                yield token._replace(kind="^", text="^")
                yield token._replace(kind="number", text=digits)
            case "^" | "*" | "-":
                yield token._replace(text=token.kind)
            case "number" | "letter" | "+" | "(" | ")" | "end":
                yield token
            case _:
                raise StatementError(f"statement '{side[:60]}': expected sums and products")


# ------------------------------------------------------------ values


_Reckoned = Callable[[Values], int]


class _Reckoner:
    """How the value of a side modulo m is found: recursive descent over its tokens."""

    def __init__(self, side: str, m: int) -> None:
        self.tokens = [(t.kind, t.text) for t in tokens(side)]
        self.m, self.at = m, 0

    def next(self, *kinds: str) -> str | None:
        kind, text = self.tokens[self.at]
        if kind not in kinds:
            return None
        self.at += kind != "end"
        return text

    def whole(self) -> _Reckoned:
        found = self.sum()
        if self.next("end") is None:
            raise StatementError("statement: expected the end of a side")
        return found

    def sum(self) -> _Reckoned:
        sign = self.next("+", "-")
        terms = [(-1 if sign == "-" else 1, self.product())]
        while sign := self.next("+", "-"):
            terms.append((-1 if sign == "-" else 1, self.product()))
        return lambda values: sum(s * term(values) for s, term in terms) % self.m

    def product(self) -> _Reckoned:
        factors = [self.power()]
        while self.next("*") or self.tokens[self.at][0] in ("letter", "("):
            factors.append(self.power())
        return lambda values: prod(factor(values) for factor in factors) % self.m

    def power(self) -> _Reckoned:
        base = self.atom()
        if not self.next("^"):
            return base
        exponent = self.next("number")
        if exponent is None or len(exponent) > 4:
            raise StatementError("statement: expected a number as exponent")
        e = int(exponent)
        return lambda values: pow(base(values), e, self.m)

    def atom(self) -> _Reckoned:
        if number := self.next("number"):
            n = int(number)
            return lambda _values: n
        if letter := self.next("letter"):
            return lambda values: values[letter]
        if self.next("(") is None:
            raise StatementError("statement: expected a number, a letter or a bracket")
        inside = self.sum()
        if self.next(")") is None:
            raise StatementError("statement: expected a closing bracket")
        return inside


@lru_cache(maxsize=1024)
def _reckoned(side: str, m: int) -> _Reckoned:
    return _Reckoner(side, m).whole()


def _value(side: str, values: Values, m: int) -> int:
    """The value of a side modulo m."""
    return _reckoned(side, m)(values)


# ------------------------------------------------------------ the verdict


def _verdict(claim: Claim) -> int:
    """2 always, 1 sometimes, 0 never; Undecided where nothing fits the condition."""
    conditions = (*claim.given, *claim.follows)
    letters = sorted({letter for c in conditions for letter in c.letters})
    whole = lcm(*(c.modulus for c in conditions))
    if whole ** len(letters) > _TRIED:
        raise Undecided(f"{len(letters)} letters modulo {whole}: too many choices to try")
    found = set()
    for residues in product(range(whole), repeat=len(letters)):
        values = dict(zip(letters, residues, strict=True))
        if all(c.holds(values) for c in claim.given):
            found.add(any(c.holds(values) for c in claim.follows))
            if len(found) == 2:
                return 1
    if not found:
        raise Undecided("no integers fit the condition")
    return 2 if True in found else 0


def _check(claim: Claim, claimed: object) -> Verdict:
    right = _verdict(claim)
    if claimed == right and not isinstance(claimed, bool):
        return agreed(_HOW)
    said = _VERDICTS[claimed] if isinstance(claimed, int) and 0 <= claimed <= 2 else claimed
    return disagreed(_HOW, f"expected {_VERDICTS[right]}, the answer says {said}")


KIND = Kind({"the value": _check, "always, sometimes or never": _check}, lambda _claim: None)
