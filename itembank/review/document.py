"""The packet as one HTML file that needs nothing else.

Style and script are files beside this one, put in as they stand; what the script must know of
the items, and the sentences that it says, are JSON in which no character can end the element
that holds it.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path

from exporters.release import Release, caution, course_and_term
from itembank.audit.guessed import guessed
from itembank.guessing.pool import figures_of_groups
from itembank.languages import Said, say
from itembank.languages.catalogue import ENGLISH, decimal
from itembank.notation.elements import Element, Markup, written
from itembank.review import vocabulary
from itembank.review.decisions_file import FORMAT, packet_hash
from itembank.review.entry import Entry, entry_of, facts_list
from itembank.review.guesses import Row
from itembank.review.overview import link, overview
from itembank.review.package import package_entries
from itembank.review.recorded import OnItems, with_record
from itembank.review.script_words import SCRIPT_WORDS
from itembank.review.writer import QUOTED, Writer, h
from itembank.values.verdicts import FACETS, Spoken

NOBODY: Mapping[str, str] = {}


def packet_of_release(
    release: Release,
    words: Iterable[Spoken] = (),
    beside: Iterable[Spoken] = (),
    language: str | None = None,
    guessing: Mapping[str, str] = NOBODY,
) -> bytes:
    """The packet of a pool's items for a term; the same items and words give the same bytes.

    `words`: what is on record of them.  What is accepted as it is is not asked again, and what has
    changed since is shown.  An item with an open return says whose it is, once its key is shown,
    and takes down how a third person settles it.  `beside`: what is on another record, whose
    returns hold too, and whose acceptances do not count.  `language`: the reviewer's, None for
    that of the release; what students see stays in its own.  `guessing`: by family, why it wants
    that its questions can be guessed.
    """
    page = Writer(language or release.language)
    items = [item for group in release.groups for item in group.items]
    met = [(group.family, group.items) for group in release.groups]
    record = OnItems.of(items, words, beside)
    entries = [with_record(page, entry_of(page, item), item, record.on(item)) for item in items]
    return packet(
        page,
        title=release.title,
        title_language=release.language,
        about=course_and_term(release.course, release.term, page.language),
        entries=entries,
        source={"pool": release.pool_id, "term": release.term},
        guesses=[(family, found) for (family, _form), found in figures_of_groups(met).items()],
        guessing=guessing,
    )


def packet_of_package(path: Path, language: str = ENGLISH) -> bytes:
    """The packet of a finished package, as its own files show it; PackageError if it is none."""
    page = Writer(language)
    entries, findings = package_entries(page, path)
    return packet(
        page,
        title=path.name,
        title_language=language,
        about=page.text(say("A package as it lies on the disk")),
        entries=entries,
        findings=findings,
        source={"pool": "", "term": ""},
        guesses=[(found.title, found.figures) for found in guessed(path)],
    )


def packet(
    page: Writer,
    *,
    title: str,
    title_language: str,
    about: str,
    entries: Sequence[Entry],
    source: dict[str, str],
    findings: Sequence[str] = (),
    guesses: Sequence[Row] = (),
    guessing: Mapping[str, str] = NOBODY,
) -> bytes:
    mark = packet_hash(str(e.data["fingerprint"]) for e in entries)
    data = {
        "format": FORMAT,
        **source,
        "packet": mark,
        "facets": list(FACETS),
        "labels": {facet: page.text(vocabulary.FACETS[facet]) for facet in FACETS},
        "words": {name: page.text(said) for name, said in SCRIPT_WORDS.items()},
        "decimal": decimal(page.language, Decimal("0.1")).strip("01"),
        "items": [e.data for e in entries],
    }
    name = h("h1", page.lang(title_language), title)
    whole = h(
        "html",
        {"lang": page.language},
        h(
            "head",
            h("meta", {"charset": "utf-8"}),
            h("meta", {"name": "viewport", "content": "width=device-width, initial-scale=1"}),
            h("meta", {"name": "robots", "content": "noindex"}),
            h("title", page.text(say("Review: {title}", title=title))),
            h("style", beside("packet.css")),
            h("script", "document.documentElement.className = 'js';"),
        ),
        h(
            "body",
            h("a", {"class": "skip", "href": "#main"}, page.text(say("Skip to the content"))),
            banner(page, name, about),
            h("div", {"id": "notices", "role": "status", "aria-live": "polite"}),
            h(
                "main",
                {"id": "main", "tabindex": "-1"},
                first_page(page, entries, findings, mark, guesses, guessing),
                *(article(page, e, i, len(entries)) for i, e in enumerate(entries, 1)),
            ),
            h("template", {"id": "decision-form"}, decision_form(page)),
            h("template", {"id": "settling-form"}, settling_form(page)),
            h("div", {"id": "said", "role": "status", "aria-live": "polite"}),
            h("script", {"type": "application/json", "id": "items"}, embedded(data)),
            h("script", beside("kept.js"), beside("packet.js")),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([whole])).encode()


def beside(name: str) -> Markup:
    return Markup((Path(__file__).parent / name).read_text(encoding="utf-8"))


def embedded(data: object) -> str:
    """JSON that can stand in a script element: every < is escaped."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


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


def button(page: Writer, said: Said, **attributes: str) -> Element:
    return h("button", {"type": "button", **attributes}, page.text(said))


# ------------------------------------------------------------ the first page


def first_page(
    page: Writer,
    entries: Sequence[Entry],
    findings: Sequence[str],
    mark: str,
    guesses: Sequence[Row],
    guessing: Mapping[str, str],
) -> Element:
    return h(
        "section",
        {"id": "overview", "class": "page"},
        h("h2", {"tabindex": "-1"}, page.text(say("Overview"))),
        h("p", {"class": "caution"}, caution(page.language)),
        h("div", {"class": "lead"}, h("p", page.text(INSTRUCTIONS))),
        facts_list(
            page,
            (
                (say("Items"), page.text(how_many(entries))),
                (say("Hash of this packet"), mark),
            ),
        ),
        *of_the_package(page, findings),
        *held_items(page, entries),
        *overview(page, entries, guesses, guessing),
    )


INSTRUCTIONS = say(
    "Answer each question before you see its key; the key and the evidence then open."
    " Accept or return the item facet by facet, with a comment where you return it."
    " Your work is kept in this browser. When you are done, save the decisions and"
    " send the file back."
)


def how_many(entries: Sequence[Entry]) -> Said:
    """How many items there are, and how many of them could not be read."""
    if unread := sum(bool(e.unread) for e in entries):
        return say("{all}, of which {n} could not be read", all=len(entries), n=unread)
    return say("{n}", n=len(entries))


def of_the_package(page: Writer, findings: Sequence[str]) -> list[Element]:
    """What is wrong with the package itself: files that are missing, or of a type not read."""
    if not findings:
        return []
    return [
        h("h3", page.text(say("What is wrong with the package itself"))),
        h("ul", {"class": "findings"}, *(h("li", page.english(line)) for line in findings)),
    ]


def held_items(page: Writer, entries: Sequence[Entry]) -> list[Element]:
    """The items that an open return holds; why is told with their key."""
    held = [e for e in entries if "returns" in e.data]
    if not held:
        return []
    how = say(
        "A return is open until its reviewer takes it back, by accepting what was returned,"
        " or a third person settles it. Who returned it, and why, is told with the key."
    )
    return [
        h("h3", page.text(say("Returned, and open"))),
        h("p", page.text(how)),
        h("ul", {"class": "held"}, *(h("li", link(page, e)) for e in held)),
    ]


# ------------------------------------------------------------ an item


def article(page: Writer, e: Entry, number: int, total: int) -> Element:
    name = e.identifier
    place = page.text(say("Item {n} of {all}", n=number, all=total))
    title = {"id": f"title-{name}", "tabindex": "-1", **page.lang(e.language)}
    return h(
        "article",
        {"id": name, "class": "page item", "aria-labelledby": f"title-{name}"},
        h("p", {"class": "place"}, place),
        h("h2", title, e.title),
        *([h("p", {"class": "risks"}, "; ".join(e.risks))] if e.risks and not e.unread else []),
        *([h("p", {"class": "note"}, e.note)] if e.note else []),
        unread(page, e) if e.unread else question(page, e),
        h("p", {"class": "outcome", "tabindex": "-1"}),
        h("div", {"class": "revealed"}, *e.revealed),
    )


def question(page: Writer, e: Entry) -> Element:
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


def unread(page: Writer, e: Entry) -> Element:
    why = page.quoting(say("could not be read: {why}", why=QUOTED), e.unread)
    what = say(
        "Nobody has seen this question here, so that it cannot be accepted. Open it where"
        " students will meet it, or return it."
    )
    return h("div", {"class": "unread"}, h("p", h("strong", *why)), h("p", page.text(what)))


# ------------------------------------------------------------ what is decided of it


def decision_form(page: Writer) -> Element:
    """The form of every item; the script makes one where an item is opened, or printed.

    Written out for hundreds of items, fields alone would keep a browser busy for seconds.
    """
    yours = page.text(say("Your decision"))
    again = page.text(say("Accepted before: look again"))
    return h(
        "form",
        {"class": "decision", "aria-label": yours},
        h("h3", yours),
        h(
            "p",
            {"class": "actions"},
            button(page, say("Accept all four"), **{"class": "all"}),
        ),
        *(facet(page, i, name) for i, name in enumerate(FACETS)),
        h("details", {"class": "standing"}, h("summary", again)),
        h("p", {"class": "status"}),
    )


def facet(page: Writer, i: int, name: str) -> Element:
    return h(
        "fieldset",
        {"data-facet": name},
        h("legend", page.text(vocabulary.FACETS[name])),
        *judged(page, f"ITEM-{i}", say("Accept"), say("Return"), say("Comment")),
    )


def settling_form(page: Writer) -> Element:
    """The form of an open return; the script puts one into the form of the item for each."""
    return h(
        "fieldset",
        {"class": "settling"},
        h("legend", ""),
        h("p", {"class": "note"}),
        *judged(page, "ITEM-settling-PLACE", say("Set aside"), say("Uphold"), say("Reason")),
    )


def judged(page: Writer, place: str, accept: Said, back: Said, comment: Said) -> Iterator[Element]:
    """Two verdicts to choose from, and a comment."""
    for verdict, word in (("accepted", accept), ("returned", back)):
        box = {"type": "radio", "name": f"facet-{place}", "value": verdict}
        yield h("label", h("input", box), h("span", page.text(word)))
    yield h("label", {"for": f"comment-{place}", "class": "for-comment"}, page.text(comment))
    yield h("textarea", {"id": f"comment-{place}", "rows": "1"}, "")
