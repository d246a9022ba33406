"""Numbers that families make up to be tested: one digit changed, or two neighbours exchanged."""

import pytest

from itembank.kinds.check_digits.number import altered
from itembank.values.errors import StatementError


@pytest.mark.parametrize(
    ("number", "changed", "by", "swapped", "expected"),
    [
        ("0306406152", 0, 5, 0, "0306406152"),
        ("0306406152", 2, 9, 0, "0206406152"),
        ("0306406152", 0, 0, 1, "3006406152"),
        ("0306406152", 10, 1, 9, "0306406135"),
        ("080442957X", 10, 1, 0, "0804429571"),
        ("080442957X", 0, 0, 9, "080442957X"),
        ("080442957X", 0, 0, 8, "080442975X"),
    ],
)
def test_a_digit_grows_modulo_10_and_neighbours_change_places_but_for_x(
    number: str, changed: int, by: int, swapped: int, expected: str
) -> None:
    assert altered(number, {"changed": changed, "by": by, "swapped": swapped}) == expected


@pytest.mark.parametrize(
    ("changed", "swapped", "message"),
    [
        (11, 0, "given.changed: expected a place from 1 to 10, or 0 for none, got 11"),
        (0, 10, "given.swapped: expected a place from 1 to 9, or 0 for none, got 10"),
        (-1, 0, "given.changed: expected a place from 1 to 10, or 0 for none, got -1"),
    ],
)
def test_a_place_outside_the_number_is_one_clear_line(
    changed: int, swapped: int, message: str
) -> None:
    with pytest.raises(StatementError) as caught:
        altered("0306406152", {"changed": changed, "by": 1, "swapped": swapped})

    assert str(caught.value) == message
