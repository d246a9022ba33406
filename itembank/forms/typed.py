"""How what was typed is read, as packages read it."""

import re
from collections.abc import Iterable

INTEGER = re.compile("[+-]?[0-9]{1,100}")


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
    words = [word.strip("{}") for text in response for word in separated(text)]
    signed = [word.replace("\N{MINUS SIGN}", "-") for word in words]
    return [int(word) for word in signed if INTEGER.fullmatch(word)]
