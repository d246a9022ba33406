"""Exponential congruences a*b^x = c (mod m): the unknown is an exponent.

Method taught: divide by a, find the index of the right side to the base b; b^x repeats
with the order t of b, so the solutions are one class modulo t. They are given modulo phi(m),
of which t is a divisor (Euler).

Notation: a, b, c, m; after division b^x = y (mod m1); t the order of b modulo m1.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import Given, Phrases, Slip, Solution, Step, distinct_slips, integer_of
from itembank.kinds.congruence import OPENINGS
from itembank.kinds.index import worked as index_worked
from itembank.kinds.index.logarithm import LARGEST_SLIP, refuse_unless_coprime
from itembank.kinds.index.solve import TABLE, index_steps, order_steps
from itembank.kinds.mistakes import SetFound, wrong_sets
from itembank.kinds.modular import given_modulus, modulus_shown, typed_modulus, words_and_modulus
from itembank.kinds.order.solve import phi_step
from itembank.kinds.order.steps import Certificate
from itembank.kinds.typed import integer, walk
from itembank.kinds.wording import WRITTEN_OUT, Tellers, answer_paragraph, listing, told
from itembank.languages import Telling, Told
from itembank.languages.words import _
from itembank.maths.groups import index, least_primitive_root, order
from itembank.notation.prose import display, paragraph
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Block,
    Display,
    Letter,
    Math,
    Modulo,
    Power,
    Product,
    Relation,
)
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature


@dataclass(frozen=True)
class Divide(Step):
    """a y = c (mod m), d = gcd(a, m): y = `y` modulo m1 = m/d, or no y if d does not divide c."""

    name = "divide by the factor"
    a: int
    c: int
    m: int
    d: int
    m1: int
    y: int | None


@dataclass(frozen=True)
class Repeat(Step):
    """b^x has period t modulo m1, so the solutions modulo n = phi(m) are k, k + t, ..."""

    name = "period"
    b: int
    m1: int
    k: int
    t: int
    n: int


@dataclass(frozen=True, kw_only=True)
class ExponentialCongruence:
    """factor * base^x = value modulo m, the base coprime to m."""

    kind: ClassVar[str] = "exponential"
    signature: ClassVar[KindSignature] = KindSignature(
        name="exponential",
        given={"factor": "integer", "base": "integer", "value": "integer", "modulus": "integer"},
        asks=tuple(OPENINGS),
        slips=(
            "factor-ignored",
            "factor-multiplied",
            "product-for-power",
            "whole-numbers-only",
            "one-exponent-only",
            "counted-from-one",
            "primitive-root-assumed",
        ),
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
    def shown(self) -> tuple[Math, ...]:
        return tuple(map(formula, self.statement))

    def question(self, ask: str) -> Telling:
        period = _(
            "Here ${x}$ is taken modulo ${n} = φ({m})$: exponents that are congruent modulo {n} "
            "give congruent powers (Euler)."
        ).format(x=self.letter, m=self.modulus_text, n=self.modulus)
        return (OPENINGS[ask], Display(self.shown), paragraph(period))

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
        if t > TABLE and not any(isinstance(step, Certificate) for step in steps):
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
        return distinct_slips(slips_of(self), solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        steps = told(solution.steps, WORKED, self)
        return (*steps, answer_paragraph(self.conclusion(solution.answer)))

    def conclusion(self, answer: ResidueSet) -> str:
        if answer.count <= WRITTEN_OUT:
            return index_worked.solutions_told(answer, self.letter, str(answer.modulus))
        ((k, t),) = answer.classes()
        return _("${x} ≡ {k} (mod {t})$: {count} solutions modulo {n}.").format(
            x=self.letter, k=k, t=t, count=answer.count, n=answer.modulus
        )


def divided(a: int, c: int, m: int) -> Divide:
    d = gcd(a, m)
    m1 = m // d
    y = c // d * pow(a // d, -1, m1) % m1 if c % d == 0 else None
    return Divide(a, c, m, d, m1, y)


def read(statements: Sequence[str]) -> ExponentialCongruence | None:
    """The problem of "2 * 3^x = 5 mod 17"; None for statements of another form."""
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
    power = power_of(left)
    if power is None:
        return None
    factors, base, letter = power
    if any(isinstance(node, Letter) for node in (*walk(right), *walk(base), *walk(factors))):
        raise StatementError(
            f"{statement!r}: expected the unknown in one exponent only, as in 2 * 3^x = 5 mod 17"
        )
    modulus = typed_modulus(parts[1], statement)
    factor = 1
    for node in factors:
        factor *= integer(node, statement)
    found = ExponentialCongruence(
        factor=factor,
        base=integer(base, statement),
        value=integer(right, statement),
        m=modulus["modulus"],
        letter=letter,
        typed_modulus=modulus["typed_modulus"],
        known_factors=modulus["known_factors"],
    )
    refuse_unless_coprime(found.base, found.m, repr(statement))
    return found


def power_of(node: Math) -> tuple[tuple[Math, ...], Math, str] | None:
    """The factors, the base and the letter of a * b^x; None for anything else."""
    match node:
        case Power(base, Letter(name, 0)):
            return (), base, name
        case Product(factors):
            powers = [f for f in factors if isinstance(f, Power) and isinstance(f.exponent, Letter)]
            if len(powers) == 1:
                others = tuple(f for f in factors if f is not powers[0])
                letter = powers[0].exponent
                assert isinstance(letter, Letter)
                return others, powers[0].base, letter.name
    return None


# ------------------------------------------------------------ the worked solution


def worked_divide(step: Divide, c: ExponentialCongruence) -> Iterator[Block]:
    a, m, d, m1, y = step.a, step.m, step.d, step.m1, step.y
    power = c.statement[0].split(" = ")[0].split(" * ")[-1]
    lead = _("Divide.")
    if y is None:
        yield paragraph(
            _(
                "$gcd({a}, {m}) = {d}$, so the left side is a multiple of {d} modulo {m}, and {c} "
                "is none: there is no solution."
            ).format(a=a, m=m, d=d, c=step.c),
            lead,
        )
        return
    if d > 1:
        text = _(
            "$gcd({a}, {m}) = {d}$ divides {c}. Dividing everything by {d}, the modulus too, and "
            "multiplying by the inverse of {a1} modulo {m1} leaves"
        ).format(a=a, m=m, d=d, c=step.c, a1=a // d, m1=m1)
    else:
        inverse = pow(a, -1, m)
        text = _(
            "Multiply both sides by the inverse of ${a}$ modulo {m}, which is {i} (${a} · {i} = "
            "{product} ≡ 1$):"
        ).format(a=a, m=m, i=inverse, product=a * inverse)
    yield paragraph(text, lead)
    yield display(f"{power} = {y} mod {m1}")


def worked_repeat(step: Repeat, c: ExponentialCongruence) -> Iterator[Block]:
    b, m1, k, t, n = step.b, step.m1, step.k, step.t, step.n
    if t == 1:
        text = _("Every power of {b} is 1 modulo {m}, so every exponent is a solution.")
        yield paragraph(text.format(b=b, m=m1), _("All exponents."))
        return
    if t <= TABLE:
        order_text = _(
            "Going on, the powers of {b} come back to 1 for the first time with the exponent {t}, "
            "the order of {b} modulo {m}."
        )
    else:
        order_text = _("The order of {b} modulo {m} is {t}.")
    count = n // t
    if count == 1:
        text = _("So no other exponent from 0 to {last} gives the same power.")
    elif count <= WRITTEN_OUT:
        text = _(
            "So the powers repeat every {t} exponents. From 0 to {last} the solutions are "
            "${residues}$."
        )
    else:
        text = _(
            "So the powers repeat every {t} exponents: the solutions are the exponents "
            "${x} ≡ {k} (mod {t})$."
        )
    residues = listing(range(k, n, t)) if count <= WRITTEN_OUT else ""
    values = {"b": b, "m": m1, "t": t, "k": k, "x": c.letter, "last": n - 1, "residues": residues}
    yield paragraph(f"{order_text} {text}".format(**values), _("All exponents."))


def told_of_index(step: Step, c: ExponentialCongruence) -> Iterator[Told]:
    return index_worked.WORKED[type(step)](step)


WORKED: Tellers = {
    **dict.fromkeys(index_worked.WORKED, told_of_index),
    Divide: worked_divide,
    Repeat: worked_repeat,
}
"""How each step is told."""


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class Work:
    """The congruence, with y = b^x where a is a unit, and the key."""

    a: int
    b: int
    c: int
    m: int
    n: int
    y: int
    k: int | None
    t: int

    def exponents(self, y: int) -> tuple[int, ...]:
        """The solutions modulo n of b^x = y."""
        k = index(y, self.b, self.m)
        return () if k is None else tuple(range(k, self.n, self.t))


def slips_of(c: ExponentialCongruence) -> Iterator[Slip]:
    """The slips that can be made here; none where the factor is no unit."""
    m = c.m
    if m > LARGEST_SLIP or m < 3 or gcd(c.factor, m) > 1:
        return iter(())
    y = c.value * pow(c.factor, -1, m) % m
    w = Work(
        c.factor % m,
        c.base % m,
        c.value % m,
        m,
        c.modulus,
        y,
        index(y, c.base, m),
        order(c.base, m),
    )
    return wrong_sets(MISTAKES, w)


def factor_ignored(w: Work) -> SetFound:
    if w.a == 1:
        return None
    return w.exponents(w.c), _(
        "You left out the factor {a}. Divide by it first: multiply both sides by its inverse "
        "modulo {m}."
    ).format(a=w.a, m=w.m)


def factor_multiplied(w: Work) -> SetFound:
    if w.a == 1:
        return None
    return w.exponents(w.a * w.c % w.m), _(
        "You multiplied the right side by {a}. To free the power of its factor, **divide** by {a}: "
        "multiply by the inverse of {a} modulo {m}."
    ).format(a=w.a, m=w.m)


def product_for_power(w: Work) -> SetFound:
    """b x = y in place of b^x = y."""
    x = w.y * pow(w.b, -1, w.m) % w.m
    if x >= w.n:
        return None
    return (x,), _(
        "You divided {y} by {b} modulo {m}. The unknown is an exponent: {y} has to be a power of "
        "{b}, not a multiple."
    ).format(b=w.b, y=w.y, m=w.m)


def whole_numbers_only(w: Work) -> SetFound:
    if w.y in {w.b**i for i in range(20) if w.b**i < w.m}:
        return None
    return (), _(
        "{y} is no power of {b} among the integers, but a power only has to be **congruent** to it "
        "modulo {m}: reduce, and go on multiplying."
    ).format(y=w.y, b=w.b, m=w.m)


def one_exponent_only(w: Work) -> SetFound:
    if w.k is None or w.t == w.n:
        return None
    return (w.k,), _(
        "You stopped at the first exponent. The order of {b} is {t}, so the powers repeat every "
        "{t} exponents."
    ).format(b=w.b, t=w.t)


def counted_from_one(w: Work) -> SetFound:
    if w.k is None:
        return None
    return tuple(sorted((x + 1) % w.n for x in w.exponents(w.y))), _(
        "You counted the powers from 1 on, beginning with 1 itself. The power with exponent 0 is 1."
    )


def primitive_root_assumed(w: Work) -> SetFound:
    root = least_primitive_root(w.m)
    if w.k is not None or root is None or gcd(w.y, w.m) > 1:
        return None
    return (index(w.y, root, w.m) or 0,), _(
        "Not every unit is a power of {b}: its order modulo {m} is {t}, so it has {t} different "
        "powers only."
    ).format(b=w.b, m=w.m, t=w.t)


MISTAKES: dict[str, Callable[[Work], SetFound]] = {
    "factor-ignored": factor_ignored,
    "factor-multiplied": factor_multiplied,
    "product-for-power": product_for_power,
    "whole-numbers-only": whole_numbers_only,
    "one-exponent-only": one_exponent_only,
    "counted-from-one": counted_from_one,
    "primitive-root-assumed": primitive_root_assumed,
}
"""In the order of the method."""
