"""What the kinds about ISBN and IBAN share: a number with check digits under its standard.

`?` stands for a digit that is missing. A kind holds the number as text, without what only
separates; what its standard makes of it is in `isbn.number` and `iban.number`.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar, Protocol, TypeVar

from itembank.kinds.base import Given, Phrases, Slip, Solution, integer_of, slip
from itembank.kinds.mistakes import ValueFound, made
from itembank.kinds.wording import Tellers, told
from itembank.languages import BREAK, Said, Telling, say
from itembank.notation.tree import Math, Words
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded


class Standardised(Protocol):
    """A number as its standard sees it; `name` is that of the standard."""

    name: ClassVar[str]

    @property
    def modulus(self) -> int: ...

    @property
    def printed(self) -> str:
        """The number as it is printed."""

    @property
    def rule(self) -> Iterable[Said]:
        """When a number is valid, as a stem says it."""


N = TypeVar("N", bound=Standardised)


@dataclass(frozen=True, kw_only=True)
class AboutNumber(ABC):
    """A question about one number; no other number is a disguise of it."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    telling: ClassVar[Tellers]
    text: str

    @property
    @abstractmethod
    def number(self) -> Standardised: ...

    @property
    def modulus(self) -> int:
        return self.number.modulus

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.number.name.lower()} {self.number.printed}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Words((f"{self.number.name} {self.number.printed}",)),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.text)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def asked(self, question: Said) -> Telling:
        """The rule, and the question in a paragraph of its own."""
        return (*self.number.rule, BREAK, question)

    def worked(self, solution: Solution[Any]) -> Telling:
        return tuple(told(solution.steps, self.telling))

    def validity(self, claim: Said) -> Phrases:
        """How a test of the number is spoken of."""
        return Phrases(none=say("not valid"), claim=claim)


# ------------------------------------------------------------ numbers that families make up


def altered(number: str, given: Given) -> str:
    """The number with one digit changed, or two neighbours exchanged.

    `changed` is the place (from 1) of a digit that grows by `by`, modulo 10; `swapped` the
    place of the first of two digits that change places, unless one of them is X; 0 for
    neither.
    """
    characters = list(number)
    place, first = integer_of(given, "changed"), integer_of(given, "swapped")
    for name, value, last in (
        ("changed", place, len(number)),
        ("swapped", first, len(number) - 1),
    ):
        if not 0 <= value <= last:
            raise StatementError(
                worded(
                    "given.{name}: expected a place from 1 to {last}, or 0 for none, got {value}",
                    name=name,
                    last=last,
                    value=value,
                )
            )
    if place:
        value = digit_value(characters[place - 1])
        characters[place - 1] = str((value + integer_of(given, "by")) % 10)
    if first and "X" not in characters[first - 1 : first + 1]:
        characters[first - 1], characters[first] = characters[first], characters[first - 1]
    return "".join(characters)


def digit_value(character: str) -> int:
    return 10 if character == "X" else int(character)


# ------------------------------------------------------------ telling and going wrong


def slips_up_to(
    highest: int, mistakes: Mapping[str, Callable[[N], ValueFound]], number: N
) -> Iterator[Slip]:
    """The slips that give a number from 0 to `highest`: what may be missing."""
    for name, wrong, feedback in made(mistakes, number):
        if 0 <= wrong <= highest:
            yield slip(name, (wrong,), feedback)
