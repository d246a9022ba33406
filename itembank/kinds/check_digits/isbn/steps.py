"""The steps by which an ISBN is completed or tested, each with its numbers.

Notation: w weights, m the modulus (11 for ten characters, 10 for thirteen); X stands for 10.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.languages import Said


@dataclass(frozen=True)
class Weigh(Step):
    """Each character with its weight and product, None for the missing one; `total` of them."""

    name = "weigh the digits"
    m: int
    rows: tuple[tuple[str, int, int | None], ...]
    total: int

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class SolveForDigit(Step):
    """w x + total = 0 (mod m): x = inverse * right (mod m), right = -total mod m."""

    name = "solve for the digit"
    m: int
    w: int
    total: int
    right: int
    inverse: int
    x: int


@dataclass(frozen=True)
class Complete(Step):
    """The number with x in place; `reason` says why x may not stand there, if so."""

    name = "complete"
    effort = 0
    number: str
    x: int
    reason: Said | None


@dataclass(frozen=True)
class Divide(Step):
    """total = quotient * m + remainder: the number is valid exactly for the remainder 0."""

    name = "divide"
    number: str
    m: int
    total: int
    quotient: int
    remainder: int
