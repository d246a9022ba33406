"""Factorials modulo m: n! (mod m), by Wilson's theorem where the modulus is prime.

Method taught: if n >= m the factor m stands in n!, which is 0. Modulo a prime p
Wilson's theorem says (p - 1)! = -1; the factors n + 1, ..., p - 1 that n! lacks are
-k, ..., -1 with k = p - 1 - n, so n! (-1)^k k! = -1. A short factorial is multiplied out.

`method` finds it with steps, `telling` tells them, `slips` goes wrong on purpose.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.derivation import SpareLine, Stage, StepLine
from itembank.kinds.factorial import guidance
from itembank.kinds.factorial.method import factorial_found
from itembank.kinds.factorial.slips import slips_of
from itembank.kinds.factorial.telling import TELLING
from itembank.kinds.modular import (
    Modular,
    factored,
    given_modulus,
    typed_modulus,
    words_and_modulus,
)
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.typed import integer
from itembank.kinds.wording import told
from itembank.languages import Telling, lead, say
from itembank.maths.primes import Factors
from itembank.notation.reading import formula
from itembank.notation.tree import Factorial, Math, Modulo, Number
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "FactorialModulo", "read"]


@dataclass(frozen=True, kw_only=True)
class FactorialModulo(StepByStep, Modular):
    """number! modulo `modulus`; the number at least 0."""

    kind: ClassVar[str] = "factorial"
    signature: ClassVar[KindSignature] = KindSignature(
        name="factorial",
        given={"number": "integer", "modulus": "integer"},
        asks=("the value", "the steps"),
        derived=True,
        slips=(
            "wilson-sign",
            "wilson-for-every-factorial",
            "wilson-for-composite",
            "missing-signs",
            "multiplied-instead-of-divided",
            "one-factor-too-many",
            "one-factor-too-few",
            "number-reduced",
        ),
        measures=("steps", "missing_factors", "digits"),
    )
    number: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        n = integer_of(given, "number")
        if n < 0:
            raise StatementError(
                worded("given.number: expected a number of at least 0, got {n}", n=n)
            )
        return cls(number=n, modulus=given_modulus(given))

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.number}! mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Modulo(Factorial(Number(self.number)), self.modulus_math),)

    def question(self, ask: str) -> Telling:
        n, m = self.number, self.modulus_math
        if ask == "the steps":
            return (
                say(
                    "The steps of finding the factorial ${n}!$ modulo {m} are out of order.",
                    n=n,
                    m=m,
                ),
            )
        return (say("Find the factorial ${n}!$ modulo {m}.", n=n, m=m),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no such residue"),
            entry=say(
                "The factorial lies in one residue class modulo {m}. Type any integer in it; "
                "$-3$ is typed -3.",
                m=self.modulus_math,
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value]:
        """Raises StatementError where too many factors would have to be multiplied."""
        return factorial_found(self.number, self.modulus, self.factors)

    def factors(self) -> Factors:
        """The factorisation of the modulus; StatementError where it is not factored."""
        return factored(self.modulus, self.known_factors, self.statement[0])

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "steps": solution.effort,
            "missing_factors": max(self.modulus - 1 - self.number, 0),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self.number, self.modulus), solution.answer)

    def outline(self, solution: Solution[Value]) -> tuple[StepLine, ...]:
        return guidance.outline(solution.steps)

    def spares(self, solution: Solution[Value], lines: Sequence[StepLine]) -> tuple[SpareLine, ...]:
        return guidance.spares(solution.steps, lines)

    def stages(self, solution: Solution[Value]) -> tuple[Stage, ...]:
        return tuple(guidance.stages(solution.steps, self.slips(solution)))

    def worked(self, solution: Solution[Value]) -> Telling:
        n, m, value = self.number, self.modulus_math, solution.answer.value
        return (
            *self.conventions(),
            *told(solution.steps, TELLING),
            lead("Answer."),
            say("${n}! ≡ {value} (mod {m})$.", n=n, value=value, m=m),
        )


def read(statements: Sequence[str]) -> FactorialModulo | None:
    """The problem of "10! mod 11"; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None or not parts[0].endswith("!") or "=" in parts[0]:
        return None
    statement = statements[0]
    tree = formula(statement)
    if not isinstance(tree, Modulo) or not isinstance(tree.inside, Factorial):
        return None
    n = integer(tree.inside.term, statement)
    if n < 0:
        raise StatementError(
            worded(
                "{statement}: expected a factorial of at least 0, got {n}",
                statement=repr(statement),
                n=n,
            )
        )
    return FactorialModulo(number=n, **typed_modulus(parts[1], statement))


KINDS = (
    Kind(
        problem=FactorialModulo,
        read=read,
        value="residue",
        about="The factorial n! modulo m, by Wilson's theorem where m is a prime.",
        title=say("A factorial modulo a number"),
        next_steps={
            "the value": say(
                "Compare the factorial with that of Wilson's theorem: which factors are missing or "
                "too many? Check the rule on a smaller prime, where the product can be worked out."
            ),
        },
        samples=(
            "10! mod 11",
            "8! mod 11",
            "7! mod 11",
            "9! mod 11",
            "3! mod 11",
            "(10^20 + 35)! mod (10^20 + 39)",
            "45! (mod 1000003)",
            "6! mod 2^2*3^2",
            "12! modulo -7",
            "3! mod 4",
            "0! mod 5",
            "5! mod 1",
        ),
    ),
)
