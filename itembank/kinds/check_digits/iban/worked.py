"""An IBAN completed or tested, told from its steps."""

from collections.abc import Iterator

from itembank.kinds.check_digits.iban.number import MODULUS, grouped
from itembank.kinds.check_digits.iban.solve import PIECE
from itembank.kinds.check_digits.iban.steps import (
    CheckDigits,
    Complete,
    Rearrange,
    Remainder,
    SolveForDigit,
    Verdict,
)
from itembank.kinds.check_digits.number import multiplied_by_inverse
from itembank.kinds.wording import Tellers, answer_paragraph
from itembank.languages.words import _
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block


def rearrange_told(step: Rearrange) -> Iterator[Block]:
    missing = step.moved.count("?")
    if missing == 2:
        text = _("With 00 for the check digits the number is $N = {digits}$.")
    elif missing:
        text = _("With 0 for the missing digit the number is $N = {digits}$.")
    else:
        text = _("The number is $N = {digits}$.")
    moved = _(
        "Moving the first four characters to the end gives {moved}, and the letters become "
        "numbers: {letters}."
    ).format(
        moved=f"{grouped(step.moved[:-4])} {step.moved[-4:]}",
        letters=", ".join(f"{c} = {n}" for c, n in step.letters),
    )
    yield paragraph(f"{moved} {text.format(digits=step.digits)}", _("Rearrange."))


def remainder_told(step: Remainder) -> Iterator[Block]:
    yield paragraph(
        _(
            "Divide $N$ by 97 in pieces of at most {n} digits; each remainder is written in front "
            "of the next digits:"
        ).format(n=PIECE),
        _("Remainder."),
    )
    yield table(
        (_("piece"), _("division")),
        [
            (f"${p.number}$", f"${p.number} = {p.number // MODULUS} · 97 + {p.remainder}$")
            for p in step.pieces
        ],
    )
    yield paragraph(f"$N ≡ {step.remainder} (mod 97)$.")


def check_digits_told(step: CheckDigits) -> Iterator[Block]:
    yield paragraph(
        _(
            "The check digits stand at the end, so with $c$ for their number the condition is $N + "
            "c ≡ 1 (mod 97)$: $c ≡ 1 - {r} ≡ 98 - {r} = {c} (mod 97)$, and this is from 2 to 98."
        ).format(r=step.remainder, c=step.c),
        _("The congruence."),
    )


def digit_told(step: SolveForDigit) -> Iterator[Block]:
    values = {"zeros": step.zeros, "r": step.remainder, "w": step.w, "right": step.right}
    if step.zeros == 0:
        text = _(
            "The missing digit $d$ is the last of the number, so the condition is $N + d ≡ 1 (mod "
            "97)$, that is $d ≡ 1 - {r} ≡ {right} (mod 97)$."
        )
        yield paragraph(text.format(**values), _("The congruence."))
        return
    text = _(
        "The missing digit $d$ has {zeros} digits behind it, so the condition is $N + d · "
        "10^{zeros} ≡ 1 (mod 97)$. $10^{zeros} ≡ {w} (mod 97)$, and ${w}d ≡ 1 - {r} ≡ {right} (mod "
        "97)$."
    )
    if step.zeros == 1:
        text = _(
            "The missing digit $d$ has one digit behind it, so the condition is $N + 10d ≡ 1 (mod "
            "97)$: $10d ≡ 1 - {r} ≡ {right} (mod 97)$."
        )
    yield paragraph(text.format(**values), _("The congruence."))
    if step.w == 1 or step.right == 0:
        text = f"$d ≡ {step.d} (mod 97)$."
    else:
        text = multiplied_by_inverse(step.w, step.inverse, step.right, MODULUS)
    yield paragraph(text, _("Solve."))


def complete_told(step: Complete) -> Iterator[Block]:
    if step.reason:
        text = _("The missing digit would have to be {value}. {reason} So no digit fits.")
    else:
        text = _("The number is {number}.")
    number = grouped(step.number)
    yield answer_paragraph(text.format(value=step.value, reason=step.reason, number=number))


def verdict_told(step: Verdict) -> Iterator[Block]:
    if step.holds:
        text = _("The remainder is 1: the IBAN {number} is valid.")
    elif step.remainder == 1:
        text = _("The remainder is 1, but the check digits are not from 02 to 98: it is not valid.")
    else:
        text = _("The remainder is {remainder}, not 1: the IBAN {number} is not valid.")
    yield answer_paragraph(text.format(number=grouped(step.number), remainder=step.remainder))


TOLD: Tellers = {
    Rearrange: rearrange_told,
    Remainder: remainder_told,
    CheckDigits: check_digits_told,
    SolveForDigit: digit_told,
    Complete: complete_told,
    Verdict: verdict_told,
}
"""How each step is told."""
