"""The packet as one HTML file that needs nothing else.

Style and script are files beside this one, put in as they stand; what the script must know of
the items, and the sentences that it says, are JSON in which no character can end the element
that holds it.
"""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path

from exporters.release import Release, caution, course_and_term, in_order
from itembank.audit.guessed import guessed
from itembank.guessing.pool import figures_of_groups
from itembank.languages import Said, say
from itembank.languages.catalogue import ENGLISH, decimal, own_name
from itembank.notation.elements import Child, Element, Markup, written
from itembank.review import vocabulary
from itembank.review.article import article, decision_form, settling_form
from itembank.review.decisions_file import FORMAT, packet_hash
from itembank.review.desk import banner, files, help_dialog, paper
from itembank.review.editions import in_languages, with_editions
from itembank.review.entry import Entry, entry_of, facts_list
from itembank.review.guesses import Row
from itembank.review.overview import overview, riskiest_first
from itembank.review.package import package_entries
from itembank.review.packed import packed
from itembank.review.queue import link
from itembank.review.recorded import OnItems, with_record
from itembank.review.script_words import SCRIPT_WORDS
from itembank.review.writer import Writer, h
from itembank.values.verdicts import FACETS, Spoken

_SCRIPTS = (
    "kept.js",
    "answers.js",
    "files.js",
    "queue.js",
    "alike.js",
    "voices.js",
    "merging.js",
    "saving.js",
    "first.js",
    "keys.js",
    "packet.js",
)
"""The parts of the page's script, in their order."""

_NOBODY: Mapping[str, str] = {}


def packet_of_release(
    release: Release,
    words: Iterable[Spoken] = (),
    beside: Iterable[Spoken] = (),
    language: str | None = None,
    guessing: Mapping[str, str] = _NOBODY,
    others: Sequence[Release] = (),
) -> bytes:
    """The packet of a pool's items for a term; the same items and words give the same bytes.

    `words`: what is on record of them.  What is accepted as it is is not asked again, and what has
    changed since is shown.  An item with an open return says whose it is, once its key is shown,
    and takes down how a third person settles it.  `_beside`: what is on another record, whose
    returns hold too, and whose acceptances do not count.  `language`: the reviewer's, None for
    that of the release; what students see stays in its own.  `guessing`: by family, why it wants
    that its questions can be guessed.  `others`: the same questions in the other languages of the
    pool, which stand folded with each.
    """
    page = Writer(language or release.language)
    items = list(in_order(release.groups))
    met = [(group.family, group.items) for group in release.groups]
    record = OnItems.of(items, words, beside)
    editions = in_languages(release, others)
    entries = [
        with_record(
            page,
            with_editions(page, entry_of(page, item), editions.get(item.identifier, ())),
            item,
            record.on(item),
        )
        for item in items
    ]
    return _packet(
        page,
        title=release.title,
        title_language=release.language,
        about=course_and_term(release.course, release.term, page.language),
        entries=entries,
        source={"pool": release.pool_id, "term": release.term},
        guesses=[(family, found) for (family, _form), found in figures_of_groups(met).items()],
        guessing=guessing,
        languages=[release.language, *(other.language for other in others)],
    )


def packet_of_package(path: Path, language: str = ENGLISH) -> bytes:
    """The packet of a finished package, as its own files show it; PackageError if it is none."""
    page = Writer(language)
    entries, findings = package_entries(page, path)
    return _packet(
        page,
        title=path.name,
        title_language=language,
        about=page.text(say("A package as it lies on the disk")),
        entries=entries,
        findings=findings,
        source={"pool": "", "term": ""},
        guesses=[(found.title, found.figures) for found in guessed(path)],
    )


def _packet(
    page: Writer,
    *,
    title: str,
    title_language: str,
    about: str,
    entries: Sequence[Entry],
    source: dict[str, str],
    findings: Sequence[str] = (),
    guesses: Sequence[Row] = (),
    guessing: Mapping[str, str] = _NOBODY,
    languages: Sequence[str] = (),
) -> bytes:
    mark = packet_hash(str(e.data["fingerprint"]) for e in entries)
    places = {e.identifier: i for i, e in enumerate(entries)}
    data = {
        "format": FORMAT,
        **source,
        "packet": mark,
        "facets": list(FACETS),
        "labels": {facet: page.text(vocabulary.FACETS[facet]) for facet in FACETS},
        "words": {name: page.text(said) for name, said in SCRIPT_WORDS.items()},
        "decimal": decimal(page.language, Decimal("0.1")).strip("01"),
        "items": [e.data | {"group": e.family, "shape": e.form} for e in entries],
        "riskiest": [places[e.identifier] for e, _risks in riskiest_first(page, entries)],
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
            h("style", _beside("packet.css")),
            h("script", "document.documentElement.className = 'js';"),
        ),
        h(
            "body",
            h("a", {"class": "skip", "href": "#main"}, page.text(say("Skip to the content"))),
            banner(page, name, about),
            h("noscript", h("p", page.text(say("The packet needs a browser that runs scripts.")))),
            h("div", {"id": "notices", "role": "status", "aria-live": "polite"}),
            h(
                "main",
                {"id": "main", "tabindex": "-1"},
                _first_page(page, entries, findings, mark, guesses, guessing, languages),
            ),
            help_dialog(page),
            h("template", {"id": "decision-form"}, decision_form(page)),
            h("template", {"id": "settling-form"}, settling_form(page)),
            h("div", {"id": "said", "role": "status", "aria-live": "polite"}),
            h("div", {"id": "heard", "role": "status", "aria-live": "polite"}),
            h("script", {"type": "application/json", "id": "items"}, _embedded(data)),
            h("script", {"type": "text/plain", "id": "packed"}, packed(_pages(page, entries))),
            h("script", *map(_beside, _SCRIPTS)),
        ),
    )
    return ("<!DOCTYPE html>\n" + written([whole])).encode()


def _pages(page: Writer, entries: Sequence[Entry]) -> Iterator[str]:
    """The page of each item, written out."""
    for n, e in enumerate(entries, 1):
        yield written([article(page, e, n, len(entries))])


def _beside(name: str) -> Markup:
    return Markup((Path(__file__).parent / name).read_text(encoding="utf-8"))


def _embedded(data: object) -> str:
    """JSON that can stand in a script element: every < is escaped."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


# ------------------------------------------------------------ the first page


def _first_page(
    page: Writer,
    entries: Sequence[Entry],
    findings: Sequence[str],
    mark: str,
    guesses: Sequence[Row],
    guessing: Mapping[str, str],
    languages: Sequence[str],
) -> Element:
    return h(
        "section",
        {"id": "overview", "class": "page"},
        h("h2", {"tabindex": "-1"}, page.text(say("Overview"))),
        h("p", {"class": "caution"}, caution(page.language)),
        h("div", {"class": "lead"}, h("p", page.text(_INSTRUCTIONS))),
        facts_list(
            page,
            (
                (say("Items"), page.text(_how_many(entries))),
                *_spoken_in(page, languages),
                (say("Hash of this packet"), mark),
            ),
        ),
        *_of_the_package(page, findings),
        *_held_items(page, entries),
        *files(page),
        *overview(page, entries, guesses, guessing),
        paper(page),
    )


_INSTRUCTIONS = say(
    "Answer each question before you see its key; the key and the evidence then open."
    " Accept or return the item facet by facet, with a comment where you return it."
    " Your work is kept in this browser. When you are done, save the decisions and"
    " send the file back."
)


def _how_many(entries: Sequence[Entry]) -> Said:
    """How many items there are, and how many of them could not be read."""
    if unread := sum(bool(e.unread) for e in entries):
        return say("{all}, of which {n} could not be read", all=len(entries), n=unread)
    return say("{n}", n=len(entries))


def _spoken_in(page: Writer, languages: Sequence[str]) -> list[tuple[Said, Child]]:
    """The languages of the questions, each by its own name, where there are several."""
    if len(languages) < 2:
        return []
    names = (h("li", page.lang(tag), own_name(tag)) for tag in languages)
    return [(say("Languages"), h("ul", {"class": "languages"}, *names))]


def _of_the_package(page: Writer, findings: Sequence[str]) -> list[Element]:
    """What is wrong with the package itself: files that are missing, or of a type not read."""
    if not findings:
        return []
    return [
        h("h3", page.text(say("What is wrong with the package itself"))),
        h("ul", {"class": "findings"}, *(h("li", page.english(line)) for line in findings)),
    ]


def _held_items(page: Writer, entries: Sequence[Entry]) -> list[Element]:
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
