"""Pages for people when a pool changes: what to add and retire, and how to rescore.

Like the load card they are pages of HTML that need nothing else, A4, black on white.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from exporters.loadcard import STYLE, h, heading, table
from exporters.release import course_and_term
from itembank.languages import Said, Speaker, counted, say
from itembank.languages.spoken import spoken
from itembank.notation.elements import Element, written


def _page(language: str, title: str, line: str, *content: Element) -> bytes:
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
    speaker = Speaker(language)
    told = say(
        "Since the release {since}: {new} new, {retire} to retire, {kept} as they were.",
        since=since,
        new=len(new),
        retire=len(retire),
        kept=kept,
    )
    return _page(
        language,
        speaker.text(say("Changes: {title}", title=title)),
        course_and_term(course, term, language),
        h("p", speaker.text(told)),
        heading(say("To retire: take these out of every quiz before the term begins"), speaker),
        _names_table(retire, speaker),
        heading(say("New: in the package beside this page"), speaker),
        _names_table(new, speaker),
    )


def _names_table(names: Sequence[tuple[str, str]], speaker: Speaker) -> Element:
    if not names:
        return h("p", speaker.text(say("None.")))
    columns = ((say("Question"), ""), (say("Identifier"), ""))
    return table(speaker, columns, ((t, i) for i, t in names))


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

    right_key: None where it was not found, and `why_none` says why.  whole: of a part of a question
    the item that holds all of its parts in some packages, else "".
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
    whole: str = ""

    @property
    def key_stands(self) -> bool:
        return self.released_key == self.right_key


def rescoring_note(language: str, reason: str, questions: Sequence[Withdrawn]) -> bytes:
    """Who is affected, what the right key is, and what is suggested."""
    speaker = Speaker(language)
    told = counted(
        "{n} question withdrawn: {reason}",
        "{n} questions withdrawn: {reason}",
        len(questions),
        reason=reason,
    )
    return _page(
        language,
        speaker.text(say("Rescoring note")),
        speaker.text(told),
        *(element for question in questions for element in _of_question(question, speaker)),
    )


def _of_question(question: Withdrawn, speaker: Speaker) -> list[Element]:
    affected = [
        (
            course_and_term(a.course, a.term, speaker.language),
            a.release,
            a.group,
            say("{choose} of {of}", choose=a.choose, of=a.of),
            ", ".join(a.files),
        )
        for a in question.affected
    ]
    forms = say("Forms: {names}", names=", ".join(question.forms))
    key = say("Key as released: {key}", key=question.released_key)
    return [
        h("h2", f"{question.title} ({question.identifier})"),
        *([h("p", speaker.text(_held_by(question)))] if question.whole else []),
        h("p", f"{question.statement}; {question.ask}"),
        h("p", speaker.text(key)),
        h("p", speaker.text(_found_key(question, speaker.language))),
        h("p", speaker.text(_suggestion(question))),
        *([h("p", speaker.text(forms))] if question.forms else []),
        table(
            speaker,
            (
                (say("Course and term"), ""),
                (say("Release"), ""),
                (say("Group"), ""),
                (say("A student draws"), ""),
                (say("Packages"), ""),
            ),
            affected,
        )
        if affected
        else h("p", speaker.text(say("It was never released: nobody is affected."))),
    ]


def _held_by(question: Withdrawn) -> Said:
    return say(
        "This is a part of a question. Where that is one item with all of its parts, the item is"
        " {whole}, and only the score of this part changes.",
        whole=question.whole,
    )


def _found_key(question: Withdrawn, language: str) -> Said:
    if question.right_key is None:
        reason = spoken(question.why_none, language)
        return say("The key could not be found again now: {reason}", reason=reason)
    return say("Key found again now, by both ways: {key}", key=question.right_key)


def _suggestion(question: Withdrawn) -> Said:
    if not question.affected:
        return say("Nothing to rescore.")
    if question.right_key is None:
        return say("Work out the key by hand before anybody is scored again.")
    if not question.key_stands:
        return say(
            "The released key was wrong. Score every attempt at this question again with the right "
            "key, for all students at once, and tell them."
        )
    return say(
        "The key stands. Give full points to every student who drew this question, or leave it out "
        "of their totals; do the same for all of them, and tell them."
    )
