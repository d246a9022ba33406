"""How each step of solving a linear congruence is told, one function a step.

Everything is said of the unknown x; another letter is put in at the end.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.chains import modulo
from itembank.kinds.linear.isolating import isolated, product_of_small
from itembank.kinds.linear.steps import (
    Collect,
    CommonDivisor,
    Decide,
    Divide,
    Isolate,
    Spread,
    Substitute,
    Vanish,
)
from itembank.kinds.wording import IN_A_SENTENCE, WRITTEN_OUT, each_on_a_line, fits, residue_lines
from itembank.languages import Telling, Told, counted, lead, say, shown, spelled
from itembank.languages.lettering import UNKNOWN, in_letter
from itembank.notation.building import congruence, dotted, equal, listed, polynomial
from itembank.notation.tree import Letter, Math, Number
from itembank.values.answer import ResidueSet


@dataclass(frozen=True)
class _Conclude(Step):
    """The answer, told before its check."""

    name = "answer"
    answer: ResidueSet


_Written = Callable[[int], Math]
"""How a modulus is written: m as it was typed, others in digits."""


def told(solution: Solution[ResidueSet], modulus: Math, letter: str = "x") -> Telling:
    """The steps as a teacher would write them on the board; `modulus` is m as it is shown."""
    steps = list(solution.steps)
    if not isinstance(steps[-1], Decide):
        checked = isinstance(steps[-1], Substitute)
        steps.insert(len(steps) - checked, _Conclude(solution.answer))

    def written(n: int) -> Math:
        return modulus if n == solution.answer.modulus else Number(n)

    said = (part for step in steps for part in _TOLD[type(step)](step, written))
    return in_letter(tuple(said), letter)


def _term(a: int) -> Math:
    return polynomial((0, a))


# ------------------------------------------------------------ before solving


def _collect(step: Collect, written: _Written) -> Iterator[Told]:
    if step.moved:
        yield lead("Collect.")
        yield say("Bring the unknown to the left and the numbers to the right, as least residues:")
    else:
        yield lead("Reduce.")
        yield say("With least residues the congruence is")
    yield shown(congruence(_term(step.a), Number(step.b), written(step.m)))


def _vanish(step: Vanish, written: _Written) -> Iterator[Told]:
    m = written(step.m)
    if step.b:
        yield say(
            "The unknown drops out, and $0 ≢ {b} (mod {m})$: no residue is a solution.",
            b=step.b,
            m=m,
        )
    else:
        yield say("The unknown drops out, and $0 ≡ 0 (mod {m})$ holds for every residue.", m=m)


def _common_divisor(step: CommonDivisor, written: _Written) -> Iterator[Told]:
    a, b, m, d = step.a, step.b, written(step.m), step.d
    yield lead("Greatest common divisor.")
    if not step.solvable:
        yield say(
            "$gcd({a}, {m}) = {d}$, and {d} does not divide {b}.",
            a=a,
            m=m,
            d=d,
            b=b,
        )
        yield say(
            "For every integer $x$ both ${ax}$ and ${m}$ are multiples of {d}, so ${ax}$ cannot "
            "be congruent to {b} modulo ${m}$.",
            ax=_term(a),
            m=m,
            d=d,
            b=b,
        )
    elif d == 1:
        yield say(
            "$gcd({a}, {m}) = 1$, so there is exactly one solution modulo ${m}$.",
            a=a,
            m=m,
        )
    else:
        yield say(
            "$gcd({a}, {m}) = {d}$, and {d} divides {b}, so there are {n} solutions modulo ${m}$.",
            a=a,
            m=m,
            d=d,
            b=b,
            n=spelled(d),
        )


# ------------------------------------------------------------ dividing and inverting


def _divide(step: Divide, written: _Written) -> Iterator[Told]:
    yield lead("Divide by {d}.", d=step.d)
    yield say("Divide all three numbers by {d}, the modulus too:", d=step.d)
    yield shown(congruence(_term(step.a1), Number(step.b1), step.m1))


def _isolate(step: Isolate, written: _Written) -> Iterator[Told]:
    m = written(step.way.m)
    yield lead("Solve modulo {m}.", m=m)
    yield from isolated(step.way, UNKNOWN, m)


# ------------------------------------------------------------ the answer


def _spread(step: Spread, written: _Written) -> Iterator[Told]:
    m = written(step.m)
    yield lead("All solutions modulo {m}.", m=m)
    if step.d <= WRITTEN_OUT and step.m <= IN_A_SENTENCE:
        yield say(
            "The solution $x ≡ {x0} (mod {m1})$ stands for {n} residues modulo ${m}$, spaced {m1}: "
            "${residues}$.",
            x0=step.x0,
            m1=step.m1,
            n=spelled(step.d),
            m=m,
            residues=listed(range(step.x0, step.m, step.m1)),
        )
    else:
        yield say(
            "The solution $x ≡ {x0} (mod {m1})$ stands for {n} residues modulo ${m}$, spaced {m1}, "
            "beginning with {x0}.",
            x0=step.x0,
            m1=step.m1,
            n=spelled(step.d),
            m=m,
        )


def _conclude(step: _Conclude, written: _Written) -> Iterator[Told]:
    yield lead("Answer.")
    answer, n = step.answer, step.answer.count
    if not answer:
        yield say("The congruence has no solutions.")
        return
    m = written(answer.modulus)
    ((r, d),) = answer.classes()
    if d == 1 and n > 1:
        yield counted(
            "Every residue modulo ${m}$ is a solution: {n} solution.",
            "Every residue modulo ${m}$ is a solution: {n} solutions.",
            n,
            m=m,
            n=spelled(n),
        )
    elif n > WRITTEN_OUT:
        yield counted(
            "$x ≡ {r} (mod {d})$: {n} solution modulo ${m}$.",
            "$x ≡ {r} (mod {d})$: {n} solutions modulo ${m}$.",
            n,
            r=r,
            d=d,
            n=spelled(n),
            m=m,
        )
    elif each_on_a_line(answer.residues()):
        yield counted(
            "Modulo ${m}$ there is {n} solution:",
            "Modulo ${m}$ there are {n} solutions:",
            n,
            m=m,
            n=spelled(n),
        )
        yield residue_lines(answer.residues())
    else:
        yield counted(
            "$x ≡ {residues} (mod {m})$: {n} solution.",
            "$x ≡ {residues} (mod {m})$: {n} solutions.",
            n,
            residues=listed(answer.residues()),
            m=m,
            n=spelled(n),
        )


def _decide(step: Decide, written: _Written) -> Iterator[Told]:
    yield lead("Answer.")
    n = step.count
    if n:
        yield counted(
            "The congruence has {n} solution modulo ${m}$.",
            "The congruence has {n} solutions modulo ${m}$.",
            n,
            m=written(step.m),
            n=spelled(n),
        )
    else:
        yield say("The congruence has no solutions.")


def _substitute(step: Substitute, written: _Written) -> Iterator[Told]:
    a, x, m = step.a, step.x, step.m
    if a == 1 or x > IN_A_SENTENCE or (step.m1 < m and not fits(a * step.m1)):
        return
    yield lead("Check.")
    chain = product_of_small(a, x, m)
    if chain.signs == ("=",):
        yield say("${values}$.", values=chain)
    else:
        yield say("${values}$.", values=modulo((chain,), written(m)))
    if step.m1 < m:
        yield say(
            "And ${product}$, so adding {m1} to ${x}$ changes nothing modulo ${m}$.",
            product=equal(dotted((a, step.m1)), a * step.m1, dotted((a * step.m1 // m, m))),
            m1=step.m1,
            x=Letter(UNKNOWN),
            m=written(m),
        )


_TOLD: dict[type[Step], Callable[[Any, _Written], Iterator[Told]]] = {
    Collect: _collect,
    Vanish: _vanish,
    CommonDivisor: _common_divisor,
    Divide: _divide,
    Isolate: _isolate,
    Spread: _spread,
    _Conclude: _conclude,
    Decide: _decide,
    Substitute: _substitute,
}
"""How each step is told."""
