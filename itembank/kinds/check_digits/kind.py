"""Check digits as applications of congruences: ISBN-10, ISBN-13 and IBAN."""

from collections.abc import Sequence

from itembank.kinds.check_digits.iban import kind as iban
from itembank.kinds.check_digits.iban.kind import IbanDigits, IbanTest
from itembank.kinds.check_digits.isbn import kind as isbn
from itembank.kinds.check_digits.isbn.kind import IsbnDigit, IsbnTest

__all__ = ["IbanDigits", "IbanTest", "IsbnDigit", "IsbnTest", "read"]


def read(statements: Sequence[str]) -> IbanDigits | IbanTest | IsbnDigit | IsbnTest | None:
    """The problem of "isbn 0-306-40615-?" or "iban ..."; None for statements of another form."""
    return isbn.read(statements) or iban.read(statements)
