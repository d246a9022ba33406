"""The primes modulo which a is a quadratic residue, as residue classes modulo 4|a|.

Whether a is a quadratic residue modulo an odd prime p that does not divide it depends on p modulo
4|a| alone. a is without square factors here, and not 1.

Method taught: a is split into -1, 2 and odd primes; each has its rule modulo 4, 8 or by the law
of reciprocity, and the signs are multiplied, class by class.

Source: Niven, Zuckerman & Montgomery, 5th ed., section 3.2.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod
from typing import Any, ClassVar

from itembank.kinds.base import Kind, Phrases, Slip, Solution, Step, distinct_slips
from itembank.kinds.mistakes import SetFound, wrong_sets
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Cell, Said, Told, counted, grid, lead, say
from itembank.maths.prime_roots import jacobi
from itembank.maths.primes import factorisation
from itembank.notation.building import dotted, equal, listed
from itembank.notation.tree import Letter, Math, Number, Symbol
from itembank.values.answer import ResidueSet
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "ResiduePrimes", "read"]

_LARGEST = 200
"""The largest size of a."""

_SHOWN = 48
"""At most so many classes stand in a table."""


@dataclass(frozen=True)
class _Split(Step):
    """a as a product of -1, 2 and odd primes."""

    name = "split the number"
    a: int
    factors: tuple[int, ...]


@dataclass(frozen=True)
class _Rules(Step):
    """The rule of each factor."""

    name = "the rule of each factor"
    factors: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.factors)


@dataclass(frozen=True)
class _Classes(Step):
    """For each class coprime to m the sign of each factor, and of their product."""

    name = "class by class"
    a: int
    m: int
    factors: tuple[int, ...]
    units: tuple[int, ...]

    @property
    def effort(self) -> int:
        return len(self.units)


def _factors_of(a: int) -> tuple[int, ...]:
    """-1 for a negative number, then its primes."""
    return (*([-1] if a < 0 else []), *(p for p, _k in factorisation(abs(a))))


def _sign(q: int, r: int) -> int:
    """(q/p) for the primes p = r modulo a multiple of 4q, q being -1, 2 or an odd prime."""
    if q == -1:
        return 1 if r % 4 == 1 else -1
    if q == 2:
        return 1 if r % 8 in (1, 7) else -1
    turned = -1 if r % 4 == q % 4 == 3 else 1
    return turned * jacobi(r % q, q)


# ------------------------------------------------------------ telling


def _split(step: _Split) -> Iterator[Told]:
    if len(step.factors) == 1:
        yield lead("The prime.")
        yield say("Let $p$ be an odd prime that does not divide ${a}$.", a=step.a)
        return
    yield lead("Split the number.")
    yield say(
        "For an odd prime $p$ that does not divide ${a}$, ${product}$.",
        a=step.a,
        product=equal(_over_p(step.a), dotted(map(_over_p, step.factors))),
    )


def _over_p(q: int) -> Math:
    """(q/p)."""
    return Symbol(Number(q), Letter("p"))


def _rules(step: _Rules) -> Iterator[Told]:
    yield lead("The rules.")
    for q in step.factors:
        if q == -1:
            yield say("${symbol}$ is 1 if $p ≡ 1 (mod 4)$, and $-1$ otherwise.", symbol=_over_p(q))
        elif q == 2:
            yield say(
                "${symbol}$ is 1 if $p$ is congruent to 1 or 7 modulo 8, and $-1$ otherwise.",
                symbol=_over_p(q),
            )
        elif q % 4 == 1:
            yield say(
                "${symbol} = {turned}$, as {q} is congruent to 1 modulo 4.",
                symbol=_over_p(q),
                turned=Symbol(Letter("p"), Number(q)),
                q=q,
            )
            yield _squares_told(q)
        else:
            yield say(
                "${symbol} = {turned}$ if $p ≡ 1 (mod 4)$; otherwise the sign changes, as {q} is "
                "congruent to 3 modulo 4 too.",
                symbol=_over_p(q),
                turned=Symbol(Letter("p"), Number(q)),
                q=q,
            )
            yield _squares_told(q)


def _squares_told(q: int) -> Told:
    """The values of (p/q) are read off from the squares modulo q."""
    return say(
        "The squares modulo {q} are, without 0, ${squares}$.",
        q=q,
        squares=listed(sorted({x * x % q for x in range(1, q)})),
    )


def _classes(step: _Classes) -> Iterator[Told]:
    yield lead("Class by class.")
    yield say("So the symbol depends on $p$ modulo {m} alone:", m=step.m)
    several = len(step.factors) > 1
    if len(step.units) > _SHOWN:
        yield say("There are {n} classes coprime to {m}.", n=len(step.units), m=step.m)
        return
    head: list[Cell] = [say("$p$ modulo {m}", m=step.m), *map(_over_p, step.factors)]
    rows = [
        [r, *(_sign(q, r) for q in step.factors), *([_symbol_of(step, r)] if several else [])]
        for r in step.units
    ]
    yield grid([*head, _over_p(step.a)] if several else head, rows)


def _symbol_of(step: _Classes, r: int) -> int:
    return prod(_sign(q, r) for q in step.factors)


_TELLING: Tellers = {_Split: _split, _Rules: _rules, _Classes: _classes}

# ------------------------------------------------------------ slips


def _where(w: "ResiduePrimes", of: Callable[[int], int]) -> list[int]:
    return [r for r in w.units if of(r) == 1]


def _sign_of_reciprocity_forgotten(w: "ResiduePrimes") -> SetFound:
    if not any(q > 2 and q % 4 == 3 for q in w.factors):
        return None

    def turned(r: int) -> int:
        return prod(jacobi(r % q, q) if q > 2 else _sign(q, r) for q in w.factors)

    return _where(w, turned), say(
        "If you turned the symbols over without a change of sign: where both primes are congruent "
        "to 3 modulo 4 the sign changes."
    )


def _minus_one_left_out(w: "ResiduePrimes") -> SetFound:
    if w.number > 0:
        return None
    return _where(w, lambda r: prod(_sign(q, r) for q in w.factors if q != -1)), say(
        "If you left out the sign of the number: $-1$ is a factor with a rule of its own."
    )


def _two_left_out(w: "ResiduePrimes") -> SetFound:
    if w.number % 2:
        return None
    return _where(w, lambda r: prod(_sign(q, r) for q in w.factors if q != 2)), say(
        "If you left out the factor 2: it has a rule of its own, modulo 8."
    )


def _each_factor(w: "ResiduePrimes") -> SetFound:
    if len(w.factors) < 2:
        return None
    return [r for r in w.units if all(_sign(q, r) == 1 for q in w.factors)], say(
        "If you asked every factor to be a residue: two that are not have a product that is."
    )


def _the_others(w: "ResiduePrimes") -> SetFound:
    return [r for r in w.units if r not in w.found], say(
        "If you gave the classes for which the symbol is $-1$: the others are wanted."
    )


_MISTAKES: dict[str, Callable[..., SetFound]] = {
    "minus-one-left-out": _minus_one_left_out,
    "two-left-out": _two_left_out,
    "sign-of-reciprocity-forgotten": _sign_of_reciprocity_forgotten,
    "every-factor-a-residue": _each_factor,
    "the-others": _the_others,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class ResiduePrimes(Phrased):
    """The classes modulo 4|number|."""

    kind: ClassVar[str] = "residue_primes"
    phrase: ClassVar[str] = "primes modulo which {number} is a quadratic residue"
    spellings: ClassVar[tuple[str, ...]] = (
        "primes mod which {number} is a quadratic residue",
        "for which primes is {number} a quadratic residue",
        "primes with {number} as a quadratic residue",
    )
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., Any]]] = {}
    signature: ClassVar[KindSignature] = about(
        "residue_primes",
        phrase,
        _MISTAKES,
        asks=("all solutions", "the largest"),
        measures=("solutions", "steps", "factors", "digits"),
    )
    number: int

    def check(self) -> None:
        a = self.number
        fine = 0 < abs(a) <= _LARGEST and a != 1
        square_free = fine and all(k == 1 for _p, k in factorisation(abs(a)))
        require(square_free, f"a number without square factors, not 0 or 1, up to {_LARGEST}", a)

    @property
    def modulus(self) -> int:
        return 4 * abs(self.number)

    @property
    def factors(self) -> tuple[int, ...]:
        return _factors_of(self.number)

    @cached_property
    def units(self) -> tuple[int, ...]:
        return tuple(r for r in range(self.modulus) if gcd(r, self.modulus) == 1)

    @cached_property
    def found(self) -> tuple[int, ...]:
        """The classes for which the symbol is 1."""
        return tuple(r for r in self.units if prod(_sign(q, r) for q in self.factors) == 1)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            tick=say("Tick every such residue. If there is none, tick only “no residue”."),
            none=say("no residue"),
            largest=say("Type this residue ($0$ to ${last}$) in digits.", last=self.modulus - 1),
            some=True,
        )

    def asked(self, ask: str) -> tuple[Said, ...]:
        told = say(
            "Whether a number is a quadratic residue modulo an odd prime that does not divide it "
            "depends on the residue of the prime modulo four times the number."
        )
        if ask == "the largest":
            return told, say(
                "Find the **largest** residue modulo {m} of such primes modulo which ${a}$ is a "
                "quadratic residue.",
                m=self.modulus,
                a=self.number,
            )
        return told, say(
            "Find **all** residues modulo {m} of such primes modulo which ${a}$ is a quadratic "
            "residue.",
            m=self.modulus,
            a=self.number,
        )

    def solve(self) -> Solution[ResidueSet]:
        a, m = self.number, self.modulus
        steps = (
            _Split(a, self.factors),
            _Rules(self.factors),
            _Classes(a, m, self.factors, self.units),
        )
        return Solution(ResidueSet.of(m, [(r, m) for r in self.found]), steps)

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {**super().measures(solution), "factors": len(self.factors)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(wrong_sets(_MISTAKES, self), solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        return counted(
            "The residue modulo {m} is ${residues}$.",
            "The residues modulo {m} are ${residues}$.",
            answer.count,
            m=self.modulus,
            residues=listed(answer.residues()),
        )


read = reader(ResiduePrimes)

KINDS = (
    Kind(
        problem=ResiduePrimes,
        read=read,
        about="The classes modulo 4|a| of the primes modulo which a is a quadratic residue.",
        title=say("Quadratic residues"),
        next_steps={
            "all solutions": say(
                "Take a small prime of each class found, and list the squares modulo it: "
                "is the number one of them? Then take a prime of a class that is missing."
            ),
            "the largest": say(
                "Take a prime of the class found: by the rules, which sign has each "
                "factor of the number there? Then look at the larger classes coprime to the "
                "modulus."
            ),
        },
        samples=(
            "primes modulo which 5 is a quadratic residue",
            "for which primes is 3 a quadratic residue",
            "primes modulo which -1 is a quadratic residue",
            "primes with 2 as a quadratic residue",
            "primes modulo which -6 is a quadratic residue",
            "primes modulo which 10 is a quadratic residue",
            "primes modulo which -15 is a quadratic residue",
        ),
    ),
)
"""What the house knows of this kind."""
