"""The worked solution of an order, told from its steps; other kinds tell some of them too."""

from collections.abc import Iterator, Mapping

from itembank.kinds.chains import congruent
from itembank.kinds.factoring import trial_told
from itembank.kinds.order.steps import (
    Certificate,
    CommonFactor,
    Phi,
    PowerRow,
    Powers,
    TakeOutPrimes,
    TryDivisors,
)
from itembank.kinds.powering import chain_to_nearest
from itembank.kinds.wording import FITS_ON_THE_BOARD, Tellers
from itembank.languages import Grid, Said, Told, counted, each, grid, lead, say
from itembank.maths.primes import Factors
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import dotted, equal, factored_modulus, number, power
from itembank.notation.tree import Call, Group, Letter, Listing, Math, Power, Product


def _worked_common_factor(step: CommonFactor) -> Iterator[Told]:
    yield lead("Greatest common divisor.")
    yield say(
        "$gcd({a}, {m}) = {d}$, so ${a}$ is not a unit modulo {m}.", a=step.a, m=step.m, d=step.d
    )


def phi_of(n: Math) -> Call:
    return Call(Letter("φ"), (n,))


def phi_sides(factors: Factors) -> tuple[Math, ...]:
    """φ(19^2)φ(5), (19 · 18) · 4 and 342 · 4: phi of the prime powers multiplied, to its value.

    What has no working is left out: 4 · 4 follows φ(2^3)φ(5) at once.
    """
    calls = tuple(phi_of(power(p, k)) for p, k in factors)
    sides: list[Math] = [calls[0] if len(calls) == 1 else Product(calls)]
    if len(factors) == 1:
        ((p, k),) = factors
        return (*sides, dotted((power(p, k - 1), p - 1))) if p > 2 and k > 1 else tuple(sides)
    if any(p > 2 and k > 1 for p, k in factors):
        sides.append(dotted(_phi_written(p, k) for p, k in factors))
    return (*sides, dotted(p ** (k - 1) * (p - 1) for p, k in factors))


def _phi_written(p: int, k: int) -> Math:
    """(19 · 18) for 19^2; 4 for 5 and for 2^3."""
    if k == 1 or p == 2:
        return number(p ** (k - 1) * (p - 1))
    return Group(dotted((power(p, k - 1), p - 1)))


def worked_phi(step: Phi) -> Iterator[Told]:
    yield lead("What the order divides.")
    yield from trial_told(step.m, step.factors)
    yield phi_sentence(step)
    yield say("By Euler's theorem the order divides {n}.", n=step.n)


def phi_sentence(step: Phi) -> Said:
    """phi of the modulus, from its factors."""
    m, n = step.m, step.n
    if m == 1:
        return say("$φ(1) = 1$.")
    if step.factors == ((m, 1),):
        return say("{m} is prime, so $φ({m}) = {m} - 1 = {n}$.", m=m, n=n)
    return say(
        "${m} = {product}$, so ${value}$.",
        m=m,
        product=factored_modulus(step.factors),
        value=equal(phi_of(number(m)), *phi_sides(step.factors), n),
    )


def worked_try_divisors(step: TryDivisors) -> Iterator[Told]:
    yield lead("Powers.")
    if step.m == 1:
        yield say("Modulo 1 the first power is already congruent to 1: the order is 1.")
        return
    yield say(
        "The divisors of {n} are tried in increasing order, each power modulo {m} made from "
        "earlier ones:",
        n=step.n,
        m=step.m,
    )
    yield powers_table(step)
    yield from _passed_through(step)
    yield _settled(step)


def _settled(step: TryDivisors) -> Said:
    """Why the last row gives the order."""
    e, t = step.tried[-1], step.t
    if step.ending == "one":
        return say("The first divisor whose power is 1 is {t}: that is the order.", t=t)
    return say(
        "${a}^{e} ≡ -1$, so ${a}^{t} ≡ 1$: the order divides {t}, but not {e}, and smaller "
        "divisors were tried. It is {t}.",
        a=step.a,
        e=e,
        t=t,
    )


def _passed_through(step: TryDivisors) -> Iterator[Told]:
    """The exponents that are no divisors."""
    others = [r.e for r in step.rows if r.e not in step.tried]
    if others:
        yield counted(
            "The exponent {e} does not divide {n}; it is there to reach the next one.",
            "The exponents {e} do not divide {n}; they are there to reach the next ones.",
            len(others),
            e=each(others),
            n=step.n,
        )


def powers_table(step: TryDivisors | Powers) -> Grid:
    """Each power with the calculation that gives it from earlier rows."""
    values = {row.e: row.value for row in step.rows}
    return grid(
        (say("power"), say("calculation")),
        [
            (Power(number(step.a), number(row.e)), _calculation(row, values, step.a, step.m))
            for row in step.rows
        ],
    )


def _calculation(row: PowerRow, values: Mapping[int, int], a: int, m: int) -> Math:
    """13^2 = 169 ≡ -3; -5 · 16 = -80 ≡ 7, 7 · 4 = 28 ≡ -1 for a product of three."""
    if not row.parts:
        return number(a) if a == row.value else congruent(a, row.value)
    i, j, *others = row.parts
    u, v = values[i], values[j]
    chains = [chain_to_nearest(power(u, 2) if i == j else dotted((u, v)), u * v, m)]
    before = nearest_residue(u * v, m)
    for k in others:
        chains.append(chain_to_nearest(dotted((before, values[k])), before * values[k], m))
        before = nearest_residue(before * values[k], m)
    return chains[0] if len(chains) == 1 else Listing(tuple(chains))


def worked_take_out_primes(step: TakeOutPrimes) -> Iterator[Told]:
    yield lead("Powers.")
    yield say(
        "{n} has too many divisors to try them all. Start with the exponent {n}, for which the "
        "power is 1, and divide it by a prime as long as the power stays 1:",
        n=step.n,
    )
    yield grid(
        (say("exponent"), say("prime"), say("smaller exponent"), say("power")),
        [(r.e, r.q, r.e // r.q, nearest_residue(r.value, step.m)) for r in step.rows],
    )
    last = step.rows[-1]
    t = last.e // last.q if last.value == 1 % step.m else last.e
    yield say("The exponent that is left is {t}.", t=t)
    if step.table:
        yield say("These powers modulo {m} are made from earlier ones:", m=step.m)
        yield powers_table(step.table)


def worked_certificate(step: Certificate) -> Iterator[Told]:
    a, m, t = step.a, step.m, step.t
    if not step.smaller:
        return
    yield lead("Check.")
    if t > FITS_ON_THE_BOARD:
        yield say(
            "An order smaller than {t} would divide {t} divided by one of its primes, but the "
            "table shows that none of these exponents gives the power 1.",
            t=t,
        )
        return
    yield counted(
        "${a}^{t} ≡ 1 (mod {m})$, and with {t} divided by its prime factor {primes}: {parts}, not "
        "1. An order smaller than {t} would divide that exponent.",
        "${a}^{t} ≡ 1 (mod {m})$, and with {t} divided by each of its prime factors "
        "{primes}: {parts}, none of them 1. An order smaller than {t} would divide one of these "
        "exponents.",
        len(step.smaller),
        a=a,
        t=t,
        m=m,
        primes=each(q for q, _value in step.smaller),
        parts=each(
            congruent(Power(number(a), number(t // q)), nearest_residue(value, m))
            for q, value in step.smaller
        ),
    )


def worked_powers(step: Powers) -> Iterator[Told]:
    yield lead("Powers.")
    yield say("These powers modulo {m} are needed, each made from earlier ones:", m=step.m)
    yield powers_table(step)


WORKED: Tellers = {
    CommonFactor: _worked_common_factor,
    Phi: worked_phi,
    TryDivisors: worked_try_divisors,
    Powers: worked_powers,
    TakeOutPrimes: worked_take_out_primes,
    Certificate: worked_certificate,
}
"""How each step is told."""
