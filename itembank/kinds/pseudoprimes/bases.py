"""The bases to which a composite n is a pseudoprime: found modulo each prime power, then combined.

a^(n - 1) = 1 (mod n) holds if and only if it holds modulo each prime power q = p^k of n. There the
exponents may be taken modulo phi(q), and the residues with a^e = 1 are those with a^g = 1 for
g = gcd(e, phi(q)): g of them. The bases 1 and -1, which tell nothing, are left out.

Source: Niven, Zuckerman & Montgomery, 5th ed., section 2.4 and Theorem 2.37.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod
from typing import ClassVar

from itembank.kinds.base import Phrases, Slip, Solution, Step, distinct_slips
from itembank.kinds.factoring import trial_told
from itembank.kinds.mistakes import SetFound, ValueFound, wrong_sets
from itembank.kinds.phrased import Phrased, about, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Told, counted, lead, say
from itembank.maths.primes import Factors, factorisation
from itembank.notation.building import (
    congruence,
    dotted,
    factored_modulus,
    listed,
    number,
    power,
)
from itembank.notation.tree import Letter
from itembank.values.answer import ResidueSet
from itembank.values.vocabulary import KindSignature

_LARGEST = 2000
"""The largest n: its bases are listed."""

_A = Letter("a")


def _local(q: int, g: int) -> tuple[int, ...]:
    """The residues modulo q with a^g = 1.

    >>> _local(13, 4)
    (1, 5, 8, 12)
    """
    return tuple(a for a in range(1, q) if pow(a, g, q) == 1)


@dataclass(frozen=True)
class _Split(Step):
    """n as a product of prime powers."""

    name = "factor"
    n: int
    factors: Factors


@dataclass(frozen=True)
class _Local(Step):
    """Modulo q = p^k: g = gcd(n - 1, phi(q)), and the residues with a^g = 1."""

    name = "one prime power"
    n: int
    q: int
    phi: int

    @property
    def g(self) -> int:
        return gcd(self.n - 1, self.phi)

    @property
    def residues(self) -> tuple[int, ...]:
        return _local(self.q, self.g)

    @property
    def effort(self) -> int:
        return 1 + self.g // 2


@dataclass(frozen=True)
class _Combine(Step):
    """Every choice of residues is one base; 1 and n - 1 are left out."""

    name = "combine"
    n: int
    numbers: tuple[int, ...]
    found: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.found)


# ------------------------------------------------------------ telling

_WRITTEN = 60
"""The most bases that are written out."""


def _split(step: _Split) -> Iterator[Told]:
    yield lead("Split the number.")
    yield from trial_told(step.n, step.factors)
    yield say(
        "${n} = {product}$. The power with the exponent ${n} - 1 = {e}$ has to be 1 modulo each "
        "prime power by itself.",
        n=step.n,
        product=factored_modulus(step.factors),
        e=step.n - 1,
    )


def _one_prime_power(step: _Local) -> Iterator[Told]:
    yield lead("Modulo {q}.", q=step.q)
    yield say(
        "$φ({q}) = {phi}$ and $gcd({e}, {phi}) = {g}$, so ${power}$ is the same as ${short}$. It "
        "holds for ${a} ≡ {residues} (mod {q})$.",
        q=step.q,
        phi=step.phi,
        e=step.n - 1,
        g=step.g,
        power=congruence(power(_A, step.n - 1), number(1), step.q),
        short=congruence(power(_A, step.g), number(1), step.q),
        a=_A,
        residues=listed(step.residues),
    )


def _combine(step: _Combine) -> Iterator[Told]:
    yield lead("Combine.")
    yield say(
        "Each choice of residues makes one base: ${product} = {total}$ in all. Without 1 and "
        "${n} - 1$ there are {left}.",
        product=dotted(step.numbers) if len(step.numbers) > 1 else number(step.numbers[0]),
        total=prod(step.numbers),
        n=step.n,
        left=len(step.found),
    )


_TELLING: Tellers = {_Split: _split, _Local: _one_prime_power, _Combine: _combine}

# ------------------------------------------------------------ slips


def _coprime_is_enough(w: "PseudoprimeBases") -> SetFound:
    n = w.number
    return [a for a in w.inner if gcd(a, n) == 1], say(
        "If you only asked for a base coprime to {n}: most of these do not pass.", n=n
    )


def _one_prime_is_enough(w: "PseudoprimeBases") -> SetFound:
    q = max(p**k for p, k in w.factors)
    return [a for a in w.inner if pow(a, w.number - 1, q) == 1], say(
        "If you worked modulo {q} alone: the power has to be 1 modulo the other prime powers too.",
        q=q,
    )


def _exponent_one_off(w: "PseudoprimeBases") -> SetFound:
    n = w.number
    return [a for a in w.inner if pow(a, n, n) == 1], say(
        "Check the exponent: it is ${n} - 1$.", n=n
    )


def _minus_one_for_one(w: "PseudoprimeBases") -> SetFound:
    n = w.number
    return [a for a in w.inner if pow(a, n - 1, n) == n - 1], say(
        "If you took the power $-1$ for 1: the condition says 1."
    )


_MISTAKES: dict[str, Callable[..., SetFound]] = {
    "exponent-one-off": _exponent_one_off,
    "one-prime-is-enough": _one_prime_is_enough,
    "minus-one-for-one": _minus_one_for_one,
    "coprime-is-enough": _coprime_is_enough,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class PseudoprimeBases(Phrased):
    """The bases from 2 to n - 2 to which an odd composite n is a pseudoprime."""

    kind: ClassVar[str] = "pseudoprime_bases"
    phrase: ClassVar[str] = "bases to which {number} is a pseudoprime"
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = {}
    signature: ClassVar[KindSignature] = about(
        "pseudoprime_bases",
        phrase,
        _MISTAKES,
        asks=("all solutions", "an example"),
        measures=("solutions", "steps", "factors", "digits"),
    )
    number: int

    def check(self) -> None:
        n = self.number
        composite = 9 <= n <= _LARGEST and n % 2 == 1 and factorisation(n) != ((n, 1),)
        require(composite, f"an odd composite number up to {_LARGEST}", n)

    @property
    def modulus(self) -> int:
        return self.number

    @cached_property
    def factors(self) -> Factors:
        return factorisation(self.number)

    @property
    def inner(self) -> range:
        """The bases that tell something."""
        return range(2, self.number - 1)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            tick=say("Tick every such base. If there is none, tick only “none”."), none=say("none")
        )

    def asked(self, ask: str) -> tuple[Said, ...]:
        definition = say(
            "A pseudoprime to the base $a$ is a composite number $n$ that divides $a^(n - 1) - 1$."
        )
        n = self.number
        if ask == "an example":
            return say(
                "Find a base from 2 to {last} to which {n} is a pseudoprime.", last=n - 2, n=n
            ), definition
        return say(
            "Find **all** bases from 2 to {last} to which {n} is a pseudoprime.", last=n - 2, n=n
        ), definition

    def solve(self) -> Solution[ResidueSet]:
        n = self.number
        steps = [_Local(n, p**k, p ** (k - 1) * (p - 1)) for p, k in self.factors]
        found = tuple(a for a in self.inner if all(a % step.q in step.residues for step in steps))
        sizes = tuple(len(step.residues) for step in steps)
        return Solution(
            ResidueSet.of(n, [(a, n) for a in found]),
            (_Split(n, self.factors), *steps, _Combine(n, sizes, found)),
        )

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {**super().measures(solution), "factors": len(self.factors)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_sets(_MISTAKES, self), solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        if not answer:
            return say("There is no such base.")
        if answer.count > _WRITTEN:
            return counted("There is {n} base.", "There are {n} bases.", answer.count)
        return counted(
            "The base is ${bases}$.",
            "The bases are ${bases}$: {n} of them.",
            answer.count,
            bases=listed(answer.residues()),
        )
