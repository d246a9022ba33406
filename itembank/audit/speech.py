"""The spoken form of a congruence, which a screen reader says, typed again.

"x squared plus 9 x plus 5 is congruent to 0, modulo 117" is the same question
as the formula beside it, or a student who listens is asked another one.
"""

import re
from collections.abc import Callable

from itembank.audit.unsupported import Unsupported


def typed(spoken: str, signs: Callable[[str], str]) -> str:
    """The formula that the words say; Unsupported for words that are not known.

    >>> from itembank.audit.phrases import phrases_of
    >>> typed("x squared minus 9 x is congruent to 0, modulo 11 cubed", phrases_of("en").spoken)
    'x ^2 - 9 x ≡ 0 mod 11 ^3'
    """
    text = signs(spoken.replace(",", " "))
    words = text.split()
    if unknown := [w for w in words if re.fullmatch(r"[^\W\d_]{2,}", w) and w != "mod"]:
        raise Unsupported(f"the word '{unknown[0][:40]}' in the spoken form of a formula")
    return " ".join(words)
