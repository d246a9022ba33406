"""Pages for people when a pool changes: what to add and retire, and how to rescore.

Like the load card they are pages of HTML that need nothing else, A4, black on white.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from exporters.loadcard import STYLE, h, table
from itembank.languages.words import _, ngettext
from itembank.notation.elements import Element, written


def page(language: str, title: str, line: str, *content: Element) -> bytes:
    document = h(
        "html",
        {"lang": language},
        h("head", h("meta", {"charset": "utf-8"}), h("title", title), h("style", STYLE)),
        h("body", h("h1", title), h("p", {"class": "course"}, line), *content),
    )
    return ("<!DOCTYPE html>\n" + written([document])).encode()


# ------------------------------------------------------------ what changed


def change_list(
    *,
    title: str,
    course: str,
    term: str,
    language: str,
    since: str,
    new: Sequence[tuple[str, str]],
    retire: Sequence[tuple[str, str]],
    kept: int,
) -> bytes:
    """What to add to a question bank and what to take out of it, by (identifier, title)."""
    return page(
        language,
        _("Changes: {title}").format(title=title),
        f"{course}, {term}",
        h(
            "p",
            _(
                "Since the release {since}: {new} new, {retire} to retire, {kept} as they were."
            ).format(since=since, new=len(new), retire=len(retire), kept=kept),
        ),
        h("h2", _("To retire: take these out of every quiz before the term begins")),
        names_table(retire),
        h("h2", _("New: in the package beside this page")),
        names_table(new),
    )


def names_table(names: Sequence[tuple[str, str]]) -> Element:
    if not names:
        return h("p", _("None."))
    return table(((_("Question"), ""), (_("Identifier"), "")), ((t, i) for i, t in names))


# ------------------------------------------------------------ rescoring


@dataclass(frozen=True, kw_only=True)
class Affected:
    """A release that holds a withdrawn question: who met it there."""

    release: str
    course: str
    term: str
    group: str
    choose: int
    of: int
    files: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Withdrawn:
    """A withdrawn question, with its key as released and as found again now.

    right_key: None where it was not found, and `why_none` says why.
    """

    identifier: str
    title: str
    statement: str
    ask: str
    released_key: str
    right_key: str | None
    why_none: str
    forms: tuple[str, ...]
    affected: tuple[Affected, ...]

    @property
    def key_stands(self) -> bool:
        return self.released_key == self.right_key


def rescoring_note(language: str, reason: str, questions: Sequence[Withdrawn]) -> bytes:
    """Who is affected, what the right key is, and what is suggested."""
    return page(
        language,
        _("Rescoring note"),
        ngettext(
            "{n} question withdrawn: {reason}", "{n} questions withdrawn: {reason}", len(questions)
        ).format(n=len(questions), reason=reason),
        *(element for question in questions for element in of_question(question)),
    )


def of_question(question: Withdrawn) -> list[Element]:
    affected = [
        (
            f"{a.course}, {a.term}",
            a.release,
            a.group,
            _("{choose} of {of}").format(choose=a.choose, of=a.of),
            ", ".join(a.files),
        )
        for a in question.affected
    ]
    forms = _("Forms: {names}").format(names=", ".join(question.forms))
    return [
        h("h2", f"{question.title} ({question.identifier})"),
        h("p", f"{question.statement}; {question.ask}"),
        h("p", _("Key as released: {key}").format(key=question.released_key)),
        h("p", found_key(question)),
        h("p", suggestion(question)),
        *([h("p", forms)] if question.forms else []),
        table(
            (
                (_("Course and term"), ""),
                (_("Release"), ""),
                (_("Group"), ""),
                (_("A student draws"), ""),
                (_("Packages"), ""),
            ),
            affected,
        )
        if affected
        else h("p", _("It was never released: nobody is affected.")),
    ]


def found_key(question: Withdrawn) -> str:
    if question.right_key is None:
        return _("The key could not be found again now: {reason}").format(reason=question.why_none)
    return _("Key found again now, by both ways: {key}").format(key=question.right_key)


def suggestion(question: Withdrawn) -> str:
    if not question.affected:
        return _("Nothing to rescore.")
    if question.right_key is None:
        return _("Work out the key by hand before anybody is scored again.")
    if not question.key_stands:
        return _(
            "The released key was wrong. Score every attempt at this question again with the right "
            "key, for all students at once, and tell them."
        )
    return _(
        "The key stands. Give full points to every student who drew this question, or leave it out "
        "of their totals; do the same for all of them, and tell them."
    )
