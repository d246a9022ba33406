"""Prose and mathematics of items, set in one dialect with the elements of one format."""

from itembank.notation import markup
from itembank.notation.elements import Child, Element, Maker
from itembank.notation.tree import Blocks, Inlines


class Setting:
    """How trees become elements of a namespace; `dialect` is a key of markup.DIALECTS."""

    def __init__(self, dialect: str, namespace: str) -> None:
        self.e = Maker(namespace)
        self.nodes = markup.DIALECTS[dialect](self.e)

    def blocks(self, blocks: Blocks) -> list[Element]:
        return markup.blocks(blocks, self.e, self.nodes)

    def inlines(self, inlines: Inlines) -> list[Child]:
        return markup.inlines(inlines, self.e, self.nodes)
