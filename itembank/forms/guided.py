"""Guided: stages that lead to the answer, each with a response of its own.

An answer is a text for each stage; of a slip, "" for the stages in which nothing went wrong.
"""

from collections.abc import Iterator
from typing import Any

from itembank.forms import list as typed_list
from itembank.forms import select_one
from itembank.forms.base import (
    Answer,
    Form,
    InStages,
    Lines,
    Part,
    no_claim,
    no_fault,
    no_least,
    no_options,
    no_place,
)
from itembank.languages import Said, say
from itembank.notation import plain
from itembank.notation.tree import Strong
from itembank.values.item import Guided, ListEntry, SelectOne
from itembank.values.worded import worded

STAGES: dict[type[ListEntry | SelectOne], InStages[Any]] = {
    form.response: form for form in (typed_list.FORM, select_one.FORM)
}
"""The forms that a stage can have."""


def _stage_form(response: ListEntry | SelectOne) -> InStages[Any]:
    return STAGES[type(response)]


def right_text(response: ListEntry | SelectOne) -> str:
    """The right answer of a stage."""
    return _stage_form(response).text(response)


def _key(response: Guided) -> tuple[str, ...]:
    return tuple(right_text(stage.response) for stage in response.stages)


def _fault_of_answer(response: Guided, given: Answer) -> str | None:
    if len(given) == len(response.stages) and sum(map(bool, given)) == 1:
        return None
    return f"expected an answer in one stage, got {list(given)}"


def _same(_response: Guided, one: Answer, other: Answer) -> bool:
    """Whether the stage in which something went wrong was answered so."""
    return any(text and text == given for text, given in zip(one, other, strict=False))


def _given(response: Guided, reported: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(
        _stage_form(stage.response).text_given(stage.response, text)
        for stage, text in zip(response.stages, reported, strict=False)
    )


def _kept(response: Guided) -> object:
    return [_stage_form(s.response).part_kept(s.response) for s in response.stages]


def _seen(response: Guided) -> Iterator[str]:
    for stage in response.stages:
        yield worded("stage: {prompt}", prompt=plain.inlines(stage.prompt))
        yield from _stage_form(stage.response).seen(stage.response)


def _fields(response: Guided) -> tuple[Part, ...]:
    return tuple(_stage_form(s.response).part(s.response, s.prompt) for s in response.stages)


def _compared(response: Guided) -> dict[str, object]:
    return {"parts": [_stage_form(s.response).part_compared(s.response) for s in response.stages]}


def _told_key(response: Guided) -> Lines:
    return Lines(
        tuple(
            (*stage.prompt, " ", Strong(_stage_text(stage.response, right_text(stage.response))))
            for stage in response.stages
        )
    )


def _stage_text(response: ListEntry | SelectOne, text: str) -> str:
    """The text of an answer in a stage, to a person."""
    return _stage_form(response).text_told(response, text)


def _told_answer(response: Guided, given: Answer) -> Said:
    ((n, answer),) = ((n, str(answer)) for n, answer in enumerate(given, 1) if answer)
    told = _stage_text(response.stages[n - 1].response, answer)
    return say("{answer} in stage {n}", answer=told, n=n)


FORM = Form(
    name="guided",
    response=Guided,
    rules=("by stage",),
    stand_in="list",
    least=no_least,
    key=_key,
    fault_of_key=no_fault,
    fault_of_answer=_fault_of_answer,
    same=_same,
    given=_given,
    options=no_options,
    place=no_place,
    claim=no_claim,
    kept=_kept,
    seen=_seen,
    fields=_fields,
    compared=_compared,
    told_key=_told_key,
    told_answer=_told_answer,
    guess=lambda _response, _scoring: say(
        "Lists are typed: nothing on the page offers one to guess."
    ),
)
