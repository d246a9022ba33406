"""Select one: choose the one right option; also as a stage of a guided question."""

from itembank.forms import options
from itembank.forms.base import (
    Answer,
    Boxes,
    InStages,
    Lines,
    Part,
    equal,
    fault_among,
    fault_of_one,
    labelled,
    no_claim,
    no_least,
)
from itembank.languages import say
from itembank.notation import plain
from itembank.notation.tree import Inlines
from itembank.values.item import Option, SelectOne


def _right_option(response: SelectOne) -> Option:
    (right,) = (option for option in response.options if option.correct)
    return right


def _fault_of_key(response: SelectOne) -> str | None:
    right = len(options.right(response))
    return None if right == 1 else f"expected one right option, got {right}"


def _fault_of_answer(response: SelectOne, given: Answer) -> str | None:
    offered = [option.identifier for option in response.options]
    return fault_among(offered, given) or fault_of_one(given)


def _place(response: SelectOne) -> int:
    return next(n for n, option in enumerate(response.options, 1) if option.correct)


def _kept(response: SelectOne) -> object:
    """The residues; the words of the option where it claims none."""
    right = _right_option(response)
    return right.residues if right.residues or right.none else plain.inlines(right.label)


def _text_told(response: SelectOne, text: str) -> str:
    """The words of an option."""
    return next(plain.inlines(o.label) for o in response.options if o.identifier == text)


def _part(response: SelectOne, prompt: Inlines) -> Part:
    return Part(prompt, labelled(response.options))


FORM = InStages(
    name="select one",
    response=SelectOne,
    rules=("all or nothing",),
    stand_in="",
    least=no_least,
    key=options.right,
    fault_of_key=_fault_of_key,
    fault_of_answer=_fault_of_answer,
    same=equal,
    given=options.identified,
    options=options.options,
    place=_place,
    claim=no_claim,
    kept=_kept,
    seen=options.seen,
    fields=lambda response: (Boxes(labelled(response.options), many=False),),
    compared=options.compared,
    told_key=lambda response: Lines(options.right_labels(response)),
    told_answer=options.told_answer,
    guess=lambda response, _scoring: say(
        "A blind guess is right once in {n}.", n=len(response.options)
    ),
    text=lambda response: _right_option(response).identifier,
    text_given=lambda response, text: options.identified(response, [text])[0],
    text_told=_text_told,
    part=_part,
    part_compared=lambda response: {"choice": _right_option(response).identifier},
    part_kept=lambda response: plain.inlines(_right_option(response).label),
)
