"""An ISBN completed or tested, told from its steps."""

from collections.abc import Iterator

from itembank.kinds.check_digits.isbn.steps import Complete, Divide, SolveForDigit, Weigh
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers
from itembank.languages import Told, grid, lead, say
from itembank.languages.saying import Cell
from itembank.notation.building import polynomial
from itembank.notation.tree import Letter


def _weigh_told(step: Weigh) -> Iterator[Told]:
    yield lead("Weights.")
    if any(product is None for _c, _w, product in step.rows):
        yield say("Write $d$ for the missing digit, and multiply each digit by its weight:")
    else:
        yield say("Multiply each digit by its weight:")
    head = (say("digit"), say("weight"), say("product"))
    yield grid(head, (_weighed(c, w, product) for c, w, product in step.rows))


def _weighed(character: str, w: int, product: int | None) -> tuple[Cell, Cell, Cell]:
    """A row of the table of weights; X is a digit that is written so."""
    if product is None:
        return Letter("d"), w, polynomial((0, w), "d")
    return character if character == "X" else int(character), w, product


def _solve_told(step: SolveForDigit) -> Iterator[Told]:
    m, w, total, right = step.m, step.w, step.total, step.right
    yield lead("The congruence.")
    if right == 0:
        yield say(
            "The known products add up to {total}, a multiple of {m}, so ${w}d ≡ 0 (mod {m})$.",
            total=total,
            m=m,
            w=w,
        )
        if w > 1:
            yield say("{w} is coprime to {m}, so $d ≡ 0 (mod {m})$.", w=w, m=m)
        return
    yield say(
        "The known products add up to {total}, so ${w}d + {total} ≡ 0 (mod {m})$.",
        total=total,
        w=w,
        m=m,
    )
    yield say(
        "Since ${total} = {q} · {m} + {r}$, that is ${w}d ≡ -{r} ≡ {right} (mod {m})$.",
        total=total,
        q=total // m,
        r=total % m,
        w=w,
        right=right,
        m=m,
    )
    if w > 1:
        yield lead("Solve.")
        yield from unit_divided(w, right, m, Letter("d"))


def _complete_told(step: Complete) -> Iterator[Told]:
    yield lead("Answer.")
    if step.reason:
        yield say("The missing digit would have to be {x}.", x=step.x)
        yield step.reason
        yield say("So no digit fits.")
    elif step.x == 10:
        yield say("The missing digit is 10, written X: {number}.", number=step.number)
    else:
        yield say("The missing digit is {x}: {number}.", x=step.x, number=step.number)


def _divide_told(step: Divide) -> Iterator[Told]:
    m, total, q = step.m, step.total, step.quotient
    yield lead("Divide by {m}.", m=m)
    if step.remainder:
        yield say(
            "The products add up to ${total} = {q} · {m} + {r}$.",
            total=total,
            q=q,
            m=m,
            r=step.remainder,
        )
    else:
        yield say("The products add up to ${total} = {q} · {m}$.", total=total, q=q, m=m)
    yield lead("Answer.")
    if step.remainder == 0:
        yield say(
            "The sum is divisible by {m}: the ISBN {number} is valid.", m=m, number=step.number
        )
    else:
        yield say(
            "The sum is not divisible by {m}: the ISBN {number} is not valid.",
            m=m,
            number=step.number,
        )


TELLING: Tellers = {
    Weigh: _weigh_told,
    SolveForDigit: _solve_told,
    Complete: _complete_told,
    Divide: _divide_told,
}
"""How each step is told."""
