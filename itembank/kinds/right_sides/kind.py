"""For which c is a x^k = c (mod m) solvable, or not: all of them, and their number.

Nothing can be substituted: c is asked for, and x runs through all residues. A linear congruence
is solvable for the multiples of gcd(a, m); a pure power modulo a prime p for 0 and the k-th powers
times a, (p - 1)/gcd(k, p - 1) of them. A higher exponent is taken modulo a prime alone.

Statements are `c for which 6x = c mod 15 is solvable` and `number of c for which 3x^2 = c mod 13
is solvable`. Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., Theorem 2.17 and Corollary 2.42.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.mistakes import wrong_sets, wrong_values
from itembank.kinds.modular import Modular, given_modulus, integer_typed, typed_modulus
from itembank.kinds.right_sides import slips, solve, telling
from itembank.kinds.right_sides.solve import LISTED
from itembank.kinds.wrong_solutions import in_unknown
from itembank.languages import Said, Telling, say
from itembank.languages.lettering import in_letter
from itembank.maths.primes import is_prime
from itembank.notation.building import congruence, polynomial
from itembank.notation.tree import Letter, Math
from itembank.values.answer import ResidueSet, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "NumberOfRightSides", "RightSides", "UnsolvableSides", "read"]

_CONSTANT = "c"

_LARGEST_EXPONENT = 100


@dataclass(frozen=True, kw_only=True)
class RightSides(Modular):
    """All c for which coefficient * x^exponent = c is solvable."""

    kind: ClassVar[str] = "right_sides"
    signature: ClassVar[KindSignature] = KindSignature(
        name="right_sides",
        given={"coefficient": "integer", "exponent": "integer", "modulus": "integer"},
        asks=("all solutions", "an example"),
        slips=tuple(slips.SETS),
        measures=("solutions", "steps", "digits"),
    )
    coefficient: int
    exponent: int = 1
    letter: str = "x"

    def __post_init__(self) -> None:
        """StatementError for a congruence that the method does not cover."""
        k, m = self.exponent, self.modulus
        if self.letter == _CONSTANT:
            raise StatementError(
                worded(
                    "expected another unknown than {constant}, the right side", constant=_CONSTANT
                )
            )
        if not 1 <= k <= _LARGEST_EXPONENT:
            raise StatementError(
                worded(
                    "expected an exponent of 1 to {largest_exponent}, got {k}",
                    largest_exponent=_LARGEST_EXPONENT,
                    k=k,
                )
            )
        if m > LISTED:
            raise StatementError(
                worded("expected a modulus of at most {listed}, got {m}", listed=LISTED, m=m)
            )
        if k > 1 and (m == 2 or not is_prime(m) or self.a == 0):
            raise StatementError(
                worded(
                    "expected an odd prime modulus that does not divide the coefficient, for the "
                    "exponent {k}; got {coefficient} modulo {m}",
                    k=k,
                    coefficient=self.coefficient,
                    m=m,
                )
            )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(
            coefficient=integer_of(given, "coefficient"),
            exponent=integer_of(given, "exponent"),
            modulus=given_modulus(given),
            letter=letter,
        )

    @property
    def a(self) -> int:
        return self.coefficient % self.modulus

    @property
    def left(self) -> Math:
        return polynomial((*[0] * self.exponent, self.coefficient), self.letter)

    @property
    def congruence(self) -> Math:
        return congruence(self.left, Letter(_CONSTANT), self.modulus_math)

    words: ClassVar[str] = "c for which"

    @property
    def statement(self) -> tuple[str, ...]:
        power = self.letter if self.exponent == 1 else f"{self.letter}^{self.exponent}"
        left = f"{self.coefficient}*{power}" if self.coefficient != 1 else power
        return (f"{self.words} {left} = c mod {self.modulus_text} is solvable",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.congruence,)

    def question(self, ask: str) -> Telling:
        if ask == "an example":
            return (
                say(
                    "Find a residue ${c}$ for which ${congruence}$ is solvable.",
                    c=Letter(_CONSTANT),
                    congruence=self.congruence,
                ),
            )
        return (
            say(
                "Find **all** least residues ${c}$ ($0$ to ${last}$) for which ${congruence}$ is "
                "solvable.",
                c=Letter(_CONSTANT),
                last=self.modulus - 1,
                congruence=self.congruence,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        tick = say(
            "Tick every least residue ($0$ to ${last}$) for which it is solvable. If there is "
            "none, tick only “no residue”.",
            last=self.modulus - 1,
        )
        entry = say("Type their number in digits.")
        return Phrases(tick=tick, none=say("no residue"), entry=entry, some=True)

    @property
    def canonical(self) -> tuple[object, ...]:
        m, k = self.modulus, self.exponent
        if k == 1:
            return (self.kind, gcd(self.a, m), 1, m)
        return (self.kind, min(self.work.sides - {0}), gcd(k, m - 1), m)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        return solve.all_of_them(self.a, self.exponent, self.modulus)

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "digits": len(str(self.modulus)),
        }

    @property
    def work(self) -> slips.Work:
        return slips.Work(self.a, self.exponent, self.modulus)

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = in_unknown(wrong_sets(slips.SETS, self.work), self.letter)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        said = (*self.conventions(), *telling.worked(solution))
        return in_letter(said, self.letter)

    example_alone: ClassVar[bool] = False

    def example(self, n: int) -> Telling:
        return in_letter((telling.example(self.a, self.exponent, self.modulus, n),), self.letter)


@dataclass(frozen=True, kw_only=True)
class NumberOfRightSides(RightSides):
    """How many c there are for which it is solvable."""

    kind: ClassVar[str] = "number_of_right_sides"
    words: ClassVar[str] = "number of c for which"
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_right_sides",
        given=RightSides.signature.given,
        asks=("the value",),
        slips=tuple(slips.NUMBERS),
        measures=("solutions", "steps", "digits"),
    )

    def question(self, ask: str) -> Telling:
        return (self.asked,)

    @property
    def asked(self) -> Said:
        return say(
            "For how many least residues ${c}$ ($0$ to ${last}$) is ${congruence}$ solvable?",
            c=Letter(_CONSTANT),
            last=self.modulus - 1,
            congruence=self.congruence,
        )

    def solve(self) -> Solution[Value]:  # type: ignore[override]  # a number, not the set of them
        return solve.their_number(self.a, self.exponent, self.modulus)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:  # type: ignore[override]
        return {
            "solutions": solution.answer.value,
            "steps": solution.effort,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:  # type: ignore[override]
        found = in_unknown(wrong_values(slips.NUMBERS, self.work), self.letter)
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:  # type: ignore[override]
        return in_letter((*self.conventions(), *telling.worked(solution)), self.letter)


@dataclass(frozen=True, kw_only=True)
class UnsolvableSides(RightSides):
    """All c for which it has no solution."""

    kind: ClassVar[str] = "unsolvable_sides"
    signature: ClassVar[KindSignature] = KindSignature(
        name="unsolvable_sides",
        given=RightSides.signature.given,
        asks=("all solutions", "an example"),
        slips=tuple(slips.OTHERS),
        measures=("solutions", "steps", "digits"),
    )

    @property
    def statement(self) -> tuple[str, ...]:
        return tuple(
            line.removesuffix("is solvable") + "is not solvable" for line in super().statement
        )

    def question(self, ask: str) -> Telling:
        if ask == "an example":
            return (
                say(
                    "Find a residue ${c}$ for which ${congruence}$ has no solution.",
                    c=Letter(_CONSTANT),
                    congruence=self.congruence,
                ),
            )
        return (
            say(
                "Find **all** least residues ${c}$ ($0$ to ${last}$) for which ${congruence}$ has "
                "no solution.",
                c=Letter(_CONSTANT),
                last=self.modulus - 1,
                congruence=self.congruence,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        tick = say(
            "Tick every least residue ($0$ to ${last}$) for which it has no solution. If there is "
            "none, tick only “no residue”.",
            last=self.modulus - 1,
        )
        return Phrases(tick=tick, none=say("no residue"))

    def solve(self) -> Solution[ResidueSet]:
        return solve.none_of_them(self.a, self.exponent, self.modulus)

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = in_unknown(wrong_sets(slips.OTHERS, self.work), self.letter)
        return distinct_slips(found, solution.answer)


_FORM = re.compile(
    r"(?P<number>(?:the )?number of )?c for which (?P<a>-?\d*)\s*\*?\s*(?P<letter>[a-z])"
    r"(?:\^(?P<k>\d{1,4}))? ?[=≡] ?c,? ?(?P<open>\()?mod(?:ulo)? (?P<m>[^()]+)(?(open)\)) "
    r"is (?P<denied>not )?solvable",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> RightSides | None:
    """The problem of "c for which 6x = c mod 15 is solvable"; None for another form."""
    if len(statements) != 1:
        return None
    match = _FORM.fullmatch(" ".join(statements[0].replace("²", "^2").split()))
    if match is None or (match["number"] and match["denied"]):
        return None
    problem = NumberOfRightSides if match["number"] else RightSides
    if match["denied"]:
        problem = UnsolvableSides
    a = match["a"] + "1" if match["a"] in ("", "-") else match["a"]
    return problem(
        coefficient=integer_typed(a, "a coefficient", statements[0]),
        exponent=int(match["k"] or 1),
        letter=match["letter"],
        **typed_modulus(match["m"], statements[0]),
    )


KINDS = (
    Kind(
        problem=RightSides,
        read=read,
        about="The right sides c for which a x^k = c (mod m) is solvable: all of them.",
        title=say("A congruence"),
        next_steps={
            ask: say(
                "Put a few residues in for the unknown and reduce: which right sides come out? "
                "Look for what they have in common, and for what brings no new one."
            )
            for ask in ("all solutions", "an example")
        },
        samples=(
            "c for which 6x = c mod 15 is solvable",
            "c for which 8t ≡ c (mod 12) is solvable",
            "c for which x^2 = c mod 13 is solvable",
            "c for which 2x^2 = c mod 11 is solvable",
            "c for which 5*x^3 = c mod 19 is solvable",
            "c for which 7x = c mod 10 is solvable",
            "c for which 0x = c mod 6 is solvable",
            "c for which -4x = c mod 2*9 is solvable",
        ),
    ),
    Kind(
        problem=NumberOfRightSides,
        read=read,
        value="count",
        about="How many right sides c there are for which a x^k = c (mod m) is solvable.",
        title=say("A congruence"),
        next_steps={
            "the value": say(
                "Put a few residues in for the unknown and reduce: how many of them lead to the "
                "same right side? Then ask how many right sides that leaves, and whether 0 is "
                "among them."
            ),
        },
        samples=(
            "number of c for which 6x = c mod 15 is solvable",
            "the number of c for which 84t = c mod 360 is solvable",
            "number of c for which x^2 = c mod 101 is solvable",
            "number of c for which x^4 = c mod 13 is solvable",
            "number of c for which 5x^6 = c mod 31 is solvable",
            "number of c for which 7x = c mod 10 is solvable",
            "number of c for which x^3 = c mod 5 is solvable",
        ),
    ),
    Kind(
        problem=UnsolvableSides,
        read=read,
        about="The right sides c for which a x^k = c (mod m) has no solution: all, or one of them.",
        title=say("A congruence"),
        next_steps={
            ask: say(
                "Put all residues in for the unknown and reduce: which right sides come out? Those "
                "that never do have no solution."
            )
            for ask in ("all solutions", "an example")
        },
        samples=(
            "c for which 6x = c mod 15 is not solvable",
            "c for which x^2 = c mod 13 is not solvable",
            "c for which 2t^2 ≡ c (mod 11) is not solvable",
            "c for which 5*x^3 = c mod 19 is not solvable",
            "c for which 7x = c mod 10 is not solvable",
            "c for which 4x = c mod 18 is not solvable",
        ),
    ),
)
"""What the house knows of these kinds."""
