"""What is typed, as words, numbers and signs."""

import re
from typing import NamedTuple


class Token(NamedTuple):
    """A word, a number or a sign, and where it stands in the text."""

    text: str
    start: int
    end: int

    @property
    def is_word(self) -> bool:
        return self.text.isalpha() and len(self.text) > 1


_TOKEN = re.compile(r"[^\W\d_]+(?:'s)?|\d+|\S")
RELATIONS = frozenset("=≡<>")
IN_A_NUMBER = frozenset({"gcd", "lcm", "phi", "lambda", "sqrt"})
OPENING, CLOSING = frozenset("(["), frozenset(")]")


def tokens(text: str) -> tuple[Token, ...]:
    """Words, numbers and signs; a run of letters is one word."""
    return tuple(Token(m[0], m.start(), m.end()) for m in _TOKEN.finditer(text))
