"""One lifting step: the roots of f modulo p^(k+1) above one root r modulo p^k.

Method taught: put x = r + p^k t; then f(r)/p^k + f'(r) t = 0 (mod p). If p does not divide
f'(r) there is one t; otherwise every t does, or none, as p^(k+1) divides f(r) or not.

A statement is `lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25`; `lift 2 from mod 5 to mod 25
for x^2 + 4x + 23` is read as well.

`solve` lifts with its steps, `telling` tells them, `slips` goes wrong on purpose; this file
is the kind that the rest of the house sees.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from itembank.kinds.asking import OPENINGS_OF_SYSTEMS, phrases_of_system
from itembank.kinds.base import (
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
    equation_of,
    integer_of,
)
from itembank.kinds.lifting_step import slips, solve, telling
from itembank.kinds.lifting_step.certificate import substituted
from itembank.kinds.typed import congruence
from itembank.languages import Telling, say
from itembank.maths.polynomials import Poly, derivative, scaled, sum_of, value, value_mod
from itembank.maths.primes import factorisation, is_prime
from itembank.notation import building
from itembank.notation.building import plain_polynomial, polynomial
from itembank.notation.tree import Display, Letter, Math, Number
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["LiftingStep", "read"]


_MOST_EXPONENT = 10_000
"""The largest power of a prime from which is lifted."""


@dataclass(frozen=True, kw_only=True)
class LiftingStep:
    """left = right (mod prime^(exponent + 1)) for x = root (mod prime^exponent)."""

    kind: ClassVar[str] = "lifting_step"
    signature: ClassVar[KindSignature] = KindSignature(
        name="lifting_step",
        given={
            "congruence": "equation",
            "prime": "integer",
            "exponent": "integer",
            "root": "integer",
        },
        asks=("all solutions", "the solution", "how many", "whether any"),
        slips=slips.NAMES,
        measures=("solutions", "steps", "singular_roots", "exponent", "degree", "digits"),
    )
    left: Poly
    right: Poly
    prime: int
    exponent: int
    root: int
    letter: str = "x"

    def __post_init__(self) -> None:
        p, k = self.prime, self.exponent
        if not 1 <= k <= _MOST_EXPONENT or not is_prime(p):
            raise StatementError(
                worded(
                    "{sides}: expected a power of a prime to lift from, exponent 1 to "
                    "{most_exponent}, got {p}^{k}",
                    sides=self.sides,
                    most_exponent=_MOST_EXPONENT,
                    p=p,
                    k=k,
                )
            )
        where, q = "; ".join(self.statement), p**k
        if value_mod(self.f, self.root, q):
            raise StatementError(
                worded(
                    "{where}: expected a root modulo {q} to lift; at {letter} = {root} the sides "
                    "differ by {value}",
                    where=where,
                    q=q,
                    letter=self.letter,
                    root=self.root,
                    value=value(self.f, self.root),
                )
            )
        object.__setattr__(self, "root", self.root % q)

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The step of a family's `given`: congruence, prime p, exponent k and root modulo p^k."""
        left, right = equation_of(given, "congruence")
        return cls(
            left=left,
            right=right,
            prime=integer_of(given, "prime"),
            exponent=integer_of(given, "exponent"),
            root=integer_of(given, "root"),
            letter=letter,
        )

    @property
    def f(self) -> Poly:
        return sum_of(self.left, scaled(self.right, -1))

    @property
    def below(self) -> int:
        """p^k."""
        return int(self.prime**self.exponent)

    @property
    def modulus(self) -> int:
        """p^(k+1)."""
        return self.below * self.prime

    @property
    def sides(self) -> str:
        return " = ".join(plain_polynomial(side, self.letter) for side in (self.left, self.right))

    @property
    def statement(self) -> tuple[str, ...]:
        return (
            f"lift {self.letter} = {self.root} mod {self.below} to {self.sides} mod {self.modulus}",
        )

    @property
    def shown(self) -> tuple[Math, ...]:
        """What has to hold: the congruence above, and the root below."""
        left, right = (polynomial(side, self.letter) for side in (self.left, self.right))
        root = building.congruence(Letter(self.letter), Number(self.root), self.below)
        return (building.congruence(left, right, self.modulus), root)

    def question(self, ask: str) -> Telling:
        root = say(
            "The residue {r} solves the first congruence modulo {below}; one lifting step leads "
            "from there to modulo {m}.",
            r=self.root,
            below=self.below,
            m=self.modulus,
        )
        return (OPENINGS_OF_SYSTEMS[ask], Display(self.shown), root)

    @property
    def phrases(self) -> Phrases:
        return phrases_of_system(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        """The same after a reduction modulo p^(k+1)."""
        m = self.modulus
        return (self.kind, m, self.root, tuple(c % m for c in self.f))

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        return solve.solve(self.f, self.root, self.prime, self.exponent, moved=any(self.right))

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "singular_roots": int(value_mod(derivative(self.f), self.root, self.prime) == 0),
            "exponent": self.exponent,
            "degree": len(self.f) - 1,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.slips_of(
            self.f, self.root, self.prime, self.exponent, self.letter, solution.answer
        )
        return distinct_slips(found, solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        return telling.worked(solution, self.letter)


# ------------------------------------------------------------ statements

_LIFT = re.compile(r"lift\s+(?P<root>.+?\bmod\b.+?)\s+to\s+(?P<congruence>.+)", re.IGNORECASE)
_FROM = re.compile(
    r"lift\s+(?P<root>.+?)\s+from\s+mod\s+(?P<below>.+?)\s+to\s+mod\s+(?P<above>.+?)\s+for\s+"
    r"(?P<f>[^=≡]+)",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> LiftingStep | None:
    """The step stated in one line that begins with `lift`; None for another form."""
    if len(statements) != 1 or not statements[0].strip().lower().startswith("lift "):
        return None
    text = " ".join(statements[0].split())
    if match := _FROM.fullmatch(text):
        above = congruence(f"{match['f']} = 0 mod {match['above']}")
        below = congruence(f"{above.letter} = {match['root']} mod {match['below']}")
    elif match := _LIFT.fullmatch(text):
        below, above = congruence(match["root"]), congruence(match["congruence"])
    else:
        raise StatementError(
            worded(
                "{text}: expected a step such as 'lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25'",
                text=repr(text),
            )
        )
    if below.left != (0, 1) or len(below.right) > 1 or below.letter != above.letter:
        raise StatementError(
            worded(
                "{text}: expected a root such as {letter} = 2 mod 5 after 'lift'",
                text=repr(text),
                letter=above.letter,
            )
        )
    factors = factorisation(below.modulus, below.known_factors)
    if len(factors) != 1 or above.modulus != below.modulus * factors[0][0]:
        raise StatementError(
            worded(
                "{text}: expected to lift from a power of a prime to the next one, got "
                "{modulus} and {got}",
                text=repr(text),
                modulus=below.modulus,
                got=above.modulus,
            )
        )
    ((p, k),) = factors
    return LiftingStep(
        left=above.left,
        right=above.right,
        prime=p,
        exponent=k,
        root=sum(below.right),
        letter=above.letter,
    )


KINDS = (
    Kind(
        problem=LiftingStep,
        read=read,
        about="One lifting step: the roots modulo p^(k + 1) above a root modulo p^k.",
        title=say("A congruence"),
        next_steps={
            "all solutions": say(
                "Put each number that was given into the polynomial: is the value divisible by the "
                "new modulus? And is the number congruent to the given root?"
            ),
            "the solution": say(
                "Put the number that was given into the polynomial: is the value divisible by the "
                "new modulus? And is the number congruent to the given root?"
            ),
            "how many": say(
                "Find the derivative at the root modulo the prime. Is it divisible by the prime, "
                "and what does that say of the lifts?"
            ),
            "whether any": say(
                "Find the derivative at the root modulo the prime. Where it is divisible by the "
                "prime, test whether the value of the polynomial is divisible by the new modulus."
            ),
        },
        samples=(
            "lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25",
            "lift 2 from mod 5 to mod 25 for x^2 + 4x + 23",
            "lift x ≡ 7 (mod 5) to x² + 4x ≡ −23 (mod 5^2)",
            "lift t = 4 mod 9 to t^2 + t + 7 = 0 mod 27",
            "lift x = 1 mod 3 to x^2 + x + 1 = 0 mod 9",
            "lift x = 1 mod 2 to x^2 = 1 mod 4",
            "lift x = 3 mod 29 to x^2 = 6x - 9 mod 29^2",
            "lift x = 2 mod 7 to 3x^3 - x - 22 = 0 mod 49",
            "lift x = 3 mod (10^19 + 51)^2 to x^2 = 9 + 5*(10^19 + 51)^2 mod (10^19 + 51)^3",
        ),
        certificate=substituted,
    ),
)
