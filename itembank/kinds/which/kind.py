"""Which of these congruences is solvable, has exactly n solutions, has the same solutions?

Several congruences in one unknown are shown, and one of them is as it is asked for. No residue that
is put in decides it: each congruence is judged by its theory. Congruences of different moduli have
the same solutions if the same integers solve them.

A statement has a line for the question and one for each congruence: `which is solvable`, `which has
3 solutions` or `which has the same solutions as 12x = 20 mod 32`, then `3x = 5 mod 8` and so on.
"""

import re
from abc import ABC, abstractmethod
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar, Self, cast

from itembank.kinds import one_unknown
from itembank.kinds.base import Given, Kind, Phrases, Poly, Slip, Solution, equation_of, integer_of
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.which import slips, telling
from itembank.kinds.which.judging import Judged, judged, same_integers
from itembank.languages import Telling, counted, say
from itembank.notation.tree import Display, Math
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import worded

__all__ = ["KINDS", "Counted", "Same", "Solvable", "Which", "read"]

LEAST, MOST = 3, 6
"""How many congruences are offered."""


@dataclass(frozen=True, kw_only=True)
class Which(ABC):
    """One of the congruences `offered`, which stand in an order of their own."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]
    modulus: ClassVar[None] = None
    offered: tuple[OneUnknown, ...]

    def __post_init__(self) -> None:
        """StatementError for too few or many congruences, two alike, or two unknowns."""
        if not LEAST <= len(self.offered) <= MOST:
            raise StatementError(
                worded(
                    "expected {least} to {most} congruences to choose from, got {n}",
                    least=LEAST,
                    most=MOST,
                    n=len(self.offered),
                )
            )
        if len({c.canonical for c in self.offered}) < len(self.offered):
            raise StatementError(
                worded("expected different congruences, got two that are the same")
            )
        if len({c.letter for c in self.everything}) > 1:
            raise StatementError(worded("expected congruences in one unknown, got several"))

    @property
    def everything(self) -> tuple[OneUnknown, ...]:
        """The congruences offered, and any that the question speaks of."""
        return self.offered

    @property
    @abstractmethod
    def asked(self) -> str:
        """The question as a line of the statement."""

    @abstractmethod
    def is_right(self, found: Judged) -> bool:
        """Whether a congruence is as it is asked for."""

    @property
    def letter(self) -> str:
        return self.offered[0].letter

    @property
    def statement(self) -> tuple[str, ...]:
        return (self.asked, *(c.statement[0] for c in self.offered))

    @property
    def shown(self) -> tuple[Math, ...]:
        return tuple(c.shown[0] for c in self.everything)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"))

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.asked, *sorted(c.canonical for c in self.offered))

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value]:
        """Raises StatementError unless exactly one of the congruences is as it is asked for."""
        found = tuple(judged(c) for c in self.offered)
        right = [i for i, one in enumerate(found) if self.is_right(one)]
        if len(right) != 1:
            raise StatementError(
                worded("expected one congruence that is right, {n} are", n=len(right))
            )
        return Solution(Value(right[0]), found)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {"steps": solution.effort, "offered": len(self.offered)}

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        """One for each wrong congruence, named for what may have led to it."""
        found = enumerate(cast(tuple[Judged, ...], solution.steps))
        wrong = ((i, one) for i, one in found if i != solution.answer.value)
        return tuple(self.slip(i, one) for i, one in wrong)

    @abstractmethod
    def slip(self, i: int, found: Judged) -> Slip:
        """What is said to whoever takes this congruence for the right one."""

    def worked(self, solution: Solution[Value]) -> Telling:
        yield from telling.counts(cast(tuple[Judged, ...], solution.steps))
        yield from telling.conclusion(self.offered[solution.answer.value])


@dataclass(frozen=True, kw_only=True)
class Solvable(Which):
    """Which one is solvable."""

    kind: ClassVar[str] = "which_solvable"
    signature: ClassVar[KindSignature] = KindSignature(
        name="which_solvable",
        given={"congruences": "equations", "moduli": "integers"},
        asks=("which",),
        slips=slips.OF_COUNTS,
        measures=("steps", "offered"),
    )

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(offered=_offered_in(given, letter))

    @property
    def asked(self) -> str:
        return "which is solvable"

    def is_right(self, found: Judged) -> bool:
        return found.count > 0

    def question(self, ask: str) -> Telling:
        return (say("Which of these congruences is **solvable**? Exactly one of them is."),)

    def slip(self, i: int, found: Judged) -> Slip:
        return slips.of_count(i, found, None)


@dataclass(frozen=True, kw_only=True)
class Counted(Which):
    """Which one has exactly so many solutions among the residues of its modulus."""

    kind: ClassVar[str] = "which_count"
    signature: ClassVar[KindSignature] = KindSignature(
        name="which_count",
        given={"congruences": "equations", "moduli": "integers", "number": "integer"},
        asks=("which",),
        slips=slips.OF_COUNTS,
        measures=("steps", "offered"),
    )
    number: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(offered=_offered_in(given, letter), number=integer_of(given, "number"))

    @property
    def asked(self) -> str:
        return f"which has {self.number} solution{'s' if self.number != 1 else ''}"

    def is_right(self, found: Judged) -> bool:
        return found.count == self.number

    def question(self, ask: str) -> Telling:
        return (
            counted(
                "Which of these congruences has **exactly** {n} solution among the least residues "
                "of its modulus?",
                "Which of these congruences has **exactly** {n} solutions among the least residues "
                "of its modulus?",
                self.number,
            ),
        )

    def slip(self, i: int, found: Judged) -> Slip:
        return slips.of_count(i, found, self.number)


@dataclass(frozen=True, kw_only=True)
class Same(Which):
    """Which one is solved by the same integers as `like`."""

    kind: ClassVar[str] = "which_same"
    signature: ClassVar[KindSignature] = KindSignature(
        name="which_same",
        given={
            "congruence": "equation",
            "modulus": "integer",
            "congruences": "equations",
            "moduli": "integers",
        },
        asks=("which",),
        slips=slips.OF_SETS,
        measures=("steps", "offered"),
    )
    like: OneUnknown

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        left, right = equation_of(given, "congruence")
        like = one_unknown.of_sides(left, right, integer_of(given, "modulus"), letter)
        return cls(offered=_offered_in(given, letter), like=like)

    @property
    def everything(self) -> tuple[OneUnknown, ...]:
        return (self.like, *self.offered)

    @property
    def asked(self) -> str:
        return f"which has the same solutions as {self.like.statement[0]}"

    def is_right(self, found: Judged) -> bool:
        return same_integers(found, judged(self.like))

    def question(self, ask: str) -> Telling:
        return (
            say("Which of these congruences has **the same solutions** as"),
            Display(self.like.shown),
            say("Two congruences have the same solutions if the same integers solve both of them."),
        )

    def slip(self, i: int, found: Judged) -> Slip:
        return slips.of_set(i, found, judged(self.like))

    def worked(self, solution: Solution[Value]) -> Telling:
        yield from telling.sets(judged(self.like), cast(tuple[Judged, ...], solution.steps))
        yield from telling.conclusion(self.offered[solution.answer.value])


# ------------------------------------------------------------ what is given

_Sides = tuple[tuple[Poly, Poly], ...]


def _offered_in(given: Given, letter: str) -> tuple[OneUnknown, ...]:
    """The congruences of a family's `given`, in an order that tells nothing."""
    equations, moduli = cast(_Sides, given["congruences"]), cast(Any, given["moduli"])
    if len(equations) != len(moduli):
        raise StatementError(
            worded(
                "given.moduli: expected one for each of the {n} congruences, got {got}",
                n=len(equations),
                got=len(moduli),
            )
        )
    found = (
        one_unknown.of_sides(left, right, m, letter)
        for (left, right), m in zip(equations, moduli, strict=True)
    )
    return _in_order(found)


def _in_order(congruences: Iterator[OneUnknown]) -> tuple[OneUnknown, ...]:
    return tuple(sorted(congruences, key=lambda c: (c.modulus, c.statement)))


_FORM = re.compile(
    r"which (?:is (?P<solvable>solvable)|has (?:exactly )?(?P<number>\d{1,3}) solutions?"
    r"|has the same solutions as (?P<like>.+))",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> Which | None:
    """The problem of "which is solvable" and its congruences; None for another form."""
    match = _FORM.fullmatch(" ".join(statements[0].split()).rstrip(":"))
    if match is None:
        return None
    found = _in_order(_congruence_of(line) for line in statements[1:])
    if match["solvable"]:
        return Solvable(offered=found)
    if match["number"]:
        return Counted(offered=found, number=int(match["number"]))
    return Same(offered=found, like=_congruence_of(match["like"]))


def _congruence_of(line: str) -> OneUnknown:
    found = one_unknown.read([line])
    assert found is not None
    return found


KINDS = (
    Kind(
        problem=Solvable,
        read=read,
        about="Which of several congruences in one unknown is solvable: exactly one is.",
        title=say("Congruences to choose from"),
        samples=(
            "which is solvable; 6x = 8 mod 15; 6x = 9 mod 21; 10x = 5 mod 12; 9x = 4 mod 24",
            "which is solvable; x^2 = 2 mod 15; x^2 = 4 mod 21; x^2 = 3 mod 35",
            "which is solvable; 4t = 1 mod 6; 4t = 2 mod 6; 3t = 1 mod 6",
            "which is solvable; x^2 + x + 1 = 0 mod 21; x^2 + x + 1 = 0 mod 5; x^2 + 2 = 0 mod 7",
            "which is solvable; 2x = 1 mod 4; x^2 = 3 mod 4; x^2 = 1 mod 4",
        ),
    ),
    Kind(
        problem=Counted,
        read=read,
        about="Which of several congruences in one unknown has exactly so many solutions.",
        title=say("Congruences to choose from"),
        samples=(
            "which has 3 solutions; 6x = 9 mod 15; 6x = 8 mod 15; 10x = 5 mod 15; 4x = 6 mod 18; "
            "7x = 3 mod 15",
            "which has exactly 4 solutions; x^2 = 1 mod 15; x^2 = 1 mod 9; x^2 = 0 mod 15",
            "which has 1 solution; 3x = 1 mod 7; 3x = 3 mod 9; 3x = 1 mod 9",
            "which has 0 solutions; t^2 = 2 mod 7; t^2 = 2 mod 5; t^2 = 1 mod 8",
            "which has 2 solutions; x^2 + x = 2 mod 7; x^2 + x = 2 mod 35; x^2 + x + 1 = 0 mod 11",
        ),
    ),
    Kind(
        problem=Same,
        read=read,
        about="Which of several congruences is solved by the same integers as the one given.",
        title=say("Congruences to choose from"),
        samples=(
            "which has the same solutions as 12x = 20 mod 32; 3x = 5 mod 8; 3x = 5 mod 32; "
            "6x = 10 mod 8; 3x = 4 mod 8",
            "which has the same solutions as 4x = 6 mod 9; 2x = 3 mod 9; 2x = 3 mod 18; 4x = 3 "
            "mod 9",
            "which has the same solutions as x^2 + x + 1 = 0 mod 21; 2x^2 + 2x + 2 = 0 mod 21; "
            "3x^2 + 3x + 3 = 0 mod 21; x^2 - x + 1 = 0 mod 21",
            "which has the same solutions as t^2 = 4 mod 15; 2t^2 = 8 mod 15; t = 2 mod 15; "
            "5t^2 = 5 mod 15",
            "which has the same solutions as 3x = 1 mod 6; 2x = 1 mod 4; 2x = 2 mod 4; x = 1 mod 2",
        ),
    ),
)
"""What the house knows of these kinds."""
