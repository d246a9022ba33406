"""The spoken form of a congruence, which a screen reader says, typed again.

"x squared plus 9 x plus 5 is congruent to 0, modulo 117" is the same question
as the formula beside it, or a student who listens is asked another one.
"""

import re

from itembank.audit.unsupported import Unsupported

SIGNS = {
    "is congruent to": "≡",
    "equals": "=",
    "modulo": "mod",
    "to the power of": "^(",
    "end power": ")",
    "to the power": "^",
    "squared": "^2",
    "cubed": "^3",
    "open bracket": "(",
    "close bracket": ")",
    "plus": "+",
    "minus": "-",
    "negative": "-",
    "times": "*",
}
"""What the words say, the longer before the shorter."""

PHRASE = re.compile(r"\b(" + "|".join(SIGNS) + r")\b")


def typed(spoken: str) -> str:
    """The formula that the words say; Unsupported for words that are not known.

    >>> typed("x squared minus 9 x is congruent to 0, modulo 11 cubed")
    'x ^2 - 9 x ≡ 0 mod 11 ^3'
    """
    text = PHRASE.sub(lambda match: SIGNS[match[1]], spoken.replace(",", " "))
    words = text.split()
    if unknown := [w for w in words if re.fullmatch(r"[A-Za-z]{2,}", w) and w != "mod"]:
        raise Unsupported(f"the word '{unknown[0][:40]}' in the spoken form of a formula")
    return " ".join(words)
