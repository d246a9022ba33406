"""The worked solution of the remainder of an expression, told from its steps."""

from collections.abc import Iterator, Mapping

from itembank.kinds.chains import calculated_or_congruent, congruent, division, sum_of
from itembank.kinds.factorial.telling import TELLING as OF_FACTORIALS
from itembank.kinds.power.telling import TELLING as OF_POWERS
from itembank.kinds.remainder.method import Assemble, Cancel, Divide, Part, ShortProduct
from itembank.kinds.wording import Tellers, told
from itembank.languages import BREAK, Told, lead, say, shown
from itembank.notation.building import dotted, number
from itembank.notation.tree import Dots, Factorial, Math, Modulo, Product, Quotient
from itembank.values.answer import Absent

WRITTEN = 4
"""The most factors of a!/b! that are written one by one."""

TELLINGS: Mapping[str, Tellers] = {"power": OF_POWERS, "factorial": OF_FACTORIALS}


def divide(step: Divide) -> Iterator[Told]:
    yield lead("Divide.")
    if 0 <= step.n < step.m:
        yield say("{n} is a least residue modulo {m} already.", n=step.n, m=step.m)
    elif step.n >= 0:
        yield say(
            "${division}$, and {r} is less than {m}.",
            division=division(step.n, step.m),
            r=step.r,
            m=step.m,
        )
    else:
        yield say(
            "${n} = {division}$: the quotient is rounded down, so that the remainder is not "
            "negative.",
            n=step.n,
            division=sum_of(dotted((step.q, step.m)), number(step.r)),
        )


def part(step: Part) -> Iterator[Told]:
    yield lead("{part} by itself.", part=step.part)
    yield from told(step.solution.steps, TELLINGS[step.telling])
    answer = step.solution.answer
    if not isinstance(answer, Absent):
        yield BREAK
        yield say(
            "So ${part} ≡ {value} (mod {m})$.", part=step.part, value=step.value, m=answer.modulus
        )


def short_product(step: ShortProduct) -> Iterator[Told]:
    a, b, m = step.a, step.b, step.m
    yield lead("Cancel the factorials.")
    quotient = Quotient(Factorial(number(a)), Factorial(number(b)))
    if a == b:
        yield say("${quotient} = 1$.", quotient=quotient)
    elif a == b + 1:
        yield say(
            "${quotient} = {a} ≡ {value} (mod {m})$.", quotient=quotient, a=a, value=step.value, m=m
        )
    else:
        yield say(
            "The factors 1 to {b} cancel: ${quotient} = {product}$.",
            b=b,
            quotient=quotient,
            product=factors_between(b + 1, a),
        )
        if a // m > b // m:
            yield say("One of these factors is a multiple of {m}, so the product is too.", m=m)
        else:
            yield say("Multiplied out modulo {m}, it is {value}.", m=m, value=step.value)


def factors_between(first: int, last: int) -> Math:
    """11 · 12 · ... · 20."""
    if last - first < WRITTEN:
        return dotted(range(first, last + 1))
    return Product((number(first), number(first + 1), Dots(), number(last)), dot=True)


def cancel(step: Cancel) -> Iterator[Told]:
    yield lead("{quotient} by itself.", quotient=step.quotient)
    if step.inverse is None:
        yield say(
            "{bottom} divides {top}: ${quotient} = {whole} ≡ {value}$ modulo {m}.",
            bottom=step.bottom,
            top=step.top,
            quotient=step.quotient,
            whole=step.top // step.bottom,
            value=step.value,
            m=step.m,
        )
        return
    d, i, m = step.bottom, step.inverse, step.m
    yield say(
        "A denominator that is coprime to {m} is replaced by its inverse: ${check} (mod {m})$, so "
        "${quotient} ≡ {product} (mod {m})$.",
        m=m,
        check=calculated_or_congruent(dotted((d, i)), d * i, m),
        quotient=step.quotient,
        product=calculated_or_congruent(dotted((step.top, i)), step.top * i, m),
    )


def assemble(step: Assemble) -> Iterator[Told]:
    yield lead("Put together.")
    yield say("Every number may be replaced by its least residue modulo {m}.", m=step.m)
    chain = calculated_or_congruent(step.put_in, step.total, step.m)
    if step.put_in == number(step.total):
        chain = congruent(step.total, step.value)
    yield shown(
        Modulo(type(chain)((step.expression, *chain.sides), ("≡", *chain.signs)), number(step.m))
    )


TELLING: Tellers = {
    Divide: divide,
    Part: part,
    ShortProduct: short_product,
    Cancel: cancel,
    Assemble: assemble,
}
"""How each step is told."""
