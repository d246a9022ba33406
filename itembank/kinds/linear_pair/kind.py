"""Two linear congruences in two unknowns under one modulus.

`solve` eliminates or substitutes, `telling` tells the steps, `slips` goes wrong on purpose;
this file is the kind that the rest of the house sees. A statement is two lines,
`2x + 3y = 5 mod 7`, `x - y = 1 mod 7`; pairs are in the order of the alphabet.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import TYPE_CHECKING, ClassVar, Self

from itembank.kinds.asking import OPENINGS_OF_SYSTEMS, phrases_of_system
from itembank.kinds.base import (
    DECIDED,
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
)
from itembank.kinds.modular import Modular, given_modulus
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.typed import integer, integers, modulus, modulus_typed, walk
from itembank.languages import Telling, say
from itembank.maths.primes import Unfactored, factorisation
from itembank.notation import plain
from itembank.notation.building import congruence, monomial, naming, plain_polynomial, total
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Display,
    Group,
    Letter,
    Math,
    Minus,
    Modulo,
    Number,
    Product,
    Relation,
    Sum,
)
from itembank.values.answer import Pairs
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

if TYPE_CHECKING:
    from itembank.kinds.derivation import SpareLine, StepLine
    from itembank.kinds.linear_pair.steps import Row, Rows

__all__ = ["KINDS", "LinearPair", "read"]

SECOND = {"x": "y", "y": "z", "z": "w", "u": "v", "v": "w", "w": "z"}
"""The letter of the second unknown beside the letter that a pool chooses for the first."""


@dataclass(frozen=True, kw_only=True)
class LinearPair(StepByStep, Modular):
    """a1 x + b1 y = c1 and a2 x + b2 y = c2 (mod modulus), rows (a, b, c), in two letters."""

    kind: ClassVar[str] = "linear_pair"
    signature: ClassVar[KindSignature] = KindSignature(
        name="linear_pair",
        given={"first": "integers", "second": "integers", "modulus": "integer"},
        asks=("all solutions", "how many", "whether any", "the steps"),
        derived=True,
        slips=(
            "right-side-not-multiplied",
            "right-sides-added",
            "determinant-not-divided",
            "determinant-sign",
            "determinant-added",
            "back-substituted-with-the-wrong-sign",
            "unknowns-exchanged",
            "no-inverse-so-none",
            "one-pair-only",
            "values-paired-freely",
            "modulus-not-divided",
            "solvability-untested",
            "first-congruence-only",
        ),
        measures=("solutions", "steps", "common_divisor", "prime_powers", "digits"),
    )
    rows: "Rows"
    letters: tuple[str, str] = ("x", "y")

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The congruences of a family's `given`: [a, b, c] stands for ax + by = c."""
        rows = tuple(row_of(given, name) for name in ("first", "second"))
        letters = (letter, SECOND[letter]) if letter in SECOND else ("x", "y")
        return cls(rows=(rows[0], rows[1]), modulus=given_modulus(given), letters=letters)

    @property
    def missing(self) -> list[str]:
        """The letters of the unknowns that stand in neither congruence."""
        columns = zip(self.letters, zip(*self.rows, strict=True), strict=False)
        return [letter for letter, column in columns if not any(column)]

    @property
    def statement(self) -> tuple[str, ...]:
        """Both lines; an unknown that stands in neither is written into the first, as 0y."""
        first, second = (row_text(row, *self.letters) for row in self.rows)
        left, right = first.rsplit(" = ", 1)
        for letter in self.missing:
            left += f" + 0{letter}"
        return tuple(f"{line} mod {self.modulus_text}" for line in (f"{left} = {right}", second))

    @property
    def shown(self) -> tuple[Math, ...]:
        first, second = (left_side(row, *self.letters) for row in self.rows)
        for letter in self.missing:
            first = naming(first, letter)
        m = self.modulus_math
        (_, _, c), (_, _, d) = self.rows
        return (congruence(first, Number(c), m), congruence(second, Number(d), m))

    def question(self, ask: str) -> Telling:
        x, y = map(Letter, self.letters)
        pairs = say(
            "A solution is a pair $({x}, {y})$ of least residues modulo ${m}$.",
            x=x,
            y=y,
            m=self.modulus_math,
        )
        if ask == "the steps":
            opening = say("The steps of finding the solutions of the system are out of order.")
            return (opening, Display(self.shown))
        return (OPENINGS_OF_SYSTEMS[ask], Display(self.shown), pairs)

    def outline(self, solution: Solution[Pairs]) -> "tuple[StepLine, ...]":
        from itembank.kinds.linear_pair import guidance

        return guidance.outline(self.rows, self.modulus, self.letters)

    def spares(
        self, _solution: Solution[Pairs], lines: "Sequence[StepLine]"
    ) -> "tuple[SpareLine, ...]":
        from itembank.kinds.linear_pair import guidance

        return guidance.spares(self.rows, self.modulus, self.letters, lines)

    @property
    def phrases(self) -> Phrases:
        return phrases_of_system(
            self.modulus,
            entry=say(
                "Count the pairs of least residues that solve both congruences. Type the number in "
                "digits; if there is no solution, type 0."
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        """The same for multiples of a row by a unit, rows and unknowns exchanged."""
        from itembank.kinds.linear_pair import solve

        m = self.modulus
        least = solve.reduced(self.rows, m)
        exchanged = [(b, a, c) for a, b, c in least]
        return (
            self.kind,
            m,
            min(tuple(sorted(unit_row(r, m) for r in rs)) for rs in (least, exchanged)),
        )

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Pairs]:
        from itembank.kinds.linear_pair import solve

        try:
            return solve.solve(self.rows, self.modulus, self.known_factors)
        except (solve.TooManyPairs, Unfactored) as e:
            raise StatementError(
                laid_out("{statement}: {error}", statement="; ".join(self.statement), error=e)
            ) from None

    def solution_to(self, ask: str, solution: Solution[Pairs]) -> Solution[Pairs]:
        from itembank.kinds.linear_pair import solve

        return solve.decided(solution, ask) if ask in DECIDED else solution

    def measures(self, solution: Solution[Pairs]) -> Mapping[str, int]:
        from itembank.kinds.linear_pair.solve import determinant

        return {
            "solutions": len(solution.answer.pairs),
            "steps": solution.effort,
            "common_divisor": gcd(determinant(self.rows), self.modulus),
            "prime_powers": len(factorisation(self.modulus, self.known_factors)),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Pairs]) -> tuple[Slip, ...]:
        from itembank.kinds.linear_pair import slips

        found = slips.slips_of(self.rows, self.modulus, solution.answer.pairs, self.letters)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Pairs]) -> Telling:
        from itembank.kinds.linear_pair import telling

        return (*self.conventions(), *telling.worked(solution, self.letters))


def row_text(row: "Row", x: str = "x", y: str = "y") -> str:
    """2x + 3y = 5, as typed without its modulus; 0 = 5 if nothing else is left.

    >>> row_text((1, -2, 5)), row_text((0, 0, 3))
    ('x - 2y = 5', '0 = 3')
    """
    a, b, c = row
    left = plain_polynomial((0, a), x) if a else ""
    if b:
        term = plain_polynomial((0, abs(b)), y)
        left = f"{left} {'+' if b > 0 else '-'} {term}" if left else plain_polynomial((0, b), y)
    return f"{left or 0} = {c}"


def left_side(row: "Row", x: str, y: str) -> Math:
    """The left side of a row as a formula: 2x + 3y, and 0 if nothing is left."""
    a, b, _c = row
    unknowns = ((a, Letter(x)), (b, Letter(y)))
    return total([(1 if n > 0 else -1, monomial(abs(n), u, 1)) for n, u in unknowns if n])


_UNITS_TRIED = 1000
"""Up to this modulus the multiples of a row by all units are compared."""


def unit_row(row: "Row", m: int) -> "Row":
    """The multiple of a row by a unit that stands for all of them: the least, for small m."""
    if m > _UNITS_TRIED:
        u = next((pow(n, -1, m) for n in row if gcd(n, m) == 1), 1)
        a, b, c = (n * u % m for n in row)
        return a, b, c
    units = (u for u in range(1, m + 1) if gcd(u, m) == 1)
    return min((row[0] * u % m, row[1] * u % m, row[2] * u % m) for u in units)


def row_of(given: Given, name: str) -> "Row":
    match given[name]:
        case (int(a), int(b), int(c)):
            return a, b, c
        case other:
            raise StatementError(
                worded(
                    "given.{name}: expected three integers [a, b, c] for ax + by = c, got {other}",
                    name=name,
                    other=repr(other),
                )
            )


# ------------------------------------------------------------ statements


def read(statements: Sequence[str]) -> LinearPair | None:
    """The two congruences stated; None unless there are two lines in two letters together."""
    if len(statements) != 2:
        return None
    trees = [formula(text) for text in statements]
    letters = sorted({n.name for tree in trees for n in walk(tree) if isinstance(n, Letter)})
    if len(letters) != 2:
        return None
    x, y = letters
    rows, moduli = [], []
    for tree, text in zip(trees, statements, strict=True):
        row, m = row_typed(tree, (x, y), text)
        rows.append(row)
        moduli.append(m)
    values = [modulus(m, text) for m, text in zip(moduli, statements, strict=True)]
    if values[0] != values[1]:
        raise StatementError(
            worded(
                "{statements}: expected the modulus {values} of the first congruence, got "
                "{got}; two unknowns are solved under one modulus, one under several",
                statements=repr(statements[1]),
                values=values[0],
                got=values[1],
            )
        )
    return LinearPair(
        rows=(rows[0], rows[1]),
        modulus=values[0],
        letters=(x, y),
        typed_modulus=modulus_typed(moduli[0], statements[0]),
        known_factors=tuple(sorted(set(integers(moduli[0])) - {0, 1})),
    )


def row_typed(tree: Math, letters: tuple[str, str], text: str) -> "tuple[Row, Math]":
    """ax + by = c of a congruence, all letters to the left; and its modulus."""
    match tree:
        case Modulo(Relation((left, right), ("≡",)), m):
            (a1, b1, c1), (a2, b2, c2) = (
                linear_form(side, letters, text) for side in (left, right)
            )
            return (a1 - a2, b1 - b2, c2 - c1), m
    raise StatementError(
        worded(
            "{text}: expected a congruence with a modulus, such as x + y = 2 mod 7", text=repr(text)
        )
    )


def linear_form(node: Math, letters: tuple[str, str], text: str) -> "Row":
    """(a, b, c) with the tree equal to ax + by + c; StatementError if it is not linear."""
    match node:
        case Letter(name, 0) if name in letters:
            return (1, 0, 0) if name == letters[0] else (0, 1, 0)
        case Minus(term):
            return _scaled(linear_form(term, letters, text), -1)
        case Group(inside):
            return linear_form(inside, letters, text)
        case Sum(terms):
            total: Row = (0, 0, 0)
            for sign, term in terms:
                a, b, c = _scaled(linear_form(term, letters, text), sign)
                total = (total[0] + a, total[1] + b, total[2] + c)
            return total
        case Product(factors):
            product: Row = (0, 0, 1)
            for factor in factors:
                one = linear_form(factor, letters, text)
                if any(product[:2]) and any(one[:2]):
                    raise _not_linear(node, text)
                product = _scaled(product, one[2]) if any(product[:2]) else _scaled(one, product[2])
            return product
        case _ if not any(isinstance(n, Letter) for n in walk(node)):
            return 0, 0, integer(node, text)
    raise _not_linear(node, text)


def _scaled(row: "Row", n: int) -> "Row":
    return row[0] * n, row[1] * n, row[2] * n


def _not_linear(node: Math, text: str) -> StatementError:
    return StatementError(
        worded(
            "{text}: expected a linear congruence in two unknowns, found {math}",
            text=repr(text),
            math=plain.math(node),
        )
    )


def _certificate(problem: LinearPair, answer: Pairs) -> Telling:
    """The pairs put into the congruences as they stand."""
    from itembank.kinds.linear_pair.certificate import substituted

    return substituted(problem.rows, answer.pairs, problem.modulus)


KINDS = (
    Kind(
        problem=LinearPair,
        read=read,
        about="Two linear congruences in two unknowns under one modulus: every pair, or none.",
        title=say("A system of congruences"),
        next_steps={
            "all solutions": say(
                "Put each pair that was given into both congruences. Then check the determinant: "
                "its greatest common divisor with the modulus decides how the solutions look."
            ),
            "how many": say(
                "Find the determinant and its greatest common divisor with the modulus. Eliminate "
                "one unknown: how many values of the other are left?"
            ),
            "whether any": say(
                "Find the determinant and its greatest common divisor with the modulus. Eliminate "
                "one unknown, and test whether the congruence that is left can hold."
            ),
        },
        samples=(
            "2x + 3y = 5 mod 7; x - y = 1 mod 7",
            "5x + 6y = 5 mod 17; 4x + 7y = 16 mod 17",
            "3u + v = 1 mod 10; 7u + 3v = 4 mod 10",
            "x + y = 1 mod 5; x + y = 2 mod 5",
            "x + y = 1 mod 5; 2x + 2y = 2 mod 5",
            "2x + 3y = 1 mod 12; 4x + 9y = 5 mod 12",
            "6x + 10y = 2 mod 30; 15x + 6y = 3 mod 30",
            "2x + 4y = 2 mod 8; 4x + 2y = 6 mod 8",
            "2x + 4y = 1 mod 8; 4x + 2y = 6 mod 8",
            "-y + z = -3 mod 11; 2y + 3 = z mod 11",
            "0x + 2y = 1 mod 5; 0x + y = 3 mod 5",
            "x + y = 0 mod 1; x - y = 0 mod 1",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of the kind; the lines of a sample stand between semicolons."""
