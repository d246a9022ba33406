"""A story before the question: whatever an author wrote, up to the line that puts the question.

That line begins as the language says ("In symbols:"). What a story tells is for persons to judge;
how to answer and how it counts are said by the question alone.
"""

import re

from itembank.audit.phrases import Phrases, Stem
from itembank.audit.prose import Lines, text_of
from itembank.audit.unsupported import Unsupported


def without_story(stem: Lines, phrases: Phrases) -> Lines:
    """The stem from its formal question on; as it is where no story stands before one.

    Raises Unsupported for two formal questions, and a story that says how to answer.
    """
    opens = [i for i, line in enumerate(stem) if phrases.stem.formal.search(words((line,)))]
    if not opens:
        return stem
    if len(opens) > 1:
        raise Unsupported("a stem with two formal questions after a story")
    if told := directions(words(stem[: opens[0]]), phrases.stem):
        raise Unsupported(f"a story that says how to answer: '{told[:60]}'")
    return stem[opens[0] :]


def directions(story: str, said: Stem) -> str:
    """What a story says of how to answer or what it counts; "" for nothing."""
    patterns: tuple[re.Pattern[str], ...] = (
        said.points, said.stages, said.ticks, said.none, said.increasing, said.any_order,
        said.any_representative, said.spare, said.uncounted,
    )  # fmt: skip
    found = (pattern.search(story) for pattern in patterns)
    return next((match[0] for match in found if match), "")


def words(lines: Lines) -> str:
    return " ".join(text_of(lines).split()).lower()
