"""Questions that are answered in several parts: lines to number, roots to match, stages to fill in.

Each part is one field with its label, a list to choose from or a text, so that a keyboard and a
screen reader do; the script compares part by part.
"""

from collections.abc import Iterable, Sequence

from itembank.notation import markup
from itembank.notation.elements import Child, Element
from itembank.notation.tree import Inlines
from itembank.review.writer import TEXT, h

Part = dict[str, object]


def words(label: Inlines) -> list[Child]:
    return markup.inlines(label, h, TEXT)


def typed(name: str, label: Sequence[Child]) -> Element:
    """An entry to type in."""
    box = {"type": "text", "autocomplete": "off", "spellcheck": "false"}
    return _labelled(name, label, h("input", {**box, **_named(name)}))


def chosen(name: str, label: Sequence[Child], choices: Iterable[tuple[str, str]]) -> Element:
    """A list to choose from, at first nothing."""
    options = (h("option", {"value": value}, text) for value, text in choices)
    return _labelled(
        name, label, h("select", _named(name), h("option", {"value": ""}, "–"), *options)
    )


def _named(name: str) -> dict[str, str]:
    place = f"answer-{name}"
    return {"id": place, "name": place, "class": "part"}


def _labelled(name: str, label: Sequence[Child], field: Element) -> Element:
    return h("p", {"class": "answer"}, h("label", {"for": f"answer-{name}"}, *label), field)
