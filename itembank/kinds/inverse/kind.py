"""The inverse of a modulo m: the class of the y with ay = 1 (mod m), or the reason why not.

Method taught: Euclid's algorithm forwards, until the remainder 1; then backwards, each
remainder replaced by the row that made it, until 1 is a combination of m and a. Where
that is long, the coefficients of a are carried along in a table instead.

`method` finds it with steps, `telling` tells them, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.derivation import Matching, SpareLine, Stage, StepLine
from itembank.kinds.inverse import guidance
from itembank.kinds.inverse.certificate import certificate
from itembank.kinds.inverse.method import (
    Backwards,
    Euclid,
    Inspect,
    Inverse,
    inverse_found,
)
from itembank.kinds.inverse.slips import slips_of
from itembank.kinds.inverse.telling import TELLING
from itembank.kinds.modular import AboutResidue, integer_typed, matched_words, typed_modulus
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.wording import told
from itembank.languages import Said, Telling, lead, say
from itembank.notation.tree import Math, Modulo, Number, Words
from itembank.values.answer import Absent, Value
from itembank.values.course import Methods
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "InverseModulo", "read"]


@dataclass(frozen=True, kw_only=True)
class InverseModulo(StepByStep, AboutResidue):
    """The y with number * y = 1 (mod modulus)."""

    kind: ClassVar[str] = "inverse"
    signature: ClassVar[KindSignature] = KindSignature(
        name="inverse",
        given={"number": "integer", "modulus": "integer"},
        asks=("the value", "whether any", "the steps"),
        derived=True,
        slips=(
            "inverse-sign",
            "opposite-taken",
            "coefficient-of-modulus",
            "stopped-early",
            "prime-modulus-assumed",
            "whole-numbers-only",
            "common-divisor-untested",
            "divided-by-common-divisor",
        ),
        measures=("exists", "steps", "common_divisor", "digits"),
    )

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"inverse of {self.number} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Words(("inverse of", Modulo(Number(self.number), self.modulus_math))),)

    def question(self, ask: str) -> Telling:
        a, m = Number(self.number), self.modulus_math
        if ask == "whether any":
            return ()
        if ask == "the steps":
            return (
                say(
                    "The steps of finding the inverse of {a} modulo {m} are out of order.", a=a, m=m
                ),
            )
        return (say("Find the inverse of {a} modulo {m}.", a=a, m=m),)

    @property
    def phrases(self) -> Phrases:
        a, m = Number(self.number), self.modulus_math
        return Phrases(
            none=say("no inverse exists"),
            claim=say("True or false: {a} has an inverse modulo {m}.", a=a, m=m),
            entry=say(
                "The inverse is one residue class modulo {m}. Type any integer in it; $-3$ "
                "is typed -3.",
                m=m,
            ),
        )

    def solve(self) -> Solution[Value | Absent]:
        return inverse_found(self.number, self.modulus)

    def solved_by(self, methods: Methods) -> Solution[Value | Absent]:
        return inverse_found(self.number, self.modulus, methods.inverse)

    def solution_to(self, ask: str, solution: Solution[Value | Absent]) -> Solution[Value | Absent]:
        """Whether there is an inverse is seen from the greatest common divisor."""
        if ask != "whether any":
            return solution
        if any(isinstance(s, Inspect) for s in solution.steps):
            solution = self.solve()
        kept = tuple(s for s in solution.steps if not isinstance(s, Backwards | Inverse))
        return Solution(solution.answer, kept)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        return {
            "exists": int(isinstance(solution.answer, Value)),
            "steps": solution.effort,
            "common_divisor": gcd(self.number, self.modulus),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self.number % self.modulus, self.modulus), solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Telling:
        return (
            *self.conventions(),
            *told(solution.steps, TELLING, self),
            lead("Answer."),
            self.conclusion(solution),
        )

    def outline(self, solution: Solution[Value | Absent]) -> tuple[StepLine, ...]:
        return guidance.outline(self.number, self.modulus, solution.steps)

    def spares(
        self, solution: Solution[Value | Absent], lines: Sequence[StepLine]
    ) -> tuple[SpareLine, ...]:
        return guidance.spares(self.number, self.modulus, solution.steps, lines)

    def stages(self, solution: Solution[Value | Absent]) -> tuple[Stage, ...]:
        found = self.slips(solution)
        return tuple(guidance.stages(self.number, self.modulus, solution.steps, found))

    def matching(self, _solution: Solution[Value | Absent]) -> Matching | None:
        return guidance.matching(self.number, self.modulus)

    def conclusion(self, solution: Solution[Value | Absent]) -> Said:
        answer = solution.answer
        if isinstance(answer, Absent):
            return answer.reason
        if isinstance(solution.steps[-1], Euclid):
            return say("${a}$ has an inverse modulo {m}.", a=self.number, m=self.modulus_told)
        return say(
            "The inverse of ${a}$ modulo {m} is {y}.",
            a=self.number,
            m=self.modulus_told,
            y=answer.value,
        )


_FORM = re.compile(r"(?:the )?inverse of (?P<number>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> InverseModulo | None:
    """The problem of "inverse of 7 mod 26"; None for statements of another form."""
    found = matched_words(_FORM, statements)
    if found is None:
        return None
    match, modulus = found
    number = integer_typed(match["number"], "the number to invert", statements[0])
    return InverseModulo(number=number, **typed_modulus(modulus, statements[0]))


KINDS = (
    Kind(
        problem=InverseModulo,
        read=read,
        value="residue",
        about="The inverse of a modulo m: the class of the y with ay = 1, or that there is none.",
        title=say("Multiplication modulo a number"),
        next_steps={
            "the value": say(
                "Multiply the number that was given by the number to be inverted: the product must "
                "leave 1 modulo the modulus. Then go through the rows of Euclid's algorithm, "
                "checking each."
            ),
            "whether any": say(
                "Find the greatest common divisor of the number and the modulus by Euclid's "
                "algorithm: what does it say about the product leaving 1?"
            ),
        },
        samples=(
            "inverse of 7 mod 26",
            "the inverse of 34 modulo 55",
            "inverse of 1234 mod 98765",
            "inverse of -3 (mod 10^20 + 39)",
            "inverse of 2^10 mod 3^4",
            "inverse of 4 mod 10",
            "inverse of 0 mod 5",
            "inverse of 11 mod -5",
            "inverse of 5 mod 1",
        ),
        certificate=certificate,
    ),
)
