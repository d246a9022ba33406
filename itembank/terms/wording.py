"""Items in the words of another language: composed again from what they ask.

Results of all languages of a pool count together, under the items that are on record in the
first: what a student answered in other words is turned into the words of the record.
"""

import re
from functools import lru_cache

from itembank.kinds.statement import problem_of
from itembank.notation import plain
from itembank.pipeline import compose
from itembank.pipeline.compose import Wording
from itembank.values.errors import ItemBankError
from itembank.values.item import Guided, Item, ListEntry, Response, SelectOne

_EDITION = re.compile(
    r"((?:item|parts)-[0-9a-f]{16})-([a-z]{2,3}(?:-[A-Za-z0-9]{2,8})*)((?:\.[a-z])?)"
)
"""The identifier of an item in a language that is not the first of its pool; of one that holds
the parts of a question with the letter of one of these."""


def edition_of(identifier: str) -> tuple[str, str]:
    """The identifier of the question in the first language of its pool, and the edition's.

    >>> edition_of("item-0123456789abcdef-de"), edition_of("item-0123456789abcdef")
    (('item-0123456789abcdef', 'de'), ('item-0123456789abcdef', ''))
    >>> edition_of("parts-0123456789abcdef-de.b")
    ('parts-0123456789abcdef.b', 'de')
    """
    found = _EDITION.fullmatch(identifier)
    return (found[1] + found[3], found[2]) if found else (identifier, "")


def composed_again(item: Item, language: str) -> Item:
    """The item as it is composed now in a language, from its statement alone."""
    problem = problem_of(item.kind, item.statement)
    solution = problem.solve()
    wording = Wording(
        title=item.title,
        ask=item.ask,
        form=item.response.form,
        rule=item.scoring.rule,
        points=item.scoring.points,
        outcomes=item.outcomes,
        level=item.level,
        provenance=item.provenance,
        language=language,
    )
    return compose.compose(problem, solution, problem.slips(solution), wording)


@lru_cache(maxsize=1000)
def _response_in(item: Item, language: str) -> Response:
    return composed_again(item, language).response


def in_words_of(item: Item, language: str, given: tuple[str, ...]) -> tuple[str, ...]:
    """What was answered in a language, in the words of the item; numbers stay as they are.

    As it is too where the language is not spoken here, or the item cannot be composed again.
    """
    if not isinstance(item.response, ListEntry | Guided):
        return given
    try:
        other = _response_in(item, language)
    except ItemBankError:
        return given
    match item.response, other:
        case ListEntry(), ListEntry():
            return tuple(_stage_in_words_of(item.response, other, text) for text in given)
        case Guided(stages=stages), Guided(stages=others) if (
            len(stages) == len(others) == len(given)
        ):
            return tuple(
                _stage_in_words_of(ours.response, theirs.response, text)
                for ours, theirs, text in zip(stages, others, given, strict=True)
            )
    return given


def _stage_in_words_of(
    ours: ListEntry | SelectOne, theirs: ListEntry | SelectOne, text: str
) -> str:
    said = text.strip().casefold()
    match ours, theirs:
        case ListEntry(), ListEntry() if said == theirs.none_word.casefold():
            return ours.none_word
        case SelectOne(options=options), SelectOne(options=others):
            for option, other in zip(options, others, strict=False):
                if said == plain.inlines(other.label).casefold():
                    return option.identifier
    return text
