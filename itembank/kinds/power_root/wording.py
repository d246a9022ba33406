"""How the working of x^k = a writes powers, moduli, roots and classes; sentences of several steps.

The counting of its solutions writes them so too. A modulus that is a small number is an integer,
so that a sentence holds it in digits; a long one is a formula.
"""

from collections.abc import Iterator, Sequence

from itembank.kinds.wording import FITS_ON_THE_BOARD, by_modulus, each_on_a_line, fits
from itembank.languages import Said, Told, counted, either, lead, say, shown
from itembank.languages.saying import Either, Lead
from itembank.maths.primes import Factors, valuation
from itembank.notation.building import (
    congruence,
    dotted,
    equal,
    factored_modulus,
    listed,
    monomial,
    power,
)
from itembank.notation.tree import Letter, Math, Number, Power, Relation
from itembank.values.answer import Class

Written = int | Math
"""A number as it is written: in digits, or as a formula."""


# ------------------------------------------------------------ moduli


def prime_power(p: int, k: int) -> Written:
    """9, or 3^40 when the number itself would be long."""
    q = int(p**k)
    return q if q <= FITS_ON_THE_BOARD else power(p, k)


def modulus_written(m: int, factors: Sequence[tuple[int, int]]) -> Written:
    """117, or 3^40 when the number itself would be long and its factors are not."""
    short = m <= FITS_ON_THE_BOARD or all(k == 1 for _p, k in factors)
    return m if short else factored_modulus(factors)


def modulus_split(m: int, factors: Factors) -> Math:
    """63 = 9 · 7 = 3^2 · 7; 15 = 3 · 5."""
    numbers = dotted(prime_power(p, e) for p, e in factors)
    return equal(*dict.fromkeys((Number(m), numbers, factored_modulus(factors))))


# ------------------------------------------------------------ calculations


def reduced(value: int, m: int) -> Math:
    """63 ≡ 11; 7 alone when it is its own least residue; 11 alone for a long number."""
    if 0 <= value < m or not fits(value):
        return Number(value % m)
    return Relation((Number(value), Number(value % m)), ("≡",))


def worked_out(left: Math, value: int, m: int) -> Relation:
    """left = 63 ≡ 11, left = 7, or left ≡ 11 where the number itself is long."""
    if 0 <= value < m:
        return Relation((left, Number(value)), ("=",))
    if fits(value):
        return Relation((left, Number(value), Number(value % m)), ("=", "≡"))
    return Relation((left, Number(value % m)), ("≡",))


def before_modulus(chain: Relation) -> Relation:
    """The chain as (mod m) may follow it: equalities alone are congruences there."""
    return chain if "≡" in chain.signs else Relation(chain.sides, ("≡",) * len(chain.signs))


def power_worked_out(x: int, k: int, m: int) -> Relation:
    """5^2 = 25 ≡ 4, or 5^200 ≡ 4 where the power itself is long.  Requires x >= 0."""
    left = Power(Number(x), Number(k))
    if x <= 1 or k * x.bit_length() <= 2 * FITS_ON_THE_BOARD.bit_length():
        return worked_out(left, x**k, m)
    return Relation((left, Number(pow(x, k, m))), ("≡",))


def derivative(k: int, coefficient: int | None = None) -> Math:
    """kr^(k-1), the derivative of r^k; or that with another coefficient.

    >>> from itembank.notation import plain
    >>> [plain.math(d) for d in (derivative(2), derivative(3), derivative(3, 1))]
    ['2r', '3r²', 'r²']
    """
    return monomial(k if coefficient is None else coefficient, Letter("r"), k - 1)


# ------------------------------------------------------------ roots and classes


def classes_written(
    classes: Sequence[Class], factors: Sequence[tuple[int, int]], letter: str = "x"
) -> Either:
    """x ≡ 4 (mod 9); x ≡ 1, 2 (mod 9) or x ≡ 3 (mod 27)."""
    return either(
        congruence(Letter(letter), listed(rs), modulus_written(d, divisor(d, factors)))
        for d, rs in by_modulus(classes)
    )


def divisor(d: int, factors: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """The factorisation of a divisor d of the product of the factors."""
    return [(p, k) for p, _most in factors if (k := valuation(d, p))]


def roots_told(roots: Sequence[int], modulus: Written) -> Iterator[Told]:
    """The root is x ≡ 1 (mod 3). / The roots are x ≡ 1, 2 (mod 3)."""
    if each_on_a_line(roots):
        yield counted(
            "Modulo ${m}$ the root is", "Modulo ${m}$ the roots are", len(roots), m=modulus
        )
        yield shown(*(Relation((Letter("x"), Number(r)), ("≡",)) for r in roots))
        return
    yield counted(
        "The root is $x ≡ {roots} (mod {m})$.",
        "The roots are $x ≡ {roots} (mod {m})$.",
        len(roots),
        roots=listed(roots),
        m=modulus,
    )


# ------------------------------------------------------------ headings and sentences


def modulo(p: int, e: int) -> Lead:
    """The run-in heading of what is done modulo p^e."""
    return lead("Modulo ${q}$.", q=prime_power(p, e))


def odd_power_tested(k: int, a: int, s: int, deep: int) -> Iterator[Said]:
    """What x^k is for odd x, 2^s dividing the even k exactly; and the odd a modulo 2^deep."""
    if k == 2:
        yield say("$x$ must be odd, and the square of an odd number is 1 modulo 8.")
    else:
        yield say(
            "$x$ must be odd, and the square of an odd number is 1 modulo 8; so $x^{k}$, where "
            "{two} divides the exponent, is 1 modulo {m}.",
            k=k,
            two=prime_power(2, s),
            m=prime_power(2, s + 2),
        )
    yield say(
        "The right side is ${right} (mod {q})$.",
        right=reduced(a, 2**deep),
        q=prime_power(2, deep),
    )
