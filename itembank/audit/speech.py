"""The spoken form of a congruence, which a screen reader says, typed again.

"x squared plus 9 x plus 5 is congruent to 0, modulo 117" is the same question
as the formula beside it, or a student who listens is asked another one.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache

from itembank.audit.prose import Formula
from itembank.audit.unsupported import Unsupported
from itembank.values.worded import worded


def typed(spoken: str, signs: Callable[[str], str]) -> str:
    """The formula that the words say; Unsupported for words that are not known.

    >>> from itembank.audit.phrases import phrases_of
    >>> typed("x squared minus 9 x is congruent to 0, modulo 11 cubed", phrases_of("en").spoken)
    'x ^2 - 9 x ≡ 0 mod 11 ^3'
    """
    text = signs(spoken.replace(",", " "))
    words = text.split()
    if unknown := [w for w in words if re.fullmatch(r"[^\W\d_]{2,}", w) and w != "mod"]:
        raise Unsupported(
            worded("the word '{unknown}' in the spoken form of a formula", unknown=unknown[0][:40])
        )
    return " ".join(words)


_PART = re.compile(
    r"[0-9]+|[≡=+*/!]|(?<![^\W\d_]{2})-|-(?![^\W\d_]{2})|(?<![^\W\d_])[A-Za-z](?![^\W\d_])"
)
"""A hyphen between two words is no sign."""
_SPELLED = re.compile(r"\b[A-Za-z](?: [A-Za-z]\b)+")
"""A name or a product said letter by letter, "g c d" and "a b": shown, they are one word."""
_SAME = str.maketrans({"−": "-", "±": "+-", "·": "*", "⋅": "*", "×": "*"})


@lru_cache(maxsize=4096)
def _same_parts(shown: str, spoken: str, signs: Callable[[str], str]) -> bool:
    """Whether both have the same numbers, letters, signs and relations, in the same order.

    A course may have relations shown in words, which are read as spoken ones are.

    >>> from itembank.audit.phrases import phrases_of
    >>> _same_parts("f(3) = 9 - x^2", "f of 3 equals 9 minus x squared", phrases_of("en").spoken)
    True
    """
    heard = _SPELLED.sub(" ", signs(spoken))  # "y" joins a list in Spanish: signs are put first
    return _PART.findall(signs(shown.translate(_SAME))) == _PART.findall(heard)


def misheard(formulas: Iterable[Formula], signs: Callable[[str], str]) -> Iterator[str]:
    """Formulas that are spoken otherwise than shown, or not at all where others are."""
    silent, spoken = "", False
    for formula in formulas:
        if not formula.spoken:
            silent = silent or formula.text
        else:
            spoken = True
            if not _same_parts(formula.text, formula.spoken, signs):
                yield (
                    worded(
                        "formula {text}: expected the same in its spoken form, got '{spoken}'",
                        text=formula.text[:60],
                        spoken=formula.spoken[:80],
                    )
                )
    if silent and spoken:
        yield worded(
            "formula {silent}: expected a spoken form, as others have, got none", silent=silent[:60]
        )
