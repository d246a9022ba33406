"""The verdict on a claim: from its theorem, or from two examples."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import lcm

from itembank.kinds.base import Solution, Step
from itembank.kinds.claim.catalogue import Claim
from itembank.kinds.claim.conditions import Condition
from itembank.kinds.claim.verdicts import ALWAYS, NEVER, SOMETIMES
from itembank.languages import Said
from itembank.values.answer import Value
from itembank.values.worded import worded

_SOUGHT = 60_000
"""The most choices of numbers among which examples are sought."""

Example = tuple[tuple[str, int], ...]
"""Letters with their values."""


class TooManyChoices(ValueError):
    """A claim without an example in reach."""


@dataclass(frozen=True)
class Verdict(Step):
    """Why the claim is always true, or never; None for sometimes, which the examples show."""

    name = "verdict"
    verdict: int
    why: Said | None


@dataclass(frozen=True)
class Examples(Step):
    """Values that fit what is assumed: with them the claim is true, or false."""

    name = "examples"
    true: Example | None
    false: Example | None


def solved(
    claim: Claim, numbers: Sequence[int], given: Sequence[Condition], follows: Sequence[Condition]
) -> Solution[Value]:
    """Raises TooManyChoices where an example that there must be is not found."""
    _refuse_many(given, follows)
    verdict, why = claim.verdict(*numbers)
    true = false = None
    for example in _choices(given, follows):
        values = dict(example)
        if not all(c.holds(values) for c in given):
            continue
        if any(c.holds(values) for c in follows):
            true = true or example
        else:
            false = false or example
        if (true or verdict == NEVER) and (false or verdict == ALWAYS):
            break
    wanted = {ALWAYS: true, NEVER: false, SOMETIMES: true and false}[verdict]
    if not wanted:
        raise TooManyChoices(worded("no example is found among small numbers"))
    return Solution(Value(verdict), (Examples(true, false), Verdict(verdict, why)))


def _refuse_many(given: Sequence[Condition], follows: Sequence[Condition]) -> None:
    """TooManyChoices where the choices of residues are too many to go through in a proof."""
    conditions = (*given, *follows)
    letters = {letter for c in conditions for letter in c.letters}
    whole = lcm(*(c.m for c in conditions))
    if whole ** len(letters) > _SOUGHT:
        raise TooManyChoices(
            worded(
                "{n} letters modulo {whole} are too many choices; take smaller moduli",
                n=len(letters),
                whole=whole,
            )
        )


def _choices(given: Sequence[Condition], follows: Sequence[Condition]) -> Iterator[Example]:
    """Choices of values for the letters, small ones first."""
    conditions = (*given, *follows)
    letters = sorted({letter for c in conditions for letter in c.letters})
    whole = lcm(*(c.m for c in conditions))
    for largest in range(whole):
        for values in _with_largest(largest, len(letters)):
            yield tuple(zip(letters, values, strict=True))


def _with_largest(largest: int, n: int) -> Iterator[tuple[int, ...]]:
    """Each n numbers >= 0 the largest of which is this one, in order; n >= 1.

    >>> list(_with_largest(1, 2))
    [(0, 1), (1, 0), (1, 1)]
    """
    if n > 1:
        for first in range(largest):
            for others in _with_largest(largest, n - 1):
                yield first, *others
    for others in product(range(largest + 1), repeat=n - 1):
        yield largest, *others
