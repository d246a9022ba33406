"""What a command says, in the language of whoever reads it (see `values.worded`)."""

from collections.abc import Mapping
from functools import partial

from itembank.languages.catalogue import ENGLISH, decimal_mark, group_mark, held_for, translated
from itembank.languages.saying import Said
from itembank.values.errors import LanguageError
from itembank.values.worded import Worded
from itembank.values.worded import said as said_in


def spoken(text: str, language: str) -> str:
    """A text of a command in a language that there is a catalogue for.

    What carries no template, and what the catalogue lacks, stays English.
    """
    if language == ENGLISH or not isinstance(text, Worded):
        return str(text)

    def figure(number: str) -> str:
        marks = str.maketrans({".": decimal_mark(language), ",": group_mark(language)})
        return number.translate(marks).replace("%", " %")

    return said_in(text, partial(translated, language), figure)


def as_worded(said: Said) -> Worded:
    """A message without formulas as a text of a command."""
    return Worded(said.template, said.plural, said.n, dict(said.slots))


def of_environment(variables: Mapping[str, str]) -> str:
    """The language that the variables of the environment ask for, of those that can be spoken.

    LC_ALL, else LC_MESSAGES, else LANG; LANGUAGE, a list of choices, stands before them unless
    they say C. Source: GNU gettext manual, section 2.3.3; POSIX, chapter 8.2. English where
    none of them has a catalogue.
    """
    names = ("LC_ALL", "LC_MESSAGES", "LANG")
    locale = next((variables[name] for name in names if variables.get(name)), "C")
    if locale.partition(".")[0] in ("C", "POSIX"):
        return ENGLISH
    for choice in (*variables.get("LANGUAGE", "").split(":"), locale):
        tag = choice.partition(".")[0].partition("@")[0].replace("_", "-")
        try:
            return held_for(tag)
        except LanguageError:
            continue
    return ENGLISH
