"""The second way for missing digits: every digit is put in, and the number divided."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import ClassVar

from itembank.second_way import in_words, units
from itembank.second_way.kind import Kind
from itembank.second_way.verdict import Verdict, agreed, disagreed, done

_FORM = re.compile(r"digits for \? in ([0-9]*\?[0-9]*) divisible by (.+)", re.IGNORECASE)


@dataclass(frozen=True)
class Gap:
    """`text` with a question mark, to be divisible by `divisor`; digits are residues modulo 10."""

    text: str
    divisor: int
    modulus: ClassVar[int] = 10
    of_digits: ClassVar[bool] = True
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Gap | None:
    """The question of "digits for ? in 27?5 divisible by 9"; None for another form."""
    match = _FORM.fullmatch(" ".join(statement.split()))
    if match is None:
        return None
    divisor = units.integer(match[2], statement)
    in_words.refuse(divisor > 1 and len(match[1]) > 1, "a number and a divisor", statement)
    return Gap(match[1], divisor)


def _fitting(question: Gap) -> tuple[int, ...]:
    before, after = question.text.split("?")
    return tuple(d for d in range(10) if int(f"{before}{d}{after}") % question.divisor == 0)


def _set_verdict(question: Gap, claim: Sequence[tuple[int, Sequence[tuple[int, int]]]]) -> Verdict:
    method = done("each digit was put in, and the number divided")
    right = _fitting(question)
    if len(claim) == 1 and claim[0][0] == 10:
        found = sorted(x for r, d in claim[0][1] for x in range(r, 10, d))
        if tuple(found) == right:
            return agreed(method)
    return disagreed(method, f"expected {right}, the answer says {claim}")


KIND = Kind(checks={"all solutions": _set_verdict}, solutions=_fitting)
