"""The exponent of a prime in n!, and the zeros at the end of n! in decimal notation.

Method taught: n is divided by p again and again, and the quotients are added (Legendre); the
zeros are as many as the factors 5, of which there are fewer than factors 2.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
Theorem 4.2.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.chains import division
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, lead, say, shown
from itembank.maths.primes import is_prime
from itembank.notation.building import added, equal
from itembank.notation.tree import Factorial, Math, Number
from itembank.values.answer import Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "PrimeInFactorial", "TrailingZeros", "read"]

_LARGEST_PRIME = 10**12


def _quotients(n: int, p: int) -> tuple[int, ...]:
    """n // p, n // p^2, ... while they are not 0.

    >>> _quotients(100, 5)
    (20, 4)
    """
    found = []
    while n >= p:
        n //= p
        found.append(n)
    return tuple(found)


@dataclass(frozen=True)
class _FactorsFive(Step):
    """A zero is a factor 2 with a factor 5."""

    name = "what makes a zero"

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class _DivideAgain(Step):
    """n divided by p, the quotient again, and so on."""

    name = "divide again and again"
    n: int
    p: int

    @property
    def effort(self) -> int:
        return 1 + len(_quotients(self.n, self.p))


def _factors_five(_step: _FactorsFive) -> Iterator[Told]:
    yield lead("What makes a zero.")
    yield say(
        "Each zero at the end is a factor 10, made of a 2 and a 5. Of the primes 2 and 5 the "
        "larger one divides less often, so the factors 5 are counted."
    )


def _divide_again(step: _DivideAgain) -> Iterator[Told]:
    n, p, found = step.n, step.p, _quotients(step.n, step.p)
    yield lead("Divide again and again.")
    if not found:
        yield say("No number from 1 to {n} is a multiple of {p}.", n=n, p=p)
        return
    yield say(
        "Among 1, 2, ..., {n} the multiples of {p} give one factor {p} each, those of ${square}$ a "
        "second one, and so on; there are as many as the quotients say:",
        n=n,
        p=p,
        square=p * p,
    )
    yield shown(*(division(m, p) for m in (n, *found[:-1])))
    if len(found) > 1:
        yield say("${sum}$.", sum=equal(added(found), sum(found)))


_TELLING: Tellers = {_FactorsFive: _factors_five, _DivideAgain: _divide_again}

# ------------------------------------------------------------ slips


def _first_quotient_alone(w: "InFactorial") -> ValueFound:
    found = _quotients(w.number, w.p)
    return (found[0] if found else 0), say(
        "If you counted the multiples of {p} alone: some of them have the factor {p} twice.", p=w.p
    )


def _last_quotient_left_out(w: "InFactorial") -> ValueFound:
    found = _quotients(w.number, w.p)
    if len(found) < 3:
        return None
    return sum(found[:-1]), say(
        "Is the last quotient below {p}? A quotient of 1 or more is divided or counted too.", p=w.p
    )


def _real_quotient(w: "InFactorial") -> ValueFound:
    return (w.number - 1) // (w.p - 1), say(
        "If you divided by ${p} - 1$: that bounds the exponent, but the remainders of the "
        "divisions "
        "are lost.",
        p=w.p,
    )


def _powers_counted(w: "InFactorial") -> ValueFound:
    return len(_quotients(w.number, w.p)), say(
        "If you counted the powers of {p} up to {n}: every multiple of them counts.",
        p=w.p,
        n=w.number,
    )


def _rounded_up(w: "InFactorial") -> ValueFound:
    total, n = 0, w.number
    while n > 1:
        n = -(-n // w.p)
        total += n
        if n == 1:
            break
    return total, say("Check how the quotients are rounded: only whole multiples count.")


_PRIME: dict[str, Callable[..., ValueFound]] = {
    "powers-counted": _powers_counted,
    "first-quotient-alone": _first_quotient_alone,
    "quotients-rounded-up": _rounded_up,
    "last-quotient-left-out": _last_quotient_left_out,
    "remainders-forgotten": _real_quotient,
}
"""In the order of the method."""


def _tens_counted(w: "TrailingZeros") -> ValueFound:
    return sum(_quotients(w.number, 10)), say(
        "If you divided by 10: a zero also comes from a 2 and a 5 in different factors."
    )


def _twos_counted(w: "TrailingZeros") -> ValueFound:
    return sum(_quotients(w.number, 2)), say(
        "If you counted the factors 2: each zero takes a factor 5 as well."
    )


def _both_counted(w: "TrailingZeros") -> ValueFound:
    return sum(_quotients(w.number, 2)) + sum(_quotients(w.number, 5)), say(
        "If you added the factors 2 and 5: a zero takes one of each."
    )


_ZEROS: dict[str, Callable[..., ValueFound]] = {
    "tens-counted": _tens_counted,
    "twos-counted": _twos_counted,
    "both-counted": _both_counted,
    **_PRIME,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds


@dataclass(frozen=True, kw_only=True)
class InFactorial(Phrased):
    """What both share: the number n >= 1 of n!."""

    telling: ClassVar[Tellers] = _TELLING
    modulus: ClassVar[None] = None
    number: int

    @property
    def p(self) -> int:
        """The prime that is counted."""
        raise NotImplementedError

    def check(self) -> None:
        require(self.number >= 1, "a number of at least 1", self.number)

    @property
    def factorial(self) -> Math:
        return Factorial(Number(self.number))

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no number"), entry=say("Type the number in digits; if there is none, type 0.")
        )

    @property
    def first_steps(self) -> tuple[Step, ...]:
        return ()

    def solve(self) -> Solution[Value]:
        found = sum(_quotients(self.number, self.p))
        return Solution(Value(found), (*self.first_steps, _DivideAgain(self.number, self.p)))


@dataclass(frozen=True, kw_only=True)
class PrimeInFactorial(InFactorial):
    """The largest k with prime^k dividing number!."""

    kind: ClassVar[str] = "prime_in_factorial"
    phrase: ClassVar[str] = "exponent of {prime} in {number}!"
    spellings: ClassVar[tuple[str, ...]] = (
        "power of {prime} in {number}!",
        "exponent of the prime {prime} in {number}!",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _PRIME
    signature: ClassVar[KindSignature] = about("prime_in_factorial", phrase, _PRIME)
    prime: int

    @property
    def p(self) -> int:
        return self.prime

    def check(self) -> None:
        super().check()
        p = self.prime
        require(p < _LARGEST_PRIME and is_prime(p), f"a prime below {_LARGEST_PRIME}", p)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no number"), entry=say("Type the exponent in digits."))

    def asked(self, ask: str) -> Said:
        return say(
            "Find how often the prime {p} divides ${factorial}$: the largest exponent of a power "
            "of {p} that divides it.",
            p=self.prime,
            factorial=self.factorial,
        )

    def answer_text(self, answer: Value) -> Said:
        return say("The exponent is {k}.", k=answer.value)


@dataclass(frozen=True, kw_only=True)
class TrailingZeros(InFactorial):
    """How many zeros end number!."""

    kind: ClassVar[str] = "trailing_zeros"
    phrase: ClassVar[str] = "zeros at the end of {number}!"
    spellings: ClassVar[tuple[str, ...]] = (
        "trailing zeros of {number}!",
        "number of trailing zeros of {number}!",
        "number of zeros at the end of {number}!",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _ZEROS
    signature: ClassVar[KindSignature] = about("trailing_zeros", phrase, _ZEROS)

    @property
    def p(self) -> int:
        return 5

    @property
    def first_steps(self) -> tuple[Step, ...]:
        return (_FactorsFive(),)

    def asked(self, ask: str) -> Said:
        return say(
            "Find the number of zeros at the end of ${factorial}$, written in decimal notation.",
            factorial=self.factorial,
        )

    def answer_text(self, answer: Value) -> Said:
        return say("The number of zeros is {k}.", k=answer.value)


read = reader(PrimeInFactorial, TrailingZeros)


def _by_digits(problem: InFactorial, answer: Value) -> Telling:
    """(n - s)/(p - 1), s the sum of the digits of n in base p."""
    n, p = problem.number, problem.p
    s, rest = 0, n
    while rest:
        s, rest = s + rest % p, rest // p
    yield lead("By digits.")
    yield say(
        "The digits of {n} in base {p} have the sum {s}, and $({n} - {s}) = {k} * ({p} - 1)$.",
        n=n,
        p=p,
        s=s,
        k=answer.value,
    )


_NEXT = {
    "the value": say(
        "Write down the quotients of the divisions one below the other: is each the whole quotient "
        "of the one above it, and are all of them added?"
    )
}

KINDS = (
    Kind(
        problem=PrimeInFactorial,
        read=read,
        value="exponent",
        about="The exponent of a prime in n!, by dividing again and again.",
        title=say("Factorials"),
        next_steps=_NEXT,
        samples=(
            "exponent of 3 in 100!",
            "power of 7 in 1000!",
            "exponent of the prime 2 in 10!",
            "exponent of 11 in 10!",
            "exponent of 5 in 10^30!",
            "exponent of 13 in 13!",
        ),
        certificate=_by_digits,
    ),
    Kind(
        problem=TrailingZeros,
        read=read,
        value="count",
        about="How many zeros end n! in decimal notation.",
        title=say("Factorials"),
        next_steps=_NEXT,
        samples=(
            "zeros at the end of 100!",
            "trailing zeros of 1000!",
            "number of trailing zeros of 25!",
            "zeros at the end of 4!",
            "trailing zeros of 10^9!",
        ),
        certificate=_by_digits,
    ),
)
"""What the house knows of these kinds."""
