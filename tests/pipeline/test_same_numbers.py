"""`same: numbers`: questions of which the numbers are the point are different where these are."""

from itembank.pipeline.capacity import capacity
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from tests.wishes import VARIANTS, family_of, leaves_in_every_format, released

WEEKDAYS = """\
id: weekday-after-days
version: 1
title: The weekday after many days
problem: power
outcomes: [reduce-powers]
level: very easy
parameters:
  n: {integer: [50, 3000]}
where:
  - n % 7 > 1
given: {base: n, exponent: "2", modulus: "7"}
ask: the value
forms: [integer]
story: A machine runs for {n}^2 days and is then looked at. Today is day 0 of the week.
shortcuts: allowed
coefficients: any
same: numbers
small: squares modulo 7
"""


def few_of(folder):
    """The family as it is without the field: squares modulo 7 are few."""
    return family_of(folder, WEEKDAYS.replace("same: numbers\n", ""))


def test_weekdays_are_as_many_as_their_numbers(tmp_path):
    alike = few_of(tmp_path)
    few = capacity(alike, fits(alike)).variants
    family = family_of(tmp_path, WEEKDAYS)

    found = capacity(family, fits(family))

    assert few < 7
    assert found.exact
    assert found.variants == sum(n % 7 > 1 for n in range(50, 3001))


def test_no_question_comes_twice_whatever_the_letter(tmp_path):
    family = family_of(tmp_path, WEEKDAYS)
    first = list(Stream(family, "one", fits(family), "x"))
    other = list(Stream(family, "one", fits(family), "z"))

    assert len({v.name for v in first}) == len(first) == len({v.parameters["n"] for v in first})
    assert [v.name for v in first] == [v.name for v in other]
    assert family.fingerprint != few_of(tmp_path).fingerprint


def test_ten_variants_leave_in_every_format(tmp_path):
    release = released(tmp_path, family_of(tmp_path, WEEKDAYS), more=", choose: 10")

    assert len(release.groups) == 1
    found = leaves_in_every_format(release, tmp_path)
    assert {report.count("agreed") for report in found.values()} == {VARIANTS}
