"""What the house knows of a response form: one record a form, which all others ask.

What a form holds, and what is stored of it, is a class of `values.item`. What follows from it is
here: its key, how an answer is read and compared, what a person sees of it. An answer is in the
form's own terms, as `SlipFeedback.response` states it: option identifiers, integers, pairs.
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from itembank.languages import Said
from itembank.notation.tree import Blocks, Inlines
from itembank.values.item import Choice, Option, Scoring

R = TypeVar("R")

Key = tuple[str, ...] | tuple[int, ...]
Answer = tuple[str | int, ...]


# ------------------------------------------------------------ what a person answers in, and reads


@dataclass(frozen=True)
class Boxes:
    """Options, (identifier, label) each, of which one is chosen, or any number if `many`."""

    options: tuple[tuple[str, Inlines], ...]
    many: bool


@dataclass(frozen=True)
class Typed:
    """One entry to type in."""

    label: Said


@dataclass(frozen=True)
class Part:
    """One part of several: a list to choose from, (identifier, label) each; none: to type in.

    The label is the author's words, and then ours.
    """

    label: Inlines
    choices: tuple[tuple[str, Inlines], ...]
    then: Said | None = None


Field = Boxes | Typed | Part


@dataclass(frozen=True)
class Lines:
    """A key that is several things, or one in the words of an option."""

    lines: tuple[Inlines, ...]
    numbered: bool = False


Told = Said | Lines


# ------------------------------------------------------------ the record


@dataclass(frozen=True, kw_only=True)
class Form(Generic[R]):
    """A response form: its facets, each of which a test asks for.

    name: in the words of `values.vocabulary`.  response: what an item holds of it.
    rules: the scoring rules that can count it.  stand_in: the plain form that stands in where a
    format cannot carry it, "" for a plain form; for all solutions, where they can be asked for so
    (a family says what stands in for its own).
    """

    name: str
    response: type[R]
    rules: tuple[str, ...]
    stand_in: str

    least: Callable[[R], tuple[R, Blocks] | None]
    """Where every representative of one residue counts: what counts the least alone, with the stem
    that asks for it, () if there is none; None elsewhere."""

    key: Callable[[R], Key]
    """The right answer; () for a list without entries."""

    fault_of_key: Callable[[R], str | None]
    """What is wrong with the key: "expected ..., got ..."."""

    fault_of_answer: Callable[[R, Answer], str | None]
    """Why an answer cannot be given: "expected ..., got ..."."""

    same: Callable[[R, Answer, Answer], bool]
    """Whether what was given is the answer that a slip, or the key, states."""

    given: Callable[[R, tuple[str, ...]], Answer]
    """The answer that a platform reports: its identifiers, its words, or what was typed."""

    options: Callable[[R], tuple[Option, ...]]
    """What can be chosen, with what each option claims; () where there are none."""

    place: Callable[[R], int | None]
    """The place of the one right choice among those shown, from 1."""

    claim: Callable[[R, Answer], tuple[int, ...] | None]
    """The residues that an answer claims; None where it claims something else."""

    kept: Callable[[R], object]
    """The key as the bank keeps it, for people who read JSON."""

    seen: Callable[[R], Iterator[str]]
    """The lines on which a reviewer decides: what there is to choose from, and the key."""

    fields: Callable[[R], tuple[Field, ...]]
    """What is answered in, with labels and no key."""

    compared: Callable[[R], dict[str, object]]
    """What the script of the packet compares an answer with."""

    told_key: Callable[[R], Told]
    """The key, to a person."""

    told_answer: Callable[[R, Answer], Said | Inlines]
    """An answer, to a person."""

    guess: Callable[[R, Scoring], Said]
    """What guessing blindly is worth, exactly."""


AnyForm = Form[Any]


@dataclass(frozen=True, kw_only=True)
class InStages(Form[R]):
    """A form that can be a stage of a guided question, where every answer is one text."""

    text: Callable[[R], str]
    """The right answer as it is typed, or the identifier of the right option."""

    text_given: Callable[[R, str], str]
    """The text of an answer that a platform reports."""

    text_told: Callable[[R, str], str]
    """The text of an answer, to a person."""

    part: Callable[[R, Inlines], Part]
    """What is answered in, below a prompt."""

    part_compared: Callable[[R], dict[str, object]]
    """What the script of the packet compares the part with."""

    part_kept: Callable[[R], object]
    """The right answer as the bank keeps it: residues, or words."""


# ------------------------------------------------------------ what several forms share


def no_least(_response: object) -> None:
    """No one residue is asked for of which every representative counts."""


def no_fault(_response: object) -> None:
    """Whatever such a response holds can be right."""


def no_options(_response: object) -> tuple[Option, ...]:
    return ()


def no_place(_response: object) -> None:
    """Nothing is shown of which one is right."""


def no_claim(_response: object, _given: Answer) -> None:
    """It claims something else than residues."""


def equal(_response: object, one: Answer, other: Answer) -> bool:
    return one == other


def equal_sets(_response: object, one: Answer, other: Answer) -> bool:
    return set(one) == set(other)


def fault_among(offered: Collection[str], given: Answer) -> str | None:
    """What is wrong with something chosen from what is offered."""
    if given and all(name in offered for name in given):
        return None
    return f"expected options of the item, got {list(given)}"


def fault_of_one(given: Answer) -> str | None:
    return None if len(given) == 1 else f"expected one answer, got {list(given)}"


def labelled(choices: Iterable[Choice | Option]) -> tuple[tuple[str, Inlines], ...]:
    return tuple((choice.identifier, choice.label) for choice in choices)


def joined(labels: Iterable[Inlines]) -> Inlines:
    """Labels in a line, with commas between them."""
    first, *others = labels
    return (*first, *(inline for label in others for inline in (", ", *label)))
