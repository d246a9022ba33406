"""The worked solutions of phi(n) and lambda(n), told from their steps."""

from collections.abc import Iterator

from itembank.kinds.totient.steps import ByFormula, Combine, Exponent, FactorNumber, LocalValues
from itembank.kinds.wording import Tellers, prime_power, prime_powers
from itembank.languages.words import _
from itembank.notation.prose import display, paragraph
from itembank.notation.tree import Block


def factor_number(step: FactorNumber) -> Iterator[Block]:
    n = step.n
    if n == 1:
        text = _("1 has no prime factor, so nothing is left to combine: the value is 1.")
    elif step.factors == ((n, 1),):
        text = _("{n} is prime.")
    else:
        text = _("${n} = {product}$.")
    yield paragraph(text.format(n=n, product=prime_powers(step.factors)), _("Factor."))


def local_values(step: LocalValues) -> Iterator[Block]:
    highest = max(k for _p, k, _value in step.values)
    if step.function == "phi" and highest == 1:
        text = _(
            "All of the numbers 1, ..., $p - 1$ are coprime to a prime $p$, so $φ(p) = p - 1$:"
        )
        rows = [phi_row(*value) for value in step.values]
    elif step.function == "phi":
        text = _(
            "For a prime $p$ the numbers from 1 to $p^k$ that are not coprime to it are the $p^(k "
            "- 1)$ multiples of $p$, so $φ(p^k) = p^k - p^(k - 1) = p^(k - 1) (p - 1)$:"
        )
        rows = [phi_row(*value) for value in step.values]
    else:
        text = _(
            "For an odd prime $p$ there is a primitive root modulo $p^k$, so $λ(p^k) = φ(p^k) = "
            "p^(k - 1) (p - 1)$. Powers of 2: $λ(2) = 1$, $λ(4) = 2$, and $λ(2^k) = 2^(k - 2)$ "
            "from $k = 3$ on, since there is no primitive root modulo 8."
        )
        if all(p > 2 for p, _k, _v in step.values):
            text = _(
                "For an odd prime $p$ there is a primitive root modulo $p^k$, so $λ(p^k) = φ(p^k) "
                "= p^(k - 1) (p - 1)$:"
            )
        rows = [lambda_row(*value) for value in step.values]
    yield paragraph(text, _("Prime powers."))
    yield display(*rows)


def phi_row(p: int, k: int, value: int) -> str:
    if k == 1:
        return f"φ({p}) = {p} - 1 = {value}"
    below = prime_power(p, k - 1)
    if p == 2:
        return f"φ(2^{k}) = {below} · (2 - 1) = {value}"
    return f"φ({p}^{k}) = {below} · ({p} - 1) = {below} · {p - 1} = {value}"


def lambda_row(p: int, k: int, value: int) -> str:
    if p == 2:
        return f"λ({prime_power(2, k)}) = " + (f"2^{k - 2} = " if k > 3 else "") + str(value)
    return phi_row(p, k, value).replace("φ", "λ")


def combine(step: Combine) -> Iterator[Block]:
    values = step.values
    if step.function == "phi":
        text = _(
            "The prime powers have no factor in common, so the values are multiplied: $φ({n}) = "
            "{product} = {result}$."
        )
        product = " · ".join(map(str, values))
    else:
        text = _(
            "A power of $a$ is 1 modulo {n} if and only if it is 1 modulo each of the prime "
            "powers, so the exponent has to be a multiple of each value: $λ({n}) = {product} = "
            "{result}$."
        )
        product = f"lcm({', '.join(map(str, values))})"
    yield paragraph(text.format(n=step.n, product=product, result=step.result), _("Combine."))


def by_formula(step: ByFormula) -> Iterator[Block]:
    product = " · ".join(f"(1 - 1/{p})" for p, _left in step.rows)
    chain, before = [], step.n
    for p, left in step.rows:
        chain.append(f"${before}/{p} · {p - 1} = {left}$")
        before = left
    yield paragraph(
        _(
            "The product formula $φ({n}) = {n} · {product}$ gives the same, prime by prime: "
            "{chain}."
        ).format(n=step.n, product=product, chain=", ".join(chain)),
        _("Check."),
    )


def exponent(step: Exponent) -> Iterator[Block]:
    if step.phi == step.value:
        text = _("$φ({n})$ has the same value.")
    else:
        text = _("It divides $φ({n}) = {phi} = {quotient} · {value}$, as it must.")
    yield paragraph(
        text.format(n=step.n, phi=step.phi, quotient=step.phi // step.value, value=step.value),
        _("Check."),
    )


TOLD: Tellers = {
    FactorNumber: factor_number,
    LocalValues: local_values,
    Combine: combine,
    ByFormula: by_formula,
    Exponent: exponent,
}
"""How each step is told."""
