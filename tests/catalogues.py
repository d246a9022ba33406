"""Catalogues made for a test: in a folder of their own, of a language that none is shipped for."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest

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


def put(
    language: str, translations: Mapping[str, str | tuple[str, ...]] | None = None, mark: str = ""
) -> None:
    """A compiled catalogue with these translations; others are the English with a mark before it.

    Without a mark they are missing.
    """
    held = keeping.renewed(language, None)
    for message in held if mark else ():
        if isinstance(message.id, tuple):
            message.string = tuple(mark + message.id[1] for _ in range(held.num_plurals))
        elif message.id:
            message.string = mark + message.id
    for template, text in (translations or {}).items():
        held.get(template).string = text
    keeping.write(language, held)
    keeping.compile_all(())
