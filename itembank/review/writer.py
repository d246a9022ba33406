"""Elements of the packet: what it says itself in the reviewer's language, an item in its own.

A reviewer need not read in the language of the students.  What an item shows them stands as they
meet it, marked with its language; what is said of the item is said in the language of the page.
"""

import re
from collections.abc import Iterable, Iterator, Sequence

from itembank.languages import Said, Speaker, Telling
from itembank.languages.catalogue import ENGLISH, held_for
from itembank.notation import markup
from itembank.notation.elements import HTML, Child, Element, Maker, Markup
from itembank.notation.tree import Blocks, Inlines, Table
from itembank.values.errors import LanguageError

h = Maker(HTML)
TEXT = markup.in_html(h)

_CLOSING = re.compile(r"[.,;:?!)\]”“»’]+")
"""What ends a sentence, a part of it or an insertion, and never begins a line."""

QUOTED = "\N{OBJECT REPLACEMENT CHARACTER}"
"""Fills the slot of a message where something is quoted that is no text of its language."""


class Writer:
    """Writes elements in one language.  Raises LanguageError for one without a catalogue."""

    def __init__(self, language: str) -> None:
        held_for(language)
        self.language = language
        self.speaker = Speaker(language)
        self.mathematics = markup.in_mathml(h, language)
        self.others: dict[str, Writer] = {}

    def of(self, language: str) -> "Writer":
        """The writer of what an item says in its language; this one, if there is no catalogue."""
        if language == self.language:
            return self
        if language not in self.others:
            try:
                self.others[language] = Writer(language)
            except LanguageError:
                self.others[language] = self
        return self.others[language]

    # ---------------------------------------------------------- messages

    def text(self, said: Said) -> str:
        return self.speaker.text(said)

    def sentences(self, told: Sequence[Said]) -> str:
        """Sentences that follow each other, as one text."""
        return " ".join(map(self.text, told))

    def line(self, said: Said) -> list[Child]:
        return self.inline(self.speaker.inlines(said))

    def blocks(self, telling: Telling) -> list[Element]:
        return self.prose(self.speaker.blocks(telling))

    def around(self, said: Said, quoted: Sequence[Child]) -> list[Child]:
        """The message, with what is quoted in place of QUOTED."""
        before, _, after = self.text(said).partition(QUOTED)
        return [part for part in (before, *quoted, after) if part != ""]

    def quoting(self, said: Said, english: str) -> list[Child]:
        """The message, with what a checker says in English in place of QUOTED."""
        return self.around(said, [self.english(english)])

    # ---------------------------------------------------------- prose

    def prose(self, blocks: Blocks) -> list[Element]:
        return [
            self.table(b) if isinstance(b, Table) else _closed(markup.block(b, h, self.mathematics))
            for b in blocks
        ]

    def inline(self, content: Inlines) -> list[Child]:
        return list(_unparted(markup.inlines(content, h, self.mathematics)))

    def table(self, block: Table) -> Element:
        """A table that scrolls by itself where it is wider than a phone."""
        head = h("tr", *(_heading(cell, "col") for cell in block.head))
        rows = (h("tr", *self._row_cells(cells, block.row_heads)) for cells in block.rows)
        return h("div", {"class": "wide"}, h("table", h("thead", head), h("tbody", *rows)))

    def _row_cells(self, cells: Sequence[Inlines], headed: bool) -> Iterator[Element]:
        for i, cell in enumerate(cells):
            yield _heading(cell, "row") if headed and i == 0 else h("td", *self.inline(cell))

    # ---------------------------------------------------------- other languages

    def lang(self, language: str) -> dict[str, str]:
        """The attribute of an element in this language, where it is not that of the page."""
        return {} if language == self.language else {"lang": language}

    def within(self, language: str, content: Sequence[Element]) -> list[Element]:
        """Elements in this language, as they stand in the page."""
        marked = self.lang(language)
        return [h("div", marked, *content)] if marked and content else list(content)

    def english(self, text: str) -> Child:
        """What is English in every packet: what the checkers found, names of the specs."""
        return h("span", marked, text) if (marked := self.lang(ENGLISH)) and text else text


def _closed(block: Element) -> Element:
    """A block in which no line begins with the mark that ends a formula."""
    space, tag, content = block
    marked = tuple(part for part in content if isinstance(part, dict))
    children = (part for part in content if not isinstance(part, dict))
    return space, tag, (*marked, *_unparted(children))


def _unparted(content: Iterable[Child]) -> Iterator[Child]:
    """The content, each formula together with the mark that follows it.

    A browser may break a line on either side of a formula, as of a picture.
    """
    formula: Child | None = None
    for part in content:
        mark = _CLOSING.match(part) if formula and isinstance(part, str) else None
        if formula and mark:
            formula = h("span", {"class": "unparted"}, formula, mark[0])
            part = str(part)[mark.end() :]
        if formula:
            yield formula
        formula = part if _is_formula(part) else None
        if part and not formula:
            yield part
    if formula:
        yield formula


def _is_formula(part: Child) -> bool:
    return isinstance(part, Markup) and part.startswith("<math")


def _heading(cell: Inlines, scope: str) -> Element:
    """A heading as text: some software does not count MathML as the text of one."""
    if not cell:
        return h("td")
    return h("th", {"scope": scope}, *markup.inlines(cell, h, TEXT))
