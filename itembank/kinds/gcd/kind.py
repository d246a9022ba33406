"""The greatest common divisor and the least common multiple of two or three integers.

Neither is negative, whatever the signs; gcd(a, 0) = |a|, and gcd(0, 0) = 0; lcm(a, 0) = 0.

Method taught: Euclid's algorithm row by row, two numbers at a time; the least common multiple
is one of the numbers divided by the greatest common divisor, times the other.

`method` finds them with steps, `telling` tells them, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.derivation import SpareLine, Stage, StepLine
from itembank.kinds.frame import Framed
from itembank.kinds.gcd import guidance, slips
from itembank.kinds.gcd.certificate import of_divisor, of_multiple
from itembank.kinds.gcd.method import Euclid, gcd_found, lcm_found
from itembank.kinds.gcd.telling import TELLING, of
from itembank.kinds.modular import integer_typed
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, each, say
from itembank.notation.tree import Math, Number
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "GreatestDivisor", "LeastMultiple", "read"]

_LARGEST = 10**40
"""Numbers are below it in size: they stand in the question digit by digit."""

_MEASURES = ("value", "steps", "divisions", "common_divisor", "digits")


@dataclass(frozen=True, kw_only=True)
class OfIntegers(Framed):
    """What the two share: two or three integers, any of them negative or 0."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    telling: ClassVar[Tellers] = TELLING
    modulus: ClassVar[None] = None
    numbers: tuple[int, ...]

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        numbers = given["numbers"]
        found = (
            tuple(n for n in numbers if isinstance(n, int)) if isinstance(numbers, tuple) else ()
        )
        return cls(numbers=_within_bounds(found, "given.numbers"))

    @property
    def value(self) -> Math:
        """gcd(84, 30)."""
        return of(self.kind, *self.numbers)

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.kind}({', '.join(map(str, self.numbers))})",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.value,)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"), entry=say("Type the value in digits."))

    @property
    def canonical(self) -> tuple[object, ...]:
        """Order and signs make no other problem."""
        return (self.kind, *sorted(map(abs, self.numbers)))

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "value": solution.answer.value,
            "steps": solution.effort,
            "divisions": sum(s.effort for s in solution.steps if isinstance(s, Euclid)),
            "common_divisor": gcd(*self.numbers),
            "digits": max(len(str(abs(n))) for n in self.numbers),
        }

    def answer_text(self, answer: Value) -> Said:
        return say("${left} = {value}$.", left=self.value, value=answer.value)


@dataclass(frozen=True, kw_only=True)
class GreatestDivisor(StepByStep, OfIntegers):
    """gcd(numbers)."""

    kind: ClassVar[str] = "gcd"
    signature: ClassVar[KindSignature] = KindSignature(
        name="gcd",
        given={"numbers": "integers"},
        asks=("the value", "the steps"),
        derived=True,
        slips=tuple(slips.GCD),
        measures=_MEASURES,
    )

    def question(self, ask: str) -> Telling:
        numbers = each(map(Number, self.numbers))
        if ask == "the steps":
            yield say(
                "The steps of finding the greatest common divisor of {numbers} are out of order.",
                numbers=numbers,
            )
            return
        yield say("Find the greatest common divisor of {numbers}.", numbers=numbers)
        if not any(self.numbers):
            yield say(
                "By convention the greatest common divisor is 0 where every integer is a common "
                "divisor."
            )
        elif min(self.numbers) < 0:
            yield say("The greatest common divisor is positive, whatever the signs.")

    def solve(self) -> Solution[Value]:
        return gcd_found(self.numbers)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.slips_of(self.numbers, slips.GCD), solution.answer)

    def outline(self, _solution: Solution[Value]) -> tuple[StepLine, ...]:
        return guidance.outline(self.numbers)

    def spares(
        self, _solution: Solution[Value], lines: Sequence[StepLine]
    ) -> tuple[SpareLine, ...]:
        return guidance.spares(self.numbers, lines)

    def stages(self, solution: Solution[Value]) -> tuple[Stage, ...]:
        return tuple(guidance.stages(self.numbers, self.slips(solution)))


@dataclass(frozen=True, kw_only=True)
class LeastMultiple(OfIntegers):
    """lcm(numbers)."""

    kind: ClassVar[str] = "lcm"
    signature: ClassVar[KindSignature] = KindSignature(
        name="lcm",
        given={"numbers": "integers"},
        asks=("the value",),
        slips=tuple(slips.LCM),
        measures=_MEASURES,
    )

    def question(self, ask: str) -> Telling:
        numbers = each(map(Number, self.numbers))
        yield say("Find the least common multiple of {numbers}.", numbers=numbers)
        if 0 not in self.numbers and min(self.numbers) < 0:
            yield say("The least common multiple is positive, whatever the signs.")

    def solve(self) -> Solution[Value]:
        return lcm_found(self.numbers)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.slips_of(self.numbers, slips.LCM), solution.answer)


def _within_bounds(numbers: tuple[int, ...], where: str) -> tuple[int, ...]:
    """Two or three numbers of a length that a question can show; StatementError for others."""
    if not 2 <= len(numbers) <= 3:
        raise StatementError(
            worded("{where}: expected two or three numbers, got {n}", where=where, n=len(numbers))
        )
    if any(abs(n) >= _LARGEST for n in numbers):
        raise StatementError(
            worded("{where}: expected numbers of at most 40 digits, got a longer one", where=where)
        )
    return numbers


# ------------------------------------------------------------ reading

_NAMED: dict[str, type[OfIntegers]] = {
    "gcd": GreatestDivisor,
    "hcf": GreatestDivisor,
    "greatest common divisor": GreatestDivisor,
    "highest common factor": GreatestDivisor,
    "lcm": LeastMultiple,
    "least common multiple": LeastMultiple,
}
_FORM = re.compile(
    rf"(?:the )?(?P<name>{'|'.join(_NAMED)})(?: ?\((?P<called>.+)\)| of (?P<listed>.+))",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r",? and |,")


def read(statements: Sequence[str]) -> OfIntegers | None:
    """The problem of "gcd(84, 30)" or "lcm of 4, 6 and 9"; None for another form."""
    match = _FORM.fullmatch(" ".join(statements[0].split())) if len(statements) == 1 else None
    if match is None:
        return None
    where = repr(statements[0])
    numbers = tuple(
        integer_typed(text.strip(), "a number", statements[0])
        for text in _BETWEEN.split(match["called"] or match["listed"])
    )
    return _NAMED[match["name"].lower()](numbers=_within_bounds(numbers, where))


KINDS = (
    Kind(
        problem=GreatestDivisor,
        read=read,
        about="The greatest common divisor of two or three integers; gcd(a, 0) is |a|.",
        title=say("Common divisors"),
        next_steps={
            "the value": say(
                "Divide each of the numbers by the number that was given. Is every division even? "
                "If so, have the quotients a common factor left?"
            ),
        },
        samples=(
            "gcd(84, 30)",
            "greatest common divisor of 84, 30 and 45",
            "gcd(2261, 1275)",
            "gcd of -36 and 48",
            "gcd(17, 0)",
            "gcd(0, 0)",
            "gcd(9, 4, 100)",
            "gcd(30, 30)",
            "the gcd of 10^30 and 6^20",
        ),
        certificate=of_divisor,
    ),
    Kind(
        problem=LeastMultiple,
        read=read,
        about="The least common multiple of two or three integers; lcm(a, 0) is 0.",
        title=say("Common multiples"),
        next_steps={
            "the value": say(
                "Divide the number that was given by each of the numbers. Is every division even? "
                "If so, do the quotients have a factor in common?"
            ),
        },
        samples=(
            "lcm(84, 30)",
            "least common multiple of 4, 6 and 9",
            "lcm(-12, 18)",
            "lcm of 7 and 0",
            "lcm(5, 10)",
            "lcm(1, 1)",
            "lcm(3054, 12378)",
            "lcm(10^30, 6^20)",
        ),
        certificate=of_multiple,
    ),
)
"""What the house knows of these kinds."""
