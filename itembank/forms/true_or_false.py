"""True or false: say whether a claim holds."""

from collections.abc import Iterator

from itembank.forms.base import (
    Answer,
    Boxes,
    Form,
    Lines,
    equal,
    fault_among,
    fault_of_one,
    joined,
    no_claim,
    no_fault,
    no_least,
    no_options,
)
from itembank.languages import Said, say
from itembank.notation.tree import Inlines
from itembank.values.item import TrueFalse
from itembank.values.worded import worded

_NAMES = ("true", "false")


def _key(response: TrueFalse) -> tuple[str, ...]:
    return ("true" if response.truth else "false",)


def _fault_of_answer(_response: TrueFalse, given: Answer) -> str | None:
    return fault_among(_NAMES, given) or fault_of_one(given)


def _given(_response: TrueFalse, reported: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(value.lower() for value in reported)


def _seen(response: TrueFalse) -> Iterator[str]:
    yield worded("key: {key}", key=worded("true") if response.truth else worded("false"))


def _fields(response: TrueFalse) -> tuple[Boxes]:
    return (Boxes((("true", response.yes), ("false", response.no)), many=False),)


def _told_answer(response: TrueFalse, given: Answer) -> Said | Inlines:
    return joined(response.yes if name == "true" else response.no for name in given)


FORM = Form(
    name="solvable or not",
    response=TrueFalse,
    rules=("all or nothing",),
    stand_in="",
    least=no_least,
    key=_key,
    fault_of_key=no_fault,
    fault_of_answer=_fault_of_answer,
    same=equal,
    given=_given,
    options=no_options,
    place=lambda response: 1 if response.truth else 2,
    claim=no_claim,
    kept=lambda response: response.truth,
    seen=_seen,
    fields=_fields,
    compared=lambda response: {"key": list(_key(response))},
    told_key=lambda response: Lines((response.yes if response.truth else response.no,)),
    told_answer=_told_answer,
    guess=lambda _response, _scoring: say("A blind guess is right once in 2."),
)
