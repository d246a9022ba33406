"""The value of an expression modulo m: the steps, and finding them.

Each power, factorial and quotient is found for itself by the method taught for it; then the
numbers that are left, every one a least residue, are put in.
"""

from dataclasses import dataclass
from math import gcd
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.factorial.kind import FactorialModulo
from itembank.kinds.power.kind import PowerModulo, TowerModulo
from itembank.kinds.typed import integer
from itembank.languages import Said, say
from itembank.notation import plain
from itembank.notation.tree import (
    Factorial,
    Group,
    Math,
    Minus,
    Number,
    Power,
    Product,
    Quotient,
    Sum,
)
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.worded import worded

_MOST_FACTORS = 100_000
"""The longest product a!/b! that is multiplied factor by factor."""


@dataclass(frozen=True)
class Divide(Step):
    """n = q m + r, 0 <= r < m."""

    name = "divide by the modulus"
    n: int
    q: int
    m: int
    r: int


@dataclass(frozen=True)
class Part(Step):
    """A power or a factorial by itself: its problem, and that solved."""

    name = "find one part"
    part: Math
    solution: Solution[Any]
    telling: str
    value: int

    @property
    def effort(self) -> int:
        return self.solution.effort


@dataclass(frozen=True)
class ShortProduct(Step):
    """a!/b! = (b + 1) ... a, with a > b."""

    name = "cancel the factorials"
    a: int
    b: int
    m: int
    value: int

    @property
    def effort(self) -> int:
        return self.a - self.b


@dataclass(frozen=True)
class Cancel(Step):
    """top/bottom = value over the integers; or by the inverse of the bottom, where there is one."""

    name = "divide one number by another"
    quotient: Math
    top: int
    bottom: int
    inverse: int | None
    value: int
    m: int


@dataclass(frozen=True)
class Assemble(Step):
    """The expression with residues put in for its parts, worked out: total = value (mod m)."""

    name = "put the parts together"
    expression: Math
    put_in: Math
    total: int
    value: int
    m: int


class _NoValue(Exception):
    """A part that has no value modulo m; `reason` says why."""

    def __init__(self, reason: Said) -> None:
        self.reason = reason


def remainder_found(
    expression: Math, m: int, hints: tuple[int, ...], statement: str
) -> Solution[Value | Absent]:
    """The least residue of the expression, or Absent where a part of it has none."""
    work = _Work(m, hints, statement)
    if isinstance(expression, Number):
        n = expression.value
        return Solution(Value(n % m, m), (Divide(n, n // m, m, n % m),))
    try:
        put_in = work.put_in(expression)
    except _NoValue as none:
        return Solution(Absent(none.reason), tuple(work.steps))
    total = integer(put_in, statement)
    if put_in != Number(total) or not work.steps:
        work.steps.append(Assemble(expression, put_in, total, total % m, m))
    return Solution(Value(total % m, m), tuple(work.steps))


class _Work:
    """Walks an expression and keeps the steps."""

    def __init__(self, m: int, hints: tuple[int, ...], statement: str) -> None:
        self.m = m
        self.hints = hints
        self.statement = statement
        self.steps: list[Step] = []

    def put_in(self, node: Math) -> Math:
        """The expression with a residue for each number, power, factorial and quotient."""
        match node:
            case Number(value):
                return Number(value % self.m)
            case Power(base, exponent):
                return self.power(node, base, exponent)
            case Factorial(term):
                return self.factorial(node, self.exactly(term))
            case Quotient(top, bottom):
                return self.quotient(node, top, bottom)
            case Group(inside):
                found = self.put_in(inside)
                return found if isinstance(found, Number) else Group(found)
            case Minus(term):
                return Minus(self.put_in(term))
            case Sum(terms):
                return Sum(tuple((sign, self.put_in(term)) for sign, term in terms))
            case Product(factors):
                return Product(tuple(map(self.put_in, factors)), dot=True)
        raise StatementError(
            worded(
                "{statement}: expected numbers with + - * / ^ and !, found {math}",
                statement=repr(self.statement),
                math=plain.math(node),
            )
        )

    def exactly(self, node: Math) -> int:
        return integer(node, self.statement)

    def residue(self, node: Math) -> int:
        return self.exactly(self.put_in(node)) % self.m

    def power(self, node: Math, base: Math, exponent: Math) -> Number:
        """A power by the kind of powers; its exponents are integers, its base any expression."""
        tower = _exponents_of(exponent)
        exponents = tuple(map(self.exactly, tower))
        kind = PowerModulo if len(exponents) == 1 else TowerModulo
        simple = isinstance(base, Group) and isinstance(base.inside, Number | Minus)
        exact = isinstance(base, Number) or simple
        problem = kind(
            base=self.exactly(base) if exact else self.residue(base),
            exponents=exponents,
            modulus=self.m,
            known_factors=self.hints,
        )
        if len(exponents) > 1 and min(exponents) < 0:
            raise StatementError(
                worded(
                    "{statement}: expected a tower of exponents of at least 0, got {exponents}",
                    statement=repr(self.statement),
                    exponents=min(exponents),
                )
            )
        return self.part(node, problem.solve(), "power")

    def factorial(self, node: Math, n: int) -> Number:
        if n < 0:
            raise StatementError(
                worded(
                    "{statement}: expected a factorial of at least 0, got {n}",
                    statement=repr(self.statement),
                    n=n,
                )
            )
        problem = FactorialModulo(number=n, modulus=self.m, known_factors=self.hints)
        return self.part(node, problem.solve(), "factorial")

    def part(self, node: Math, solution: Solution[Any], telling: str) -> Number:
        if isinstance(solution.answer, Absent):
            self.steps.append(Part(node, solution, telling, 0))
            raise _NoValue(solution.answer.reason)
        value = solution.answer.value
        self.steps.append(Part(node, solution, telling, value))
        return Number(value)

    def quotient(self, node: Math, top: Math, bottom: Math) -> Number:
        match top, bottom:
            case Factorial(above), Factorial(below):
                a, b = self.exactly(above), self.exactly(below)
                if 0 <= b <= a and a - b <= _MOST_FACTORS:
                    return self.short_product(a, b)
        d = self.residue(bottom)
        if gcd(d, self.m) == 1:
            inverse = pow(d, -1, self.m)
            t = self.residue(top)
            return self.cancelled(node, t, d, inverse, t * inverse % self.m)
        t, d = self.exactly(top), self.exactly(bottom)
        if d and t % d == 0:
            return self.cancelled(node, t, d, None, t // d % self.m)
        raise _NoValue(
            say(
                "The denominator of ${quotient}$ shares the factor {g} with {m}, so it has no "
                "inverse modulo {m}.",
                quotient=node,
                g=gcd(d, self.m),
                m=self.m,
            )
        )

    def short_product(self, a: int, b: int) -> Number:
        value = 1 % self.m
        for factor in range(b + 1, a + 1):
            value = value * factor % self.m
        self.steps.append(ShortProduct(a, b, self.m, value))
        return Number(value)

    def cancelled(
        self, node: Math, top: int, bottom: int, inverse: int | None, value: int
    ) -> Number:
        self.steps.append(Cancel(node, top, bottom, inverse, value, self.m))
        return Number(value)


def _exponents_of(node: Math) -> tuple[Math, ...]:
    """The exponents of a tower, from the bottom up; one exponent alone is that one."""
    inside = node.inside if isinstance(node, Group) else node
    if isinstance(inside, Power):
        return (inside.base, *_exponents_of(inside.exponent))
    return (inside,)
