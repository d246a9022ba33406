"""Linear Diophantine equations ax + by = c: all integer solutions, and the number of those
with positive, or with non-negative, unknowns.

Method taught: the greatest common divisor by Euclid's algorithm decides; one solution from the
congruence modulo b, all from it by the coefficients divided by their divisor. `method` solves
it, `telling` tells the steps, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import (
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
    integer_of,
)
from itembank.kinds.chains import sum_of
from itembank.kinds.diophantine.method import Check, General, Pair, Row, decided, solve
from itembank.kinds.diophantine.method import counted as solutions_counted
from itembank.kinds.diophantine.slips import COUNT, EQUATION
from itembank.kinds.diophantine.telling import check, worked
from itembank.kinds.linear_pair.kind import SECOND, left_side, linear_form, row_of, row_text
from itembank.kinds.mistakes import wrong_sets, wrong_values
from itembank.kinds.typed import walk
from itembank.languages import Telling, counted, lead, say
from itembank.notation.building import dotted, equal, number
from itembank.notation.reading import formula
from itembank.notation.tree import Letter, Math, Relation
from itembank.values.answer import ResidueSet, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "Diophantine", "NaturalCount", "read"]

_LARGEST = 10**40
"""Numbers are below it in size: they stand in the question digit by digit."""


@dataclass(frozen=True, kw_only=True)
class LinearEquation:
    """ax + by = c over the integers, `row` (a, b, c), in two letters; a and b are not 0."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    modulus: ClassVar[None] = None
    row: Row
    letters: tuple[str, str] = ("x", "y")

    @property
    def equation(self) -> Math:
        return equal(left_side(self.row, *self.letters), number(self.row[2]))

    @property
    def text(self) -> str:
        return row_text(self.row, *self.letters)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.equation,)

    @property
    def least_row(self) -> tuple[int, ...]:
        """The same for the unknowns exchanged and for both sides multiplied by -1."""
        a, b, c = self.row
        return min((s * p, s * q, s * c) for s in (1, -1) for p, q in ((a, b), (b, a)))

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *self.least_row)

    @property
    def digits(self) -> int:
        return max(len(str(abs(n))) for n in self.row)


def _letters_for(letter: str) -> tuple[str, str]:
    return (letter, SECOND[letter]) if letter in SECOND else ("x", "y")


@dataclass(frozen=True, kw_only=True)
class Diophantine(LinearEquation):
    """The integer solutions; the answer is the set of the first unknown, modulo |b|."""

    kind: ClassVar[str] = "diophantine"
    signature: ClassVar[KindSignature] = KindSignature(
        name="diophantine",
        given={"row": "integers"},
        asks=("whether any", "an example"),
        slips=tuple(EQUATION),
        measures=("solvable", "steps", "common_divisor", "digits"),
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """[a, b, c] stands for ax + by = c."""
        return cls(
            row=_within_bounds(row_of(given, "row"), "given.row"), letters=_letters_for(letter)
        )

    @property
    def statement(self) -> tuple[str, ...]:
        return (self.text,)

    def question(self, ask: str) -> Telling:
        if ask == "an example":
            return (
                say(
                    "Find an integer ${x}$ that belongs to a solution of ${equation}$ in integers.",
                    x=Letter(self.letters[0]),
                    equation=self.equation,
                ),
            )
        return (
            say(
                "Decide whether the equation ${equation}$ has a solution in integers.",
                equation=self.equation,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no solutions"),
            claim=say(
                "True or false: the equation ${equation}$ has a solution in integers.",
                equation=self.equation,
            ),
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve(self.row)

    def line(self, solution: Solution[ResidueSet]) -> tuple[Pair, Pair] | None:
        """A solution and the step from one to the next; None where there is none."""
        for step in solution.steps:
            if isinstance(step, General):
                return step.point, step.direction
        return None

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solvable": int(bool(solution.answer)),
            "steps": solution.effort,
            "common_divisor": gcd(*self.row[:2]),
            "digits": self.digits,
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_sets(EQUATION, self.row), solution.answer)

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        return decided(solution) if ask == "whether any" else solution

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        return worked(solution, self.letters)

    example_alone: ClassVar[bool] = False

    def example(self, n: int) -> Telling:
        a, b, c = self.row
        y = (c - a * n) // b
        yield say(
            "${x}$ goes with ${y}$: ${sum}$.",
            x=equal(Letter(self.letters[0]), n),
            y=equal(Letter(self.letters[1]), y),
            sum=equal(sum_of(dotted((a, n)), dotted((b, y))), c),
        )


@dataclass(frozen=True, kw_only=True)
class NaturalCount(LinearEquation):
    """How many solutions have both unknowns at least `least`, 0 or 1; a and b are positive."""

    kind: ClassVar[str] = "natural_count"
    signature: ClassVar[KindSignature] = KindSignature(
        name="natural_count",
        given={"row": "integers", "least": "integer"},
        asks=("the value",),
        slips=tuple(COUNT),
        measures=("solutions", "steps", "common_divisor", "digits"),
    )
    least: int = 1

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """`least` is 1 for positive unknowns, and 0 for non-negative ones."""
        least = integer_of(given, "least")
        if least not in (0, 1):
            raise StatementError(worded("given.least: expected 0 or 1, got {least}", least=least))
        row = _positive(_within_bounds(row_of(given, "row"), "given.row"), "given.row")
        return cls(row=row, least=least, letters=_letters_for(letter))

    @property
    def statement(self) -> tuple[str, ...]:
        which = "positive" if self.least else "non-negative"
        return (f"number of {which} solutions of {self.text}",)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *self.least_row, self.least)

    def question(self, ask: str) -> Telling:
        if self.least:
            yield say(
                "Find the number of solutions of ${equation}$ in positive integers.",
                equation=self.equation,
            )
        else:
            yield say(
                "Find the number of solutions of ${equation}$ in non-negative integers.",
                equation=self.equation,
            )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no solutions"),
            entry=say("Type the number of pairs in digits; if there is none, type 0."),
        )

    def solve(self) -> Solution[Value]:
        return solutions_counted(self.row, self.least)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.value,
            "steps": solution.effort,
            "common_divisor": gcd(*self.row[:2]),
            "digits": self.digits,
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        if self.row[2] < 0:
            return ()
        return distinct_slips(wrong_values(COUNT, (self.row, self.least)), solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:
        yield from worked(solution, self.letters)
        yield lead("Answer.")
        yield counted(
            "There is {n} such solution.", "There are {n} such solutions.", solution.answer.value
        )


def _within_bounds(row: Row, where: str) -> Row:
    if 0 in row[:2]:
        raise StatementError(worded("{where}: expected two coefficients other than 0", where=where))
    if any(abs(n) >= _LARGEST for n in row):
        raise StatementError(
            worded("{where}: expected numbers of at most 40 digits, got a longer one", where=where)
        )
    return row


def _positive(row: Row, where: str) -> Row:
    """The row with positive coefficients; StatementError where their signs differ."""
    a, b, c = row
    if a < 0 and b < 0:
        return -a, -b, -c
    if a < 0 or b < 0:
        raise StatementError(
            worded(
                "{where}: expected coefficients of one sign; with two signs there are "
                "infinitely many positive solutions, or none",
                where=where,
            )
        )
    return row


# ------------------------------------------------------------ reading

_COUNTED = re.compile(
    r"(?:the )?number of (?P<which>positive|non-negative) solutions of (?P<equation>.+)",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> LinearEquation | None:
    """The problem of "12x + 30y = 18" or "number of positive solutions of 3x + 5y = 100"."""
    if len(statements) != 1:
        return None
    text = " ".join(statements[0].split())
    match = _COUNTED.fullmatch(text)
    found = _row_typed(match["equation"] if match else text)
    if found is None:
        if match is None:
            return None
        raise StatementError(
            worded(
                "{text}: expected a linear equation in two unknowns, as in 3x + 5y = 100",
                text=repr(text),
            )
        )
    row, letters = found
    row = _within_bounds(row, repr(text))
    if match is None:
        return Diophantine(row=row, letters=letters)
    least = int(match["which"].lower() == "positive")
    return NaturalCount(row=_positive(row, repr(text)), letters=letters, least=least)


def _row_typed(text: str) -> tuple[Row, tuple[str, str]] | None:
    """(a, b, c) of ax + by = c and the two letters; None for what is no such equation."""
    tree = formula(text)
    letters = sorted({n.name for n in walk(tree) if isinstance(n, Letter)})
    if len(letters) != 2 or not isinstance(tree, Relation) or tree.signs != ("=",):
        return None
    pair = (letters[0], letters[1])
    try:
        (a, b, c), (d, e, f) = (linear_form(side, pair, text) for side in tree.sides)
    except StatementError:
        return None
    return (a - d, b - e, f - c), pair


def _certificate(problem: Diophantine, answer: ResidueSet) -> Telling:
    """A solution and the step to the next, put into the equation as it stands."""
    line = problem.line(problem.solve()) if answer else None
    return check(Check(problem.row, *line)) if line else ()


KINDS = (
    Kind(
        problem=Diophantine,
        read=read,
        about="A linear equation ax + by = c over the integers: solvable or not, all solutions.",
        title=say("An equation in integers"),
        next_steps={
            "an example": say(
                "Put the number in for its unknown: is what is left of the right side a multiple "
                "of the other coefficient? Divide the equation by the greatest common divisor, and "
                "solve it modulo the other coefficient."
            )
        },
        samples=(
            "12x + 30y = 18",
            "12x + 30y = 20",
            "7x - 5y = 1",
            "3u + v = 4",
            "-4x + 6y = 10",
            "5y = 3z - 7",
            "17x + 101y = 1000",
            "6x + 10y = 0",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=NaturalCount,
        read=read,
        value="count",
        about="How many solutions of ax + by = c are positive, or not negative, in both unknowns.",
        title=say("An equation in integers"),
        next_steps={
            "the value": say(
                "Find one solution, and write all of them with a parameter. For which values of "
                "the parameter is neither unknown negative?"
            ),
        },
        samples=(
            "number of positive solutions of 3x + 5y = 100",
            "number of non-negative solutions of 3x + 5y = 30",
            "number of positive solutions of 6x + 10y = 120",
            "number of positive solutions of 6x + 10y = 121",
            "number of positive solutions of 7u + 9v = 5",
            "number of non-negative solutions of 4x + 6y = 0",
            "number of positive solutions of -2x - 3y = -50",
        ),
    ),
)
"""What the house knows of these kinds."""
