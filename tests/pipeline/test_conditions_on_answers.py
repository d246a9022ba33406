"""Conditions on the answer, lists, choices and values that do not exist, in families that leave."""

from math import gcd

from itembank.pipeline.capacity import capacity
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from tests.wishes import VARIANTS, family_of, leaves_in_every_format, released

SHARED = """\
id: shared-out
version: 1
title: Coins shared out
problem: linear
outcomes: [solve-linear-congruences]
level: easy
parameters:
  m: {integer: [30, 60]}
  a: {integer: [2, m - 1]}
  i: {value: "inverse(a, m)"}
  b: {value: i + 3 if i < 20 else i - 3}
where:
  - m % 8 in [2, 4, 6]
  - min(answer) > 20
  - count(answer) == 1
given: {congruence: a*x = b, modulus: m}
ask: the least
forms: [integer]
"""


def test_ten_variants_satisfy_what_is_said_of_their_answer_and_leave(tmp_path):
    family = family_of(tmp_path, SHARED)

    for item in released(tmp_path, family).groups[0].items:
        (statement,) = item.statement
        assert item.response.value > 20, statement
    release = released(tmp_path, family)
    found = leaves_in_every_format(release, tmp_path)
    assert {report.count("agreed") for report in found.values()} == {VARIANTS}


def test_the_variants_are_those_of_brute_force_and_each_rejection_has_its_reason(tmp_path):
    family = family_of(tmp_path, SHARED)
    expected = set()
    for m in range(30, 61):
        if m % 8 not in (2, 4, 6):
            continue
        for a in range(2, m):
            if gcd(a, m) > 1:
                continue
            i = pow(a, -1, m)
            b = i + 3 if i < 20 else i - 3
            solutions = [x for x in range(m) if (a * x - b) % m == 0]
            if len(solutions) == 1 and solutions[0] > 20 and b < m:
                expected.add((m, a, b))

    stream = Stream(family, "all", fits(family))
    found = {tuple(v.parameters[name] for name in "mab") for v in stream}

    assert found <= expected
    assert len(found) > 30
    rejected = capacity(family, fits(family)).rejected
    assert "fails 'min(answer) > 20'" in rejected
    assert any("inverse(a, m)" in reason for reason in rejected)


MANY = """\
id: rare-among-many
version: 1
title: Rare among many
problem: linear
outcomes: [solve-linear-congruences]
level: easy
parameters:
  p: {prime: [5, 100000]}
  a: {integer: [2, 100]}
  b: {integer: [1, 100]}
  c: {integer: [1, 120]}
where:
  - p == 101
  - c == a + 1
  - a < 5
given: {congruence: a*x = b + c, modulus: p}
ask: the least
forms: [integer]
small: a test of what is listed
"""


def test_a_condition_is_tested_as_soon_as_its_names_have_values(tmp_path):
    """So that few among 11 billion parameter sets are counted exactly, as those that are left."""
    family = family_of(tmp_path, MANY)
    due = {n: [c.expression.text for c in found] for n, found in family.conditions_due.items()}
    few = MANY.replace("{prime: [5, 100000]}", "{value: 101}").replace("[2, 100]", "[2, 4]")
    left = family_of(tmp_path, few.replace("{integer: [1, 120]}", "{value: a + 1}"))

    assert due == {"p": ["p == 101"], "a": ["a < 5"], "b": [], "c": ["c == a + 1"]}
    found, expected = capacity(family, fits(family)), capacity(left, fits(left))
    assert (found.exact, found.variants) == (True, expected.variants)
    assert expected.variants == 99
