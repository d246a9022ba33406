"""Calculations modulo m as chains of trees: 6 · 9 = 54 ≡ 2."""

from itembank.kinds.wording import fits
from itembank.notation.building import number, tree
from itembank.notation.tree import Math, Relation


def calculated(calculation: int | Math, value: int, m: int) -> Relation:
    """The calculation, its value, and the least residue of that where it is another number.

    >>> calculated(number(5), 5, 3).signs
    ('=', '≡')
    """
    if 0 <= value < m:
        return Relation((tree(calculation), number(value)), ("=",))
    return Relation((tree(calculation), number(value), number(value % m)), ("=", "≡"))


def congruent(a: int | Math, b: int | Math) -> Relation:
    """a ≡ b, in a line where the modulus is known."""
    return Relation((tree(a), tree(b)), ("≡",))


def calculated_or_congruent(calculation: int | Math, value: int, m: int) -> Relation:
    """As `calculated`; a value that is too long to write is left out: 6^99 ≡ 3."""
    if 0 <= value < m or fits(value):
        return calculated(calculation, value, m)
    return congruent(calculation, value % m)


def residue_chain(value: int, m: int) -> Math:
    """63 ≡ 11; 7 alone if it is its own least residue; 11 alone for a number too long to write."""
    if 0 <= value < m:
        return number(value)
    return congruent(value, value % m) if fits(value) else number(value % m)
