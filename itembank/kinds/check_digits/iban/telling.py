"""An IBAN completed or tested, told from its steps."""

from collections.abc import Iterator

from itembank.kinds.chains import sum_of
from itembank.kinds.check_digits.iban.number import MODULUS, grouped
from itembank.kinds.check_digits.iban.solve import PIECE
from itembank.kinds.check_digits.iban.steps import (
    CheckDigits,
    Complete,
    Piece,
    Rearrange,
    Remainder,
    SolveForDigit,
    Verdict,
)
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers
from itembank.languages import Told, each, grid, lead, say
from itembank.notation.building import dotted, equal, number
from itembank.notation.tree import Letter, Math, Words


def rearrange_told(step: Rearrange) -> Iterator[Told]:
    yield lead("Rearrange.")
    yield say(
        "Moving the first four characters to the end gives {moved}, and the letters become "
        "numbers: {letters}.",
        moved=" ".join((grouped(step.moved[:-4]), step.moved[-4:])),
        letters=each(equal(Words((letter,)), n) for letter, n in step.letters),
    )
    missing, digits = step.moved.count("?"), int(step.digits)
    if missing == 2:
        yield say("With 00 for the check digits the number is $N = {digits}$.", digits=digits)
    elif missing:
        yield say("With 0 for the missing digit the number is $N = {digits}$.", digits=digits)
    else:
        yield say("The number is $N = {digits}$.", digits=digits)


def remainder_told(step: Remainder) -> Iterator[Told]:
    yield lead("Remainder.")
    yield say(
        "Divide $N$ by 97 in pieces of at most {n} digits; each remainder is written in front of "
        "the next digits:",
        n=PIECE,
    )
    yield grid(
        (say("piece"), say("division")), [(piece.number, division(piece)) for piece in step.pieces]
    )
    yield say("$N ≡ {r} (mod 97)$.", r=step.remainder)


def division(piece: Piece) -> Math:
    """321428291 = 3313694 · 97 + 73."""
    quotient = dotted((piece.number // MODULUS, MODULUS))
    return equal(piece.number, sum_of(quotient, number(piece.remainder)))


def check_digits_told(step: CheckDigits) -> Iterator[Told]:
    yield lead("The congruence.")
    yield say(
        "The check digits stand at the end, so with $c$ for their number the condition is "
        "$N + c ≡ 1 (mod 97)$: $c ≡ 1 - {r} ≡ 98 - {r} = {c} (mod 97)$, and this is from 2 to 98.",
        r=step.remainder,
        c=step.c,
    )


def digit_told(step: SolveForDigit) -> Iterator[Told]:
    yield lead("The congruence.")
    if step.zeros == 0:
        yield say(
            "The missing digit $d$ is the last of the number, so the condition is "
            "$N + d ≡ 1 (mod 97)$, that is $d ≡ 1 - {r} ≡ {right} (mod 97)$.",
            r=step.remainder,
            right=step.right,
        )
        return
    if step.zeros == 1:
        yield say(
            "The missing digit $d$ has one digit behind it, so the condition is "
            "$N + 10d ≡ 1 (mod 97)$: $10d ≡ 1 - {r} ≡ {right} (mod 97)$.",
            r=step.remainder,
            right=step.right,
        )
    else:
        yield say(
            "The missing digit $d$ has {zeros} digits behind it, so the condition is "
            "$N + d · 10^{zeros} ≡ 1 (mod 97)$.",
            zeros=step.zeros,
        )
        yield say(
            "$10^{zeros} ≡ {w} (mod 97)$, and ${w}d ≡ 1 - {r} ≡ {right} (mod 97)$.",
            zeros=step.zeros,
            w=step.w,
            r=step.remainder,
            right=step.right,
        )
    yield lead("Solve.")
    if step.w == 1 or step.right == 0:
        yield say("$d ≡ {d} (mod 97)$.", d=step.d)
    else:
        yield from unit_divided(step.w, step.right, MODULUS, Letter("d"))


def complete_told(step: Complete) -> Iterator[Told]:
    yield lead("Answer.")
    if step.reason:
        yield say("The missing digit would have to be {value}.", value=step.value)
        yield step.reason
        yield say("So no digit fits.")
    elif step.digit is not None:
        yield say("The missing digit is {d}: {number}.", d=step.digit, number=grouped(step.number))
    else:
        yield say(
            "The check digits are {c}: {number}.",
            c=step.number[2:4],
            number=grouped(step.number),
        )


def verdict_told(step: Verdict) -> Iterator[Told]:
    iban = grouped(step.number)
    yield lead("Answer.")
    if step.holds:
        yield say("The remainder is 1: the IBAN {number} is valid.", number=iban)
    elif step.remainder == 1:
        yield say(
            "The remainder is 1, but the check digits are not from 02 to 98: it is not valid."
        )
    else:
        yield say(
            "The remainder is {remainder}, not 1: the IBAN {number} is not valid.",
            remainder=step.remainder,
            number=iban,
        )


TELLING: Tellers = {
    Rearrange: rearrange_told,
    Remainder: remainder_told,
    CheckDigits: check_digits_told,
    SolveForDigit: digit_told,
    Complete: complete_told,
    Verdict: verdict_told,
}
"""How each step is told."""
