"""The second way for the affine cipher: every block, or every key, is tried.

Letters are counted along the alphabet; a pair of letters is looked up in the list of all pairs.
"""

import re
from dataclasses import dataclass, field
from itertools import product
from math import gcd

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done

_TRIED = 100_000
"""The largest modulus whose residues are all tried."""

_ALPHABET = "abcdefghijklmnopqrstuvwxyz"
_PAIRS = ["".join(pair) for pair in product(_ALPHABET, repeat=2)]


@dataclass(frozen=True)
class Block:
    """`block` under a x + b: `way` is "encrypt" or "decrypt"."""

    way: str
    block: int
    a: int
    b: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Multiplier:
    """The a with a x + b = y for both pairs (x, y), for some b."""

    pairs: frozenset[tuple[int, int]]
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


Question = Block | Multiplier

_BLOCK = re.compile(
    r"(?<=crypt )[a-z]{1,2}\b|(?<=sends )[a-z]{1,2}\b|(?<= to )[a-z]{1,2}\b|(?<= and )[a-z]{1,2}\b"
)


def read(statement: str) -> Question | None:
    """The question of "decrypt q with 5x + 8 mod 26"; None for another form."""
    lowered = _BLOCK.sub(lambda match: str(_number(match[0])), statement.lower())
    for way in ("encrypt", "decrypt"):
        if found := in_words.numbers(f"{way} # with #x + # mod #", lowered):
            block, a, b, m = found
            in_words.refuse(m > 1 and gcd(a, m) == 1, "a key that can be undone", statement)
            return Block(way, block % m, a % m, b % m, m)
    if found := in_words.numbers("multiplier that sends # to # and # to # mod #", lowered):
        x, y, u, v, m = found
        in_words.refuse(m > 1, "a modulus above 1", statement)
        return Multiplier(frozenset({(x % m, y % m), (u % m, v % m)}), m)
    return None


def _number(word: str) -> int:
    return _ALPHABET.index(word) if len(word) == 1 else _PAIRS.index(word)


def _found(question: Question) -> list[int]:
    m = question.modulus
    if m > _TRIED:
        raise Undecided(f"more than {_TRIED} residues to try")
    match question:
        case Block("encrypt", x, a, b):
            return [(a * x + b) % m]
        case Block(_, y, a, b):
            return [x for x in range(m) if (a * x + b - y) % m == 0]
        case Multiplier(pairs):
            return [a for a in range(m) if len({(y - a * x) % m for x, y in pairs}) == 1]


def _only(question: Question) -> int | None:
    right = _found(question)
    return right[0] if len(right) == 1 else None


KIND = in_words.number_kind(_only, done("every number of the alphabet was tried"))
