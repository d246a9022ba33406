"""Catalogues made for a test: in a folder of their own, of a language that none is shipped for."""

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog

from exporters.setting import setting_of
from itembank.languages import __main__ as keeping
from itembank.languages import catalogue
from itembank.notation import spoken

CACHES = (
    catalogue.languages,
    catalogue.held_for,
    catalogue.catalogue,
    catalogue.joints,
    spoken.math,
    setting_of,
)
"""What remembers a catalogue, or what was said with one."""


@contextmanager
def catalogues_in(folder: Path) -> Iterator[Path]:
    """Catalogues are kept and found in this folder alone."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(catalogue, "LOCALE", folder)
        patch.setattr(keeping, "LOCALE", folder)
        forget()
        yield folder
    forget()


def forget() -> None:
    for cached in CACHES:
        cached.cache_clear()


OF_THE_CODE = keeping.templates

templates_read_once = cache(OF_THE_CODE)


def begun(language: str) -> Catalog:
    """A catalogue without translations; the code is read through for its templates once."""
    with pytest.MonkeyPatch.context() as patch:
        if keeping.templates is OF_THE_CODE:
            patch.setattr(keeping, "templates", templates_read_once)
        return keeping.renewed(language, None)


def put(
    language: str, translations: Mapping[str, str | tuple[str, ...]] | None = None, mark: str = ""
) -> None:
    """A compiled catalogue with these translations; others are the English with a mark before it.

    Without a mark they are missing.
    """
    held = begun(language)
    for message in held if mark else ():
        if isinstance(message.id, tuple):
            message.string = tuple(mark + message.id[1] for _ in range(held.num_plurals))
        elif message.id:
            message.string = mark + str(message.id)
    for template, text in (translations or {}).items():
        held.get(template).string = text
    keeping.write(language, held)
    keeping.compile_all(())


# ------------------------------------------------------------ a language that is none

PSEUDO = "ru"
"""Whose script no sentence of ours is in; how it joins lists is in that script too."""

OTHER_LETTERS = str.maketrans(
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "абцдефгхийклмнопярстувшщызАБЦДЕФГХИЙКЛМНОПЯРСТУВШЩЫЗ",
)

KEPT = re.compile(r"(\$[^$]*\$|\{\{|\}\}|\{\w+(?:!r)?\}|%\(\w+\)s)")
"""What of a template no translation changes: formulas, slots."""


def in_other_letters(template: str) -> str:
    """The template with every word in another script.

    >>> in_other_letters("So $gcd({a}, 6)$ divides {n}.")
    'Со $gcd({a}, 6)$ дивидес {n}.'
    """
    parts = KEPT.split(template)
    parts[::2] = [part.translate(OTHER_LETTERS) for part in parts[::2]]
    return "".join(parts)


def put_pseudo_language() -> None:
    """A catalogue of PSEUDO in which every word of every template is in another script."""
    held = begun(PSEUDO)
    for message in held:
        if isinstance(message.id, tuple):
            message.string = tuple(in_other_letters(message.id[1]) for _ in range(held.num_plurals))
        elif message.id:
            message.string = in_other_letters(str(message.id))
    keeping.write(PSEUDO, held)
    keeping.compile_all(())
