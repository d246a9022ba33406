"""International bank account numbers: digits that are missing, and whether one is valid.

`number` is the standard, `solve` completes or tests with its steps, `telling` tells them,
`slips` goes wrong on purpose; this file holds the kinds that the rest of the house sees.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from itembank.kinds.base import Given, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.check_digits.iban import slips, solve, telling
from itembank.kinds.check_digits.iban.number import (
    COUNTRIES,
    LONGEST,
    MODULUS,
    Iban,
    country_code,
    digits_of,
    rearranged,
    with_check_digits,
)
from itembank.kinds.check_digits.number import AboutNumber, altered, slips_up_to
from itembank.kinds.mistakes import wrong_values
from itembank.kinds.wording import Tellers
from itembank.languages import Telling, say
from itembank.values.answer import Absent, Truth, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["IbanDigits", "IbanTest", "read"]


def _account_of(given: Given) -> tuple[str, str]:
    """Country code and account number, from a family's `country`, `length` and `account`."""
    index, length = integer_of(given, "country"), integer_of(given, "length")
    account = integer_of(given, "account")
    if not 0 <= index < COUNTRIES:
        raise StatementError(
            worded(
                "given.country: expected a number from 0 to {countries} for the codes QM to "
                "QZ, got {index}",
                countries=COUNTRIES - 1,
                index=index,
            )
        )
    if not 1 <= length <= LONGEST - 4:
        raise StatementError(
            worded(
                "given.length: expected an account number of 1 to {longest} digits, got {length}",
                longest=LONGEST - 4,
                length=length,
            )
        )
    if not 0 <= account < 10**length:
        raise StatementError(
            worded(
                "given.account: expected a number of at most {length} digits, got {account}",
                length=length,
                account=account,
            )
        )
    return country_code(index), f"{account:0{length}}"


# ------------------------------------------------------------ digits are missing


@dataclass(frozen=True, kw_only=True)
class IbanDigits(AboutNumber):
    """The digits for `?`: the two check digits as one number, or a single digit anywhere."""

    kind: ClassVar[str] = "iban_digits"
    signature: ClassVar[KindSignature] = KindSignature(
        name="iban_digits",
        given={
            "country": "integer",
            "length": "integer",
            "account": "integer",
            "missing": "integer",
        },
        asks=("the value",),
        slips=tuple(slips.DIGIT_MISTAKES),
        measures=("exists", "steps", "digits"),
    )

    telling: ClassVar[Tellers] = telling.TELLING

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """`missing`: the place (from 1) in the account number of a lost digit; 0: check digits."""
        country, account = _account_of(given)
        number, place = with_check_digits(country, account), integer_of(given, "missing")
        if not 0 <= place <= len(account):
            raise StatementError(
                worded(
                    "given.missing: expected a place from 1 to {n}, or 0 for the check digits, got "
                    "{place}",
                    n=len(account),
                    place=place,
                )
            )
        if place == 0:
            return cls(text=f"{country}??{account}")
        return cls(text=f"{number[: place + 3]}?{number[place + 4 :]}")

    @property
    def number(self) -> Iban:
        return Iban(self.text)

    def question(self, ask: str) -> Telling:
        if self.number.both:
            question = say(
                "In the IBAN {text} the check digits are missing. Find them, given that the IBAN "
                "is valid.",
                text=self.number.printed,
            )
        else:
            question = say(
                "In the IBAN {text} one digit can no longer be read. Find the missing digit, given "
                "that the IBAN is valid.",
                text=self.number.printed,
            )
        return self.asked(question)

    @property
    def phrases(self) -> Phrases:
        if self.number.both:
            entry = say("Type the two check digits as one number, without a 0 in front: 5 for 05.")
        else:
            entry = say("Type the missing digit.")
        return Phrases(
            none=say("no digit fits"),
            entry=entry,
        )

    def solve(self) -> Solution[Value | Absent]:
        return solve.missing_digits(self.number)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        return {
            "exists": int(isinstance(solution.answer, Value)),
            "steps": solution.effort,
            "digits": len(digits_of(self.text)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        highest = 98 if self.number.both else 9
        found = slips_up_to(highest, slips.DIGIT_MISTAKES, self.number)
        return distinct_slips(found, solution.answer)


# ------------------------------------------------------------ is it valid


@dataclass(frozen=True, kw_only=True)
class IbanTest(AboutNumber):
    """Whether a whole number is valid."""

    kind: ClassVar[str] = "iban_test"
    signature: ClassVar[KindSignature] = KindSignature(
        name="iban_test",
        given={
            "country": "integer",
            "length": "integer",
            "account": "integer",
            "changed": "integer",
            "by": "integer",
            "swapped": "integer",
        },
        asks=("whether any",),
        slips=tuple(slips.TEST_MISTAKES),
        measures=("holds", "steps", "remainder", "digits"),
    )

    telling: ClassVar[Tellers] = telling.TELLING

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """A valid number, its account number then `altered` as the family says."""
        country, account = _account_of(given)
        return cls(text=with_check_digits(country, account)[:4] + altered(account, given))

    @property
    def number(self) -> Iban:
        return Iban(self.text)

    def question(self, ask: str) -> Telling:
        return tuple(self.number.rule)

    @property
    def phrases(self) -> Phrases:
        return self.validity(
            say("True or false: the IBAN {text} is valid.", text=self.number.printed)
        )

    def solve(self) -> Solution[Truth]:
        return solve.tested(self.number)

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        return {
            "holds": int(solution.answer.holds),
            "steps": solution.effort,
            "remainder": int(digits_of(rearranged(self.text))) % MODULUS,
            "digits": len(digits_of(self.text)),
        }

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_values(slips.TEST_MISTAKES, self.number), solution.answer)


# ------------------------------------------------------------ reading

_FORM = re.compile(r"iban[:\s]\s*(?P<number>.+)", re.IGNORECASE)
_SHAPE = re.compile(r"[A-Z]{2}[0-9?]{2}[0-9A-Z?]+")


def read(statements: Sequence[str]) -> IbanDigits | IbanTest | None:
    """The problem of "iban GB82 WEST 1234 5698 7654 3?"; None for statements of another form.

    `?` stands for a digit: one anywhere, or two for both check digits; without any the
    question is whether the number is valid.
    """
    match = _FORM.fullmatch(statements[0].strip()) if len(statements) == 1 else None
    if match is None:
        return None
    statement = statements[0]
    text = re.sub(r"[\s\u00a0]", "", match["number"]).upper()
    if not _SHAPE.fullmatch(text) or len(text) > LONGEST:
        raise StatementError(
            worded(
                "{statement}: expected two letters, two check digits, then digits and letters, "
                "at most {longest} in all, ? for a missing digit",
                statement=repr(statement),
                longest=LONGEST,
            )
        )
    if text.count("?") > 1 and (text.count("?") > 2 or text[2:4] != "??"):
        raise StatementError(
            worded(
                "{statement}: expected one ?, or two for both check digits, got {text}; one "
                "congruence gives one of them",
                statement=repr(statement),
                text=text.count("?"),
            )
        )
    return IbanDigits(text=text) if "?" in text else IbanTest(text=text)
