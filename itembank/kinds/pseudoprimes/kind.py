"""Pseudoprimes and strong pseudoprimes to a base, Carmichael numbers by Korselt's criterion.

A composite n is a pseudoprime to the base a if a^(n - 1) = 1 (mod n). With n - 1 = 2^s d, d odd,
it is a strong one if a^d is 1, or one of a^d, a^(2d), ..., a^(2^(s - 1) d) is -1. It is a
Carmichael number if it is a pseudoprime to every base coprime to n: if it has no square factor,
and p - 1 divides n - 1 for each of its primes.

Sources: Niven, Zuckerman & Montgomery, 5th ed., section 2.4; A. Korselt, L'intermediaire des
mathematiciens 6 (1899).
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.pseudoprimes.bases import PseudoprimeBases
from itembank.kinds.pseudoprimes.slips import CARMICHAEL, FERMAT, STRONG
from itembank.kinds.pseudoprimes.steps import (
    Compose,
    Korselt,
    RaiseToTest,
    SquareToTest,
    halved,
    square_free,
)
from itembank.kinds.pseudoprimes.telling import TELLING
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, lead, say
from itembank.maths.primes import Factors, factorisation
from itembank.notation.building import (
    congruence,
    difference,
    number,
    power,
)
from itembank.notation.tree import Letter, Number, Power
from itembank.values.answer import Truth
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "CarmichaelTest", "PseudoprimeTest", "StrongPseudoprimeTest", "read"]

_LARGEST = 10**12
"""Numbers up to here are tested."""


@dataclass(frozen=True, kw_only=True)
class OfANumber(Phrased):
    """What the three share: the number n, and that it has to be composite."""

    telling: ClassVar[Tellers] = TELLING
    number: int

    @property
    def modulus(self) -> int:
        return self.number

    @cached_property
    def factors(self) -> Factors:
        return factorisation(self.number)

    @property
    def is_prime(self) -> bool:
        return Compose(self.number, self.factors).is_prime

    @property
    def passes(self) -> bool:
        """Whether the test, or the condition on the primes, is passed."""
        raise NotImplementedError

    @property
    def test(self) -> Step:
        raise NotImplementedError

    def check(self) -> None:
        n = self.number
        require(3 <= n <= _LARGEST and n % 2 == 1, f"an odd number from 3 to {_LARGEST}", n)

    def solve(self) -> Solution[Truth]:
        first = Compose(self.number, self.factors)
        steps = (first,) if first.is_prime else (first, self.test)
        return Solution(Truth(self.passes and not first.is_prime), steps)


@dataclass(frozen=True, kw_only=True)
class WithBase(OfANumber):
    """And a base."""

    base: int

    def check(self) -> None:
        super().check()
        require(1 < self.base < self.number, f"a base from 2 to {self.number - 1}", self.base)


_MEASURES = ("holds", "steps", "digits")


@dataclass(frozen=True, kw_only=True)
class PseudoprimeTest(WithBase):
    """Whether a composite n has base^(n - 1) = 1 modulo n."""

    kind: ClassVar[str] = "pseudoprime_test"
    phrase: ClassVar[str] = "is {number} a pseudoprime to the base {base}"
    spellings: ClassVar[tuple[str, ...]] = (
        "is {number} a pseudoprime to base {base}",
        "is {number} a fermat pseudoprime to the base {base}",
    )
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = FERMAT
    signature: ClassVar[KindSignature] = about(
        "pseudoprime_test", phrase, FERMAT, asks=("whether any",), measures=_MEASURES
    )

    @property
    def passes(self) -> bool:
        return pow(self.base, self.number - 1, self.number) == 1

    @property
    def test(self) -> Step:
        return RaiseToTest(self.base, self.number)

    def asked(self, ask: str) -> Said:
        return say(
            "A pseudoprime to the base {a} is a composite number $n$ that divides ${power} - 1$.",
            a=self.base,
            power=_to_the_power_before(self.base),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no"),
            claim=say(
                "True or false: {n} is a pseudoprime to the base {a}.", n=self.number, a=self.base
            ),
        )

    def answer_text(self, answer: Truth) -> Said:
        if answer.holds:
            return say("{n} is a pseudoprime to the base {a}.", n=self.number, a=self.base)
        return say("{n} is not a pseudoprime to the base {a}.", n=self.number, a=self.base)


@dataclass(frozen=True, kw_only=True)
class StrongPseudoprimeTest(WithBase):
    """Whether a composite n passes the strong test to the base."""

    kind: ClassVar[str] = "strong_pseudoprime_test"
    phrase: ClassVar[str] = "is {number} a strong pseudoprime to the base {base}"
    spellings: ClassVar[tuple[str, ...]] = ("is {number} a strong pseudoprime to base {base}",)
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = STRONG
    signature: ClassVar[KindSignature] = about(
        "strong_pseudoprime_test",
        phrase,
        STRONG,
        asks=("whether any",),
        measures=("holds", "fermat", "steps", "digits"),
    )

    def measures(self, solution: Solution[Truth]) -> dict[str, int]:
        """`fermat`: whether the power with the exponent n - 1 is 1."""
        fermat = int(pow(self.base, self.number - 1, self.number) == 1)
        return {**super().measures(solution), "fermat": fermat}

    @property
    def halved(self) -> tuple[int, int]:
        return halved(self.number)

    @property
    def test(self) -> SquareToTest:
        return SquareToTest(self.base, self.number, *self.halved)

    @property
    def passes(self) -> bool:
        values = self.test.values
        return values[0] == 1 or -1 in values

    def asked(self, ask: str) -> tuple[Said, ...]:
        return (
            say(
                "Let $n$ be odd and composite, and $d$ what is left of $n - 1$ when every factor 2 "
                "is taken out."
            ),
            say(
                "Then $n$ is a strong pseudoprime to the base {a} if ${a}^d$ is congruent to 1 "
                "modulo $n$ or if one of the powers of {a} with the exponents $d, 2d, 4d, ...$ "
                "below $n - 1$ is congruent to $-1$.",
                a=self.base,
            ),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no"),
            claim=say(
                "True or false: {n} is a strong pseudoprime to the base {a}.",
                n=self.number,
                a=self.base,
            ),
        )

    def answer_text(self, answer: Truth) -> Said:
        if answer.holds:
            return say("{n} is a strong pseudoprime to the base {a}.", n=self.number, a=self.base)
        return say("{n} is not a strong pseudoprime to the base {a}.", n=self.number, a=self.base)


@dataclass(frozen=True, kw_only=True)
class CarmichaelTest(OfANumber):
    """Whether a composite n is a pseudoprime to every base coprime to it."""

    kind: ClassVar[str] = "carmichael_test"
    phrase: ClassVar[str] = "is {number} a carmichael number"
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = CARMICHAEL
    signature: ClassVar[KindSignature] = about(
        "carmichael_test", phrase, CARMICHAEL, asks=("whether any",), measures=_MEASURES
    )

    @property
    def passes(self) -> bool:
        return square_free(self.factors) and all(
            (self.number - 1) % (p - 1) == 0 for p, _k in self.factors
        )

    @property
    def test(self) -> Step:
        return Korselt(self.number, self.factors)

    def asked(self, ask: str) -> Said:
        return say(
            "A Carmichael number is a composite number $n$ with $a^(n - 1) ≡ 1 (mod n)$ for every "
            "$a$ that is coprime to $n$."
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no"),
            claim=say("True or false: {n} is a Carmichael number.", n=self.number),
        )

    def answer_text(self, answer: Truth) -> Said:
        if answer.holds:
            return say("{n} is a Carmichael number.", n=self.number)
        return say("{n} is not a Carmichael number.", n=self.number)


def _to_the_power_before(a: int) -> Power:
    """a^(n - 1)."""
    return Power(Number(a), difference(Letter("n"), 1))


read = reader(PseudoprimeBases, PseudoprimeTest, StrongPseudoprimeTest, CarmichaelTest)


def _a_witness(problem: CarmichaelTest, answer: Truth) -> Telling:
    """Of a composite number that is none, a base that fails."""
    n = problem.number
    if answer.holds or problem.is_prime or n > 10**7:
        return
    found = next(a for a in range(2, n) if gcd(a, n) == 1 and pow(a, n - 1, n) != 1)
    yield lead("A base that fails.")
    yield say("${power}$.", power=congruence(power(found, n - 1), number(pow(found, n - 1, n)), n))


KINDS = (
    Kind(
        problem=PseudoprimeTest,
        read=read,
        about="Whether n is a pseudoprime to the base a: composite, with a^(n - 1) = 1.",
        title=say("A test for primes"),
        next_steps={
            "whether any": say(
                "Divide the number by small primes, and work out the power modulo the number: "
                "which of the two conditions is shown by that?"
            )
        },
        samples=(
            "is 341 a pseudoprime to the base 2",
            "is 323 a pseudoprime to base 2",
            "is 91 a pseudoprime to the base 3",
            "is 7 a pseudoprime to the base 2",
            "is 561 a fermat pseudoprime to the base 2",
            "is 15 a pseudoprime to the base 3",
            "is 85 a pseudoprime to the base 4",
        ),
    ),
    Kind(
        problem=StrongPseudoprimeTest,
        read=read,
        about="Whether n is a strong pseudoprime to the base a.",
        title=say("A test for primes"),
        next_steps={
            "whether any": say(
                "Take out of the number one less every factor 2, and square from there: is the "
                "first power 1, or does $-1$ come before 1?"
            )
        },
        samples=(
            "is 221 a strong pseudoprime to the base 174",
            "is 221 a strong pseudoprime to the base 137",
            "is 341 a strong pseudoprime to base 2",
            "is 2047 a strong pseudoprime to the base 2",
            "is 7 a strong pseudoprime to the base 3",
            "is 15 a strong pseudoprime to the base 3",
        ),
    ),
    Kind(
        problem=CarmichaelTest,
        read=read,
        about="Whether n is a Carmichael number, by Korselt's criterion.",
        title=say("A test for primes"),
        next_steps={
            "whether any": say(
                "Factor the number. Does a prime divide it twice? For each of its primes, does the "
                "prime less 1 divide the number less 1?"
            )
        },
        samples=(
            "is 561 a carmichael number",
            "is 1105 a Carmichael number",
            "is 341 a carmichael number",
            "is 7 a carmichael number",
            "is 6525 a carmichael number",
            "is 41041 a carmichael number",
        ),
        certificate=_a_witness,
    ),
    Kind(
        problem=PseudoprimeBases,
        read=read,
        about="The bases from 2 to n - 2 to which n is a pseudoprime: all of them, or one.",
        title=say("A test for primes"),
        next_steps={
            ask: say(
                "Work modulo each prime power of the number by itself: for which residues is the "
                "power 1 there? Then combine."
            )
            for ask in ("all solutions", "an example")
        },
        samples=(
            "bases to which 15 is a pseudoprime",
            "bases to which 91 is a pseudoprime",
            "bases to which 25 is a pseudoprime",
            "bases to which 65 is a pseudoprime",
            "bases to which 9 is a pseudoprime",
        ),
    ),
)
"""What the house knows of these kinds."""
