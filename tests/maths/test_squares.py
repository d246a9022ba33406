"""Squares modulo prime powers: each fact against all squares written out."""

import pytest

from itembank.maths.squares import (
    MOST_CLASSES,
    TooManySquares,
    is_square,
    number_of_squares,
    number_of_unit_squares,
    squares,
    unit_squares,
)

POWERS = [(p, k) for p in (2, 3, 5, 7, 11, 13, 31) for k in range(1, 12) if p**k <= 2500]


def residues(classes, modulus: int) -> list[int]:
    return sorted(x for r, d in classes for x in range(r, modulus, d))


@pytest.mark.parametrize(("p", "k"), POWERS)
def test_squares_are_those_written_out(p: int, k: int) -> None:
    m = p**k
    written = {x * x % m for x in range(m)}

    assert residues(squares(p, k), m) == sorted(written)
    assert number_of_squares(p, k) == len(written)
    assert {a for a in range(m) if is_square(a, p, k)} == written


@pytest.mark.parametrize(("p", "k"), POWERS)
def test_squares_of_units_are_those_written_out(p: int, k: int) -> None:
    m = p**k
    written = {x * x % m for x in range(m) if x % p}

    assert residues(unit_squares(p, k), m) == sorted(written)
    assert number_of_unit_squares(p, k) == len(written)


def test_high_powers_have_few_classes() -> None:
    assert len(squares(2, 64)) == 33
    assert len(squares(3, 400)) == 201
    assert number_of_squares(3, 40) == 4559124547146348301  # by the formula of Stangl's paper


def test_negative_numbers_are_tested_by_their_residue() -> None:
    assert is_square(-1, 5, 3) and not is_square(-1, 3, 2)


def test_more_classes_than_are_listed_are_refused() -> None:
    p = 10**9 + 7
    with pytest.raises(TooManySquares, match=f"{(p - 1) // 2} classes"):
        squares(p, 2)
    assert p > 2 * MOST_CLASSES
