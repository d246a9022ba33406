"""The worked solution of the remainder of an expression, told from its steps."""

from collections.abc import Iterator, Mapping, Sequence
from math import prod

from itembank.kinds.chains import (
    calculated,
    calculated_or_congruent,
    congruent,
    division,
    sum_of,
)
from itembank.kinds.factorial.telling import SHOWN_FACTORS
from itembank.kinds.factorial.telling import TELLING as OF_FACTORIALS
from itembank.kinds.power.steps import AtOnce, ReduceBase, Square
from itembank.kinds.power.telling import TELLING as OF_POWERS
from itembank.kinds.powering import as_congruence, joined, worked_out_at_once
from itembank.kinds.remainder.method import Assemble, Cancel, Divide, Part, ShortProduct
from itembank.kinds.typed import integer
from itembank.kinds.wording import Tellers, told
from itembank.languages import BREAK, Told, lead, say, shown
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import dotted, number
from itembank.notation.tree import (
    Dots,
    Factorial,
    Group,
    Math,
    Minus,
    Modulo,
    Number,
    Power,
    Product,
    Quotient,
    Relation,
    Sum,
)
from itembank.values.answer import Absent

_WRITTEN = 4
"""The most factors of a!/b! that are written one by one."""

_TELLINGS: Mapping[str, Tellers] = {"power": OF_POWERS, "factorial": OF_FACTORIALS}


def _divide(step: Divide) -> Iterator[Told]:
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


def _part(step: Part) -> Iterator[Told]:
    yield lead("{part} by itself.", part=step.part)
    if (chain := _short_power(step)) is not None:
        yield say("${chain}$.", chain=chain)
        return
    if [*map(type, step.solution.steps)] == [AtOnce]:
        yield from told(step.solution.steps, _TELLINGS[step.telling])
        return
    yield from told(step.solution.steps, _TELLINGS[step.telling])
    answer = step.solution.answer
    if not isinstance(answer, Absent):
        yield BREAK
        yield say(
            "So ${part} ≡ {value} (mod {m})$.", part=step.part, value=step.value, m=answer.modulus
        )


def _short_power(step: Part) -> Math | None:
    """87^2 ≡ 3^2 = 9 (mod 12): a small power of the residue nearest to 0, in one line."""
    square = step.solution.steps[-1]
    kinds = {*map(type, step.solution.steps)}
    if not isinstance(square, Square) or not kinds <= {ReduceBase, Square}:
        return None
    near = nearest_residue(square.a, square.m)
    if abs(near) < 2 or not worked_out_at_once(near, square.e):
        return None
    chain = calculated(Power(number(near), number(square.e)), near**square.e, square.m)
    if step.part == chain.sides[0]:
        return as_congruence(chain, square.m)
    return as_congruence(joined(step.part, chain), square.m)


def _short_product(step: ShortProduct) -> Iterator[Told]:
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
            product=_factors_between(b + 1, a),
        )
        if a // m > b // m:
            yield say("One of these factors is a multiple of {m}, so the product is too.", m=m)
        else:
            yield from _multiplied(range(b + 1, a + 1), m)


def _multiplied(factors: Sequence[int], m: int, least: bool = True) -> Iterator[Told]:
    """The product of many factors, each row made from the one before.

    least: whether the last row ends with the least residue.
    """
    value, rows = nearest_residue(factors[0], m), []
    for factor in factors[1:]:
        by = nearest_residue(factor, m)
        rows.append(_nearest_chain(dotted((value, by)), value * by, m))
        value = nearest_residue(value * by, m)
    if len(rows) > SHOWN_FACTORS:
        yield say(
            "That is more than a person multiplies: a computer that takes one factor after "
            "another, reducing modulo {m} each time, finds {value}.",
            m=m,
            value=value % m,
        )
        return
    yield say("One factor after another, reducing modulo {m} each time:", m=m)
    if least and value < 0:
        rows[-1] = _ended(rows[-1], m)
    yield shown(*rows)


def _ended(row: Relation, m: int) -> Relation:
    """The last row, with the least residue: 14 · 8 = 112 ≡ -11 ≡ 12, 4 · 3 = 12."""
    calculation, value, near = row.sides[0], integer(row.sides[1], ""), row.sides[-1]
    if 0 <= value < m:
        return calculated(calculation, value, m)
    return Relation((*row.sides, number(integer(near, "") + m)), (*row.signs, "≡"))


def _nearest_chain(calculation: Math, value: int, m: int) -> Relation:
    """11 · 12 = 132 ≡ -6, the residue nearest to 0."""
    near = nearest_residue(value, m)
    chain = Relation((calculation, number(value)), ("=",))
    return chain if near == value else Relation((*chain.sides, number(near)), ("=", "≡"))


def _factors_between(first: int, last: int) -> Math:
    """11 · 12 · ... · 20."""
    if last - first < _WRITTEN:
        return dotted(range(first, last + 1))
    return Product((number(first), number(first + 1), Dots(), number(last)), dot=True)


def _cancel(step: Cancel) -> Iterator[Told]:
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


def _assemble(step: Assemble) -> Iterator[Told]:
    m = step.m
    small = _nearest(step.put_in, m)
    if small == step.expression:
        yield lead("Multiply out.")
    else:
        yield lead("Put together.")
        yield say("Every number may be replaced by one congruent to it modulo {m}.", m=m)
    terms = small.terms if isinstance(small, Sum) else ((1, small),)
    long = [factors for _, term in terms if (factors := _long_product(term))]
    if small != step.expression and long:
        yield shown(Modulo(congruent(step.expression, small), number(m)))
    for factors in long:
        yield from _multiplied(factors, m, least=small == dotted(factors))
    if small in map(dotted, long):
        return
    expression = small if long else step.expression
    small = sum_of(*(_signed(sign, _shortened(term, m)) for sign, term in terms)) if long else small
    total = integer(small, "")
    chain = calculated_or_congruent(small, total, m)
    if small == number(total):
        chain = congruent(total, step.value) if total != step.value else Relation((small,), ())
    if small != step.expression or long:
        chain = type(chain)((expression, *chain.sides), ("≡", *chain.signs))
    yield shown(Modulo(chain, number(m)) if "≡" in chain.signs else chain)


_LONG = 100_000
"""From here on a product of three factors or more is reduced after each of them."""


def _long_product(term: Math) -> tuple[int, ...]:
    """The factors of a product that is reduced after each of them; none of another term."""
    if not isinstance(term, Product):
        return ()
    factors = tuple(f.value for f in term.factors if isinstance(f, Number))
    many = len(factors) == len(term.factors) > 2
    return factors if many and abs(prod(factors)) >= _LONG else ()


def _shortened(term: Math, m: int) -> Math:
    """The residue of a long product."""
    factors = _long_product(term)
    return number(nearest_residue(prod(factors), m)) if factors else term


def _signed(sign: int, term: Math) -> Math:
    return term if sign == 1 else _opposite(term)


def _nearest(node: Math, m: int) -> Math:
    """The expression with the residue nearest to 0 for each number, signs taken together."""
    match node:
        case Number(value):
            return number(nearest_residue(value, m))
        case Group(inside):
            found = _nearest(inside, m)
            return found if isinstance(found, Number) else Group(found)
        case Minus(term):
            return _opposite(_nearest(term, m))
        case Product(factors):
            near = [_nearest(factor, m) for factor in factors]
            return dotted(near) if len(near) > 1 else near[0]
        case Sum(terms):
            return sum_of(*(_signed(sign, _nearest(term, m)) for sign, term in terms))
    return node


def _opposite(term: Math) -> Math:
    """2 · 3 for -2 · 3, and the reverse."""
    match term:
        case Number(value):
            return number(-value)
        case Product((Number(value), *others)) if value < 0:
            return dotted((number(-value), *others))
        case Minus(inside):
            return inside
        case Sum():
            return Minus(Group(term))
    return Minus(term)


TELLING: Tellers = {
    Divide: _divide,
    Part: _part,
    ShortProduct: _short_product,
    Cancel: _cancel,
    Assemble: _assemble,
}
"""How each step is told."""
