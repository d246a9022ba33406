"""How the steps that find one index are told.

Notation as in `steps`.
"""

from collections.abc import Iterator

from itembank.kinds.index.steps import BabyGiant, Found, Join, NoPower, NoUnit, Parts, PowerTable
from itembank.kinds.order.steps import Certificate, Phi, Powers, TakeOutPrimes, TryDivisors
from itembank.kinds.order.worked import (
    worked_certificate,
    worked_phi,
    worked_powers,
    worked_take_out_primes,
    worked_try_divisors,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD, Tellers
from itembank.languages import Lead, Said, Told, counted, grid, lead, say, shown, spelled
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import congruence, dotted, factored_modulus, listed
from itembank.notation.tree import Letter, Math, Number, Power, Relation
from itembank.values.answer import ResidueSet


def solutions_told(answer: ResidueSet, modulus: int | Math) -> Said:
    """The solutions of a congruence one by one, the modulus as it is shown; or that none is."""
    if not answer:
        return say("The congruence has no solutions.")
    return counted(
        "$x ≡ {residues} (mod {m})$: {n} solution.",
        "$x ≡ {residues} (mod {m})$: {n} solutions.",
        answer.count,
        n=spelled(answer.count),
        residues=listed(answer.residues()),
        m=modulus,
    )


def _no_unit(step: NoUnit) -> Iterator[Told]:
    yield lead("Greatest common divisor.")
    yield say(
        "$gcd({a}, {m}) = {d}$, while every power of ${g}$ is coprime to {m}: ${a}$ is congruent "
        "to none of them.",
        a=step.a,
        m=step.m,
        d=step.d,
        g=step.g,
    )


def _power_table(step: PowerTable) -> Iterator[Told]:
    g, a, m = step.g, step.a, step.m
    near = multiplier(g, m)
    slots = {"g": g, "m": m, "near": near, "a": a}
    yield lead("Table of powers.")
    if step.k is None and near == g:
        yield say(
            "The powers of {g} modulo {m}, each from the one before times {g}, until 1 comes back:",
            **slots,
        )
    elif step.k is None:
        yield say(
            "The powers of {g} modulo {m}, each from the one before times ${g} ≡ {near}$, until 1 "
            "comes back:",
            **slots,
        )
    elif near == g or step.k < 2:
        yield say(
            "The powers of {g} modulo {m}, each from the one before times {g}, until {a} appears:",
            **slots,
        )
    else:
        yield say(
            "The powers of {g} modulo {m}, each from the one before times ${g} ≡ {near}$, until "
            "{a} appears:",
            **slots,
        )
    rows = [(k, _calculation(k, step)) for k in range(len(step.values))]
    yield grid((say("exponent"), say("calculation")), rows)
    if step.k is None:
        yield say(
            "From the exponent {t} on the powers repeat, and {a} is not among them. No power of "
            "{g} is congruent to {a} modulo {m}.",
            t=len(step.values) - 1,
            a=a,
            g=g,
            m=m,
        )


def multiplier(g: int, m: int) -> int:
    """What multiplies from power to power: g, or its negative residue where that is much less.

    >>> multiplier(49, 61), multiplier(10, 19)
    (-12, 10)
    """
    near = nearest_residue(g, m)
    return near if 2 * abs(near) <= abs(g) else g


def _calculation(k: int, step: PowerTable) -> Math:
    """3^4 ≡ 10 · 3 = 30 ≡ 13; 49^4 ≡ 41 · (-12) = -492 ≡ 57."""
    g, m, value = step.g, step.m, Number(step.values[k])
    near = multiplier(g, m)
    power = Power(Number(g), Number(k))
    if k == 0 and m == 1:
        return Relation((power, Number(1), value), ("=", "≡"))
    if k < 2:
        return Relation((power, value), ("=",))
    previous = step.values[k - 1]
    made = power, dotted((previous, near)), Number(previous * near)
    if 0 <= previous * near < m:
        return Relation(made, ("≡", "="))
    return Relation((*made, value), ("≡", "=", "≡"))


def _no_power(step: NoPower) -> Iterator[Told]:
    yield lead("No power of {g}.", g=step.g)
    yield say(
        "Every power of {g} becomes 1 when it is raised to the exponent {t}, the order of {g}. "
        "But ${a}^{t} ≡ {c} (mod {m})$, so {a} is not a power of {g}.",
        g=step.g,
        t=step.t,
        a=step.a,
        c=step.c,
        m=step.m,
    )


def _baby_giant(step: BabyGiant) -> Iterator[Told]:
    g, a, m, s = step.g, step.a, step.m, step.s
    yield lead("Baby steps, giant steps.")
    yield say(
        "The index is below {t}. Take $s = {s}$, the least number with $s^2 ≥ {t}$. The baby steps "
        "are ${a} · {g}^j$ for $j = 0, 1, ..., {last}$; the giant steps are ${g}^{s}$, "
        "${g}^{twice}$ and so on. Where a giant step ${g}^(is)$ meets a baby step ${a} · {g}^j$, "
        "the index is $is - j$.",
        t=step.t,
        s=s,
        a=a,
        g=g,
        last=s - 1,
        twice=2 * s,
    )
    if step.baby:
        yield grid(
            (say("$j$"), say("${a} · {g}^j (mod {m})$", a=a, g=g, m=m)),
            enumerate(step.baby),
        )
        yield grid(
            (say("$i$"), say("${g}^({s}i) (mod {m})$", g=g, s=s, m=m)),
            enumerate(step.giant, 1),
        )
    yield say(
        "They meet for $i = {i}$ and $j = {j}$: the index is ${i} · {s} - {j} = {k}$.",
        i=step.i,
        j=step.j,
        s=s,
        k=step.k,
    )


def _parts(step: Parts) -> Iterator[Told]:
    g, a, m, t = step.g, step.a, step.m, step.t
    yield lead("One prime power after another.")
    yield say(
        "${t} = {factors}$. For each prime power $n$ of {t} raise both sides of ${g}^k ≡ {a}$ to "
        "the exponent ${t}/n$: the new base $h$ has order $n$ only, and $h^k ≡ b$ gives $k$ modulo "
        "$n$.",
        t=t,
        factors=factored_modulus([(p.q, p.e) for p in step.parts]),
        g=g,
        a=a,
    )
    yield grid(
        (
            say("$n$"),
            say("$h ≡ {g}^({t}/n)$", g=g, t=t),
            say("$b ≡ {a}^({t}/n)$", a=a, t=t),
            say("$k (mod n)$"),
        ),
        [(p.q**p.e, p.h, p.b, say("—") if p.k is None else p.k) for p in step.parts],
    )
    missing = [p for p in step.parts if p.k is None]
    if missing:
        yield say(
            "{b} is not a power of {h} modulo {m}, so {a} is not a power of {g}.",
            b=missing[0].b,
            h=missing[0].h,
            m=m,
            a=a,
            g=g,
        )


def _join(step: Join) -> Iterator[Told]:
    yield lead("Combine.")
    yield say("By the Chinese remainder theorem these fix $k$ modulo {t}:", t=step.t)
    classes = [*zip(step.residues, step.moduli, strict=True), (step.k, step.t)]
    yield shown(*(congruence(Letter("k"), Number(r), n) for r, n in classes))


def _found(step: Found) -> Iterator[Told]:
    if step.m <= FITS_ON_THE_BOARD and step.k <= 40:
        return
    yield lead("Check.")
    yield say(
        "Repeated squaring gives ${g}^{k} ≡ {a} (mod {m})$.",
        g=step.g,
        k=step.k,
        a=step.a,
        m=step.m,
    )


def _order_of_the_base(step: Certificate) -> Iterator[Told]:
    for told in worked_certificate(step):
        yield lead("Order of the base.") if isinstance(told, Lead) else told


TELLING: Tellers = {
    NoUnit: _no_unit,
    Phi: worked_phi,
    Powers: worked_powers,
    TakeOutPrimes: worked_take_out_primes,
    TryDivisors: worked_try_divisors,
    Certificate: _order_of_the_base,
    PowerTable: _power_table,
    NoPower: _no_power,
    BabyGiant: _baby_giant,
    Parts: _parts,
    Join: _join,
    Found: _found,
}
"""How each step is told."""
