"""The tree of a polynomial congruence from its words in English: the spoken form read back."""

import re

from itembank.notation.reading import formula
from itembank.notation.tree import Math

# Longer phrases first.
SIGNS = (
    (", which ", " "),
    ("is not congruent to", "≢"),
    ("is congruent to", "≡"),
    ("is not equal to", "≠"),
    ("equals", "="),
    ("plus or minus", "±"),
    ("plus", "+"),
    ("minus", "-"),
    ("negative", "-"),
    ("times", "·"),
    ("over", "/"),
    (", modulo", " mod"),
    ("to the power of", "^("),
    (", end power", ")"),
    ("to the power", "^"),
    ("squared", "^2"),
    ("cubed", "^3"),
    ("of open bracket", "("),
    ("open bracket", "("),
    ("close bracket", ")"),
    ("triple prime", "'''"),
    ("double prime", "''"),
    ("prime", "'"),
    ("factorial", "!"),
    (" sub ", "_"),
    (" and ", ", "),
    (" or ", ", "),
)
SPOKEN = re.compile("|".join(re.escape(words) for words, _sign in SIGNS))
SIGN_OF = dict(SIGNS)
ARGUMENT = re.compile(r"(?<!power )\bof (negative \d+|\d+|[a-zA-Z])\b")


def read(text: str) -> Math:
    """The tree of a polynomial congruence from its words in English.

    Reads sums, products, powers, brackets, values such as "f prime of 2", and chains of
    relations between them, with a list of numbers on either side.  Raises StatementError.

    >>> read("x squared is congruent to 2, modulo 7") == formula("x^2 = 2 mod 7")
    True
    """
    text = ARGUMENT.sub(r"(\1)", text)
    return formula(SPOKEN.sub(lambda match: SIGN_OF[match[0]], text))
