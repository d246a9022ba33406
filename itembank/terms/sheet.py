"""A page of HTML for an instructor that needs nothing else: sections, tables, plots; light, dark,
on a phone, with the keyboard, and on paper."""

from collections.abc import Iterable, Sequence

from itembank.languages import Said
from itembank.notation.elements import Child, Element, written
from itembank.review.writer import Writer, h

_STYLE = """
:root { --ink: #1c2126; --soft: #545d66; --line: #d4d8dc; --paper: #fff; --wash: #f5f6f7;
  --blue: #1d4f80; --pale: #9db8d2; --red: #9a2f1e; color-scheme: light dark;
  --text: "Source Sans 3", "Segoe UI", "Helvetica Neue", Arial, "Liberation Sans", sans-serif; }
@media (prefers-color-scheme: dark) { :root { --ink: #e6e9ec; --soft: #a9b2bb; --line: #3a424a;
  --paper: #14181c; --wash: #1c2227; --blue: #8fc1f2; --pale: #3f5f80; --red: #ff9d8a; } }
* { box-sizing: border-box; }
html { font: 100%/1.5 var(--text); color: var(--ink); background: var(--paper);
  font-variant-numeric: lining-nums; -webkit-text-size-adjust: 100%; }
body { margin: 0; }
main { max-width: 60rem; margin: 0 auto; padding: 1rem 1.25rem 3rem; }
h1 { font-size: 1.5rem; line-height: 1.25; margin: 0.5rem 0 0.25rem; overflow-wrap: anywhere; }
h2 { font-size: 1.2rem; margin: 2.2rem 0 0.4rem; }
h3 { font-size: 1rem; margin: 1.2rem 0 0.3rem; }
p { margin: 0 0 0.6rem; max-width: 44rem; }
.lead { color: var(--soft); }
.doubt { border-left: 4px solid var(--red); padding-left: 0.75rem; }
a { color: var(--blue); }
nav ul { list-style: none; margin: 0.6rem 0 0; padding: 0; display: flex; flex-wrap: wrap;
  gap: 0.25rem 1.1rem; }
:focus-visible { outline: 3px solid var(--blue); outline-offset: 2px; }
.wide { overflow-x: auto; margin: 0.5rem 0 1rem; }
table { border-collapse: collapse; font-variant-numeric: lining-nums tabular-nums; }
caption { text-align: left; color: var(--soft); font-size: 0.9rem; padding-bottom: 0.2rem; }
th, td { text-align: left; vertical-align: top; padding: 0.2rem 1rem 0.2rem 0;
  border-bottom: 1px solid var(--line); }
th { font-weight: 600; }
tbody th { font-weight: 400; white-space: nowrap; }
.number { text-align: right; white-space: nowrap; }
.plain { white-space: nowrap; }
.say { min-width: 18rem; max-width: 34rem; }
.say p { margin: 0 0 0.3rem; }
.soft { color: var(--soft); fill: var(--soft); }
figure { margin: 0.8rem 0; max-width: 40rem; }
svg { display: block; width: 100%; height: auto; font: 13px var(--text); fill: var(--ink); }
@media screen and (max-width: 32rem) { svg { font-size: 17px; } }
.full { fill: var(--blue); } .rest { fill: var(--pale); } .none { fill: var(--red); }
.axis { stroke: var(--ink); } .grid { stroke: var(--line); }
.mark { stroke: var(--soft); stroke-dasharray: 5 4; }
.point { fill: var(--blue); } .small { fill: var(--pale); stroke: var(--blue); }
.key { display: inline-block; width: 0.8em; height: 0.8em; margin: 0 0.3em 0 0.9em; }
.key.full { background: var(--blue); } .key.rest { background: var(--pale); }
.key.none { background: var(--red); }
@media print { :root { --ink: #000; --soft: #333; --line: #999; --paper: #fff; --blue: #1d4f80;
  --pale: #9db8d2; --red: #9a2f1e; color-scheme: light; }
  @page { size: A4; margin: 15mm; }
  html { font-size: 9.5pt; } nav { display: none; } main { padding: 0; max-width: none; }
  .wide { overflow: visible; } figure { max-width: 12cm; }
  tr, figure, h2 + p { break-inside: avoid; }
  h2, h3, h2 + p, caption { break-after: avoid; } tbody th { white-space: normal; }
  .say { min-width: 0; } }
"""

Cell = Child | list[Child]
"""What stands in a cell: text, an element, or a list of these."""


def page(w: Writer, title: Said, about: Sequence[Said], sections: Iterable[Element]) -> bytes:
    """The document: a title, what it is about, links to its sections, and these."""
    found = list(sections)
    links = (h("li", h("a", {"href": f"#{name}"}, text)) for name, text in map(_heading_of, found))
    told = w.text(title)
    document = h(
        "html",
        {"lang": w.language},
        h(
            "head",
            h("meta", {"charset": "utf-8"}),
            h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
            h("title", told),
            h("style", _STYLE),
        ),
        h(
            "body",
            h(
                "main",
                h("h1", told),
                *(h("p", {"class": "lead"}, *w.line(line)) for line in about),
                h("nav", h("ul", *links)),
                *found,
            ),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([document])).encode()


def section(w: Writer, name: str, heading: Said, *content: Element) -> Element:
    return h("section", {"id": name}, h("h2", w.text(heading)), *content)


def _heading_of(found: Element) -> tuple[str, str]:
    """The name and the heading of a section."""
    attributes, heading = found[2][0], found[2][1]
    assert isinstance(attributes, dict) and isinstance(heading, tuple)
    text = heading[2][0]
    assert isinstance(text, str)
    return attributes["id"], text


def paragraph(w: Writer, *told: Said, kind: str = "") -> Element:
    return h("p", {"class": kind} if kind else {}, w.sentences(told))


def table(
    w: Writer, caption: Said, head: Sequence[tuple[Said | str, str]], rows: Iterable[Sequence[Cell]]
) -> Element:
    """A table whose first column names its rows; it scrolls by itself, by keyboard too.

    head: each column's name, and the kind of its cells.
    """
    heads = (
        h("th", {"scope": "col", "class": kind} if kind else {"scope": "col"}, _said(w, name))
        for name, kind in head
    )
    body = (
        h("tr", *(_cell(i, content, head[i][1]) for i, content in enumerate(row))) for row in rows
    )
    told = w.text(caption)
    return h(
        "div",
        {"class": "wide", "tabindex": "0", "role": "group", "aria-label": told},
        h("table", h("caption", told), h("thead", h("tr", *heads)), h("tbody", *body)),
    )


def _said(w: Writer, name: Said | str) -> str:
    """A name of a column: what it says, or as it stands."""
    return name if isinstance(name, str) else w.text(name)


def _cell(i: int, content: Cell, kind: str) -> Element:
    parts = content if isinstance(content, list) else [content]
    marked = {"class": kind} if kind else {}
    if i == 0 and parts != [""]:
        return h("th", {"scope": "row", **marked}, *parts)
    return h("td", marked, *parts)
