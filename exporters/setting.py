"""Prose and mathematics of items, set in one dialect with the elements of one format."""

from functools import cache

from itembank.notation import markup
from itembank.notation.elements import Child, Element, Maker
from itembank.notation.tree import Blocks, Inlines


class Setting:
    """How trees become elements of a namespace; `dialect` is a key of markup.DIALECTS."""

    def __init__(self, dialect: str, namespace: str) -> None:
        self.dialect, self.namespace = dialect, namespace
        self.e = Maker(namespace)
        self.nodes = markup.DIALECTS[dialect](self.e)

    def __reduce__(self) -> tuple[object, ...]:
        """Another process keeps a setting of its own, with what it has set before."""
        return setting_of, (self.dialect, self.namespace)

    def blocks(self, blocks: Blocks) -> list[Element]:
        return markup.blocks(blocks, self.e, self.nodes)

    def inlines(self, inlines: Inlines) -> list[Child]:
        return markup.inlines(inlines, self.e, self.nodes)


@cache
def setting_of(dialect: str, namespace: str) -> Setting:
    """One setting of each dialect and namespace."""
    return Setting(dialect, namespace)
