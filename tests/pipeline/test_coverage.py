"""Coverage of feedback: counted against items read one by one."""

from fractions import Fraction

import pytest

from itembank.pipeline.coverage import LOOKED_AT, Coverage, counted, coverage
from itembank.pipeline.selection import fits, item_in_form
from itembank.pipeline.variants import Stream
from tests.shipped import FAMILIES


def items(family: str):
    found = FAMILIES[family]
    stream = Stream(found, "coverage", fits(found))
    return [
        item_in_form(variant, form)
        for variant, _n in zip(stream, range(LOOKED_AT), strict=False)
        for form in found.forms
    ]


def test_the_wrong_word_counts_once_an_item_and_as_named_where_a_slip_leads_to_it():
    read = items("quadratic-solvable-or-not")
    named = sum(bool(item.feedback) for item in read)

    found = coverage(
        FAMILIES["quadratic-solvable-or-not"], fits(FAMILIES["quadratic-solvable-or-not"])
    )

    assert found == Coverage(offered=len(read), told=len(read), named=named, entries=0, foreseen=0)
    assert 0 < found.share_named < found.share_told == 1


def test_an_entry_counts_the_wrong_answers_that_slips_lead_to():
    read = items("linear-one-solution")

    found = counted(read)

    assert found.offered == 0 and found.entries == len(read)
    assert found.foreseen_each == Fraction(sum(len(i.feedback) for i in read), len(read))
    assert found.foreseen_each >= 3, "one slip alone led to a wrong answer there"


@pytest.mark.parametrize(
    "family", ["square-or-not-prime-powers", "primitive-root-or-not", "iban-valid-or-not",
               "isbn-valid-or-not", "iban-missing-digit"]
)  # fmt: skip
def test_families_that_left_answers_without_a_word_have_one_for_each(family):
    assert counted(items(family)).share_told == 1
