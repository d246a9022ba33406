"""What the second way says of a claim."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Verdict:
    """agreed: proved the same; disagreed: shown to differ; unchecked: could not be decided.

    `method` says what was done, in one sentence for a reviewer; `message` what was
    expected and what was claimed, or why nothing could be decided ("" if agreed).
    """

    status: Literal["agreed", "unchecked", "disagreed"]
    method: str
    message: str = ""


class Undecided(Exception):
    """The second way has no answer, for the reason given; `decide` makes it "unchecked"."""


def agreed(method: str) -> Verdict:
    return Verdict("agreed", method)


def disagreed(method: str, message: str) -> Verdict:
    return Verdict("disagreed", method, message)


def unchecked(message: str) -> Verdict:
    return Verdict("unchecked", "not decided", message)
