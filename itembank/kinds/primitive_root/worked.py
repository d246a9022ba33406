"""The worked solutions about primitive roots, told from their steps.

Notation as in `steps`.
"""

from collections.abc import Iterator

from itembank.kinds.order.steps import Phi
from itembank.kinds.order.worked import phi_product, powers_table, worked_phi
from itembank.kinds.primitive_root.steps import (
    CommonFactor,
    Count,
    Existence,
    Outright,
    PowersOfRoot,
    Search,
    Test,
    Trial,
)
from itembank.kinds.wording import Tellers, conjunction, listing, prime_powers
from itembank.languages.words import _, ngettext
from itembank.notation.prose import paragraph, table
from itembank.notation.tree import Block
from itembank.values.answer import ResidueSet

MOST_SHOWN = 40
"""The most powers of a primitive root that are shown in a table."""


def set_text(roots: ResidueSet, m: str) -> str:
    if not roots:
        return _("There are no primitive roots modulo ${m}$.").format(m=m)
    if roots.count > MOST_SHOWN:
        return _("There are {n} primitive roots modulo ${m}$; the least is {least}.").format(
            n=roots.count, m=m, least=roots.least()
        )
    return ngettext(
        "The primitive root modulo ${m}$ is ${roots}$.",
        "The primitive roots modulo ${m}$ are ${roots}$: {n} of them.",
        roots.count,
    ).format(m=m, roots=listing(roots.residues()), n=roots.count)


def number_text(n: int, m: str) -> str:
    if n == 0:
        return _("There are no primitive roots modulo ${m}$: their number is 0.").format(m=m)
    return ngettext(
        "There is {n} primitive root modulo ${m}$.",
        "There are {n} primitive roots modulo ${m}$.",
        n,
    ).format(n=n, m=m)


# ------------------------------------------------------------ the steps


def worked_existence(step: Existence) -> Iterator[Block]:
    n, product = step.n, prime_powers(step.factors)
    theorem = _(
        "Primitive roots exist exactly modulo 1, 2, 4, $p^k$ and $2p^k$ with an odd prime $p$."
    )
    texts = {
        "1": _("{n} is one of these."),
        "2": _("{n} is one of these."),
        "4": _("{n} is one of these."),
        "p": _("{n} is an odd prime."),
        "p^k": _("${n} = {product}$ is a power of an odd prime."),
        "2p": _("${n} = {product}$ is twice an odd prime."),
        "2p^k": _("${n} = {product}$ is twice a power of an odd prime."),
        "4 | n": _("${n} = {product}$ is divisible by 4 and not 4 itself, so there are none."),
        "two primes": _("${n} = {product}$ is divisible by two odd primes, so there are none."),
    }
    yield paragraph(f"{theorem} " + texts[step.form].format(n=n, product=product), _("Existence."))


def worked_common_factor(step: CommonFactor) -> Iterator[Block]:
    yield paragraph(
        _(
            "$gcd({a}, {n}) = {d}$. A primitive root has every unit among its powers, so it is a "
            "unit itself; ${a}$ is not a unit."
        ).format(a=step.a, n=step.n, d=step.d),
        _("Greatest common divisor."),
    )


def worked_outright(step: Outright) -> Iterator[Block]:
    texts = {
        1: _("Modulo 1 the only residue is 0, and it is its own power."),
        2: _("Modulo 2 the only unit is 1."),
        3: _("Modulo 3 the units are 1 and $2$, and $2^2 ≡ 1$: the powers of 2 are both."),
        4: _("Modulo 4 the units are 1 and 3, and $3^2 ≡ 1$: the powers of 3 are both."),
    }
    yield paragraph(texts[step.n])


def criterion(a: str, whole: int, primes: tuple[int, ...], n: int) -> str:
    """What has to be tested, in one sentence."""
    return ngettext(
        "${a}$ is a primitive root modulo {n} if and only if its order is {whole}. The only prime "
        "of {whole} is {primes}, so ${exponents}$ is the exponent to test: the power must not be "
        "1.",
        "${a}$ is a primitive root modulo {n} if and only if its order is {whole}. The primes of "
        "{whole} are {primes}, so the exponents to test are ${exponents}$: none of the powers may "
        "be 1.",
        len(primes),
    ).format(
        a=a,
        n=n,
        whole=whole,
        primes=conjunction(map(str, primes)),
        exponents=", ".join(f"{whole}/{q} = {whole // q}" for q in primes),
    )


def worked_test(step: Test) -> Iterator[Block]:
    a, n = step.trial.a, step.n
    yield paragraph(criterion(str(a), step.whole, step.primes, n), _("Test."))
    if step.powers:
        yield powers_table(step.powers)
    powers = conjunction(
        f"${a}^{step.whole // q} ≡ {value} (mod {n})$" for q, value in step.trial.powers
    )
    if step.trial.passed(n):
        text = ngettext(
            "{powers}, not 1: the order of ${a}$ is {whole}.",
            "{powers}, none of them 1: the order of ${a}$ is {whole}.",
            len(step.trial.powers),
        )
    else:
        text = _("{powers}: the order of ${a}$ divides {smaller}, which is less than {whole}.")
    q = step.trial.powers[-1][0]
    yield paragraph(text.format(powers=powers, a=a, whole=step.whole, smaller=step.whole // q))


def worked_search(step: Search) -> Iterator[Block]:
    yield paragraph(
        criterion("a", step.whole, step.primes, step.n)
        + " "
        + _("The powers are found by repeated squaring."),
        _("The least one."),
    )
    yield table(
        ("$a$", *(f"$a^{step.whole // q}$" for q in step.primes), ""),
        [trial_row(trial, step) for trial in step.trials],
    )
    yield paragraph(_("The least primitive root is {g}.").format(g=step.least))


def trial_row(trial: Trial, step: Search) -> tuple[str, ...]:
    values = [f"${value}$" for _q, value in trial.powers]
    values += [""] * (len(step.primes) - len(values))
    verdict = _("primitive root") if trial.passed(step.n) else _("no")
    return (f"${trial.a}$", *values, verdict)


def worked_powers_of_root(step: PowersOfRoot) -> Iterator[Block]:
    whole, shown = step.whole, len(step.powers) <= MOST_SHOWN
    if shown:
        text = _(
            "Every unit is a power ${g}^k$, and its order is {whole} if and only if $gcd(k, "
            "{whole}) = 1$. So the primitive roots are the powers of {g} with these exponents:"
        )
    else:
        text = _(
            "Every unit is a power ${g}^k$, and its order is {whole} if and only if $gcd(k, "
            "{whole}) = 1$. So the primitive roots are the powers of {g} with the {count} "
            "exponents from 1 to {whole} that are coprime to {whole}."
        )
    yield paragraph(text.format(g=step.g, whole=whole, count=len(step.powers)), _("All of them."))
    if shown:
        yield table((_("power"), _("calculation")), list(power_rows(step)))


def power_rows(step: PowersOfRoot) -> Iterator[tuple[str, str]]:
    """g^k for each exponent, made from the row before: 3^7 is 5 · 9 = 45 ≡ 11."""
    n, g, before, value = step.n, step.g, 1, step.g
    for k, residue in step.powers:
        calculation = str(g)
        if k > 1:
            factor = pow(g, k - before, n)
            product = value * factor
            calculation = f"{value} * {factor} = {product}"
            if product >= n:
                calculation += f" == {residue}"
        yield f"${g}^{k}$", f"${calculation}$"
        before, value = k, residue


def worked_count(step: Count) -> Iterator[Block]:
    n, whole = step.n, step.whole
    if whole <= 2:
        value = f"φ({whole}) = 1"
    elif len(step.whole_factors) == 1 and step.whole_factors[0][1] == 1:
        value = f"φ({whole}) = {whole} - 1 = {step.count}"
    else:
        calls, values = phi_product(step.whole_factors)
        single = len(step.whole_factors) == 1
        value = f"φ({whole}) = {calls} = {values}" + ("" if single else f" = {step.count}")
    yield paragraph(
        _(
            "If $g$ is a primitive root, the others are the powers $g^k$ with $gcd(k, {whole}) = "
            "1$, so there are $φ(φ({n})) = {value}$ of them."
        ).format(whole=whole, n=n, value=value),
        _("The number."),
    )


WORKED: Tellers = {
    Existence: worked_existence,
    CommonFactor: worked_common_factor,
    Outright: worked_outright,
    Phi: worked_phi,
    Test: worked_test,
    Search: worked_search,
    PowersOfRoot: worked_powers_of_root,
    Count: worked_count,
}
"""How each step is told."""
