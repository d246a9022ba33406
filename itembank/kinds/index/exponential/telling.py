"""How the steps of an exponential congruence are told: those of one index, and its own.

Each is told of the step and the base. Notation as in `steps`.
"""

from collections.abc import Iterator

from itembank.kinds.base import Step
from itembank.kinds.index import telling as of_one_index
from itembank.kinds.index.exponential.steps import Divide, Repeat
from itembank.kinds.index.solve import TABLE
from itembank.kinds.wording import WRITTEN_OUT, Tellers
from itembank.languages import Told, lead, say, shown
from itembank.notation.building import listed


def divide(step: Divide, base: int) -> Iterator[Told]:
    a, c, m, d, m1, y = step.a, step.c, step.m, step.d, step.m1, step.y
    yield lead("Divide.")
    if y is None:
        yield say(
            "$gcd({a}, {m}) = {d}$, so the left side is a multiple of {d} modulo {m}, and ${c}$ is "
            "not: there is no solution.",
            a=a,
            m=m,
            d=d,
            c=c,
        )
        return
    if d > 1:
        yield say(
            "$gcd({a}, {m}) = {d}$ divides ${c}$. Dividing everything by {d}, the modulus too, and "
            "multiplying by the inverse of ${a1}$ modulo {m1} leaves",
            a=a,
            m=m,
            d=d,
            c=c,
            a1=a // d,
            m1=m1,
        )
    else:
        inverse = pow(a, -1, m)
        yield say(
            "Multiply both sides by the inverse of ${a}$ modulo {m}, which is {i} (${a} · {i} = "
            "{product} ≡ 1$):",
            a=a,
            m=m,
            i=inverse,
            product=a * inverse,
        )
    yield shown(say("${b}^x ≡ {y} (mod {m})$", b=base, y=y, m=m1))


def repeat(step: Repeat, base: int) -> Iterator[Told]:
    b, m, t, last = step.b, step.m1, step.t, step.n - 1
    yield lead("All exponents.")
    if t == 1:
        yield say("Every power of {b} is 1 modulo {m}, so every exponent is a solution.", b=b, m=m)
        return
    if t <= TABLE:
        yield say(
            "Going on, the powers of {b} come back to 1 for the first time with the exponent {t}, "
            "the order of {b} modulo {m}.",
            b=b,
            t=t,
            m=m,
        )
    else:
        yield say("The order of {b} modulo {m} is {t}.", b=b, m=m, t=t)
    count = step.n // t
    if count == 1:
        yield say("So no other exponent from 0 to {last} gives the same power.", last=last)
    elif count <= WRITTEN_OUT:
        yield say(
            "So the powers repeat every {t} exponents. From 0 to {last} the solutions are "
            "${exponents}$.",
            t=t,
            last=last,
            exponents=listed(range(step.k, step.n, t)),
        )
    else:
        yield say(
            "So the powers repeat every {t} exponents: the solutions are the exponents "
            "$x ≡ {k} (mod {t})$.",
            t=t,
            k=step.k,
        )


def of_the_index(step: Step, base: int) -> Iterator[Told]:
    return of_one_index.TELLING[type(step)](step)


TELLING: Tellers = {
    **dict.fromkeys(of_one_index.TELLING, of_the_index),
    Divide: divide,
    Repeat: repeat,
}
"""How each step is told."""
