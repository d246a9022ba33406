"""Set: type the solutions, one to an entry, in any order, any representative of each."""

from collections.abc import Iterator

from itembank.forms.base import (
    Answer,
    Form,
    Typed,
    equal_sets,
    joined,
    no_least,
    no_options,
    no_place,
)
from itembank.forms.typed import integers_and_words
from itembank.languages import Said, say
from itembank.notation.building import listed
from itembank.notation.tree import Inlines
from itembank.values.item import Scoring, SetEntry
from itembank.values.worded import worded


def _fault_of_key(response: SetEntry) -> str | None:
    right = len(response.values)
    if 0 < right < response.entries:
        return None
    return f"expected 1 to {response.entries - 1} solutions, got {right}"


def _fault_of_answer(response: SetEntry, given: Answer) -> str | None:
    if 0 < len(given) <= response.entries:
        return None
    return f"expected what the entries hold, got {list(given)}"


def _given(response: SetEntry, reported: tuple[str, ...]) -> Answer:
    """The least residues in order, and after them the words that are none."""
    typed = integers_and_words(reported)
    residues = sorted(value % response.modulus for value in typed if isinstance(value, int))
    return (*residues, *(word for word in typed if isinstance(word, str)))


def _claim(_response: SetEntry, given: Answer) -> tuple[int, ...]:
    return tuple(value for value in given if isinstance(value, int))


def _seen(response: SetEntry) -> Iterator[str]:
    values = ", ".join(map(str, response.values))
    yield worded(
        "key: {key} modulo {m}, in {n} entries",
        key=values,
        m=response.modulus,
        n=response.entries,
    )


def _fields(response: SetEntry) -> tuple[Typed, ...]:
    return tuple(Typed(say("Solution {n}, or blank", n=n)) for n in range(1, response.entries + 1))


def _compared(response: SetEntry) -> dict[str, object]:
    return {"key": [str(v) for v in response.values], "modulus": str(response.modulus)}


def _told_key(response: SetEntry) -> Said:
    return say(
        "${values}$, in any order, or integers congruent to them modulo ${m}$.",
        values=listed(response.values),
        m=response.modulus,
    )


def _told_answer(_response: SetEntry, given: Answer) -> Said | Inlines:
    return joined((str(value),) for value in given)


def _guess(response: SetEntry, _scoring: Scoring) -> Said:
    return say("A blind guess of a set of residues is right once in $2^{m}$.", m=response.modulus)


FORM = Form(
    name="set",
    response=SetEntry,
    rules=("all or nothing",),
    stand_in="list",
    least=no_least,
    key=lambda response: response.values,
    fault_of_key=_fault_of_key,
    fault_of_answer=_fault_of_answer,
    same=equal_sets,
    given=_given,
    options=no_options,
    place=no_place,
    claim=_claim,
    kept=lambda response: response.values,
    seen=_seen,
    fields=_fields,
    compared=_compared,
    told_key=_told_key,
    told_answer=_told_answer,
    guess=_guess,
)
