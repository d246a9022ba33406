"""How the steps about units and zero divisors are told."""

from collections.abc import Iterator

from itembank.kinds.factoring import factored_told
from itembank.kinds.order.worked import phi_sides
from itembank.kinds.units.steps import (
    CountUnits,
    CountZeroDivisors,
    FactorModulus,
    InverseRows,
    NegateRows,
    Partners,
    Strike,
)
from itembank.kinds.wording import Tellers
from itembank.languages import Told, counted, each, grid, lead, say
from itembank.notation.building import (
    added,
    difference,
    dotted,
    equal,
    listed,
)
from itembank.notation.tree import Call, Letter, Math, Number, Quotient

_MOST_ROWS = 60
"""The longest table that is written out."""

_A = Letter("a")


def _factor_modulus(step: FactorModulus) -> Iterator[Told]:
    m, primes = step.m, [p for p, _k in step.factors]
    if m == 1:
        yield say("Modulo 1 there is one residue, 0, and $0 · 0 ≡ 1 (mod 1)$: it is a unit.")
        return
    yield lead("Factor the modulus.")
    if step.factors == ((m, 1),):
        yield say("{m} is prime, so every residue other than 0 is coprime to {m}, and a unit.", m=m)
        return
    yield from factored_told(m, step.factors)
    if len(primes) == 2:
        yield say(
            "A residue is a unit modulo {m} if and only if it is coprime to {m}: if neither {p} "
            "nor {q} divides it.",
            m=m,
            p=primes[0],
            q=primes[1],
        )
        return
    yield counted(
        "A residue is a unit modulo {m} if and only if it is coprime to {m}: if {primes} does not "
        "divide it.",
        "A residue is a unit modulo {m} if and only if it is coprime to {m}: if none of {primes} "
        "divides it.",
        len(primes),
        m=m,
        primes=each(primes),
    )


def _strike(step: Strike) -> Iterator[Told]:
    if not step.struck:
        return
    yield lead("Strike out from 0 to {last}.", last=step.m - 1)
    for i, (p, struck) in enumerate(step.struck):
        if struck and i == 0:
            yield say("Multiples of {p}: ${residues}$.", p=p, residues=listed(struck))
        elif struck:
            yield say("Multiples of {p} that are left: ${residues}$.", p=p, residues=listed(struck))
    yield say("What stays is ${left}$.", left=listed(step.left))


def _count_units(step: CountUnits) -> Iterator[Told]:
    if step.m == 1:
        return
    sides: list[Math] = [_phi(Number(step.m))]
    factors = tuple((p, k) for p, k, _value in step.values)
    if factors != ((step.m, 1),):
        sides += phi_sides(factors)
    yield lead("Count.")
    yield say("The number of units is ${chain}$.", chain=equal(*sides, step.count))


def _phi(n: Math) -> Call:
    return Call(Letter("φ"), (n,))


def _partners(step: Partners) -> Iterator[Told]:
    m = step.m
    yield lead("Partners.")
    yield say(
        "If $d = gcd(a, {m})$ is more than 1, then $a · {m}/d$ is a multiple of {m}, since $a/d$ "
        "is whole, and ${m}/d$ is not 0 modulo {m}.",
        m=m,
    )
    yield say("So $a$ is a zero divisor.")
    yield say("A unit is not one: multiplying $ab ≡ 0$ by its inverse leaves $b ≡ 0$.")
    if step.rows:
        yield grid(
            (_A, Call(Letter("gcd"), (_A, Number(m))), say("partner"), say("product")),
            [
                (a, d, equal(Quotient(Number(m), Number(d)), b), _multiple(a, b, m))
                for a, d, b in step.rows
            ],
        )


def _multiple(a: int, b: int, m: int) -> Math:
    """3 · 4 = 12, or 6 · 4 = 24 = 2 · 12: a product shown to be a multiple of m."""
    value = a * b
    shown = equal(dotted([a, b]), value)
    return shown if value == m else equal(dotted([a, b]), value, dotted([value // m, m]))


def _count_zero_divisors(step: CountZeroDivisors) -> Iterator[Told]:
    m = step.m
    if m == 1:
        yield say("The only residue is 0, which is not counted as a zero divisor.")
        return
    yield lead("The rest.")
    if step.explained:
        yield say(
            "Of the {m} residues, 0 is not counted and {phi} are units; all others are zero "
            "divisors: ${m} - 1 - {phi} = {count}$.",
            m=m,
            phi=step.phi,
            count=step.count,
        )
        return
    yield say(
        "Of the {m} residues, 0 is not counted and {phi} are units. For every other residue $a$ "
        "the divisor $d = gcd(a, {m})$ is above 1, and $a · {m}/d$ is a multiple of {m}: $a$ is a "
        "zero divisor. Their number is ${m} - 1 - {phi} = {count}$.",
        m=m,
        phi=step.phi,
        count=step.count,
    )


def _inverse_rows(step: InverseRows) -> Iterator[Told]:
    m = step.m
    if m == 1:
        return
    yield lead("Inverses.")
    if len(step.rows) > _MOST_ROWS:
        yield say(
            "Euclid's algorithm finds the inverse of each of the units up to {half}.", half=m // 2
        )
        return
    yield say(
        "For each unit $a$ up to {half} look for the multiple of $a$ that is 1 more than a "
        "multiple of {m}:",
        half=m // 2,
        m=m,
    )
    yield grid(
        (_A, say("inverse"), say("product")), [(a, b, _one_more(a, b, m)) for a, b in step.rows]
    )


def _one_more(a: int, b: int, m: int) -> Math:
    """1 · 1 = 1, or 5 · 5 = 25 = 2 · 12 + 1."""
    value = a * b
    if value == 1:
        return equal(dotted([a, b]), 1)
    return equal(dotted([a, b]), value, added([dotted([value // m, m]), 1]))


def _negate_rows(step: NegateRows) -> Iterator[Told]:
    m = step.m
    yield lead("The other half.")
    if len(step.rows) > _MOST_ROWS:
        yield say(
            "$(-a)(-b) = ab$, so the inverse of ${m} - a$ is {m} minus the inverse of $a$.", m=m
        )
        return
    yield say("$(-a)(-b) = ab$, so the inverse of ${m} - a$ is {m} minus the inverse of $a$:", m=m)
    yield grid(
        (_A, say("inverse")), [(_from_modulus(a, m), _from_modulus(b, m)) for a, b in step.rows]
    )


def _from_modulus(a: int, m: int) -> Math:
    """12 - 5 = 7."""
    return equal(difference(m, m - a), a)


TELLING: Tellers = {
    FactorModulus: _factor_modulus,
    Strike: _strike,
    CountUnits: _count_units,
    Partners: _partners,
    CountZeroDivisors: _count_zero_divisors,
    InverseRows: _inverse_rows,
    NegateRows: _negate_rows,
}
"""How each step is told."""
