"""Phrases that the working and the slips of x^k = a share, and the counting of its solutions."""

from collections.abc import Iterator

from itembank.kinds.polynomial.worked.phrases import factored, power_value
from itembank.kinds.wording import FITS_ON_THE_BOARD, equal_to, residue_chain, run_in
from itembank.languages.words import _
from itembank.maths.primes import Factors


def derivative_text(k: int, coefficient: int | None = None) -> str:
    """kr^(k-1), the derivative of r^k; or that with another coefficient.

    >>> derivative_text(2), derivative_text(3), derivative_text(3, 1)
    ('2r', '3r^2', 'r^2')
    """
    c = k if coefficient is None else coefficient
    power = "r" if k == 2 else f"r^{k - 1}"
    return power if c == 1 else f"{c}{power}"


def value_of_power(x: int, k: int, m: int) -> str:
    """= 25 ≡ 4, or ≡ 4 where the power itself is long: what follows x^k."""
    if x <= 1 or k * x.bit_length() <= 2 * FITS_ON_THE_BOARD.bit_length():
        return equal_to(x**k, m)
    return f"≡ {pow(x, k, m)}"


def modulo(p: int, e: int) -> str:
    """The run-in heading of what is done modulo p^e."""
    return _("Modulo {q}.").format(q=run_in(power_value(p, e)))


def product_chain(m: int, factors: Factors) -> str:
    """63 = 9 · 7 = 3^2 · 7; 15 = 3 · 5."""
    numbers, powers = " · ".join(power_value(p, e) for p, e in factors), factored(factors)
    return f"{m} = {numbers}" + (f" = {powers}" if powers != numbers else "")


def odd_power_tested(k: int, a: int, s: int, deep: int) -> Iterator[str]:
    """What x^k is for odd x, 2^s dividing the even k exactly; and the odd a modulo 2^deep."""
    if k == 2:
        yield _("$x$ must be odd, and the square of an odd number is 1 modulo 8.")
    else:
        yield _(
            "$x$ must be odd, and the square of an odd number is 1 modulo 8; so $x^{k}$, where "
            "{two} divides the exponent, is 1 modulo {m}."
        ).format(k=k, two=power_value(2, s), m=power_value(2, s + 2))
    yield _("The right side is ${right}$.").format(
        right=f"{residue_chain(a, 2**deep)} (mod {power_value(2, deep)})"
    )
