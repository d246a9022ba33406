"""A question as a student meets it, and the family's earlier answers, which he may have seen."""

import re
from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

from itembank.guessing.formula import Congruence, System, congruence

Element = int | tuple[int, ...]
"""A residue or a value; or a pair of residues, where there are two unknowns."""

Answer = tuple[str | int, ...]
"""Names of what is ticked, chosen, put in order or matched; or the integers that are typed."""

_ABOUT_SOLUTIONS = ("all solutions", "the solution", "the least", "the largest")
"""The asks in which a number can be tried by substituting it."""

EXAMPLE = "an example"
"""Any one of several numbers scores."""

WITH_COUNT = ("all solutions",)


@dataclass(frozen=True)
class Option:
    """An option under its name, as it reads; `elements` are the numbers or pairs that it lists."""

    name: str
    text: str

    @cached_property
    def elements(self) -> tuple[Element, ...]:
        return _listed(self.text)


@dataclass(frozen=True, kw_only=True)
class Question:
    """What is shown: `rows` are formulas of their own lines, `numbers` those of the formulas.

    options: what can be ticked or chosen, moved, or matched with the `sources`.
    modulus: where every representative of an entry counts, or residues are listed; else None.
    offers_none: whether a student may answer that there is no solution.
    some: whether some of the lines to be put in order do not belong.
    """

    form: str
    ask: str
    rows: tuple[str, ...]
    numbers: tuple[int, ...]
    options: tuple[Option, ...] = ()
    sources: tuple[str, ...] = ()
    modulus: int | None = None
    offers_none: bool = False
    some: bool = False

    @cached_property
    def system(self) -> System | None:
        """The congruences of the stem, where it asks for their solutions; None if unread."""
        if self.ask not in _ABOUT_SOLUTIONS and self.ask != "how many":
            return None
        found: list[Congruence] = [c for c in map(congruence, self.rows) if c is not None]
        return System(tuple(found)) if found else None


@dataclass
class Past:
    """The answers of the questions of a family before this one."""

    keys: Counter[Answer] = field(default_factory=Counter)
    texts: Counter[str] = field(default_factory=Counter)
    places: Counter[int] = field(default_factory=Counter)
    sizes: Counter[int] = field(default_factory=Counter)
    arrangements: Counter[tuple[int, ...]] = field(default_factory=Counter)
    worded: Counter[tuple[str, ...]] = field(default_factory=Counter)
    measures: list[int] = field(default_factory=list)


# ------------------------------------------------------------ readers


def as_meant(
    kind: str, ask: str, rows: tuple[str, ...], numbers: tuple[int, ...]
) -> tuple[str, tuple[str, ...]]:
    """The ask and the formulas; of an inverse those by which it is known, as whoever asks says.

    >>> as_meant("inverse", "the value", (), (11, 25))
    ('the solution', ('11*x=1 (mod 25)',))
    """
    if kind == "inverse" and ask == "the value" and len(numbers) >= 2:
        a, m = numbers[:2]
        return "the solution", (f"{a}*x=1 (mod {m})",)
    return ask, rows


_PAIR = re.compile(r"\(\s*(-?\d+)\s*,\s*(-?\d+)\s*\)")
_WHOLE = re.compile(r"-?\d+")
_LISTED = re.compile(r"[{}(),;\s\d-]*\d[{}(),;\s\d-]*")


_LONGEST = 2_000
"""Characters of a label that are read."""


def _listed(text: str) -> tuple[Element, ...]:
    """The numbers or pairs of a label that lists nothing else.

    >>> _listed("{3, 9}"), _listed("17"), _listed("{(0, 4)}"), _listed("no solutions")
    ((3, 9), (17,), ((0, 4),), ())
    """
    if len(text) > _LONGEST or not _LISTED.fullmatch(text):
        return ()
    pairs = _PAIR.findall(text)
    if pairs:
        return tuple((int(x), int(y)) for x, y in pairs)
    return tuple(map(int, _WHOLE.findall(text)))


def first_words(text: str) -> str:
    """How a line begins, before its numbers: "Split the modulus".

    >>> first_words("Split the modulus: 175 = 5^2*7.")
    'Split the modulus'
    """
    return re.split(r"[:.\d]", text, maxsplit=1)[0].strip()
