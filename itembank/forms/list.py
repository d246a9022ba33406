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


def fault_of_answer(_response: ListEntry, given: Answer) -> str | None:
    if all(isinstance(value, int) for value in given) and list(given) != sorted(given, key=int):
        return f"expected integers in increasing order, got {list(given)}"
    return None


def given(response: ListEntry, reported: tuple[str, ...]) -> Answer:
    """The integers; () for the word for none, and what is not integers alone as it was typed."""
    values = integers_alone(reported)
    if values:
        return tuple(sorted(values) if response.any_order else values)
    typed = " ".join(" ".join(reported).split())
    return () if typed.lower() in ("", response.none_word.lower()) else (typed,)


def integers_alone(reported: Iterable[str]) -> list[int]:
    """The integers that were typed; none where anything else was typed too: 4, x is not 4."""
    found = integers_and_words(reported)
    values = [value for value in found if isinstance(value, int)]
    return values if len(values) == len(found) else []


def claim(_response: ListEntry, given: Answer) -> tuple[int, ...]:
    return tuple(value for value in given if isinstance(value, int))


def text(response: ListEntry) -> str:
    """The list as a student would type it.

    >>> text(ListEntry(values=(3, 9), modulus=15, none_word="none"))
    '3, 9'
    """
    return ", ".join(map(str, response.values)) or response.none_word


def values_of(response: ListEntry, text: str) -> tuple[int, ...]:
    """The values of a list as `text` writes it."""
    return () if text == response.none_word else tuple(map(int, text.split(",")))


def text_given(_response: ListEntry, text: str) -> str:
    return ", ".join(map(str, integers_alone([text]))) or text.strip().lower()


def seen(response: ListEntry) -> Iterator[str]:
    if response.any_order:
        yield worded("key: {key} (in any order)", key=text(response))
    else:
        yield worded("key: {key} (in increasing order)", key=text(response))


def values_and_word(response: ListEntry) -> tuple[list[str], str]:
    return [str(value) for value in response.values], response.none_word


def compared(response: ListEntry) -> dict[str, object]:
    values, word = values_and_word(response)
    return {"key": values, "none": word}


def part_compared(response: ListEntry) -> dict[str, object]:
    values, word = values_and_word(response)
    return {"list": values, "none": word}


def told_key(response: ListEntry) -> Said:
    if not response.values:
        return say("“{word}”", word=response.none_word)
    return say("${values}$", values=listed(response.values))


def told_answer(_response: ListEntry, given: Answer) -> Said | Inlines:
    if not given:
        return say("no solutions")
    return joined((str(value),) for value in given)


def guess(response: ListEntry, _scoring: Scoring) -> Said:
    return say("A blind guess of a set of residues is right once in $2^{m}$.", m=response.modulus)


FORM = InStages(
    name="list",
    response=ListEntry,
    rules=("all or nothing",),
    stand_in="",
    least=no_least,
    key=lambda response: response.values,
    fault_of_key=no_fault,
    fault_of_answer=fault_of_answer,
    same=equal,
    given=given,
    options=no_options,
    place=no_place,
    claim=claim,
    kept=lambda response: response.values,
    seen=seen,
    fields=lambda _response: (Typed(say("Your answer, a list of integers")),),
    compared=compared,
    told_key=told_key,
    told_answer=told_answer,
    guess=guess,
    text=text,
    text_given=text_given,
    text_told=lambda _response, text: text,
    part=lambda _response, prompt: Part(prompt, ()),
    part_compared=part_compared,
    part_kept=lambda response: response.values,
)
