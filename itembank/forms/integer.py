"""Integer: type one; every representative of a residue counts where a modulus is given.

Where an example is asked for, any of several counts.
"""

from collections.abc import Iterator

from itembank.forms.base import (
    Answer,
    Form,
    Typed,
    fault_of_one,
    joined,
    no_claim,
    no_fault,
    no_options,
    no_place,
)
from itembank.forms.typed import whole_numbers
from itembank.languages import Said, either, say
from itembank.notation.tree import Blocks, Inlines, Number
from itembank.values.item import IntegerEntry, Scoring
from itembank.values.worded import worded


def _least(response: IntegerEntry) -> tuple[IntegerEntry, Blocks] | None:
    """The least residue alone, where any representative counts."""
    if response.modulus is None:
        return None
    return IntegerEntry(value=response.value), response.least_stem


def _given(response: IntegerEntry, reported: tuple[str, ...]) -> tuple[int, ...]:
    m = response.modulus
    return tuple(value % m if m else value for value in whole_numbers(reported))


def _same(_response: IntegerEntry, one: Answer, other: Answer) -> bool:
    """Whether two answers are one; a key of several is each of them."""
    return bool(set(one) & set(other))


def _seen(response: IntegerEntry) -> Iterator[str]:
    if response.others:
        yield worded("key: any one of {keys}", keys=", ".join(map(str, response.values)))
    elif response.modulus is None:
        yield worded("key: {key}", key=response.value)
    else:
        yield worded(
            "key: {key} or any integer congruent to it modulo {m}",
            key=response.value,
            m=response.modulus,
        )


def _compared(response: IntegerEntry) -> dict[str, object]:
    m = response.modulus
    return {"key": [*map(str, response.values)], "modulus": str(m) if m else ""}


def _told_key(response: IntegerEntry) -> Said:
    v, m = response.value, response.modulus
    if response.others:
        return say("Any one of {numbers}.", numbers=either(map(Number, response.values)))
    if not m:
        return say("${v}$", v=v)
    return say("${v}$, or any integer congruent to it modulo ${m}$.", v=v, m=m)


def _told_answer(_response: IntegerEntry, given: Answer) -> Said | Inlines:
    return joined((str(value),) for value in given)


def _guess(response: IntegerEntry, _scoring: Scoring) -> Said:
    if response.modulus is None:
        return say("An integer is typed: nothing on the page offers one to guess.")
    return say("A blind guess of a residue is right once in {m}.", m=response.modulus)


FORM = Form(
    name="integer",
    response=IntegerEntry,
    rules=("all or nothing",),
    stand_in="",
    least=_least,
    key=lambda response: response.values,
    fault_of_key=no_fault,
    fault_of_answer=lambda _response, given: fault_of_one(given),
    same=_same,
    given=_given,
    options=no_options,
    place=no_place,
    claim=no_claim,
    kept=lambda response: response.values if response.others else response.value,
    seen=_seen,
    fields=lambda _response: (Typed(say("Your answer, one integer")),),
    compared=_compared,
    told_key=_told_key,
    told_answer=_told_answer,
    guess=_guess,
)
