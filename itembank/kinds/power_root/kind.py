"""Roots modulo m: x^k = a (mod m), k >= 2.

Method taught: where the exponent has an inverse modulo phi(m), one power of a; else each
prime power of m apart - squares by Euler's criterion and the formulas for p = 3 (mod 4),
p = 5 (mod 8), Tonelli and Shanks; other powers by a table of indices for small p, by the
criterion and one corrected guess for large p - then lifting and every combination.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Self

from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import (
    DECIDED,
    USUAL,
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
    equation_of,
)
from itembank.kinds.congruence import OPENINGS, out_of_order
from itembank.kinds.modular import Modular, given_modulus
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.typed import integer, integers, modulus, modulus_typed, walk
from itembank.languages import Telling, say
from itembank.maths.polynomials import Poly
from itembank.maths.primes import Factors, Unfactored, factorisation
from itembank.notation.building import congruence
from itembank.notation.reading import formula
from itembank.notation.tree import Display, Letter, Math, Modulo, Number, Power, Relation
from itembank.values.answer import ResidueSet
from itembank.values.course import Methods
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

if TYPE_CHECKING:
    from itembank.kinds.derivation import SpareLine, Stage, StepLine

__all__ = ["KINDS", "PowerRoot", "read"]


@dataclass(frozen=True, kw_only=True)
class PowerRoot(StepByStep, Modular):
    """x^exponent = power (mod modulus) in the unknown `letter`; exponent at least 2."""

    kind: ClassVar[str] = "power_root"
    signature: ClassVar[KindSignature] = KindSignature(
        name="power_root",
        given={"congruence": "equation", "modulus": "integer"},
        asks=(*OPENINGS, "the steps"),
        derived=True,
        slips=(
            "perfect-powers-only",
            "integer-root-only",
            "one-pair-only",
            "exponent-inverted-modulo-m",
            "phi-of-a-prime",
            "power-for-root",
            "base-inverted",
            "criterion-untested",
            "exponent-halved-only",
            "correction-forgotten",
            "negative-forgotten",
            "as-over-the-reals",
            "index-for-the-number",
            "index-modulo-the-prime",
            "index-divided",
            "zero-taken-for-no-root",
            "zero-only",
            "divisible-so-none",
            "one-for-the-class",
            "not-lifted",
            "lift-sign",
            "power-not-brought-down",
            "every-lift-kept",
            "singular-taken-as-simple",
            "singular-discarded",
            "odd-rule-at-two",
            "tested-modulo-four-only",
            "matched-pairs-only",
            "residues-added",
            "inverses-left-out",
            "weights-swapped",
            "unsolvable-factor-ignored",
            "factor-dropped",
        ),
        measures=(
            "solutions",
            "classes",
            "steps",
            "depth",
            "singular_roots",
            "prime_powers",
            "exponent",
            "digits",
        ),
    )
    exponent: int
    power: int
    letter: str = "x"

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The root of a family's `given`: x^k = an integer, and the modulus."""
        sides = equation_of(given, "congruence")
        pure = list(filter(is_pure_power, sides))
        plain_numbers = [side for side in sides if len(side) <= 1]
        if len(pure) != 1 or len(plain_numbers) != 1:
            raise StatementError(
                worded("given.congruence: expected a power of x and a number, such as x^2 = a")
            )
        return cls(
            exponent=len(pure[0]) - 1,
            power=sum(plain_numbers[0]),
            modulus=given_modulus(given),
            letter=letter,
        )

    @property
    def factors(self) -> Factors:
        return factorisation(self.modulus, self.known_factors)

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.letter}^{self.exponent} = {self.power} mod {self.modulus_text}",)

    def symmetry(self) -> Callable[[int], frozenset[int]] | None:
        """With a root its negative, where the exponent is even; else nothing can be read off."""
        if self.exponent % 2:
            return None
        return lambda x: frozenset((x % self.modulus, -x % self.modulus))

    @property
    def shown(self) -> tuple[Math, ...]:
        power = Power(Letter(self.letter), Number(self.exponent))
        return (congruence(power, Number(self.power), self.modulus_math),)

    def question(self, ask: str) -> Telling:
        if ask == "the steps":
            return out_of_order(self.shown)
        return (OPENINGS[ask], Display(self.shown))

    def outline(self, solution: Solution[ResidueSet]) -> "tuple[StepLine, ...]":
        from itembank.kinds.power_root import guidance

        return guidance.outline(solution.steps, self.letter)

    def spares(
        self, solution: Solution[ResidueSet], lines: "Sequence[StepLine]"
    ) -> "tuple[SpareLine, ...]":
        from itembank.kinds.power_root import guidance

        return guidance.spares(solution.steps, lines)

    def stages(self, solution: Solution[ResidueSet]) -> "tuple[Stage, ...]":
        from itembank.kinds.power_root import guidance

        return tuple(guidance.stages(solution.steps, solution.answer, self.slips(solution)))

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.exponent, self.power % self.modulus, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        return self.solved_by(USUAL)

    def solved_by(self, methods: Methods) -> Solution[ResidueSet]:
        """Roots of powers have their own methods; a course says how they are combined."""
        from itembank.kinds.power_root import solve

        k, a, m = self.exponent, self.power, self.modulus
        try:
            return solve.solve(k, a, m, self.known_factors, methods.combine)
        except (solve.TooManyRoots, Unfactored) as e:
            raise StatementError(
                laid_out("{statement}: {error}", statement=self.statement[0], error=e)
            ) from None

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        if ask == "whether any" or (ask == "how many" and solution.answer.count <= 1):
            from itembank.kinds.power_root import decision

            k, a, m = self.exponent, self.power, self.modulus
            found = decision.decided(k, a, m, solution, self.known_factors)
            return found if ask == "whether any" else decision.counted(found, m, solution)
        if ask not in DECIDED:
            return solution
        from itembank.kinds.polynomial.solve import decided as counted

        return counted(solution, ask)

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        from itembank.kinds.power_root.lifting_steps import OddPower, SamePower

        return {
            "solutions": solution.answer.count,
            "classes": solution.answer.class_count,
            "steps": solution.effort,
            "depth": max((e for _p, e in self.factors), default=0),
            "singular_roots": sum(isinstance(s, SamePower | OddPower) for s in solution.steps),
            "prime_powers": len(self.factors),
            "exponent": self.exponent,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        from itembank.kinds.power_root import slips

        found = slips.slips_of(
            self.exponent, self.power, self.modulus, self.letter, solution, self.factors
        )
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        from itembank.kinds.power_root.telling.worked import worked

        return (*self.conventions(), *worked(solution, self.letter))


def is_pure_power(f: Poly) -> bool:
    """Whether f is x^k alone, k at least 2."""
    return len(f) > 2 and f[-1] == 1 and not any(f[:-1])


def read(statements: Sequence[str]) -> PowerRoot | None:
    """The problem of `x^3 = 5 mod 31`: a power of one letter, and a number beside it."""
    if len(statements) != 1:
        return None
    tree = formula(statements[0])
    match tree:
        case Modulo(Relation((left, right), ("≡",)), m):
            pass
        case _:
            return None
    for power, number in ((left, right), (right, left)):
        match power:
            case Power(Letter(letter, 0), Number(k)) if k >= 2 and not _has_letters(number):
                return PowerRoot(
                    exponent=k,
                    power=integer(number, statements[0]),
                    modulus=modulus(m, statements[0]),
                    letter=letter,
                    typed_modulus=modulus_typed(m, statements[0]),
                    known_factors=tuple(sorted(set(integers(m)) - {0, 1})),
                )
    return None


def _has_letters(node: Math) -> bool:
    return any(isinstance(part, Letter) for part in walk(node))


KINDS = (
    Kind(
        problem=PowerRoot,
        read=read,
        about="Roots modulo m, x^k = a (mod m): every root, or that a is not a k-th power.",
        title=say("A congruence"),
        next_steps={
            "whether any": say(
                "Look at each prime of the modulus by itself: is the right side a power with this "
                "exponent there? Euler's criterion decides it, or the table of powers."
            ),
            "all solutions": say(
                "Take the power of each residue that was given: is it congruent to the right side? "
                "Then find the roots modulo each prime power, and combine every choice."
            ),
            "the solution": say(
                "Take the power of the number that was given: is it congruent to the right side? "
                "If not, check the exponent: it is inverted modulo φ of the modulus."
            ),
        },
        samples=(
            "x^2 = 2 mod 7",
            "x^2 = -1 mod 13",
            "x³ ≡ 5 (mod 31)",
            "x^7 = 3 mod 47",
            "5 = t^4 mod 2^5",
            "x^2 = 1 mod 91",
            "x^2 = 3 mod 41",
            "x^3 = 1 mod 27",
            "x^2 = 9 mod 27",
            "x^2 = 0 mod 1",
            "x^65537 = 5 mod 61*53",
            "x^2 = 2 mod 10^9 + 7",
            "x^3 = 7 mod 10^40",
        ),
    ),
)
