"""The squares modulo m: all of them, those coprime to m, and their numbers.

Conventions, said in every stem: `squares mod m` are the residues x^2 of all residues x,
0 = 0^2 among them; `quadratic residues mod m` are the squares coprime to m, so 0 is none
(but modulo 1, where 0 is coprime to the modulus).

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
Definition 3.1. Books differ on 0; both readings have a name here.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from itembank.kinds.about_modulus import FACTOR_MEASURES, AboutModulus, named
from itembank.kinds.base import Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.modular import words_and_modulus
from itembank.kinds.squares import slips, solve
from itembank.kinds.squares.certificate import all_squares
from itembank.kinds.squares.telling import TELLING
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, counted, say
from itembank.notation.building import listed
from itembank.notation.tree import Math
from itembank.values.answer import ResidueSet, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["NumberOfQuadraticResidues", "NumberOfSquares", "QuadraticResidues", "Squares", "read"]

_WRITTEN = 250
"""The most squares that a worked solution writes out."""


def _convention(problem: AboutModulus, units: bool) -> Said:
    """What counts as a square, as a stem says it; `units`: only one coprime to the modulus."""
    m = problem.modulus_math
    if units and problem.modulus == 1:
        return say(
            "A quadratic residue modulo {m} is a residue that is coprime to {m} and congruent to "
            "the square of an integer.",
            m=m,
        )
    if units:
        return say(
            "A quadratic residue modulo {m} is a residue that is coprime to {m} and congruent to "
            "the square of an integer; so 0 is not one.",
            m=m,
        )
    return say(
        "A square modulo {m} is a residue that is congruent to the square of an integer; 0 is one.",
        m=m,
    )


def _phrases_of(problem: AboutModulus, units: bool) -> Phrases:
    m, last = problem.modulus_math, problem.modulus - 1
    if units:
        tick = say(
            "Tick every least residue ($0$ to ${last}$) that is a quadratic residue modulo {m}. If "
            "there is none, tick only “no residue”.",
            last=last,
            m=m,
        )
    else:
        tick = say(
            "Tick every least residue ($0$ to ${last}$) that is a square modulo {m}. If there is "
            "none, tick only “no residue”.",
            last=last,
            m=m,
        )
    return Phrases(
        tick=tick,
        none=say("no residue"),
        entry=say("Count them among the least residues, and type the number in digits."),
        some=True,
    )


# ------------------------------------------------------------ the sets


@dataclass(frozen=True, kw_only=True)
class Squares(AboutModulus):
    """All squares modulo the modulus, 0 among them."""

    kind: ClassVar[str] = "squares"
    telling: ClassVar[Tellers] = TELLING
    units: ClassVar[bool] = False
    signature: ClassVar[KindSignature] = KindSignature(
        name="squares",
        given={"modulus": "integer"},
        asks=("all solutions", "the largest"),
        slips=slips.names(slips.SETS, units=False),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def question(self, ask: str) -> Telling:
        return (self.asked(ask), _convention(self, self.units))

    def asked(self, ask: str) -> Said:
        m = self.modulus_math
        if ask == "the largest":
            if self.units:
                return say("Find the **largest** quadratic residue modulo {m}.", m=m)
            return say("Find the **largest** square modulo {m}.", m=m)
        if self.units:
            return say("Find **all** quadratic residues modulo {m}.", m=m)
        return say("Find **all** squares modulo {m}.", m=m)

    @property
    def phrases(self) -> Phrases:
        return _phrases_of(self, self.units)

    def solve(self) -> Solution[ResidueSet]:
        return solve.whole_set(self.modulus, self.factors, self.units, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.factor_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.of_the_set(self.modulus, self.factors, self.units)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        n, m = answer.count, self.modulus_math
        if n > _WRITTEN:
            return _number_sentence(n, m, self.units)
        r = listed(answer.residues())
        if self.units:
            return counted(
                "The quadratic residue modulo {m} is ${r}$.",
                "The quadratic residues modulo {m} are ${r}$: {n} of them.",
                n,
                m=m,
                r=r,
            )
        return counted(
            "The square modulo {m} is ${r}$.",
            "The squares modulo {m} are ${r}$: {n} of them.",
            n,
            m=m,
            r=r,
        )


@dataclass(frozen=True, kw_only=True)
class QuadraticResidues(Squares):
    """The squares coprime to the modulus."""

    kind: ClassVar[str] = "quadratic_residues"
    units: ClassVar[bool] = True
    signature: ClassVar[KindSignature] = KindSignature(
        name="quadratic_residues",
        given={"modulus": "integer"},
        asks=("all solutions", "the largest"),
        slips=slips.names(slips.SETS, units=True),
        measures=("solutions", *FACTOR_MEASURES),
    )


# ------------------------------------------------------------ their numbers


def _number_sentence(n: int, m: Math, units: bool) -> Said:
    if units:
        return counted(
            "There is {n} quadratic residue modulo {m}.",
            "There are {n} quadratic residues modulo {m}.",
            n,
            m=m,
        )
    return counted("There is {n} square modulo {m}.", "There are {n} squares modulo {m}.", n, m=m)


@dataclass(frozen=True, kw_only=True)
class NumberOfSquares(AboutModulus):
    """How many squares there are, 0 counted."""

    kind: ClassVar[str] = "number_of_squares"
    telling: ClassVar[Tellers] = TELLING
    units: ClassVar[bool] = False
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_squares",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=slips.names(slips.NUMBERS, units=False),
        measures=FACTOR_MEASURES,
    )

    def question(self, ask: str) -> Telling:
        return (self.asked(ask), _convention(self, self.units))

    def asked(self, ask: str) -> Said:
        if self.units:
            return say("Find the number of quadratic residues modulo {m}.", m=self.modulus_math)
        return say("Find the number of squares modulo {m}.", m=self.modulus_math)

    @property
    def phrases(self) -> Phrases:
        return _phrases_of(self, self.units)

    def solve(self) -> Solution[Value]:
        return solve.count(self.modulus, self.factors, self.units)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return self.factor_measures(solution)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        found = slips.of_the_number(self.modulus, self.factors, self.units)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: Value) -> Said:
        return _number_sentence(answer.value, self.modulus_math, self.units)


@dataclass(frozen=True, kw_only=True)
class NumberOfQuadraticResidues(NumberOfSquares):
    """How many squares are coprime to the modulus."""

    kind: ClassVar[str] = "number_of_quadratic_residues"
    units: ClassVar[bool] = True
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_quadratic_residues",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=slips.names(slips.NUMBERS, units=True),
        measures=FACTOR_MEASURES,
    )


# ------------------------------------------------------------ reading

_FORMS: tuple[tuple[re.Pattern[str], type[AboutModulus]], ...] = (
    (re.compile(r"(?:all |the )*squares", re.IGNORECASE), Squares),
    (re.compile(r"(?:all |the )*quadratic residues", re.IGNORECASE), QuadraticResidues),
    (re.compile(r"(?:the )?number of squares", re.IGNORECASE), NumberOfSquares),
    (
        re.compile(r"(?:the )?number of quadratic residues", re.IGNORECASE),
        NumberOfQuadraticResidues,
    ),
)


def read(statements: Sequence[str]) -> AboutModulus | None:
    """The problem of "squares mod 13" and the like; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None:
        return None
    words, modulus = parts
    return named(_FORMS, words, modulus, statements[0])


KINDS = (
    Kind(
        problem=Squares,
        read=read,
        about="The squares modulo m, 0 among them: all of them or the largest.",
        title=say("Squares modulo a number"),
        next_steps={
            "all solutions": say(
                "Square the residues one by one, up to half of the modulus, and reduce each "
                "square. Which values come up?"
            ),
            "the largest": say(
                "Square the residues one by one, up to half of the modulus, and reduce each "
                "square. Which of the values is the largest?"
            ),
        },
        samples=(
            "squares mod 13",
            "all squares (mod 12)",
            "Squares modulo 2^3*9",
            "squares mod 1001",
            "squares mod 3^6",
            "squares mod 3^400",
            "squares mod -14",
            "squares mod 3",
            "squares mod 1",
        ),
        certificate=all_squares,
    ),
    Kind(
        problem=QuadraticResidues,
        read=read,
        about="The squares coprime to m: all of them or the largest.",
        title=say("Squares modulo a number"),
        next_steps={
            "all solutions": say(
                "Square the residues coprime to the modulus, up to half of it, and reduce each "
                "square. Which values come up?"
            ),
            "the largest": say(
                "Square the residues coprime to the modulus, up to half of it, and reduce each "
                "square. Which of the values is the largest?"
            ),
        },
        samples=(
            "quadratic residues mod 15",
            "the quadratic residues (mod 11)",
            "quadratic residues mod 97",
            "quadratic residues mod 2^10",
            "quadratic residues mod 5^4",
            "quadratic residues mod 3",
            "quadratic residues mod 1",
        ),
        certificate=all_squares,
    ),
    Kind(
        problem=NumberOfSquares,
        read=read,
        value="count",
        about="How many squares there are modulo m, 0 counted.",
        title=say("Squares modulo a number"),
        next_steps={
            "the value": say(
                "Count the squares modulo each prime power of the modulus by itself, and check the "
                "smallest by squaring its residues. The numbers are then multiplied."
            ),
        },
        samples=(
            "number of squares mod 1000",
            "the number of squares (mod 13)",
            "number of squares mod 10^12",
            "number of squares mod 2^100*3^50*7",
            "number of squares mod 2",
            "number of squares mod 1",
        ),
    ),
    Kind(
        problem=NumberOfQuadraticResidues,
        read=read,
        value="count",
        about="How many squares are coprime to m.",
        title=say("Squares modulo a number"),
        next_steps={
            "the value": say(
                "Count the squares of units modulo each prime power of the modulus by itself, and "
                "check the smallest by squaring its residues. The numbers are then multiplied."
            ),
        },
        samples=(
            "number of quadratic residues mod 720",
            "the number of quadratic residues, mod 97",
            "number of quadratic residues mod 3^5",
            "number of quadratic residues mod -50",
            "number of quadratic residues mod 1",
        ),
    ),
)
"""What the house knows of these kinds."""
