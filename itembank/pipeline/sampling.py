"""A sample of a family, drawn once, from which a check tells everything.

Parameter sets are drawn until enough is known; the same draws give variants to compose, and say
how many there are at least.  What a sample leaves open, whether there are enough variants and
whether the level fits, is settled by the whole count, so that a fault of numbers is never a
matter of chance.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice

from itembank.pipeline.balance import RARE, Aim, SoFar
from itembank.pipeline.candidates import Attempt, Fits
from itembank.pipeline.capacity import Capacity, Tally, capacity
from itembank.pipeline.parameter_sets import assignments
from itembank.pipeline.species import Count, at_least, estimated
from itembank.pipeline.variants import Batch, Stream, Variant
from itembank.spec import Family

ENOUGH = 200
"""A family with fewer distinct variants must say why (`small`)."""

_WHOLE_SAMPLE = 200
"""Variants that are drawn for an exact check."""

_SAMPLE = 24
"""Variants that are drawn for a usual check."""

_CANDIDATES = 48
"""Different problems that are drawn at least: if no two coincide, there are enough of them.

Over them it is told, too, which answers are too rare to be waited for.
"""

_TRIED = 3_000
"""Parameter sets that are drawn at most for a sample, where some are accepted."""

_TRIED_AT_MOST = 10_000
"""Parameter sets that are drawn where hardly any is accepted."""

_FEWEST = 12
"""Different problems below which hardly any is accepted."""

_LISTED = 300
"""Families of so few parameter sets are counted in a usual check too."""

_EVERY = 12
"""After so many accepted draws more it is asked again whether enough is known."""


@dataclass(frozen=True, kw_only=True)
class Sample:
    """Variants of a family, and what is known of their number.

    sets: how many parameter sets were drawn for `found`; None where all that there are, or
    as many as an estimate takes, were tried.
    more: those that come after these variants, drawn as they are asked for, as far as they come.
    """

    variants: tuple[Variant, ...]
    found: Capacity
    sets: int | None = None
    more: Iterator[Variant] = field(default_factory=lambda: iter(()), repr=False, compare=False)

    @property
    def is_whole(self) -> bool:
        return self.sets is None


def whole(family: Family, fits: Fits, variants: int = _WHOLE_SAMPLE) -> Sample:
    """The whole count, and some variants."""
    found = capacity(family, fits)
    stream = iter(Stream(family, "guessing", fits)) if found.variants else iter(())
    return Sample(variants=tuple(islice(stream, variants)), found=found, more=stream)


def sampled(family: Family, fits: Fits) -> Sample:
    """A sample; with the whole count where the sample leaves a fault possible."""
    if assignments(family, _LISTED) is not None:
        return whole(family, fits, _SAMPLE)
    drawing = _Drawing(family, fits)
    variants = drawing.variants()
    found = drawing.found()
    if found is None:
        return Sample(variants=variants, found=capacity(family, fits))
    return Sample(variants=variants, found=found, sets=drawing.tally.tried, more=drawing.handed_out)


@dataclass
class _Soon:
    """As an aim wants it, but for answers that are rare among the first _CANDIDATES."""

    aim: Aim
    met: "_MetSoon | None" = None

    def wants(self, answer: str, so_far: SoFar) -> bool:
        if self.met is None or self.met.all_met != so_far.all_met:
            self.met = _MetSoon(**vars(so_far))
        self.met.all_given = so_far.all_given
        return self.aim.wants(answer, self.met)


class _MetSoon(SoFar):
    """How often each answer was met, where few tell which is rare."""

    def is_rare(self, answer: str) -> bool:
        return self.all_met >= _CANDIDATES and self.met[answer] * RARE < self.all_met


class _Drawing(Stream):
    """The draws of one sample, with a tally of what became of them.

    They tell sooner than those of a pool which answers are too rare to be waited for.
    """

    def __init__(self, family: Family, fits: Fits) -> None:
        super().__init__(family, "guessing", fits, lists=False)
        self.tally = Tally(family, fits)
        self.asked, self.known = 0, False
        self.noted: Iterator[Attempt] = iter(())
        self.handed_out = iter(self)

    @property
    def aim(self) -> Aim:
        return _Soon(super().aim)

    def variants(self) -> tuple[Variant, ...]:
        """The first; more is drawn for what it tells of their number.

        An answer that is rare may have to be drawn for longer than the number takes.
        """
        found = tuple(islice(self.handed_out, _SAMPLE))
        for variant in found:
            self.tally.look(variant)
        while not self.is_enough() and next(self.noted, None):
            pass
        return found

    def evaluated(self, batches: Iterable[Batch]) -> Iterator[Attempt]:
        """The draws, which the stream takes as far as it needs them."""
        self.noted = self.noting(super().evaluated(batches))
        return self.noted

    def noting(self, attempts: Iterable[Attempt]) -> Iterator[Attempt]:
        """Each draw, once it is noted what became of it, until there are too many."""
        for found in attempts:
            self.tally.note(found)
            yield found
            if self.is_spent():
                return

    def is_spent(self) -> bool:
        few = len(self.tally.times) < _FEWEST
        return self.tally.tried >= (_TRIED_AT_MOST if few else _TRIED)

    def is_enough(self) -> bool:
        """Whether the draws tell that there are enough variants, which is asked now and then."""
        if len(self.tally.times) < _CANDIDATES:
            return False
        if self.tally.accepted >= self.asked + _EVERY:
            self.asked = self.tally.accepted
            self.known = at_least([*self.tally.times.values()]) >= ENOUGH
        return self.known

    def found(self) -> Capacity | None:
        """What the draws tell; None where only the whole count can."""
        count = estimated(self.tally.times.values())
        if self.known and count.least < ENOUGH:
            count = Count(least=at_least([*self.tally.times.values()]), likely=None, most=None)
        found = self.tally.capacity(count)
        if not self.tally.times or (count.least < ENOUGH and not self.family.small):
            return None
        return found
