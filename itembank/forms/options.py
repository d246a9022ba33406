"""What the forms share that offer options: labels, and what each option claims."""

from collections.abc import Iterable, Iterator

from itembank.forms.base import Answer, joined
from itembank.languages import Said, say
from itembank.notation import plain
from itembank.notation.tree import Inlines
from itembank.values.item import Option, SelectAll, SelectOne
from itembank.values.worded import worded

Selected = SelectAll | SelectOne


def options(response: Selected) -> tuple[Option, ...]:
    return response.options


def right(response: Selected) -> tuple[str, ...]:
    return tuple(option.identifier for option in response.options if option.correct)


def identified(response: Selected, reported: Iterable[str]) -> tuple[str, ...]:
    """Identifiers; a platform may report the words of an option in place of its own."""
    named = {plain.inlines(o.label).strip(): o.identifier for o in response.options}
    return tuple(named.get(value, value) for value in reported)


def seen(response: Selected) -> Iterator[str]:
    for option in response.options:
        told = {"option": option.identifier, "label": plain.inlines(option.label)}
        if option.correct:
            yield worded("right option {option}: {label}", **told)
        else:
            yield worded("wrong option {option}: {label}", **told)


def compared(response: Selected) -> dict[str, object]:
    return {"key": list(right(response))}


def right_labels(response: Selected) -> tuple[Inlines, ...]:
    return tuple(option.label for option in response.options if option.correct)


def told_answer(response: Selected, given: Answer) -> Said | Inlines:
    """The labels of what was chosen."""
    labels = {option.identifier: option.label for option in response.options}
    if not given:
        return say("no solutions")
    return joined(labels.get(str(name), (str(name),)) for name in given)
