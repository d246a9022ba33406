"""What a kind tells of its derivation line by line, for questions about a single line.

A line is a claim that can be proved from its own words: the solutions modulo a number, an
identity, numbers congruent to each other.  So a line that has gone wrong is wrong by itself,
whoever reads it, and the lines after it can be what follows from it.  A kind that tells of its
lines satisfies `InLines`, one that tells why its steps follow `Reasoned`.
"""

from collections.abc import Hashable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Protocol, TypeGuard, runtime_checkable

from itembank.kinds.base import Solution, satisfies
from itembank.languages import Said, counted, each, say
from itembank.notation.building import congruence
from itembank.notation.tree import Number
from itembank.values.course import Methods

Claim = tuple[int, ...]
"""The numbers of a line in the order of its words, by which lines are compared in size."""


@dataclass(frozen=True)
class WrongLine:
    """A line gone wrong by a named slip, and what the later lines become if it is believed.

    `text` claims what is not so.  `feedback` says what is wrong in it, and nothing of the right
    line.
    """

    name: str
    text: Said
    claim: Claim
    rest: tuple[Said, ...]
    feedback: Said


@dataclass(frozen=True)
class Line:
    """A line of the solution as it should be; `check` is how a student can see that it is right.

    `wrong` holds the slips that can be made in it, their claims distinct and not its own, each with
    as many lines that follow as the right one has.  `repeated` if its numbers stand in a later line
    again, from which it could be copied: it is never left out.
    """

    text: Said
    claim: Claim
    check: Said
    wrong: tuple[WrongLine, ...]
    repeated: bool = False

    @property
    def alike(self) -> tuple[WrongLine, ...]:
        """The wrong lines that hold as many numbers as the right one."""
        return tuple(w for w in self.wrong if len(w.claim) == len(self.claim))


@dataclass(frozen=True)
class WrongReason:
    """A condition on these numbers that does not hold, though it is taken for the reason."""

    name: str
    text: Said
    feedback: Said


@dataclass(frozen=True)
class Inference:
    """A step that follows, the condition that it follows from, and conditions that do not hold.

    `kind` names the theorem used.
    """

    kind: str
    claim: Said
    reason: Said
    others: tuple[WrongReason, ...]


@runtime_checkable
class InLines(Hashable, Protocol):
    """A problem whose solution can be told in lines that are claims; () where it is too long."""

    def lines(self, solution: Solution[Any]) -> tuple[Line, ...]:
        """The lines in order; the last of them claims the whole answer."""


def is_in_lines(problem: object) -> TypeGuard[InLines]:
    """Whether a problem can tell its solution in lines."""
    return satisfies(problem, InLines)


@runtime_checkable
class InLinesOfOneMethod(Protocol):
    """A problem that courses solve by several methods, whose lines are those of one of them."""

    def way_of_lines(self, methods: Methods) -> Methods:
        """The methods of a course, with the one that the lines follow."""


@runtime_checkable
class Reasoned(Protocol):
    """A problem that can say why its steps follow; () where it has nothing to say."""

    def inferences(self, solution: Solution[Any]) -> tuple[Inference, ...]:
        """The steps with their reasons, in the order of the method."""

    def given_for_reasons(self) -> tuple[Said, ...]:
        """What the conditions speak of beside the question: f(x)."""


def distinct(wrong: Iterable[WrongLine], claim: Claim) -> tuple[WrongLine, ...]:
    """Those whose claim is not the right one, the first of each claim."""
    found: dict[Claim, WrongLine] = {}
    for w in wrong:
        if w.claim != claim:
            found.setdefault(w.claim, w)
    return tuple(found.values())


# ------------------------------------------------------------ lines that several kinds tell


KEPT = 2048
"""Lines that are kept: the slips of one solution have most of its lines in common."""


@lru_cache(maxsize=KEPT)
def solutions_modulo(q: int, residues: tuple[int, ...]) -> Said:
    """All solutions modulo q; at least one residue."""
    return counted(
        "The only solution modulo ${q}$ is {roots}.",
        "The solutions modulo ${q}$ are {roots}.",
        len(residues),
        q=q,
        roots=each(residues),
    )


@lru_cache(maxsize=KEPT)
def multipliers(weights: tuple[int, ...], moduli: tuple[int, ...]) -> Said:
    """What each multiplier is claimed to be modulo each modulus: 1 modulo its own, else 0."""
    claims = (
        congruence(Number(e), Number(int(m == own)), m)
        for e, own in zip(weights, moduli, strict=True)
        for m in moduli
    )
    return say("Multipliers to combine with: {claims}.", claims=each(claims))


# ------------------------------------------------------------ conditions that do not hold


def composite_taken_for_prime(m: int) -> WrongReason:
    """m is no prime."""
    return WrongReason(
        "composite-taken-for-prime",
        say("${m}$ is prime.", m=m),
        say("Is ${m}$ divisible by a smaller prime?", m=m),
    )


def coprime_mistaken(a: int, m: int) -> WrongReason:
    """a and m have a common divisor."""
    return WrongReason(
        "coprime-mistaken",
        say("$gcd({a}, {m}) = 1$.", a=a, m=m),
        say("Which divisors do ${a}$ and ${m}$ share?", a=a, m=m),
    )


def divisibility_mistaken(a: int, b: int) -> WrongReason:
    """a does not divide b."""
    return WrongReason(
        "divisibility-mistaken",
        say("${a}$ divides ${b}$.", a=a, b=b),
        say("Divide ${b}$ by ${a}$: is there a remainder?", a=a, b=b),
    )
