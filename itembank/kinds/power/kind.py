"""Powers modulo m: a^e, and towers a^(b^c) whose exponents only matter modulo phi(m).

0^0 is 1, the empty product. A negative exponent asks for a power of the inverse. `solve`
finds the power with its steps, `telling` tells them, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import (
    Given,
    Kind,
    Phrases,
    Slip,
    Solution,
    distinct_slips,
    integer_of,
)
from itembank.kinds.derivation import Matching, SpareLine, Stage, StepLine
from itembank.kinds.modular import Modular, given_modulus, typed_modulus, words_and_modulus
from itembank.kinds.power import guidance, slips, solve
from itembank.kinds.power.certificate import squares_chosen
from itembank.kinds.power.solve import DEEPEST
from itembank.kinds.power.telling import power_of, worked
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.typed import integer, walk
from itembank.languages import Said, Telling, counted, say
from itembank.notation.reading import formula
from itembank.notation.tree import Group, Letter, Math, Modulo, Number, Power
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["PowerModulo", "TowerModulo", "read"]

_MEASURES = ("exists", "steps", "digits", "common_divisor")


@dataclass(frozen=True, kw_only=True)
class RaisedModulo(Modular):
    """base^(e1^(e2^...)) modulo `modulus`: what a power and a tower share."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    base: int
    exponents: tuple[int, ...]

    @property
    def power(self) -> Math:
        """The power as a formula: (-3)^5, 2^(3^4)."""
        return power_of(self.base, self.exponents)

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{_typed_tower((self.base, *self.exponents))} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Modulo(self.power, self.modulus_math),)

    def question(self, ask: str) -> Iterator[Said]:
        if ask == "the steps":
            yield say(
                "The steps of finding the power ${power}$ modulo {m} are out of order.",
                power=self.power,
                m=self.modulus_math,
            )
            return
        yield say("Find the power ${power}$ modulo {m}.", power=self.power, m=self.modulus_math)
        if self.base == 0 or 0 in self.exponents:
            yield say("(By convention $0^0 = 1$.)")
        digits = len(str(self.modulus)) - 1
        if self.modulus == 10**digits > 1 and self.base > 0 and min(self.exponents) >= 0:
            yield counted(
                "(The last digit of the power is its least residue.)",
                "(The last {n} digits of the power, read as a number, are its least residue.)",
                digits,
            )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no such power exists"),
            claim=say("True or false: the power exists."),
            entry=say(
                "The power lies in one residue class modulo {m}. Type any integer in it; "
                "$-3$ is typed -3.",
                m=self.modulus_math,
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return ("power", self.base % self.modulus, self.exponents, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value | Absent]:
        return solve.solve(self.base, self.exponents, self.modulus, self.known_factors)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        return {
            "exists": int(isinstance(solution.answer, Value)),
            "steps": solution.effort,
            "digits": len(str(self.modulus)),
            "common_divisor": gcd(self.base, self.modulus),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        work = slips.Work(
            self.base, self.exponents, self.modulus, self.known_factors, solution.steps
        )
        return distinct_slips(slips.slips_of(work), solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Telling:
        return (*self.conventions(), *worked(solution, self.power, self.modulus_math))


@dataclass(frozen=True, kw_only=True)
class PowerModulo(StepByStep, RaisedModulo):
    """base^exponent modulo `modulus`, with one exponent."""

    kind: ClassVar[str] = "power"
    signature: ClassVar[KindSignature] = KindSignature(
        name="power",
        given={"base": "integer", "exponent": "integer", "modulus": "integer"},
        asks=("the value", "the steps"),
        derived=True,
        slips=slips.NAMES,
        measures=_MEASURES,
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(
            base=integer_of(given, "base"),
            exponents=(integer_of(given, "exponent"),),
            modulus=given_modulus(given),
        )

    def outline(self, solution: Solution[Value | Absent]) -> tuple[StepLine, ...]:
        return guidance.outline(solution.steps)

    def spares(
        self, solution: Solution[Value | Absent], lines: Sequence[StepLine]
    ) -> tuple[SpareLine, ...]:
        return guidance.spares(solution.steps, lines)

    def stages(self, solution: Solution[Value | Absent]) -> tuple[Stage, ...]:
        return tuple(guidance.stages(solution.steps, self.slips(solution)))

    def matching(self, solution: Solution[Value | Absent]) -> Matching | None:
        return guidance.matching(solution.steps)


@dataclass(frozen=True, kw_only=True)
class TowerModulo(RaisedModulo):
    """base^(e1^(e2^...)) modulo `modulus`: at least two exponents, none negative."""

    kind: ClassVar[str] = "tower"
    signature: ClassVar[KindSignature] = KindSignature(
        name="tower",
        given={"tower": "integers", "modulus": "integer"},
        asks=("the value",),
        slips=slips.TOWER_NAMES,
        measures=_MEASURES,
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        tower = given["tower"]
        if not isinstance(tower, tuple) or len(tower) < 3:
            raise StatementError(
                worded(
                    "given.tower: expected a base and at least two exponents, got {tower}",
                    tower=repr(tower),
                )
            )
        base, *exponents = (n for n in tower if isinstance(n, int))
        if min(exponents) < 0:
            raise StatementError(
                worded(
                    "given.tower: expected exponents of at least 0, got {exponents}",
                    exponents=min(exponents),
                )
            )
        return cls(base=base, exponents=tuple(exponents), modulus=given_modulus(given))


def _typed_tower(numbers: Sequence[int]) -> str:
    """a^(e1^(e2^...)) as it is typed, from the bottom up.

    >>> _typed_tower((2, 3, 4)), _typed_tower((-3, 5)), _typed_tower((2, -1)), _typed_tower((6,))
    ('2^(3^4)', '(-3)^5', '2^(-1)', '6')
    """
    first, *rest = numbers
    if not rest:
        return str(first)
    base = f"({first})" if first < 0 else str(first)
    exponent = _typed_tower(rest)
    return f"{base}^{exponent}" if exponent.isdecimal() else f"{base}^({exponent})"


# ------------------------------------------------------------ reading

_RAISED = re.compile(r"\^|\*\*|[⁰¹²³⁴⁵⁶⁷⁸⁹]")
"""What makes a power of what is typed."""

_SIGN = re.compile(r"[=≡]")
"""What makes a congruence of it."""


def read(statements: Sequence[str]) -> RaisedModulo | None:
    """The problem of "7^222 mod 1000" or "2^3^4 mod 7"; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None or not _RAISED.search(parts[0]) or _SIGN.search(parts[0]):
        return None
    statement = statements[0]
    tree = formula(statement)
    if not isinstance(tree, Modulo):
        return None
    tower = _tower_of(tree.inside)
    if tower is None:
        return None
    base, *exponents = (_entry(node, statement) for node in tower)
    modulus = typed_modulus(parts[1], statement)
    if len(exponents) == 1:
        return PowerModulo(base=base, exponents=(exponents[0],), **modulus)
    if len(exponents) > DEEPEST:
        raise StatementError(
            worded(
                "{statement}: expected at most {deepest} exponents on top of one another, got {n}",
                statement=repr(statement),
                deepest=DEEPEST,
                n=len(exponents),
            )
        )
    if min(exponents) < 0:
        raise StatementError(
            worded(
                "{statement}: expected a tower of exponents of at least 0, got {exponents}",
                statement=repr(statement),
                exponents=min(exponents),
            )
        )
    return TowerModulo(base=base, exponents=tuple(exponents), **modulus)


def _tower_of(node: Math) -> list[Math] | None:
    """Base and exponents, from the bottom up; None for what is no power."""
    match node:
        case Group(inside):
            return _tower_of(inside)
        case Power(base, exponent):
            above = _tower_of(exponent)
            return [base, *(above or [exponent])]
    return None


def _entry(node: Math, statement: str) -> int:
    """A number of a tower."""
    if any(isinstance(part, Letter) for part in walk(node)):
        raise StatementError(
            worded(
                "{statement}: expected a power of numbers, found a letter",
                statement=repr(statement),
            )
        )
    return node.value if isinstance(node, Number) else integer(node, statement)


def _certificate(problem: RaisedModulo, answer: Value | Absent) -> Telling:
    (e,) = problem.exponents
    return squares_chosen(problem.base, e, problem.modulus, answer)


KINDS = (
    Kind(
        problem=PowerModulo,
        read=read,
        value="residue",
        about="A power modulo m: its least residue. A negative exponent asks for the inverse.",
        title=say("Powers modulo a number"),
        next_steps={
            "the value": say(
                "Reduce the base first. Then check what the exponent may be reduced by, and work "
                "out the power by repeated squaring, reducing after each step."
            ),
        },
        samples=(
            "7^222 mod 1000",
            "7^222 mod 13",
            "(-3)^100 mod 7",
            "6^222 mod 100",
            "12^100 mod 8",
            "2^12 mod 7",
            "0^0 mod 5",
            "5**0 mod 1",
            "3^(-2) mod 7",
            "2^(-2) mod 8",
            "10² mod -7",
            "3^1000 mod 10^20 + 39",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=TowerModulo,
        read=read,
        value="residue",
        about="A tower of powers modulo m, worked from the top: its least residue.",
        title=say("Powers modulo a number"),
        next_steps={
            "the value": say(
                "Begin at the top: find the exponent of the lowest base modulo φ of the modulus, "
                "then the power by repeated squaring. Check first whether the base and the modulus "
                "are coprime."
            ),
        },
        samples=(
            "9^(9^(9^9)) mod 1000",
            "2^3^4 mod 7",
            "2^(0^(9^9)) mod 8",
            "2^(1^(9^9)) mod 8",
            "0^(0^0) mod 5",
            "6^(7^8) mod 100",
            "(-2)^(3^5) mod 11",
        ),
    ),
)
"""What the house knows of these kinds."""
