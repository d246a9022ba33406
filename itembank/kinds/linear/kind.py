"""Linear congruences ax = b (mod m): all d = gcd(a, m) solutions, or none.

Method taught: d = gcd(a, m) must divide b; divide all three numbers by d; multiply
by the inverse of a/d modulo m/d; the solution modulo m/d spreads to d residues
modulo m, spaced m/d.

`solve` finds the solution with its steps, `telling` tells them, `slips` goes wrong on
purpose; this file is the kind that the rest of the house sees.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import TYPE_CHECKING, ClassVar, Self

from itembank.kinds.asking import LINE_ASKS, REASON_ASKS
from itembank.kinds.base import DECIDED, USUAL, Given, Kind, Slip, Solution, distinct_slips
from itembank.kinds.congruence import OPENINGS, Congruence, out_of_order
from itembank.kinds.linear.certificate import number_of_solutions
from itembank.kinds.modular import modulus_formula
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.typed import congruence
from itembank.languages import Said, Telling, say
from itembank.maths.polynomials import Poly
from itembank.values.answer import ResidueSet
from itembank.values.course import Methods
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

if TYPE_CHECKING:
    from itembank.kinds.derivation import SpareLine, Stage, StepLine
    from itembank.kinds.lines import Inference, Line

__all__ = ["KINDS", "LinearCongruence", "read"]


@dataclass(frozen=True, kw_only=True)
class LinearCongruence(StepByStep, Congruence):
    """A congruence whose two sides have degree at most 1."""

    kind: ClassVar[str] = "linear"
    signature: ClassVar[KindSignature] = KindSignature(
        name="linear",
        given={"congruence": "equation", "modulus": "integer"},
        asks=(*OPENINGS, "the steps", *LINE_ASKS, *REASON_ASKS),
        derived=True,
        slips=(
            "solvability-untested",
            "modulus-kept",
            "uneven-division",
            "integer-quotient",
            "right-side-not-divided",
            "inverse-sign",
            "inverse-taken",
            "coefficient-multiplied",
            "one-representative",
            "wrong-spacing",
            "coefficient-subtracted",
        ),
        measures=("solutions", "steps", "common_divisor", "digits"),
        most_degree=1,
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        found = super().from_given(given, letter)
        degree = max(len(found.left), len(found.right)) - 1
        if degree > 1:
            raise StatementError(
                worded("given.congruence: expected degree 1 at most, got {degree}", degree=degree)
            )
        return found

    @property
    def a(self) -> int:
        return _coefficient(self.f, 1) % self.modulus

    @property
    def b(self) -> int:
        return -_coefficient(self.f, 0) % self.modulus

    @property
    def twin(self) -> tuple[object, ...]:
        """The congruence itself: a shift would make all with a unit coefficient one."""
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        return self.solved_by(USUAL)

    def solved_by(self, methods: Methods) -> Solution[ResidueSet]:
        from itembank.kinds.linear import solve

        return solve.solve(self.a, self.b, self.modulus, self.collect, methods.inverse)

    @property
    def collect(self) -> str:
        """What it takes to have ax ≡ b with least residues: "move", "reduce", or nothing."""
        if (self.left, self.right) == (_of_degree_one(self.a), _constant(self.b)):
            return ""
        a, b = _coefficient(self.left, 1), _coefficient(self.right, 0)
        as_asked = (self.left, self.right) == (_of_degree_one(a), _constant(b))
        return "reduce" if as_asked else "move"

    def question(self, ask: str) -> Telling:
        return out_of_order(self.shown) if ask == "the steps" else super().question(ask)

    def outline(self, solution: Solution[ResidueSet]) -> "tuple[StepLine, ...]":
        from itembank.kinds.linear import guidance

        return guidance.outline(solution.steps, self.letter, solution.answer)

    def spares(
        self, solution: Solution[ResidueSet], lines: "Sequence[StepLine]"
    ) -> "tuple[SpareLine, ...]":
        from itembank.kinds.linear import guidance

        return guidance.spares(solution.steps, self.letter, lines)

    def stages(self, solution: Solution[ResidueSet]) -> "tuple[Stage, ...]":
        from itembank.kinds.linear import guidance

        found = self.slips(solution)
        return tuple(guidance.stages(self.a, solution.answer, solution.steps, found))

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        from itembank.kinds.linear import solve

        return solve.decided(solution) if ask in DECIDED else solution

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "common_divisor": gcd(self.a, self.modulus),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        from itembank.kinds.linear import slips

        found = slips.slips_of(self.a, self.b, self.modulus, self.letter)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        from itembank.kinds.linear import telling

        shown = modulus_formula(self.modulus, self.modulus_text)
        return telling.told(solution, shown, self.letter)

    def lines(self, solution: Solution[ResidueSet]) -> "tuple[Line, ...]":
        from itembank.kinds.linear import lines

        return tuple(lines.lines(self.a, self.b, self.modulus, self.letter))

    def inferences(self, solution: Solution[ResidueSet]) -> "tuple[Inference, ...]":
        from itembank.kinds.linear import lines

        return tuple(lines.inferences(self.a, self.b, self.modulus))

    def given_for_reasons(self) -> tuple[Said, ...]:
        return ()


def _coefficient(f: Poly, i: int) -> int:
    return f[i] if i < len(f) else 0


def _of_degree_one(a: int) -> Poly:
    return (0, a) if a else ()


def _constant(b: int) -> Poly:
    return (b,) if b else ()


def read(statements: Sequence[str]) -> LinearCongruence | None:
    """The linear congruence stated; None for several lines, or a power of the unknown.

    Raises StatementError for what is no congruence in one unknown.
    """
    if len(statements) != 1:
        return None
    typed = congruence(statements[0])
    if max(len(typed.left), len(typed.right)) > 2:
        return None
    return LinearCongruence(**vars(typed))


def _certificate(problem: LinearCongruence, answer: ResidueSet) -> Telling:
    """The number of solutions, from the congruence as it stands, nothing reduced."""
    a, b = _coefficient(problem.f, 1), -_coefficient(problem.f, 0)
    return number_of_solutions(a, b, problem.modulus)


KINDS = (
    Kind(
        problem=LinearCongruence,
        read=read,
        about="A linear congruence ax = b (mod m): every solution, or that there is none.",
        title=say("A congruence"),
        next_steps={
            "all solutions": say(
                "Substitute each residue that was given: does the congruence hold? Then compare "
                "how many there are with the greatest common divisor of the coefficient and the "
                "modulus."
            ),
            "how many": say(
                "Find the greatest common divisor of the coefficient and the modulus: does it "
                "divide the right side?"
            ),
            "whether any": say(
                "Find the greatest common divisor of the coefficient and the modulus: does it "
                "divide the right side?"
            ),
            "the solution": say(
                "Substitute the number that was given: which remainder does the left side leave? "
                "Then check the inverse of the coefficient: the product of the two must leave 1."
            ),
            "the least": say(
                "Substitute the number that was given: does the congruence hold? If it does, "
                "subtract the modulus divided by the greatest common divisor as often as possible."
            ),
            "the largest": say(
                "Substitute the number that was given: does the congruence hold? If it does, add "
                "the modulus divided by the greatest common divisor as often as possible."
            ),
        },
        samples=(
            "17x = 5 mod 101",
            "6x = 4 mod 10",
            "6x = 3 mod 10",
            "3x + 4 = x - 2 mod 8",
            "-3t = 5 mod 7",
            "0x = 0 mod 5",
            "5x = 3 mod 5",
            "7y = 1 mod 1",
            "30x = 60 mod 90",
            "20x = 44 mod 76",
            "7x = 3 mod 3^40",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of the kind."""
