"""List: type the least residues in one entry, or the word for none; also as a stage."""

from collections.abc import Iterable, Iterator

from itembank.forms.base import (
    Answer,
    InStages,
    Part,
    Typed,
    equal,
    joined,
    no_fault,
    no_least,
    no_options,
    no_place,
)
from itembank.forms.typed import integers_and_words
from itembank.languages import Said, say
from itembank.notation.building import listed
from itembank.notation.tree import Inlines
from itembank.values.item import ListEntry, Scoring
from itembank.values.worded import worded


def _fault_of_answer(_response: ListEntry, given: Answer) -> str | None:
    if all(isinstance(value, int) for value in given) and list(given) != sorted(given, key=int):
        return f"expected integers in increasing order, got {list(given)}"
    return None


def _given(response: ListEntry, reported: tuple[str, ...]) -> Answer:
    """The integers; () for the word for none, and what is not integers alone as it was typed."""
    values = _integers_alone(reported)
    if values:
        return tuple(sorted(values) if response.any_order else values)
    typed = " ".join(" ".join(reported).split())
    return () if typed.lower() in ("", response.none_word.lower()) else (typed,)


def _integers_alone(reported: Iterable[str]) -> list[int]:
    """The integers that were typed; none where anything else was typed too: 4, x is not 4."""
    found = integers_and_words(reported)
    values = [value for value in found if isinstance(value, int)]
    return values if len(values) == len(found) else []


def _claim(_response: ListEntry, given: Answer) -> tuple[int, ...]:
    return tuple(value for value in given if isinstance(value, int))


def _text(response: ListEntry) -> str:
    """The list as a student would type it.

    >>> _text(ListEntry(values=(3, 9), modulus=15, none_word="none"))
    '3, 9'
    """
    return ", ".join(map(str, response.values)) or response.none_word


def values_of(response: ListEntry, text: str) -> tuple[int, ...]:
    """The values of a list as `_text` writes it."""
    return () if text == response.none_word else tuple(map(int, text.split(",")))


def _text_given(_response: ListEntry, text: str) -> str:
    return ", ".join(map(str, _integers_alone([text]))) or text.strip().lower()


def _seen(response: ListEntry) -> Iterator[str]:
    if response.any_order:
        yield worded("key: {key} (in any order)", key=_text(response))
    else:
        yield worded("key: {key} (in increasing order)", key=_text(response))


def _values_and_word(response: ListEntry) -> tuple[list[str], str]:
    return [str(value) for value in response.values], response.none_word


def _compared(response: ListEntry) -> dict[str, object]:
    values, word = _values_and_word(response)
    return {"key": values, "none": word}


def _part_compared(response: ListEntry) -> dict[str, object]:
    values, word = _values_and_word(response)
    return {"list": values, "none": word}


def _told_key(response: ListEntry) -> Said:
    if not response.values:
        return say("“{word}”", word=response.none_word)
    return say("${values}$", values=listed(response.values))


def _told_answer(_response: ListEntry, given: Answer) -> Said | Inlines:
    if not given:
        return say("no solutions")
    return joined((str(value),) for value in given)


def _guess(response: ListEntry, _scoring: Scoring) -> Said:
    return say("A blind guess of a set of residues is right once in $2^{m}$.", m=response.modulus)


FORM = InStages(
    name="list",
    response=ListEntry,
    rules=("all or nothing",),
    stand_in="",
    least=no_least,
    key=lambda response: response.values,
    fault_of_key=no_fault,
    fault_of_answer=_fault_of_answer,
    same=equal,
    given=_given,
    options=no_options,
    place=no_place,
    claim=_claim,
    kept=lambda response: response.values,
    seen=_seen,
    fields=lambda _response: (Typed(say("Your answer, a list of integers")),),
    compared=_compared,
    told_key=_told_key,
    told_answer=_told_answer,
    guess=_guess,
    text=_text,
    text_given=_text_given,
    text_told=lambda _response, text: text,
    part=lambda _response, prompt: Part(prompt, ()),
    part_compared=_part_compared,
    part_kept=lambda response: response.values,
)
