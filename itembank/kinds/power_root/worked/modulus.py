"""The first part: the right side reduced, the modulus split, the exponent inverted."""

from collections.abc import Iterator

from itembank.kinds.polynomial.worked.phrases import modulus_text, power_value
from itembank.kinds.power_root.powering import power_told
from itembank.kinds.power_root.steps import InvertExponent, LeastResidue, Split
from itembank.kinds.power_root.wording import product_chain
from itembank.kinds.wording import Piece, conjunction, flowing, run_in
from itembank.languages.words import _
from itembank.notation.tree import Block


def least_residue(step: LeastResidue) -> Iterator[Block]:
    yield from flowing(
        [
            _("${a} ≡ {b} (mod {m})$, so the congruence is $x^{k} ≡ {b} (mod {m})$.").format(
                a=step.a, b=step.b, m=step.modulus, k=step.k
            )
        ]
    )


def split(step: Split) -> Iterator[Block]:
    m = step.modulus
    if m == 1:
        yield from flowing([_("Every integer is divisible by 1, so every integer is a solution.")])
    elif len(step.factors) > 1:
        moduli = [power_value(p, e) for p, e in step.factors]
        yield from flowing(
            [
                _(
                    "The modulus is ${chain}$, and no two of these factors have a common divisor. "
                    "So $x$ solves the congruence modulo {m} exactly when it solves it modulo "
                    "{moduli}."
                ).format(
                    chain=product_chain(m, step.factors),
                    m=m,
                    moduli=conjunction(f"${q}$" for q in moduli),
                )
            ],
            _("Split the modulus."),
        )


def invert_exponent(step: InvertExponent) -> Iterator[Block]:
    k, a, u, phi = step.k, step.a, step.u, step.phi
    q = modulus_text(step.q, step.factors)
    n = (k * u - 1) // phi
    told: list[Piece] = [f"{phi_told(step)} {coprime_told(step)}"]
    told.append(
        _(
            "The inverse of {k} modulo {phi} is {u}, since ${k} · {u} = {product} = {multiple} + "
            "1$."
        ).format(k=k, phi=phi, u=u, product=k * u, multiple=f"{n} · {phi}" if n != 1 else str(phi))
    )
    told.append(
        _(
            "So a solution satisfies $x ≡ x^{product} = (x^{k})^{u} ≡ {a}^{u} (mod {q})$; and this "
            "one is a solution, since $({a}^{u})^{k} = {a}^{product} ≡ {a}$ by the same theorem."
        ).format(product=k * u, k=k, u=u, a=a, q=q)
        if u > 1
        else _("So $x ≡ x^{k} ≡ {a} (mod {q})$.").format(k=k, a=a, q=q)
    )
    if u > 1:
        told += power_told(a, u, step.q, "x ≡ ")
    yield from flowing(told, _("Invert the exponent, modulo {q}.").format(q=run_in(q)))


def phi_told(step: InvertExponent) -> str:
    """How many units there are, and the theorem that makes exponents count modulo that."""
    q, phi = modulus_text(step.q, step.factors), step.phi
    if step.factors == ((step.q, 1),):
        return _(
            "{q} is prime and does not divide {a}, so $x^{phi} ≡ 1 (mod {q})$ for every solution "
            "$x$ (Fermat)."
        ).format(q=q, a=step.a, phi=phi)
    counts = [(p ** (e - 1) * (p - 1), power_value(p, e)) for p, e in step.factors]
    calls = " · ".join(f"φ({power})" for _count, power in counts)
    product = " · ".join(str(count) for count, _power in counts)
    chain = f"φ({q}) = {calls} = {product} = {phi}" if len(counts) > 1 else f"φ({q}) = {phi}"
    return _(
        "$gcd({a}, {q}) = 1$ and ${chain}$, so $x^{phi} ≡ 1 (mod {q})$ for every solution $x$ "
        "(Euler)."
    ).format(a=step.a, q=q, chain=chain, phi=phi)


def coprime_told(step: InvertExponent) -> str:
    return _("And $gcd({k}, {phi}) = 1$, so the exponent has an inverse modulo {phi}.").format(
        k=step.k, phi=step.phi
    )
