"""The remainder of an expression modulo m: 17 mod 5, 2 * 7^222 + 20!/10! mod 11.

Method taught: every part (power, factorial, quotient) by itself, by its own method; then the
least residues of the parts are put in, since congruent numbers may stand for each other in
sums and products.

`method` finds it with steps, `telling` tells them, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.frame import Framed
from itembank.kinds.modular import Modular, given_modulus, typed_modulus, words_and_modulus
from itembank.kinds.remainder.method import remainder_found
from itembank.kinds.remainder.slips import MISTAKES, Work, slips_of
from itembank.kinds.remainder.telling import TELLING
from itembank.kinds.typed import walk
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, say
from itembank.notation import plain
from itembank.notation.building import dotted, power, total
from itembank.notation.reading import formula
from itembank.notation.tree import Factorial, Group, Math, Modulo, Number, Power
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "Remainder", "read"]

_MOST_TERMS = 6


@dataclass(frozen=True, kw_only=True)
class Remainder(Modular, Framed):
    """The residue of `expression`, which holds numbers alone, modulo `modulus`."""

    kind: ClassVar[str] = "remainder"
    telling: ClassVar[Tellers] = TELLING
    signature: ClassVar[KindSignature] = KindSignature(
        name="remainder",
        given={
            "factors": "integers",
            "bases": "integers",
            "exponents": "integers",
            "modulus": "integer",
        },
        asks=("the value",),
        slips=tuple(MISTAKES),
        measures=("exists", "steps", "powers", "digits"),
    )
    expression: Math

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The sum of factor * base^exponent, term by term; exponent 0 leaves the factor alone."""
        factors, bases, exponents = (
            _integers(given, name) for name in ("factors", "bases", "exponents")
        )
        if not len(factors) == len(bases) == len(exponents) or not 1 <= len(factors) <= _MOST_TERMS:
            raise StatementError(
                worded(
                    "given.factors: expected 1 to {most_terms} factors and as many bases and "
                    "exponents, got {n}, {other_n} and {n_3}",
                    most_terms=_MOST_TERMS,
                    n=len(factors),
                    other_n=len(bases),
                    n_3=len(exponents),
                )
            )
        if min(exponents) < 0:
            raise StatementError(
                worded(
                    "given.exponents: expected exponents of at least 0, got {exponents}",
                    exponents=min(exponents),
                )
            )
        terms = [
            _signed(c, b, e) for c, b, e in zip(factors, bases, exponents, strict=True) if c
        ] or [(1, Number(0))]
        return cls(expression=total(terms), modulus=given_modulus(given))

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{plain.typed(self.expression)} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Modulo(self.expression, self.modulus_math),)

    def question(self, ask: str) -> Telling:
        return (
            say(
                "Find the value of ${expression}$ modulo {m}.",
                expression=self.expression,
                m=self.modulus_math,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no such value exists"),
            entry=say(
                "The value lies in one residue class modulo {m}. Type any integer in it; $-3$ is "
                "typed -3.",
                m=self.modulus_math,
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, plain.typed(self.expression), self.modulus)

    def solve(self) -> Solution[Value | Absent]:
        """Raises StatementError where a part is beyond what is worked out."""
        return remainder_found(self.expression, self.modulus, self.known_factors, self.statement[0])

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        return {
            "exists": int(isinstance(solution.answer, Value)),
            "steps": solution.effort,
            "powers": sum(isinstance(node, Power) for node in walk(self.expression)),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        if isinstance(solution.answer, Absent):
            return ()
        return distinct_slips(slips_of(Work(self.expression, self.modulus)), solution.answer)

    def answer_text(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return answer.reason
        return say(
            "${expression} ≡ {value} (mod {m})$.",
            expression=self.expression,
            value=answer.value,
            m=self.modulus_math,
        )


def _integers(given: Given, name: str) -> tuple[int, ...]:
    found = given[name]
    return tuple(n for n in found if isinstance(n, int)) if isinstance(found, tuple) else ()


def _signed(c: int, b: int, e: int) -> tuple[Literal[1, -1], Math]:
    """The term c b^e with its sign; c not 0."""
    sign: Literal[1, -1] = -1 if c < 0 else 1
    base: Math = Group(Number(b)) if b < 0 else Number(b)
    if e == 0:
        return sign, Number(abs(c))
    raised = power(base, e)
    return sign, raised if abs(c) == 1 else dotted((abs(c), raised))


# ------------------------------------------------------------ reading

_NUMBERS = re.compile(r"[0-9⁻⁰¹²³⁴⁵⁶⁷⁸⁹\s+\-−*×·⋅/^!()]+")
"""What an expression without an unknown is written with."""


def read(statements: Sequence[str]) -> Remainder | None:
    """The problem of "2*7^222 + 20!/10! mod 11"; None for statements of another form.

    A power or a factorial alone belongs to a kind of its own, which is asked first.
    """
    parts = words_and_modulus(statements)
    if parts is None or not _NUMBERS.fullmatch(parts[0]):
        return None
    tree = formula(statements[0])
    if not isinstance(tree, Modulo) or isinstance(tree.inside, Factorial):
        return None
    expression = formula(plain.typed(tree.inside))  # as it is printed: 1 * 3^2 is 3^2
    return Remainder(expression=expression, **typed_modulus(parts[1], statements[0]))


KINDS = (
    Kind(
        problem=Remainder,
        read=read,
        value="residue",
        about="The remainder of an expression modulo m: sums, products, powers, factorials, "
        "quotients of numbers.",
        title=say("A remainder"),
        next_steps={
            "the value": say(
                "Replace each number by its least residue before it is multiplied, and reduce "
                "after each step: which remainder does each part of the expression leave?"
            ),
        },
        samples=(
            "17 mod 5",
            "-17 mod 5",
            "3 mod 7",
            "2*7^222 + 20!/10! mod 11",
            "3*5^100 - 4*2^50 + 9 mod 13",
            "1234*5678 - 91 mod 97",
            "2^100 + 3^100 + 5^100 mod 7",
            "-(3^45) + 8! mod 11",
            "12!/10! mod 17",
            "3/4 mod 7",
            "8/4 mod 6",
            "5*(2 + 3^20) mod 2^3*7",
            "2^(3^4) + 1 mod 7",
            "1/2 + 3 mod 4",
            "7 mod 1",
        ),
    ),
)
"""What the house knows of this kind."""
