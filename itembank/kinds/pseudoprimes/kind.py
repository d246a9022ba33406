"""Pseudoprimes and strong pseudoprimes to a base, Carmichael numbers by Korselt's criterion.

A composite n is a pseudoprime to the base a if a^(n - 1) = 1 (mod n). With n - 1 = 2^s d, d odd,
it is a strong one if a^d is 1, or one of a^d, a^(2d), ..., a^(2^(s - 1) d) is -1. It is a
Carmichael number if it is a pseudoprime to every base coprime to n: if it has no square factor,
and p - 1 divides n - 1 for each of its primes.

Sources: Niven, Zuckerman & Montgomery, 5th ed., section 2.4; A. Korselt, L'intermediaire des
mathematiciens 6 (1899).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.chains import division
from itembank.kinds.factoring import trial_told
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.powering import as_congruence, chain_to_nearest, joined, power_told
from itembank.kinds.pseudoprimes.bases import PseudoprimeBases
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Telling, Told, grid, lead, say, shown
from itembank.maths.primes import Factors, factorisation
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import (
    congruence,
    difference,
    dotted,
    equal,
    factored_modulus,
    number,
    power,
)
from itembank.notation.tree import Letter, Math, Number, Power
from itembank.values.answer import Truth
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "CarmichaelTest", "PseudoprimeTest", "StrongPseudoprimeTest", "read"]

LARGEST = 10**12
"""Numbers up to here are tested."""

# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class Compose(Step):
    """The factorisation of n."""

    name = "factor"
    n: int
    factors: Factors

    @property
    def is_prime(self) -> bool:
        return self.factors == ((self.n, 1),)


@dataclass(frozen=True)
class RaiseToTest(Step):
    """a^(n - 1) modulo n."""

    name = "raise to the power"
    a: int
    n: int

    @property
    def effort(self) -> int:
        return self.n.bit_length()


@dataclass(frozen=True)
class SquareToTest(Step):
    """n - 1 = 2^s d; a^d, squared s - 1 times: residues nearest to 0."""

    name = "square again and again"
    a: int
    n: int
    s: int
    d: int

    @property
    def values(self) -> tuple[int, ...]:
        return tuple(
            nearest_residue(pow(self.a, self.d << i, self.n), self.n) for i in range(self.s)
        )

    @property
    def effort(self) -> int:
        return self.n.bit_length()


@dataclass(frozen=True)
class Korselt(Step):
    """For each prime p of n whether p - 1 divides n - 1."""

    name = "test each prime"
    n: int
    factors: Factors

    @property
    def effort(self) -> int:
        return len(self.factors)


def square_free(factors: Factors) -> bool:
    return all(k == 1 for _p, k in factors)


def halved(n: int) -> tuple[int, int]:
    """s and d with n - 1 = 2^s d, d odd; n odd, above 1."""
    d, s = n - 1, 0
    while d % 2 == 0:
        d, s = d // 2, s + 1
    return s, d


# ------------------------------------------------------------ telling


def compose(step: Compose) -> Iterator[Told]:
    yield lead("Is it composite?")
    if step.is_prime:
        yield say("{n} is prime.", n=step.n)
        return
    yield from trial_told(step.n, step.factors)
    yield say("${n} = {product}$ is composite.", n=step.n, product=factored_modulus(step.factors))


def raise_to_test(step: RaiseToTest) -> Iterator[Told]:
    yield lead("The power.")
    if (d := gcd(step.a, step.n)) > 1:
        yield say(
            "$gcd({a}, {n}) = {d}$ divides every power of {a}, so none of them is 1 modulo {n}.",
            a=step.a,
            n=step.n,
            d=d,
        )
        return
    yield from power_told(step.a, step.n - 1, step.n, least=False)
    if pow(step.a, step.n - 1, step.n) != 1:
        yield say("This is not 1.")


def square_to_test(step: SquareToTest) -> Iterator[Told]:
    a, n, s, d = step.a, step.n, step.s, step.d
    yield lead("Halve the exponent.")
    yield say("${m} = {product}$.", m=n - 1, product=dotted((power(2, s), d)))
    yield lead("The first power.")
    yield from power_told(a, d, n, least=False)
    if step.values[0] in (1, -1):
        return
    if s == 1:
        yield say("This is neither 1 nor $-1$, and half of ${n} - 1$ is odd.", n=n)
        return
    told = step.values[: step.values.index(-1) + 1] if -1 in step.values else step.values
    if len(told) > 1:
        yield lead("Its squares.")
        yield shown(
            *(squared(power(a, d << i), before, n) for i, before in enumerate(told[:-1], 1))
        )
    if -1 not in told:
        yield say("The first power is not 1, and none of them is $-1$.")


def squared(left: Math, before: int, n: int) -> Math:
    """a^2d ≡ before^2 = its square ≡ the residue nearest to 0."""
    chain = chain_to_nearest(power(before, 2), before**2, n)
    return as_congruence(joined(left, chain), n)


def korselt(step: Korselt) -> Iterator[Told]:
    n = step.n
    yield lead("Korselt's criterion.")
    if not square_free(step.factors):
        p = next(p for p, k in step.factors if k > 1)
        yield say("The square of {p} divides {n}.", p=p, n=n)
        return
    yield say(
        "No square of a prime divides {n}. For each prime $p$ that divides it, $p - 1$ has to "
        "divide ${n} - 1 = {m}$:",
        n=n,
        m=n - 1,
    )
    yield grid(
        (say("prime"), say("one less"), say("division")),
        [(p, equal(difference(p, 1), p - 1), division(n - 1, p - 1)) for p, _k in step.factors],
    )


TELLING: Tellers = {
    Compose: compose,
    RaiseToTest: raise_to_test,
    SquareToTest: square_to_test,
    Korselt: korselt,
}

# ------------------------------------------------------------ slips


def passed_for_prime(w: "OfANumber") -> ValueFound:
    return 0, say(
        "If you took {n} for a prime because it passes the test: there are composite numbers that "
        "pass it. Divide {n} by small primes.",
        n=w.number,
    )


def composite_is_enough(w: "OfANumber") -> ValueFound:
    if w.is_prime:
        return None
    return 1, say(
        "If you only saw that {n} is composite: most composite numbers fail the test.", n=w.number
    )


def prime_that_passes(w: "OfANumber") -> ValueFound:
    if not w.is_prime:
        return None
    return 1, say(
        "If you only worked out the test: primes pass it too, and only composite numbers count."
    )


def minus_one_for_one(w: "PseudoprimeTest") -> ValueFound:
    if pow(w.base, w.number - 1, w.number) != w.number - 1:
        return None
    return 1, say("If you took the power $-1$ for 1: the condition says 1.")


def exponent_one_off(w: "PseudoprimeTest") -> ValueFound:
    n, a = w.number, w.base
    if (pow(a, n, n) == 1) == w.passes:
        return None
    return int(not w.passes), say("Check the exponent: it is ${n} - 1$.", n=n)


FERMAT: dict[str, Callable[..., ValueFound]] = {
    "passed-for-prime": passed_for_prime,
    "exponent-one-off": exponent_one_off,
    "minus-one-for-one": minus_one_for_one,
    "prime-that-passes": prime_that_passes,
    "composite-is-enough": composite_is_enough,
}
"""In the order of the method."""


def fermat_for_strong(w: "StrongPseudoprimeTest") -> ValueFound:
    if w.passes or pow(w.base, w.number - 1, w.number) != 1:
        return None
    return 1, say(
        "If you found that the power with the exponent ${n} - 1$ is 1: the strong test also asks "
        "what is squared on the way to it.",
        n=w.number,
    )


def minus_one_passed_over(w: "StrongPseudoprimeTest") -> ValueFound:
    if not w.passes or pow(w.base, w.halved[1], w.number) == 1:
        return None
    return 0, say("If you only looked for 1: one of the powers may also be $-1$.")


STRONG: dict[str, Callable[..., ValueFound]] = {
    "passed-for-prime": passed_for_prime,
    "minus-one-passed-over": minus_one_passed_over,
    "fermat-for-strong": fermat_for_strong,
    "prime-that-passes": prime_that_passes,
    "composite-is-enough": composite_is_enough,
}
"""In the order of the method."""


def some_primes_tested(w: "CarmichaelTest") -> ValueFound:
    n = w.number
    if w.is_prime or not any((n - 1) % (p - 1) == 0 for p, _k in w.factors):
        return None
    return 1, say("If you tested some of the primes: each of them has to meet the condition.")


def square_passed_over(w: "CarmichaelTest") -> ValueFound:
    if square_free(w.factors):
        return None
    return 1, say("Does the square of a prime divide {n}? Then it is not one.", n=w.number)


def primes_divided_into_number(w: "CarmichaelTest") -> ValueFound:
    n = w.number
    if all(n % (p - 1) == 0 for p, _k in w.factors) == w.passes:
        return None
    return int(not w.passes), say(
        "Check what is divided: not {n}, but the number one less.", n=w.number
    )


CARMICHAEL: dict[str, Callable[..., ValueFound]] = {
    "square-passed-over": square_passed_over,
    "number-for-one-less": primes_divided_into_number,
    "some-primes-tested": some_primes_tested,
    "prime-that-passes": prime_that_passes,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds


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
        require(3 <= n <= LARGEST and n % 2 == 1, f"an odd number from 3 to {LARGEST}", n)

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


MEASURES = ("holds", "steps", "digits")


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
        "pseudoprime_test", phrase, FERMAT, asks=("whether any",), measures=MEASURES
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
            power=to_the_power_before(self.base),
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
        "carmichael_test", phrase, CARMICHAEL, asks=("whether any",), measures=MEASURES
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


def to_the_power_before(a: int) -> Power:
    """a^(n - 1)."""
    return Power(Number(a), difference(Letter("n"), 1))


read = reader(PseudoprimeBases, PseudoprimeTest, StrongPseudoprimeTest, CarmichaelTest)


def a_witness(problem: CarmichaelTest, answer: Truth) -> Telling:
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
        certificate=a_witness,
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
