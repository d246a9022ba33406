"""The order of a modulo m: the least t >= 1 with a^t = 1 (mod m), or the reason why not.

Method taught: the order divides phi(m) by Euler's theorem, so the divisors of phi(m) are
tried in increasing order. Where phi(m) has many divisors, its primes are taken out
one by one while the power stays 1 (Cohen, Algorithm 1.4.3). Either way the result has a
certificate: a^t = 1, and a^(t/q) != 1 for every prime q that divides t.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 2.8, Definition 2.6 and Lemma 2.31.

`solve` finds it with steps, `worked` tells them, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.derivation import Matching, SpareLine, Stage, StepLine
from itembank.kinds.modular import AboutResidue, integer_typed, matched_words, typed_modulus
from itembank.kinds.order import guidance, slips
from itembank.kinds.order.certificate import certificate
from itembank.kinds.order.solve import no_order, order_found, phi_step
from itembank.kinds.order.steps import Phi
from itembank.kinds.order.worked import WORKED
from itembank.kinds.step_by_step import StepByStep
from itembank.kinds.wording import told
from itembank.languages import Said, Telling, lead, say
from itembank.notation.tree import Math, Modulo, Number, Words
from itembank.values.answer import Absent, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "OrderModulo", "read"]


@dataclass(frozen=True, kw_only=True)
class OrderModulo(StepByStep, AboutResidue):
    """The order of `number` modulo `modulus`."""

    kind: ClassVar[str] = "order"
    signature: ClassVar[KindSignature] = KindSignature(
        name="order",
        given={"number": "integer", "modulus": "integer"},
        asks=("the value", "whether any", "the steps"),
        derived=True,
        slips=(
            "phi-for-order",
            "modulus-minus-one",
            "phi-of-prime-power",
            "phi-of-equal-factors",
            "stopped-at-minus-one",
            "returned-to-the-base",
            "not-the-least",
            "one-prime-power-only",
            "orders-multiplied",
            "common-factor-untested",
        ),
        measures=("exists", "steps", "order", "index_of_subgroup", "digits"),
    )

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"order of {self.number} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Words(("order of", Modulo(Number(self.number), self.modulus_math))),)

    def question(self, ask: str) -> Telling:
        a, m = Number(self.number), self.modulus_math
        if ask == "the steps":
            text = say(
                "The steps of finding the order of {a} modulo {m} are out of order.", a=a, m=m
            )
        elif ask == "whether any":
            text = say(
                "Decide whether {a} has an order modulo {m}: whether some power of it is 1.",
                a=a,
                m=m,
            )
        else:
            text = say(
                "Find the order of {a} modulo {m}: the least positive exponent for which its "
                "power is 1.",
                a=a,
                m=m,
            )
        return (text,)

    @property
    def phrases(self) -> Phrases:
        a, m = Number(self.number), self.modulus_math
        return Phrases(
            none=say("no order exists"),
            claim=say("True or false: {a} has an order modulo {m}.", a=a, m=m),
            entry=say("Type the order in digits."),
        )

    @cached_property
    def _phi_step(self) -> Phi:
        return phi_step(self.modulus, self.known_factors, self.statement[0])

    def solve(self) -> Solution[Value | Absent]:
        """Raises StatementError where phi(m) cannot be factored."""
        d = gcd(self.number, self.modulus)
        if d > 1:
            return no_order(self.number, self.modulus, d)
        return order_found(self.number % self.modulus, self._phi_step, self.known_factors)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        answer = solution.answer
        t = answer.value if isinstance(answer, Value) else 0
        return {
            "exists": int(t > 0),
            "steps": solution.effort,
            "order": t,
            "index_of_subgroup": self._phi_step.n // t if t else 0,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(self._slips_made(solution.answer), solution.answer)

    def _slips_made(self, answer: Value | Absent) -> Iterator[Slip]:
        if isinstance(answer, Absent):
            return slips.without_order(self.number, self._phi_step)
        return slips.of_the_order(self.number % self.modulus, answer.value, self._phi_step)

    def worked(self, solution: Solution[Value | Absent]) -> Telling:
        residue = self.least_residues(self.number) if isinstance(solution.answer, Value) else ()
        return (
            *self.conventions(),
            *residue,
            *told(solution.steps, WORKED),
            lead("Answer."),
            self.conclusion(solution.answer),
        )

    def outline(self, solution: Solution[Value | Absent]) -> tuple[StepLine, ...]:
        return guidance.outline(solution.steps) if self._is_least else ()

    def spares(
        self, solution: Solution[Value | Absent], lines: Sequence[StepLine]
    ) -> tuple[SpareLine, ...]:
        return guidance.spares(solution.steps, lines)

    def stages(self, solution: Solution[Value | Absent]) -> tuple[Stage, ...]:
        return tuple(guidance.stages(solution.steps, self.slips(solution), self.number))

    def matching(self, solution: Solution[Value | Absent]) -> Matching | None:
        return guidance.matching(solution.steps) if self._is_least else None

    @property
    def _is_least(self) -> bool:
        return 0 < self.number < self.modulus

    def conclusion(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return answer.reason
        return say(
            "The order of ${a}$ modulo {m} is {t}.",
            a=self.number,
            m=self.modulus_told,
            t=answer.value,
        )


_FORM = re.compile(r"(?:the )?(?:multiplicative )?order of (?P<number>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> OrderModulo | None:
    """The problem of "order of 7 mod 48"; None for statements of another form."""
    found = matched_words(_FORM, statements)
    if found is None:
        return None
    match, modulus = found
    number = integer_typed(match["number"], "a number", statements[0])
    return OrderModulo(number=number, **typed_modulus(modulus, statements[0]))


KINDS = (
    Kind(
        problem=OrderModulo,
        read=read,
        value="exponent",
        about="The order of a modulo m: the least exponent for which a power of a is 1, or none.",
        title=say("Powers modulo a number"),
        next_steps={
            "the value": say(
                "Compute the power with the exponent that was given: is it 1? If it is, divide the "
                "exponent by each of its primes and test again. If not, go back to φ of the "
                "modulus."
            ),
            "whether any": say(
                "Find the greatest common divisor of the base and the modulus: can a power of the "
                "base leave 1 then?"
            ),
        },
        samples=(
            "order of 7 mod 48",
            "order of 2 mod 1009",
            "the order of -3 mod 7",
            "order of 3 mod 50",
            "multiplicative order of 3^5 modulo 2^3*13",
            "order of 2 (mod 10^20 + 39)",
            "order of 6 mod 21",
            "order of 5 mod -12",
            "order of 1 mod 1",
            "order of -1 mod 2",
        ),
        certificate=certificate,
    ),
)
