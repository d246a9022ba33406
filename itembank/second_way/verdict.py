"""What the second way says of a claim."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Method:
    """What was done, for a reviewer: a sentence with slots, and what stands in them.

    A template and its numbers apart, so that the reviewer's page can say it in another language.
    """

    template: str
    values: tuple[tuple[str, Value], ...] = ()

    def __str__(self) -> str:
        return self.template.format(**{name: _shown(value) for name, value in self.values})


Value = int | str | Method | tuple[Method, ...]
"""A number; what no language says otherwise; what was done in parts, or in several places."""


def _shown(value: Value) -> str:
    return ", ".join(map(str, value)) if isinstance(value, tuple) else str(value)


def done(template: str, /, **values: Value) -> Method:
    """A method; its template stands in the catalogues.

    >>> str(done("All {m} residues were tried.", m=12))
    'All 12 residues were tried.'
    """
    return Method(template, tuple(values.items()))


@dataclass(frozen=True)
class Verdict:
    """agreed: proved the same; disagreed: shown to differ; unchecked: could not be decided.

    `method` says what was done; `message` what was
    expected and what was claimed, or why nothing could be decided ("" if agreed).
    """

    status: Literal["agreed", "unchecked", "disagreed"]
    method: Method
    message: str = ""


class Undecided(Exception):
    """The second way has no answer, for the reason given; `decide` makes it "unchecked"."""


def agreed(method: Method) -> Verdict:
    return Verdict("agreed", method)


def disagreed(method: Method, message: str) -> Verdict:
    return Verdict("disagreed", method, message)


def unchecked(message: str) -> Verdict:
    return Verdict("unchecked", done("not decided"), message)
