"""The true work on x^k = a (mod m) that every slip departs from."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod
from typing import Any

from itembank.kinds.base import Feedback, Solution, Step
from itembank.kinds.mistakes import MOST
from itembank.kinds.polynomial.slips.work import Local, Work
from itembank.kinds.power_root.solve import exponent_inverse, solve_prime_power
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.languages import say


@dataclass(frozen=True)
class PowerWork:
    """The true work on x^k = a (mod m): its steps, and the residues modulo each prime power."""

    k: int
    a: int
    m: int
    local_steps: tuple[Step, ...]
    parts: Work

    @cached_property
    def locals(self) -> tuple[Local, ...]:
        return self.parts.locals

    def step(self, kind: type[Any]) -> Any:
        """The first step of a kind; None if there is none."""
        return next((s for s in self.local_steps if isinstance(s, kind)), None)

    def local(self, p: int) -> Local:
        return next(loc for loc in self.locals if loc.p == p)

    def with_local(self, p: int, residues: Iterable[int]) -> tuple[int, ...] | None:
        return self.parts.with_local({p: residues})

    def failing(self, wrong: Iterable[int] | None) -> int | None:
        """The least residue of a wrong answer that is no solution; None if there is none."""
        return min((x for x in wrong or () if pow(x, self.k, self.m) != self.a), default=None)

    def refuted(self, wrong: Iterable[int] | None) -> Feedback:
        """A sentence that substitutes a wrong residue; none if none of them is wrong."""
        x = self.failing(wrong)
        if x is None:
            return ()
        if self.k * x.bit_length() > 2 * FITS_ON_THE_BOARD.bit_length():
            said = say(
                "Substitute: ${x}^{k}$ is not congruent to {a} modulo {m}.",
                x=x,
                k=self.k,
                a=self.a,
                m=self.m,
            )
        else:
            said = say(
                "Substitute: ${x}^{k} = {power}$ is not congruent to {a} modulo {m}.",
                x=x,
                k=self.k,
                power=x**self.k,
                a=self.a,
                m=self.m,
            )
        return (said,)


def _inverted_as_a_whole(
    k: int, a: int, m: int, factors: tuple[tuple[int, int], ...]
) -> tuple[Step, ...]:
    """The step that inverts the exponent modulo phi(m), where it can be."""
    phi = prod(p ** (e - 1) * (p - 1) for p, e in factors)
    if m < 3 or gcd(a, m) > 1 or gcd(k, phi) > 1:
        return ()
    return (exponent_inverse(k, a, m, factors, phi),)


def true_work(
    k: int, a: int, m: int, solution: Solution[Any], factors: Iterable[tuple[int, int]]
) -> PowerWork | None:
    """The work modulo each prime power; None where the residues are too many to go wrong with."""
    locals_: list[Local] = []
    steps: list[Step] = []
    factors = tuple(factors)
    for p, e in factors:
        q = p**e
        found, classes = solve_prime_power(k, a % q, p, e, sight=False)
        if sum(q // d for _r, d in classes) > MOST:
            return None
        steps += found
        residues = tuple(sorted(x for r, d in classes for x in range(r, q, d)))
        roots = tuple(sorted({x % p for x in residues}))
        locals_.append(Local(p, e, 0, (), roots, residues, None))
    whole = _inverted_as_a_whole(k, a % m, m, factors)
    parts = Work(f=(), m=m, moved=False, locals=tuple(locals_), key=solution.answer)
    return PowerWork(k, a % m, m, (*whole, *steps), parts)
