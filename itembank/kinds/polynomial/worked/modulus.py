"""The first part of a worked solution: the modulus split, common factors divided out."""

from collections.abc import Iterator

from itembank.kinds.polynomial.steps import DivideOut, Split
from itembank.kinds.polynomial.worked.phrases import factored, modulus_text, power, power_value
from itembank.kinds.wording import IN_A_SENTENCE, Piece, conjunction, flowing, polynomial, run_in
from itembank.languages.words import _
from itembank.notation.tree import Block


def split(step: Split) -> Iterator[Block]:
    several = len(step.factors) > 1
    lead = _("Split the modulus.") if several else ""
    yield from flowing([*normalised(step), *modulus_told(step)], lead)


def normalised(step: Split) -> Iterator[Piece]:
    """How the congruence becomes f(x) ≡ 0."""
    f = polynomial(step.f)
    if step.reduced_from is not None:
        before = polynomial(step.reduced_from)
        if step.moved:
            yield _("Move everything to the left side, which becomes ${before}$.").format(
                before=before
            )
        yield _(
            "Coefficients may be replaced by their residues: ${before} ≡ {after} (mod {m})$."
        ).format(m=modulus_text(step.modulus, step.factors), before=before, after=f)
        yield _("Write $f(x) = {f}$.").format(f=f)
    elif step.moved:
        yield _("Move everything to the left side, and write $f(x) = {f}$.").format(f=f)
    else:
        yield _("Write $f(x) = {f}$.").format(f=f)


def modulus_told(step: Split) -> Iterator[Piece]:
    m = step.modulus
    if m == 1:
        yield _("Every integer is divisible by 1, so every integer is a solution.")
    elif len(step.factors) > 1:
        yield several_prime_powers(step)
    else:
        yield one_prime_power(step)


def one_prime_power(step: Split) -> str:
    ((p, k),) = step.factors
    if k == 1:
        return _("The modulus {p} is prime.").format(p=p)
    shown = power(p, k)
    if step.modulus <= IN_A_SENTENCE:
        shown = f"{step.modulus} = {shown}"
    return _("The modulus is a power of one prime, ${power}$: solve modulo {p}, then lift.").format(
        power=shown, p=p
    )


def several_prime_powers(step: Split) -> str:
    moduli = [power_value(p, k) for p, k in step.factors]
    forms = [" · ".join(moduli), factored(step.factors)]
    if step.modulus <= IN_A_SENTENCE:
        forms.insert(0, str(step.modulus))
    return _(
        "The modulus is ${chain}$, and no two of these factors share a prime. So $x$ solves the "
        "congruence modulo ${m}$ exactly when it solves it {moduli}."
    ).format(
        chain=" = ".join(dict.fromkeys(forms)),
        m=modulus_text(step.modulus, step.factors),
        moduli=conjunction(_("modulo {q}").format(q=f"${q}$") for q in moduli),
    )


def divide_out(step: DivideOut) -> Iterator[Block]:
    q = power_value(step.p, step.v)
    lead = _("Modulo {q}.").format(q=run_in(power_value(step.p, step.k)))
    if step.v == step.k:
        text = _("Every coefficient is divisible by ${q}$, so every residue is a solution.")
    else:
        text = _(
            "Every coefficient is divisible by ${q}$. Divide the congruence by ${q}$, its modulus "
            "too: $g(x) ≡ 0 (mod {rest})$ is left, where $g(x) = {g}$."
        )
    rest = power_value(step.p, step.k - step.v)
    yield from flowing([text.format(q=q, g=polynomial(step.g), rest=rest)], lead)
