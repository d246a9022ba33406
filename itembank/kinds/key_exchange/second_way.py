"""The second way for a shared key: all secret exponents of both sides are looked for."""

from dataclasses import dataclass, field

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done
from itembank.values.errors import StatementError

_TRIED = 50_000
"""The largest modulus whose powers are all followed."""


@dataclass(frozen=True)
class Shared:
    """g^(ab) modulo `modulus`, the public values being g^a and g^b."""

    values: frozenset[int]
    g: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Shared | None:
    """The question of "shared key of 7 and 39 base 5 mod 97"; None for another form."""
    found = in_words.numbers("shared key of # and # base # mod #", statement)
    if found is None:
        return None
    first, second, g, p = found
    if p < 2 or first % p == second % p:
        raise StatementError(f"statement '{statement[:60]}': expected two public values")
    return Shared(frozenset({first % p, second % p}), g % p, p)


def _key(question: Shared) -> int | None:
    p = question.modulus
    if p > _TRIED:
        raise Undecided(f"more than {_TRIED} powers to follow")
    first, second = sorted(question.values)
    powers = [1]
    while len(powers) < p:
        powers.append(powers[-1] * question.g % p)
    found = {
        pow(second, exponent, p) for exponent, value in enumerate(powers) if value == first
    } | {pow(first, exponent, p) for exponent, value in enumerate(powers) if value == second}
    return found.pop() if len(found) == 1 and {first, second} <= set(powers) else None


KIND = in_words.number_kind(
    _key, done("both public values were looked for among the powers of the base")
)
