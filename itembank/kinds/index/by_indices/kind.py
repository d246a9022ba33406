"""Power congruences a*x^n = c (mod m) solved by indices, m with a primitive root g.

Method taught: take indices to the base g on both sides; products become sums and powers
products, modulo phi(m). That is a linear congruence for the index y of x; each solution
y turns back into x = g^y.

Notation: N = phi(m), ind the index to the base g, r = ind(c) - ind(a) mod N, d = gcd(n, N).
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., section 2.8, Theorem 2.37 and the remarks on indices.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.asking import phrases_of_congruence
from itembank.kinds.base import (
    DECIDED,
    Given,
    Phrases,
    Poly,
    Slip,
    Solution,
    Step,
    distinct_slips,
    integer_of,
)
from itembank.kinds.congruence import OPENINGS, out_of_order
from itembank.kinds.derivation import SpareLine, StepLine
from itembank.kinds.index.by_indices import guidance
from itembank.kinds.index.by_indices.slips import MISTAKES, slips_of
from itembank.kinds.index.by_indices.steps import (
    WHOLE_TABLE,
    CountIndices,
    Linear,
    Table,
    TakeIndices,
    TurnBack,
    linear_step,
)
from itembank.kinds.index.by_indices.telling import TELLING
from itembank.kinds.index.telling import solutions_told
from itembank.kinds.modular import Modular, given_modulus, integer_typed
from itembank.kinds.order.solve import powers_step
from itembank.kinds.order.steps import Powers
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.typed import congruence as typed_congruence
from itembank.kinds.wording import WRITTEN_OUT, told
from itembank.kinds.wrong_solutions import in_unknown
from itembank.languages import Said, Telling, Told, counted, lead, say, shown, spelled
from itembank.languages.lettering import in_letter
from itembank.maths.groups import OutOfReach, index, is_primitive_root, least_primitive_root
from itembank.maths.primes import Unfactored, phi
from itembank.notation.building import congruence, plain_polynomial, polynomial
from itembank.notation.tree import Math, Number
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

_FOLLOWED = 6
"""At most so many solutions are worked out as powers."""

_MOST_SOLUTIONS = 10_000
"""The most solutions that are listed."""


@dataclass(frozen=True, kw_only=True)
class PowerByIndices(StepByStep, Modular):
    """factor * x^exponent = value modulo m, by indices to the base `base`."""

    kind: ClassVar[str] = "power_by_indices"
    signature: ClassVar[KindSignature] = KindSignature(
        name="power_by_indices",
        given={
            "factor": "integer",
            "exponent": "integer",
            "value": "integer",
            "base": "integer",
            "modulus": "integer",
        },
        asks=(*OPENINGS, "the steps"),
        derived=True,
        slips=tuple(MISTAKES),
        measures=("solutions", "steps", "common_divisor", "digits"),
    )
    factor: int
    exponent: int
    value: int
    base: int
    letter: str = "x"

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        found = cls(
            factor=integer_of(given, "factor"),
            exponent=integer_of(given, "exponent"),
            value=integer_of(given, "value"),
            base=integer_of(given, "base"),
            modulus=given_modulus(given),
            letter=letter,
        )
        _refuse_unless_indices_solve(found, "given")
        return found

    @property
    def whole(self) -> int:
        """phi(m), modulo which indices count."""
        return phi(self.modulus, self.known_factors)

    @property
    def left(self) -> Poly:
        """The left side, factor * x^exponent."""
        return ((0,) * self.exponent) + (self.factor,)

    @property
    def statement(self) -> tuple[str, ...]:
        left = plain_polynomial(self.left, self.letter)
        return (f"{left} = {self.value} mod {self.modulus_text} by indices base {self.base}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        left = polynomial(self.left, self.letter)
        return (congruence(left, Number(self.value), self.modulus_math),)

    def question(self, ask: str) -> Iterator[Told]:
        if ask == "the steps":
            yield from out_of_order(self.shown)
        else:
            yield OPENINGS[ask]
            yield shown(*self.shown)
        yield say(
            "Use indices: ${g}$ is a primitive root modulo ${m}$.",
            g=self.base,
            m=self.modulus_math,
        )

    def outline(self, solution: Solution[ResidueSet]) -> tuple[StepLine, ...]:
        return guidance.outline(solution.steps, self.letter)

    def spares(
        self, solution: Solution[ResidueSet], lines: Sequence[StepLine]
    ) -> tuple[SpareLine, ...]:
        return guidance.spares(solution.steps, self.letter, lines)

    @property
    def phrases(self) -> Phrases:
        return phrases_of_congruence(self.modulus)

    @property
    def canonical(self) -> tuple[object, ...]:
        m = self.modulus
        c = self.value * pow(self.factor, -1, m) % m
        return (self.kind, self.exponent, c, self.base % m, m)

    @property
    def twin(self) -> tuple[object, ...]:
        return (self.kind, *self.canonical[1:3], self.modulus)

    def index(self, a: int) -> int:
        """The index of a unit; StatementError where it would take too long to find."""
        try:
            found = index(a, self.base, self.modulus, self.known_factors)
        except OutOfReach as reason:
            raise StatementError(
                laid_out("{statement}: {reason}", statement=self.statement[0], reason=reason)
            ) from None
        assert found is not None, "a primitive root has every unit among its powers"
        return found

    def solve(self) -> Solution[ResidueSet]:
        a, n, c, g, m = self.factor, self.exponent, self.value, self.base, self.modulus
        whole = self.whole
        ind_a, ind_c = self.index(a), self.index(c)
        values = tuple(pow(g, k, m) for k in range(whole)) if whole <= WHOLE_TABLE else ()
        alone = a % m in (1, c % m)
        needed = ((c % m, ind_c),) if alone else ((a % m, ind_a), (c % m, ind_c))
        r = (ind_c - ind_a) % whole
        linear = linear_step(n, r, whole)
        steps: list[Step] = [
            Table(
                g % m, m, whole, values, needed, _powers_to(g, m, whole, [k for _a, k in needed])
            ),
            TakeIndices(a % m, n, c % m, ind_a, ind_c, r, whole),
            linear,
        ]
        if len(linear.indices) > _MOST_SOLUTIONS:
            raise StatementError(
                worded(
                    "{statement}: {n} solutions are too many to list (at most {most_solutions})",
                    statement=self.statement[0],
                    n=len(linear.indices),
                    most_solutions=_MOST_SOLUTIONS,
                )
            )
        pairs = tuple((y, pow(g, y, m)) for y in linear.indices)
        if pairs:
            indices = [y for y, _x in pairs[:_FOLLOWED]]
            steps.append(TurnBack(g % m, m, pairs, _powers_to(g, m, whole, indices)))
        return Solution(ResidueSet.of(m, [(x, m) for _y, x in pairs]), tuple(steps))

    def solution_to(self, ask: str, solution: Solution[ResidueSet]) -> Solution[ResidueSet]:
        """How many solutions there are is seen where the linear congruence stands."""
        if ask not in DECIDED:
            return solution
        table, indices, linear = solution.steps[:3]
        assert isinstance(linear, Linear)
        count = CountIndices(linear.n, linear.r, linear.whole, linear.d)
        return Solution(solution.answer, (table, indices, count))

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "common_divisor": gcd(self.exponent, self.whole),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        made = slips_of(self.base, self.modulus, solution)
        return distinct_slips(in_unknown(made, self.letter), solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Telling:
        told_of_x = (
            *self.conventions(),
            *self.least_residues(self.factor, self.value, self.base),
            *told(solution.steps, TELLING, self.modulus, self.whole),
            lead("Answer."),
            self.conclusion(solution),
        )
        return in_letter(told_of_x, self.letter)

    def conclusion(self, solution: Solution[ResidueSet]) -> Said:
        answer, m = solution.answer, self.modulus_math
        if answer.count > WRITTEN_OUT or isinstance(solution.steps[-1], CountIndices):
            if not answer:
                return say("The congruence has no solutions.")
            return counted(
                "There is {n} solution modulo ${m}$.",
                "There are {n} solutions modulo ${m}$.",
                answer.count,
                n=spelled(answer.count),
                m=m,
            )
        return solutions_told(answer, m)


def _powers_to(g: int, m: int, whole: int, exponents: Sequence[int]) -> Powers | None:
    """What leads to these powers of g; None where the whole table is written, or they are long."""
    return powers_step(g % m, m, [k for k in exponents if k]) if whole > WHOLE_TABLE else None


def _refuse_unless_indices_solve(c: PowerByIndices, where: str) -> None:
    """StatementError unless the base is a primitive root and both numbers have indices."""
    m, g = c.modulus, c.base
    if c.exponent < 1:
        raise StatementError(
            worded(
                "{where}: expected an exponent of at least 1, got {exponent}",
                where=where,
                exponent=c.exponent,
            )
        )
    try:
        good = is_primitive_root(g, m, c.known_factors)
    except Unfactored as reason:
        raise StatementError(laid_out("{where}: {reason}", where=where, reason=reason)) from None
    if not good:
        raise StatementError(
            worded(
                "{where}: expected a primitive root modulo {m} as base, got {g}",
                where=where,
                m=m,
                g=g,
            )
        )
    for name, number in (("factor", c.factor), ("right side", c.value)):
        if (d := gcd(number, m)) > 1:
            raise StatementError(
                worded(
                    "{where}: expected a {name} coprime to {m}, for only units have indices; got "
                    "{number}, which shares {d} with it",
                    where=where,
                    name=name,
                    m=m,
                    number=number,
                    d=d,
                )
            )


_FORM = re.compile(
    r"(?P<congruence>.*\bmod(?:ulo)?\b.*?)\s+by indices(?: (?:to the )?base (?P<base>.+))?",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> PowerByIndices | None:
    """The problem of "7x^5 = 3 mod 17 by indices base 3"; None for statements of another form.

    Without a base the least primitive root is taken.
    """
    match = _FORM.fullmatch(" ".join(statements[0].split())) if len(statements) == 1 else None
    if match is None:
        return None
    statement = statements[0]
    typed = typed_congruence(match["congruence"])
    terms = [(k, a) for k, a in enumerate(typed.left) if a]
    if len(terms) != 1 or terms[0][0] < 1 or len(typed.right) != 1:
        raise StatementError(
            worded(
                "{statement}: expected one power of the unknown on the left and a number on "
                "the right, as in 7x^5 = 3 mod 17 by indices",
                statement=repr(statement),
            )
        )
    ((exponent, factor),) = terms
    m = typed.modulus
    try:
        base = (
            integer_typed(match["base"], "a base", statement)
            if match["base"]
            else least_primitive_root(m, typed.known_factors)
        )
    except Unfactored as reason:
        raise StatementError(
            laid_out("{statement}: {reason}", statement=repr(statement), reason=reason)
        ) from None
    if base is None:
        raise StatementError(
            worded(
                "{statement}: there is no primitive root modulo {m}, so no indices",
                statement=repr(statement),
                m=m,
            )
        )
    found = PowerByIndices(
        factor=factor,
        exponent=exponent,
        value=typed.right[0],
        base=base,
        letter=typed.letter,
        modulus=m,
        typed_modulus=typed.typed_modulus,
        known_factors=typed.known_factors,
    )
    _refuse_unless_indices_solve(found, repr(statement))
    return found
