"""The first part of a worked solution: the modulus split, common factors divided out."""

from collections.abc import Iterator

from itembank.kinds.polynomial.steps import DivideOut, Split
from itembank.kinds.polynomial.telling.phrases import short_modulus, short_power
from itembank.kinds.wording import IN_A_SENTENCE
from itembank.languages import Said, Told, each, lead, say
from itembank.notation.building import dotted, equal, factored_modulus, polynomial, power
from itembank.notation.tree import Math


def split(step: Split, lifted: bool = True) -> Iterator[Told]:
    if len(step.factors) > 1:
        yield lead("Split the modulus.")
    yield from _normalised(step)
    yield _modulus_told(step, lifted)


def _normalised(step: Split) -> Iterator[Told]:
    """How the congruence becomes f(x) ≡ 0."""
    f = polynomial(step.f)
    if step.reduced_from is not None:
        before = polynomial(step.reduced_from)
        if step.moved:
            yield say("Move everything to the left side, which becomes ${before}$.", before=before)
        yield say(
            "Coefficients may be replaced by their residues: ${before} ≡ {after} (mod {m})$.",
            before=before,
            after=f,
            m=short_modulus(step.modulus, step.factors),
        )
        yield say("Write $f(x) = {f}$.", f=f)
    elif step.moved:
        yield say("Move everything to the left side, and write $f(x) = {f}$.", f=f)
    else:
        yield say("Write $f(x) = {f}$.", f=f)


def _modulus_told(step: Split, lifted: bool) -> Said:
    if step.modulus == 1:
        return say("Every integer is divisible by 1, so every integer is a solution.")
    return _several_prime_powers(step) if len(step.factors) > 1 else _one_prime_power(step, lifted)


def _one_prime_power(step: Split, lifted: bool) -> Said:
    ((p, k),) = step.factors
    if k == 1:
        return say("The modulus {p} is prime.", p=p)
    forms: list[int | Math] = [power(p, k)]
    if step.modulus <= IN_A_SENTENCE:
        forms.insert(0, step.modulus)
    if not lifted:
        return say("The modulus is a power of one prime, ${power}$.", power=equal(*forms))
    return say(
        "The modulus is a power of one prime, ${power}$: solve modulo {p}, then lift.",
        power=equal(*forms),
        p=p,
    )


def _several_prime_powers(step: Split) -> Said:
    moduli = [short_power(p, k) for p, k in step.factors]
    forms: list[int | Math] = [dotted(moduli), factored_modulus(step.factors)]
    if step.modulus <= IN_A_SENTENCE:
        forms.insert(0, step.modulus)
    chain = equal(*dict.fromkeys(forms))
    m = short_modulus(step.modulus, step.factors)
    if len(moduli) == 2:
        return say(
            "The modulus is ${chain}$, and no two of these factors share a prime. So $x$ solves "
            "the congruence modulo ${m}$ exactly when it solves it modulo ${first}$ and modulo "
            "${second}$.",
            chain=chain,
            m=m,
            first=moduli[0],
            second=moduli[1],
        )
    return say(
        "The modulus is ${chain}$, and no two of these factors share a prime. So $x$ solves the "
        "congruence modulo ${m}$ exactly when it solves it modulo each of {moduli}.",
        chain=chain,
        m=m,
        moduli=each(moduli),
    )


def divide_out(step: DivideOut) -> Iterator[Told]:
    q = short_power(step.p, step.v)
    yield lead("Modulo ${q}$.", q=short_power(step.p, step.k))
    if step.v == step.k:
        yield say("Every coefficient is divisible by ${q}$, so every residue is a solution.", q=q)
        return
    yield say(
        "Every coefficient is divisible by ${q}$. Divide the congruence by ${q}$, its modulus "
        "too: $g(x) ≡ 0 (mod {rest})$ is left, where $g(x) = {g}$.",
        q=q,
        rest=short_power(step.p, step.k - step.v),
        g=polynomial(step.g),
    )
