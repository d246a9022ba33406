"""The way to a Legendre or Jacobi symbol: lines that each take up what the one before leaves."""

import re
from collections.abc import Mapping
from math import gcd

from itembank.audit.reckoning import prime_powers, read_line, small
from itembank.audit.squeezed import Known
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Symbol
from itembank.values.worded import worded

_CHAIN = re.compile(r"\((-?\d+)/(\d+)\)=(-?)(?:\((-?\d+)/(\d+)\)|(\d+))")


def _symbol_value(a: int, n: int) -> int:
    """(a/n) for odd n >= 1: for each prime of n, whether a is a square, by trial."""
    value = 1
    for p, k in prime_powers(n):
        small(p)
        squares = {x * x % p for x in range(1, p)}
        value *= (0 if a % p == 0 else 1 if a % p in squares else -1) ** k
    return value


def chained(question: Symbol, lines: Mapping[str, str], known: Known) -> list[str]:
    """The names of lines that each take up what the one before leaves, the value last.

    Raises Unsupported for a line that is untrue, or that no chain holds.
    """
    told = {name: _read_rule(line, known) for name, line in lines.items()}
    symbol, left = (question.top, question.bottom), dict(told)
    order: list[str] = []
    small(question.bottom)
    values = [n for n, (rule, _s, after) in told.items() if rule == "value"]
    if len(values) != 1 or told[values[0]][1:] != (symbol, _symbol_value(*symbol)):
        raise Unsupported(worded("a way to a symbol that does not end with its value"))
    del left[values[0]]
    at: object = symbol
    while left:
        found = [n for n, (_r, before, _a) in left.items() if before == at]
        if len(found) != 1:
            raise Unsupported(worded("a way to a symbol with a line that takes up no other"))
        order.append(found[0])
        at = left.pop(found[0])[2]
    if isinstance(at, tuple):
        raise Unsupported(worded("a way to a symbol that leaves one to be found"))
    return [*order, values[0]]


_Rule = tuple[str, tuple[int, int], "tuple[int, int] | int"]


def _read_rule(text: str, known: Known) -> _Rule:
    """The rule of a line, its symbol, and the symbol or the number that it leaves."""
    for name, (told, *_) in read_line(text, known, "and"):
        match = _CHAIN.fullmatch(told)
        if match and (found := _rule(name, match)):
            return found
    raise Unsupported(worded("the line '{text}', which is no rule of symbols", text=text[:60]))


def _rule(name: str, match: re.Match[str]) -> _Rule | None:
    """The rule that a line states, where it is true and leads to what it says."""
    before = int(match[1]), int(match[2])
    sign = -1 if match[3] else 1
    after = (int(match[4]), int(match[5])) if match[4] else sign * int(match[6])
    value = sign * _symbol_value(*after) if isinstance(after, tuple) else after
    if before[1] % 2 == 0 or _symbol_value(*before) != value or not _follows(name, before, after):
        return None
    return name, before, after


def _follows(name: str, before: tuple[int, int], after: tuple[int, int] | int) -> bool:
    """Whether a rule of this name leads from one symbol to the other."""
    (a, n), (b, k) = before, after if isinstance(after, tuple) else (0, 0)
    match name:
        case "reduce top":
            return k == n and b == a % n
        case "twos":
            odd = a // (a & -a) if a else 0
            return (k == n and b == odd) if k else odd == 1
        case "turn":
            return (b, k) == (n, a)
        case "minus one top":
            return k == 0 and (a + 1) % n == 0
        case "square top":
            return k == 0 and any(x * x == a for x in range(a + 1))
        case "common factor":
            return k == 0 and gcd(a, n) > 1
        case "one below":
            return k == 0 and n == 1
    return name == "value" and k == 0
