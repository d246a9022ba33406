"""Polynomial congruences f(x) = 0 (mod m) of degree 2 and more, any modulus.

`solve` finds the complete solution with its steps, `telling` tells them, `slips` goes
wrong on purpose; this file is the kind that the rest of the house sees.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from itembank.kinds.asking import LINE_ASKS, REASON_ASKS
from itembank.kinds.base import DECIDED, USUAL, Kind, Slip, Solution, distinct_slips
from itembank.kinds.congruence import OPENINGS, Congruence, out_of_order
from itembank.kinds.typed import congruence
from itembank.languages import Said, Telling, say
from itembank.maths.primes import TooMuchWork
from itembank.values.answer import ResidueSet
from itembank.values.course import Methods
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out

if TYPE_CHECKING:
    from itembank.kinds.derivation import Lifting, Misorder, SpareLine, Stage, StepLine
    from itembank.kinds.lines import Inference, Line
    from itembank.kinds.polynomial.steps import Square

__all__ = ["PolynomialCongruence", "read"]


@dataclass(frozen=True, kw_only=True)
class PolynomialCongruence(Congruence):
    """left = right (mod m), polynomials in one unknown."""

    kind: ClassVar[str] = "polynomial"
    signature: ClassVar[KindSignature] = KindSignature(
        name="polynomial",
        given={"congruence": "equation", "modulus": "integer"},
        asks=(*OPENINGS, "the steps", *LINE_ASKS, *REASON_ASKS),
        derived=True,
        slips=(
            "constant-sign",
            "leading-coefficient-ignored",
            "modulus-kept",
            "cancelled-x",
            "needs-a-square-number",
            "one-square-root",
            "halved-in-the-integers",
            "product-not-zero",
            "square-not-added",
            "half-for-the-root",
            "root-not-taken",
            "shift-sign",
            "zero-taken-for-no-root",
            "zero-product-rule",
            "factor-dropped",
            "not-lifted",
            "lift-sign",
            "power-not-brought-down",
            "derivative-not-evaluated",
            "every-lift-kept",
            "singular-taken-as-simple",
            "singular-discarded",
            "only-unshifted-tested",
            "odd-rule-at-two",
            "tested-modulo-four-only",
            "matched-pairs-only",
            "residues-added",
            "inverses-left-out",
            "weights-swapped",
            "unsolvable-factor-ignored",
            "one-pair-only",
        ),
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

    def question(self, ask: str) -> Telling:
        if ask == "the steps":
            return out_of_order(self.shown)
        return super().question(ask)

    def solve(self) -> Solution[ResidueSet]:
        return self.solved_by(USUAL)

    def solved_by(self, methods: Methods) -> Solution[ResidueSet]:
        from itembank.kinds.polynomial import solve

        moved = any(self.right)
        try:
            return solve.solve(self.f, self.modulus, self.known_factors, moved, methods)
        except TooMuchWork as e:
            raise StatementError(
                laid_out("{statement}: {error}", statement=self.statement[0], error=e)
            ) from None

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        from itembank.kinds.polynomial import solve

        return solve.decided(solution, ask) if ask in DECIDED else solution

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        factors = _factors_of(solution)
        return {
            "solutions": solution.answer.count,
            "classes": solution.answer.class_count,
            "steps": solution.effort,
            "depth": max((k for _p, k in factors), default=0),
            "singular_roots": _singular_roots(solution),
            "prime_powers": len(factors),
            "degree": len(self.f) - 1,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        from itembank.kinds.polynomial import slips

        found = slips.slips_of(self.f, self.modulus, self.letter, solution)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        from itembank.kinds.polynomial.telling.worked import worked

        return worked(solution, self.letter)

    def outline(self, solution: Solution[ResidueSet]) -> "tuple[StepLine, ...]":
        from itembank.kinds.polynomial import guidance

        return guidance.outline(self.f, self.letter, _factors_of(solution), solution.answer)

    def misorders(self, lines: "Sequence[StepLine]") -> "tuple[Misorder, ...]":
        from itembank.kinds.polynomial import guidance

        return tuple(guidance.misorders(lines))

    def spares(
        self, solution: Solution[ResidueSet], lines: "Sequence[StepLine]"
    ) -> "tuple[SpareLine, ...]":
        from itembank.kinds.polynomial import spares

        found, factors = _squares_of(solution), _factors_of(solution)
        return spares.spares(self.f, self.letter, factors, solution.answer, found, lines)

    def lifting(self, solution: Solution[ResidueSet]) -> "Lifting | None":
        from itembank.kinds.polynomial import guidance

        return guidance.lifting(self.f, _factors_of(solution))

    def stages(self, solution: Solution[ResidueSet]) -> "tuple[Stage, ...]":
        from itembank.kinds.polynomial import guidance

        factors = _factors_of(solution)
        return tuple(guidance.stages(self.f, self.letter, factors, solution.answer))

    def lines(self, solution: Solution[ResidueSet]) -> "tuple[Line, ...]":
        from itembank.kinds.polynomial import lines

        found = _squares_of(solution)
        factors = _factors_of(solution)
        return tuple(lines.lines(self.f, self.letter, factors, solution.answer, found))

    def inferences(self, solution: Solution[ResidueSet]) -> "tuple[Inference, ...]":
        from itembank.kinds.polynomial import reasons

        found = _squares_of(solution)
        factors = _factors_of(solution)
        return tuple(reasons.inferences(self.f, self.letter, factors, solution.answer, found))

    def given_for_reasons(self) -> tuple[Said, ...]:
        from itembank.kinds.polynomial import reasons

        return (reasons.given(self.f, self.letter),)


def _factors_of(solution: Solution[ResidueSet]) -> tuple[tuple[int, int], ...]:
    """The prime powers p^k of the modulus, as (p, k)."""
    from itembank.kinds.polynomial.steps import Split

    split = solution.steps[0]
    assert isinstance(split, Split)
    return split.factors


def _squares_of(solution: Solution[ResidueSet]) -> "dict[int, Square]":
    """The squares that the solution completes, by their primes."""
    from itembank.kinds.polynomial.steps import RootsModPrime, Square

    return {
        step.p: step.method
        for step in solution.steps
        if isinstance(step, RootsModPrime) and isinstance(step.method, Square)
    }


def _singular_roots(solution: Solution[ResidueSet]) -> int:
    """How many roots modulo a prime p whose square divides m are singular there."""
    from itembank.kinds.polynomial.steps import LevelLift, OddSquare, TreeLift

    found = 0
    for step in solution.steps:
        if isinstance(step, LevelLift) and step.j == 1:
            found += sum(not row.slope for row in step.rows)
        elif isinstance(step, OddSquare):
            found += 1
        elif isinstance(step, TreeLift):
            found += sum(child.lifted is None for child in step.root.children)
    return found


# ------------------------------------------------------------ statements


def read(statements: Sequence[str]) -> PolynomialCongruence | None:
    """The congruence stated, of degree 2 or more; None for several statements, or a lower degree.

    A pure power beside a number is read here too: whoever reads roots is asked first.
    StatementError for what is no congruence in one unknown.
    """
    if len(statements) != 1:
        return None
    typed = congruence(statements[0])
    if max(len(typed.left), len(typed.right)) <= 2:
        return None
    return PolynomialCongruence(**vars(typed))


KINDS = (
    Kind(
        problem=PolynomialCongruence,
        read=read,
        about="A polynomial congruence f(x) = g(x) (mod m) of degree 2 or more: every solution.",
        title=say("A congruence"),
        next_steps={
            "whether any": say(
                "Look at each prime of the modulus by itself. Complete the square there, or try "
                "the residues: which of them solve the congruence? A solution modulo the whole "
                "modulus is one modulo every prime."
            ),
        },
        samples=(
            "x^2 + 9x + 5 = 0 mod 117",
            "x^3 + 3x + 5 = 0 mod 27",
            "x² + x ≡ 1 (mod 7)",
            "t^2 - t = 3t + 5 mod 45",
            "(x - 1)(x - 4)^2(x - 5) = 0 mod 72",
            "6x^2 + 12x = 0 mod 3^3*5",
            "x^2 + x + 1 = 0 mod 4",
            "x^2 + 5 = x^2 mod 9",
            "x^2 = x^2 mod 30",
            "x^2 + x = 0 mod 1",
            "x^3 = x^2 mod 3^40*5",
            "x^5 = 3x + 7 mod 1000003",
        ),
    ),
)
