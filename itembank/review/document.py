"""The packet as one HTML file that needs nothing else.

Style and script are files beside this one, put in as they stand; what the script must know of
the items is JSON in which no character can end the element that holds it.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from exporters.release import Release, caution
from itembank.languages.words import _
from itembank.notation.elements import HTML, Element, Maker, Markup, written
from itembank.review.decisions_file import FORMAT, packet_hash
from itembank.review.entry import Entry, entry_of, facts_list
from itembank.review.overview import link, overview
from itembank.review.package import package_entries
from itembank.review.recorded import OnItems, facet_labels, with_record
from itembank.values.verdicts import FACETS, Spoken

h = Maker(HTML)


def packet_of_release(
    release: Release, words: Iterable[Spoken] = (), beside: Iterable[Spoken] = ()
) -> bytes:
    """The packet of a pool's items for a term; the same items and words give the same bytes.

    `words`: what is on record of them.  What is accepted as it is is not asked again, and what has
    changed since is shown.  An item with an open return says whose it is, once its key is shown,
    and takes down how a third person settles it.  `beside`: what is on another record, whose
    returns hold too, and whose acceptances do not count.
    """
    items = [item for group in release.groups for item in group.items]
    record = OnItems.of(items, words, beside)
    entries = [with_record(entry_of(item), item, record.on(item)) for item in items]
    return packet(
        title=release.title,
        course=f"{release.course}, {release.term}",
        language=release.language,
        entries=entries,
        source={"pool": release.pool_id, "term": release.term},
    )


def packet_of_package(path: Path) -> bytes:
    """The packet of a finished package, as its own files show it; PackageError if it is none."""
    entries, findings = package_entries(path)
    return packet(
        title=path.name,
        course=_("A package as it lies on the disk"),
        language="en",
        entries=entries,
        findings=findings,
        source={"pool": "", "term": ""},
    )


def packet(
    *,
    title: str,
    course: str,
    language: str,
    entries: Sequence[Entry],
    source: dict[str, str],
    findings: Sequence[str] = (),
) -> bytes:
    mark = packet_hash(str(e.data["fingerprint"]) for e in entries)
    data = {
        "format": FORMAT,
        **source,
        "packet": mark,
        "facets": list(FACETS),
        "labels": facet_labels(),
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
            h("div", {"id": "notices", "role": "status", "aria-live": "polite"}),
            h(
                "main",
                {"id": "main", "tabindex": "-1"},
                h(
                    "section",
                    {"id": "overview", "class": "page"},
                    h("h2", {"tabindex": "-1"}, _("Overview")),
                    h("p", {"class": "caution"}, caution()),
                    h("div", {"class": "lead"}, *instructions()),
                    facts_list(((_("Items"), counted(entries)), (_("Hash of this packet"), mark))),
                    *of_the_package(findings),
                    *held_items(entries),
                    *overview(entries),
                ),
                *(article(e, i, len(entries)) for i, e in enumerate(entries, 1)),
            ),
            h("template", {"id": "decision-form"}, decision_form()),
            h("template", {"id": "settling-form"}, settling_form()),
            h("div", {"id": "said", "role": "status", "aria-live": "polite"}),
            h("script", {"type": "application/json", "id": "items"}, embedded(data)),
            h("script", beside("kept.js"), beside("packet.js")),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([page])).encode()


def counted(entries: Sequence[Entry]) -> str:
    """How many items there are, and how many of them could not be read."""
    unread = sum(bool(e.unread) for e in entries)
    if not unread:
        return str(len(entries))
    return _("{all}, of which {n} could not be read").format(all=len(entries), n=unread)


def of_the_package(findings: Sequence[str]) -> list[Element]:
    """What is wrong with the package itself: files that are missing, or of a type not read."""
    if not findings:
        return []
    return [
        h("h3", _("What is wrong with the package itself")),
        h("ul", {"class": "findings"}, *(h("li", line) for line in findings)),
    ]


def held_items(entries: Sequence[Entry]) -> list[Element]:
    """The items that an open return holds; why is told with their key."""
    held = [e for e in entries if "returns" in e.data]
    if not held:
        return []
    return [
        h("h3", _("Returned, and open")),
        h(
            "p",
            _(
                "A return is open until its reviewer takes it back, by accepting what was returned,"
                " or a third person settles it. Who returned it, and why, is told with the key."
            ),
        ),
        h("ul", {"class": "held"}, *(h("li", link(e)) for e in held)),
    ]


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
        *([h("p", {"class": "risks"}, "; ".join(e.risks))] if e.risks and not e.unread else []),
        *([h("p", {"class": "note"}, e.note)] if e.note else []),
        unread(e) if e.unread else question(e),
        h("p", {"class": "outcome", "tabindex": "-1"}),
        h("div", {"class": "revealed"}, *e.revealed),
    )


def question(e: Entry) -> Element:
    return h(
        "form",
        {"class": "question"},
        *e.question,
        h(
            "p",
            {"class": "actions"},
            h("button", {"type": "submit"}, _("Compare with the key")),
            h("button", {"type": "button", "class": "quiet"}, _("Show the key unanswered")),
        ),
    )


def unread(e: Entry) -> Element:
    return h(
        "div",
        {"class": "unread"},
        h("p", h("strong", _("could not be read: {why}").format(why=e.unread))),
        h(
            "p",
            _(
                "Nobody has seen this question here, so that it cannot be accepted. Open it where"
                " students will meet it, or return it."
            ),
        ),
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
        h("details", {"class": "standing"}, h("summary", _("Accepted before: look again"))),
        h("p", {"class": "status"}),
    )


def facet(i: int, label: str) -> Element:
    return h(
        "fieldset",
        {"data-facet": FACETS[i]},
        h("legend", label),
        *judged(f"ITEM-{i}", _("Accept"), _("Return"), _("Comment")),
    )


def settling_form() -> Element:
    """The form of an open return; the script puts one into the form of the item for each."""
    return h(
        "fieldset",
        {"class": "settling"},
        h("legend", ""),
        h("p", {"class": "note"}),
        *judged("ITEM-settling-PLACE", _("Set aside"), _("Uphold"), _("Reason")),
    )


def judged(place: str, accept: str, back: str, comment: str) -> Iterator[Element]:
    """Two verdicts to choose from, and a comment."""
    for verdict, word in (("accepted", accept), ("returned", back)):
        box = {"type": "radio", "name": f"facet-{place}", "value": verdict}
        yield h("label", h("input", box), h("span", word))
    yield h("label", {"for": f"comment-{place}", "class": "for-comment"}, comment)
    yield h("textarea", {"id": f"comment-{place}", "rows": "1"}, "")


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
        "accept asked": _("Accept what is asked"),
        "accepted by": _("{facet}: accepted by {by}{date}"),
        "begun": _("begun"),
        "comment missing": _("Say why in the comment."),
        "progress": _("{done} of {all} decided"),
        "name missing": _("Enter your name, in letters, before you save."),
        "saved": _("Saved {n} decisions."),
        "nothing": _("There is no decision to save yet."),
        "damaged": _(
            "Work that was kept here is damaged. What could not be read is set aside, as it was,"
            " in this browser under {key}; look over your decisions before you save them."
        ),
        "another": _(
            "Decisions kept under the name {name}: {n}. This name has its own. If both are yours:"
        ),
        "adopt": _("Take them over"),
        "dismiss": _("Close"),
        "unsaved": _("There are decisions that you have not saved as a file."),
        "returned by": _("{facet}: returned by {by}{date}: {comment}"),
        "own return": _("Your own return: you take it back by accepting it above."),
        "party": _("You have decided on this item before; a third person must settle this."),
        "third": _("A third person settles this by name, with a reason."),
        "unkept": _("This browser keeps nothing: save before you close the page."),
        "sample": _(
            "So far {n} accepted, none returned: if they were drawn at random, at most {bound} %"
            " of all items are faulty, with 95 % confidence."
        ),
        "sample returned": _("So far {n} accepted and {r} returned."),
    }
