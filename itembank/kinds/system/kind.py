"""Systems of congruences in one unknown: coprime moduli or not, consistent or not.

`solve` solves each congruence alone and puts them together, `telling` tells the steps,
`slips` goes wrong on purpose; this file is the kind that the rest of the house sees.

A statement is one line a congruence, and may end with the range in which solutions are
listed: `x = 1 mod 4`, `x = 3 mod 6`, `0 <= x < 24`. Without it that is the least common
multiple of the moduli.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import gcd, lcm
from typing import TYPE_CHECKING, ClassVar, Self, cast

from itembank.kinds import one_unknown
from itembank.kinds.asking import (
    LINE_ASKS,
    OPENINGS_OF_SYSTEM_LINES,
    OPENINGS_OF_SYSTEMS,
    REASON_ASKS,
    phrases_of_system,
)
from itembank.kinds.base import (
    DECIDED,
    USUAL,
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
    integer_of,
)
from itembank.kinds.linear.kind import LinearCongruence
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.step_by_step import StepByStep
from itembank.languages import Said, Telling, say
from itembank.maths.polynomials import Poly
from itembank.maths.primes import TooMuchWork
from itembank.notation.reading import formula
from itembank.notation.tree import Display, Letter, Math, Number, Relation
from itembank.values.answer import ResidueSet, TooMany
from itembank.values.course import Methods
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

if TYPE_CHECKING:
    from itembank.kinds.derivation import SpareLine, Stage, StepLine
    from itembank.kinds.lines import Inference, Line

__all__ = ["KINDS", "System", "read"]

_Sides = tuple[tuple[Poly, Poly], ...]
_Integers = tuple[int, ...]

_MOST = 50
"""The most congruences of a system."""


@dataclass(frozen=True, kw_only=True)
class System(StepByStep):
    """Congruences in the one unknown `letter`, all to hold; at least two.

    `modulus`, a multiple of every modulus, is that of the residues in which solutions are
    listed.
    """

    kind: ClassVar[str] = "system"
    signature: ClassVar[KindSignature] = KindSignature(
        name="system",
        given={"congruences": "equations", "moduli": "integers", "modulus": "integer"},
        may_be_left_out=("modulus",),
        asks=(*OPENINGS_OF_SYSTEMS, "the steps", *LINE_ASKS, *REASON_ASKS),
        derived=True,
        slips=(
            "coefficient-ignored",
            "modulus-not-divided",
            "inverse-sign",
            "no-more-than-integers",
            "one-solution-kept",
            "matched-pairs-only",
            "residues-added",
            "inverses-left-out",
            "weights-swapped",
            "unsolvable-congruence-ignored",
            "difference-reversed",
            "moduli-multiplied",
            "not-coprime-so-none",
            "compatibility-untested",
            "last-congruence-forgotten",
            "first-congruence-only",
        ),
        measures=("solutions", "classes", "steps", "congruences", "common_divisor", "digits"),
    )
    congruences: tuple[OneUnknown, ...]
    modulus: int
    letter: str = field(default="x")

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The system of a family's `given`: congruences and their moduli, and the modulus.

        The least common multiple of the moduli if none is given.
        """
        equations, moduli = cast(_Sides, given["congruences"]), cast(_Integers, given["moduli"])
        if len(equations) != len(moduli):
            raise StatementError(
                worded(
                    "given.moduli: expected one for each of the {n} congruences, got {got}",
                    n=len(equations),
                    got=len(moduli),
                )
            )
        parts = tuple(
            one_unknown.of_sides(left, right, m, letter)
            for (left, right), m in zip(equations, moduli, strict=True)
        )
        modulus = integer_of(given, "modulus") if "modulus" in given else lcm(*moduli)
        if modulus < 1 or any(modulus % m for m in moduli):
            raise StatementError(
                worded(
                    "given.modulus: expected a multiple of the moduli {list}, got {modulus}",
                    list=list(moduli),
                    modulus=modulus,
                )
            )
        return cls(congruences=parts, modulus=modulus, letter=letter)

    @property
    def whole(self) -> int:
        """The least common multiple of the moduli."""
        return lcm(*(c.modulus for c in self.congruences))

    @property
    def statement(self) -> tuple[str, ...]:
        lines = tuple(line for c in self.congruences for line in c.statement)
        if self.modulus == self.whole:
            return lines
        return (*lines, f"0 <= {self.letter} < {self.modulus}")

    @property
    def shown(self) -> tuple[Math, ...]:
        rows = tuple(row for c in self.congruences for row in c.shown)
        if self.modulus == self.whole:
            return rows
        bounds = (Number(0), Letter(self.letter), Number(self.modulus))
        return (*rows, Relation(bounds, ("≤", "<")))

    def question(self, ask: str) -> Telling:
        if ask == "the steps":
            opening = say("The steps of finding the solutions of the system are out of order.")
            return (opening, Display(self.shown))
        return ({**OPENINGS_OF_SYSTEMS, **OPENINGS_OF_SYSTEM_LINES}[ask], Display(self.shown))

    @property
    def phrases(self) -> Phrases:
        return phrases_of_system(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (
            self.kind,
            self.modulus,
            *sorted(map(repr, (c.canonical for c in self.congruences))),
        )

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        return self.solved_by(USUAL)

    def solved_by(self, methods: Methods) -> Solution[ResidueSet]:
        from itembank.kinds.system import solve

        try:
            return solve.solve(self.congruences, self.modulus, methods)
        except (TooMany, TooMuchWork) as e:
            raise StatementError(
                laid_out("{statement}: {error}", statement="; ".join(self.statement), error=e)
            ) from None

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        from itembank.kinds.system import solve

        return solve.decided(solution, self.modulus, ask) if ask in DECIDED else solution

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        moduli = [c.modulus for c in self.congruences]
        return {
            "solutions": solution.answer.count,
            "classes": solution.answer.class_count,
            "steps": solution.effort,
            "congruences": len(moduli),
            "common_divisor": max((gcd(m, n) for m, n in combinations(moduli, 2)), default=1),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        from itembank.kinds.system import slips

        found = slips.slips_of(self.congruences, self.modulus, self.letter, solution)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        from itembank.kinds.system import telling

        return telling.worked(solution, self.letter)

    def outline(self, solution: Solution[ResidueSet]) -> "tuple[StepLine, ...]":
        from itembank.kinds.system import guidance

        return guidance.outline(self.congruences, self.letter, solution.answer)

    def spares(
        self, _solution: Solution[ResidueSet], lines: "Sequence[StepLine]"
    ) -> "tuple[SpareLine, ...]":
        from itembank.kinds.system import guidance

        return guidance.spares(self.congruences, self.letter, lines)

    def stages(self, solution: Solution[ResidueSet]) -> "tuple[Stage, ...]":
        from itembank.kinds.system import guidance

        return tuple(guidance.stages(self.congruences, solution.answer, self.slips(solution)))

    def lines(self, solution: Solution[ResidueSet]) -> "tuple[Line, ...]":
        from itembank.kinds.system import lines

        return tuple(lines.lines(self.facts, self.letter)) if self.facts else ()

    def way_of_lines(self, methods: Methods) -> Methods:
        """By substitution: the lines put x = r + Mt into one congruence after another."""
        return replace(methods, combine="substitution")

    def inferences(self, solution: Solution[ResidueSet]) -> "tuple[Inference, ...]":
        from itembank.kinds.system import reasons

        return tuple(reasons.inferences(self.facts))

    def given_for_reasons(self) -> tuple[Said, ...]:
        from itembank.kinds.system import reasons

        return reasons.difference(self.facts)

    @property
    def facts(self) -> tuple[tuple[int, int], ...]:
        """(b, m) for each congruence x = b (mod m); () where one is of another form."""
        found = tuple(
            (c.b, c.modulus)
            for c in self.congruences
            if isinstance(c, LinearCongruence) and c.left == (0, 1) and c.right == (c.b,)
        )
        return found if len(found) == len(self.congruences) and self.modulus == self.whole else ()


def read(statements: Sequence[str]) -> System | None:
    """The system stated, a line a congruence; None for one line, or for several unknowns."""
    if len(statements) < 2:
        return None
    if len(statements) > _MOST:
        raise StatementError(
            worded("expected at most {most} congruences, got {n}", most=_MOST, n=len(statements))
        )
    *first, last = statements
    bound = _bound_typed(last)
    lines = first if bound else list(statements)
    if len(lines) < 2:
        return None
    parts = tuple(part for line in lines if (part := one_unknown.read([line])))
    letters = {part.letter for part in parts}
    letter = parts[0].letter
    if len(letters) > 1:
        raise StatementError(
            worded(
                "expected one unknown in all congruences, found {letters}",
                letters=", ".join(sorted(letters)),
            )
        )
    system = System(congruences=parts, modulus=lcm(*(p.modulus for p in parts)), letter=letter)
    return system if bound is None else _within(system, *bound, last)


def _bound_typed(line: str) -> tuple[str, int] | None:
    """The letter and the bound of `0 <= x < 24`; None for a line of another form."""
    match formula(line):
        case Relation((Number(0), Letter(letter, 0), Number(bound)), ("≤", "<")):
            return letter, bound
    return None


def _within(system: System, letter: str, bound: int, line: str) -> System:
    """The system with its solutions listed below a bound, a multiple of all its moduli."""
    if letter != system.letter:
        raise StatementError(
            worded(
                "{line}: expected the unknown {letter}, found {got}",
                line=repr(line),
                letter=system.letter,
                got=letter,
            )
        )
    if bound < 1 or bound % system.whole:
        raise StatementError(
            worded(
                "{line}: expected a multiple of {whole}, the least common multiple of the "
                "moduli, got {bound}",
                line=repr(line),
                whole=system.whole,
                bound=bound,
            )
        )
    return System(congruences=system.congruences, modulus=bound, letter=letter)


KINDS = (
    Kind(
        problem=System,
        read=read,
        about="A system of congruences in one unknown: what satisfies all of them.",
        title=say("A system of congruences"),
        next_steps={
            "all solutions": say(
                "Put each residue that was given into every congruence of the system. The first "
                "that fails shows which congruence was left behind."
            ),
            "the solution": say(
                "Put the number that was given into every congruence of the system. The first that "
                "fails shows which congruence was left behind."
            ),
            "the least": say(
                "Put the number that was given into every congruence of the system. If all of them "
                "hold, subtract the least common multiple of the moduli."
            ),
            "the largest": say(
                "Put the number that was given into every congruence of the system. If all of them "
                "hold, add the least common multiple of the moduli."
            ),
            "how many": say(
                "Compare the congruences modulo the common factors of their moduli. Where they "
                "agree, the solution is one class modulo the least common multiple: how often does "
                "that fit?"
            ),
            "whether any": say(
                "Take the congruences two by two, and find the greatest common divisor of their "
                "moduli: what does each of the two say modulo this divisor?"
            ),
        },
        samples=(
            "x = 3 mod 4; x = 5 mod 7",
            "x = 2 mod 3; x = 3 mod 5",
            "x = 2 mod 3; x = 3 mod 5; x = 2 mod 7",
            "x = 17 mod 5; x = -2 mod 7",
            "3y = 2 mod 5; 4y = 6 mod 14",
            "x = 1 mod 4; x = 3 mod 6; 0 <= x < 24",
            "x = 1 mod 4; x = 2 mod 6",
            "t = 10 mod 12; t = 4 mod 18; t = 22 mod 30",
            "x^2 = 1 mod 15; x = 1 mod 6",
            "x^2 = 2 mod 3; x = 1 mod 5",
            "x^2 - 3x + 2 = 0 mod 12; x = 1 mod 5",
            "0x = 0 mod 3; x = 1 mod 4",
            "x = 0 mod 1; x = 0 mod 1",
        ),
    ),
)
"""What the house knows of the kind; the lines of a sample stand between semicolons."""
