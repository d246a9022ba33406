"""The claims of the trade: each a sentence with numbers in it, its verdict, and why it is so.

The words of a claim say nothing of its verdict: with other numbers the same sentence is
always true, sometimes, or never.  The verdict follows from a theorem; what is sometimes true
is shown by two examples.  Notation: m, n moduli, p prime, k exponent, r, s residues.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
sections 2.1 to 2.8 and 3.1; the numbers of the theorems stand beside the claims.
"""

from collections.abc import Callable
from dataclasses import dataclass

from itembank.kinds.claim import verdicts
from itembank.kinds.claim.verdicts import Found


@dataclass(frozen=True)
class Claim:
    """A claim: what is assumed, what follows (one of them), with {0}, {1}, ... for numbers.

    `least` are the least values of its numbers; `verdict` says what it is, and why.  `reduced`:
    in a family the first number of each pair is a residue modulo the second.
    """

    name: str
    given: tuple[str, ...]
    follows: tuple[str, ...]
    least: tuple[int, ...]
    verdict: Callable[..., Found]
    reduced: tuple[tuple[int, int], ...] = ()


CATALOGUE: tuple[Claim, ...] = (
    Claim(
        "residue-known",
        ("a = {1} mod {0}",),
        ("a = {3} mod {2}",),
        (2, 0, 2, 0),
        verdicts.residue_known,
        ((1, 0), (3, 2)),
    ),
    Claim(
        "difference-known",
        ("a = b + {1} mod {0}",),
        ("a = b mod {2}",),
        (2, 1, 2),
        verdicts.difference_known,
        ((1, 0),),
    ),
    Claim("squares", ("a = b mod {0}",), ("a^2 = b^2 mod {1}",), (2, 2), verdicts.squares),
    Claim(
        "cancel",
        ("{1}a = {1}b mod {0}",),
        ("a = b mod {2}",),
        (2, 2, 2),
        verdicts.cancel,
        ((1, 0),),
    ),
    Claim(
        "zero-product",
        ("ab = 0 mod {0}",),
        ("a = 0 mod {0}", "b = 0 mod {0}"),
        (2,),
        verdicts.zero_product,
    ),
    Claim("zero-power", ("a^{1} = 0 mod {0}",), ("a = 0 mod {2}",), (2, 2, 2), verdicts.zero_power),
    Claim(
        "equal-squares",
        ("a^2 = b^2 mod {0}",),
        ("a = b mod {0}", "a = -b mod {0}"),
        (2,),
        verdicts.equal_squares,
    ),
    Claim(
        "power-of-residue",
        ("a = {1} mod {0}",),
        ("a^{2} = {3} mod {0}",),
        (2, 0, 2, 0),
        verdicts.power_of_residue,
        ((1, 0), (3, 0)),
    ),
    Claim(
        "unit-power",
        ("gcd(a, {0}) = 1",),
        ("a^{1} = {2} mod {0}",),
        (3, 2, 0),
        verdicts.unit_power,
        ((2, 0),),
    ),
    Claim(
        "square-value",
        (),
        ("a^2 = {1} mod {0}",),
        (3, 0),
        verdicts.square_value,
        ((1, 0),),
    ),
    Claim(
        "two-squares",
        (),
        ("a^2 + b^2 = {1} mod {0}",),
        (3, 0),
        verdicts.two_squares,
        ((1, 0),),
    ),
    Claim(
        "number-of-roots",
        ("gcd(a, {0}) = 1",),
        ("x^2 = a mod {0} has exactly {1} solutions",),
        (2, 0),
        verdicts.number_of_roots,
        ((1, 0),),
    ),
    Claim(
        "linear-count",
        ("a = {1} mod {0}",),
        ("{2}x = a mod {0} has exactly {3} solutions",),
        (2, 0, 2, 0),
        verdicts.linear_count,
        ((1, 0), (2, 0), (3, 0)),
    ),
    Claim(
        "coefficient-count",
        ("gcd(a, {0}) = 1",),
        ("ax = {1} mod {0} has exactly {2} solutions",),
        (2, 0, 0),
        verdicts.coefficient_count,
        ((1, 0), (2, 0)),
    ),
    Claim(
        "any-count",
        (),
        ("ax = {1} mod {0} has exactly {2} solutions",),
        (2, 0, 0),
        verdicts.any_count,
        ((1, 0), (2, 0)),
    ),
    Claim(
        "sum-of-units",
        ("gcd(a, {0}) = 1", "gcd(b, {0}) = 1"),
        ("gcd(a + b, {0}) = 1",),
        (2,),
        verdicts.sum_of_units,
    ),
    Claim(
        "product-of-units",
        ("gcd(a, {0}) = 1", "gcd(b, {0}) = 1"),
        ("gcd(ab, {1}) = 1",),
        (2, 2),
        verdicts.product_of_units,
    ),
    Claim(
        "unit-of-class",
        ("a = {1} mod {0}",),
        ("gcd(a, {2}) = 1",),
        (2, 0, 2),
        verdicts.unit_of_class,
        ((1, 0),),
    ),
    Claim(
        "products-of-classes",
        ("a = b mod {0}", "c = d mod {0}"),
        ("ac = bd mod {1}",),
        (2, 2),
        verdicts.products_of_classes,
    ),
    Claim(
        "two-moduli",
        ("a = b mod {0}", "a = b mod {1}"),
        ("a = b mod {2}",),
        (2, 2, 2),
        verdicts.two_moduli,
    ),
    Claim(
        "sum-of-classes",
        ("a = {1} mod {0}", "b = {2} mod {0}"),
        ("a + b = {4} mod {3}",),
        (2, 0, 0, 2, 0),
        verdicts.sum_of_classes,
        ((1, 0), (2, 0), (4, 3)),
    ),
    Claim(
        "product-of-classes",
        ("a = {1} mod {0}", "b = {2} mod {0}"),
        ("ab = {4} mod {3}",),
        (2, 0, 0, 2, 0),
        verdicts.product_of_classes,
        ((1, 0), (2, 0), (4, 3)),
    ),
    Claim(
        "equal-powers",
        ("a^{1} = b^{1} mod {0}",),
        ("a = b mod {0}",),
        (2, 2),
        verdicts.equal_powers,
    ),
    Claim("fermat", (), ("a^{1} = a mod {0}",), (2, 2), verdicts.fermat),
    Claim(
        "idempotent",
        ("a^2 = a mod {0}",),
        ("a = 0 mod {0}", "a = 1 mod {0}"),
        (2,),
        verdicts.idempotent,
    ),
    Claim(
        "square-one",
        ("a^2 = 1 mod {0}",),
        ("a = 1 mod {0}", "a = -1 mod {0}"),
        (3,),
        verdicts.square_one,
    ),
    Claim(
        "zero-sum-of-squares",
        ("a^2 + b^2 = 0 mod {0}",),
        ("a = 0 mod {0}",),
        (2,),
        verdicts.zero_sum_of_squares,
    ),
    Claim(
        "consecutive",
        (),
        ("a(a + 1) = {1} mod {0}",),
        (2, 0),
        verdicts.consecutive,
        ((1, 0),),
    ),
    Claim(
        "three-consecutive",
        (),
        ("a(a + 1)(a + 2) = {1} mod {0}",),
        (2, 0),
        verdicts.three_consecutive,
        ((1, 0),),
    ),
    Claim(
        "non-zero-power",
        ("a != 0 mod {0}",),
        ("a^{1} = 1 mod {0}",),
        (2, 2),
        verdicts.non_zero_power,
    ),
    Claim(
        "opposite-power",
        ("a = -b mod {0}",),
        ("a^{1} = b^{1} mod {0}",),
        (2, 2),
        verdicts.opposite_power,
    ),
    Claim("invertible", ("ab = 1 mod {0}",), ("gcd(a, {1}) = 1",), (2, 2), verdicts.invertible),
)
"""In the order of their numbers, which families name: 1, 2, ..."""
