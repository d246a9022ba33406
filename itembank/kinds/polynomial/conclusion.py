"""How the solution of a congruence ends, whatever found it: all solutions, or their number."""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.wording import WRITTEN_OUT
from itembank.maths.primes import Factors
from itembank.values.answer import Class, ResidueSet

COMBINED = 36
"""At most this many combinations are written out."""

SUBSTITUTED = 12
"""Of up to this many solutions all are paired off in the working."""


@dataclass(frozen=True)
class Conclude(Step):
    """Solutions as classes and residues (None when too many to list)."""

    name = "answer"
    modulus: int
    factors: tuple[tuple[int, int], ...]
    classes: tuple[Class, ...] | None
    residues: tuple[int, ...] | None
    count: int
    local_counts: tuple[int, ...]
    failing: tuple[int, int] | None = None

    @property
    def effort(self) -> int:
        return 0


@dataclass(frozen=True)
class CountAll(Step):
    """The numbers of solutions modulo the prime powers, and their product; or that there is one."""

    name = "multiply"
    modulus: int
    factors: tuple[tuple[int, int], ...]
    counts: tuple[int, ...]
    total: int
    any: bool

    @property
    def effort(self) -> int:
        return 0 if self.any else len(self.counts) - 1


def conclusion(answer: ResidueSet, factors: Factors) -> Conclude:
    return Conclude(
        modulus=answer.modulus,
        factors=factors,
        classes=answer.classes() if answer.class_count <= WRITTEN_OUT else None,
        residues=answer.residues() if answer.count <= WRITTEN_OUT else None,
        count=answer.count,
        local_counts=tuple(p.count for p in answer.parts),
    )


def some_of(answer: ResidueSet) -> tuple[int, ...]:
    """A few solutions, from several classes and, where a class holds more, more of each."""
    few = SUBSTITUTED // 3
    classes = answer.sample_classes(few)
    each = few // len(classes)
    return tuple(sorted(x for r, d in classes for x in range(r, answer.modulus, d)[:each]))
