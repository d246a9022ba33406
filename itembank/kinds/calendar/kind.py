"""Weekdays and hours: days count modulo 7, hours modulo 12 or 24.

Weekdays have the numbers of ISO 8601: 1 for Monday to 7 for Sunday. Dates are those of the
Gregorian calendar, year, month, day.

Method taught: the number of days or hours is reduced, then added. For a date the days since the
1st of January of the year 1, a Monday, are counted: 365 a year, a day more for every leap year.

Source: ISO 8601-1:2019; N. Dershowitz, E. M. Reingold, Calendrical Calculations, section 2.2.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import ClassVar

from itembank.kinds.base import Kind, Phrases, Solution, Step
from itembank.kinds.chains import division, sum_of
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.phrased import Phrased, about, reader, require
from itembank.kinds.wording import Tellers
from itembank.languages import Said, Told, lead, say
from itembank.notation.building import added, equal, number
from itembank.notation.tree import Math
from itembank.values.answer import Value
from itembank.values.vocabulary import KindSignature

__all__ = ["KINDS", "HourAfter", "WeekdayAfter", "WeekdayOfDate", "read"]

_FARTHEST = 10**9
"""The most days or hours."""

_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
"""Days of the months of a year that is no leap year."""


def _is_leap(year: int) -> bool:
    """Whether February has 29 days: years divisible by 4, of those divisible by 100 by 400."""
    return year % 4 == 0 and (year % 100 > 0 or year % 400 == 0)


def _length(year: int, month: int) -> int:
    return _LENGTHS[month - 1] + (month == 2 and _is_leap(year))


def _on(n: int, m: int) -> int:
    """The number from 1 to m that is congruent to n."""
    return (n - 1) % m + 1


# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class _Reduce(Step):
    """n modulo m."""

    name = "reduce"
    n: int
    m: int


@dataclass(frozen=True)
class _GoOn(Step):
    """From start r further modulo m, to a number from 1 to m (from 0 to 23 for m = 24)."""

    name = "go on"
    start: int
    r: int
    m: int

    @property
    def end(self) -> int:
        return (self.start + self.r) % 24 if self.m == 24 else _on(self.start + self.r, self.m)


@dataclass(frozen=True)
class YearsBefore(Step):
    """The days of the years before this one, modulo 7: one a year, one more a leap year."""

    name = "the years before"
    year: int

    @property
    def leap(self) -> int:
        y = self.year - 1
        return y // 4 - y // 100 + y // 400

    @property
    def days(self) -> int:
        return self.year - 1 + self.leap


@dataclass(frozen=True)
class DayOfYear(Step):
    """Which day of the year the date is."""

    name = "the day of the year"
    year: int
    month: int
    day: int

    @property
    def before(self) -> tuple[int, ...]:
        return tuple(_length(self.year, month) for month in range(1, self.month))

    @property
    def n(self) -> int:
        return sum(self.before) + self.day

    @property
    def effort(self) -> int:
        return self.month


@dataclass(frozen=True)
class _Together(Step):
    """Days of the years before and of this one, modulo 7, from 1 to 7."""

    name = "add"
    a: int
    b: int

    @property
    def weekday(self) -> int:
        return _on(self.a + self.b, 7)


# ------------------------------------------------------------ telling


def _reduce_told(step: _Reduce) -> Iterator[Told]:
    yield lead("Reduce.")
    if step.n < step.m:
        yield say("{n} is less than {m}.", n=step.n, m=step.m)
    else:
        yield say(
            "${division}$, and whole rounds of {m} change nothing.",
            division=division(step.n, step.m),
            m=step.m,
        )


def _go_on(step: _GoOn) -> Iterator[Told]:
    plain_sum = step.start + step.r
    yield lead("Go on.")
    if plain_sum == step.end:
        yield say("${sum}$.", sum=equal(added((step.start, step.r)), step.end))
        return
    yield say(
        "${sum}$, which is beyond {last}: ${back}$.",
        sum=equal(added((step.start, step.r)), plain_sum),
        last=step.m - (step.m == 24),
        back=equal(sum_of(number(plain_sum), number(-step.m)), step.end),
    )


def _years_before(step: YearsBefore) -> Iterator[Told]:
    y = step.year - 1
    yield lead("The years before.")
    yield say(
        "The 1st of January of the year 1 would have been a Monday. ${year} ≡ 1 (mod 7)$, so each "
        "of the {y} years before {this} counts 1, and each leap year 1 more.",
        year=365,
        y=y,
        this=step.year,
    )
    yield say(
        "Of them {fourth} are divisible by 4, {hundredth} by 100 and {last} by 400, so "
        "${leap}$ are leap years. Together ${sum}$.",
        fourth=y // 4,
        hundredth=y // 100,
        last=y // 400,
        leap=_leap_years(y),
        sum=equal(added((y, step.leap)), step.days),
    )
    yield say("${division}$.", division=division(step.days, 7))


def _leap_years(y: int) -> Math:
    """505 - 20 + 5 = 490, the quotients of y by 4, 100 and 400."""
    return equal(
        sum_of(number(y // 4), number(-(y // 100)), number(y // 400)),
        y // 4 - y // 100 + y // 400,
    )


def _day_of_year(step: DayOfYear) -> Iterator[Told]:
    yield lead("The day of the year.")
    if step.before:
        yield say(
            "The months before and the day itself: ${sum}$.",
            sum=equal(added((*step.before, step.day)), step.n),
        )
    if step.n >= 7:
        yield say("${division}$.", division=division(step.n, 7))


def _together(step: _Together) -> Iterator[Told]:
    yield lead("Add.")
    total = step.a + step.b
    yield say("${sum}$.", sum=equal(added((step.a, step.b)), total))
    if total != step.weekday:
        yield say(
            "The number from 1 to 7 that is congruent to it modulo 7 is {end}.", end=step.weekday
        )


_TELLING: Tellers = {
    _Reduce: _reduce_told,
    _GoOn: _go_on,
    YearsBefore: _years_before,
    DayOfYear: _day_of_year,
    _Together: _together,
}

# ------------------------------------------------------------ slips


def _start_forgotten(w: "Going") -> ValueFound:
    return w.named(w.going), say(
        "If you gave the remainder: it is added to the number of the start."
    )


def _one_too_far(w: "Going") -> ValueFound:
    return w.named(w.start + w.going + 1), say(
        "Check the counting: the first step leads to the next one, not to the start itself."
    )


def _one_too_few(w: "Going") -> ValueFound:
    return w.named(w.start + w.going - 1), say(
        "Check the counting: the start itself is not counted as a step."
    )


def _backwards(w: "Going") -> ValueFound:
    return w.named(w.start - w.going), say(
        "If you counted backwards: a later day or hour is asked for."
    )


def _quotient_for_remainder(w: "Going") -> ValueFound:
    return w.named(w.start + w.going // w.modulus), say(
        "If you added the quotient: whole rounds change nothing, what is left over counts."
    )


_AFTER: dict[str, Callable[..., ValueFound]] = {
    "quotient-for-remainder": _quotient_for_remainder,
    "start-forgotten": _start_forgotten,
    "backwards": _backwards,
    "one-too-far": _one_too_far,
    "one-too-few": _one_too_few,
}
"""In the order of the method."""


def _no_leap_years(w: "WeekdayOfDate") -> ValueFound:
    return _on(w.year - 1 + w.parts[1].n, 7), say(
        "If you counted 365 days for every year: leap years have a day more."
    )


def _every_fourth_year(w: "WeekdayOfDate") -> ValueFound:
    y = w.year - 1
    return _on(y + y // 4 + w.parts[1].n, 7), say(
        "If you took every fourth year for a leap year: of the years divisible by 100 only those "
        "divisible by 400 are."
    )


def _february_short(w: "WeekdayOfDate") -> ValueFound:
    if not _is_leap(w.year) or w.month < 3:
        return None
    return _on(w.weekday - 1, 7), say(
        "Has February 28 days in this year? See whether it is a leap year."
    )


def _february_long(w: "WeekdayOfDate") -> ValueFound:
    if _is_leap(w.year) or w.month < 3:
        return None
    return _on(w.weekday + 1, 7), say(
        "Has February 29 days in this year? See whether it is a leap year."
    )


def _this_year_counted(w: "WeekdayOfDate") -> ValueFound:
    return _on(w.weekday + 1, 7), say("Only the years before this one are counted whole.")


def _day_not_counted(w: "WeekdayOfDate") -> ValueFound:
    return _on(w.weekday - 1, 7), say(
        "Check the beginning of the counting: the first day of all has the number 1."
    )


_DATE: dict[str, Callable[..., ValueFound]] = {
    "no-leap-years": _no_leap_years,
    "every-fourth-year": _every_fourth_year,
    "this-year-counted": _this_year_counted,
    "february-short": _february_short,
    "february-long": _february_long,
    "day-not-counted": _day_not_counted,
}
"""In the order of the method."""

# ------------------------------------------------------------ the kinds

_NUMBERED = say("Weekdays have the numbers from Monday, 1, to Sunday, 7.")
_TYPED = say("Type the number of the weekday.")


@dataclass(frozen=True, kw_only=True)
class Going(Phrased):
    """So much later than a start, in rounds of `modulus`."""

    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _AFTER
    start: int
    going: int

    @property
    def modulus(self) -> int:
        raise NotImplementedError

    def named(self, n: int) -> int:
        """The number that is congruent to n, as it is written."""
        return _on(n, self.modulus)

    def solve(self) -> Solution[Value]:
        m = self.modulus
        end = _GoOn(self.start, self.going % m, m)
        return Solution(Value(end.end), (_Reduce(self.going, m), end))


@dataclass(frozen=True, kw_only=True)
class WeekdayAfter(Going):
    """The weekday so many days after another."""

    kind: ClassVar[str] = "weekday_after"
    phrase: ClassVar[str] = "weekday {going} days after weekday {start}"
    spellings: ClassVar[tuple[str, ...]] = ("weekday {going} days after day {start}",)
    signature: ClassVar[KindSignature] = about("weekday_after", phrase, _AFTER)
    modulus: ClassVar[int] = 7

    def check(self) -> None:
        require(1 <= self.start <= 7, "a weekday from 1 to 7", self.start)
        require(1 <= self.going <= _FARTHEST, f"1 to {_FARTHEST} days", self.going)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no number"), entry=_TYPED)

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _NUMBERED, say(
            "Today is the weekday with the number {start}. Find the number of the weekday {n} days "
            "from now.",
            start=self.start,
            n=self.going,
        )

    def answer_text(self, answer: Value) -> Said:
        return say("The number of the weekday is {n}.", n=answer.value)


@dataclass(frozen=True, kw_only=True)
class HourAfter(Going):
    """The hour that a clock of 12 or 24 hours shows so many hours later."""

    kind: ClassVar[str] = "hour_after"
    phrase: ClassVar[str] = "hour {going} hours after {start} on a clock of {hours} hours"
    spellings: ClassVar[tuple[str, ...]] = ("{going} hours after {start} on a {hours}-hour clock",)
    signature: ClassVar[KindSignature] = about("hour_after", phrase, _AFTER)
    hours: int

    @property
    def modulus(self) -> int:
        return self.hours

    def named(self, n: int) -> int:
        return n % 24 if self.hours == 24 else _on(n, 12)

    def check(self) -> None:
        require(self.hours in (12, 24), "a clock of 12 or 24 hours", self.hours)
        fine = 0 <= self.start < 24 if self.hours == 24 else 1 <= self.start <= 12
        require(fine, "an hour that the clock shows", self.start)
        require(1 <= self.going <= _FARTHEST, f"1 to {_FARTHEST} hours", self.going)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no number"), entry=say("Type the hour."))

    def asked(self, ask: str) -> Said:
        if self.hours == 24:
            return say(
                "A clock with the hours 0, 1, ..., 23 shows {start}. Find the hour that it shows "
                "{n} hours later.",
                start=self.start,
                n=self.going,
            )
        return say(
            "A clock with the hours 1, 2, ..., 12 shows {start}. Find the hour that it shows {n} "
            "hours later.",
            start=self.start,
            n=self.going,
        )

    def answer_text(self, answer: Value) -> Said:
        return say("The clock shows {n}.", n=answer.value)


@dataclass(frozen=True, kw_only=True)
class WeekdayOfDate(Phrased):
    """The weekday of a date of the Gregorian calendar."""

    kind: ClassVar[str] = "weekday_of_date"
    phrase: ClassVar[str] = "weekday of the day {day} in month {month} of {year}"
    spellings: ClassVar[tuple[str, ...]] = ("weekday of {day}.{month}.{year}",)
    telling: ClassVar[Tellers] = _TELLING
    mistakes: ClassVar[dict[str, Callable[..., ValueFound]]] = _DATE
    modulus: ClassVar[int] = 7
    signature: ClassVar[KindSignature] = about(
        "weekday_of_date", phrase, _DATE, measures=("value", "steps", "leap", "digits")
    )
    day: int
    month: int
    year: int

    def check(self) -> None:
        require(1 <= self.year <= 9999, "a year from 1 to 9999", self.year)
        require(1 <= self.month <= 12, "a month from 1 to 12", self.month)
        days = _length(self.year, self.month)
        require(1 <= self.day <= days, f"a day from 1 to {days}", self.day)

    @property
    def parts(self) -> tuple[YearsBefore, DayOfYear]:
        return YearsBefore(self.year), DayOfYear(self.year, self.month, self.day)

    @property
    def weekday(self) -> int:
        years, days = self.parts
        return _on(years.days + days.n, 7)

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no number"), entry=_TYPED)

    def asked(self, ask: str) -> tuple[Said, ...]:
        return _NUMBERED, say(
            "Find the number of the weekday of this date of the Gregorian calendar: day {day} of "
            "month {month} of the year {year}.",
            day=self.day,
            month=self.month,
            year=self.year,
        )

    def solve(self) -> Solution[Value]:
        years, days = self.parts
        steps = (years, days, _Together(years.days % 7, days.n % 7))
        return Solution(Value(self.weekday), steps)

    def measures(self, solution: Solution[Value]) -> dict[str, int]:
        return {**super().measures(solution), "leap": int(_is_leap(self.year))}

    def answer_text(self, answer: Value) -> Said:
        return say("The number of the weekday is {n}.", n=answer.value)


read = reader(WeekdayAfter, HourAfter, WeekdayOfDate)

_NEXT = {
    "the value": say(
        "Divide by the length of a round, with its remainder, and take a small number first: does "
        "the rule give the right end one step, two steps later?"
    )
}

KINDS = (
    Kind(
        problem=WeekdayAfter,
        read=read,
        value="integer",
        about="The weekday n days after a weekday, with the numbers of ISO 8601.",
        title=say("A weekday"),
        next_steps=_NEXT,
        samples=(
            "weekday 100 days after weekday 3",
            "weekday 7 days after weekday 7",
            "weekday 2792 days after day 1",
            "weekday 4 days after weekday 5",
            "weekday 10^6 days after weekday 6",
        ),
    ),
    Kind(
        problem=HourAfter,
        read=read,
        value="integer",
        about="The hour that a clock of 12 or 24 hours shows n hours later.",
        title=say("A clock"),
        next_steps=_NEXT,
        samples=(
            "hour 100 hours after 9 on a clock of 12 hours",
            "hour 12 hours after 12 on a clock of 12 hours",
            "1000 hours after 17 on a 24-hour clock",
            "hour 7 hours after 17 on a clock of 24 hours",
            "hour 5 hours after 3 on a clock of 12 hours",
        ),
    ),
    Kind(
        problem=WeekdayOfDate,
        read=read,
        value="integer",
        about="The weekday of a date of the Gregorian calendar, with the numbers of ISO 8601.",
        title=say("A weekday"),
        next_steps={
            "the value": say(
                "Count once more: one for each year before, one more for each leap year among "
                "them, and the days of this year. Which remainder does the sum leave modulo 7?"
            )
        },
        samples=(
            "weekday of the day 13 in month 6 of 1902",
            "weekday of 1.1.2000",
            "weekday of 30.4.1777",
            "weekday of the day 29 in month 2 of 2024",
            "weekday of 1.1.1",
            "weekday of 31.12.1900",
        ),
    ),
)
"""What the house knows of these kinds."""
