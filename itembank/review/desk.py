"""What a reviewer works with beside the items: the banner, the keys, files of decisions, paper."""

from itembank.languages import Said, say
from itembank.notation.elements import Element
from itembank.review.article import button
from itembank.review.writer import Writer, h

_KEYS: tuple[tuple[Said | str, Said], ...] = (
    ("1 – 9", say("choose that option; once the key is shown, return that facet")),
    (say("Enter"), say("compare the answer with the key")),
    ("k", say("show the key unanswered")),
    ("a", say("accept what is asked, and go on to the next undecided item")),
    ("r", say("return: go to the facets")),
    ("c", say("comment")),
    ("n", say("next item of the queue")),
    ("b", say("back to the item before")),
    ("j", say("next undecided item")),
    ("u", say("undo the last decision")),
    ("e", say("unfold or fold the evidence")),
    ("o", say("overview")),
    (say("Esc"), say("leave a field, so that keys work again")),
    ("?", say("show these keys")),
)


def banner(page: Writer, title: Element, about: str) -> Element:
    return h(
        "header",
        h("div", title, h("p", about)),
        h(
            "nav",
            {"aria-label": page.text(say("Items"))},
            h("a", {"href": "#overview"}, page.text(say("Overview"))),
            button(page, say("Previous"), id="previous"),
            button(page, say("Next"), id="next"),
            button(page, say("Next undecided"), id="next-open"),
            button(page, say("Keys"), **{"id": "keys", "aria-haspopup": "dialog"}),
        ),
        h(
            "form",
            {"id": "save-form"},
            h("span", {"id": "progress"}),
            h("label", {"for": "reviewer"}, page.text(say("Your name"))),
            h("input", {"id": "reviewer", "type": "text", "autocomplete": "name"}),
            h("button", {"type": "submit", "id": "save"}, page.text(say("Save decisions"))),
        ),
    )


def help_dialog(page: Writer) -> Element:
    """The keys, shown on request; single letters can be turned off (WCAG 2.2, 2.1.4)."""
    return h(
        "dialog",
        {"id": "help", "aria-labelledby": "help-title"},
        h("h2", {"id": "help-title"}, page.text(say("Keys"))),
        h("dl", {"class": "keys"}, *(_key_line(page, key, told) for key, told in _KEYS)),
        h(
            "label",
            h("input", {"type": "checkbox", "id": "keys-on", "checked": "checked"}),
            h("span", page.text(say("Use these keys"))),
        ),
        h("p", {"class": "actions"}, button(page, say("Close"), id="help-close")),
    )


def _key_line(page: Writer, key: Said | str, told: Said) -> Element:
    name = page.text(key) if isinstance(key, Said) else key
    return h("div", h("dt", h("kbd", name)), h("dd", page.text(told)))


def files(page: Writer) -> list[Element]:
    """Where files of decisions are loaded, and where the words of several reviewers differ."""
    about = say(
        "A file under your own name is merged into your work; those of others are shown beside"
        " it, once a key is shown. Where two reviewers differ, a third person settles it by name."
    )
    return [
        h("h3", page.text(say("Files of decisions"))),
        h("p", page.text(about)),
        h(
            "p",
            {"class": "filter"},
            h("label", {"for": "load"}, page.text(say("Load a file"))),
            h("input", {"type": "file", "id": "load", "accept": ".json", "multiple": "multiple"}),
        ),
        h("ul", {"id": "loaded"}),
        h("div", {"id": "conflicts"}),
    ]


def paper(page: Writer) -> Element:
    """What is printed."""
    return h(
        "p",
        {"class": "filter"},
        h(
            "label",
            h("input", {"type": "checkbox", "id": "print-evidence"}),
            h("span", page.text(say("Print the evidence too"))),
        ),
    )
