"""How each step of solving a linear congruence is told, one function a step.

Everything is said of the unknown x; another letter is put in at the end.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from itembank.kinds.base import Solution, Step
from itembank.kinds.chains import calculated_or_congruent, modulo
from itembank.kinds.linear.steps import (
    INVERSE_AT_SIGHT,
    Collect,
    CommonDivisor,
    Divide,
    Invert,
    Multiply,
    Spread,
    Substitute,
    Vanish,
)
from itembank.kinds.wording import IN_A_SENTENCE, WRITTEN_OUT, each_on_a_line, residue_lines
from itembank.languages import Telling, Told, counted, grid, lead, say, shown, spelled
from itembank.languages.lettering import in_letter
from itembank.notation.building import congruence, dotted, listed, polynomial
from itembank.notation.tree import Letter, Math, Number
from itembank.values.answer import ResidueSet

EUCLID_ROWS = 30
"""The longest table of Euclid's algorithm that is written out."""


@dataclass(frozen=True)
class Conclude(Step):
    """The answer, told before its check."""

    name = "answer"
    answer: ResidueSet


Written = Callable[[int], Math]
"""How a modulus is written: m as it was typed, others in digits."""


def told(solution: Solution[ResidueSet], modulus: Math, letter: str = "x") -> Telling:
    """The steps as a teacher would write them on the board; `modulus` is m as it is shown."""
    steps = list(solution.steps)
    checked = isinstance(steps[-1], Substitute)
    steps.insert(len(steps) - checked, Conclude(solution.answer))

    def written(n: int) -> Math:
        return modulus if n == solution.answer.modulus else Number(n)

    said = (part for step in steps for part in TOLD[type(step)](step, written))
    return in_letter(tuple(said), letter)


def term(a: int) -> Math:
    return polynomial((0, a))


# ------------------------------------------------------------ before solving


def collect(step: Collect, written: Written) -> Iterator[Told]:
    yield lead("Collect.")
    yield say("Bring the unknown to the left and the numbers to the right, as least residues:")
    yield shown(congruence(term(step.a), Number(step.b), written(step.m)))


def vanish(step: Vanish, written: Written) -> Iterator[Told]:
    m = written(step.m)
    if step.b:
        yield say(
            "The unknown drops out, and $0 ≢ {b} (mod {m})$: no residue is a solution.",
            b=step.b,
            m=m,
        )
    else:
        yield say("The unknown drops out, and $0 ≡ 0 (mod {m})$ holds for every residue.", m=m)


def common_divisor(step: CommonDivisor, written: Written) -> Iterator[Told]:
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
            ax=term(a),
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
            "$gcd({a}, {m}) = {d}$, and {d} divides {b}, so there are {d} solutions modulo ${m}$.",
            a=a,
            m=m,
            d=d,
            b=b,
        )


# ------------------------------------------------------------ dividing and inverting


def divide(step: Divide, written: Written) -> Iterator[Told]:
    yield lead("Divide by {d}.", d=step.d)
    yield say("Divide all three numbers by {d}, the modulus too:", d=step.d)
    yield shown(congruence(term(step.a1), Number(step.b1), step.m1))


def invert(step: Invert, written: Written) -> Iterator[Told]:
    yield lead("Invert {a} modulo {m}.", a=step.a1, m=written(step.m1))
    if step.m1 > IN_A_SENTENCE:
        yield counted(
            "Euclid's algorithm finds the inverse in {n} division. Multiply both sides by it.",
            "Euclid's algorithm finds the inverse in {n} divisions. Multiply both sides by it.",
            len(step.rows),
        )
        return
    yield from euclid(step)
    yield say(
        "${one} (mod {m})$, so the inverse of {a} is {i}.",
        one=calculated_or_congruent(
            dotted((step.a1, step.inverse)), step.a1 * step.inverse, step.m1
        ),
        m=step.m1,
        a=step.a1,
        i=step.inverse,
    )


def euclid(step: Invert) -> Iterator[Told]:
    """Euclid's algorithm forwards, with the coefficient of a1 carried along."""
    if step.m1 <= INVERSE_AT_SIGHT:
        return
    if len(step.rows) > EUCLID_ROWS:
        yield say(
            "Euclid's algorithm takes {n} divisions here and finds:",
            n=len(step.rows),
        )
        return
    yield say(
        "Euclid's algorithm, carrying along the number $u$ for which each remainder is congruent "
        "to ${a}u (mod {m})$:",
        a=step.a1,
        m=step.m1,
    )
    yield grid(
        (say("division"), say("remainder"), Letter("u")),
        [
            (
                say(
                    "${a} = {q} · {b} + {r}$",
                    a=r.dividend,
                    q=r.quotient,
                    b=r.divisor,
                    r=r.remainder,
                ),
                r.remainder,
                r.v,
            )
            for r in step.rows
            if r.remainder
        ],
    )
    least = step.rows[-2].v
    if least != step.inverse:
        yield say(
            "The last $u$ is ${u} ≡ {inverse} (mod {m})$.",
            u=least,
            inverse=step.inverse,
            m=step.m1,
        )


def multiply(step: Multiply, written: Written) -> Iterator[Told]:
    if step.inverse != 1 and step.m1 <= IN_A_SENTENCE:
        yield say(
            "Multiplying both sides by {i} gives $x ≡ {value} (mod {m})$.",
            i=step.inverse,
            value=calculated_or_congruent(
                dotted((step.inverse, step.b1)), step.inverse * step.b1, step.m1
            ),
            m=step.m1,
        )


# ------------------------------------------------------------ the answer


def spread(step: Spread, written: Written) -> Iterator[Told]:
    m = written(step.m)
    yield lead("All solutions modulo {m}.", m=m)
    if step.d <= WRITTEN_OUT and step.m <= IN_A_SENTENCE:
        yield say(
            "The solution $x ≡ {x0} (mod {m1})$ stands for {d} residues modulo ${m}$, spaced {m1}: "
            "${residues}$.",
            x0=step.x0,
            m1=step.m1,
            d=step.d,
            m=m,
            residues=listed(range(step.x0, step.m, step.m1)),
        )
    else:
        yield say(
            "The solution $x ≡ {x0} (mod {m1})$ stands for {d} residues modulo ${m}$, spaced {m1}, "
            "beginning with {x0}.",
            x0=step.x0,
            m1=step.m1,
            d=step.d,
            m=m,
        )


def conclude(step: Conclude, written: Written) -> Iterator[Told]:
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


def substitute(step: Substitute, written: Written) -> Iterator[Told]:
    if step.a == 1 or each_on_a_line(step.solutions):
        return
    yield lead("Check.")
    values = tuple(
        calculated_or_congruent(dotted((step.a, x)), step.a * x, step.m) for x in step.solutions
    )
    yield say("${values}$.", values=modulo(values, written(step.m)))


TOLD: dict[type[Step], Callable[[Any, Written], Iterator[Told]]] = {
    Collect: collect,
    Vanish: vanish,
    CommonDivisor: common_divisor,
    Divide: divide,
    Invert: invert,
    Multiply: multiply,
    Spread: spread,
    Conclude: conclude,
    Substitute: substitute,
}
"""How each step is told."""
