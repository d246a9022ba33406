"""The second way for calendar and clock: step by step, day after day.

Dates are counted day by day from the 1st of January 2001, a Monday, and years of 400 have
146,097 days, a multiple of 7.
"""

from dataclasses import dataclass, field
from typing import ClassVar

from itembank.second_way import in_words
from itembank.second_way.verdict import Undecided, done
from itembank.values.errors import StatementError

_WALKED = 2_000_000
"""The most steps that are taken one after another."""

_ROUND = {7: (1, 2, 3, 4, 5, 6, 7), 12: tuple(range(1, 13)), 24: tuple(range(24))}
"""What comes after what."""


@dataclass(frozen=True)
class Walk:
    """`steps` further than `start` in a round of `modulus`."""

    steps: int
    start: int
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


@dataclass(frozen=True)
class Date:
    """A date, of which the weekday is wanted."""

    year: int
    month: int
    day: int
    modulus: ClassVar[int] = 7
    hints: tuple[int, ...] = field(default=(), compare=False)


def read(statement: str) -> Walk | Date | None:
    """The question of "weekday 100 days after weekday 3"; None for another form."""
    numbers = in_words.numbers
    if found := numbers("weekday # days after weekday #", statement):
        return _walk(statement, found[0], found[1], 7)
    if found := numbers("hour # hours after # on a clock of # hours", statement):
        return _walk(statement, found[0], found[1], found[2])
    if found := numbers("weekday of the day # in month # of #", statement):
        day, month, year = found
        in_words.refuse(1 <= month <= 12 and year > 0, "a date", statement)
        in_words.refuse(1 <= day <= _days_of(year, month), "a date", statement)
        return Date(year, month, day)
    return None


def _walk(statement: str, steps: int, start: int, m: int) -> Walk:
    if m not in _ROUND or start not in _ROUND[m] or steps < 0:
        raise StatementError(f"statement '{statement[:60]}': expected a clock or a weekday")
    return Walk(steps, start, m)


def _days_of(year: int, month: int) -> int:
    if month == 2:
        return 29 if year % 400 == 0 or (year % 4 == 0 and year % 100 != 0) else 28
    return 30 if month in (4, 6, 9, 11) else 31


def _end(question: Walk | Date) -> int:
    if isinstance(question, Date):
        return _weekday(question)
    row = _ROUND[question.modulus]
    if question.steps > _WALKED:
        raise Undecided(f"more than {_WALKED} steps")
    place = row.index(question.start)
    for _step in range(question.steps):
        place = 0 if place + 1 == len(row) else place + 1
    return row[place]


def _weekday(date: Date) -> int:
    year = 2001 + (date.year - 2001) % 400
    days = sum(_days_of(y, m) for y in range(2001, year) for m in range(1, 13))
    days += sum(_days_of(year, m) for m in range(1, date.month)) + date.day - 1
    return days % 7 + 1


KIND = in_words.number_kind(_end, done("the days or hours were counted one by one"))
