"""From a family, a seed and an index to a variant: the only source of chance.

The stream of a family's variants is fixed by (family, version, seed): attempt n draws
each parameter in order by hashing names; the attempts that satisfy the family, state
a problem not stated before, and fit the family's response forms are put in an order in which no
answer is too common (`balance.py`), and numbered 0, 1, 2, ...
So a variant depends on (family, version, seed, index) alone, asking for more never changes
the earlier ones, and nothing is drawn twice - neither a problem nor a disguise of it.

When new variants become rare the remaining parameter sets are listed, if there are few
enough, so that a family that runs out says so with its exact number.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain, count
from typing import Any

from itembank.kinds.base import Problem, Slip, Solution
from itembank.pipeline.answers import aim, answer_of
from itembank.pipeline.balance import (
    Aim,
    Balance,
    Line,
    pick,
)
from itembank.pipeline.candidates import (
    BATCH,
    GIVEN_UP,
    LISTABLE,
    MOST_REASONS,
    PATIENCE,
    REPEATED,
    USUAL,
    Attempt,
    Candidate,
    Effort,
    Fits,
    attempt,
    candidate,
    effort_of,
    name_of,
    signs_of,
    together,
)
from itembank.pipeline.parameter_sets import (
    Parameters,
    ParameterSet,
    Unfinished,
    assignments,
    drawn,
)
from itembank.spec import Family
from itembank.values.course import Methods
from itembank.values.worded import figure, joined, laid_out

# ------------------------------------------------------------ the stream


@dataclass(frozen=True, kw_only=True)
class Variant:
    """The index-th candidate of (family, version, seed); what it says is worked out when asked.

    methods: those by which its effort is counted.  known: its effort, where it was counted before.
    late: why it does not go in every form of the family, "" where it does.
    """

    family: Family
    seed: str
    index: int
    letter: str
    parameters: Parameters
    name: str
    signs: tuple[str, ...]
    answer: str
    methods: Methods = USUAL
    known: Effort | None = None
    late: str = ""

    @property
    def each(self) -> "tuple[Variant, ...]":
        """The variants of its parts; itself, where the family has none.

        Each has a name, and so a record, of its own, and what it costs alone.
        """
        if not self.family.parts:
            return (self,)
        return tuple(self.of_part(part) for part in self.family.parts)

    def of_part(self, part: Family) -> "Variant":
        """The variant of one part, or itself of a family that has none."""
        if not part.part:
            return self
        alone = replace(self, family=part, name=self._name_of(part), methods=USUAL, known=None)
        return replace(alone, answer=answer_of(part, alone.candidate))

    @property
    def names(self) -> tuple[str, ...]:
        """The name of each of its parts, told without solving them; its own, where it has none."""
        return tuple(map(self._name_of, self.family.parts)) or (self.name,)

    def _name_of(self, part: Family) -> str:
        return name_of(("parts", self.name, part.part))

    @cached_property
    def effort(self) -> Effort:
        """What it costs by hand; in parts what they cost together."""
        if self.known is not None:
            return self.known
        return together([effort_of(one.candidate, self.methods) for one in self.each])

    @property
    def slip_names(self) -> tuple[str, ...]:
        """The names of the slips that it offers."""
        return tuple(
            name for one in self.each for slip in one.candidate.slips for name in slip.names
        )

    @property
    def candidate(self) -> Candidate:
        return candidate(self.family, self.letter, self.parameters)

    @property
    def problem(self) -> Problem:
        return self.candidate.problem

    @property
    def solution(self) -> Solution[Any]:
        return self.candidate.solution

    @property
    def slips(self) -> tuple[Slip, ...]:
        return self.candidate.slips


@dataclass(frozen=True)
class Batch:
    """Parameter sets to try: those of the attempts numbered in `drawn` under `key`, or `listed`."""

    key: str
    drawn: range = range(0)
    listed: tuple[ParameterSet, ...] = ()

    def parameter_sets(self, family: Family) -> Iterator[ParameterSet]:
        for n in self.drawn:
            yield drawn(family, f"{self.key}/{n}")
        yield from self.listed


Evaluate = Callable[[Iterable[Batch], Callable[[], int]], Iterator[Attempt]]
"""What becomes of the parameter sets of all batches, in order; batches are taken as needed, and
the function tells at any time how many more are likely to be."""

_MANY = 10**9


@dataclass
class Stream:
    """The variants of one family under one seed, with what was rejected and why.

    `evaluate` tries batches elsewhere, such as in other processes; what is drawn is the same.
    lists: whether the parameter sets that are left are listed when variants become rare.
    lacking: how many more of its variants are wanted, where that is known.
    """

    family: Family
    seed: str
    fits: Fits
    letter: str = "x"
    methods: Methods = USUAL
    evaluate: Evaluate | None = None
    lists: bool = True
    attempts: int = 0
    rejected: Counter[str] = field(default_factory=Counter)
    seen: set[str] = field(default_factory=set)
    late: dict[str, Attempt] = field(default_factory=dict)
    accepted: int = 0
    lacking: int = _MANY

    def __iter__(self) -> Iterator[Variant]:
        """Each candidate once, in an order in which no answer is too common.

        Last come those that go in the form that is used and not in all forms of the family, so
        that who comes before them does not depend on the form.
        """
        first = Balance(self._candidates(), _line_of, self.aim, self.key)
        then = Balance(self._those_late(), _line_of, self.aim, self.key, first.so_far)
        for index, light in enumerate(chain(first, then)):
            found = light if light.whole else self.whole(light)
            assert found.parameters is not None
            self.accepted += 1
            yield Variant(
                family=self.family,
                seed=self.seed,
                index=index,
                letter=self.letter,
                parameters=found.parameters,
                name=found.problem,
                signs=found.signs,
                answer=found.answer,
                methods=self.methods,
                known=found.effort,
                late=found.late,
            )

    def whole(self, light: Attempt) -> Attempt:
        """What is handed out, with its signs."""
        assert light.parameters is not None
        found = candidate(self.family, self.letter, light.parameters)
        return replace(light, signs=signs_of(self.family, found), whole=True)

    @property
    def aim(self) -> Aim:
        return aim(self.family, self.key)

    def _candidates(self) -> Iterator[Attempt]:
        """By chance until new ones have been rare for long, then those that are left."""
        quiet = 0
        for found in self.fresh(self._by_chance()):
            quiet = 0 if found else quiet + 1
            if found:
                yield found
            elif quiet >= PATIENCE and (quiet >= GIVEN_UP or self.listed is not None):
                break
        yield from filter(None, self.fresh(_in_batches(self.key, self.listed or ())))

    def _those_late(self) -> Iterator[Attempt]:
        """Those that were put off, once all others are through."""
        for problem, found in self.late.items():
            if problem not in self.seen:
                self.seen.add(problem)
                self.rejected[found.late] -= 1
                yield found

    @property
    def key(self) -> str:
        return f"{self.family.id}/v{self.family.version}/{self.seed}"

    @cached_property
    def listed(self) -> list[Parameters] | None:
        """All parameter sets in an order fixed by the key; None if they are too many."""
        if not self.lists:
            return None
        found = assignments(self.family, LISTABLE)
        if found is None:
            return None
        sets = [values for values in found if not isinstance(values, Unfinished)]
        sets.sort(key=lambda values: pick(f"{self.key}/listed/{sorted(values.items())}", 2**64))
        return sets

    def _by_chance(self) -> Iterator[Batch]:
        """Batches of parameter sets drawn with replacement, without end."""
        for first in count(0, BATCH):
            yield Batch(self.key, range(first, first + BATCH))

    def fresh(self, batches: Iterable[Batch]) -> Iterator[Attempt | None]:
        """The parameter sets that give a new problem; None, the reason counted, for others."""
        tried = self.evaluate(batches, self.needed) if self.evaluate else self.evaluated(batches)
        for found in tried:
            self.attempts += 1
            rejected = REPEATED if found.problem in self.seen else found.rejected
            if rejected or found.parameters is None:
                self.rejected[rejected] += 1
                yield None
                continue
            if found.late:
                self.rejected[REPEATED if found.problem in self.late else found.late] += 1
                self.late.setdefault(found.problem, found)
                yield None
                continue
            self.seen.add(found.problem)
            yield found

    def needed(self) -> int:
        """How many more batches are likely to be tried until nothing is lacking, at the rate at
        which variants were found; each set gives one as long as none was tried."""
        if self.attempts and not self.accepted:
            return _MANY
        sets = self.lacking * self.attempts // self.accepted if self.accepted else self.lacking
        return 1 + sets // BATCH

    def evaluated(self, batches: Iterable[Batch]) -> Iterator[Attempt]:
        family, whole = self.family, bool(self.family.parts)
        for batch in batches:
            for parameters in batch.parameter_sets(family):
                yield attempt(
                    family, self.letter, self.fits, parameters, self.seen, self.methods, whole
                )


def _line_of(found: Attempt) -> Line:
    return found.answer, found.room


# ------------------------------------------------------------ what is told of a stream


def reasons(rejected: Mapping[str, int]) -> str:
    """The commonest reasons why parameter sets were rejected, each with their number."""
    commonest = Counter(rejected).most_common(MOST_REASONS)
    return (
        joined("; ", (_counted_reason(n, reason) for reason, n in commonest)) if commonest else ""
    )


def _counted_reason(n: int, reason: str) -> str:
    return laid_out("{n} x {reason}", n=figure(f"{n:,}"), reason=reason)


def _in_batches(key: str, sets: Iterable[ParameterSet]) -> Iterator[Batch]:
    listed = tuple(sets)
    for first in range(0, len(listed), BATCH):
        yield Batch(key, listed=listed[first : first + BATCH])
