"""Exponential congruences a*b^x = c (mod m): the unknown is an exponent.

Method taught: divide by a, find the index of the right side to the base b; b^x repeats
with the order t of b, so the solutions are one class modulo t. They are given modulo phi(m),
of which t is a divisor (Euler).

Notation: a, b, c, m; after division b^x = y (mod m1); t the order of b modulo m1.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import Given, Phrases, Slip, Solution, Step, distinct_slips, integer_of
from itembank.kinds.congruence import OPENINGS
from itembank.kinds.index.exponential.slips import MISTAKES, slips_of
from itembank.kinds.index.exponential.steps import Repeat, divided, seen_in_the_table
from itembank.kinds.index.exponential.telling import TELLING
from itembank.kinds.index.logarithm import refuse_unless_coprime
from itembank.kinds.index.solve import index_steps, order_steps
from itembank.kinds.index.telling import solutions_told
from itembank.kinds.modular import (
    given_modulus,
    modulus_formula,
    modulus_shown,
    typed_modulus,
    words_and_modulus,
)
from itembank.kinds.order.solve import phi_step
from itembank.kinds.order.steps import Certificate, TryDivisors
from itembank.kinds.typed import integer, walk
from itembank.kinds.wording import WRITTEN_OUT, told
from itembank.kinds.wrong_solutions import in_unknown
from itembank.languages import Said, Telling, Told, lead, say, shown
from itembank.languages.lettering import in_letter
from itembank.maths.groups import order
from itembank.notation.building import congruence
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Group,
    Letter,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Relation,
)
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded


@dataclass(frozen=True, kw_only=True)
class ExponentialCongruence:
    """factor * base^x = value modulo m, the base coprime to m."""

    kind: ClassVar[str] = "exponential"
    signature: ClassVar[KindSignature] = KindSignature(
        name="exponential",
        given={"factor": "integer", "base": "integer", "value": "integer", "modulus": "integer"},
        asks=tuple(OPENINGS),
        slips=tuple(MISTAKES),
        measures=("solutions", "steps", "order", "digits"),
    )
    factor: int
    base: int
    value: int
    m: int
    letter: str = "x"
    typed_modulus: str = field(default="", compare=False)
    known_factors: tuple[int, ...] = field(default=(), compare=False)

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        found = cls(
            factor=integer_of(given, "factor"),
            base=integer_of(given, "base"),
            value=integer_of(given, "value"),
            m=given_modulus(given),
            letter=letter,
        )
        refuse_unless_coprime(found.base, found.m, "given.base")
        return found

    @property
    def asked_modulo(self) -> int:
        """The modulus of the congruence; `modulus` is that of the exponents."""
        return self.m

    @cached_property
    def modulus(self) -> int:
        """phi(m): exponents that are congruent modulo it give the same power."""
        return phi_step(self.m, self.known_factors, self.statement[0]).n

    @property
    def modulus_text(self) -> str:
        return modulus_shown(self.m, self.typed_modulus)

    @property
    def statement(self) -> tuple[str, ...]:
        factor = "" if self.factor == 1 else f"{self.factor} * "
        base = f"({self.base})" if self.base < 0 else str(self.base)
        return (f"{factor}{base}^{self.letter} = {self.value} mod {self.modulus_text}",)

    @property
    def left(self) -> Math:
        """The left side, factor * base^x."""
        base: Math = Number(self.base)
        power = Power(Group(base) if self.base < 0 else base, Letter(self.letter))
        if self.factor == 1:
            return power
        product = Product((Number(abs(self.factor)), power), dot=self.base >= 0)
        return product if self.factor >= 0 else Minus(product)

    @property
    def shown(self) -> tuple[Math, ...]:
        m = modulus_formula(self.m, self.modulus_text)
        return (congruence(self.left, Number(self.value), m),)

    def question(self, ask: str) -> Iterator[Told]:
        yield OPENINGS[ask]
        yield shown(*self.shown)
        period = say(
            "Give $x$ modulo ${n} = φ({m})$.",
            m=modulus_formula(self.m, self.modulus_text),
            n=self.modulus,
        )
        yield in_letter(period, self.letter)

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        """The class of b^x = y after division, or the whole where the factor is no unit."""
        a, b, c, m = self.factor, self.base % self.m, self.value % self.m, self.m
        if gcd(a, m) == 1:
            return (self.kind, 1, b, c * pow(a, -1, m) % m, m)
        return (self.kind, a % m, b, c, m)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        """Raises StatementError where the index would take too long to find."""
        a, b, c, m, n = self.factor, self.base, self.value, self.m, self.modulus
        division = divided(a, c, m)
        steps: list[Step] = [] if a == 1 else [division]
        if division.y is None:
            return Solution(ResidueSet.of(n, ()), tuple(steps))
        m1 = division.m1
        k, found = index_steps(division.y, b, m1, self.known_factors, self.statement[0])
        steps += found
        if k is None:
            return Solution(ResidueSet.of(n, ()), tuple(steps))
        t = order(b, m1, self.known_factors)
        if m1 > 1 and not any(isinstance(step, Certificate | TryDivisors) for step in steps):
            phi = phi_step(m1, self.known_factors, self.statement[0])
            steps += order_steps(b % m1, m1, t, phi)
        steps.append(Repeat(b % m1, m1, k, t, n))
        return Solution(ResidueSet.of(n, ((k, t),)), tuple(steps))

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "order": order(self.base, self.m, self.known_factors),
            "digits": len(str(self.m)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        made = slips_of(self.factor, self.base, self.value, self.m, self.modulus)
        return distinct_slips(in_unknown(made, self.letter), solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        told_of_x = (
            *told(seen_in_the_table(solution.steps), TELLING, self.base),
            lead("Answer."),
            self.conclusion(solution.answer),
        )
        return in_letter(told_of_x, self.letter)

    def conclusion(self, answer: ResidueSet) -> Said:
        if answer.count <= WRITTEN_OUT:
            return solutions_told(answer, answer.modulus)
        ((k, t),) = answer.classes()
        return say(
            "$x ≡ {k} (mod {t})$: {count} solutions modulo {n}.",
            k=k,
            t=t,
            count=answer.count,
            n=answer.modulus,
        )


def read(statements: Sequence[str]) -> ExponentialCongruence | None:
    """The problem of "2 * 3^x = 5 mod 17"; None for another form, or a base not coprime."""
    found = typed_exponential(statements)
    return None if found is None or gcd(found.base, found.m) > 1 else found


def typed_exponential(statements: Sequence[str]) -> ExponentialCongruence | None:
    """The exponential congruence stated, whatever its base; None for another form."""
    parts = words_and_modulus(statements)
    if (
        parts is None
        or "^" not in parts[0].replace("**", "^")
        or "=" not in statements[0].replace("≡", "=")
    ):
        return None
    statement = statements[0]
    tree = formula(statement)
    if not isinstance(tree, Modulo) or not isinstance(tree.inside, Relation):
        return None
    if len(tree.inside.sides) != 2 or tree.inside.signs != ("≡",):
        return None
    left, right = tree.inside.sides
    if any(isinstance(node, Letter) for node in walk(left)) is False:
        left, right = right, left
    power = _power_of(left)
    if power is None:
        return None
    factors, base, letter = power
    if any(isinstance(node, Letter) for node in (*walk(right), *walk(base), *walk(factors))):
        raise StatementError(
            worded(
                "{statement}: expected the unknown in one exponent only, as in 2 * 3^x = 5 mod 17",
                statement=repr(statement),
            )
        )
    modulus = typed_modulus(parts[1], statement)
    factor = 1
    for node in factors:
        factor *= integer(node, statement)
    return ExponentialCongruence(
        factor=factor,
        base=integer(base, statement),
        value=integer(right, statement),
        m=modulus["modulus"],
        letter=letter,
        typed_modulus=modulus["typed_modulus"],
        known_factors=modulus["known_factors"],
    )


def _power_of(node: Math) -> tuple[tuple[Math, ...], Math, str] | None:
    """The factors, the base and the letter of a * b^x; None for anything else."""
    match node:
        case Power(base, Letter(name, 0)):
            return (), base, name
        case Minus(term):
            found = _power_of(term)
            return found and ((Number(-1), *found[0]), *found[1:])
        case Product(factors):
            powers = [f for f in factors if isinstance(f, Power) and isinstance(f.exponent, Letter)]
            if len(powers) == 1:
                others = tuple(f for f in factors if f is not powers[0])
                letter = powers[0].exponent
                assert isinstance(letter, Letter)
                return others, powers[0].base, letter.name
    return None
