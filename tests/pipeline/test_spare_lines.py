"""Lines that do not belong, shown among the steps: untrue, told as right ones, never needed."""

import re
from functools import cache
from itertools import islice

import pytest

from itembank.kinds.derivation import Derived, WithSpares
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.notation import plain
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry, load_family
from itembank.values.errors import SpecError
from itembank.values.item import Item, PutInOrder
from tests.shipped import FAMILIES as SHIPPED

FAMILIES = {
    name: family
    for name in SHIPPED
    if name.endswith("-among-others")
    if (family := SHIPPED[name]).spare
}


@cache
def items(name: str, n: int, form: str = "order") -> list[Item]:
    family = FAMILIES[name]
    entry = PoolEntry.model_construct(family=family, variants=n, choose=1, points=1, form=form)
    return [item_of(v, entry) for v in islice(Stream(family, "spare", fits(family)), n)]


def told(item: Item) -> dict[str, str]:
    return {line.identifier: plain.inlines(line.label) for line in item.response.lines}


def begins(text: str) -> str:
    return re.split(r"[:\d]", text)[0]


@pytest.mark.parametrize("name", FAMILIES)
def test_spare_lines_are_told_as_lines_that_are_needed(name):
    for item in items(name, 12):
        response, lines = item.response, told(item)
        assert isinstance(response, PutInOrder)
        assert len(response.spare) == FAMILIES[name].spare
        assert len(set(lines.values())) == len(lines)
        right = {begins(lines[line]) for line in response.order}
        assert all(begins(lines[line]) in right for line in response.spare)
        assert "Not every line is needed." in " ".join(plain.blocks(item.stem).split())
        answers = [slip.response for slip in item.feedback]
        assert response.order not in answers and len(set(answers)) == len(answers)
        assert all(any(line in answer for answer in answers) for line in response.spare)


def test_a_name_of_a_line_does_not_tell_where_it_belongs():
    for item in items("order-steps-among-others", 12):
        names = [line.identifier for line in item.response.lines]
        assert names == [f"line-{n}" for n in range(1, len(names) + 1)]


CLAIM = re.compile(r"x ≡ ([\d, ]+) \(mod (\d+)\)")


def test_spare_lines_of_a_polynomial_congruence_name_other_residues_than_solve_it():
    """By trying every residue."""
    for item in items("steps-among-others", 12):
        (statement,) = item.statement
        f = problem_from([statement]).f

        def solves(x: int, m: int, f: tuple[int, ...] = f) -> bool:
            return sum(c * x**i for i, c in enumerate(f)) % m == 0

        def right(line: str) -> bool:
            return all(
                [int(r) for r in residues.split(",")] == [x for x in range(m) if solves(x, m)]
                for residues, m in ((rs, int(m)) for rs, m in CLAIM.findall(line))
            )

        lines = told(item)
        assert all(right(lines[name]) for name in item.response.order)
        assert not any(right(lines[name]) for name in item.response.spare)


def test_of_two_spare_lines_of_one_slip_both_together_have_feedback():
    found = 0
    for item in items("steps-among-others", 12):
        spare = set(item.response.spare)
        found += any(spare <= set(slip.response) for slip in item.feedback)

    assert found >= 6


def test_an_order_to_choose_is_right_wrong_and_each_with_a_line_that_does_not_belong():
    """The right letter, and the one that could be taken for it, stand in two of four each."""
    for name in FAMILIES:
        for item in items(name, 3, "select one"):
            options = [plain.inlines(o.label).split(", ") for o in item.response.options]
            used = {frozenset(option) for option in options}
            assert len(options) == 4 and len(used) == 2
            assert {sum(set(o) == u for o in options) for u in used} == {2}


# ------------------------------------------------------------ every kind


OUTLINED = {
    name: kind
    for name, kind in KINDS.items()
    if issubclass(kind.problem, Derived) and "the steps" in SIGNATURES[name].asks
}

WITHOUT = {
    "symbol": "a symbol has one of two values, and a wrong rule leads to the right one as often",
}
"""Kinds whose steps are put in order, and are told without wrong ones; and why."""


def test_every_kind_whose_steps_are_put_in_order_tells_wrong_ones_or_is_said_not_to():
    without = {name for name, kind in OUTLINED.items() if not issubclass(kind.problem, WithSpares)}

    assert without == set(WITHOUT)


# ------------------------------------------------------------ the field of a family

FAMILY = """\
id: own
version: 1
title: Own
problem: inverse
outcomes: [invert-modulo]
level: easy
parameters:
  m: {{integer: [20, 130]}}
  a: {{integer: [4, m - 2]}}
where:
  - gcd(a, m) == 1
given: {{number: a, modulus: m}}
ask: {ask}
spare: {spare}
small: few
"""


@pytest.mark.parametrize(
    ("ask", "spare", "message"),
    [
        ("the value", 1, "spare lines go with the ask 'the steps', found 'the value'"),
        ("the steps", 3, "spare: expected an integer of at most 2, found the integer 3"),
        ("the steps", 0, "spare: expected an integer of at least 1, found the integer 0"),
    ],
)
def test_spare_lines_are_one_or_two_and_stand_among_steps(ask, spare, message, tmp_path):
    path = tmp_path / "own.yaml"
    path.write_text(FAMILY.format(ask=ask, spare=spare))
    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert message in str(raised.value)
