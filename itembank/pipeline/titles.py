"""What students see for a title: what kind of question it is, and nothing that helps to answer it.

The title of a family is for staff: it may speak of "several solutions", of the method, of what
goes wrong. A student reads that of the kind, or what the family says under `shown as`, with a code
and a number that tell questions apart.
"""

from functools import lru_cache

from itembank.kinds.table import KINDS
from itembank.languages import Speaker, say
from itembank.languages.catalogue import ENGLISH
from itembank.pipeline.balance import pick
from itembank.spec import Family

LETTERS = "BCDFGHJKLMNPQRSTVWXZ"
"""Of codes: no vowels, so that they are no words."""

_CODE = 4
"""Letters of a code."""


def code_of(family: Family) -> str:
    """Letters that tell the questions of one family from those of others, and nothing else."""
    return _code(family.whole)


@lru_cache(maxsize=1024)
def _code(whole: str) -> str:
    n = pick(f"title/{whole}", len(LETTERS) ** _CODE)
    letters = []
    for _ in range(_CODE):
        n, place = divmod(n, len(LETTERS))
        letters.append(LETTERS[place])
    return "".join(letters)


def _neutral(family: Family, language: str = ENGLISH) -> str:
    """What kind of question the family asks: "A congruence"."""
    return family.shown_as or Speaker(language).text(KINDS[family.kind].title)


def of_group(family: Family, language: str = ENGLISH) -> str:
    """The title of the family's questions together: "A congruence (KVTB)"; of a part with (a)."""
    speaker = Speaker(language)
    said = say("{title} ({n})", title=_neutral(family, language), n=code_of(family))
    return speaker.text(said) + _letter_of(family)


def of_item(family: Family, index: int, language: str = ENGLISH) -> str:
    """The title of one question: "A congruence (KVTB 7)"; no two of one draw have the same."""
    title, n = _neutral(family, language), f"{code_of(family)} {index + 1}"
    return Speaker(language).text(say("{title} ({n})", title=title, n=n)) + _letter_of(family)


def _letter_of(family: Family) -> str:
    """What ends the title of a part: " (a)"; "" where a question has none."""
    return f" ({family.part})" if family.part else ""
