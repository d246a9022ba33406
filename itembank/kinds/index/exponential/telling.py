"""How the steps of an exponential congruence are told: those of one index, and its own.

Each is told of the step and the base. Notation as in `steps`.
"""

from collections.abc import Iterator

from itembank.kinds.base import Step
from itembank.kinds.index import telling as of_one_index
from itembank.kinds.index.exponential.steps import Divide, OrderFromTable, OrderSeen, Repeat
from itembank.kinds.powering import chain_to_nearest
from itembank.kinds.unit_multiple import multiple, unit_divided
from itembank.kinds.wording import WRITTEN_OUT, Tellers
from itembank.languages import Told, lead, say
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import dotted, listed, power
from itembank.notation.tree import Group, Letter, Number, Power, Relation


def _divide(step: Divide, base: int) -> Iterator[Told]:
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
    unknown = Power(Number(base), Letter("x"))
    if d > 1:
        yield say(
            "$gcd({a}, {m}) = {d}$ divides ${c}$. Divide everything by {d}, the modulus too: "
            "${left} ≡ {right} (mod {m1})$.",
            a=a,
            m=m,
            d=d,
            c=c,
            left=multiple(a // d, unknown),
            right=c // d,
            m1=m1,
        )
    if m1 == 1:
        yield say("Modulo 1 every integer is congruent to 0.")
    else:
        yield from unit_divided(a // d, c // d, m1, unknown)


def _repeat(step: Repeat, base: int) -> Iterator[Told]:
    b, m, t, last = step.b, step.m1, step.t, step.n - 1
    yield lead("All exponents.")
    if t == 1:
        yield say("Every power of {b} is 1 modulo {m}, so every exponent is a solution.", b=b, m=m)
        return
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


def _order_seen(step: OrderSeen, base: int) -> Iterator[Told]:
    yield say(
        "In the table no power of {b} from the exponent 1 to {k} is 1, and the only divisor of {n} "
        "above {k} is {n}: the order is {n}.",
        b=step.b,
        k=step.k,
        n=step.n,
    )


def _order_from_table(step: OrderFromTable, base: int) -> Iterator[Told]:
    b, m, t = step.b, step.m1, step.t
    u, v = nearest_residue(step.first, m), nearest_residue(step.second, m)
    same = step.i == step.j
    first = Power(Number(b), Number(step.i))
    rows = Power(Group(first), Number(2)) if same else dotted((first, power(b, step.j)))
    chain = chain_to_nearest(power(u, 2) if same else dotted((u, v)), u * v, m)
    yield lead("The order.")
    yield say(
        "By the table ${power} (mod {m})$.",
        power=Relation((Power(Number(b), Number(t)), rows, *chain.sides), ("=", "≡", *chain.signs)),
        m=m,
    )
    yield say(
        "So the order divides {t}. Another divisor of {t} is at most {half}, and up to there no "
        "power in the table is 1: the order is {t}.",
        t=t,
        half=t // 2,
    )


def _of_the_index(step: Step, base: int) -> Iterator[Told]:
    return of_one_index.TELLING[type(step)](step)


TELLING: Tellers = {
    **dict.fromkeys(of_one_index.TELLING, _of_the_index),
    Divide: _divide,
    OrderSeen: _order_seen,
    OrderFromTable: _order_from_table,
    Repeat: _repeat,
}
"""How each step is told."""
