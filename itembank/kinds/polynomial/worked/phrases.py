"""How powers, moduli, roots and classes are written."""

from collections.abc import Iterator, Sequence

from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    Piece,
    each_on_a_line,
    listing,
    one_of_classes,
    residue_lines,
)
from itembank.languages.words import ngettext
from itembank.maths.primes import valuation
from itembank.values.answer import Class

Factors = Sequence[tuple[int, int]]


def power(p: int, k: int) -> str:
    return str(p) if k == 1 else f"{p}^{k}"


def power_value(p: int, k: int) -> str:
    """9, or 3^40 when the number itself would be long."""
    return str(p**k) if p**k <= FITS_ON_THE_BOARD else power(p, k)


def factored(factors: Factors) -> str:
    return " · ".join(power(p, k) for p, k in factors)


def modulus_text(m: int, factors: Factors) -> str:
    """117, or 3^40 when the number itself would be long."""
    if m <= FITS_ON_THE_BOARD or all(k == 1 for _p, k in factors):
        return str(m)
    return factored(factors)


def divided(d: int, factors: Factors) -> list[tuple[int, int]]:
    """The factorisation of a divisor d of the product of the factors."""
    return [(p, k) for p, _most in factors if (k := valuation(d, p))]


def roots_told(roots: Sequence[int], modulus: object) -> Iterator[Piece]:
    """The root is x ≡ 1 (mod 3). / The roots are x ≡ 1, 2 (mod 3)."""
    if each_on_a_line(roots):
        yield ngettext("Modulo ${m}$ the root is", "Modulo ${m}$ the roots are", len(roots)).format(
            m=modulus
        )
        yield residue_lines(roots)
        return
    yield ngettext(
        "The root is $x ≡ {roots} (mod {m})$.",
        "The roots are $x ≡ {roots} (mod {m})$.",
        len(roots),
    ).format(roots=listing(roots), m=modulus)


def class_phrase(classes: Sequence[Class], factors: Factors) -> str:
    """x ≡ 4 (mod 9); x ≡ 1, 2 (mod 9) or x ≡ 3 (mod 27)."""
    return one_of_classes(classes, lambda d: modulus_text(d, divided(d, factors)))
