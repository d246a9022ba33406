"""One linear congruence in two unknowns: 2x + 3y = 5 (mod 7), every pair of residues.

Method taught: gcd(a, b, m) decides; then one unknown is chosen, and the other follows from a
linear congruence. Pairs are in the order of the alphabet. `method` solves it, `telling` tells
the steps, `slips` goes wrong on purpose.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import DECIDED, Given, Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.congruence import OPENINGS
from itembank.kinds.linear_in_two.method import Row, TooManyPairs, decided, solve
from itembank.kinds.linear_in_two.slips import MISTAKES, slips_of
from itembank.kinds.linear_in_two.telling import worked
from itembank.kinds.linear_pair.kind import (
    SECOND,
    left_side,
    row_of,
    row_text,
    row_typed,
    unit_row,
)
from itembank.kinds.modular import Modular, given_modulus
from itembank.kinds.typed import integers, modulus, modulus_typed, walk
from itembank.languages import Telling, grid, lead, say
from itembank.notation.building import congruence, listed
from itembank.notation.reading import formula
from itembank.notation.tree import Display, Group, Letter, Math, Modulo, Number
from itembank.values.answer import Pairs
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

__all__ = ["KINDS", "LinearInTwo", "read"]

_SUBSTITUTED = 12
"""At most this many pairs are put in for a reviewer."""


@dataclass(frozen=True, kw_only=True)
class LinearInTwo(Modular):
    """ax + by = c (mod modulus), `row` (a, b, c), in two letters; a and b are not 0."""

    kind: ClassVar[str] = "linear_in_two"
    signature: ClassVar[KindSignature] = KindSignature(
        name="linear_in_two",
        given={"row": "integers", "modulus": "integer"},
        asks=("all solutions", "how many", "whether any"),
        slips=tuple(MISTAKES),
        measures=("solutions", "steps", "common_divisor", "digits"),
    )
    row: Row
    letters: tuple[str, str] = ("x", "y")

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """[a, b, c] stands for ax + by = c."""
        letters = (letter, SECOND[letter]) if letter in SECOND else ("x", "y")
        row = row_of(given, "row")
        if 0 in row[:2]:
            raise StatementError(worded("given.row: expected two coefficients other than 0"))
        return cls(row=row, modulus=given_modulus(given), letters=letters)

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{row_text(self.row, *self.letters)} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        left = left_side(self.row, *self.letters)
        return (congruence(left, Number(self.row[2]), self.modulus_math),)

    def question(self, ask: str) -> Telling:
        x, y = map(Letter, self.letters)
        pairs = say(
            "A solution is a pair $({x}, {y})$ of least residues modulo ${m}$.",
            x=x,
            y=y,
            m=self.modulus_math,
        )
        return (OPENINGS[ask], Display(self.shown), pairs)

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(
            self.modulus,
            entry=say(
                "Type the number of pairs of least residues that solve the congruence, in digits; "
                "if there is no solution, type 0."
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        """The same for multiples by a unit, and for the unknowns exchanged."""
        m = self.modulus
        a, b, c = (n % m for n in self.row)
        return (self.kind, m, min(unit_row((a, b, c), m), unit_row((b, a, c), m)))

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Pairs]:
        try:
            return solve(self.row, self.modulus)
        except TooManyPairs as e:
            raise StatementError(
                laid_out("{statement}: {error}", statement=self.statement[0], error=e)
            ) from None

    def solution_to(self, ask: str, solution: Solution[Pairs]) -> Solution[Pairs]:
        if ask not in DECIDED:
            return solution
        return decided(solution, self.modulus, ask == "whether any")

    def measures(self, solution: Solution[Pairs]) -> Mapping[str, int]:
        return {
            "solutions": len(solution.answer.pairs),
            "steps": solution.effort,
            "common_divisor": gcd(*self.row[:2], self.modulus),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Pairs]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self.row, self.modulus, self.letters), solution.answer)

    def worked(self, solution: Solution[Pairs]) -> Telling:
        return (*self.conventions(), *worked(solution, self.letters))


def read(statements: Sequence[str]) -> LinearInTwo | None:
    """The problem of "2x + 3y = 5 mod 7"; None for what is not linear in two unknowns."""
    if len(statements) != 1:
        return None
    text = statements[0]
    tree = formula(text)
    letters = sorted({n.name for n in walk(tree) if isinstance(n, Letter)})
    if len(letters) != 2 or not isinstance(tree, Modulo):
        return None
    try:
        row, m = row_typed(tree, (letters[0], letters[1]), text)
    except StatementError:
        return None
    if 0 in row[:2]:
        return None
    return LinearInTwo(
        row=row,
        modulus=modulus(m, text),
        letters=(letters[0], letters[1]),
        typed_modulus=modulus_typed(m, text),
        known_factors=tuple(sorted(set(integers(m)) - {0, 1})),
    )


def _certificate(problem: LinearInTwo, answer: Pairs) -> Telling:
    """The pairs put into the congruence as it stands."""
    if not answer.pairs:
        return
    (a, b, c), m = problem.row, problem.modulus
    yield lead("Substituted.")
    yield say("Left side minus right side, a multiple of ${m}$.", m=m)
    rows = []
    for x, y in answer.pairs[:_SUBSTITUTED]:
        value = a * x + b * y - c
        quotient = say("${value} = {q} · {m}$", value=value, q=value // m, m=m)
        rows.append((Group(listed((x, y))), quotient))
    yield grid((say("pair"), say("difference")), rows, row_heads=True)


KINDS = (
    Kind(
        problem=LinearInTwo,
        read=read,
        about="One linear congruence in two unknowns: every pair of residues, or how many.",
        title=say("A congruence"),
        samples=(
            "2x + 3y = 5 mod 7",
            "6x + 4y = 2 mod 10",
            "6x + 4y = 3 mod 10",
            "2x + 3y = 1 mod 6",
            "u - v = 1 mod 4",
            "4x + 6y = 2 mod 12",
            "3y + 5 = 2z mod 9",
            "15x - 20y = 10 mod 25",
            "3x + 3y = 0 mod 3",
            "x + y = 0 mod 1",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of this kind."""
