"""Pools that ask for variants by the values of their parameters, or leave them out."""

import pytest

from itembank.values.errors import ShortageError, SpecError
from tests.wishes import VARIANTS, family_of, leaves_in_every_format, pool_of, released

SHARES = """\
id: sweets-shared
version: 1
title: Sweets shared
problem: linear
outcomes: [solve-linear-congruences]
level: easy
parameters:
  m: {one of: [23, 29, 31, 37]}
  a: {integer: [3, m - 2]}
  b: {integer: [2, m - 2]}
given: {congruence: a*x = b, modulus: m}
ask: the solution
forms: [integer]
"""


def moduli_and_coefficients(release):
    found = []
    for item in release.groups[0].items:
        left, m = item.statement[0].split(" mod ")
        found.append((int(left.split("x")[0]), int(m)))
    return found


def test_what_is_asked_for_is_among_the_variants_and_what_is_left_out_is_not(tmp_path):
    family = family_of(tmp_path, SHARES)
    more = ", with: [{m: 37, a: 5}, {m: 31}], without: [{m: 23}, {a: 7}]"

    release = released(tmp_path, family, more=more)

    found = moduli_and_coefficients(release)
    assert (5, 37) in found
    assert 31 in [m for _a, m in found]
    assert 23 not in [m for _a, m in found]
    assert 7 not in [a for a, _m in found]
    assert len(found) == VARIANTS
    assert 23 in [m for _a, m in moduli_and_coefficients(released(tmp_path, family))]
    audits = leaves_in_every_format(release, tmp_path)
    assert {report.count("agreed") for report in audits.values()} == {VARIANTS}


def test_what_no_variant_has_is_told(tmp_path):
    family = family_of(tmp_path, SHARES)

    with pytest.raises(ShortageError, match=r"expected a variant with m = 23, a = 30, as `with`"):
        released(tmp_path, family, more=", with: [{m: 23, a: 30}]")


def test_a_shortage_says_that_the_pool_left_variants_out(tmp_path):
    family = family_of(tmp_path, SHARES)
    every = "without: [{m: 23}, {m: 29}, {m: 31}, {m: 37}]"

    with pytest.raises(ShortageError, match=r"it has 0 left \(passed over: \d+ x left out by the"):
        released(tmp_path, family, more=f", {every}")


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ("with: [{mm: 3}]", "items[1].with[1]: unknown parameter 'mm'; did you mean 'm'?"),
        ("without: [{m: x}]", "items[1].without[1].m: expected an integer (digits alone)"),
        ("without: m", "items[1].without: expected a list, found the text 'm'"),
        ("with: [{m: 37, a: 5}], without: [{m: 37}]", "this leaves out what `with` asks for"),
        (
            f"with: [{', '.join(['{m: 37}'] * 11)}]",
            "items[1].with: expected at most 10, the number of variants, found 11",
        ),
    ],
)
def test_a_fault_of_a_setting_has_its_place(tmp_path, more, fault):
    family = family_of(tmp_path, SHARES)

    with pytest.raises(SpecError) as raised:
        pool_of(tmp_path, family, more=f", {more}")

    assert fault in str(raised.value)
