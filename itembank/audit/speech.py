"""The spoken form of a congruence, which a screen reader says, typed again.

"x squared plus 9 x plus 5 is congruent to 0, modulo 117" is the same question
as the formula beside it, or a student who listens is asked another one.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from itembank.audit.filled import place_of
from itembank.audit.phrases import Sayings
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
    return _parts_shown(shown, signs) == _parts_heard(spoken, signs)


def _parts_shown(shown: str, signs: Callable[[str], str]) -> list[str]:
    return _PART.findall(signs(shown.translate(_SAME)))


def _parts_heard(spoken: str, signs: Callable[[str], str]) -> list[str]:
    heard = _SPELLED.sub(" ", signs(spoken))  # "y" joins a list in Spanish: signs are put first
    return _PART.findall(heard)


class Agreement(NamedTuple):
    """The numbers that must be the same, of formulas that are spoken as they are shown then.

    `shown` and `heard`: their places; the numbers that words say, "squared", follow the others.
    """

    shown: tuple[int, ...]
    heard: tuple[int, ...]
    said: tuple[bytes, ...]

    def holds(self, numbers: list[bytes]) -> bool:
        every = [*numbers, *self.said]
        return [every[n] for n in self.shown] == [every[n] for n in self.heard]


def agreement(marked: Iterable[tuple[str, str]], places: int, signs: Sayings) -> Agreement | None:
    """Of formulas with what is spoken, a mark for each number; None where each must be heard.

    That is where one is silent, or is spoken otherwise whatever the numbers, and where words depend
    on numbers. Else `_PART` takes a number for what it is, whichever it is, and only numbers are
    left to be compared. Two that run together are the same as no other.
    """
    if signs.of_numbers:
        return None
    shown: list[int] = []
    heard: list[int] = []
    said: list[bytes] = []
    for text, spoken in marked:
        mine, theirs = _parts_shown(text, signs), _parts_heard(spoken, signs)
        if not spoken or len(mine) != len(theirs):
            return None
        for part, other in zip(mine, theirs, strict=True):
            if part == other:
                continue
            for told, found in ((part, shown), (other, heard)):
                if (place := place_of(told)) is not None:
                    found.append(place)
                elif told.isdecimal():
                    found.append(places + len(said))
                    said.append(told.encode())
                else:
                    return None
    return Agreement(tuple(shown), tuple(heard), tuple(said))


class Formulas:
    """The formulas of a part of an item."""

    def __init__(self, found: Callable[[], Iterable[Formula]]) -> None:
        self.found = found

    def formulas(self) -> Iterable[Formula]:
        return self.found()

    def agree(self, _signs: Sayings) -> bool:
        """Whether all are known to be spoken as they are shown; False where each must be heard."""
        return False


def misheard(parts: Iterable[Formulas], signs: Sayings) -> Iterator[str]:
    """Formulas that are spoken otherwise than shown, or not at all where others are."""
    silent, spoken = "", False
    for formula in _heard_each(parts, signs):
        if formula is None:
            spoken = True
        elif not formula.spoken:
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


def _heard_each(parts: Iterable[Formulas], signs: Sayings) -> Iterator[Formula | None]:
    """The formulas that must be heard; None in the place of several that are spoken as shown."""
    for part in parts:
        if part.agree(signs):
            yield None
        else:
            yield from part.formulas()
