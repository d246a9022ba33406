"""Weekdays and hours: published dates, Python's calendar, every small number of days."""

import datetime

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.calendar.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import read_as_its_kind, samples

PUBLISHED = [
    ("1902-06-13", 5),  # OEIS A101312, examples: Fridays the 13th
    ("2004-02-13", 5),
    ("2004-08-13", 5),
    ("2012-04-13", 5),
    ("2012-07-13", 5),
    ("2020-01-01", 3),
    ("2014-01-01", 3),
    ("2024-11-06", 3),
    ("1777-04-30", 3),  # the birth of C. F. Gauss
    ("2000-01-01", 6),  # J. Meeus, Astronomical Algorithms
    ("1998-02-13", 5),  # RFC 5545, 3.8.5.3
    ("2300-04-13", 5),
]


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


@pytest.mark.parametrize(("date", "weekday"), PUBLISHED)
def test_published_dates(date: str, weekday: int) -> None:
    year, month, day = map(int, date.split("-"))
    assert value(f"weekday of {day}.{month}.{year}") == weekday


def test_dates_of_all_kinds_of_years() -> None:
    """Against the calendar of Python, on the ends of all months."""
    for year in (1, 4, 99, 100, 400, 1600, 1700, 1899, 1900, 1904, 2000, 2023, 2024, 2100, 9999):
        for month in range(1, 13):
            for day in (1, 28):
                expected = datetime.date(year, month, day).isoweekday()
                statement = f"weekday of the day {day} in month {month} of {year}"
                assert value(statement) == expected
                assert decide(statement, "the value", expected).status == "agreed"
                assert decide(statement, "the value", expected % 7 + 1).status == "disagreed"


def test_days_and_hours_go_round() -> None:
    for n in range(1, 60):
        for start in (1, 5, 7):
            weekday = value(f"weekday {n} days after weekday {start}")
            date = datetime.date(2001, 1, start) + datetime.timedelta(days=n)
            assert weekday == date.isoweekday()
        for start in (0, 9, 23):
            hour = value(f"hour {n} hours after {start} on a clock of 24 hours")
            assert hour == (datetime.datetime(2001, 1, 1, start) + datetime.timedelta(hours=n)).hour
            if start:
                on_twelve = value(
                    f"hour {n} hours after {(start - 1) % 12 + 1} on a clock of 12 hours"
                )
                assert (on_twelve - hour) % 12 == 0
                assert 1 <= on_twelve <= 12


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_the_second_way_agrees_and_refuses_the_next_number(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    problem = problem_from([statement])
    found = problem.solve().answer.value

    assert decide(problem.statement, "the value", found).status == "agreed"
    assert decide(problem.statement, "the value", found + 1).status == "disagreed"


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("weekday of 29.2.1900", "expected a day from 1 to 28, got 29"),
        ("weekday 3 days after weekday 8", "expected a weekday from 1 to 7, got 8"),
        ("hour 3 hours after 0 on a clock of 12 hours", "an hour that the clock shows, got 0"),
    ],
)
def test_what_is_no_date_and_no_hour_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])
