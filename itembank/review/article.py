"""The page of one item: the question and its key beside the decision on it."""

from collections.abc import Iterator

from itembank.languages import Said, say
from itembank.notation.elements import Element
from itembank.review import vocabulary
from itembank.review.entry import Entry
from itembank.review.writer import QUOTED, Writer, h
from itembank.values.verdicts import FACETS


def article(page: Writer, e: Entry, number: int, total: int) -> Element:
    name = e.identifier
    place = page.text(say("Item {n} of {all}", n=number, all=total))
    title = {"id": f"title-{name}", "tabindex": "-1", **page.lang(e.language)}
    return h(
        "article",
        {"id": name, "class": "page item", "aria-labelledby": f"title-{name}"},
        h(
            "div",
            {"class": "sheet"},
            h("p", {"class": "place"}, place),
            h("h2", title, e.title),
            *([h("p", {"class": "risks"}, "; ".join(e.risks))] if e.risks and not e.unread else []),
            *([h("p", {"class": "note"}, e.note)] if e.note else []),
            _unread(page, e) if e.unread else _question(page, e),
            *e.also,
            h("p", {"class": "outcome", "tabindex": "-1"}),
            h("div", {"class": "revealed"}, *e.revealed),
        ),
    )


def _question(page: Writer, e: Entry) -> Element:
    return h(
        "form",
        {"class": "question"},
        *page.within(e.language, e.question),
        h(
            "p",
            {"class": "actions"},
            h("button", {"type": "submit"}, page.text(say("Compare with the key"))),
            button(page, say("Show the key unanswered"), **{"class": "quiet"}),
        ),
    )


def _unread(page: Writer, e: Entry) -> Element:
    why = page.quoting(say("could not be read: {why}", why=QUOTED), e.unread)
    what = say(
        "Nobody has seen this question here, so that it cannot be accepted. Open it where"
        " students will meet it, or return it."
    )
    return h("div", {"class": "unread"}, h("p", h("strong", *why)), h("p", page.text(what)))


def button(page: Writer, said: Said, **attributes: str) -> Element:
    return h("button", {"type": "button", **attributes}, page.text(said))


# ------------------------------------------------------------ what is decided of it


def decision_form(page: Writer) -> Element:
    """The form of every item; the script makes one where an item is opened, or printed.

    Beside the question where there is room; else a bar at the foot, whose facets unfold.
    """
    yours = page.text(say("Your decision"))
    again = page.text(say("Accepted before: look again"))
    facets = page.text(say("Facets"))
    return h(
        "form",
        {"class": "decision", "aria-label": yours},
        h("h3", yours),
        h(
            "div",
            {"class": "words"},
            h("div", {"class": "others"}),
            h(
                "div",
                {"class": "facets"},
                *(_facet(page, i, name) for i, name in enumerate(FACETS)),
                h("details", {"class": "standing"}, h("summary", again)),
            ),
        ),
        h("p", {"class": "status"}),
        h(
            "p",
            {"class": "actions"},
            button(page, say("Accept all four"), **{"class": "all"}),
            h(
                "button",
                {"type": "button", "class": "unfold", "aria-expanded": "false"},
                facets,
            ),
            button(page, say("Next undecided"), **{"class": "onward"}),
            button(page, say("Undo"), **{"class": "undo"}),
            button(page, say("Clear"), **{"class": "clear"}),
        ),
    )


def _facet(page: Writer, i: int, name: str) -> Element:
    return h(
        "fieldset",
        {"data-facet": name},
        h("legend", page.text(vocabulary.FACETS[name])),
        *_judged(page, f"ITEM-{i}", say("Accept"), say("Return"), say("Comment")),
    )


def settling_form(page: Writer) -> Element:
    """The form of an open return; the script puts one into the form of the item for each."""
    return h(
        "fieldset",
        {"class": "settling"},
        h("legend", ""),
        h("p", {"class": "note"}),
        *_judged(page, "ITEM-settling-PLACE", say("Set aside"), say("Uphold"), say("Reason")),
    )


def _judged(page: Writer, place: str, accept: Said, back: Said, comment: Said) -> Iterator[Element]:
    """Two verdicts to choose from, and a comment."""
    for verdict, word in (("accepted", accept), ("returned", back)):
        box = {"type": "radio", "name": f"facet-{place}", "value": verdict}
        yield h("label", h("input", box), h("span", page.text(word)))
    yield h("label", {"for": f"comment-{place}", "class": "for-comment"}, page.text(comment))
    yield h("textarea", {"id": f"comment-{place}", "rows": "1"}, "")
