"""An answer is told the same remark however it is typed, by hand; and none is told nothing."""

import pytest

from itembank.audit.against import compared
from tests.audit.handmade import (
    ENTRY,
    IS_KEY,
    IS_NULL,
    ZERO,
    base,
    condition,
    qti_item,
    qti_package,
    report_on,
    scored,
    set_outcome,
    slip_shown,
    ticked,
)

GIVEN = '<variable identifier="RESPONSE"/>'
NONE, SLIP, OTHERWISE = (
    set_outcome("FEEDBACK", base("identifier", name)) for name in ("none", "slip-1", "otherwise")
)
STEM = (
    "<p>Find the solution of</p><p>2x ≡ 3 (mod 7)</p><p>The solution is one residue class modulo 7."
    " Type any integer in it.</p><p>1 point for the right number, otherwise 0.</p>"
)


def in_class(value: int, inner: int = 7) -> str:
    """Whether ((R mod 7) + 7) mod 7 is the value: of negative quotients readers differ."""
    once = f"<integerModulus>{GIVEN}{base('integer', inner)}</integerModulus>"
    sum_ = f"<sum>{once}{base('integer', 7)}</sum>"
    residue = f"<integerModulus>{sum_}{base('integer', 7)}</integerModulus>"
    return f'<equal toleranceMode="exact">{base("integer", value)}{residue}</equal>'


def item(slip: str) -> str:
    full = set_outcome("SCORE", base("float", 1))
    return qti_item(
        stem=STEM,
        interaction=ENTRY,
        cardinality="single",
        base_type="integer",
        key=(5,),
        processing=condition((IS_NULL, ZERO), (in_class(5), full), otherwise=ZERO)
        + slip_shown(slip),
        slips=("Multiply 3 by the inverse of 2, not by 2 itself.",),
        label="2x = 3 mod 7; the solution",
    )


def test_a_remark_on_a_whole_class_is_agreed(tmp_path):
    assert report_on(tmp_path, item(in_class(6))).clean


@pytest.mark.parametrize(
    "slip",
    [
        in_class(6, inner=8),
        f'<equal toleranceMode="exact">{base("integer", 6)}{GIVEN}</equal>',
    ],
)
def test_a_remark_on_some_of_a_class_is_found(tmp_path, slip):
    found = report_on(tmp_path, item(slip)).findings

    assert any("what '6' is told, got another" in line for line in found), found


def test_a_remark_told_to_another_class_is_seen_beside_the_package_as_it_was(tmp_path):
    released, back = (
        qti_package(tmp_path / f"{n}.zip", item(in_class(value))) for n, value in enumerate((6, 4))
    )

    assert compared(released, released).clean
    assert "which is no more told to 6" in compared(back, released).as_text()


@pytest.mark.parametrize(("else_", "found"), [(OTHERWISE, ""), ("", "otherwise: expected for {7;")])
def test_where_some_are_told_what_to_do_without_a_slip_each_is(tmp_path, else_, found):
    told = condition(
        (IS_NULL, NONE),
        (IS_KEY, NONE),
        (ticked(7, 88), SLIP),
        (ticked(16), OTHERWISE),
        otherwise=else_,
    )
    two = qti_item(processing=scored(IS_KEY) + told, slips=("Try again.", "Substitute each."))
    report = report_on(tmp_path, two.replace('identifier="slip-2"', 'identifier="otherwise"'))

    assert report.clean is not bool(found), report.as_text()
    assert found in report.as_text()
