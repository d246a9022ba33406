"""Catalogues of translations, and what a language does that no catalogue can say.

English stands in the code. Another language is a folder
`locale/<language>/LC_MESSAGES/` with a gettext catalogue, extracted and compiled by
`python -m itembank.languages` (Babel), and lists joined as Babel's data say.
"""

import os
from functools import cache
from typing import TYPE_CHECKING

from itembank.notation import plain
from itembank.notation.tree import Math
from itembank.values.errors import LanguageError
from itembank.values.worded import worded

if TYPE_CHECKING:
    from decimal import Decimal
    from fractions import Fraction
    from gettext import NullTranslations

    from babel import Locale

LOCALE = os.path.join(os.path.dirname(__file__), "locale")

ENGLISH = "en"

NUMBER_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
)  # fmt: skip
"""The numbers that a sentence spells, in English; catalogues translate them."""


@cache
def languages() -> tuple[str, ...]:
    """The languages that can be spoken: English, and each with a compiled catalogue."""
    from glob import glob

    held = (file.split(os.sep)[-3] for file in glob(os.path.join(LOCALE, "*/LC_MESSAGES/*.mo")))
    return (ENGLISH, *sorted(name.replace("_", "-") for name in held))


@cache
def held_for(language: str) -> str:
    """The language whose catalogue a tag is spoken with: its own, or one of fewer subtags.

    de-CH-1996 is spoken as de-CH, else as de (RFC 4647, 3.4: Lookup).  Raises LanguageError for
    a language without a catalogue: nothing is passed off as translated.
    """
    if language == ENGLISH:
        return ENGLISH
    subtags = language.split("-")
    for n in range(len(subtags), 0, -1):
        tag = "-".join(subtags[:n])
        if tag in languages():
            return tag
    raise LanguageError(
        worded(
            "no catalogue for the language {language}; expected one of: {languages}",
            language=repr(language),
            languages=", ".join(languages()),
        )
    )


@cache
def catalogue(language: str) -> "NullTranslations":
    """The catalogue of a language; English says what the code says.

    Raises LanguageError for a language without one.
    """
    import gettext

    held = held_for(language)
    if held == ENGLISH:
        return gettext.NullTranslations()
    return gettext.translation("itembank", LOCALE, [held.replace("-", "_")])


def own_name(language: str) -> str:
    """What a language calls itself, with its tag: Deutsch (de); the tag where that is not known.

    Source: Unicode CLDR.
    """
    from babel import Locale, UnknownLocaleError

    try:
        name = Locale.parse(language, sep="-").display_name
    except (UnknownLocaleError, ValueError):
        return language
    return f"{name} ({language})"


def translated(language: str, template: str, plural: str = "", n: "int | Fraction" = 1) -> str:
    """The template in the language, for the count n where it has a plural.

    Nothing is nothing in every language; gettext would give the head of the catalogue for it.
    """
    if not template:
        return ""
    if language == ENGLISH:
        return plural if plural and not 0 < n <= 1 else template
    found = catalogue(language)
    count = n if isinstance(n, int) else _OTHER
    return found.ngettext(template, plural, count) if plural else found.gettext(template)


_OTHER = 2
"""A count with the plural of what is not whole, in the languages held (Unicode CLDR)."""


def number_word(language: str, n: int) -> str:
    """A small number in words, others in digits."""
    if 0 <= n < len(NUMBER_WORDS):
        return translated(language, NUMBER_WORDS[n])
    return str(n)


def decimal(language: str, number: "Decimal") -> str:
    """A decimal fraction with the mark of the language and every digit: 5.0, in German 5,0."""
    return str(number).replace(".", decimal_mark(language))


def decimal_mark(language: str) -> str:
    """What stands before the decimals: a full stop, in German a comma.

    Source: Unicode CLDR.
    """
    if language.split("-")[0] == ENGLISH:
        return "."
    from babel.numbers import get_decimal_symbol

    return get_decimal_symbol(_locale_of(language))


def group_mark(language: str) -> str:
    """What stands between the thousands: a comma, in German a full stop.

    Source: Unicode CLDR.
    """
    if language.split("-")[0] == ENGLISH:
        return ","
    from babel.numbers import get_group_symbol

    return get_group_symbol(_locale_of(language))


def in_halves(language: str, number: "int | Fraction") -> str:
    """Whole numbers and halves as a language writes them: 1½ in English, in German 1,5."""
    whole, half = divmod(int(2 * number), 2)
    if language.split("-")[0] == ENGLISH:
        return f"{whole or ''}½" if half else str(whole)
    from decimal import Decimal

    return decimal(language, Decimal(f"{whole}.5")) if half else str(whole)


def _locale_of(language: str) -> "Locale":
    """What Unicode CLDR knows of the language, or of the nearest one with fewer subtags."""
    from babel import Locale, UnknownLocaleError

    try:
        return Locale.parse(language, sep="-")
    except (ValueError, UnknownLocaleError):
        fewer, parted, _ = language.rpartition("-")
        if not parted:
            raise LanguageError(
                worded("nothing is known of the language {language}", language=repr(language))
            ) from None
        return _locale_of(fewer)


@cache
def joints(language: str, style: str) -> tuple[str, str]:
    """What stands between the items of a list, and before the last: (", ", " and ").

    `style` is "standard" (and) or "or". Source: Unicode CLDR list patterns; for English those
    of Britain, without a comma before the last item.
    """
    if language.split("-")[0] == ENGLISH:
        return ", ", {"standard": " and ", "or": " or "}[style]
    patterns = _locale_of(language).list_patterns[style]
    return _between(patterns["middle"]), _between(patterns["end"])


def _between(pattern: str) -> str:
    """What a pattern writes between its two items: "{0}, {1}" gives ", "."""
    return pattern.removeprefix("{0}").removesuffix("{1}")


def last_joint(language: str, style: str, following: str | Math) -> str:
    """What stands before the last item of a list, which may hang on how that is read.

    Spanish says "u" for "o" before the sound of o (7 u 8, 10 u 11), and "e" for "y" before that of
    i: no number begins with it, but the letters i and y ("i griega") do.
    """
    joint = joints(language, style)[1]
    if is_joined_by_sound(language):
        read = following if isinstance(following, str) else plain.math(following)
        if style == "or" and _begins_with_o(read):
            return joint.replace(" o ", " u ")
        if style == "standard" and _begins_with_i(read):
            return joint.replace(" y ", " e ")
    return joint


def is_joined_by_sound(language: str) -> bool:
    """Whether what stands before the last item of a list hangs on how that is read."""
    return language.split("-")[0] == "es"


def _begins_with_i(following: str) -> bool:
    """Whether Spanish reads the text with an i first: that letter, or y alone."""
    return following[:1] == "i" or (following[:1] == "y" and not following[1:2].isalpha())


def _begins_with_o(following: str) -> bool:
    """Whether Spanish reads the text with an o first: ocho, ochenta, ochocientos, once, o."""
    digits = following[: len(following) - len(following.lstrip("0123456789"))]
    if not digits:
        return following[:1] in ("o", "O")
    leading = digits[: (len(digits) - 1) % 3 + 1]  # what is read before mil, millones, ...
    return leading[0] == "8" or leading == "11"
