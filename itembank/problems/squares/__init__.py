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
from functools import cached_property
from typing import Any, ClassVar, Self

from itembank.answer import ResidueSet, Value
from itembank.arithmetic.primes import Factors, Unfactored, factorisation
from itembank.errors import StatementError
from itembank.notation.reading import formula, paragraph
from itembank.notation.tree import Blocks, Math
from itembank.problems.base import Given, Phrases, Slip, Solution, distinct_slips
from itembank.problems.modular import Modular, given_modulus, typed_modulus, words_and_modulus
from itembank.problems.squares import slips, solve
from itembank.problems.squares.worked import told
from itembank.problems.wording import listing
from itembank.vocabulary import KindSignature
from itembank.words import _, ngettext

__all__ = ["NumberOfQuadraticResidues", "NumberOfSquares", "QuadraticResidues", "Squares", "read"]

WRITTEN = 250
"""The most squares that a worked solution writes out."""


@dataclass(frozen=True, kw_only=True)
class AboutSquares(Modular):
    """What the four kinds share; `units`: only squares coprime to the modulus count."""

    kind: ClassVar[str]
    units: ClassVar[bool]
    signature: ClassVar[KindSignature]

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(modulus=given_modulus(given))

    @cached_property
    def factors(self) -> Factors:
        """The factorisation of the modulus; StatementError where it is not factored."""
        try:
            return factorisation(self.modulus, self.known_factors)
        except Unfactored as reason:
            raise StatementError(f"{self.statement[0]}: {reason}") from None

    @property
    def words(self) -> str:
        """The statement before its modulus: the name of the kind, in words."""
        return self.kind.replace("_", " ")

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.words} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"{self.words} modulo" {self.modulus_text}'),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @property
    def definition(self) -> str:
        """The convention, as a stem says it."""
        if self.units and self.modulus == 1:
            text = _(
                "A quadratic residue modulo {m} is a residue that is coprime to {m} and congruent "
                "to the square of an integer."
            )
        elif self.units:
            text = _(
                "A quadratic residue modulo {m} is a residue that is coprime to {m} and congruent "
                "to the square of an integer; so 0 is none."
            )
        else:
            text = _(
                "A square modulo {m} is a residue that is congruent to the square of an integer; 0 "
                "is one."
            )
        return text.format(m=f"${self.modulus_text}$")

    @property
    def phrases(self) -> Phrases:
        m = f"${self.modulus_text}$"
        if self.units:
            member, claim = (
                _("a quadratic residue modulo {m}"),
                _("there is a quadratic residue modulo {m}"),
            )
        else:
            member, claim = _("a square modulo {m}"), _("there is a square modulo {m}")
        return Phrases(
            member=member.format(m=m),
            none=_("no residue"),
            claim=claim.format(m=m),
            entry=_("Count them among the least residues, and type the number in digits."),
        )

    def worked(self, solution: Solution[Any]) -> Blocks:
        blocks = [block for step in solution.steps for block in told(step)]
        answer = paragraph(self.answer_text(solution.answer), _("Answer."))
        return (*self.conventions(), *blocks, answer)

    def answer_text(self, answer: Any) -> str:
        """The answer as a sentence."""
        raise NotImplementedError

    def general_measures(self, solution: Solution[Any]) -> dict[str, int]:
        return {
            "steps": solution.effort,
            "prime_powers": len(self.factors),
            "digits": len(str(self.modulus)),
        }


# ------------------------------------------------------------ the sets


@dataclass(frozen=True, kw_only=True)
class Squares(AboutSquares):
    """All squares modulo the modulus, 0 among them."""

    kind: ClassVar[str] = "squares"
    units: ClassVar[bool] = False
    signature: ClassVar[KindSignature] = KindSignature(
        name="squares",
        given={"modulus": "integer"},
        asks=("all solutions", "the largest"),
        slips=slips.names(slips.SETS, units=False),
        measures=("solutions", "steps", "prime_powers", "digits"),
    )

    def question(self, ask: str) -> Blocks:
        if ask == "the largest":
            text = _("Find the **largest** square modulo {m}.")
        else:
            text = _("Find **all** squares modulo {m}.")
        return (paragraph(f"{text.format(m=f'${self.modulus_text}$')} {self.definition}"),)

    def solve(self) -> Solution[ResidueSet]:
        return solve.whole_set(self.modulus, self.factors, self.units, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.general_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.of_the_set(self.modulus, self.factors, self.units)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: ResidueSet) -> str:
        n, m = answer.count, self.modulus_text
        if n > WRITTEN:
            return self.number_sentence(n)
        if self.units:
            text = ngettext(
                "The quadratic residue modulo ${m}$ is ${r}$.",
                "The quadratic residues modulo ${m}$ are ${r}$: {n} of them.",
                n,
            )
        else:
            text = ngettext(
                "The square modulo ${m}$ is ${r}$.",
                "The squares modulo ${m}$ are ${r}$: {n} of them.",
                n,
            )
        return text.format(m=m, r=listing(answer.residues()), n=n)

    def number_sentence(self, n: int) -> str:
        return number_sentence(n, self.modulus_text, self.units)


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
        measures=("solutions", "steps", "prime_powers", "digits"),
    )

    def question(self, ask: str) -> Blocks:
        if ask == "the largest":
            text = _("Find the **largest** quadratic residue modulo {m}.")
        else:
            text = _("Find **all** quadratic residues modulo {m}.")
        return (paragraph(f"{text.format(m=f'${self.modulus_text}$')} {self.definition}"),)


# ------------------------------------------------------------ their numbers


def number_sentence(n: int, m: str, units: bool) -> str:
    if units:
        text = ngettext(
            "There is {n} quadratic residue modulo ${m}$.",
            "There are {n} quadratic residues modulo ${m}$.",
            n,
        )
    else:
        text = ngettext(
            "There is {n} square modulo ${m}$.", "There are {n} squares modulo ${m}$.", n
        )
    return text.format(n=n, m=m)


@dataclass(frozen=True, kw_only=True)
class NumberOfSquares(AboutSquares):
    """How many squares there are, 0 counted."""

    kind: ClassVar[str] = "number_of_squares"
    units: ClassVar[bool] = False
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_squares",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=slips.names(slips.NUMBERS, units=False),
        measures=("steps", "prime_powers", "digits"),
    )

    def question(self, ask: str) -> Blocks:
        text = _("Find the number of squares modulo {m}.").format(m=f"${self.modulus_text}$")
        return (paragraph(f"{text} {self.definition}"),)

    def solve(self) -> Solution[Value]:
        return solve.count(self.modulus, self.factors, self.units)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return self.general_measures(solution)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        found = slips.of_the_number(self.modulus, self.factors, self.units)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: Value) -> str:
        return number_sentence(answer.value, self.modulus_text, self.units)


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
        measures=("steps", "prime_powers", "digits"),
    )

    def question(self, ask: str) -> Blocks:
        text = _("Find the number of quadratic residues modulo {m}.").format(
            m=f"${self.modulus_text}$"
        )
        return (paragraph(f"{text} {self.definition}"),)


# ------------------------------------------------------------ reading

FORMS: tuple[tuple[re.Pattern[str], type[AboutSquares]], ...] = (
    (re.compile(r"(?:all |the )*squares", re.IGNORECASE), Squares),
    (re.compile(r"(?:all |the )*quadratic residues", re.IGNORECASE), QuadraticResidues),
    (re.compile(r"(?:the )?number of squares", re.IGNORECASE), NumberOfSquares),
    (
        re.compile(r"(?:the )?number of quadratic residues", re.IGNORECASE),
        NumberOfQuadraticResidues,
    ),
)


def read(statements: Sequence[str]) -> AboutSquares | None:
    """The problem of "squares mod 13" and the like; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None:
        return None
    words, modulus = parts
    for form, kind in FORMS:
        if form.fullmatch(words):
            return kind(**typed_modulus(modulus, statements[0]))
    return None
