"""Statements in words as second ways read them, and the verdicts of kinds with one number."""

import re
from collections.abc import Callable
from functools import cache
from typing import Any

from itembank.second_way import units
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Method, Verdict, agreed, disagreed
from itembank.values.errors import StatementError

_NUMBER = r"([^a-z=≡,;{}?]+?)"


@cache
def _form(words: str) -> re.Pattern[str]:
    """`#` is a number: "shared key of # and # base # mod #"."""
    return re.compile(
        _NUMBER.join(re.escape(part).replace(r"\ ", " ") for part in words.split("#")), re.I
    )


def numbers(words: str, statement: str) -> tuple[int, ...] | None:
    """The integers of a statement that says these words; None for another."""
    match = _form(words).fullmatch(" ".join(statement.split()))
    if match is None:
        return None
    return tuple(units.integer(text.strip(), statement) for text in match.groups())


def refuse(fine: bool, expected: str, statement: str) -> None:
    """StatementError where the numbers put no question."""
    if not fine:
        raise StatementError(f"statement '{statement[:60]}': expected {expected}")


def number_kind(found: Callable[[Any], int | None], method: Method) -> Kind:
    """The second way of a kind whose answer is one number, or that there is none."""

    def verdict(question: Any, claim: int | None) -> Verdict:
        right = found(question)
        if claim == right:
            return agreed(method)
        return disagreed(method, f"expected {right}, the answer says {claim}")

    return Kind(checks={"the value": verdict}, solutions=lambda question: None)


def truth_kind(holds: Callable[[Any], bool], method: Method) -> Kind:
    """The second way of a kind that asks whether something is so."""

    def verdict(question: Any, claim: bool) -> Verdict:
        right = holds(question)
        if claim == right:
            return agreed(method)
        return disagreed(method, f"expected {right}, the answer says {claim}")

    return Kind(checks={"whether any": verdict}, solutions=lambda question: None)
