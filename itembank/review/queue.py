"""The queue of the first page: which items come next, in what order, and what is left to do."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from itembank.languages import Said, say
from itembank.notation.elements import Child, Element
from itembank.review import vocabulary
from itembank.review.entry import Entry
from itembank.review.writer import Writer, h

_ORDERS = {
    "risk": say("riskiest first"),
    "packet": say("as in the packet"),
    "random": say("at random, for a sample"),
}

_STATES = {
    "": say("all"),
    "undecided": say("undecided"),
    "differs": say("my answer differs"),
    "returned": say("returned by me or on record"),
    "changed": say("changed since last time"),
    "conflict": say("reviewers differ"),
}


def link(page: Writer, e: Entry) -> Element:
    return h("a", {"href": f"#{e.identifier}", **page.lang(e.language)}, e.title)


def queue(page: Writer, entries: Sequence[Entry]) -> list[Element]:
    """The filters, and the table of all items, which the script keeps in the order of the queue."""
    families = {e.family: e.family for e in entries if e.family}
    forms = {e.form: page.text(vocabulary.FORMS[e.form]) for e in entries if e.form}
    everything = {"": page.text(say("all"))}
    return [
        h(
            "div",
            {"class": "queue", "role": "search", "aria-label": page.text(say("Queue"))},
            _select(page, "order", say("Order"), _said(page, _ORDERS)),
            _select(page, "state", say("Show"), _said(page, _STATES)),
            _select(page, "family", say("Family"), everything | _by_name(families)),
            _select(page, "form", say("Form"), everything | _by_name(forms)),
            h(
                "label",
                h("span", page.text(say("Search"))),
                h("input", {"type": "search", "id": "queue-text", "autocomplete": "off"}),
            ),
        ),
        h("p", {"id": "queue-length", "role": "status"}),
        h("div", {"class": "wide"}, _items_table(page, entries)),
    ]


def _said(page: Writer, choices: Mapping[str, Said]) -> dict[str, str]:
    return {value: page.text(word) for value, word in choices.items()}


def _by_name(choices: Mapping[str, str]) -> dict[str, str]:
    return dict(sorted(choices.items(), key=lambda choice: choice[1]))


def _select(page: Writer, name: str, label: Said, choices: Mapping[str, str]) -> Element:
    options = (h("option", {"value": value}, word) for value, word in choices.items())
    return h("label", h("span", page.text(label)), h("select", {"id": f"queue-{name}"}, *options))


def links(page: Writer, entries: Iterable[Entry]) -> Iterator[Child]:
    for i, e in enumerate(entries):
        if i:
            yield ", "
        yield link(page, e)


# ------------------------------------------------------------ all items


def _items_table(page: Writer, entries: Sequence[Entry]) -> Element:
    names = (
        say("Item"), say("Form"), say("Level"), say("Steps"), say("Solutions"), say("Decision")
    )  # fmt: skip
    return h(
        "table",
        {"class": "items"},
        h("thead", h("tr", *(h("th", {"scope": "col"}, page.text(name)) for name in names))),
        h("tbody", *(_row(page, e) for e in entries)),
    )


def _row(page: Writer, e: Entry) -> Element:
    form = say("could not be read") if e.unread else vocabulary.FORMS[e.form]
    return h(
        "tr",
        h("th", {"scope": "row"}, link(page, e)),
        h("td", page.text(form)),
        h("td", page.text(vocabulary.LEVELS[e.level]) if e.level else ""),
        h("td", {"class": "number"}, str(e.steps) if e.steps else ""),
        h("td", {"class": "number"}, "" if e.solutions is None else str(e.solutions)),
        h("td", {"data-status": e.identifier}, page.text(say("open"))),
    )
