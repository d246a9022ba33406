"""How what was typed is read, as packages read it."""

import re
from collections.abc import Iterable

_INTEGER = re.compile("[+-]?[0-9]{1,100}")


def separated(text: str) -> tuple[str, ...]:
    """The values in a text: commas, semicolons and spaces separate.

    >>> separated("3;9, 12")
    ('3', '9', '12')
    """
    return tuple(text.replace(",", " ").replace(";", " ").split())


def whole_numbers(response: Iterable[str]) -> list[int]:
    """The integers that were typed; braces are forgiven, other words passed over.

    >>> whole_numbers(["{3, 9}", "none", "\N{MINUS SIGN}4"])
    [3, 9, -4]
    """
    return [value for value in integers_and_words(response) if isinstance(value, int)]


def integers_and_words(response: Iterable[str]) -> list[int | str]:
    """All that was typed: integers as such, anything else as words; braces are forgiven.

    >>> integers_and_words(["{3, 9}", "none", "3/1"])
    [3, 9, 'none', '3/1']
    """
    words = (word.strip("{}") for text in response for word in separated(text))
    return [_number_or_word(word) for word in words if word]


def _number_or_word(word: str) -> int | str:
    signed = word.replace("\N{MINUS SIGN}", "-")
    return int(signed) if _INTEGER.fullmatch(signed) else word
