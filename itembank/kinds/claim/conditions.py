"""What a claim assumes and what it says follows, as formulas: shown, stated and tried.

A condition is typed as people type it: "a^2 = b^2 mod 8", "a != 0 mod 7", "gcd(a, 12) = 1",
"x^2 = a mod 7 has exactly 2 solutions".
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import gcd

from itembank.kinds.typed import walk
from itembank.notation.building import congruence, equal
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Call,
    Group,
    Letter,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
    Sum,
)
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_COUNTED = re.compile(r"(?P<congruence>.+) has exactly (?P<count>\d+) solutions")
_DENIED = re.compile(r"(.+) != (.+) mod (\d+)")
_COPRIME = re.compile(r"gcd\((.+), (\d+)\) = 1")

Values = Mapping[str, int]


@dataclass(frozen=True)
class Condition:
    """left = right (mod m), denied or not; or gcd(left, m) = 1, for `coprime`.

    count: the number of x that solve it is this one, instead.
    """

    left: Math
    right: Math
    m: int
    denied: bool = False
    coprime: bool = False
    count: int | None = None

    @property
    def shown(self) -> Math:
        if self.coprime:
            return equal(Call(Letter("gcd"), (self.left, Number(self.m))), 1)
        if self.denied:
            return Modulo(Relation((self.left, self.right), ("≢",)), Number(self.m))
        return congruence(self.left, self.right, self.m)

    @property
    def letters(self) -> tuple[str, ...]:
        found = {
            n.name for side in (self.left, self.right) for n in walk(side) if isinstance(n, Letter)
        }
        return tuple(sorted(found - {"x"}))

    def holds(self, values: Values) -> bool:
        if self.coprime:
            return gcd(value(self.left, values, self.m), self.m) == 1
        if self.count is None:
            return self.solved(values) is not self.denied
        return self.solutions(values) == self.count

    def solutions(self, values: Values) -> int:
        """The number of x that solve it with these values."""
        return sum(self.solved({**values, "x": x}) for x in range(self.m))

    def divisor(self, values: Values) -> Math:
        """gcd(a, 9) = 3."""
        found = gcd(value(self.left, values, self.m), self.m)
        return equal(Call(Letter("gcd"), (self.left, Number(self.m))), found)

    def failing(self, values: Values) -> Math:
        """That it does not hold with these values: a^2 ≡ 4 ≢ 1 (mod 8), gcd(a, 9) = 3."""
        if self.coprime:
            return self.divisor(values)
        left, right = (self.worth(side, values) for side in (self.left, self.right))
        between = "≡" if self.denied else "≢"
        signs = ("≡",) * len(left) + (between,) + ("≡",) * len(right)
        sides = (self.left, *left, *right, self.right)
        return Modulo(Relation(sides, signs), Number(self.m))

    def worth(self, side: Math, values: Values) -> tuple[Math, ...]:
        """The value of a side; () for one that shows it by itself."""
        return () if is_plain(side, values, self.m) else (Number(value(side, values, self.m)),)

    def solved(self, values: Values) -> bool:
        return (value(self.left, values, self.m) - value(self.right, values, self.m)) % self.m == 0


@cache
def condition(text: str) -> Condition:
    """The condition that is typed."""
    if match := _COPRIME.fullmatch(text):
        return Condition(formula(match[1]), Number(0), int(match[2]), coprime=True)
    if match := _DENIED.fullmatch(text):
        return Condition(formula(match[1]), formula(match[2]), int(match[3]), denied=True)
    counted = _COUNTED.fullmatch(text)
    match formula(counted["congruence"] if counted else text):
        case Modulo(Relation((left, right), ("≡",)), Number(m)):
            return Condition(left, right, m, count=int(counted["count"]) if counted else None)
    raise StatementError(
        worded("{text}: expected a congruence, as in a^2 = b^2 mod 8", text=repr(text))
    )


def is_plain(side: Math, values: Values, m: int) -> bool:
    """Whether a side shows its value by itself: a number, a letter for a least residue."""
    return isinstance(side, Number) or (isinstance(side, Letter) and values[side.name] < m)


def value(node: Math, values: Values, m: int) -> int:
    """The value of a side modulo m."""
    match node:
        case Number(n):
            return n % m
        case Letter(name):
            return values[name] % m
        case Group(inside):
            return value(inside, values, m)
        case Minus(term):
            return -value(term, values, m) % m
        case Sum(terms):
            return sum(sign * value(term, values, m) for sign, term in terms) % m
        case Product(factors):
            total = 1
            for factor in factors:
                total = total * value(factor, values, m) % m
            return total
        case Power(base, Number(e)):
            return pow(value(base, values, m), e, m)
    raise StatementError(worded("expected sums, products and powers of letters and numbers"))
