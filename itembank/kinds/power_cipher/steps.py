"""The steps of ciphers that raise to a power, and how they are told.

Notation: e the exponent that encrypts, d the one that decrypts; p, q primes.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.chains import calculated, modulo
from itembank.kinds.inverse.kind import InverseModulo
from itembank.kinds.inverse.telling import TELLING as OF_INVERSES
from itembank.kinds.powering import power_told
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers, told
from itembank.languages import BREAK, Told, lead, say
from itembank.notation.building import added, difference, dotted, equal, polynomial
from itembank.notation.tree import Group, Letter, Number


@dataclass(frozen=True)
class Raise(Step):
    """x^e modulo m."""

    name = "raise to the power"
    x: int
    e: int
    m: int

    @property
    def effort(self) -> int:
        return self.e.bit_length()


@dataclass(frozen=True)
class Period(Step):
    """Exponents count modulo the product of the p - 1."""

    name = "what exponents count modulo"
    primes: tuple[int, ...]

    @property
    def phi(self) -> int:
        found = 1
        for p in self.primes:
            found *= p - 1
        return found


@dataclass(frozen=True)
class Exponent(Step):
    """The inverse of e modulo `phi`, by the kind of inverses."""

    name = "the exponent that decrypts"
    e: int
    phi: int

    @property
    def solved(self) -> tuple[InverseModulo, Solution[Any]]:
        problem = InverseModulo(number=self.e, modulus=self.phi)
        return problem, problem.solve()

    @property
    def effort(self) -> int:
        return self.solved[1].effort


@dataclass(frozen=True)
class OnePart(Step):
    """x modulo p: the residue of y to an exponent d with de = 1 (mod p - 1)."""

    name = "modulo one prime"
    y: int
    e: int
    p: int

    @property
    def d(self) -> int:
        return pow(self.e, -1, self.p - 1) if self.p > 2 else 1

    @property
    def value(self) -> int:
        return pow(self.y, self.d, self.p)

    @property
    def effort(self) -> int:
        return 1 + self.d.bit_length()


@dataclass(frozen=True)
class Join(Step):
    """x = u (mod p) and x = v (mod q)."""

    name = "put the two parts together"
    u: int
    p: int
    v: int
    q: int

    @property
    def t(self) -> int:
        return (self.v - self.u) * pow(self.p, -1, self.q) % self.q

    @property
    def x(self) -> int:
        return self.u + self.p * self.t


# ------------------------------------------------------------ telling


def _raised(step: Raise) -> Iterator[Told]:
    yield lead("Raise to the power.")
    yield from power_told(step.x, step.e, step.m)


def _period(step: Period) -> Iterator[Told]:
    yield lead("What exponents count modulo.")
    if len(step.primes) == 1:
        (p,) = step.primes
        yield say(
            "By Fermat's theorem exponents that are congruent modulo ${p} - 1 = {phi}$ give "
            "congruent powers, so the exponent $d$ undoes the exponent $e$ where "
            "$ed ≡ 1 (mod {phi})$; modulo a prime there is a primitive root, so nowhere else.",
            p=p,
            phi=step.phi,
        )
        return
    p, q = step.primes
    yield say(
        "${n} = {p} * {q}$, and ${brackets} = {phi}$.",
        n=p * q,
        p=p,
        q=q,
        brackets=dotted((Group(difference(p, 1)), Group(difference(q, 1)))),
        phi=step.phi,
    )


def _exponent(step: Exponent) -> Iterator[Told]:
    problem, solution = step.solved
    yield lead("The exponent that decrypts.")
    yield say("The inverse of {e} modulo {phi} is wanted.", e=step.e, phi=step.phi)
    yield from told(solution.steps, OF_INVERSES, problem)


def _one_part(step: OnePart) -> Iterator[Told]:
    y, p, d = step.y, step.p, step.d
    yield lead("Modulo {p}.", p=p)
    if y >= p:
        yield say("${y} ≡ {r} (mod {p})$.", y=y, r=y % p, p=p)
    if p > 2 and y % p:
        yield say(
            "The exponent that decrypts here is {d}: ${product}$.",
            d=d,
            product=modulo([calculated(dotted((step.e, d)), step.e * d, p - 1)], Number(p - 1)),
        )
    if y % p:
        yield from power_told(y % p, d, p)
    yield BREAK
    yield say("So $x ≡ {value} (mod {p})$.", value=step.value, p=p)


def _join(step: Join) -> Iterator[Told]:
    u, p, v, q = step.u, step.p, step.v, step.q
    yield lead("Put the two parts together.")
    if u == v:
        yield say(
            "$x ≡ {u}$ modulo both primes, so $x ≡ {u} (mod {n})$.",
            u=u,
            n=p * q,
        )
        return
    if not u:
        yield say("With $x = {p}t$ the second part becomes ${p}t ≡ {v} (mod {q})$.", p=p, v=v, q=q)
        yield from unit_divided(p % q, v, q, Letter("t"))
        yield BREAK
        yield say(
            "$t = {t}$ gives $x = {product}$.", t=step.t, product=equal(dotted((p, step.t)), step.x)
        )
        return
    yield say(
        "With $x = {form}$ the second part becomes ${p}t ≡ {v} - {u} (mod {q})$, that is "
        "${small}t ≡ {right} (mod {q})$.",
        form=added((u, polynomial((0, p), "t"))),
        p=p,
        v=v,
        u=u,
        q=q,
        small=p % q,
        right=(v - u) % q,
    )
    yield from unit_divided(p % q, (v - u) % q, q, Letter("t"))
    yield BREAK
    yield say(
        "$t = {t}$ gives $x = {sum}$.", t=step.t, sum=equal(added((u, dotted((p, step.t)))), step.x)
    )


TELLING: Tellers = {
    Raise: _raised,
    Period: _period,
    Exponent: _exponent,
    OnePart: _one_part,
    Join: _join,
}
