"""Letters as numbers: A is 0, Z is 25; a pair of letters is a number in base 26."""

from collections.abc import Iterator

from itembank.languages import Said, say
from itembank.notation.building import added, dotted, equal

_A = ord("A")

LENGTHS = {26: 1, 26**2: 2}
"""How many letters a block has, by the modulus."""


def in_letters(n: int, m: int) -> str | None:
    """The letters of a block modulo m; None where blocks are no letters.

    >>> in_letters(190, 676), in_letters(5, 29)
    ('HI', None)
    """
    length = LENGTHS.get(m)
    if length is None:
        return None
    return "".join(chr(_A + n // 26**i % 26) for i in range(length - 1, -1, -1))


def letters_as_numbers(word: str) -> str:
    """The number of one letter or two, as text: HI is 190."""
    n = 0
    for letter in word.upper():
        n = 26 * n + ord(letter) - _A
    return str(n)


def alphabet_told(m: int) -> Iterator[Said]:
    """How letters are numbers, where blocks modulo m are letters."""
    if m in LENGTHS:
        yield say("The letters A, B, ..., Z stand for the numbers 0, 1, ..., 25.")
    if LENGTHS.get(m) == 2:
        yield say(
            "A pair of letters is one number: BC is ${sum}$.",
            sum=equal(added((dotted((26, 1)), 2)), 28),
        )
