"""The missing digits of an IBAN, and the test of a whole one, with their steps."""

from itembank.kinds.base import Solution
from itembank.kinds.check_digits.iban.number import MODULUS, Iban, digits_of, number_of, rearranged
from itembank.kinds.check_digits.iban.steps import (
    CheckDigits,
    Complete,
    Piece,
    Rearrange,
    Remainder,
    SolveForDigit,
    Verdict,
)
from itembank.languages import Said, say
from itembank.values.answer import Absent, Truth, Value

PIECE = 9
"""Digits of a piece: what a pocket calculator divides."""


def missing_digits(iban: Iban) -> Solution[Value | Absent]:
    """The digits for `?`: both check digits, or one digit; absent where none fits."""
    first = _rearrange(iban.text)
    second = _remainder_of(first.digits)
    if iban.both:
        c = 98 - second.remainder
        number = iban.text.replace("??", f"{c:02}")
        found = CheckDigits(second.remainder, c)
        return Solution(Value(c), (first, second, found, Complete(number, c, None, None)))
    third = solve_for_digit(iban.text, second.remainder)
    number = iban.text.replace("?", str(third.d) if third.d < 10 else "?")
    reason = _digit_fault(number, third.d)
    steps = (first, second, third, Complete(number, third.d, reason, third.d))
    return Solution(Absent(reason) if reason else Value(third.d), steps)


def tested(iban: Iban) -> Solution[Truth]:
    """Whether a number without `?` is valid."""
    first = _rearrange(iban.text)
    second = _remainder_of(first.digits)
    c = int(iban.text[2:4])
    holds = second.remainder == 1 and 2 <= c <= 98
    verdict = Verdict(iban.text, second.remainder, c, holds)
    return Solution(Truth(holds), (first, second, verdict))


def _rearrange(text: str) -> Rearrange:
    moved = rearranged(text)
    letters = dict.fromkeys(c for c in moved if c.isalpha())
    return Rearrange(moved, tuple((c, number_of(c)) for c in letters), digits_of(moved))


def _remainder_of(digits: str) -> Remainder:
    """The remainder of a long number: nine digits first, then it is carried in front of more."""
    pieces, rest = [], digits
    carried = ""
    while rest:
        taken = PIECE - len(carried)
        number = int(carried + rest[:taken])
        rest = rest[taken:]
        pieces.append(Piece(number, number % MODULUS))
        carried = str(number % MODULUS)
    return Remainder(tuple(pieces))


def solve_for_digit(text: str, remainder: int) -> SolveForDigit:
    moved = rearranged(text)
    zeros = len(digits_of(moved[moved.index("?") + 1 :]))
    w, right = pow(10, zeros, MODULUS), (1 - remainder) % MODULUS
    inverse = pow(w, -1, MODULUS)
    return SolveForDigit(zeros, remainder, w, right, inverse, inverse * right % MODULUS)


def _digit_fault(number: str, d: int) -> Said | None:
    """Why d does not complete the number."""
    if d > 9:
        return say("Only a digit from 0 to 9 can stand there.")
    if not 2 <= int(number[2:4]) <= 98:
        return say("The check digits would not be from 02 to 98.")
    return None
