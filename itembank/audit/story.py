"""A story before the question: whatever an author wrote, up to the line that puts the question.

That line begins as the language says ("In symbols:"). What a story tells is for persons to judge;
how to answer and how it counts are said by the question alone.  Where a story stands in the place
of the question, a person must have accepted that it puts the one of the authors' statement.
"""

import re

from itembank.audit.phrases import Phrases, Stem
from itembank.audit.prose import Lines, text_of
from itembank.audit.said import Said
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, read
from itembank.values.errors import StatementError
from itembank.values.worded import worded


def without_story(stem: Lines, phrases: Phrases) -> Lines:
    """The stem from its formal question on; as it is where no story stands before one.

    Raises Unsupported for two formal questions, and a story that says how to answer.
    """
    opens = [i for i, line in enumerate(stem) if phrases.stem.formal.search(_words((line,)))]
    if not opens:
        return stem
    if len(opens) > 1:
        raise Unsupported(worded("a stem with two formal questions after a story"))
    if told := _directions(_words(stem[: opens[0]]), phrases.stem):
        raise Unsupported(worded("a story that says how to answer: '{told}'", told=told[:60]))
    return stem[opens[0] :]


_POWER = re.compile(r"(?<=[a-z])\^[23]\b")
_NUMBER = re.compile(r"\d+")


def told_by_story(item: SeenItem) -> tuple[Question, str]:
    """The question and the ask of the authors' statement, each number of which the stem tells.

    It is taken on the word of a person who has read both; 0, 1 and the exponents 2 and 3 of the
    unknown may be told in words.  Raises Unsupported for a statement that cannot be read, or has a
    number that the stem does not tell.
    """
    *lines, ask = (part.strip() for part in item.statement.split(";"))
    told = set(_NUMBER.findall(_words(item.stem)))
    for number in _NUMBER.findall(_POWER.sub("", " ".join(lines))):
        if number not in told and number not in ("0", "1"):
            raise Unsupported(
                worded(
                    "a story that does not tell {number}, a number of its question", number=number
                )
            )
    try:
        return read(*lines), ask
    except StatementError as reason:
        raise Unsupported(
            worded("a story whose question cannot be read: {reason}", reason=reason)
        ) from None


def _directions(story: str, said: Stem) -> str:
    """What a story says of how to answer or what it counts; "" for nothing."""
    patterns: tuple[Said, ...] = (
        said.points, said.stages, said.ticks, said.none, said.increasing, said.any_order,
        said.any_representative, said.spare, said.uncounted,
    )  # fmt: skip
    found = (pattern.search(story) for pattern in patterns)
    return next((match[0] for match in found if match), "")


def _words(lines: Lines) -> str:
    return " ".join(text_of(lines).split()).lower()
