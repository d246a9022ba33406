"""Words that a student or a reviewer reads, through gettext.

English stands in the code; another language is a catalogue
`locale/<language>/LC_MESSAGES/itembank.mo` beside this file, and no change of code.
"""

import gettext
from functools import cache
from pathlib import Path

LOCALE = Path(__file__).parent / "locale"

language = "en"
"""The language of everything composed in this process; set once, by `speak`."""


def speak(tag: str) -> None:
    """Compose in the language of this BCP 47 tag; English where no catalogue is held."""
    global language
    language = tag


def is_spoken(tag: str) -> bool:
    """Whether questions can be composed in the language: English, or one with a catalogue."""
    return tag.split("-")[0] == "en" or bool(gettext.find("itembank", LOCALE, [locale_of(tag)]))


def spoken_languages() -> list[str]:
    """English, and the languages that have a catalogue."""
    found = LOCALE.glob("*/LC_MESSAGES/itembank.mo")
    return ["en", *sorted(path.parts[-3].replace("_", "-") for path in found)]


def locale_of(tag: str) -> str:
    return tag.replace("-", "_")


@cache
def catalogue(tag: str) -> gettext.NullTranslations:
    return gettext.translation("itembank", LOCALE, [locale_of(tag)], fallback=True)


def _(text: str) -> str:
    """The sentence in the language spoken."""
    return catalogue(language).gettext(text)


def ngettext(one: str, many: str, n: int) -> str:
    """`one` or `many`, as the language counts n."""
    return catalogue(language).ngettext(one, many, n)
