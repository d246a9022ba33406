"""An integer of a range is asked for: the key is what brute force finds, in every format."""

from dataclasses import replace

import pytest

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.notation import plain
from itembank.pipeline.capacity import capacity
from itembank.pipeline.selection import fits
from itembank.spec import load_family
from itembank.values.answer import Range
from itembank.values.errors import SpecError
from tests.wishes import EGGS, VARIANTS, family_of, leaves_in_every_format, released, written

MANY = EGGS.replace("ask: all solutions", "ask: the solution\nanswer: {above: 100}").replace(
    "forms: [list]", "forms: [integer]"
)


def solving(item, integers):
    """The integers that satisfy each congruence `x = a mod m` of an item, by trying them."""
    rows = [tuple(map(int, line.removeprefix("x = ").split(" mod "))) for line in item.statement]
    return [n for n in integers if all(n % m == a for a, m in rows)]


RANGES = {
    "{above: 100}": lambda item: min(solving(item, range(101, 1000))),
    "{below: 0}": lambda item: max(solving(item, range(-1000, 0))),
    "{above: p*q}": lambda item: min(solving(item, range(modulus(item) + 1, 1000))),
    "{between: [100, 180]}": lambda item: solving(item, range(100, 181))[0],
    "{between: [0, 70]}": lambda item: solving(item, range(71))[0],
    "{residues: symmetric}": lambda item: nearest(item, solving(item, range(-1000, 1000))),
    "{residues: 1..m}": lambda item: solving(item, range(1, modulus(item) + 1))[0],
    "{residues: least}": lambda item: solving(item, range(modulus(item)))[0],
}


def nearest(item, integers):
    """That nearest to 0, of two such the positive one."""
    return min(integers, key=lambda n: (abs(n), -n))


def modulus(item):
    p, q = (int(line.split(" mod ")[1]) for line in item.statement)
    return p * q


@pytest.mark.parametrize("said", RANGES)
def test_the_key_is_the_integer_that_brute_force_finds_and_leaves(tmp_path, said):
    text = MANY.replace("{above: 100}", said)
    release = released(tmp_path, family_of(tmp_path, text))

    for item in release.groups[0].items:
        assert item.response.value == RANGES[said](item)
        assert item.response.modulus is None
        assert str(item.response.value) in plain.blocks(item.solution[-1:]).replace("−", "-")
    found = leaves_in_every_format(release, tmp_path)
    assert len(found) == len(FORMATS)
    assert {report.count("agreed") for report in found.values()} == {VARIANTS}


def test_between_two_bounds_there_is_exactly_one(tmp_path):
    family = family_of(tmp_path, MANY.replace("{above: 100}", "{between: [100, 180]}"))

    for item in released(tmp_path, family).groups[0].items:
        assert len(solving(item, range(100, 181))) == 1
    rejected = capacity(family, fits(family)).rejected
    assert rejected["not exactly one integer of the range solves it"] > 0


def test_in_german_it_leaves_too(tmp_path):
    for said in ("{above: 100}", "{below: 0}", "{between: [100, 180]}"):
        family = family_of(tmp_path, MANY.replace("{above: 100}", said))
        release = released(tmp_path, family, languages="language: de")

        for report in leaves_in_every_format(release, tmp_path).values():
            assert report.count("agreed") == VARIANTS


def audited(release, folder, change):
    """The audit of the release with each item changed."""
    items = tuple(map(change, release.groups[0].items))
    group = replace(release.groups[0], items=items)
    write_package("qti21", replace(release, groups=(group,)), folder / "p.zip")
    return audit_package(folder / "p.zip")


@pytest.mark.parametrize("said", RANGES)
@pytest.mark.parametrize("way", [-1, 1])
def test_the_next_integer_of_the_class_is_not_the_key(tmp_path, said, way):
    release = released(tmp_path, family_of(tmp_path, MANY.replace("{above: 100}", said)))

    def another(item):
        value = item.response.value + way * modulus(item)
        return replace(item, response=replace(item.response, value=value), feedback=())

    report = audited(release, tmp_path, another)

    assert report.count("disagreed") == VARIANTS
    assert "key: expected the one integer of the range that is asked for, got" in report.as_text()


def test_a_stem_that_does_not_say_which_integer_is_unchecked(tmp_path):
    release = released(tmp_path, family_of(tmp_path, MANY))

    def silent(item):
        kept = [b for b in item.stem if "Type the least integer" not in plain.blocks((b,))]
        assert len(kept) == len(item.stem) - 1
        return replace(item, stem=tuple(kept))

    report = audited(release, tmp_path, silent)

    assert report.count("unchecked") == VARIANTS
    assert "does not say which integer of the class to type" in report.as_text()


@pytest.mark.parametrize(
    ("low", "high", "r", "m"),
    [(5, None, 2, 7), (None, 5, 2, 7), (5, 11, 2, 7), (5, 8, 2, 7), (0, 30, 2, 7)],
)
def test_a_range_gives_the_integer_of_brute_force(low, high, r, m):
    every = [n for n in range(-100, 100) if n % m == r]
    inside = [n for n in every if (low is None or n >= low) and (high is None or n <= high)]

    if low is None:
        expected = inside[-1]
    elif high is None:
        expected = inside[0]
    else:
        expected = inside[0] if len(inside) == 1 else None
    assert Range(low, high).integer(r, m) == expected


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (("answer: {above: 100}", "answer: {abov: 100}"),
         "unknown field 'abov'; did you mean 'above'?"),
        (("answer: {above: 100}", "answer: {above: 1, below: 2}"),
         "answer: expected one of: above, below, between, residues; found above and below"),
        (("answer: {above: 100}", "answer: {between: [1]}"),
         "expected two bounds [low, high], found 1"),
        (("ask: the solution", "ask: how many"),
         "answer: a range goes with one of the asks 'the solution', 'an example', 'the least', "
         "'the largest', 'all solutions'; found 'how many'"),
        (("answer: {above: 100}", "answer: {above: r}"), "answer.above: unknown name 'r'"),
        (("answer: {above: 100}", "answer: {residues: symetric}"),
         "unknown residues 'symetric'; did you mean 'symmetric'?"),
    ],
)  # fmt: skip
def test_a_fault_of_a_range_has_its_place(tmp_path, change, fault):
    path = written(tmp_path, MANY.replace(*change))

    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert fault in str(raised.value)
