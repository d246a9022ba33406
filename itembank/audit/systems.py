"""Several congruences that a stem asks to solve together, read from its rows.

A stem that speaks of "the system" shows one congruence a row; a row without a modulus may
say in which range the solutions are listed, 0 ≤ x < 24.
"""

import re
from collections.abc import Iterable

from itembank.audit.phrases import Phrases
from itembank.audit.prose import Formula
from itembank.audit.speech import typed
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Question, read
from itembank.values.errors import StatementError
from itembank.values.worded import wording

_RANGE = re.compile(r"0 ≤ [a-z] < \d+")


def the_system(
    words: str, rows: Iterable[Formula], phrases: Phrases
) -> tuple[Question, tuple[str, ...]] | None:
    """The system that a stem asks for, and its faults; None where it speaks of none.

    `words` are those of the stem, `rows` its congruences with their moduli.  Raises
    Unsupported where they cannot be read as one.
    """
    if not phrases.stem.system.search(words):
        return None
    rows = tuple(rows)
    bound = _RANGE.findall(words)[:1]
    try:
        question = read(*(row.text for row in rows), *bound)
        spoken = [typed(row.spoken, phrases.spoken) for row in rows if row.spoken]
        same = not spoken or read(*spoken, *bound) == question
    except StatementError as reason:
        raise Unsupported(wording(reason)) from None
    faults = () if same else ("stem: expected the system in its spoken form, got another",)
    return question, faults
