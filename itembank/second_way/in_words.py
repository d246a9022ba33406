"""Statements in words as second ways read them: which words, and the integers between them."""

import re
from collections.abc import Callable
from functools import cache
from typing import TypeVar

from itembank.second_way import units
from itembank.values.errors import StatementError

NUMBER = r"([^a-z=≡,;{}?]+?)"

Q = TypeVar("Q")


@cache
def form(words: str) -> re.Pattern[str]:
    """`#` is a number: "shared key of # and # base # mod #"."""
    return re.compile(
        NUMBER.join(re.escape(part).replace(r"\ ", " ") for part in words.split("#")), re.I
    )


def numbers(words: str, statement: str) -> tuple[int, ...] | None:
    """The integers of a statement that says these words; None for another."""
    match = form(words).fullmatch(" ".join(statement.split()))
    if match is None:
        return None
    return tuple(units.integer(text.strip(), statement) for text in match.groups())


def refuse(fine: bool, expected: str, statement: str) -> None:
    """StatementError where the numbers put no question."""
    if not fine:
        raise StatementError(f"statement '{statement[:60]}': expected {expected}")


def reader(*questions: tuple[str, Callable[..., Q]]) -> Callable[[str], Q | None]:
    """Reads a statement by the first words that it says, and makes the question of its integers."""

    def read(statement: str) -> Q | None:
        for words, question in questions:
            found = numbers(words, statement)
            if found is not None:
                return question(*found)
        return None

    return read
