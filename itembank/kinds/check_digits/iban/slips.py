"""Student errors about an IBAN, each carried through to digits or a verdict.

One function a slip; the ways to write the number wrong serve both questions. The catalogue
is common practice of the trade.
"""

from collections.abc import Callable

from itembank.kinds.check_digits.iban.number import MODULUS, Iban, digits_of, rearranged
from itembank.kinds.check_digits.iban.solve import solve_for_digit
from itembank.kinds.mistakes import ValueFound
from itembank.languages import Said, say


def _fits(p: Iban, digits: Callable[[str], str]) -> int | None:
    """The missing digits when the number is written by `digits`; None if no or several fit."""
    if p.both:
        values = range(2, 99)
        numbers = (p.text.replace("??", f"{c:02}") for c in values)
    else:
        values = range(10)
        numbers = (p.text.replace("?", str(d)) for d in values)
    found = [v for v, text in zip(values, numbers, strict=True) if int(digits(text)) % MODULUS == 1]
    return found[0] if len(found) == 1 else None


_WRONG_NUMBERS: dict[str, tuple[Callable[[str], str], Said]] = {
    "not-rearranged": (
        digits_of,
        say(
            "Check the order of the characters: the first four are moved to the end before "
            "anything is calculated."
        ),
    ),
    "letters-from-one": (
        lambda text: digits_of(rearranged(text), first=1),
        say("Check the numbers of the letters: the letter A stands for 10, B for 11, and so on."),
    ),
    "letters-left-out": (
        lambda text: digits_of("".join(c for c in rearranged(text) if not c.isalpha())),
        say("Check whether every letter is counted: each of them becomes a number of two digits."),
    ),
}
"""Ways to write the number wrong, and what is said of them."""


def _digits_by(name: str) -> Callable[[Iban], ValueFound]:
    digits, feedback = _WRONG_NUMBERS[name]

    def mistake(p: Iban) -> ValueFound:
        value = _fits(p, digits)
        return None if value is None else (value, feedback)

    return mistake


def _verdict_by(name: str) -> Callable[[Iban], ValueFound]:
    digits, feedback = _WRONG_NUMBERS[name]
    return lambda p: (int(digits(p.text)) % MODULUS == 1, feedback)


def _zeros_left_out(p: Iban) -> ValueFound:
    """The check digits found without two zeros in their place."""
    if not p.both:
        return None
    return 98 - int(digits_of(p.text[4:] + p.text[:2])) % MODULUS, say(
        "If the number was divided without the places of the check digits, put 00 there first."
    )


def _remainder_for_digits(p: Iban) -> ValueFound:
    if not p.both:
        return None
    return int(digits_of(rearranged(p.text))) % MODULUS, say(
        "This is the remainder itself. The check digits have to **complete** it to 1 modulo 97."
    )


def _completed_to_zero(p: Iban) -> ValueFound:
    """Completed to a multiple of 97."""
    if p.both:
        value = MODULUS - int(digits_of(rearranged(p.text))) % MODULUS
    else:
        step = solve_for_digit(p.text, int(digits_of(rearranged(p.text))))
        value = step.inverse * (step.right - 1) % MODULUS
    return value, say(
        "Check the remainder that is wanted: a valid number leaves 1 modulo 97, not 0."
    )


def _weight_not_divided(p: Iban) -> ValueFound:
    if p.both:
        return None
    step = solve_for_digit(p.text, int(digits_of(rearranged(p.text))))
    if step.w == 1:
        return None
    return step.right, say(
        "If this is what is missing in the remainder, it is not the digit yet. The digit counts "
        "{w} times modulo 97, by its place: solve the congruence for it.",
        w=step.w,
    )


def _remainder_zero_expected(p: Iban) -> ValueFound:
    return int(digits_of(rearranged(p.text))) % MODULUS == 0, say(
        "Check which remainder is wanted modulo 97: that of a valid number is 1."
    )


DIGIT_MISTAKES: dict[str, Callable[[Iban], ValueFound]] = {
    **{name: _digits_by(name) for name in _WRONG_NUMBERS},
    "zeros-left-out": _zeros_left_out,
    "remainder-for-digits": _remainder_for_digits,
    "completed-to-zero": _completed_to_zero,
    "weight-not-divided": _weight_not_divided,
}
"""Those in finding digits, in the order of the method."""

TEST_MISTAKES: dict[str, Callable[[Iban], ValueFound]] = {
    **{name: _verdict_by(name) for name in _WRONG_NUMBERS},
    "remainder-zero-expected": _remainder_zero_expected,
}
"""Those in testing a number, in the order of the method."""
