"""An item in the other languages of its pool: read by whoever judges their words, key and all.

Each lies folded below the question as it is answered, and below the key with all that is said
there, with what the audit says of it in a finished package of its language.  Decisions are on the
item; a return says which language it is about.
"""

import re
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from itertools import chain
from pathlib import Path

from exporters.formats import write_package
from exporters.release import Release
from itembank.audit import audit_package
from itembank.audit.report import ItemReport
from itembank.languages import say
from itembank.languages.catalogue import own_name
from itembank.notation.elements import Child, Element
from itembank.review import vocabulary
from itembank.review.entry import Entry, controls, feedback_rows, key_elements
from itembank.review.outcomes import Outcome
from itembank.review.seen import seen_lines
from itembank.review.writer import Writer, h
from itembank.values.item import Item

_READ = "qti21"
"""The format that is read back: one that carries every response form."""


_JUDGED_ONCE = {
    "wording": ("question:",),
    "distractors and feedback": ("feedback", "worked"),
}
"""How the lines begin that a facet is about; what is judged once a family."""

_NUMBER = re.compile(r"[−-]?\d+")


@dataclass(frozen=True)
class InLanguage:
    """An item in another language; report: of the audit, None where its package had none."""

    item: Item
    report: ItemReport | None

    @property
    def language(self) -> str:
        return self.item.language

    @property
    def agreed(self) -> bool:
        return self.report is not None and self.report.status == "agreed"


Editions = Mapping[str, Sequence[InLanguage]]
"""By the identifier of an item: the item in each other language."""


def in_languages(first: Release, others: Sequence[Release]) -> Editions:
    """The items of a release as others have them, which hold the same questions in that order."""
    found: dict[str, list[InLanguage]] = {}
    names = [item.identifier for item in _items_of(first)]
    for other in others:
        reports = _audited(other)
        for name, item in zip(names, _items_of(other), strict=True):
            one = InLanguage(item, reports.get(item.identifier))
            found.setdefault(name, []).append(one)
    return found


def _items_of(release: Release) -> Iterator[Item]:
    return chain.from_iterable(group.items for group in release.groups)


def _audited(release: Release) -> dict[str, ItemReport]:
    """What the audit says of each item, read in a finished package.

    A story that stands in the place of its question is taken at its word: it is the reviewer who
    judges it, beside the question.
    """
    stories = frozenset(item.identifier for item in _items_of(release) if item.formal)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "package.zip"
        write_package(_READ, release, path)
        return {report.identifier: report for report in audit_package(path, stories=stories).items}


# ------------------------------------------------------------ shown


def with_editions(page: Writer, entry: Entry, found: Sequence[InLanguage]) -> Entry:
    """The entry with its item in other languages; one that is not agreed is a risk."""
    if not found:
        return entry
    doubt = page.text(say("not agreed in another language"))
    key, evidence = _parted(entry.revealed)
    return replace(
        entry,
        risks=entry.risks if all(one.agreed for one in found) else (*entry.risks, doubt),
        also=tuple(_put(page, one) for one in found),
        revealed=(*key, *(_told(page, one) for one in found), *evidence),
        data={**entry.data, "also": _patterns(found)},
    )


def _patterns(found: Sequence[InLanguage]) -> dict[str, str]:
    """For the facets that are judged once a family: equal where all but the numbers is equal.

    The script compares the item's own lines so, in alike.js.
    """
    lines = [line for one in found for line in seen_lines(one.item)]
    return {
        facet: sha256("\n".join(_NUMBER.sub("#", s) for s in lines if s.startswith(parts)).encode())
        .hexdigest()[:16]
        for facet, parts in _JUDGED_ONCE.items()
    }  # fmt: skip


def _parted(revealed: Sequence[Element]) -> tuple[Sequence[Element], Sequence[Element]]:
    """What stands open, above all the key, and what lies folded below it."""
    folds = [i for i, (_space, tag, _content) in enumerate(revealed) if tag == "details"]
    at = min(folds, default=len(revealed))
    return revealed[:at], revealed[at:]


def _put(page: Writer, one: InLanguage) -> Element:
    """The question as students meet it, without its key."""
    return _folded(page, one, "evidence also", Outcome(None), _question(page, one.item))


def _told(page: Writer, one: InLanguage) -> Element:
    """All that students meet of it, key and worked solution with it, and what the audit says."""
    item, own = one.item, page.of(one.language)
    judged = say("Where these words are wrong, return the facet and name the language.")
    content = [
        h("p", {"class": "note"}, page.text(judged)),
        *_doubts(page, one),
        *_question(page, item),
        h("h4", page.text(say("Key"))),
        *key_elements(page, item),
        *_fed_back(page, item),
        h("h4", page.text(say("Worked solution"))),
        *page.within(item.language, own.prose(item.solution)),
        h("h4", page.text(say("Spoken form"))),
        h("p", page.lang(item.language), item.spoken),
    ]
    return _folded(page, one, "evidence", _outcome(one), content)


def _outcome(one: InLanguage) -> Outcome:
    status = one.report.status if one.report else "unchecked"
    return Outcome(vocabulary.AUDITED[status], failed=not one.agreed)


def _doubts(page: Writer, one: InLanguage) -> list[Element]:
    """What the audit says of an item with which it does not agree."""
    if one.report is None or one.agreed:
        return []
    lines = (f"{one.report.status}: {one.report.how}", *one.report.findings)
    return [h("p", page.english(line)) for line in lines]


def _question(page: Writer, item: Item) -> list[Element]:
    """Title, question and what is answered in, which nobody answers here."""
    own = page.of(item.language)
    fields = h("fieldset", {"disabled": "disabled"}, *controls(page, item))
    title = h("p", h("strong", item.title))
    return page.within(
        item.language, [title, *own.prose(item.stem), *own.prose(item.formal), fields]
    )


def _fed_back(page: Writer, item: Item) -> list[Element]:
    rows = list(chain.from_iterable(feedback_rows(page, item, None)))
    if not rows:
        return []
    return [h("h4", page.text(say("Feedback"))), h("dl", {"class": "slips"}, *rows)]


def _folded(
    page: Writer, one: InLanguage, kind: str, come_to: Outcome, content: Sequence[Element]
) -> Element:
    """Folded, but for the reviewer's own language, and where the audit does not agree."""
    name: Child = own_name(one.language)
    if marked := page.lang(one.language):
        name = h("span", marked, name)
    verdict = {"class": "verdict failed" if come_to.failed else "verdict"}
    beside = [h("span", verdict, page.text(come_to.said))] if come_to.said else []
    unfolded = come_to.failed or one.language == page.language
    return h(
        "details",
        {"class": kind, **({"open": "open"} if unfolded else {})},
        h("summary", h("h3", name), *beside),
        *content,
    )
