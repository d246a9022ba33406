"""Integer: type one; every representative of a residue counts where a modulus is given."""

from collections.abc import Iterator

from itembank.forms.base import (
    Answer,
    Form,
    Typed,
    equal,
    fault_of_one,
    joined,
    no_claim,
    no_fault,
    no_options,
    no_place,
)
from itembank.forms.typed import whole_numbers
from itembank.languages import Said, say
from itembank.notation.tree import Blocks, Inlines
from itembank.values.item import IntegerEntry, Scoring


def least(response: IntegerEntry) -> tuple[IntegerEntry, Blocks] | None:
    """The least residue alone, where any representative counts."""
    if response.modulus is None:
        return None
    return IntegerEntry(value=response.value), response.least_stem


def given(response: IntegerEntry, reported: tuple[str, ...]) -> tuple[int, ...]:
    m = response.modulus
    return tuple(value % m if m else value for value in whole_numbers(reported))


def seen(response: IntegerEntry) -> Iterator[str]:
    if response.modulus is None:
        yield f"key: {response.value}"
    else:
        yield f"key: {response.value} or any integer congruent to it modulo {response.modulus}"


def compared(response: IntegerEntry) -> dict[str, object]:
    m = response.modulus
    return {"key": [str(response.value)], "modulus": str(m) if m else ""}


def told_key(response: IntegerEntry) -> Said:
    v, m = response.value, response.modulus
    if not m:
        return say("${v}$", v=v)
    return say("${v}$, or any integer congruent to it modulo ${m}$.", v=v, m=m)


def told_answer(_response: IntegerEntry, given: Answer) -> Said | Inlines:
    return joined((str(value),) for value in given)


def guess(response: IntegerEntry, _scoring: Scoring) -> Said:
    if response.modulus is None:
        return say("An integer is typed: nothing on the page offers one to guess.")
    return say("A blind guess of a residue is right once in {m}.", m=response.modulus)


FORM = Form(
    name="integer",
    response=IntegerEntry,
    rules=("all or nothing",),
    stand_in="",
    least=least,
    key=lambda response: (response.value,),
    fault_of_key=no_fault,
    fault_of_answer=lambda _response, given: fault_of_one(given),
    same=equal,
    given=given,
    options=no_options,
    place=no_place,
    claim=no_claim,
    kept=lambda response: response.value,
    seen=seen,
    fields=lambda _response: (Typed(say("Your answer, one integer")),),
    compared=compared,
    told_key=told_key,
    told_answer=told_answer,
    guess=guess,
)
