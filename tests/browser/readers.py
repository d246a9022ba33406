"""Two readers of QTI 3.0, each on a page of its own, used by clicking and typing.

The readers are published libraries; a page loads one item, takes its responses and
ends the attempt.  Where a reader departs from the standard, DEPARTURES names the feature.
"""

import json
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from tests.browser.chromium import Chromium, Page

HERE = Path(__file__).parent
MODULES = HERE / "node_modules"

DRAWS_MATHML = "presentation MathML is drawn"
LABELS_FIELDS = "aria-label names the field of a text entry"
LABELS_LISTS = "aria-label names the list of an inline choice"
LAYS_OUT_LINES = "a line to be put in order is laid out as text"
UNTOUCHED_IS_NULL = "an order that was not touched is NULL"
PAIRS_ARE_CONSTANTS = "a pair is a constant of response processing"
KEYS_PLACE = "what is ordered or matched is placed by keys"
KEYS_MOVE = "what was placed is moved on by keys"

DEPARTURES = {
    "components": frozenset({DRAWS_MATHML, LABELS_FIELDS, LAYS_OUT_LINES, KEYS_MOVE}),
    "player": frozenset(
        {LABELS_LISTS, UNTOUCHED_IS_NULL, PAIRS_ARE_CONSTANTS, KEYS_PLACE, KEYS_MOVE}
    ),
}
"""What each reader does not do as the standard says, or cannot be used by everyone for.

MathML: its letters and numbers stand in one line, a square as "x2"; mathematics in HTML
reads right there.  Fields and lists: the words stand before them, but not on them.  Lines:
the pieces of one stand side by side, without blanks and exponents, unless one element holds
them.  Untouched: the response is the order that is shown.  Pairs: a constant is shown under the
question, and equals nothing.  Keys: the one reader has none; the other copies, or does nothing.
"""


class Files(SimpleHTTPRequestHandler):
    """The pages, and under /modules/ the installed packages."""

    def translate_path(self, path: str) -> str:
        folder, name = (
            (MODULES, path.removeprefix("/modules/"))
            if path.startswith("/modules/")
            else (HERE / "pages", path.lstrip("/"))
        )
        return str(folder / name.partition("?")[0])

    def log_message(self, format: str, *args: Any) -> None:
        """Requests are no one's business."""


class Served:
    """`with Served() as address`: the files, on a free port of this machine alone."""

    def __enter__(self) -> str:
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Files))
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        return f"http://127.0.0.1:{self.server.server_port}"

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.server.shutdown()
        self.server.server_close()


@dataclass(frozen=True)
class Selectors:
    """What is clicked, typed in and dragged; {} is an identifier.

    choice: an option, or a line to be put in order.  place: where a line is dragged, by the
    number of the place or the line there.  field: a text field.  word, words: a choice in a
    list of words, and what opens the list that holds it.  source, target: what is matched.
    """

    choice: str
    place: str
    field: str
    word: str
    words: str
    source: str
    target: str


SELECTORS = {
    "components": Selectors(
        choice='qti-simple-choice[identifier="{}"]',
        place='drop-list[identifier="droplist{n}"]',
        field="qti-text-entry-interaction",
        word='qti-inline-choice[identifier="{}"]',
        words='qti-inline-choice-interaction:has(> qti-inline-choice[identifier="{}"])',
        source='qti-simple-associable-choice[identifier="{}"]',
        target='qti-simple-associable-choice[identifier="{}"]',
    ),
    "player": Selectors(
        choice='.qti-simple-choice[data-identifier="{}"]',
        place='.qti-simple-choice[data-identifier="{line}"]',
        field="input.text-entry-default",
        word='li.qti-inline-choice[data-identifier="{}"]',
        words='.inline-choice-wrapper:has([data-identifier="{}"]) > button',
        source='.choice-description[data-identifier="{}"]',
        target='li.target[data-identifier="{}"]',
    ),
}


@dataclass(frozen=True)
class Reader:
    """A reader with the page that holds it."""

    name: str
    page: Page

    @classmethod
    def opened(cls, name: str, browser: Chromium, address: str) -> Self:
        return cls(name, browser.page(f"{address}/{name}.html"))

    @property
    def selectors(self) -> Selectors:
        return SELECTORS[self.name]

    def load(self, item: bytes) -> None:
        self.page.run(f"load({json.dumps(item.decode())})")

    def choose(self, identifier: str) -> None:
        self.page.click(self.selectors.choice.format(identifier))

    def type(self, text: str, n: int = 0) -> None:
        """Type into the field of this number, from 0."""
        self.page.run(f"deep({json.dumps(self.selectors.field)})[{n}].dataset.field = 'this'")
        self.page.type('[data-field="this"]', text)
        self.page.run("delete only('[data-field]').dataset.field")

    def order(self, identifiers: Sequence[str]) -> None:
        """Drag lines, wherever they are, until these stand in the first places in this order."""
        for n, identifier in enumerate(identifiers):
            lines = self.lines()
            if lines[n] == identifier:
                continue
            if lines[n] and identifier not in lines:  # only a line from a place moves another
                self.place(lines[n], lines.index(""))
            self.place(identifier, n)

    def place(self, identifier: str, n: int) -> None:
        """Drag a line to the place of this number, past the lines between or in exchange."""
        found = self.selectors
        there = found.place.format(n=n, line=self.lines()[n])
        self.page.drag(found.choice.format(identifier), there)
        self.page.run("settled()")

    def lines(self) -> list[str]:
        """The lines as they stand; "" for a place still empty, where there are such places."""
        found: list[str] = self.page.run("lines()")
        return found

    def pair(self, source: str, target: str) -> None:
        """Drag a source, wherever it is, onto a target."""
        found = self.selectors
        self.page.drag(found.source.format(source), found.target.format(target))
        self.page.run("settled()")

    def pick(self, identifier: str) -> None:
        """Open the list of words that holds a choice, and choose it."""
        self.page.click(self.selectors.words.format(identifier))
        self.page.click(self.selectors.word.format(identifier))

    def fields(self) -> int:
        count: int = self.page.run(f"deep({json.dumps(self.selectors.field)}).length")
        return count

    def attempt(self) -> dict[str, Any]:
        """End the attempt; the outcomes by name."""
        outcomes: dict[str, Any] = self.page.run("attempt()")
        return outcomes

    def score(self) -> float:
        return float(self.attempt()["SCORE"])

    def feedback(self) -> list[str]:
        """The text of each feedback that stands open, without the white space between blocks."""
        return ["".join(text.split()) for text in self.page.run("feedback()")]

    def body(self) -> str:
        """What the student reads, white space as one blank."""
        return " ".join(str(self.page.run("body()")).split())

    def raised(self, selector: str) -> bool:
        """Whether what the selector finds on the screen stands higher than what is before it."""
        return bool(self.page.run(f"raised({json.dumps(selector)})"))
