"""Calculations and sentences that steps of x^k = a share, and the counting of its solutions."""

from collections.abc import Iterator

from itembank.kinds.polynomial.telling.phrases import reduced_to, residue_shown, short_power
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.languages import Said, lead, say
from itembank.languages.saying import Lead
from itembank.maths.primes import Factors
from itembank.notation.building import dotted, equal, factored_modulus, monomial
from itembank.notation.tree import Letter, Math, Number, Power, Relation


def modulus_split(m: int, factors: Factors) -> Math:
    """63 = 9 · 7 = 3^2 · 7; 15 = 3 · 5."""
    numbers = dotted(short_power(p, e) for p, e in factors)
    return equal(*dict.fromkeys((Number(m), numbers, factored_modulus(factors))))


def power_worked_out(x: int, k: int, m: int) -> Relation:
    """5^2 = 25 ≡ 4, or 5^200 ≡ 4 where the power itself is long.  Requires x >= 0."""
    left = Power(Number(x), Number(k))
    if x <= 1 or k * x.bit_length() <= 2 * FITS_ON_THE_BOARD.bit_length():
        return reduced_to(left, x**k, m)
    return Relation((left, Number(pow(x, k, m))), ("≡",))


def derivative(k: int, coefficient: int | None = None) -> Math:
    """kr^(k-1), the derivative of r^k; or that with another coefficient.

    >>> from itembank.notation import plain
    >>> [plain.math(d) for d in (derivative(2), derivative(3), derivative(3, 1))]
    ['2r', '3r²', 'r²']
    """
    return monomial(k if coefficient is None else coefficient, Letter("r"), k - 1)


def modulo(p: int, e: int) -> Lead:
    """The run-in heading of what is done modulo p^e."""
    return lead("Modulo ${q}$.", q=short_power(p, e))


def odd_power_tested(k: int, a: int, s: int, deep: int) -> Iterator[Said]:
    """What x^k is for odd x, 2^s dividing the even k exactly; and the odd a modulo 2^deep."""
    if k == 2:
        yield say("$x$ must be odd, and the square of an odd number is 1 modulo 8.")
    else:
        yield say(
            "$x$ must be odd, and the square of an odd number is 1 modulo 8; so $x^{k}$, where "
            "${two}$ divides the exponent, is 1 modulo ${m}$.",
            k=k,
            two=short_power(2, s),
            m=short_power(2, s + 2),
        )
    if 0 <= a < 2**deep:
        yield say("The right side is {a}.", a=a)
    else:
        yield say(
            "The right side is ${right} (mod {q})$.",
            right=residue_shown(a, 2**deep),
            q=short_power(2, deep),
        )
