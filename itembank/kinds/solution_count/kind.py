"""The number of solutions of a congruence in one unknown, as the product of local numbers.

Method taught: modulo each prime power of the modulus the solutions are counted - by the
greatest common divisor for linear congruences, by the criterion for powers, by the roots
themselves for other polynomials - and since every choice of one solution for each prime
power gives one modulo m, the numbers are multiplied.

A statement is `number of solutions of x^2 = 1 mod 360`.

`solve` counts with its steps, `telling` tells them, `slips` goes wrong on purpose; this file
is the kind that the rest of the house sees.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from itembank.kinds import one_unknown
from itembank.kinds.about_solutions import AboutSolutions
from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import (
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
)
from itembank.kinds.solution_count import slips, solve, telling
from itembank.languages import Telling, say
from itembank.maths.primes import TooMuchWork
from itembank.notation.tree import Display
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out

__all__ = ["KINDS", "SolutionCount", "read"]


@dataclass(frozen=True, kw_only=True)
class SolutionCount(AboutSolutions):
    """How many residues solve a congruence in one unknown."""

    kind: ClassVar[str] = "solution_count"
    signature: ClassVar[KindSignature] = KindSignature(
        name="solution_count",
        given={"congruence": "equation", "modulus": "integer"},
        asks=("the value",),
        slips=slips.NAMES,
        measures=("solutions", "steps", "prime_powers", "degree", "digits"),
    )

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"number of solutions of {self.congruence.statement[0]}",)

    def question(self, ask: str) -> Telling:
        return (say("Find the **number of solutions** of"), Display(self.shown))

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(
            self.modulus,
            entry=say(
                "Type the number of least residues that solve it, in digits; if there is no "
                "solution, type 0."
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *self.congruence.canonical)

    @property
    def twin(self) -> tuple[object, ...]:
        return (self.kind, *self.congruence.twin)

    def solve(self) -> Solution[Value]:
        try:
            return solve.solve(self.congruence)
        except TooMuchWork as e:
            raise StatementError(
                laid_out("{statement}: {error}", statement=self.statement[0], error=e)
            ) from None

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.value,
            "steps": solution.effort,
            "prime_powers": len(solve.factors_of(self.congruence)),
            "degree": solve.degree_of(self.congruence),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.slips_of(self.congruence, solution), solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:
        return telling.worked(solution, self.congruence)


_FORM = re.compile(r"(?:the )?number of solutions of (?P<congruence>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> SolutionCount | None:
    """The problem of "number of solutions of x^2 = 1 mod 360"; None for another form."""
    if len(statements) != 1:
        return None
    match = _FORM.fullmatch(" ".join(statements[0].split()))
    if match is None:
        return None
    congruence = one_unknown.read([match["congruence"]])
    assert congruence is not None
    return SolutionCount(congruence=congruence)


KINDS = (
    Kind(
        problem=SolutionCount,
        read=read,
        value="count",
        about="The number of solutions of a congruence in one unknown, 0 where there are none.",
        title=say("A congruence"),
        next_steps={
            "the value": say(
                "Count modulo each prime power of the modulus by itself, and check the smallest of "
                "them by trying its residues. The numbers are then multiplied."
            ),
        },
        samples=(
            "number of solutions of x^2 = 1 mod 360",
            "the number of solutions of x³ ≡ 27 (mod 63)",
            "number of solutions of 6x = 4 mod 10",
            "number of solutions of 4x = 3 mod 10",
            "number of solutions of 0x = 0 mod 10^40",
            "number of solutions of t^2 + t = 2 mod 36",
            "number of solutions of x^2 = 2 mod 15",
            "number of solutions of x^2 = 9 mod 27",
            "number of solutions of x^2 = 0 mod 3^40",
            "number of solutions of x^2 = 17 mod 2^40",
            "number of solutions of x^7 = x mod 30",
            "number of solutions of x^2 = 1 mod 1",
        ),
    ),
)
