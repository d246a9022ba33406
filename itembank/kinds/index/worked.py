"""The worked solutions of the kinds about indices: the steps that find one index.

Notation as in `steps`.
"""

from collections.abc import Iterator

from itembank.kinds.index.steps import BabyGiant, Found, Join, NoPower, NoUnit, Parts, PowerTable
from itembank.kinds.order.steps import Certificate, Phi, TakeOutPrimes
from itembank.kinds.order.worked import worked_certificate, worked_phi, worked_take_out_primes
from itembank.kinds.wording import FITS_ON_THE_BOARD, Tellers, listing, prime_powers
from itembank.languages import Lead, Told, lead
from itembank.languages.words import _, ngettext
from itembank.notation.prose import display, paragraph, table
from itembank.notation.tree import Block
from itembank.values.answer import ResidueSet


def solutions_told(answer: ResidueSet, letter: str, m: str) -> str:
    """The solutions of a congruence one by one, `m` the modulus as it is shown; or that none is."""
    if not answer:
        return _("The congruence has no solutions.")
    return ngettext(
        "${x} ≡ {residues} (mod {m})$: {n} solution.",
        "${x} ≡ {residues} (mod {m})$: {n} solutions.",
        answer.count,
    ).format(x=letter, residues=listing(answer.residues()), m=m, n=answer.count)


def worked_no_unit(step: NoUnit) -> Iterator[Block]:
    yield paragraph(
        _(
            "$gcd({a}, {m}) = {d}$, while every power of {g} is coprime to {m}: ${a}$ is congruent "
            "to none of them."
        ).format(a=step.a, m=step.m, d=step.d, g=step.g),
        _("Greatest common divisor."),
    )


def worked_power_table(step: PowerTable) -> Iterator[Block]:
    g, a, m = step.g, step.a, step.m
    yield paragraph(
        _(
            "The powers of {g} modulo {m}, each from the one before times {g}, until {a} appears:"
        ).format(g=g, m=m, a=a)
        if step.k is not None
        else _(
            "The powers of {g} modulo {m}, each from the one before times {g}, until 1 comes back:"
        ).format(g=g, m=m),
        _("Table of powers."),
    )
    yield table(
        (_("exponent"), _("calculation")),
        [(f"${k}$", f"${row_text(k, value, step)}$") for k, value in enumerate(step.values)],
    )
    if step.k is None:
        t = len(step.values) - 1
        yield paragraph(
            _(
                "From the exponent {t} on the powers repeat, and {a} is not among them. No power "
                "of {g} is congruent to {a} modulo {m}."
            ).format(t=t, a=a, g=g, m=m)
        )


def row_text(k: int, value: int, step: PowerTable) -> str:
    if k == 0:
        return f"{step.g}^0 = 1" if step.m > 1 else f"{step.g}^0 = 1 == 0"
    if k == 1:
        return f"{step.g}^1 = {value}"
    product = step.values[k - 1] * step.g
    chain = f"{step.g}^{k} == {step.values[k - 1]} * {step.g} = {product}"
    return chain if product < step.m else f"{chain} == {value}"


def worked_no_power(step: NoPower) -> Iterator[Block]:
    yield paragraph(
        _(
            "Every power of {g} becomes 1 when it is raised to the exponent {t}, the order of {g}. "
            "But ${a}^{t} ≡ {c} (mod {m})$, so {a} is no power of {g}."
        ).format(g=step.g, t=step.t, a=step.a, c=step.c, m=step.m),
        _("No power of {g}.").format(g=step.g),
    )


def worked_baby_giant(step: BabyGiant) -> Iterator[Block]:
    g, a, m, s, i, j, k = step.g, step.a, step.m, step.s, step.i, step.j, step.k
    yield paragraph(
        _(
            "The index is below {t}. Take $s = {s}$, the least number with $s^2 ≥ {t}$. The baby "
            "steps are ${a} · {g}^j$ for $j = 0, 1, ..., {last}$; the giant steps are ${g}^{s}$, "
            "${g}^{twice}$ and so on. Where a giant step ${g}^(is)$ meets a baby step ${a} · "
            "{g}^j$, the index is $is - j$."
        ).format(t=step.t, s=s, a=a, g=g, last=s - 1, twice=2 * s),
        _("Baby steps, giant steps."),
    )
    if step.baby:
        yield table(
            ("$j$", f"${a} * {g}^j (mod {m})$"),
            [(f"${n}$", f"${value}$") for n, value in enumerate(step.baby)],
        )
        yield table(
            ("$i$", f"${g}^({s}i) (mod {m})$"),
            [(f"${n}$", f"${value}$") for n, value in enumerate(step.giant, 1)],
        )
    yield paragraph(
        _("They meet for $i = {i}$ and $j = {j}$: the index is ${i} · {s} - {j} = {k}$.").format(
            i=i, j=j, s=s, k=k
        )
    )


def worked_parts(step: Parts) -> Iterator[Block]:
    g, a, m, t = step.g, step.a, step.m, step.t
    factors = prime_powers(tuple((p.q, p.e) for p in step.parts))
    yield paragraph(
        _(
            "${t} = {factors}$. For each prime power $n$ of {t} raise both sides of ${g}^k ≡ {a}$ "
            "to the exponent ${t}/n$: the new base $h$ has order $n$ only, and $h^k ≡ b$ gives $k$ "
            "modulo $n$."
        ).format(t=t, factors=factors, g=g, a=a),
        _("One prime power after another."),
    )
    yield table(
        ("$n$", f"$h ≡ {g}^({t}/n)$", f"$b ≡ {a}^({t}/n)$", "$k (mod n)$"),
        [
            (f"${p.q**p.e}$", f"${p.h}$", f"${p.b}$", "—" if p.k is None else f"${p.k}$")
            for p in step.parts
        ],
    )
    missing = [p for p in step.parts if p.k is None]
    if missing:
        yield paragraph(
            _("{b} is no power of {h} modulo {m}, so {a} is no power of {g}.").format(
                b=missing[0].b, h=missing[0].h, m=m, a=a, g=g
            )
        )


def worked_join(step: Join) -> Iterator[Block]:
    yield paragraph(
        _("By the Chinese remainder theorem these fix $k$ modulo {t}:").format(t=step.t),
        _("Combine."),
    )
    yield display(
        *(f"k = {r} mod {n}" for r, n in zip(step.residues, step.moduli, strict=True)),
        f"k = {step.k} mod {step.t}",
    )


def worked_found(step: Found) -> Iterator[Block]:
    if step.m <= FITS_ON_THE_BOARD and step.k <= 40:
        return
    yield paragraph(
        _("Repeated squaring gives ${g}^{k} ≡ {a} (mod {m})$.").format(
            g=step.g, k=step.k, a=step.a, m=step.m
        ),
        _("Check."),
    )


def worked_order(step: Certificate) -> Iterator[Told]:
    for told in worked_certificate(step):
        yield lead("Order of the base.") if isinstance(told, Lead) else told


WORKED: Tellers = {
    NoUnit: worked_no_unit,
    Phi: worked_phi,
    TakeOutPrimes: worked_take_out_primes,
    Certificate: worked_order,
    PowerTable: worked_power_table,
    NoPower: worked_no_power,
    BabyGiant: worked_baby_giant,
    Parts: worked_parts,
    Join: worked_join,
    Found: worked_found,
}
"""How each step is told."""
