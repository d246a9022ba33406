"""The decimal fraction of a/b, 0 < a < b: the length of its period and of what stands before it.

In lowest terms with b = 2^i 5^j r, r coprime to 10, max(i, j) digits stand before the period, and
its length is the order of 10 modulo r; for r = 1 the fraction ends.

Source: G. H. Hardy, E. M. Wright, An Introduction to the Theory of Numbers, 6th ed., Theorem 135.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import gcd
from typing import Any, ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.order_found import OrderFound, order_told
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, counted, lead, say
from itembank.maths.primes import phi, valuation
from itembank.notation.building import congruence, dotted, equal, number, power
from itembank.notation.tree import Math, Number, Quotient
from itembank.values.answer import Absent, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "DecimalPeriod", "DecimalPreperiod", "read"]

_LARGEST = 10**9
"""Denominators are at most so large."""


@dataclass(frozen=True)
class _Lowest(Step):
    """a/b in lowest terms."""

    name = "lowest terms"
    a: int
    b: int

    @property
    def effort(self) -> int:
        return int(gcd(self.a, self.b) > 1)


@dataclass(frozen=True)
class _TakeOut(Step):
    """b = 2^i 5^j r, in lowest terms."""

    name = "take out 2 and 5"
    b: int

    @property
    def parts(self) -> tuple[int, int, int]:
        i, j = valuation(self.b, 2), valuation(self.b, 5)
        return i, j, self.b // (2**i * 5**j)


@dataclass(frozen=True)
class _Before(Step):
    """The larger of the exponents of 2 and 5."""

    name = "digits before the period"
    i: int
    j: int


# ------------------------------------------------------------ telling


def _lowest(step: _Lowest) -> Iterator[Told]:
    d = gcd(step.a, step.b)
    if d > 1:
        yield lead("Lowest terms.")
        yield say(
            "${fraction} = {reduced}$.",
            fraction=_quotient(step.a, step.b),
            reduced=_quotient(step.a // d, step.b // d),
        )


def _quotient(a: int, b: int) -> Math:
    return Quotient(Number(a), Number(b))


def _take_out(step: _TakeOut) -> Iterator[Told]:
    i, j, r = step.parts
    yield lead("Take out 2 and 5.")
    if i == j == 0:
        yield say("{b} is coprime to 10.", b=step.b)
        return
    factors = [power(p, k) for p, k in ((2, i), (5, j)) if k]
    yield say(
        "${product}$, and {r} is coprime to 10.",
        product=equal(step.b, dotted([*factors, r])),
        r=r,
    )


def _before(step: _Before) -> Iterator[Told]:
    yield lead("Digits before the period.")
    k = max(step.i, step.j)
    if not k:
        yield say("The denominator has no factor 2 or 5, so the period begins at once.")
        return
    factors = [power(p, n) for p, n in ((2, step.i), (5, step.j)) if n]
    yield counted(
        "${least}$ is the least power of 10 that ${factors}$ divides. Multiplied by it, the "
        "fraction has no such factor left, so the period begins after {n} digit.",
        "${least}$ is the least power of 10 that ${factors}$ divides. Multiplied by it, the "
        "fraction has no such factor left, so the period begins after {n} digits.",
        k,
        least=power(10, k),
        factors=dotted(factors) if len(factors) > 1 else factors[0],
    )


def _order(step: OrderFound) -> Iterator[Told]:
    yield lead("Length of the period.")
    yield say(
        "In the division the remainders come again when a power of 10 is 1 modulo {r}, so the "
        "length of the period is the order of 10 modulo {r}.",
        r=step.m,
    )
    yield from order_told(step)


_TELLING: Tellers = {_Lowest: _lowest, _TakeOut: _take_out, _Before: _before, OrderFound: _order}

# ------------------------------------------------------------ slips


def _phi_for_order(w: "OfAFraction") -> ValueFound:
    r = w.parts[2]
    return phi(r), say(
        "If you took $φ({r})$: this power of 10 leaves 1 modulo {r}, and a smaller one may do so "
        "already.",
        r=r,
    )


def _one_less(w: "OfAFraction") -> ValueFound:
    return w.lowest - 1, say(
        "If you took one less than the denominator: there are no more remainders than that, but "
        "they may come again sooner."
    )


def _digits_before_counted(w: "OfAFraction") -> ValueFound:
    i, j, r = w.parts
    if not max(i, j):
        return None
    return max(i, j) + OrderFound(10, r).value, say(
        "If you counted the digits before the period too: the period begins after them."
    )


def _before_for_period(w: "OfAFraction") -> ValueFound:
    i, j, _r = w.parts
    if not max(i, j):
        return None
    return max(i, j), say("If you counted the digits before the period: what repeats is asked for.")


def _digits_of_denominator(w: "OfAFraction") -> ValueFound:
    return len(str(w.lowest)), say(
        "If you counted the digits of the denominator: they do not tell when a remainder comes "
        "again."
    )


_PERIOD: dict[str, Callable[..., ValueFound]] = {
    "one-less-than-the-denominator": _one_less,
    "phi-for-order": _phi_for_order,
    "before-for-period": _before_for_period,
    "digits-before-counted": _digits_before_counted,
    "digits-of-the-denominator": _digits_of_denominator,
}
"""In the order of the method."""


def _not_in_lowest_terms(w: "OfAFraction") -> ValueFound:
    return max(valuation(w.denominator, 2), valuation(w.denominator, 5)), say(
        "Is the fraction in lowest terms? What numerator and denominator share does not count."
    )


def _exponents_added(w: "OfAFraction") -> ValueFound:
    i, j, _r = w.parts
    return i + j, say(
        "If you added the exponents of 2 and 5: each factor 10 takes out one 2 and one 5 at once."
    )


def _twos_alone(w: "OfAFraction") -> ValueFound:
    return w.parts[0], say("If you counted the factors 2 alone: the factors 5 count too.")


def _fives_alone(w: "OfAFraction") -> ValueFound:
    return w.parts[1], say("If you counted the factors 5 alone: the factors 2 count too.")


def _period_for_before(w: "OfAFraction") -> ValueFound:
    return OrderFound(10, w.parts[2]).value, say(
        "If you counted the digits that repeat: those before them are asked for."
    )


_PREPERIOD: dict[str, Callable[..., ValueFound]] = {
    "not-in-lowest-terms": _not_in_lowest_terms,
    "twos-alone": _twos_alone,
    "fives-alone": _fives_alone,
    "exponents-added": _exponents_added,
    "period-for-before": _period_for_before,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class OfAFraction(Phrased):
    """What both share: numerator and denominator, 0 < numerator < denominator."""

    telling: ClassVar[Tellers] = _TELLING
    modulus: ClassVar[None] = None
    numerator: int
    denominator: int

    def check(self) -> None:
        a, b = self.numerator, self.denominator
        require(1 < b <= _LARGEST, f"a denominator from 2 to {_LARGEST}", b)
        require(0 < a < b, f"a numerator from 1 to {b - 1}", a)

    @property
    def canonical(self) -> tuple[object, ...]:
        """The numerator makes no other question once the fraction is in lowest terms."""
        return (self.kind, self.lowest, self.denominator)

    @property
    def lowest(self) -> int:
        """The denominator in lowest terms."""
        return self.denominator // gcd(self.numerator, self.denominator)

    @property
    def parts(self) -> tuple[int, int, int]:
        return _TakeOut(self.lowest).parts

    @property
    def fraction(self) -> Math:
        return _quotient(self.numerator, self.denominator)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (self.fraction,)

    @property
    def steps(self) -> tuple[Step, ...]:
        return _Lowest(self.numerator, self.denominator), _TakeOut(self.lowest)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no period"), entry=say("Type the number of digits."))

    def measures(self, solution: Solution[Any]) -> Mapping[str, int]:
        i, j, r = self.parts
        found = {"before": max(i, j), "rest": r, "lowest": self.lowest}
        return {**super().measures(solution), **found}


_MEASURES = ("exists", "value", "steps", "before", "rest", "lowest", "digits")


@dataclass(frozen=True, kw_only=True)
class DecimalPeriod(OfAFraction):
    """How many digits repeat."""

    kind: ClassVar[str] = "decimal_period"
    phrase: ClassVar[str] = "period of {numerator}/{denominator}"
    spellings: ClassVar[tuple[str, ...]] = (
        "length of the period of {numerator}/{denominator}",
        "period of the decimal fraction {numerator}/{denominator}",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _PERIOD
    signature: ClassVar[KindSignature] = about(
        "decimal_period", phrase, _PERIOD, measures=_MEASURES
    )

    def asked(self, ask: str) -> Said:
        return say(
            "Find the length of the period of ${fraction}$ as a decimal fraction.",
            fraction=self.fraction,
        )

    def solve(self) -> Solution[Value | Absent]:
        r = self.parts[2]
        if r == 1:
            reason = say("No prime but 2 and 5 divides the denominator, so the decimals end.")
            return Solution(Absent(reason), self.steps)
        found = OrderFound(10, r)
        return Solution(Value(found.value), (*self.steps, found))

    def answer_text(self, answer: Value | Absent) -> Said:
        if isinstance(answer, Absent):
            return answer.reason
        return say("The length of the period is {t}.", t=answer.value)


@dataclass(frozen=True, kw_only=True)
class DecimalPreperiod(OfAFraction):
    """How many digits stand between the point and the period."""

    kind: ClassVar[str] = "decimal_preperiod"
    phrase: ClassVar[str] = "digits before the period of {numerator}/{denominator}"
    spellings: ClassVar[tuple[str, ...]] = ("preperiod of {numerator}/{denominator}",)
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _PREPERIOD
    signature: ClassVar[KindSignature] = about(
        "decimal_preperiod", phrase, _PREPERIOD, measures=_MEASURES
    )

    def check(self) -> None:
        super().check()
        require(self.parts[2] > 1, "a fraction whose decimals do not end", self.statement[0])

    def asked(self, ask: str) -> Said:
        return say(
            "Find the number of digits between the point and the period of ${fraction}$ as a "
            "decimal fraction.",
            fraction=self.fraction,
        )

    def solve(self) -> Solution[Value]:
        i, j, _r = self.parts
        return Solution(Value(max(i, j)), (*self.steps, _Before(i, j)))

    def answer_text(self, answer: Value) -> Said:
        return say("The number of digits before the period is {n}.", n=answer.value)


read = reader(DecimalPreperiod, DecimalPeriod)


def _certificate(problem: DecimalPeriod, answer: Value | Absent) -> Telling:
    """The power of 10 that is 1 modulo the rest of the denominator."""
    if isinstance(answer, Absent):
        return
    r = problem.parts[2]
    yield lead("A power of 10.")
    yield say("${power}$.", power=congruence(power(10, answer.value), number(1), r))


KINDS = (
    Kind(
        problem=DecimalPeriod,
        read=read,
        value="count",
        about="The length of the period of a/b as a decimal fraction; none where it ends.",
        title=say("Decimal fractions"),
        next_steps={
            "the value": say(
                "Put the fraction in lowest terms, and take the factors 2 and 5 out of its "
                "denominator. What is the least power of 10 that leaves 1 modulo the rest?"
            )
        },
        samples=(
            "period of 1/7",
            "length of the period of 5/28",
            "period of 3/20",
            "period of the decimal fraction 1/31",
            "period of 4/12",
            "period of 1/99",
            "period of 22/77",
        ),
        certificate=_certificate,
    ),
    Kind(
        problem=DecimalPreperiod,
        read=read,
        value="count",
        about="How many digits stand before the period of a/b as a decimal fraction.",
        title=say("Decimal fractions"),
        next_steps={
            "the value": say(
                "Put the fraction in lowest terms. How often do 2 and 5 divide the denominator, "
                "and which power of 10 takes all of these factors out?"
            )
        },
        samples=(
            "digits before the period of 1/12",
            "preperiod of 5/28",
            "digits before the period of 1/7",
            "preperiod of 7/600",
            "digits before the period of 10/15",
        ),
    ),
)
"""What the house knows of these kinds."""
