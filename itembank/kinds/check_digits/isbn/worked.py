"""An ISBN completed or tested, told from its steps."""

from collections.abc import Iterator

from itembank.kinds.check_digits.isbn.steps import Complete, Divide, SolveForDigit, Weigh
from itembank.kinds.check_digits.number import multiplied_by_inverse
from itembank.kinds.wording import Tellers, answer_paragraph
from itembank.languages.words import _
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block


def weigh_told(step: Weigh) -> Iterator[Block]:
    missing = any(product is None for _c, _w, product in step.rows)
    if missing:
        text = _("Write $d$ for the missing digit, and multiply each digit by its weight:")
    else:
        text = _("Multiply each digit by its weight:")
    yield paragraph(text, _("Weights."))
    yield table(
        (_("digit"), _("weight"), _("product")),
        [
            ("$d$", f"${w}$", f"${w}d$" if w > 1 else "$d$")
            if product is None
            else (c if c == "X" else f"${c}$", f"${w}$", f"${product}$")
            for c, w, product in step.rows
        ],
    )


def solve_told(step: SolveForDigit) -> Iterator[Block]:
    m, w, total, right = step.m, step.w, step.total, step.right
    term = f"{w}d" if w > 1 else "d"
    values = {"total": total, "term": term, "m": m, "w": w, "right": right}
    if right == 0:
        text = _(
            "The known products add up to {total}, a multiple of {m}, so ${term} ≡ 0 (mod {m})$."
        )
        if w > 1:
            text += " " + _("{w} is coprime to {m}, so $d ≡ 0 (mod {m})$.")
    else:
        text = _(
            "The known products add up to {total}, so ${term} + {total} ≡ 0 (mod {m})$. Since "
            "${total} = {q} · {m} + {r}$, that is ${term} ≡ -{r} ≡ {right} (mod {m})$."
        )
    yield paragraph(text.format(q=total // m, r=total % m, **values), _("The congruence."))
    if w > 1 and right:
        text = multiplied_by_inverse(w, step.inverse, right, m)
        yield paragraph(text, _("Solve."))


def complete_told(step: Complete) -> Iterator[Block]:
    if step.reason:
        text = _("The missing digit would have to be {x}. {reason} So no digit fits.")
    elif step.x == 10:
        text = _("The missing digit is 10, written X: {number}.")
    else:
        text = _("The missing digit is {x}: {number}.")
    yield answer_paragraph(text.format(x=step.x, reason=step.reason, number=step.number))


def divide_told(step: Divide) -> Iterator[Block]:
    m, total = step.m, step.total
    chain = f"{total} = {step.quotient} · {m}"
    if step.remainder:
        chain += f" + {step.remainder}"
    yield paragraph(
        _("The products add up to ${chain}$.").format(chain=chain), _("Divide by {m}.").format(m=m)
    )
    if step.remainder == 0:
        text = _("The sum is divisible by {m}: the ISBN {number} is valid.")
    else:
        text = _("The sum is not divisible by {m}: the ISBN {number} is not valid.")
    yield answer_paragraph(text.format(m=m, number=step.number))


TOLD: Tellers = {
    Weigh: weigh_told,
    SolveForDigit: solve_told,
    Complete: complete_told,
    Divide: divide_told,
}
"""How each step is told."""
