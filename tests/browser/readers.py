"""Two readers of QTI 3.0, each on a page of its own, used by clicking and typing.

The readers are published libraries; a page loads one item, takes its responses and
ends the attempt.  Where a reader departs from the standard, DEPARTURES names the feature.
"""

import json
import threading
from dataclasses import dataclass
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from chromium import Chromium, Page

HERE = Path(__file__).parent
MODULES = HERE / "node_modules"

DRAWS_MATHML = "presentation MathML is drawn"
LABELS_FIELDS = "aria-label names the field of a text entry"

DEPARTURES = {
    "components": frozenset({DRAWS_MATHML, LABELS_FIELDS}),
    "player": frozenset(),
}
"""What each reader does not do as the standard says.

MathML: its letters and numbers stand in one line, a square as "x2"; mathematics in HTML
reads right there.  Labels: the words stand before the field, but not on it.
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
class Reader:
    """A reader with the page that holds it; the selectors that find choices and fields in it."""

    name: str
    page: Page
    choice: str
    field: str

    @classmethod
    def opened(cls, name: str, browser: Chromium, address: str) -> Self:
        choice, field = {
            "components": ('qti-simple-choice[identifier="{}"]', "qti-text-entry-interaction"),
            "player": ('.qti-simple-choice[data-identifier="{}"]', "input.text-entry-default"),
        }[name]
        return cls(name, browser.page(f"{address}/{name}.html"), choice, field)

    def load(self, item: bytes) -> None:
        self.page.run(f"load({json.dumps(item.decode())})")

    def choose(self, identifier: str) -> None:
        self.page.click(self.choice.format(identifier))

    def type(self, text: str, n: int = 0) -> None:
        """Type into the field of this number, from 0."""
        self.page.run(f"deep({json.dumps(self.field)})[{n}].dataset.field = 'this'")
        self.page.type('[data-field="this"]', text)
        self.page.run("delete only('[data-field]').dataset.field")

    def fields(self) -> int:
        count: int = self.page.run(f"deep({json.dumps(self.field)}).length")
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
