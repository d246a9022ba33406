"""Questions about a few integers, put in words: one phrase prints their statement and reads it.

    phrase = "shared key of {first} and {second} base {base} mod {modulus}"

Each slot is a field of the problem, an integer; whoever types may write an expression for it
(2^10 + 1). The slot {digits} is text: digits, one of them a question mark; {weights} is a list
of integers. A kind says what is asked and solves it; statement, reader, the values of a family,
measures and slips are here.
"""

import re
from abc import abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar, Self

from itembank.kinds.base import Given, Read, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.frame import Framed, Sentences, sentences
from itembank.kinds.mistakes import ValueFound, wrong_values
from itembank.kinds.modular import integer_typed
from itembank.languages import Telling
from itembank.notation.tree import Math, Number, Words
from itembank.values.answer import Absent, ResidueSet, Truth, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import FieldType, KindSignature
from itembank.values.worded import worded

_LARGEST = 10**40
"""Numbers are below it in size: they stand in the question digit by digit."""

_SLOT = re.compile(r"\{(\w+)\}")

_NUMBER = r"[-−+*·^()\d ⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+?"
_OTHERS = {"digits": r"[\d?]+", "weights": r"\d+(?:, ?\d+)*"}
"""The slots that hold no integer, as they are typed."""


@dataclass(frozen=True, kw_only=True)
class Phrased(Framed):
    """A problem whose statement is `phrase` with its numbers.

    spellings: other phrases with the same slots, which are read too. mistakes: what goes wrong,
    by the names of the slips, in the order of the method; each takes the problem.
    """

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    phrase: ClassVar[str]
    spellings: ClassVar[tuple[str, ...]] = ()
    mistakes: ClassVar[Mapping[str, Callable[[Any], ValueFound]]]

    def __post_init__(self) -> None:
        if any(abs(n) >= _LARGEST for n in self.numbers):
            raise StatementError(worded("expected numbers of at most 40 digits, got a longer one"))
        self.check()

    def check(self) -> None:
        """Raises StatementError where the numbers put no question of the kind."""

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(**{name: integer_of(given, name) for name in _fields_of(cls.phrase)})

    @property
    def numbers(self) -> tuple[int, ...]:
        """The integers of the question, in the order of its phrase."""
        return tuple(n for n in self.values if isinstance(n, int))

    @property
    def values(self) -> tuple[int | str | tuple[int, ...], ...]:
        """What stands in the slots, in the order of the phrase."""
        return tuple(getattr(self, name) for name in _fields_of(self.phrase))

    @property
    def statement(self) -> tuple[str, ...]:
        named = zip(_fields_of(self.phrase), map(_written, self.values), strict=True)
        return (self.phrase.format(**dict(named)),)

    @property
    def shown(self) -> tuple[Math, ...]:
        words = _SLOT.split(self.phrase)[::2]
        parts: list[str | Math] = []
        for text, value in zip(words, (*self.values, ""), strict=True):
            parts += [text.strip()] if text.strip() else []
            parts += (
                [Number(value)] if isinstance(value, int) else [_written(value)] if value else []
            )
        return (Words(tuple(parts)),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *self.values)

    def question(self, ask: str) -> Telling:
        return sentences(self.asked(ask))

    @abstractmethod
    def asked(self, ask: str) -> Sentences:
        """What the student is asked, and the definitions that it rests on."""

    @abstractmethod
    def solve(self) -> Solution[Any]: ...

    def measures(self, solution: Solution[Any]) -> Mapping[str, int]:
        found = {
            **_measured(solution.answer),
            "steps": solution.effort,
            "digits": max((len(str(abs(n))) for n in self.numbers), default=1),
        }
        return {name: found[name] for name in self.signature.measures if name in found}

    def slips(self, solution: Solution[Any]) -> tuple[Slip, ...]:
        if isinstance(solution.answer, Absent):
            return ()
        return distinct_slips(wrong_values(self.mistakes, self), solution.answer)


def _written(value: int | str | tuple[int, ...]) -> str:
    """What stands in a slot, as it is typed: 3,1,3,1 for weights."""
    return ",".join(map(str, value)) if isinstance(value, tuple) else str(value)


def _measured(answer: object) -> dict[str, int]:
    """What conditions may say of an answer of any type."""
    match answer:
        case Value(value):
            return {"exists": 1, "value": value}
        case Truth(holds):
            return {"holds": int(holds)}
        case ResidueSet():
            return {"exists": int(answer.count > 0), "solutions": answer.count}
    return {"exists": 0, "value": 0}


def require(fine: bool, expected: str, found: object) -> None:
    """StatementError unless a number is as its question needs it."""
    if not fine:
        raise StatementError(
            worded("expected {expected}, got {found}", expected=expected, found=found)
        )


def about(
    name: str,
    phrase: str,
    mistakes: Mapping[str, object],
    asks: tuple[str, ...] = ("the value",),
    measures: tuple[str, ...] = ("value", "steps", "digits"),
    given: dict[str, FieldType] | None = None,
) -> KindSignature:
    """What families of a phrase say; without `given` its slots, which are integers."""
    return KindSignature(
        name=name,
        given=given or dict.fromkeys(_fields_of(phrase), "integer"),
        asks=asks,
        slips=tuple(mistakes),
        measures=measures,
    )


# ------------------------------------------------------------ reading


@cache
def _fields_of(phrase: str) -> tuple[str, ...]:
    return tuple(_SLOT.findall(phrase))


@cache
def _pattern(phrase: str) -> re.Pattern[str]:
    """The phrase as people type it: any case, any blanks, an expression in each slot."""
    words = [re.escape(text) for text in _SLOT.split(phrase)[::2]]
    slots = [f"(?P<{name}>{_OTHERS.get(name, _NUMBER)})" for name in _fields_of(phrase)]
    row = "".join(a + b for a, b in zip(words, (*slots, ""), strict=True))
    return re.compile(r"(?:the )?" + row.replace(r"\ ", " "), re.IGNORECASE)


def reader(*kinds: type[Phrased]) -> Read:
    """Reads the statements of the kinds: the first phrase that the whole text fits."""

    def read(statements: Sequence[str]) -> Phrased | None:
        if len(statements) != 1:
            return None
        text = " ".join(statements[0].replace("(mod ", "mod ").split())
        for kind in kinds:
            for phrase in (kind.phrase, *kind.spellings):
                if match := _pattern(phrase).fullmatch(text):
                    return kind(**_typed(match.groupdict(), statements[0]))
        return None

    return read


def _typed(slots: Mapping[str, str], statement: str) -> dict[str, Any]:
    return {name: _value_typed(name, text.strip(), statement) for name, text in slots.items()}


def _value_typed(name: str, text: str, statement: str) -> int | str | tuple[int, ...]:
    match name:
        case "digits":
            return text
        case "weights":
            return tuple(map(int, text.split(",")))
    return integer_typed(text, "a number", statement)
