"""How powers, moduli, roots and classes are written."""

from collections.abc import Iterator, Sequence

from itembank.kinds.wording import FITS_ON_THE_BOARD, by_modulus, each_on_a_line, fits
from itembank.languages import Said, Told, counted, say, shown
from itembank.languages.saying import Either, either
from itembank.maths.primes import valuation
from itembank.notation.building import (
    congruence,
    dotted,
    equal,
    factored_modulus,
    listed,
    number,
    power,
)
from itembank.notation.tree import Letter, Math, Modulo, Power, Relation, Sum
from itembank.values.answer import Class

Factors = Sequence[tuple[int, int]]

X = Letter("x")

# ------------------------------------------------------------ numbers


def short_power(p: int, k: int) -> Math:
    """9, or 3^40 when the number itself would be long."""
    return number(p**k) if p**k <= FITS_ON_THE_BOARD else power(p, k)


def short_modulus(m: int, factors: Factors) -> Math:
    """117, or 3^40 when the number itself would be long."""
    if m <= FITS_ON_THE_BOARD or all(k == 1 for _p, k in factors):
        return number(m)
    return factored_modulus(factors)


def _divided(d: int, factors: Factors) -> list[tuple[int, int]]:
    """The factorisation of a divisor d of the product of the factors."""
    return [(p, k) for p, _most in factors if (k := valuation(d, p))]


def short_divisor(d: int, factors: Factors) -> Math:
    """As `short_modulus`, of a divisor d of the product of the factors."""
    return short_modulus(d, _divided(d, factors))


def residue_shown(value: int, m: int) -> Math:
    """63 ≡ 11, or 7 alone when 7 is its own least residue, or 11 alone for a long number."""
    if 0 <= value < m:
        return number(value)
    least = number(value % m)
    return Relation((number(value), least), ("≡",)) if fits(value) else least


def reduced_to(left: Math, value: int, m: int) -> Relation:
    """left = 63 ≡ 11, left = 7, or left ≡ 11 where the value 63 of the left itself is long."""
    if 0 <= value < m or fits(value):
        return related(left, "=", residue_shown(value, m))
    return related(left, "≡", number(value % m))


def multiple_shown(value: int, m: int) -> Math:
    """117, 585 = 5 · 117, 0, -117: how a multiple of m is shown to be one."""
    q = value // m
    return number(value) if q in (-1, 0, 1) else equal(value, dotted((q, m)))


def congruent_to(left: Math, value: int, m: int) -> Modulo:
    """left = 63 ≡ 11 (mod 13), left ≡ 7 (mod 13)."""
    chain = reduced_to(left, value, m)
    if chain.signs == ("=",):
        chain = related(left, "≡", number(value))
    return Modulo(chain, number(m))


def related(left: Math, sign: str, right: Math) -> Relation:
    """left sign right; a chain on either side is a part of the chain."""
    before, after = _chain_of(left), _chain_of(right)
    return Relation((*before.sides, *after.sides), (*before.signs, sign, *after.signs))


def _chain_of(node: Math) -> Relation:
    return node if isinstance(node, Relation) else Relation((node,), ())


# ------------------------------------------------------------ roots and classes


def roots_told(roots: Sequence[int], modulus: int | Math) -> Iterator[Told]:
    """The root is x ≡ 1 (mod 3). / The roots are x ≡ 1, 2 (mod 3)."""
    n = len(roots)
    if each_on_a_line(roots):
        yield counted("Modulo ${m}$ the root is", "Modulo ${m}$ the roots are", n, m=modulus)
        yield on_lines(roots)
        return
    yield counted(
        "The root is $x ≡ {roots} (mod {m})$.",
        "The roots are $x ≡ {roots} (mod {m})$.",
        n,
        roots=listed(roots),
        m=modulus,
    )


def on_lines(residues: Sequence[int]) -> Told:
    """x ≡ r, a line each."""
    return shown(*(related(X, "≡", number(r)) for r in residues))


def one_of(classes: Sequence[Class], factors: Factors) -> Either:
    """x ≡ 4 (mod 9); x ≡ 1, 2 (mod 9) or x ≡ 3 (mod 27): x lies in one of them, never in two."""
    return either(
        congruence(X, listed(rs), short_divisor(d, factors)) for d, rs in by_modulus(classes)
    )


def every_residue(classes: Sequence[Class]) -> bool:
    return classes == ((0, 1),)


def perfect_power(a: int, root: int, k: int, m: int) -> Said:
    """26 ≡ 26 + 2 · 37 = 100 = 10^2 (mod 37); 27 = 3^3."""
    power, value = Power(number(root), number(k)), root**k
    if value == a:
        return say("${a} = {power}$.", a=a, power=power)
    n = abs(value - a) // m
    multiple = dotted((n, m)) if n > 1 else number(m)
    sum_ = Sum(((1, number(a)), (1 if value > a else -1, multiple)))
    return say(
        "${a} ≡ {sum} = {value} = {power} (mod {m})$.", a=a, sum=sum_, value=value, power=power, m=m
    )
