"""How the steps to a greatest common divisor and a least common multiple are told."""

from collections.abc import Iterator

from itembank.kinds.chains import division
from itembank.kinds.gcd.method import (
    AtOne,
    DropSigns,
    Euclid,
    Multiple,
    Onward,
    Quotients,
    Zeros,
)
from itembank.kinds.wording import Tellers
from itembank.languages import BREAK, Told, each, lead, say, shown
from itembank.notation.building import dotted, equal
from itembank.notation.tree import Call, Letter, Math, Number, Quotient


def of(function: str, *numbers: int) -> Call:
    """gcd(84, 30)."""
    return Call(Letter(function), tuple(map(Number, numbers)))


def _drop_signs(step: DropSigns) -> Iterator[Told]:
    yield lead("Signs.")
    yield say(
        "A number and its opposite have the same divisors and the same multiples, so the signs "
        "are dropped: {numbers}.",
        numbers=each(map(abs, step.numbers)),
    )


def _zeros(step: Zeros) -> Iterator[Told]:
    yield lead("Zero.")
    if step.of == "lcm":
        yield say("The only multiple of 0 is 0, so it is the only common multiple.")
    elif not step.left:
        yield say(
            "Every integer divides 0, so no common divisor is the greatest. By convention the "
            "value is 0."
        )
    elif len(step.left) == 1:
        yield say(
            "Every integer divides 0, so the common divisors are the divisors of {n}, and the "
            "greatest of these is {n} itself.",
            n=step.left[0],
        )
    else:
        yield say(
            "Every integer divides 0, so the common divisors are those of {numbers}.",
            numbers=each(step.left),
        )


def _euclid(step: Euclid) -> Iterator[Told]:
    (larger, smaller), *others = step.rows
    yield lead("Euclid's algorithm.")
    if others:
        yield say(
            "Divide {larger} by {smaller}, then each divisor by its remainder, until a remainder "
            "is 0:",
            larger=larger,
            smaller=smaller,
        )
    else:
        yield say("Divide {larger} by {smaller}:", larger=larger, smaller=smaller)
    yield shown(*(division(n, divisor) for n, divisor in step.rows))
    value = of("gcd", step.a, step.b)
    if others:
        yield say("The last remainder that is not 0 is {d}: ${gcd} = {d}$.", d=step.d, gcd=value)
    else:
        yield say("The remainder is 0: ${gcd} = {d}$.", d=step.d, gcd=value)


def _onward(step: Onward) -> Iterator[Told]:
    yield BREAK
    yield say(
        "So ${value}$.",
        value=equal(of(step.of, *step.numbers), of(step.of, step.reached, *step.left)),
    )


def _at_one(step: AtOne) -> Iterator[Told]:
    yield BREAK
    yield say(
        "1 is the only positive divisor of 1, so nothing is left to divide: {numbers} cannot make "
        "it greater.",
        numbers=each(step.left),
    )


def _multiple(step: Multiple) -> Iterator[Told]:
    yield lead("Least common multiple.")
    if step.d == 1:
        yield say(
            "The two numbers have no common factor above 1, so their product is the least common "
            "multiple: {chain}.",
            chain=equal(of("lcm", step.a, step.b), dotted([step.a, step.b]), step.m),
        )
        return
    if step.m == max(step.a, step.b):
        yield say(
            "{d} divides {m}, so ${lcm} = {m}$.",
            d=step.d,
            m=step.m,
            lcm=of("lcm", step.a, step.b),
        )
        return
    yield say(
        "The product of two positive numbers is the product of their greatest common divisor and "
        "their least common multiple, so {chain}.",
        chain=equal(
            of("lcm", step.a, step.b),
            Quotient(dotted([step.a, step.b]), Number(step.d)),
            dotted([step.a // step.d, step.b]),
            step.m,
        ),
    )


def _quotients(step: Quotients) -> Iterator[Told]:
    if step.d == 1:
        return
    yield lead("Check.")
    yield say(
        "{products}: each number is a multiple of {d}.",
        products=each(_as_multiples(step.numbers, step.d)),
        d=step.d,
    )


def _as_multiples(numbers: tuple[int, ...], d: int) -> Iterator[Math]:
    """84 = 14 · 6 and 30 = 5 · 6."""
    return (equal(n, dotted([n // d, d])) for n in numbers)


TELLING: Tellers = {
    DropSigns: _drop_signs,
    Zeros: _zeros,
    Euclid: _euclid,
    Onward: _onward,
    AtOne: _at_one,
    Multiple: _multiple,
    Quotients: _quotients,
}
"""How each step is told."""
