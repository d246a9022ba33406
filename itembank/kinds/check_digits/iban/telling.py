"""An IBAN completed or tested, told from its steps."""

from collections.abc import Iterator

from itembank.kinds.chains import calculated, sum_of
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
from itembank.kinds.powering import power_told
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import Tellers
from itembank.languages import Told, each, grid, lead, say
from itembank.notation.building import difference, dotted, equal, number, power
from itembank.notation.tree import Group, Letter, Math, Power, Relation, Words

_POWERS_OF_THREE = 15
"""Up to this exponent a power of 10 is made from 10^2 ≡ 3."""


def _rearrange_told(step: Rearrange) -> Iterator[Told]:
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


def _remainder_told(step: Remainder) -> Iterator[Told]:
    yield lead("Remainder.")
    yield say(
        "Divide $N$ by 97 in pieces of at most {n} digits; each remainder is written in front of "
        "the next digits:",
        n=PIECE,
    )
    yield grid(
        (say("piece"), say("division")), [(piece.number, _division(piece)) for piece in step.pieces]
    )
    yield say("$N ≡ {r} (mod 97)$.", r=step.remainder)


def _division(piece: Piece) -> Math:
    """321428291 = 3313694 · 97 + 73."""
    quotient = dotted((piece.number // MODULUS, MODULUS))
    return equal(piece.number, sum_of(quotient, number(piece.remainder)))


def _check_digits_told(step: CheckDigits) -> Iterator[Told]:
    yield lead("The congruence.")
    yield say(
        "The check digits stand at the end, so with $c$ for their number the condition is "
        "$N + c ≡ 1 (mod 97)$: $c ≡ 1 - {r} ≡ 98 - {r} = {c} (mod 97)$, and this is from 2 to 98.",
        r=step.remainder,
        c=step.c,
    )


def _power_of_ten(zeros: int) -> Math:
    """10^8 = (10^2)^4 ≡ 3^4 = 81; 10^11 = 10 · (10^2)^5 ≡ 10 · 3^5 = 2430 ≡ 5."""
    half, odd = divmod(zeros, 2)
    squares = Power(Group(power(10, 2)), number(half)) if half > 1 else power(10, 2)
    threes = power(3, half)
    value = 3**half * (10 if odd else 1)
    sides = [power(10, zeros), dotted((10, squares)) if odd else squares]
    signs = ["=", "≡"]
    made = calculated(dotted((10, threes)) if odd else threes, value, MODULUS)
    if half == 1 and not odd:
        sides, signs = sides[:1], ["≡"]
    elif half == 1:
        sides[1] = dotted((10, power(10, 2)))
    return Relation((*sides, *made.sides), (*signs, *made.signs))


def _digit_told(step: SolveForDigit) -> Iterator[Told]:
    yield lead("The congruence.")
    right = calculated(difference(1, step.remainder), 1 - step.remainder, MODULUS)
    if step.zeros == 0:
        yield say(
            "The missing digit $d$ is the last of the number, so the condition is "
            "$N + d ≡ 1 (mod 97)$, that is $d ≡ {right} (mod 97)$.",
            right=right,
        )
        return
    if step.zeros == 1:
        yield say(
            "The missing digit $d$ has one digit behind it, so the condition is "
            "$N + 10d ≡ 1 (mod 97)$: $10d ≡ {right} (mod 97)$.",
            right=right,
        )
    else:
        yield say(
            "The missing digit $d$ has {zeros} digits behind it, so the condition is "
            "$N + d · 10^{zeros} ≡ 1 (mod 97)$.",
            zeros=step.zeros,
        )
        if step.zeros <= _POWERS_OF_THREE:
            yield say("$10^2 = 100 ≡ 3$, so ${power} (mod 97)$.", power=_power_of_ten(step.zeros))
        else:
            yield from power_told(10, step.zeros, MODULUS)
        yield say("This leaves ${w}d ≡ {right} (mod 97)$.", w=step.w, right=right)
    yield lead("Solve.")
    if step.w == 1:
        yield say("$d ≡ {d} (mod 97)$.", d=step.d)
    elif step.right == 0:
        yield say("{w} is coprime to 97, so $d ≡ 0 (mod 97)$.", w=step.w)
    else:
        yield from unit_divided(step.w, step.right, MODULUS, Letter("d"))


def _complete_told(step: Complete) -> Iterator[Told]:
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


def _verdict_told(step: Verdict) -> Iterator[Told]:
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
    Rearrange: _rearrange_told,
    Remainder: _remainder_told,
    CheckDigits: _check_digits_told,
    SolveForDigit: _digit_told,
    Complete: _complete_told,
    Verdict: _verdict_told,
}
"""How each step is told."""
