"""The steps by which an IBAN is completed or tested, each with its numbers.

Notation: N the number that the rearranged characters write; c the check digits, d one
missing digit.
"""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.languages import Said


@dataclass(frozen=True)
class Rearrange(Step):
    """The first four characters moved to the end, letters as numbers; 0 stands for what is missing.

    `letters` are (letter, number) in their order; `digits` the decimal digits of N.
    """

    name = "rearrange"
    moved: str
    letters: tuple[tuple[str, int], ...]
    digits: str


@dataclass(frozen=True)
class Piece:
    """At most nine digits with their remainder modulo 97, carried in front of the next ones."""

    number: int
    remainder: int


@dataclass(frozen=True)
class Remainder(Step):
    """N modulo 97, in pieces."""

    name = "remainder in pieces"
    pieces: tuple[Piece, ...]

    @property
    def effort(self) -> int:
        return len(self.pieces)

    @property
    def remainder(self) -> int:
        return self.pieces[-1].remainder


@dataclass(frozen=True)
class CheckDigits(Step):
    """N + c = 1 (mod 97), so c = 98 - remainder."""

    name = "check digits"
    remainder: int
    c: int


@dataclass(frozen=True)
class SolveForDigit(Step):
    """N + d 10^zeros = 1 (mod 97): w d = right, w = 10^zeros mod 97, d = inverse * right."""

    name = "solve for the digit"
    zeros: int
    remainder: int
    w: int
    right: int
    inverse: int
    d: int


@dataclass(frozen=True)
class Complete(Step):
    """The number with the digits in place, or why none fits; `digit` if one alone was missing."""

    name = "complete"
    effort = 0
    number: str
    value: int
    reason: Said | None
    digit: int | None


@dataclass(frozen=True)
class Verdict(Step):
    """Valid exactly if the remainder is 1 and the check digits are from 02 to 98."""

    name = "verdict"
    effort = 0
    number: str
    remainder: int
    check_digits: int
    holds: bool
