"""Powers as they are computed by hand: every line read back and worked out with Python's pow."""

import re
from random import Random

import pytest

from itembank.kinds.powering import power_told
from itembank.kinds.unit_multiple import unit_divided
from itembank.notation.tree import Letter
from tests.kinds.messages import text

DIGITS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹−", "0123456789-")
POWER = re.compile(r"\(?(−?\d+)\)?([⁰¹²³⁴⁵⁶⁷⁸⁹]+)")


def integer(text: str) -> int:
    return int(text.translate(DIGITS))


def value(side: str) -> int:
    """A number, a power, a product or a sum, as it is printed."""
    return sum(map(product, side.replace(" − ", " + −1 · ").split(" + ")))


def product(term: str) -> int:
    found = 1
    for factor in term.split(" · "):
        power = POWER.fullmatch(factor)
        again = re.fullmatch(r"\((.+[⁰¹²³⁴⁵⁶⁷⁸⁹])\)([⁰¹²³⁴⁵⁶⁷⁸⁹]+)", factor)
        if again:
            found *= product(again[1]) ** integer(again[2])
            continue
        found *= integer(power[1]) ** integer(power[2]) if power else integer(factor.strip("()"))
    return found


TERM = r"(?:\(\(?−?\d+\)?[⁰¹²³⁴⁵⁶⁷⁸⁹]+\)|\(?−?\d+\)?)[⁰¹²³⁴⁵⁶⁷⁸⁹]*"
SIDE = rf"{TERM}(?: [·+−] {TERM})*"


def checked(board: str, m: int) -> int:
    """How many relations stand on the board; each is worked out."""
    found = 0
    for chain in re.findall(rf"{SIDE}(?: [=≡] {SIDE})+", board):
        sides = re.split(r" ([=≡]) ", chain)
        for left, sign, right in zip(sides[::2], sides[1::2], sides[2::2], strict=False):
            difference = value(left) - value(right)
            assert difference == 0 if sign == "=" else difference % m == 0, chain
            found += 1
    return found


@pytest.mark.parametrize("least", [True, False])
def test_every_line_holds_and_the_last_number_is_the_power(least: bool) -> None:
    chance = Random("powering")
    for _ in range(500):
        m = chance.randrange(3, 2000)
        a, n = chance.randrange(m), chance.randrange(1, 400)
        board = text(power_told(a, n, m, least=least))
        last = re.findall(r"−?\d+", re.sub(r" \(mod \d+\)\.?$", "", board))[-1]

        assert (integer(last) - pow(a, n, m)) % m == 0, board
        if least and n > 1:
            assert integer(last) == pow(a, n, m), board
        if n > 1:
            assert checked(board, m) > 0, board


def test_the_residues_nearest_to_zero_are_squared() -> None:
    assert "929² (−71)² = 5041 ≡ 41" in text(power_told(929, 222, 1000))


def test_squares_that_do_not_change_any_more_are_not_repeated() -> None:
    board = text(power_told(8, 400, 45))

    assert board.count("1² = 1") == 0
    assert board.endswith("8⁴ 19² = 361 ≡ 1 So 8⁴⁰⁰ = (8⁴)¹⁰⁰ ≡ 1¹⁰⁰ = 1 (mod 45).")
    assert "From here on every square is 1." in text(power_told(8, 401, 45))


def test_a_power_of_minus_one_needs_no_further_square() -> None:
    board = text(power_told(33, 54, 109, least=False))

    assert board.endswith("33² 33² = 1089 ≡ −1 So 33⁵⁴ = (33²)²⁷ ≡ (−1)²⁷ = −1 (mod 109).")
    assert "27⁷ ≡ 13 · 1 = 13 (mod 35)" in text(power_told(27, 7, 35))


def test_minus_one_is_recognised() -> None:
    assert text(power_told(46, 23, 47, least=False)) == "46²³ ≡ (−1)²³ = −1 (mod 47)."


def test_a_power_that_the_table_above_holds_needs_no_table() -> None:
    assert "Square again" not in text(power_told(19, 25, 101, known=50))


def test_a_unit_is_divided_out_in_lines_that_hold() -> None:
    chance = Random("unit multiple")
    for _ in range(500):
        m = chance.randrange(2, 300)
        c = chance.choice(
            [c for c in range(1, m + 1) if all(m % p or c % p for p in range(2, m + 1))]
        )
        y = chance.randrange(m)
        r = c * y % m
        board = text(tuple(unit_divided(c, r, m, Letter("y"))))
        if c != 1:
            last = re.findall(r"(−?\d+) \(mod \d+\)\.$", board)
            assert "so this is y ≡" in board or (integer(last[0]) - y) % m == 0, board
            checked(board.replace("y ≡", ""), m)


@pytest.mark.parametrize(
    ("c", "r", "m", "line"),
    [
        (3, 19, 29, "19 ≡ 19 + 29 = 48 = 3 · 16, and 3 is coprime to 29: y ≡ 16 (mod 29)."),
        (
            28,
            5,
            29,
            "so this is −y ≡ 5, that is y ≡ −5 ≡ 24 (mod 29).",
        ),
        (
            27,
            9,
            17,
            "7y ≡ −9. −9 ≡ −9 + 3 · 17 = 42 = 7 · 6, and 7 is coprime to 17: y ≡ 6",
        ),
        (5, 10, 16, "10 = 5 · 2, and 5 is coprime to 16: y ≡ 2 (mod 16)."),
        (17, 1, 100, "1 ≡ 1 − 8 · 100 = −799 = 17 · (−47), and 17 is coprime to 100: y ≡ −47 ≡ 53"),
    ],
)
def test_how_a_unit_is_divided_out(c: int, r: int, m: int, line: str) -> None:
    assert line in text(tuple(unit_divided(c, r, m, Letter("y"))))
