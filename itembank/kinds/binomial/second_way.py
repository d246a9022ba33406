"""The second way for binomial coefficients modulo m: multiplied out over the integers."""

from dataclasses import dataclass, field

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done

_MULTIPLIED = 3_000
"""The most factors of a coefficient."""


@dataclass(frozen=True)
class Chosen:
    """C(n, k) modulo `modulus`."""

    n: int
    k: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Chosen | None:
    """The question of "binomial(44, 14) mod 3"; None for another form."""
    found = in_words.numbers("binomial(#, #) mod #", statement)
    if found is None:
        return None
    n, k, m = found
    in_words.refuse(0 <= k <= n and m > 0, "binomial(n, k) with k up to n", statement)
    return Chosen(n, k, m)


def _value(question: Chosen) -> int:
    n, k = question.n, min(question.k, question.n - question.k)
    if k > _MULTIPLIED:
        raise Undecided(f"a product of {k} factors")
    coefficient = 1
    for i in range(1, k + 1):
        coefficient = coefficient * (n - k + i) // i
    return coefficient % question.modulus


KIND = in_words.number_kind(_value, done("the coefficient was multiplied out and divided"))
