"""Euler's phi and Carmichael's lambda.

phi(n) is how many of 1, ..., n are coprime to n; lambda(n) the least e >= 1 with
a^e = 1 (mod n) for every a coprime to n. Both are 1 for n = 1.

`solve` finds them from the factorisation, `telling` tells it, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.derivation import Matching, SpareLine, StepLine
from itembank.kinds.frame import Framed
from itembank.kinds.modular import factored, integer_typed, modulus_formula
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.totient import guidance, slips
from itembank.kinds.totient.certificate import by_prime_powers
from itembank.kinds.totient.solve import solved_lambda, solved_phi
from itembank.kinds.totient.telling import LAMBDA, PHI, TELLING
from itembank.kinds.typed import integers
from itembank.kinds.wording import FITS_ON_THE_BOARD, Tellers
from itembank.languages import Said, Telling, say
from itembank.maths.primes import Factors
from itembank.notation import plain
from itembank.notation.reading import formula
from itembank.notation.tree import Call, Letter, Math
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["CarmichaelLambda", "EulerPhi", "read"]


@dataclass(frozen=True, kw_only=True)
class OfANumber(Framed):
    """What the two functions share: the number n >= 1, as it was typed and what may divide it."""

    kind: ClassVar[str]
    function: ClassVar[str]
    letter: ClassVar[Letter]
    telling: ClassVar[Tellers] = TELLING
    signature: ClassVar[KindSignature]
    number: int
    typed: str = field(default="", compare=False)
    known_factors: tuple[int, ...] = field(default=(), compare=False)

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        n = integer_of(given, "number")
        if n < 1:
            raise StatementError(
                worded("given.number: expected a number of at least 1, got {n}", n=n)
            )
        return cls(number=n)

    @property
    def modulus(self) -> int:
        return self.number

    @property
    def _number_text(self) -> str:
        """The number as it is shown: a large one as its author typed it."""
        return self.typed if self.number >= FITS_ON_THE_BOARD and self.typed else str(self.number)

    @property
    def number_math(self) -> Math:
        """The number as a formula, a large one as its author typed it."""
        return modulus_formula(self.number, self._number_text)

    @property
    def value(self) -> Math:
        """phi(36), as a formula."""
        return Call(self.letter, (self.number_math,))

    @cached_property
    def factors(self) -> Factors:
        """The factorisation of n; StatementError where it is not factored."""
        return factored(self.number, self.known_factors, self.statement[0])

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.function}({self._number_text})",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.value,)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no value"),
            entry=say("Type the value in digits."),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "value": solution.answer.value,
            "steps": solution.effort,
            "prime_powers": len(self.factors),
            "largest_exponent": max((k for _p, k in self.factors), default=0),
            "digits": len(str(self.number)),
        }

    def answer_text(self, answer: Value) -> Said:
        return say("${left} = {value}$.", left=self.value, value=answer.value)


_MEASURES = ("value", "steps", "prime_powers", "largest_exponent", "digits")


@dataclass(frozen=True, kw_only=True)
class EulerPhi(StepByStep, OfANumber):
    """phi(number)."""

    kind: ClassVar[str] = "phi"
    function: ClassVar[str] = "phi"
    letter: ClassVar[Letter] = PHI
    signature: ClassVar[KindSignature] = KindSignature(
        name="phi",
        given={"number": "integer"},
        asks=("the value", "the steps"),
        derived=True,
        slips=tuple(slips.PHI),
        measures=_MEASURES,
    )

    def question(self, ask: str) -> Telling:
        if ask == "the steps":
            return (say("The steps of finding {value} are out of order.", value=self.value),)
        return (
            say(
                "Find {value}: how many of the numbers from 1 to {n} are coprime to {n}.",
                value=self.value,
                n=self.number_math,
            ),
        )

    def solve(self) -> Solution[Value]:
        return solved_phi(self.number, self.factors)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        found = slips.slips_of(self.number, self.factors, slips.PHI)
        return distinct_slips(found, solution.answer)

    def outline(self, _solution: Solution[Value]) -> tuple[StepLine, ...]:
        return guidance.outline(self.number, self.factors)

    def spares(
        self, _solution: Solution[Value], lines: Sequence[StepLine]
    ) -> tuple[SpareLine, ...]:
        return guidance.spares(self.number, self.factors, lines)

    def matching(self, _solution: Solution[Value]) -> Matching | None:
        return guidance.matching(self.number, self.factors)


@dataclass(frozen=True, kw_only=True)
class CarmichaelLambda(OfANumber):
    """lambda(number)."""

    kind: ClassVar[str] = "lambda"
    function: ClassVar[str] = "lambda"
    letter: ClassVar[Letter] = LAMBDA
    signature: ClassVar[KindSignature] = KindSignature(
        name="lambda",
        given={"number": "integer"},
        asks=("the value",),
        slips=tuple(slips.LAMBDA),
        measures=_MEASURES,
    )

    def question(self, ask: str) -> Telling:
        return (
            say(
                "Find {value}: the least positive exponent $e$ for which $a^e ≡ 1 (mod {n})$ holds "
                "for every $a$ coprime to {n}.",
                value=self.value,
                n=self.number_math,
            ),
        )

    def solve(self) -> Solution[Value]:
        return solved_lambda(self.number, self.factors)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        found = slips.slips_of(self.number, self.factors, slips.LAMBDA)
        return distinct_slips(found, solution.answer)


# ------------------------------------------------------------ reading

_FORM = re.compile(
    r"(?:euler(?:'s)? |carmichael(?:'s)? )?(?P<name>phi|φ|ϕ|totient|lambda|λ)"
    r"(?: of)? ?(?P<number>\(.+\)|\d.*)",
    re.IGNORECASE,
)
_UNITS = re.compile(
    r"(?:the )?number of units,? \(?mod(?:ulo)? (?P<number>[^()]+)\)?", re.IGNORECASE
)
_NAMED: dict[str, type[OfANumber]] = {
    "phi": EulerPhi,
    "φ": EulerPhi,
    "ϕ": EulerPhi,
    "totient": EulerPhi,
    "lambda": CarmichaelLambda,
    "λ": CarmichaelLambda,
}


def read(statements: Sequence[str]) -> OfANumber | None:
    """The problem of "phi(36)" or "lambda(561)"; None for statements of another form.

    "number of units mod 36" asks for phi(36).
    """
    if len(statements) != 1:
        return None
    statement = statements[0]
    text = " ".join(statement.split())
    if match := _UNITS.fullmatch(text):
        return _problem(EulerPhi, match["number"], statement)
    match = _FORM.fullmatch(text)
    if match is None:
        return None
    number = match["number"]
    if number.startswith("("):
        number = number[1:-1]
    return _problem(_NAMED[match["name"].lower()], number, statement)


def _problem(kind: type[OfANumber], number: str, statement: str) -> OfANumber:
    n = integer_typed(number, "a number", statement)
    if n < 1:
        raise StatementError(
            worded(
                "{statement}: expected a number of at least 1, got {n}",
                statement=repr(statement),
                n=n,
            )
        )
    node = formula(number)
    return kind(
        number=n,
        typed=plain.typed(node),
        known_factors=tuple(sorted(set(integers(node)) - {0, 1})),
    )


KINDS = (
    Kind(
        problem=EulerPhi,
        read=read,
        value="count",
        about="Euler's phi of n: how many of 1, ..., n are coprime to n.",
        title=say("Euler's function"),
        next_steps={
            "the value": say(
                "Check the prime factorisation by multiplying it out. Then take φ of each prime "
                "power by itself and multiply."
            ),
        },
        samples=(
            "phi(36)",
            "Euler's phi of 97",
            "phi 625",
            "φ(30030)",
            "number of units mod 8",
            "phi(10^40)",
            "phi(2)",
            "phi(1)",
        ),
        certificate=by_prime_powers,
    ),
    Kind(
        problem=CarmichaelLambda,
        read=read,
        value="exponent",
        about="Carmichael's lambda of n: the least e >= 1 with a^e = 1 (mod n) for all units a.",
        title=say("Carmichael's function"),
        next_steps={
            "the value": say(
                "Check the prime factorisation by multiplying it out. Then take the value of each "
                "prime power by itself: powers of 2 have a rule of their own."
            ),
        },
        samples=(
            "lambda(561)",
            "Carmichael lambda of 288",
            "λ(75)",
            "lambda(64)",
            "lambda(97)",
            "lambda(10^20)",
            "lambda(2)",
            "lambda(1)",
        ),
    ),
)
"""What the house knows of these kinds."""
