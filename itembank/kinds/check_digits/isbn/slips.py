"""Student errors about an ISBN, each carried through to a digit or a verdict.

One function a slip; the wrong rules serve both questions. The catalogue is common practice
of the trade.
"""

from collections.abc import Callable, Sequence

from itembank.kinds.check_digits.isbn.number import Isbn, weighted
from itembank.kinds.check_digits.isbn.solve import weighing
from itembank.kinds.check_digits.number import digit_value
from itembank.kinds.mistakes import ValueFound
from itembank.languages import Said, say

_Rule = tuple[tuple[int, ...], int, Said]
"""Weights and modulus, and the feedback on them."""


def _solved_with(p: Isbn, weights: Sequence[int], m: int) -> int | None:
    """The missing digit under other weights or another modulus; None if it is not determined."""
    values = [0 if c == "?" else digit_value(c) for c in p.text]
    total = weighted(values, weights)
    fits = [x for x in range(m) if (total + weights[p.place] * x) % m == 0]
    return fits[0] if len(fits) == 1 else None


def _valid_with(p: Isbn, weights: Sequence[int], m: int) -> bool:
    return weighted([digit_value(c) for c in p.text], weights) % m == 0


_OTHER_WEIGHTS = {10: (1, 3) * 5, 13: tuple(range(13, 0, -1))}
"""Those of the other standard, carried over."""


def _other_modulus(p: Isbn) -> _Rule:
    m = 21 - p.modulus
    return (
        p.weights,
        m,
        say(
            "Check the modulus: for an ISBN of {length} characters the sum is taken modulo {m}, "
            "not modulo {wrong}.",
            wrong=m,
            length=p.length,
            m=p.modulus,
        ),
    )


def _weights_exchanged(p: Isbn) -> _Rule | None:
    if p.length == 10:
        return None
    return (
        (3, 1) * 6 + (3,),
        10,
        say(
            "Check where the weights begin: the first digit has the weight 1, the second 3, and so "
            "on."
        ),
    )


def _other_weights(p: Isbn) -> _Rule:
    return (
        _OTHER_WEIGHTS[p.length],
        p.modulus,
        say(
            "Check the weights: an ISBN of {other} characters has others than one of {length}.",
            other=23 - p.length,
            length=p.length,
        ),
    )


def _weights_shifted(p: Isbn) -> _Rule | None:
    """The weights one too low, and the check digit added without one."""
    if p.length == 13:
        return None
    return (
        (*range(9, 0, -1), 1),
        11,
        say(
            "Check the weights: the first of the ten characters has the weight 10, and the last, "
            "the check digit, has the weight 1."
        ),
    )


def _weights_left_out(p: Isbn) -> _Rule:
    return (
        (1,) * p.length,
        p.modulus,
        say(
            "Check whether the digits are added with their weights. Without them, exchanging two "
            "digits would never be noticed."
        ),
    )


_RULES: dict[str, Callable[[Isbn], _Rule | None]] = {
    "other-modulus": _other_modulus,
    "weights-exchanged": _weights_exchanged,
    "other-weights": _other_weights,
    "weights-shifted": _weights_shifted,
    "weights-left-out": _weights_left_out,
}
"""Wrong rules, as weights and modulus with the feedback."""


def _digit_by(rule: str) -> Callable[[Isbn], ValueFound]:
    def mistake(p: Isbn) -> ValueFound:
        wrong = _RULES[rule](p)
        digit = _solved_with(p, wrong[0], wrong[1]) if wrong else None
        return None if wrong is None or digit is None else (digit, wrong[2])

    return mistake


def _verdict_by(rule: str) -> Callable[[Isbn], ValueFound]:
    def mistake(p: Isbn) -> ValueFound:
        wrong = _RULES[rule](p)
        return None if wrong is None else (_valid_with(p, wrong[0], wrong[1]), wrong[2])

    return mistake


def _remainder_for_digit(p: Isbn) -> ValueFound:
    """The remainder of the known sum taken for the digit, where its negative is meant."""
    if p.weights[p.place] > 1:
        return None
    return weighing(p.text).total % p.modulus, say(
        "This is the remainder of the sum. The missing digit has to **complete** the sum to a "
        "multiple of {m}.",
        m=p.modulus,
    )


def _weight_not_divided(p: Isbn) -> ValueFound:
    w = p.weights[p.place]
    if w == 1:
        return None
    return -weighing(p.text).total % p.modulus, say(
        "If this is what is missing in the sum, it is not the digit yet: the digit counts {w} "
        "times, by its weight. Solve the congruence for the digit.",
        w=w,
    )


def _multiplied_for_divided(p: Isbn) -> ValueFound:
    w = p.weights[p.place]
    if w == 1:
        return None
    return -weighing(p.text).total * w % p.modulus, say(
        "If the last step was to multiply by the weight {w}, turn it round: to solve for the "
        "digit, multiply by the **inverse** of {w} modulo {m}.",
        w=w,
        m=p.modulus,
    )


def _check_digit_left_out(p: Isbn) -> ValueFound:
    values = [digit_value(c) for c in p.text[:-1]]
    return weighted(values, p.weights[:-1]) % p.modulus == 0, say(
        "Check whether the check digit is in the sum: it counts with the weight 1."
    )


def _x_refused(p: Isbn) -> ValueFound:
    if not p.text.endswith("X"):
        return None
    return False, say("The X at the end of an ISBN-10 is not a misprint: it stands for 10.")


DIGIT_MISTAKES: dict[str, Callable[[Isbn], ValueFound]] = {
    **{rule: _digit_by(rule) for rule in _RULES},
    "remainder-for-digit": _remainder_for_digit,
    "weight-not-divided": _weight_not_divided,
    "multiplied-for-divided": _multiplied_for_divided,
}
"""Those in finding the digit, in the order of the method."""

TEST_MISTAKES: dict[str, Callable[[Isbn], ValueFound]] = {
    **{rule: _verdict_by(rule) for rule in _RULES},
    "check-digit-left-out": _check_digit_left_out,
    "x-refused": _x_refused,
}
"""Those in testing a number, in the order of the method."""
