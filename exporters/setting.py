"""Prose and mathematics of items, set in one dialect with the elements of one format."""

from functools import cache

from itembank.languages import Said, Speaker
from itembank.notation import markup
from itembank.notation.elements import Child, Element, Maker
from itembank.notation.tree import Blocks, Inlines


class Setting:
    """How trees and messages become elements of a namespace.

    `dialect` is a key of markup.DIALECTS; `language` is that of the item or page they stand in.
    """

    def __init__(self, dialect: str, namespace: str, language: str) -> None:
        self.dialect, self.namespace, self.language = dialect, namespace, language
        self.speaker = Speaker(language)
        self.e = Maker(namespace)
        self.nodes = markup.DIALECTS[dialect](self.e, language)

    def __reduce__(self) -> tuple[object, ...]:
        """Another process keeps a setting of its own, with what it has set before."""
        return setting_of, (self.dialect, self.namespace, self.language)

    def text(self, said: Said) -> str:
        return self.speaker.text(said)

    def blocks(self, blocks: Blocks) -> list[Element]:
        return markup.blocks(blocks, self.e, self.nodes)

    def inlines(self, inlines: Inlines) -> list[Child]:
        return markup.inlines(inlines, self.e, self.nodes)


@cache
def setting_of(dialect: str, namespace: str, language: str) -> Setting:
    """One setting of each dialect, namespace and language."""
    return Setting(dialect, namespace, language)
