"""The worked solutions about units and zero divisors, told from their steps."""

from collections.abc import Iterator

from itembank.kinds.units.steps import (
    CountUnits,
    CountZeroDivisors,
    FactorModulus,
    InverseRows,
    NegateRows,
    Partners,
    Strike,
)
from itembank.kinds.wording import Tellers, conjunction, listing, prime_power, prime_powers
from itembank.languages.words import _, ngettext
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block

MOST_ROWS = 60
"""The longest table that is written out."""


def factor_modulus(step: FactorModulus) -> Iterator[Block]:
    m, primes = step.m, [p for p, _k in step.factors]
    if m == 1:
        yield paragraph(
            _("Modulo 1 there is one residue, 0, and $0 · 0 ≡ 1 (mod 1)$: it is a unit.")
        )
        return
    if step.factors == ((m, 1),):
        text = _("{m} is prime, so every residue other than 0 is coprime to {m}, and a unit.")
    else:
        text = ngettext(
            "${m} = {product}$. A residue is a unit modulo {m} if and only if it is coprime to "
            "{m}: if {primes} does not divide it.",
            "${m} = {product}$. A residue is a unit modulo {m} if and only if it is coprime to "
            "{m}: if none of {primes} divides it.",
            len(primes),
        )
    yield paragraph(
        text.format(
            m=m,
            product=prime_powers(step.factors),
            primes=conjunction(map(str, primes)),
        ),
        _("Factor the modulus."),
    )


def strike(step: Strike) -> Iterator[Block]:
    if not step.struck:
        return
    sentences = [
        _("Multiples of {p}: ${residues}$.").format(p=p, residues=listing(struck))
        if i == 0
        else _("Multiples of {p} that are left: ${residues}$.").format(
            p=p, residues=listing(struck)
        )
        for i, (p, struck) in enumerate(step.struck)
        if struck
    ]
    sentences.append(_("What stays is ${left}$.").format(left=listing(step.left)))
    yield paragraph(" ".join(sentences), _("Strike out from 0 to {last}.").format(last=step.m - 1))


def count_units(step: CountUnits) -> Iterator[Block]:
    if step.m == 1:
        return
    calls = [f"φ({prime_power(p, k)})" for p, k, _value in step.values]
    values = [str(value) for _p, _k, value in step.values]
    chain = f"φ({step.m}) = "
    if calls != [f"φ({step.m})"]:
        chain += " · ".join(calls) + " = "
    if len(values) > 1:
        chain += " · ".join(values) + " = "
    yield paragraph(
        _("The number of units is ${chain}{count}$.").format(chain=chain, count=step.count),
        _("Count."),
    )


def partners(step: Partners) -> Iterator[Block]:
    m = step.m
    yield paragraph(
        _(
            "If $d = gcd(a, {m})$ is more than 1, then $a · {m}/d$ is a multiple of {m}, since "
            "$a/d$ is whole, and ${m}/d$ is not 0 modulo {m}. So $a$ is a zero divisor. A unit is "
            "none: multiplying $ab ≡ 0$ by its inverse leaves $b ≡ 0$."
        ).format(m=m),
        _("Partners."),
    )
    if step.rows:
        yield table(
            ("$a$", f"$gcd(a, {m})$", _("partner"), _("product")),
            [
                (f"${a}$", f"${d}$", f"${m}/{d} = {b}$", f"${a} · {b} = {product(a * b, m)}$")
                for a, d, b in step.rows
            ],
        )


def product(value: int, m: int) -> str:
    """12, or 24 = 2 · 12: a multiple of m shown to be one."""
    return str(value) if value == m else f"{value} = {value // m} · {m}"


def count_zero_divisors(step: CountZeroDivisors) -> Iterator[Block]:
    m = step.m
    if m == 1:
        yield paragraph(_("The only residue is 0, which is not counted as a zero divisor."))
        return
    yield paragraph(
        _(
            "Of the {m} residues, 0 is not counted and {phi} are units; all others are zero "
            "divisors: ${m} - 1 - {phi} = {count}$."
        ).format(m=m, phi=step.phi, count=step.count),
        _("The rest."),
    )


def inverse_rows(step: InverseRows) -> Iterator[Block]:
    m = step.m
    if m == 1:
        return
    if len(step.rows) > MOST_ROWS:
        yield paragraph(
            _("Euclid's algorithm finds the inverse of each of the units up to {half}.").format(
                half=m // 2
            ),
            _("Inverses."),
        )
        return
    yield paragraph(
        _(
            "For each unit $a$ up to {half} look for the multiple of $a$ that is 1 more than a "
            "multiple of {m}:"
        ).format(half=m // 2, m=m),
        _("Inverses."),
    )
    yield table(
        ("$a$", _("inverse"), _("product")),
        [(f"${a}$", f"${b}$", f"${a} · {b} = {one_more(a * b, m)}$") for a, b in step.rows],
    )


def one_more(value: int, m: int) -> str:
    """1, or 25 = 2 · 12 + 1."""
    return "1" if value == 1 else f"{value} = {value // m} · {m} + 1"


def negate_rows(step: NegateRows) -> Iterator[Block]:
    m = step.m
    text = _(
        "$(-a)(-b) = ab$, so the inverse of ${m} - a$ is {m} minus the inverse of $a$:"
    ).format(m=m)
    if len(step.rows) > MOST_ROWS:
        yield paragraph(text.replace(":", "."), _("The other half."))
        return
    yield paragraph(text, _("The other half."))
    yield table(
        ("$a$", _("inverse")),
        [(f"${m} - {m - a} = {a}$", f"${m} - {m - b} = {b}$") for a, b in step.rows],
    )


TOLD: Tellers = {
    FactorModulus: factor_modulus,
    Strike: strike,
    CountUnits: count_units,
    Partners: partners,
    CountZeroDivisors: count_zero_divisors,
    InverseRows: inverse_rows,
    NegateRows: negate_rows,
}
"""How each step is told."""
