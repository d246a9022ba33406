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


def _in_form(form: str, value: Callable[[Figures], Fraction | None]) -> Measure:
    return lambda figures: [value(figures)] if figures.form == form else []


def _above_chance(figures: Figures) -> Fraction | None:
    return figures.above_chance if figures.best else None


def _with_one_substitution(figures: Figures) -> Fraction | None:
    return figures.once.share if figures.once else None


def _best(figures: Figures) -> Fraction | None:
    return figures.best.share if figures.best else None


def _places(figures: Figures) -> Values:
    """The keys at each place, as a multiple of what is due to it."""
    return [share / due for share, due in figures.places if due]


def _commonest_of_many(figures: Figures) -> Values:
    return [figures.commonest] if figures.keys > _TWO else []


def _commonest_of_two(figures: Figures) -> Values:
    return [figures.commonest] if figures.keys <= _TWO else []


def _commonest_number(figures: Figures) -> Values:
    """The share of the commonest number of solutions."""
    total = sum(n for _size, n in figures.sizes)
    return [Fraction(max(n for _size, n in figures.sizes), total)] if total else []


_TWO = 2


def _percent(n: int) -> Fraction:
    return Fraction(n, 100)


BOUNDS: tuple[Bound, ...] = (
    Bound(
        worded("the best guess without arithmetic, above chance"),
        _in_form("select one", _above_chance),
        most=_percent(10),
    ),
    Bound(
        worded("the best guess with one substitution"),
        _in_form("select one", _with_one_substitution),
        most=_percent(60),
    ),
    Bound(
        worded("the best guess without arithmetic"),
        _in_form("select all", _best),
        most=_percent(10),
    ),
    Bound(
        worded("substitutions that settle it, for each box"),
        lambda figures: [figures.settled],
        least=_percent(50),
    ),
    Bound(
        worded("the keys at a place, of what is due to it"),
        _places,
        least=_percent(50),
        most=_percent(150),
        unit=Fraction(1, 4),
    ),
    Bound(
        worded("the best guess at an example"),
        lambda figures: [figures.example],
        most=_percent(35),
    ),
    Bound(worded("the commonest key"), _commonest_of_many, most=_percent(35)),
    Bound(worded("the commonest key of two"), _commonest_of_two, most=_percent(60)),
    Bound(
        worded("claims that are true"),
        lambda figures: [figures.true],
        least=_percent(40),
        most=_percent(60),
    ),
    Bound(
        worded("the best guess at true or false, above chance"),
        _in_form("solvable or not", _above_chance),
        most=_percent(10),
    ),
    Bound(
        worded("no solution, where students may say so"),
        lambda figures: [figures.none],
        least=_percent(5),
        most=_percent(20),
    ),
    Bound(worded("the commonest number of solutions"), _commonest_number, most=NOT_ALL),
    Bound(
        worded("the commonest arrangement"), lambda figures: [figures.arranged], most=_percent(35)
    ),
    Bound(
        worded("the commonest answer of a stage"),
        lambda figures: [figures.stage],
        most=_percent(35),
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


_SURE = Fraction(166, 100)
"""(2.576 / 2)^2: a share of n questions is farther than the root of _SURE / n from the truth in
at most 1 of 100 samples, whatever the truth is (normal approximation)."""


SURE_OF_A_GROUP = Fraction(271, 100)
"""(3.29 / 2)^2: as _SURE, in at most 1 of 1,000 samples; a pool has many groups."""


def is_sure(bound: Bound, value: Fraction, questions: int, sure: Fraction = _SURE) -> bool:
    """Whether so few questions can show that a bound is broken."""
    if not bound.most and value:
        return True
    beyond = max(bound.least - value, value - bound.most) * bound.unit
    return beyond**2 * questions > sure
