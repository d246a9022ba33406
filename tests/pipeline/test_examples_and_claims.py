"""`ask: an example` and `ask: whether true`, as authors write them."""

from dataclasses import replace
from itertools import islice

import pytest

from itembank.pipeline.capacity import capacity
from itembank.pipeline.selection import fits, item_in_form, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry
from itembank.terms import withdrawal
from itembank.values.codec import read, written
from itembank.values.errors import SpecError
from itembank.values.item import IntegerEntry, TrueFalse
from tests.shipped import FAMILIES
from tests.wishes import family_of, faults_tried

ROOT = """\
id: root-of-a-range
version: 1
title: A primitive root of a range
problem: primitive_roots
outcomes: [primitive-roots]
level: medium
parameters:
  p: {prime: [41, 61]}
  s: {integer: [10, 30]}
given: {modulus: p}
ask: an example
answer: {between: [s, s + 5]}
same: numbers
"""

INVERSE = """\
id: inverse-said
version: 1
title: An inverse that is said
problem: inverse
outcomes: [invert-modulo]
level: easy
parameters:
  m: {integer: [20, 60]}
  a: {integer: [5, m - 5]}
where:
  - gcd(a, m) == 1
given: {number: a, modulus: m}
ask: whether true
slips:
  - {name: itself, answer: a, says: "You gave the number itself."}
"""


def made(family, n=30):
    return [item_in_form(v, family.forms[0]) for v in islice(Stream(family, "s", fits(family)), n)]


def test_the_numbers_of_the_range_that_are_right_count(tmp_path):
    family = family_of(tmp_path, ROOT)
    for item in made(family):
        p = int(item.statement[0].rpartition(" ")[2])
        assert isinstance(item.response, IntegerEntry)
        low, high = (
            int(n) for n in item.spoken.split("number from ")[1].split(".")[0].split(" to ")
        )
        assert item.response.values == tuple(
            n for n in range(low, high + 1) if len({pow(n, k, p) for k in range(p)}) == p - 1
        )


def test_another_range_is_another_question(tmp_path):
    family = family_of(tmp_path, ROOT)
    ranges = 6 * 21  # six primes, 21 ranges
    assert ranges - 40 < capacity(family, fits(family)).variants <= ranges


def test_both_asks_leave(tmp_path):
    assert faults_tried(family_of(tmp_path, ROOT)) == []
    assert faults_tried(family_of(tmp_path, INVERSE)) == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            ROOT.replace("between: [s, s + 5]", "above: s"),
            "answer: the ask 'an example' goes with `between`, found `above`: an example is looked "
            "for in a range with two bounds",
        ),
        (ROOT.replace("same: numbers\n", ""), "'s' is drawn, but nothing in 'given' depends on it"),
        (
            ROOT.replace("primitive_roots", "least_primitive_root"),
            "ask: the ask 'an example' does not go with the kind of problem 'least_primitive_root'",
        ),
    ],
)
def test_what_cannot_be_asked_is_told_with_its_place(tmp_path, text, fault):
    with pytest.raises(SpecError, match="root-of-a-range") as raised:
        family_of(tmp_path, text)
    assert fault in str(raised.value)


def test_an_own_slip_may_be_what_is_claimed(tmp_path):
    """Half of the claims are true; the false ones name the number itself, as the author says."""
    items = made(family_of(tmp_path, INVERSE))
    for item in items:
        a, m = (int(n) for n in item.statement[0].split(" of ")[1].split(" mod "))
        claim = int(item.spoken.split("the answer is ")[1].split(".")[0])
        assert isinstance(item.response, TrueFalse)
        assert item.response.truth is (a * claim % m == 1)
        assert item.response.truth or (claim == a and item.feedback[0].slips == ("itself",))
    assert sum(item.response.truth for item in items) == 15


def test_an_item_comes_back_from_the_bank_with_all_that_counts(tmp_path):
    item = made(family_of(tmp_path, ROOT), 1)[0]
    stored = written(item)
    assert read(stored) == item
    one = replace(item, response=replace(item.response, others=()))
    assert b'"others"' in stored
    assert b'"others"' not in written(one)
    assert one.identifier != item.identifier


@pytest.mark.parametrize("name", ["one-solution-of-an-equation", "one-primitive-root"])
def test_a_key_whose_range_is_in_the_stem_alone_is_not_called_wrong(name: str) -> None:
    """Its statement has more right answers: `[3, 18, 33]` where 18 and 33 lie in the range."""
    family = FAMILIES[name]
    entry = PoolEntry.model_construct(family=family, variants=1, choose=1, points=1, form="integer")
    item = item_of(next(iter(Stream(family, "withdrawn", fits(family)))), entry)

    found = withdrawal.question(item, (), ())

    assert found.right_key is None
    assert "was to lie is not in its statement" in found.why_none
