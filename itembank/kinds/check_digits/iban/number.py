"""International bank account numbers: digits that are missing, and whether one is valid.

An IBAN is a country code of two letters, two check digits from 02 to 98, and the account
number of the country, of digits and letters. Move the first four characters to the end and
write A, B, ..., Z as 10, 11, ..., 35: the number N that results is 1 modulo 97.

Source: ISO 13616-1, Financial services - International bank account number, and ISO/IEC
7064, check character systems, MOD 97-10. How many characters a country uses is not
tested. The numbers that families make up have the country codes QM to QZ, which ISO 3166-1
assigns to no country: they are nobody's.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from itembank.languages import Said, say

MODULUS = 97
COUNTRIES = 14
"""Country codes that mean no country: QM, QN, ..., QZ."""

LONGEST = 34
"""The most characters of an IBAN (ISO 13616-1)."""


def number_of(character: str, first: int = 10) -> int:
    """A digit is itself; A, B, ..., Z are first, first + 1, ..."""
    return int(character) if character.isdigit() else ord(character) - ord("A") + first


def digits_of(text: str, first: int = 10) -> str:
    """The decimal digits that characters write; 0 for a missing one."""
    return "".join(str(number_of(c, first)) for c in text.replace("?", "0"))


def rearranged(text: str) -> str:
    return text[4:] + text[:4]


def with_check_digits(country: str, account: str) -> str:
    """The valid IBAN of a country code and an account number."""
    c = 98 - int(digits_of(account + country + "00")) % MODULUS
    return f"{country}{c:02}{account}"


def grouped(text: str) -> str:
    """In groups of four, as an IBAN is printed."""
    return " ".join(text[i : i + 4] for i in range(0, len(text), 4))


def country_code(index: int) -> str:
    return "Q" + chr(ord("M") + index)


@dataclass(frozen=True)
class Iban:
    """`text` is the number without spaces, in capitals."""

    name: ClassVar[str] = "IBAN"
    text: str

    @property
    def modulus(self) -> int:
        return MODULUS

    @property
    def both(self) -> bool:
        """Whether the two check digits are missing."""
        return self.text[2:4] == "??"

    @property
    def printed(self) -> str:
        return grouped(self.text)

    @property
    def rule(self) -> Iterator[Said]:
        """When a number is valid, as a stem says it."""
        yield say(
            "An IBAN begins with two letters for the country and two check digits from 02 to 98. "
            "To test it, move the first four characters to the end and replace the letters A, B, "
            "..., Z by 10, 11, ..., 35: the IBAN is valid if the resulting number leaves the "
            "remainder 1 when it is divided by 97."
        )
        if self.text[:2] in {country_code(i) for i in range(COUNTRIES)}:
            yield say("The country {code} is made up.", code=self.text[:2])
