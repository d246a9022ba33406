"""International standard book numbers: the digit that is missing, and whether one is valid.

`number` is the standard, `solve` completes or tests with its steps, `telling` tells them,
`slips` goes wrong on purpose; this file holds the kinds that the rest of the house sees.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from itembank.kinds.base import Given, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.check_digits.isbn import slips, solve, telling
from itembank.kinds.check_digits.isbn.number import WEIGHTS, Isbn, completed, place_fault
from itembank.kinds.check_digits.number import AboutNumber, altered, slips_up_to
from itembank.kinds.mistakes import wrong_values
from itembank.kinds.wording import Tellers
from itembank.languages import Telling, say
from itembank.values.answer import Absent, Truth, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

__all__ = ["IsbnDigit", "IsbnTest", "read"]


def _body_of(given: Given) -> str:
    """The digits before the check digit, from a family's `length` and `body`."""
    length, body = integer_of(given, "length"), integer_of(given, "body")
    if length not in WEIGHTS:
        raise StatementError(worded("given.length: expected 10 or 13, got {length}", length=length))
    low, high = (0, 10**9 - 1) if length == 10 else (978 * 10**9, 98 * 10**10 - 1)
    if not low <= body <= high:
        raise StatementError(
            worded(
                "given.body: expected the first {length} digits of an ISBN-{other_length} as a "
                "number from {low} to {high}, got {body}",
                length=length - 1,
                other_length=length,
                low=low,
                high=high,
                body=body,
            )
        )
    return f"{body:0{length - 1}}"


# ------------------------------------------------------------ a digit is missing


@dataclass(frozen=True, kw_only=True)
class IsbnDigit(AboutNumber):
    """The digit that stands for the one `?` in a valid number; X counts as 10."""

    kind: ClassVar[str] = "isbn_digit"
    signature: ClassVar[KindSignature] = KindSignature(
        name="isbn_digit",
        given={"length": "integer", "body": "integer", "missing": "integer"},
        asks=("the value",),
        slips=tuple(slips.DIGIT_MISTAKES),
        measures=("exists", "steps", "weight", "digit"),
    )

    telling: ClassVar[Tellers] = telling.TELLING

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The first digits as a number, and the place (from 1) of the digit that is lost."""
        number = completed(_body_of(given))
        place = integer_of(given, "missing")
        if not 1 <= place <= len(number):
            raise StatementError(
                worded(
                    "given.missing: expected a place from 1 to {n}, got {place}",
                    n=len(number),
                    place=place,
                )
            )
        return cls(text=f"{number[: place - 1]}?{number[place:]}")

    @property
    def number(self) -> Isbn:
        return Isbn(self.text)

    def question(self, ask: str) -> Telling:
        question = say(
            "In the ISBN {text} one character can no longer be read. Find the missing digit, given "
            "that the ISBN is valid.",
            text=self.number.printed,
        )
        return self.asked(question)

    @property
    def phrases(self) -> Phrases:
        if self.number.length == 10 and self.number.place == 9:
            entry = say("Type the missing digit; if it is X, type 10.")
        else:
            entry = say("Type the missing digit.")
        return Phrases(
            none=say("no digit fits"),
            entry=entry,
        )

    def solve(self) -> Solution[Value | Absent]:
        return solve.missing_digit(self.number)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        answer = solution.answer
        return {
            "exists": int(isinstance(answer, Value)),
            "steps": solution.effort,
            "weight": self.number.weights[self.number.place],
            "digit": answer.value if isinstance(answer, Value) else -1,
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        highest = 10 if self.number.length == 10 else 9
        found = slips_up_to(highest, slips.DIGIT_MISTAKES, self.number)
        return distinct_slips(found, solution.answer)


# ------------------------------------------------------------ is it valid


@dataclass(frozen=True, kw_only=True)
class IsbnTest(AboutNumber):
    """Whether a whole number is valid."""

    kind: ClassVar[str] = "isbn_test"
    signature: ClassVar[KindSignature] = KindSignature(
        name="isbn_test",
        given={
            "length": "integer",
            "body": "integer",
            "changed": "integer",
            "by": "integer",
            "swapped": "integer",
        },
        asks=("whether any",),
        slips=tuple(slips.TEST_MISTAKES),
        measures=("holds", "steps", "remainder"),
    )

    telling: ClassVar[Tellers] = telling.TELLING

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """A valid number, `altered` as the family says."""
        return cls(text=altered(completed(_body_of(given)), given))

    @property
    def number(self) -> Isbn:
        return Isbn(self.text)

    def question(self, ask: str) -> Telling:
        return tuple(self.number.rule)

    @property
    def phrases(self) -> Phrases:
        return self.validity(
            say("True or false: the ISBN {text} is valid.", text=self.number.printed)
        )

    def solve(self) -> Solution[Truth]:
        return solve.tested(self.number)

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return {
            "holds": int(solution.answer.holds),
            "steps": solution.effort,
            "remainder": solve.weighing(self.text).total % self.modulus,
        }

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_values(slips.TEST_MISTAKES, self.number), solution.answer)


# ------------------------------------------------------------ reading

_FORM = re.compile(r"isbn(?:[- ]?1[03](?=[:\s]))?[:\s]\s*(?P<number>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> IsbnDigit | IsbnTest | None:
    """The problem of "isbn 0-306-40615-?"; None for statements of another form.

    With one `?` the digit is asked for, without any whether the number is valid.
    """
    match = _FORM.fullmatch(statements[0].strip()) if len(statements) == 1 else None
    if match is None:
        return None
    statement = statements[0]
    text = re.sub(r"[-\s\u2010-\u2013\u2212]", "", match["number"]).upper()
    if not re.fullmatch(r"[0-9X?]*", text) or len(text) not in WEIGHTS:
        raise StatementError(
            worded(
                "{statement}: expected 10 or 13 digits (the last of 10 may be X), ? for a "
                "missing one, got {n} characters",
                statement=repr(statement),
                n=len(text),
            )
        )
    if text.count("?") > 1:
        raise StatementError(
            worded(
                "{statement}: expected at most one ?, got {text}; one congruence gives one digit",
                statement=repr(statement),
                text=text.count("?"),
            )
        )
    if fault := None if "?" in text[:3] else place_fault(text):
        raise StatementError(
            laid_out("{statement}: {template}", statement=repr(statement), template=fault.template)
        )
    return IsbnDigit(text=text) if "?" in text else IsbnTest(text=text)
