"""The worked solution of a linear congruence, told from its steps, one function a step.

Sentences are whole, so that they translate, and written in the unknown x; another
letter is put in at the end.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from itembank.kinds.base import Solution, Step
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
from itembank.kinds.wording import (
    IN_A_SENTENCE,
    WRITTEN_OUT,
    Piece,
    counted,
    each_on_a_line,
    equal_to,
    flowing,
    listing,
    on_lines_below,
    polynomial,
    residue_lines,
    run_in,
)
from itembank.languages import Telling
from itembank.languages.lettering import in_letter
from itembank.languages.words import _
from itembank.notation.prose import display, table
from itembank.notation.tree import Block
from itembank.values.answer import ResidueSet

EUCLID_ROWS = 30
"""The longest table of Euclid's algorithm that is written out."""


@dataclass(frozen=True)
class Conclude(Step):
    """The answer, told before its check."""

    name = "answer"
    answer: ResidueSet


Shown = Callable[[int], str]
"""How a modulus is written: m as it was typed, others in digits."""


def worked(solution: Solution[ResidueSet], modulus: str, letter: str = "x") -> Telling:
    """The steps as a teacher would write them on the board; `modulus` is m as it is shown."""
    steps = list(solution.steps)
    checked = isinstance(steps[-1], Substitute)
    steps.insert(len(steps) - checked, Conclude(solution.answer))

    def shown(n: int) -> str:
        return modulus if n == solution.answer.modulus else str(n)

    told = (block for step in steps for block in TOLD[type(step)](step, shown))
    return in_letter(tuple(told), letter)


def term(a: int) -> str:
    return polynomial((0, a))


# ------------------------------------------------------------ before solving


def collect(step: Collect, shown: Shown) -> Iterator[Block]:
    yield from flowing(
        [
            _("Bring the unknown to the left and the numbers to the right, as least residues:"),
            display(f"{term(step.a)} ≡ {step.b} (mod {shown(step.m)})"),
        ],
        _("Collect."),
    )


def vanish(step: Vanish, shown: Shown) -> Iterator[Block]:
    if step.b:
        text = _("The unknown drops out, and $0 ≢ {b} (mod {m})$: no residue is a solution.")
    else:
        text = _("The unknown drops out, and $0 ≡ 0 (mod {m})$ holds for every residue.")
    yield from flowing([text.format(b=step.b, m=shown(step.m))])


def common_divisor(step: CommonDivisor, shown: Shown) -> Iterator[Block]:
    if not step.solvable:
        text = _(
            "$gcd({a}, {m}) = {d}$, and {d} does not divide {b}. For every integer $x$ both ${ax}$ "
            "and ${m}$ are multiples of {d}, so ${ax}$ cannot be congruent to {b} modulo ${m}$."
        )
    elif step.d == 1:
        text = _("$gcd({a}, {m}) = 1$, so there is exactly one solution modulo ${m}$.")
    else:
        text = _(
            "$gcd({a}, {m}) = {d}$, and {d} divides {b}, so there are {d} solutions modulo ${m}$."
        )
    told = text.format(a=step.a, b=step.b, m=shown(step.m), d=step.d, ax=term(step.a))
    yield from flowing([told], _("Greatest common divisor."))


# ------------------------------------------------------------ dividing and inverting


def divide(step: Divide, shown: Shown) -> Iterator[Block]:
    told: list[Piece] = [
        _("Divide all three numbers by {d}, the modulus too:").format(d=step.d),
        display(f"{term(step.a1)} ≡ {step.b1} (mod {step.m1})"),
    ]
    yield from flowing(told, _("Divide by {d}.").format(d=step.d))


def invert(step: Invert, shown: Shown) -> Iterator[Block]:
    lead = _("Invert {a} modulo {m}.").format(a=step.a1, m=run_in(shown(step.m1)))
    if step.m1 > IN_A_SENTENCE:
        text = _(
            "Euclid's algorithm finds the inverse in {n} divisions. Multiply both sides by it."
        )
        yield from flowing([text.format(n=len(step.rows))], lead)
    else:
        yield from flowing([*euclid(step), inverse_told(step)], lead)


def inverse_told(step: Invert) -> str:
    return _("${a} · {i} {one} (mod {m})$, so the inverse of {a} is {i}.").format(
        a=step.a1, i=step.inverse, one=equal_to(step.a1 * step.inverse, step.m1), m=step.m1
    )


def euclid(step: Invert) -> Iterator[Piece]:
    """Euclid's algorithm forwards, with the coefficient of a1 carried along."""
    if step.m1 <= INVERSE_AT_SIGHT:
        return
    if len(step.rows) > EUCLID_ROWS:
        yield _("Euclid's algorithm takes {n} divisions here and finds:").format(n=len(step.rows))
        return
    yield _(
        "Euclid's algorithm, carrying along the number $u$ for which each remainder is congruent "
        "to ${a}u (mod {m})$:"
    ).format(a=step.a1, m=step.m1)
    yield table(
        (_("division"), _("remainder"), "$u$"),
        [
            (
                f"${r.dividend} = {r.quotient} · {r.divisor} + {r.remainder}$",
                f"${r.remainder}$",
                f"${r.v}$",
            )
            for r in step.rows
            if r.remainder
        ],
    )
    least = step.rows[-2].v
    if least != step.inverse:
        yield _("The last $u$ is ${u} ≡ {inverse} (mod {m})$.").format(
            u=least, inverse=step.inverse, m=step.m1
        )


def multiply(step: Multiply, shown: Shown) -> Iterator[Block]:
    if step.inverse != 1 and step.m1 <= IN_A_SENTENCE:
        told = _("Multiplying both sides by {i} gives $x ≡ {i} · {b} {value} (mod {m})$.").format(
            i=step.inverse,
            b=step.b1,
            value=equal_to(step.inverse * step.b1, step.m1),
            m=step.m1,
        )
        yield from flowing([told])


# ------------------------------------------------------------ the answer


def spread(step: Spread, shown: Shown) -> Iterator[Block]:
    m = shown(step.m)
    if step.d <= WRITTEN_OUT and step.m <= IN_A_SENTENCE:
        text = _(
            "The solution $x ≡ {x0} (mod {m1})$ stands for {d} residues modulo ${m}$, spaced {m1}: "
            "${residues}$."
        )
        residues = listing(range(step.x0, step.m, step.m1))
    else:
        text = _(
            "The solution $x ≡ {x0} (mod {m1})$ stands for {d} residues modulo ${m}$, spaced {m1}, "
            "beginning with {x0}."
        )
        residues = ""
    told = text.format(x0=step.x0, m1=step.m1, d=step.d, m=m, residues=residues)
    yield from flowing([told], _("All solutions modulo {m}.").format(m=run_in(m)))


def conclude(step: Conclude, shown: Shown) -> Iterator[Block]:
    yield from flowing(solutions(step.answer, shown), _("Answer."))


def solutions(answer: ResidueSet, shown: Shown) -> Iterator[Piece]:
    if not answer:
        yield _("The congruence has no solutions.")
        return
    m = shown(answer.modulus)
    ((r, d),) = answer.classes()
    if d == 1 and answer.count > 1:
        yield _("Every residue modulo ${m}$ is a solution: {n}.").format(
            m=m, n=counted(answer.count)
        )
    elif answer.count > WRITTEN_OUT:
        yield _("$x ≡ {r} (mod {d})$: {n} modulo ${m}$.").format(
            r=r, d=d, n=counted(answer.count), m=m
        )
    elif each_on_a_line(answer.residues()):
        yield on_lines_below(answer.count, m)
        yield residue_lines(answer.residues())
    else:
        yield f"$x ≡ {listing(answer.residues())} (mod {m})$: {counted(answer.count)}."


def substitute(step: Substitute, shown: Shown) -> Iterator[Block]:
    if step.a == 1 or each_on_a_line(step.solutions):
        return
    values = ", ".join(f"{step.a} · {x} {equal_to(step.a * x, step.m)}" for x in step.solutions)
    yield from flowing([f"${values} (mod {shown(step.m)})$."], _("Check."))


TOLD: dict[type[Step], Callable[[Any, Shown], Iterator[Block]]] = {
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
