"""Check digits as applications of congruences: ISBN-10, ISBN-13 and IBAN."""

from collections.abc import Sequence

from itembank.kinds.base import Kind
from itembank.kinds.check_digits.iban import kind as iban
from itembank.kinds.check_digits.iban.certificate import certificate as iban_certificate
from itembank.kinds.check_digits.iban.kind import IbanDigits, IbanTest
from itembank.kinds.check_digits.isbn import kind as isbn
from itembank.kinds.check_digits.isbn.certificate import certificate as isbn_certificate
from itembank.kinds.check_digits.isbn.kind import IsbnDigit, IsbnTest
from itembank.languages import say

__all__ = ["KINDS", "IbanDigits", "IbanTest", "IsbnDigit", "IsbnTest", "read"]


def read(statements: Sequence[str]) -> IbanDigits | IbanTest | IsbnDigit | IsbnTest | None:
    """The problem of "isbn 0-306-40615-?" or "iban ..."; None for statements of another form."""
    return isbn.read(statements) or iban.read(statements)


KINDS = (
    Kind(
        problem=IsbnDigit,
        read=read,
        value="digit",
        digits=lambda _problem, value: "X" if value == 10 else str(value),
        about="The digit for ? in a valid ISBN of 10 or 13 characters; X is 10.",
        title=say("A book number"),
        next_steps={
            "the value": say(
                "Put the digit that was given in its place, and add all the digits with their "
                "weights: is the sum a multiple of the modulus?"
            ),
        },
        samples=(
            "isbn 0-306-40615-?",
            "ISBN-13: 978-0-306-4?615-7",
            "isbn 080442957?",
            "isbn 0-3?6-40615-2",
            "isbn 030640?152",
            "isbn 0000000?01",
            "isbn 30000?0040",
            "isbn 9?7 0 306 40615 7",
            "isbn 97803064061?7",
        ),
        certificate=lambda problem, answer: isbn_certificate(problem.text, answer),
    ),
    Kind(
        problem=IsbnTest,
        read=read,
        about="Whether an ISBN of 10 or 13 characters is valid.",
        title=say("A book number"),
        next_steps={
            "whether any": say(
                "Add the digits with their weights once more, line by line, the check digit "
                "included: which remainder does the sum leave? A number is valid if and only if it "
                "leaves 0."
            ),
        },
        samples=(
            "isbn 0-306-40615-2",
            "isbn 978-0-306-40615-7",
            "isbn 0-8044-2957-x",
            "isbn 0306406153",
            "isbn 9780306406175",
        ),
        certificate=lambda problem, answer: isbn_certificate(problem.text, answer),
    ),
    Kind(
        problem=IbanDigits,
        read=read,
        value="digits",
        digits=lambda problem, value: f"{value:02}" if problem.number.both else str(value),
        about="The digits for ? in a valid IBAN: one anywhere, or ?? for the check digits.",
        title=say("An account number"),
        next_steps={
            "the value": say(
                "Put what was given in its place, move the first four characters to the end, write "
                "the letters as numbers, and divide by 97 in pieces: is the remainder 1?"
            ),
        },
        samples=(
            "iban GB?? WEST 1234 5698 7654 32",
            "iban GB82 WEST 1234 5698 7654 3?",
            "iban GB8? WEST 1234 5698 7654 32",
            "iban QM84 0?0",
            "iban QM?? 0",
            "iban QM8? 1234 5678",
        ),
        certificate=lambda problem, answer: iban_certificate(problem.text, answer),
    ),
    Kind(
        problem=IbanTest,
        read=read,
        about="Whether an IBAN is valid: its check digits and remainder, not its length.",
        title=say("An account number"),
        next_steps={
            "whether any": say(
                "Move the first four characters to the end, write the letters as numbers, and "
                "divide by 97 in pieces, carrying the remainder on. A number is valid if and only "
                "if 1 is left."
            ),
        },
        samples=(
            "iban GB82 WEST 1234 5698 7654 32",
            "iban gb82west12345698765432",
            "iban GB28 WEST 1234 5698 7654 32",
            "iban DE89 3704 0044 0532 0130 00",
            "iban QM00 1",
        ),
        certificate=lambda problem, answer: iban_certificate(problem.text, answer),
    ),
)
"""What the house knows of these kinds."""
