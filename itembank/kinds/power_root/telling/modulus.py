"""The first part: the right side reduced, the modulus split, the exponent inverted."""

from collections.abc import Iterator

from itembank.kinds.factoring import trial_told
from itembank.kinds.polynomial.telling.phrases import short_modulus, short_power
from itembank.kinds.power_root.steps import InvertExponent, LeastResidue, Split
from itembank.kinds.power_root.wording import modulus_split
from itembank.kinds.powering import power_told
from itembank.languages import Said, Told, each, lead, say
from itembank.maths.primes import Factors
from itembank.notation.building import applied, dotted, equal
from itembank.notation.tree import Letter, Math

__all__ = ["invert_exponent", "least_residue", "split"]


def least_residue(step: LeastResidue) -> Iterator[Told]:
    yield say(
        "${a} ≡ {b} (mod {m})$, so the congruence is $x^{k} ≡ {b} (mod {m})$.",
        a=step.a,
        b=step.b,
        m=step.modulus,
        k=step.k,
    )


def split(step: Split) -> Iterator[Told]:
    if step.modulus == 1:
        yield say("Every integer is divisible by 1, so every integer is a solution.")
    elif len(step.factors) > 1:
        yield lead("Split the modulus.")
        yield from trial_told(step.modulus, step.factors)
        yield say(
            "The modulus is ${chain}$, and no two of these factors share a prime. So $x$ "
            "solves the congruence modulo {m} if and only if it solves it modulo {moduli}.",
            chain=modulus_split(step.modulus, step.factors),
            m=step.modulus,
            moduli=each(short_power(p, e) for p, e in step.factors),
        )


def invert_exponent(step: InvertExponent) -> Iterator[Told]:
    k, a, u, phi = step.k, step.a, step.u, step.phi
    q = short_modulus(step.q, step.factors)
    n = (k * u - 1) // phi
    yield lead("Invert the exponent, modulo ${q}$.", q=q)
    yield from trial_told(step.q, step.factors)
    yield _phi_told(step)
    yield say(
        "And $gcd({k}, {phi}) = 1$, so the exponent has an inverse modulo {phi}.", k=k, phi=phi
    )
    yield say(
        "The inverse of {k} modulo {phi} is {u}, since ${k} · {u} = {product} = {multiple} + 1$.",
        k=k,
        phi=phi,
        u=u,
        product=k * u,
        multiple=dotted([n, phi]) if n != 1 else phi,
    )
    if u == 1:
        yield say("So $x ≡ x^{k} ≡ {a} (mod {q})$.", k=k, a=a, q=q)
        return
    yield say(
        "So a solution satisfies $x ≡ x^{product} = (x^{k})^{u} ≡ {a}^{u} (mod {q})$; and this "
        "one is a solution, since $({a}^{u})^{k} = {a}^{product} ≡ {a}$ by the same theorem.",
        product=k * u,
        k=k,
        u=u,
        a=a,
        q=q,
    )
    yield from power_told(a, u, step.q, of=Letter("x"))


def _phi_told(step: InvertExponent) -> Said:
    """How many units there are, and the theorem that makes exponents count modulo that."""
    q, phi = short_modulus(step.q, step.factors), step.phi
    if step.factors == ((step.q, 1),):
        return say(
            "{q} is prime and does not divide {a}, so $x^{phi} ≡ 1 (mod {q})$ for every solution "
            "$x$ (Fermat).",
            q=step.q,
            a=step.a,
            phi=phi,
        )
    return say(
        "$gcd({a}, {q}) = 1$ and ${chain}$, so $x^{phi} ≡ 1 (mod {q})$ for every solution $x$ "
        "(Euler).",
        a=step.a,
        q=q,
        chain=phi_computed(step.q, step.factors, phi),
        phi=phi,
    )


def phi_computed(m: int, factors: Factors, phi: int) -> Math:
    """φ(63) = φ(9) · φ(7) = 6 · 6 = 36; φ(9) = 6; φ(11) = 10."""
    whole = applied("φ", short_modulus(m, factors))
    if len(factors) == 1:
        return equal(whole, phi)
    return equal(
        whole,
        dotted(applied("φ", short_power(p, e)) for p, e in factors),
        dotted(p ** (e - 1) * (p - 1) for p, e in factors),
        phi,
    )
