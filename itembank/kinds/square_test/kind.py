"""Whether a is a square modulo m: whether x^2 = a (mod m) has a solution.

0 is a square, and a may have factors in common with m. For a composite m the Jacobi symbol
does not decide; each prime power of m does.

`solve` decides, `telling` tells it, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.modular import (
    AboutResidue,
    factored,
    integer_typed,
    matched_words,
    typed_modulus,
)
from itembank.kinds.square_test import slips
from itembank.kinds.square_test.certificate import euler_for_each_prime
from itembank.kinds.square_test.solve import solved
from itembank.kinds.square_test.steps import Verdict
from itembank.kinds.square_test.telling import TELLING
from itembank.kinds.wording import told
from itembank.languages import Telling, say
from itembank.maths.primes import Factors
from itembank.notation.tree import Math, Number, Words
from itembank.values.answer import Truth
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["SquareTest", "read"]


@dataclass(frozen=True, kw_only=True)
class SquareTest(AboutResidue):
    """Is `number` a square modulo `modulus`?"""

    kind: ClassVar[str] = "square_test"
    signature: ClassVar[KindSignature] = KindSignature(
        name="square_test",
        given={"number": "integer", "modulus": "integer"},
        asks=("whether any",),
        slips=tuple(slips.MISTAKES),
        measures=("holds", "jacobi_symbol", "common_divisor", "prime_powers", "steps", "digits"),
    )

    @cached_property
    def factors(self) -> Factors:
        """The factorisation of the modulus; StatementError where it is not factored."""
        return factored(self.modulus, self.known_factors, self.statement[0])

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"is {self.number} a square mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Words(("is", Number(self.number), "a square modulo", self.modulus_math)),)

    def question(self, ask: str) -> Telling:
        return (
            say(
                "Decide whether ${a}$ is a square modulo {m}: whether some integer has a square "
                "that is congruent to ${a}$ modulo {m}.",
                a=self.number,
                m=self.modulus_math,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no square"),
            claim=say(
                "True or false: {a} is a square modulo {m}.",
                a=Number(self.number),
                m=self.modulus_math,
            ),
        )

    def solve(self) -> Solution[Truth]:
        return solved(self.number, self.modulus, self.factors)

    def measures(self, solution: Solution[Truth]) -> Mapping[str, int]:
        verdict = solution.steps[-1]
        assert isinstance(verdict, Verdict)
        return {
            "holds": int(solution.answer.holds),
            "jacobi_symbol": verdict.jacobi or 0,
            "common_divisor": gcd(self.number, self.modulus),
            "prime_powers": len(self.factors),
            "steps": solution.effort,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Truth]) -> tuple[Slip, ...]:
        found = slips.slips_of(self.number, self.modulus, self.factors)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Truth]) -> Telling:
        return (*self.conventions(), *told(solution.steps, TELLING))


_FORM = re.compile(
    r"is (?P<number>.+?) an? (?:perfect )?(?:square|quadratic residue)", re.IGNORECASE
)


def read(statements: Sequence[str]) -> SquareTest | None:
    """The problem of "is 2 a square mod 15"; None for statements of another form.

    "is 2 a quadratic residue mod 7" is the same for a number coprime to the modulus, and
    refused for others: books differ on them.
    """
    found = matched_words(_FORM, statements)
    if found is None:
        return None
    match, modulus = found
    statement = statements[0]
    number = integer_typed(match["number"], "a number", statement)
    problem = SquareTest(number=number, **typed_modulus(modulus.rstrip("? "), statement))
    if "residue" in match[0] and gcd(number, problem.modulus) > 1:
        raise StatementError(
            worded(
                "{statement}: expected a number coprime to the modulus, since books differ on "
                "the others; write 'is {number} a square mod {modulus_text}'",
                statement=repr(statement),
                number=number,
                modulus_text=problem.modulus_text,
            )
        )
    return problem


KINDS = (
    Kind(
        problem=SquareTest,
        read=read,
        about="Whether a is a square modulo m; a may have factors in common with m.",
        title=say("Squares modulo a number"),
        next_steps={
            "whether any": say(
                "Split the modulus into prime powers and look at each by itself: is the number a "
                "square there? A square modulo the whole modulus is one modulo every prime power. "
                "A factor that the number shares with the modulus needs care: look at its power "
                "first."
            ),
        },
        samples=(
            "is 2 a square mod 15",
            "Is -3 a square modulo 7*11^2?",
            "is 2 a quadratic residue mod 7",
            "is 207 a square mod 251",
            "is 12 a square mod 72",
            "is 45 a square mod 75",
            "is 20 a square mod 64",
            "is 27 a square mod 81",
            "is 0 a square mod 9",
            "is 4 a square mod (10^19 + 51)^3*(10^20 + 39)",
            "is 2 a square mod -15",
            "is 2 a square mod 1",
        ),
        certificate=euler_for_each_prime,
    ),
)
"""What the house knows of this kind."""
