"""The bounds that questions must hold so that their looks do not answer them, in one table.

Each bound has its measure: the figures in, the values out that must lie between `least` and `most`.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from itembank.guessing.figures import Figures
from itembank.values.worded import worded

Values = Sequence[Fraction | None]
Measure = Callable[[Figures], Values]

ANY = Fraction(10**6)
"""No bound from above."""

NOT_ALL = Fraction(9_999, 10_000)
"""All but one of ten thousand."""


@dataclass(frozen=True)
class Bound:
    """A bound on what gives keys away; `name` says what is measured.

    unit: what 1 of the measure is as a share of the questions.
    """

    name: str
    measure: Measure
    least: Fraction = Fraction()
    most: Fraction = ANY
    unit: Fraction = Fraction(1)

    def broken(self, figures: Figures) -> Fraction | None:
        """The value that lies farthest outside, None if all hold."""
        values = [v for v in self.measure(figures) if v is not None]
        outside = [v for v in values if not self.least <= v <= self.most]
        return max(outside, key=lambda v: max(self.least - v, v - self.most), default=None)


def in_form(form: str, value: Callable[[Figures], Fraction | None]) -> Measure:
    return lambda figures: [value(figures)] if figures.form == form else []


def above_chance(figures: Figures) -> Fraction | None:
    return figures.above_chance if figures.best else None


def with_one_substitution(figures: Figures) -> Fraction | None:
    return figures.once.share if figures.once else None


def best(figures: Figures) -> Fraction | None:
    return figures.best.share if figures.best else None


def places(figures: Figures) -> Values:
    """The keys at each place, as a multiple of what is due to it."""
    return [share / due for share, due in figures.places if due]


def commonest_of_many(figures: Figures) -> Values:
    return [figures.commonest] if figures.keys > TWO else []


def commonest_of_two(figures: Figures) -> Values:
    return [figures.commonest] if figures.keys <= TWO else []


def commonest_number(figures: Figures) -> Values:
    """The share of the commonest number of solutions."""
    total = sum(n for _size, n in figures.sizes)
    return [Fraction(max(n for _size, n in figures.sizes), total)] if total else []


TWO = 2


def percent(n: int) -> Fraction:
    return Fraction(n, 100)


BOUNDS: tuple[Bound, ...] = (
    Bound(
        worded("the best guess without arithmetic, above chance"),
        in_form("select one", above_chance),
        most=percent(10),
    ),
    Bound(
        worded("the best guess with one substitution"),
        in_form("select one", with_one_substitution),
        most=percent(60),
    ),
    Bound(
        worded("the best guess without arithmetic"),
        in_form("select all", best),
        most=percent(10),
    ),
    Bound(
        worded("substitutions that settle it, for each box"),
        lambda figures: [figures.settled],
        least=percent(50),
    ),
    Bound(
        worded("the keys at a place, of what is due to it"),
        places,
        least=percent(50),
        most=percent(150),
        unit=Fraction(1, 4),
    ),
    Bound(
        worded("the best guess at an example"),
        lambda figures: [figures.example],
        most=percent(35),
    ),
    Bound(worded("the commonest key"), commonest_of_many, most=percent(35)),
    Bound(worded("the commonest key of two"), commonest_of_two, most=percent(60)),
    Bound(
        worded("claims that are true"),
        lambda figures: [figures.true],
        least=percent(40),
        most=percent(60),
    ),
    Bound(
        worded("the best guess at true or false, above chance"),
        in_form("solvable or not", above_chance),
        most=percent(10),
    ),
    Bound(
        worded("no solution, where students may say so"),
        lambda figures: [figures.none],
        least=percent(5),
        most=percent(20),
    ),
    Bound(worded("the commonest number of solutions"), commonest_number, most=NOT_ALL),
    Bound(
        worded("the commonest arrangement"), lambda figures: [figures.arranged], most=percent(35)
    ),
    Bound(
        worded("the commonest answer of a stage"), lambda figures: [figures.stage], most=percent(35)
    ),
    Bound(
        worded("questions with a way shorter than the method"),
        lambda figures: [figures.shortcuts],
        most=Fraction(),
    ),
)


def broken(figures: Figures) -> Iterator[tuple[Bound, Fraction]]:
    """Each bound that the figures do not hold, with the value that breaks it."""
    for bound in BOUNDS:
        value = bound.broken(figures)
        if value is not None:
            yield bound, value


SURE = Fraction(166, 100)
"""(2.576 / 2)^2: a share of n questions is farther than the root of SURE / n from the truth in
at most 1 of 100 samples, whatever the truth is (normal approximation)."""


SURE_OF_A_GROUP = Fraction(271, 100)
"""(3.29 / 2)^2: as SURE, in at most 1 of 1,000 samples; a pool has many groups."""


def is_sure(bound: Bound, value: Fraction, questions: int, sure: Fraction = SURE) -> bool:
    """Whether so few questions can show that a bound is broken."""
    if not bound.most and value:
        return True
    beyond = max(bound.least - value, value - bound.most) * bound.unit
    return beyond**2 * questions > sure
