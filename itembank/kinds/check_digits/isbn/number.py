"""International standard book numbers: the digit that is missing, and whether one is valid.

ISBN-10: ten characters, digits but for the last, which may be X for 10; with the weights
10, 9, ..., 1 from the left the sum is 0 modulo 11. ISBN-13: thirteen digits, beginning with
978 or 979; with the weights 1, 3, 1, 3, ..., 1 the sum is 0 modulo 10.

Source: ISO 2108, Information and documentation - International standard book number, the
annexes on check digits (ten digits: the editions before 2005; thirteen: since 2005). Hyphens
and spaces separate the parts of a number and mean nothing here; which book has which
number is no matter.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from itembank.languages import Said, say

WEIGHTS = {10: tuple(range(10, 0, -1)), 13: (1, 3) * 6 + (1,)}
MODULI = {10: 11, 13: 10}
_PREFIXES = ("978", "979")

_TEN_CHARACTERS = (
    say(
        "An ISBN of ten characters is valid if the sum of its digits, multiplied by the weights "
        "10, 9, 8, 7, 6, 5, 4, 3, 2, 1 from left to right, is divisible by 11."
    ),
    say("The last character may be X, which stands for 10."),
)
_THIRTEEN_DIGITS = (
    say(
        "An ISBN of thirteen digits is valid if the sum of its digits, multiplied by the weights "
        "1, 3, 1, 3, ..., 3, 1 from left to right, is divisible by 10."
    ),
)
"""The rules, as a stem says them."""


def character_of(value: int) -> str:
    return "X" if value == 10 else str(value)


def weighted(values: Sequence[int], weights: Sequence[int]) -> int:
    return sum(v * w for v, w in zip(values, weights, strict=True))


def completed(body: str) -> str:
    """The valid number that begins with the digits of `body`: nine of them, or twelve."""
    length = len(body) + 1
    total = weighted([int(d) for d in body], WEIGHTS[length][:-1])
    return body + character_of(-total % MODULI[length])


def place_fault(number: str) -> Said | None:
    """Why a number of the right length cannot be an ISBN whatever its check digit."""
    if "X" in number[:-1] or (len(number) == 13 and "X" in number):
        return say("X stands for 10, and only at the end of an ISBN-10.")
    if len(number) == 13 and not number.startswith(_PREFIXES):
        return say("An ISBN-13 begins with 978 or 979.")
    return None


@dataclass(frozen=True)
class Isbn:
    """`text` is the number without hyphens, ten or thirteen characters."""

    name: ClassVar[str] = "ISBN"
    text: str

    @property
    def length(self) -> int:
        return len(self.text)

    @property
    def weights(self) -> tuple[int, ...]:
        return WEIGHTS[self.length]

    @property
    def modulus(self) -> int:
        return MODULI[self.length]

    @property
    def place(self) -> int:
        """The place of the missing digit, from 0."""
        return self.text.index("?")

    @property
    def printed(self) -> str:
        return self.text

    @property
    def rule(self) -> tuple[Said, ...]:
        """When a number is valid, as a stem says it."""
        return _TEN_CHARACTERS if self.length == 10 else _THIRTEEN_DIGITS
