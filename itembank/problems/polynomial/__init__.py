"""Polynomial congruences f(x) = 0 (mod m) of degree 2 and more, any modulus.

`solve` finds the complete solution with its steps, `worked` tells them, `slips` goes
wrong on purpose; this file is the kind that the rest of the house sees.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from itembank.answer import ResidueSet
from itembank.arithmetic.primes import Unfactored
from itembank.errors import StatementError
from itembank.notation.tree import Blocks
from itembank.problems.base import Slip, Solution, distinct_slips
from itembank.problems.congruence import OPENINGS, Congruence
from itembank.problems.polynomial import slips, solve, worked
from itembank.problems.polynomial.steps import LevelLift, Split, TreeLift
from itembank.vocabulary import KindSignature

__all__ = ["PolynomialCongruence"]


@dataclass(frozen=True, kw_only=True)
class PolynomialCongruence(Congruence):
    """left = right (mod m), polynomials in one unknown."""

    kind: ClassVar[str] = "polynomial"
    signature: ClassVar[KindSignature] = KindSignature(
        name="polynomial",
        given={"congruence": "equation", "modulus": "integer"},
        asks=tuple(OPENINGS),
        slips=slips.NAMES,
        measures=(
            "solutions",
            "classes",
            "steps",
            "depth",
            "singular_roots",
            "prime_powers",
            "degree",
            "digits",
        ),
    )

    def solve(self) -> Solution[ResidueSet]:
        try:
            return solve.solve(self.f, self.modulus, self.known_factors, moved=any(self.right))
        except Unfactored as e:
            raise StatementError(f"{self.statement[0]}: {e}") from None

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        split = solution.steps[0]
        assert isinstance(split, Split)
        return {
            "solutions": solution.answer.count,
            "classes": solution.answer.class_count,
            "steps": solution.effort,
            "depth": max((k for _p, k in split.factors), default=0),
            "singular_roots": singular_roots(solution),
            "prime_powers": len(split.factors),
            "degree": len(self.f) - 1,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.slips_of(self.f, self.modulus, self.letter, solution)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Blocks:
        return worked.worked(solution, self.letter)


def singular_roots(solution: Solution[ResidueSet]) -> int:
    """How many roots modulo a prime p whose square divides m are singular there."""
    found = 0
    for step in solution.steps:
        if isinstance(step, LevelLift) and step.j == 1:
            found += sum(not row.slope for row in step.rows)
        elif isinstance(step, TreeLift):
            found += sum(child.lifted is None for child in step.root.children)
    return found
