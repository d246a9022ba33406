"""Whether a is a square modulo m: whether x^2 = a (mod m) has a solution.

0 is a square, and a may have factors in common with m. For a composite m the Jacobi symbol
does not decide; each prime power of m does.

`solve` decides, `worked` tells it, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Phrases, Slip, Solution, distinct_slips
from itembank.kinds.modular import (
    AboutResidue,
    factored,
    integer_typed,
    matched_words,
    typed_modulus,
)
from itembank.kinds.square_test import slips
from itembank.kinds.square_test.solve import solved
from itembank.kinds.square_test.steps import Verdict
from itembank.kinds.square_test.worked import TOLD
from itembank.kinds.wording import told
from itembank.languages import Telling, say
from itembank.languages.words import _
from itembank.maths.primes import Factors
from itembank.notation.prose import paragraph
from itembank.notation.reading import formula
from itembank.notation.tree import Blocks, Math, Number
from itembank.values.answer import Truth
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature

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
        return (formula(f'"is" {self.number} "a square modulo" {self.modulus_text}'),)

    def question(self, ask: str) -> Blocks:
        text = _(
            "Decide whether ${a}$ is a square modulo {m}: whether some integer has a square that "
            "is congruent to ${a}$ modulo {m}."
        )
        return (paragraph(text.format(a=self.number, m=f"${self.modulus_text}$")),)

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
        return (*self.conventions(), *told(solution.steps, TOLD))


FORM = re.compile(
    r"is (?P<number>.+?) an? (?:perfect )?(?:square|quadratic residue)", re.IGNORECASE
)


def read(statements: Sequence[str]) -> SquareTest | None:
    """The problem of "is 2 a square mod 15"; None for statements of another form.

    "is 2 a quadratic residue mod 7" is the same for a number coprime to the modulus, and
    refused for others: books differ on them.
    """
    found = matched_words(FORM, statements)
    if found is None:
        return None
    match, modulus = found
    statement = statements[0]
    number = integer_typed(match["number"], "a number", statement)
    problem = SquareTest(number=number, **typed_modulus(modulus.rstrip("? "), statement))
    if "residue" in match[0] and gcd(number, problem.modulus) > 1:
        raise StatementError(
            f"{statement!r}: expected a number coprime to the modulus, since books differ on the "
            f"others; write 'is {number} a square mod {problem.modulus_text}'"
        )
    return problem
