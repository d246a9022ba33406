"""An item as a student meets it: what is shown and, apart from it, the key that it is marked by."""

import re
from collections.abc import Iterator
from dataclasses import replace

from itembank.guessing import flat
from itembank.guessing.question import EXAMPLE, Answer, Option, Question, as_meant
from itembank.values.item import (
    Choice,
    Guided,
    IntegerEntry,
    Item,
    ListEntry,
    MatchPairs,
    PutInOrder,
    SelectAll,
    SelectOne,
    SetEntry,
    TrueFalse,
)
from itembank.values.item import Option as Offered

_NEVER_EMPTY = ("units", "squares", "quadratic_residues", "right_sides", "residue_primes")
"""Kinds whose sets always have elements; their stems name no word for none."""

_CLAIMED = "whether true"
"""What is claimed stands in a sentence below the formulas."""

_WHOLE = re.compile(r"\d+")


def met(item: Item) -> Iterator[tuple[Question, Answer]]:
    """The question of an item and its key; of a guided one, those of each stage."""
    rows = tuple(flat.rows(item.stem))
    told = tuple(flat.formulas(item.stem))
    shown = (*rows, *told) if item.ask in (_CLAIMED, EXAMPLE) else rows or told
    numbers = tuple(int(n) for text in shown for n in _WHOLE.findall(text))
    if isinstance(item.response, Guided):
        for stage in item.response.stages:
            yield _asked(stage.response, "a stage", (), ())
    else:
        question, key = _asked(
            item.response, *as_meant(item.kind, item.ask, rows, numbers), numbers
        )
        if item.kind in _NEVER_EMPTY:
            question = replace(question, offers_none=False)
        yield question, key


def _asked(
    response: object, ask: str, rows: tuple[str, ...], numbers: tuple[int, ...]
) -> tuple[Question, Answer]:
    def question(
        form: str,
        options: tuple[Offered, ...] | tuple[Choice, ...] = (),
        sources: tuple[Choice, ...] = (),
        modulus: int | None = None,
        offers_none: bool = False,
    ) -> Question:
        return Question(
            form=form,
            ask=ask,
            rows=rows,
            numbers=numbers,
            options=tuple(Option(o.identifier, flat.inline(o.label)) for o in options),
            sources=tuple(s.identifier for s in sources),
            modulus=modulus,
            offers_none=offers_none,
        )

    match response:
        case SelectAll(options=options) | SelectOne(options=options):
            none = any(option.none for option in options)
            return question(response.form, options, offers_none=none), tuple(
                option.identifier for option in options if option.correct
            )
        case IntegerEntry(values=values) if ask == EXAMPLE:
            return question("integer"), values
        case IntegerEntry(value=value, modulus=m):
            return question("integer", modulus=m), (value % m if m else value,)
        case ListEntry(values=values, modulus=m):
            residues = {value % m for value in values}
            key = residues if len(residues) == len(values) else set(values)
            return question("list", modulus=m, offers_none=True), tuple(sorted(key))
        case SetEntry(values=values, modulus=m):
            return question("set", modulus=m), tuple(sorted(values))
        case TrueFalse(truth=truth):
            return question("solvable or not"), ("true" if truth else "false",)
        case PutInOrder(lines=lines, order=order, spare=spare):
            return replace(question("order", lines), some=bool(spare)), order
        case MatchPairs(sources=sources, targets=targets, pairs=pairs):
            return question("match", targets, sources), pairs
    raise TypeError(f"expected a response, got {type(response).__name__}")
