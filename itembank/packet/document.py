"""The packet as one HTML file that needs nothing else.

Style and script are files beside this one, put in as they stand; what the script must know of
the items is JSON in which no character can end the element that holds it.
"""

import json
from collections.abc import Sequence
from pathlib import Path

from exporters.release import Release, caution
from itembank.decisions_file import FORMAT, packet_hash
from itembank.notation.elements import HTML, Element, Maker, Markup, written
from itembank.packet.entry import Entry, entry_of, facts_list
from itembank.packet.overview import overview
from itembank.packet.package import package_entries
from itembank.verdicts import FACETS
from itembank.words import _

h = Maker(HTML)


def facet_labels() -> dict[str, str]:
    return {
        "key": _("Key and scoring"),
        "wording": _("Wording"),
        "distractors and feedback": _("Distractors and feedback"),
        "accessibility": _("Accessibility"),
    }


def packet_of_release(release: Release) -> bytes:
    """The packet of a pool's items for a term; the same items give the same bytes."""
    entries = [entry_of(item) for group in release.groups for item in group.items]
    return packet(
        title=release.title,
        course=f"{release.course}, {release.term}",
        language=release.language,
        entries=entries,
        source={"pool": release.pool_id, "term": release.term},
    )


def packet_of_package(path: Path) -> bytes:
    """The packet of a finished package, as its own files show it; PackageError if it is none."""
    return packet(
        title=path.name,
        course=_("A package as it lies on the disk"),
        language="en",
        entries=package_entries(path),
        source={"pool": "", "term": ""},
    )


def packet(
    *, title: str, course: str, language: str, entries: Sequence[Entry], source: dict[str, str]
) -> bytes:
    mark = packet_hash(str(e.data["fingerprint"]) for e in entries)
    data = {
        "format": FORMAT,
        **source,
        "packet": mark,
        "facets": list(FACETS),
        "words": script_words(),
        "items": [e.data for e in entries],
    }
    page = h(
        "html",
        {"lang": language},
        h(
            "head",
            h("meta", {"charset": "utf-8"}),
            h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
            h("meta", {"name": "robots", "content": "noindex"}),
            h("title", _("Review: {title}").format(title=title)),
            h("style", beside("packet.css")),
            h("script", "document.documentElement.className = 'js';"),
        ),
        h(
            "body",
            h("a", {"class": "skip", "href": "#main"}, _("Skip to the content")),
            banner(title, course),
            h(
                "main",
                {"id": "main", "tabindex": "-1"},
                h(
                    "section",
                    {"id": "overview", "class": "page"},
                    h("h2", {"tabindex": "-1"}, _("Overview")),
                    h("p", {"class": "caution"}, caution()),
                    h("div", {"class": "lead"}, *instructions()),
                    facts_list(((_("Items"), str(len(entries))), (_("Hash of this packet"), mark))),
                    *overview(entries),
                ),
                *(article(e, i, len(entries)) for i, e in enumerate(entries, 1)),
            ),
            h("template", {"id": "decision-form"}, decision_form()),
            h("div", {"id": "said", "role": "status", "aria-live": "polite"}),
            h("script", {"type": "application/json", "id": "items"}, embedded(data)),
            h("script", beside("packet.js")),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([page])).encode()


def beside(name: str) -> Markup:
    return Markup((Path(__file__).parent / name).read_text(encoding="utf-8"))


def embedded(data: object) -> str:
    """JSON that can stand in a script element: every < is escaped."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def banner(title: str, course: str) -> Element:
    return h(
        "header",
        h("div", h("h1", title), h("p", course)),
        h(
            "nav",
            {"aria-label": _("Items")},
            h("a", {"href": "#overview"}, _("Overview")),
            h("button", {"type": "button", "id": "previous"}, _("Previous")),
            h("button", {"type": "button", "id": "next"}, _("Next")),
            h("button", {"type": "button", "id": "next-open"}, _("Next undecided")),
        ),
        h(
            "form",
            {"id": "save-form"},
            h("span", {"id": "progress"}),
            h("label", {"for": "reviewer"}, _("Your name")),
            h("input", {"id": "reviewer", "type": "text", "autocomplete": "name"}),
            h("button", {"type": "submit", "id": "save"}, _("Save decisions")),
        ),
    )


def instructions() -> list[Element]:
    return [
        h(
            "p",
            _(
                "Answer each question before you see its key; the key and the evidence then open."
                " Accept or return the item facet by facet, with a comment where you return it."
                " Your work is kept in this browser. When you are done, save the decisions and"
                " send the file back."
            ),
        )
    ]


def article(e: Entry, number: int, total: int) -> Element:
    name = e.identifier
    return h(
        "article",
        {"id": name, "class": "page item", "aria-labelledby": f"title-{name}"},
        h("p", {"class": "place"}, _("Item {n} of {all}").format(n=number, all=total)),
        h("h2", {"id": f"title-{name}", "tabindex": "-1"}, e.title),
        *([h("p", {"class": "risks"}, "; ".join(e.risks))] if e.risks else []),
        h(
            "form",
            {"class": "question"},
            *e.question,
            h(
                "p",
                {"class": "actions"},
                h("button", {"type": "submit"}, _("Compare with the key")),
                h("button", {"type": "button", "class": "quiet"}, _("Show the key unanswered")),
            ),
        ),
        h("p", {"class": "outcome", "tabindex": "-1"}),
        h("div", {"class": "revealed"}, *e.revealed),
    )


def decision_form() -> Element:
    """The form of every item; the script makes one where an item is opened, or printed.

    Written out for hundreds of items, fields alone would keep a browser busy for seconds.
    """
    labels = facet_labels()
    return h(
        "form",
        {"class": "decision", "aria-label": _("Your decision")},
        h("h3", _("Your decision")),
        h(
            "p",
            {"class": "actions"},
            h("button", {"type": "button", "class": "all"}, _("Accept all four")),
        ),
        *(facet(i, labels[f]) for i, f in enumerate(FACETS)),
        h("p", {"class": "status"}),
    )


def facet(i: int, label: str) -> Element:
    place = f"comment-ITEM-{i}"
    return h(
        "fieldset",
        {"data-facet": FACETS[i]},
        h("legend", label),
        *(
            h(
                "label",
                h("input", {"type": "radio", "name": f"facet-ITEM-{i}", "value": verdict}),
                h("span", word),
            )
            for verdict, word in (("accepted", _("Accept")), ("returned", _("Return")))
        ),
        h("label", {"for": place, "class": "for-comment"}, _("Comment")),
        h("textarea", {"id": place, "rows": "1"}, ""),
    )


def script_words() -> dict[str, str]:
    """Sentences that the script says."""
    return {
        "agrees": _("Your answer agrees with the key."),
        "differs": _("Your answer differs from the key. Look again at both."),
        "asked": _("The key was shown unanswered."),
        "answer first": _("Answer first, or ask to see the key."),
        "accepted": _("accepted"),
        "returned": _("returned"),
        "open": _("open"),
        "begun": _("begun"),
        "comment missing": _("Say why in the comment."),
        "progress": _("{done} of {all} decided"),
        "name missing": _("Enter your name before you save."),
        "saved": _("Saved {n} decisions."),
        "nothing": _("There is no decision to save yet."),
        "unkept": _("This browser keeps nothing: save before you close the page."),
        "sample": _(
            "So far {n} accepted, none returned: if they were drawn at random, at most {bound} %"
            " of all items are faulty, with 95 % confidence."
        ),
        "sample returned": _("So far {n} accepted and {r} returned."),
    }
