"""How many distinct variants a family has, and what is met on the way.

Exact while its parameter sets can be listed; beyond that an estimate from fixed draws, which
says between which numbers the truth lies (`species.py`).  Nothing here depends on a seed.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

from itembank.pipeline.candidates import LISTABLE, REPEATED, Accepted, Attempt, Fits, judged
from itembank.pipeline.compose import OF_SLIPS
from itembank.pipeline.own_slips import left_out
from itembank.pipeline.parameter_sets import ParameterSet, assignments
from itembank.pipeline.species import Count, estimated, exactly, missed
from itembank.pipeline.variants import Batch, Variant
from itembank.spec import Family

_FEWEST_DRAWN = 2_000
"""Parameter sets that are drawn of a family too large to list."""

_MOST_DRAWN = 16_000
"""And those at which drawing ends, though more variants may yet be met."""

_FEW_MISSED = 0.02
"""Drawing ends where so small a share of accepted draws would give a new variant."""

_NEEDED = 2
"""Draws for each variant without which the share that is missed stays large."""

_ENOUGH_ACCEPTED = 400
"""Accepted draws below which drawing goes on in any case."""


_SLIPS_SEEN = 500
"""Variants whose slips are all looked at, where no form needs them; then those of some sets."""

_SOME = 4
"""Of so many parameter sets one."""


@dataclass(frozen=True, kw_only=True)
class Capacity:
    """How many distinct variants a family can give, and what was seen on the way.

    acceptance: the share of parameter sets that satisfy the family.  steps: the least and
    the greatest effort.  rejected: how many parameter sets were refused for which reason, the
    commonest first.  examples: for reasons in which numbers stand, one of them whole.
    left_out: by own slip, in how many of the sets looked at it led to the key or nowhere.
    looked_at: these sets.
    """

    count: Count
    acceptance: Fraction
    steps: tuple[int, int] | None
    slips: tuple[str, ...]
    rejected: Mapping[str, int]
    examples: Mapping[str, str]
    left_out: Mapping[str, int] = field(default_factory=dict)
    looked_at: int = 0

    @property
    def variants(self) -> int:
        """The number to reckon with: exact, the likely one, or the least that is known."""
        return self.count.known

    @property
    def exact(self) -> bool:
        return self.count.exact


@dataclass
class Tally:
    """What became of parameter sets, one after another.

    times: how often each problem was accepted, by its name.  refused: the problems of sets
    that were refused.  `again`: a problem met before is taken for accepted, not solved again.
    """

    family: Family
    fits: Fits
    again: bool = True
    tried: int = 0
    times: Counter[str] = field(default_factory=Counter)
    refused: set[str] = field(default_factory=set)
    rejected: Counter[str] = field(default_factory=Counter)
    examples: dict[str, str] = field(default_factory=dict)
    efforts: set[int] = field(default_factory=set)
    slips: set[str] = field(default_factory=set)
    left_out: Counter[str] = field(default_factory=Counter)
    looked_at: int = 0

    def add(self, sets: Iterable[ParameterSet]) -> None:
        known: Mapping[str, int] = self.times if self.again else {}
        for parameters in sets:
            self.tried += 1
            few = len(self.times) < _SLIPS_SEEN
            slips = self._needs_slips or few or self.tried % _SOME == 0
            found = judged(self.family, "x", self.fits, parameters, known, slips)
            if isinstance(found, Attempt) and found.rejected != REPEATED:
                self._reject(found)
                continue
            self.times[found.problem] += 1
            if isinstance(found, Accepted):
                self.efforts.add(found.effort.steps)
                self.slips.update(found.slips)
                self.looked_at += slips
                if slips:
                    self.left_out.update(left_out(self.family, found.candidate.slips))

    def note(self, found: Attempt) -> None:
        """What became of one parameter set elsewhere."""
        self.tried += 1
        if found.rejected and found.rejected != REPEATED:
            self._reject(found)
            return
        self.times[found.problem] += 1

    def look(self, variant: Variant) -> None:
        """What one of those that were accepted elsewhere takes, and which slips it offers."""
        self.efforts.add(variant.effort.steps)
        self.slips.update(variant.slip_names)

    def _reject(self, found: Attempt) -> None:
        self.rejected[found.rejected] += 1
        self.refused.add(found.problem)
        if found.example:
            self.examples.setdefault(found.rejected, found.example)

    @cached_property
    def _needs_slips(self) -> bool:
        """Whether a form of the family shows what slips lead to."""
        return any(
            not OF_SLIPS.isdisjoint((*part.forms, *part.substitutes.values()))
            for part in self.family.each
        )

    @property
    def accepted(self) -> int:
        return self.times.total()

    @property
    def is_fickle(self) -> bool:
        """Whether a problem was accepted in one form and refused in another."""
        return not self.refused.isdisjoint(self.times)

    def capacity(self, count: Count) -> Capacity:
        return Capacity(
            count=count,
            acceptance=Fraction(self.accepted, max(1, self.tried)),
            steps=(min(self.efforts), max(self.efforts)) if self.efforts else None,
            slips=tuple(sorted(self.slips)),
            rejected=dict(self.rejected.most_common()),
            examples=self.examples,
            left_out=dict(self.left_out),
            looked_at=self.looked_at,
        )


def capacity(family: Family, fits: Fits) -> Capacity:
    """How many variants the family has: exact, or between two numbers, or a lower bound."""
    listed = assignments(family, LISTABLE)
    if listed is not None:
        tally = Tally(family, fits)
        tally.add(listed)
        return tally.capacity(exactly(len(tally.times)))
    tally = _drawn(family, fits, again=True)
    if tally.is_fickle:
        # How often a problem was accepted then has to be told by trying each of its forms.
        tally = _drawn(family, fits, again=False)
    return tally.capacity(estimated(tally.times.values()))


def _drawn(family: Family, fits: Fits, again: bool) -> Tally:
    """Parameter sets drawn independently, until few variants are missed or too many are."""
    tally = Tally(family, fits, again)
    end = _FEWEST_DRAWN
    while tally.tried < end:
        batch = Batch(f"{family.id}/v{family.version}/capacity", range(tally.tried, end))
        tally.add(batch.parameter_sets(family))
        if end < _MOST_DRAWN and _is_worth_more(tally):
            end *= 2
    return tally


def _is_worth_more(tally: Tally) -> bool:
    """Whether more draws can tell more: few are accepted, or nearly all variants can be met."""
    if tally.accepted < _ENOUGH_ACCEPTED:
        return True
    met = tally.times.values()
    possible = tally.accepted * _MOST_DRAWN // tally.tried
    return missed(met) > _FEW_MISSED and estimated(met).known * _NEEDED <= possible
