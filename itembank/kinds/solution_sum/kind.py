"""The sum of the least residues that solve a congruence in one unknown.

A residue that is tried tells of itself alone: the sum is known to whoever has found all solutions.
The least residues are added as integers, and a congruence without solutions has the sum 0.

A statement is `sum of the solutions of x^2 + 9x + 5 = 0 mod 117`.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from itembank.kinds import one_unknown
from itembank.kinds.about_solutions import AboutSolutions
from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import (
    Kind,
    Phrases,
    Slip,
    Solution,
    Step,
    Taught,
    distinct_slips,
)
from itembank.kinds.solution_sum import slips
from itembank.kinds.wording import under
from itembank.languages import Telling, lead, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import added, listed
from itembank.notation.tree import Display
from itembank.values.answer import ResidueSet, TooMany, Value
from itembank.values.course import Methods
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out

__all__ = ["KINDS", "SolutionSum", "read"]

_MOST = 200
"""The most solutions that are added."""

_WRITTEN = 12
"""The most solutions whose sum is written out."""


@dataclass(frozen=True)
class _AddUp(Step):
    """All solutions, added as integers."""

    name = "add up"
    solutions: ResidueSet
    total: int

    @property
    def effort(self) -> int:
        return max(1, self.solutions.count - 1)


@dataclass(frozen=True, kw_only=True)
class SolutionSum(AboutSolutions):
    """The sum of the least residues that solve a congruence in one unknown."""

    kind: ClassVar[str] = "solution_sum"
    signature: ClassVar[KindSignature] = KindSignature(
        name="solution_sum",
        given={"congruence": "equation", "modulus": "integer"},
        asks=("the value",),
        slips=slips.NAMES,
        measures=("solutions", "steps", "digits"),
    )

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"sum of the solutions of {self.congruence.statement[0]}",)

    def question(self, ask: str) -> Telling:
        yield say(
            "Find the **sum** of all least residues ($0$ to ${last}$) that solve",
            last=self.modulus - 1,
        )
        yield Display(self.shown)
        yield say(
            "The sum is an integer, which is not reduced modulo {m}; if there is no solution, it "
            "is 0.",
            m=self.modulus,
        )

    @property
    def phrases(self) -> Phrases:
        usual = phrases_of_congruence(self.modulus)
        return Phrases(none=usual.none, entry=say("Type the sum in digits."))

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *self.congruence.canonical)

    @property
    def twin(self) -> tuple[object, ...]:
        return (self.kind, *self.congruence.twin)

    def solve(self) -> Solution[Value]:
        return self._added_up(self.congruence.solve())

    def solved_by(self, methods: Methods) -> Solution[Value]:
        """The solution, the congruence solved by the methods of a course."""
        congruence: Any = self.congruence
        if not isinstance(congruence, Taught):
            return self.solve()
        return self._added_up(congruence.solved_by(methods))

    def _added_up(self, found: Solution[ResidueSet]) -> Solution[Value]:
        """StatementError where there are too many solutions to add."""
        try:
            total = sum(found.answer.residues(_MOST))
        except TooMany as reason:
            raise StatementError(
                laid_out("{statement}: {reason}", statement=self.statement[0], reason=reason)
            ) from None
        return Solution(Value(total), (*found.steps, _AddUp(found.answer, total)))

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "solutions": _solutions_of(solution).answer.count,
            "steps": solution.effort,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        found = slips.slips_of(self.congruence, _solutions_of(solution))
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:
        found = _solutions_of(solution)
        yield from under(lead("Solutions."), self.congruence.worked(found))
        yield lead("Answer.")
        yield from in_letter(tuple(_told_sum(found.answer, solution.answer.value)), self.letter)


def _told_sum(solutions: ResidueSet, total: int) -> Telling:
    residues = solutions.residues()
    if not residues:
        yield say("There is no solution, so nothing is added: the sum is 0.")
    elif len(residues) == 1:
        yield say("There is one solution, {r}: it is the sum.", r=total)
    elif len(residues) <= _WRITTEN:
        yield say(
            "The solutions are ${r}$, and ${terms} = {total}$: the sum is {total}.",
            r=listed(residues),
            terms=added(residues),
            total=total,
        )
    else:
        yield say(
            "There are {n} solutions, from {a} to {b}; their sum is {total}.",
            n=len(residues),
            a=residues[0],
            b=residues[-1],
            total=total,
        )


def _solutions_of(solution: Solution[Value]) -> Solution[ResidueSet]:
    """The solution of the congruence, before its residues were added."""
    *steps, last = solution.steps
    assert isinstance(last, _AddUp)
    return Solution(last.solutions, tuple(steps))


_FORM = re.compile(r"(?:the )?sum of (?:all |the )*solutions of (?P<congruence>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> SolutionSum | None:
    """The problem of "sum of the solutions of x^2 = 1 mod 15"; None for another form."""
    if len(statements) != 1:
        return None
    match = _FORM.fullmatch(" ".join(statements[0].split()))
    if match is None:
        return None
    congruence = one_unknown.read([match["congruence"]])
    assert congruence is not None
    return SolutionSum(congruence=congruence)


KINDS = (
    Kind(
        problem=SolutionSum,
        read=read,
        about="The sum of the least residues that solve a congruence in one unknown.",
        title=say("A congruence"),
        next_steps={
            "the value": say(
                "List the solutions and substitute each of them; then ask how many there must be, "
                "modulo each prime power of the modulus, before they are added."
            ),
        },
        samples=(
            "sum of the solutions of x^2 + 9x + 5 = 0 mod 117",
            "the sum of all solutions of x^2 + x + 1 ≡ 0 (mod 91)",
            "sum of the solutions of 6x = 9 mod 15",
            "sum of the solutions of 4x = 3 mod 10",
            "sum of the solutions of t^2 + 3t = 4 mod 77",
            "sum of the solutions of x^2 = 4 mod 15",
            "sum of the solutions of x^3 + x + 1 = 0 mod 27",
            "sum of the solutions of x^2 = 0 mod 81",
            "sum of the solutions of 0x = 0 mod 20",
            "sum of the solutions of x^2 = 2 mod 15",
        ),
    ),
)
