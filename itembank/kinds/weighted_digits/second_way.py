"""The second way for check-digit schemes: digits are put in, and errors are made, one by one."""

import re
from dataclasses import dataclass, field
from itertools import permutations

from itembank.second_way import in_words, units
from itembank.second_way.verdict import done

_LIST = r"(\d+(?:, ?\d+)*)"
_DIGIT = re.compile(rf"digit for \? in ([\d?]+) with weights {_LIST} mod (.+)", re.I)
_PLACES = re.compile(rf"places where wrong digits are seen with weights {_LIST} mod (.+)", re.I)
_PAIRS = re.compile(rf"pairs whose exchange is seen with weights {_LIST} mod (.+)", re.I)


@dataclass(frozen=True)
class Scheme:
    """Weights and modulus, and what is wanted: a digit of `text`, "places" or "pairs"."""

    wanted: str
    text: str
    weights: tuple[int, ...]
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Scheme | None:
    """The question of "digit for ? in 4?70 with weights 1,3,1,3 mod 10"; None for another form."""
    line = " ".join(statement.split())
    for wanted, pattern in (("digit", _DIGIT), ("places", _PLACES), ("pairs", _PAIRS)):
        match = pattern.fullmatch(line)
        if match:
            *text, weights, modulus = match.groups()
            found = tuple(int(w) for w in weights.split(","))
            m = units.modulus(modulus, statement)
            in_words.refuse(not text or len(text[0]) == len(found), "a weight a digit", statement)
            return Scheme(wanted, text[0] if text else "", found, m)
    return None


def _valid(digits: list[int], scheme: Scheme) -> bool:
    return sum(map(int.__mul__, digits, scheme.weights)) % scheme.modulus == 0


def _answer(scheme: Scheme) -> int | None:
    if scheme.wanted == "digit":
        tried = [
            d for d in range(10) if _valid(list(map(int, scheme.text.replace("?", str(d)))), scheme)
        ]
        return tried[0] if len(tried) == 1 else None
    return sum(
        _always_seen(scheme, i) for i in range(len(scheme.weights) - (scheme.wanted == "pairs"))
    )


def _always_seen(scheme: Scheme, i: int) -> bool:
    """Whether no two digits at place i (no two neighbours from i on) hide the error."""
    u = scheme.weights[i]
    if scheme.wanted == "places":
        return all((u * a - u * b) % scheme.modulus for a, b in permutations(range(10), 2))
    v = scheme.weights[i + 1]
    return all(
        (u * a + v * b - u * b - v * a) % scheme.modulus for a, b in permutations(range(10), 2)
    )


KIND = in_words.number_kind(_answer, done("all digits were put in, all errors of two digits made"))
