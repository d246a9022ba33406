"""Lines of a way that cannot belong to it: what they claim is not so.

A line is untrue by itself where its two sides, reckoned out, differ; or where the way, found anew,
says other numbers of the same thing modulo the same number.  What neither shows is no proof: such
a line may be true, or could stand there rightly.

Notation: m modulus, x an unknown.
"""

import re
from collections.abc import Collection, Sequence
from itertools import pairwise
from math import gcd

from itembank.audit.reckoning import Line, Numbers, phi, small, to_the_power

_LARGEST_EXPONENT = 10**4
_LONGEST = 400
"""Characters of a formula that is reckoned out."""

_MODULO = re.compile(r"(.*)\(mod (\d{1,12})\)")
_TOKEN = re.compile(r"\d{1,12}|[-+*^!(),]|φ|gcd")
_SPLIT = re.compile("[=≡]")
_NUMBERS = re.compile(r"-?\d{1,12}(?:,-?\d{1,12})*")


def is_untrue(line: Line, way: Collection[Line], moduli: Numbers) -> bool:
    """Whether what a line claims is not so; the line is in the words of one of the way.

    `moduli` are those of a system, in the order of its congruences.
    """
    name, parts = line
    alike = [told for other, told in way if other == name and len(told) == len(parts)]
    if not alike:
        return False
    if name in _INVERSES and moduli:
        return any(_other_inverses(parts[0], told[0], moduli) for told in alike)
    return any(map(is_false, parts)) or any(_contradicts(parts, told) for told in alike)


_INVERSES = ("inverses", "inverses of two")


def _other_inverses(told: str, right: str, moduli: Numbers) -> bool:
    """Whether some of the inverses are none, each modulo its own modulus."""
    found, known = _numbers(told), _numbers(right)
    if found is None or known is None or not len(found) == len(known) == len(moduli):
        return False
    return any((a - b) % m for a, b, m in zip(found, known, moduli, strict=True))


# ------------------------------------------------------------ against the way


def _contradicts(parts: Sequence[str], right: Sequence[str]) -> bool:
    """Whether one claim alone differs, and says other residues of the same unknown."""
    differing = [(a, b) for a, b in zip(parts, right, strict=True) if a != b]
    return len(differing) == 1 and _other_residues(*differing[0])


def _other_residues(told: str, right: str) -> bool:
    """kx = r, s, ... (mod m) in both, of the same k and m, and not for the same residues."""
    one, other = _MODULO.fullmatch(told), _MODULO.fullmatch(right)
    if one is None or other is None or one[2] != other[2]:
        return False
    (left, _, found), (known_left, _, known) = one[1].partition("≡"), other[1].partition("≡")
    if left != known_left or not re.fullmatch(r"\d*[a-z]", left):
        return False
    m, residues, expected = int(one[2]), _numbers(found), _numbers(known)
    if not m or residues is None or expected is None:
        return False
    return {r % m for r in residues} != {r % m for r in expected}


def _numbers(text: str) -> Numbers | None:
    return tuple(map(int, text.split(","))) if _NUMBERS.fullmatch(text) else None


# ------------------------------------------------------------ by itself


class _NotReckoned(Exception):
    """A formula holds what is not reckoned out."""


def is_false(formula: str) -> bool:
    """Whether two sides differ that should be equal, or congruent; False where that is not seen.

    >>> is_false("24=3*7+4"), is_false("2*5≡1(mod 9)"), is_false("3^2,3^4≡9,4(mod 11)")
    (True, False, False)
    >>> is_false("φ(12)=11"), is_false("5!≡1(mod 7)"), is_false("x≡3(mod 7)")
    (True, False, False)
    """
    match = _MODULO.fullmatch(formula)
    claim, m = (match[1], int(match[2])) if match else (formula, 0)
    if len(claim) > _LONGEST or (match and not m) or ("≡" in claim) != bool(m):
        return False
    try:
        return any(_differ(part, m) for part in _equations(claim))
    except _NotReckoned:
        return False


def _equations(claim: str) -> list[list[str]]:
    """The sides of a chain; of several equations between commas those of each."""
    parts = claim.split(",")
    if len(parts) > 1 and all("=" in part for part in parts):
        return [part.split("=") for part in parts]
    return [_SPLIT.split(claim)]


def _differ(sides: list[str], m: int) -> bool:
    values = [_Reckoning(side, m).all() for side in sides]
    return any(one != other for one, other in pairwise(values) if len(one) == len(other))


class _Reckoning:
    """A list of sums of products, reckoned out modulo m, or as integers if m is 0."""

    def __init__(self, text: str, m: int) -> None:
        self.tokens = _TOKEN.findall(text)
        if "".join(self.tokens) != text:
            raise _NotReckoned
        self.tokens.append("")
        self.m = m

    def all(self) -> list[int]:
        found = [self.sum()]
        while self.taken(","):
            found.append(self.sum())
        if self.tokens != [""]:
            raise _NotReckoned
        return found

    def taken(self, token: str) -> bool:
        if self.tokens[0] != token:
            return False
        del self.tokens[0]
        return True

    def needed(self, token: str) -> None:
        if not self.taken(token):
            raise _NotReckoned

    def sum(self) -> int:
        value = -self.product() if self.taken("-") else self.product()
        while self.tokens[0] in ("+", "-"):
            value += self.product() if self.taken("+") else self.subtracted()
        return self.reduced(value)

    def subtracted(self) -> int:
        self.needed("-")
        return -self.product()

    def product(self) -> int:
        value = self.power()
        while self.taken("*"):
            factor = -self.power() if self.taken("-") else self.power()
            value = self.reduced(value * factor)
        return value

    def power(self) -> int:
        base = self.atom()
        if self.taken("^"):
            exponent = self.number()
            if self.m:
                small(self.m)
                return to_the_power(base % self.m, exponent, self.m)
            if exponent > _LARGEST_EXPONENT:
                raise _NotReckoned
            return int(base**exponent)
        return base

    def atom(self) -> int:
        if self.taken("("):
            value = self.sum()
            self.needed(")")
        elif self.taken("φ"):
            (value,) = self.arguments(1)
            small(value)
            value = phi(value)
        elif self.taken("gcd"):
            value = gcd(*self.arguments(2))
        else:
            value = self.number()
        return self.factorial(value) if self.taken("!") else value

    def arguments(self, n: int) -> list[int]:
        self.needed("(")
        found = [self.number()]
        while self.taken(","):
            found.append(self.number())
        self.needed(")")
        if len(found) != n:
            raise _NotReckoned
        return found

    def number(self) -> int:
        if not self.tokens[0].isdecimal():
            raise _NotReckoned
        return int(self.tokens.pop(0))

    def factorial(self, n: int) -> int:
        if n > _LARGEST_EXPONENT:
            raise _NotReckoned
        value = 1
        for factor in range(2, n + 1):
            value = self.reduced(value * factor)
        return value

    def reduced(self, value: int) -> int:
        return value % self.m if self.m else value
