"""Exponential congruences a * b^x = c (mod m) whose base is not coprime to the modulus.

No power of such a base but the first is 1, so there is no order and there are no indices: the
powers begin with a tail and repeat after it. What is asked is the least exponent; the working
tells all of them. A base that is coprime to the modulus belongs to `index.exponential`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.index.certificate import substituted
from itembank.kinds.index.exponential.kind import typed_exponential
from itembank.kinds.least_exponent.method import Found, Powers, least_exponent
from itembank.kinds.least_exponent.slips import MISTAKES, Work
from itembank.kinds.least_exponent.telling import TELLING, told_until_found
from itembank.kinds.mistakes import wrong_values
from itembank.kinds.modular import Modular, given_modulus
from itembank.kinds.wording import told
from itembank.languages import Telling, lead, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import congruence, dotted, number
from itembank.notation.tree import Group, Letter, Math, Number, Power
from itembank.values.answer import Absent, Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "LeastExponent", "read"]


@dataclass(frozen=True, kw_only=True)
class LeastExponent(Modular):
    """The least x >= 0 with factor * base^x = value; the base shares a factor with the modulus."""

    kind: ClassVar[str] = "least_exponent"
    signature: ClassVar[KindSignature] = KindSignature(
        name="least_exponent",
        given={"factor": "integer", "base": "integer", "value": "integer", "modulus": "integer"},
        asks=("the value",),
        slips=tuple(MISTAKES),
        measures=("exists", "steps", "least", "tail", "period", "digits"),
    )
    factor: int
    base: int
    value: int
    letter: str = "x"

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        found = cls(
            factor=integer_of(given, "factor"),
            base=integer_of(given, "base"),
            value=integer_of(given, "value"),
            modulus=given_modulus(given),
            letter=letter,
        )
        if gcd(found.base, found.modulus) == 1:
            raise StatementError(
                worded(
                    "given.base: expected a base that shares a factor with {modulus}, got {base}; "
                    "problem: exponential asks of a coprime one",
                    modulus=found.modulus,
                    base=found.base,
                )
            )
        return found

    @property
    def statement(self) -> tuple[str, ...]:
        base = f"({self.base})" if self.base < 0 else str(self.base)
        factor = f"{self.factor} * " if self.factor != 1 else ""
        return (f"{factor}{base}^{self.letter} = {self.value} mod {self.modulus_text}",)

    @property
    def congruence(self) -> Math:
        base: Math = Group(Number(self.base)) if self.base < 0 else Number(self.base)
        left: Math = Power(base, Letter(self.letter))
        if self.factor != 1:
            left = dotted((self.factor, left))
        return congruence(left, number(self.value), self.modulus_math)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.congruence,)

    def question(self, ask: str) -> Telling:
        return (
            say(
                "Find the least exponent ${x} ≥ 0$ with ${congruence}$.",
                x=Letter(self.letter),
                congruence=self.congruence,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no such power exists"), entry=say("Type the exponent in digits."))

    @property
    def canonical(self) -> tuple[object, ...]:
        m = self.modulus
        return (self.kind, self.factor % m, self.base % m, self.value % m, m)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value | Absent]:
        """Raises StatementError where the powers are too many to follow."""
        return least_exponent(self.factor, self.base, self.value, self.modulus, self.statement[0])

    def powers(self, solution: Solution[Value | Absent]) -> Powers:
        return next(step for step in solution.steps if isinstance(step, Powers))

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        powers, answer = self.powers(solution), solution.answer
        return {
            "exists": int(isinstance(answer, Value)),
            "steps": solution.effort,
            "least": answer.value if isinstance(answer, Value) else 0,
            "tail": powers.tail,
            "period": powers.period,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        answer, powers = solution.answer, self.powers(solution)
        if isinstance(answer, Absent):
            return ()
        work = Work(self.base, self.value, self.modulus, powers.values, powers.tail, answer.value)
        return distinct_slips(wrong_values(MISTAKES, work), answer)

    def worked(self, solution: Solution[Value | Absent]) -> Telling:
        answer = solution.answer
        powers = self.powers(solution)
        kept = [step for step in solution.steps if not isinstance(step, Found)]
        if isinstance(answer, Value):
            kept = [step for step in kept if not isinstance(step, Powers)]
        way = [*told(kept, TELLING)]
        if isinstance(answer, Value):
            way += told_until_found(powers, self.value % self.modulus)
        said = [*self.conventions(), *way, lead("Answer.")]
        if isinstance(answer, Absent):
            said.append(answer.reason)
        else:
            said.append(say("The least exponent is {x}.", x=answer.value))
        return in_letter(tuple(said), self.letter)


def read(statements: Sequence[str]) -> LeastExponent | None:
    """The problem of "2^x = 4 mod 6"; None for a coprime base and for another form."""
    found = typed_exponential(statements)
    if found is None or gcd(found.base, found.m) == 1:
        return None
    return LeastExponent(
        factor=found.factor,
        base=found.base,
        value=found.value,
        letter=found.letter,
        modulus=found.m,
        typed_modulus=found.typed_modulus,
        known_factors=found.known_factors,
    )


def _certificate(problem: LeastExponent, answer: Value | Absent) -> Telling:
    """The exponent put into the congruence."""
    if isinstance(answer, Absent):
        return ()
    powers = ((problem.base, answer.value),)
    return substituted(problem.factor, powers, problem.value, problem.modulus)


KINDS = (
    Kind(
        problem=LeastExponent,
        read=read,
        value="exponent",
        about="The least exponent of an exponential congruence whose base is not coprime to m.",
        title=say("A congruence"),
        next_steps={
            "the value": say(
                "Write out the powers of the base one by one, from the exponent 0 on: where does "
                "the right side appear first? The base has a factor in common with the modulus, so "
                "1 need not come back."
            ),
        },
        samples=(
            "2^x = 4 mod 6",
            "3 * 2^x = 12 mod 20",
            "6^t = 8 mod 28",
            "2^x = 3 mod 6",
            "10^x = 4 mod 12",
            "12^x = 0 mod 72",
            "(-6)^x = 3 mod 33",
            "2^x = 1 mod 12",
            "6^x = 4 mod -20",
        ),
        certificate=_certificate,
    ),
)
"""What the house knows of this kind."""
