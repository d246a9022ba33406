"""Lines of words and formulas in one spelling, so that every dialect can be compared with words.

A pattern is words with @ for each formula: "find the divisor: @."
"""

import re
from collections.abc import Mapping

_SIGNS = str.maketrans("−·⋅×", "-***")
DIGITS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")
RAISED = re.compile("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_INVISIBLE = re.compile("[\u2061-\u2064]")
_SPACE = re.compile("[\u00a0\u202f\u2009]")
_BESIDE = re.compile(r" *([^\w ]) *")

Known = Mapping[str, re.Pattern[str]]
"""The words of lines, by name."""


def squeezed(text: str) -> str:
    """The text in small letters with one spelling for every sign, and no space beside one.

    >>> squeezed("Find it:  3² · 5 ≡ −4 (mod 7).")
    'find it:3^2*5≡-4(mod 7).'
    """
    text = RAISED.sub(lambda found: "^" + found[1].translate(DIGITS), text)
    text = _SPACE.sub(" ", _INVISIBLE.sub("", text)).translate(_SIGNS).lower()
    return _BESIDE.sub(r"\1", " ".join(text.split()))


def pattern(words: str) -> re.Pattern[str]:
    """What reads the words, with a group for each @."""
    return re.compile(re.escape(squeezed(words)).replace("@", "(.+?)"))
