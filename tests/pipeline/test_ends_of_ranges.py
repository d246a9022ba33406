"""The least, the largest, integer of a range is asked for: brute force finds the key."""

import zipfile
from dataclasses import replace

import pytest

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.notation import plain
from itembank.spec import load_family
from itembank.terms import withdrawal
from itembank.values.errors import SpecError
from tests.pipeline.test_answer_ranges import modulus, solving
from tests.wishes import EGGS, family_of, leaves_in_every_format, released, written

VARIANTS = 2

SQUARES = """\
id: squares-beyond
version: 1
title: Squares beyond the residues
problem: power_root
outcomes: [solve-quadratics]
level: medium
parameters:
  p: {prime: [11, 43]}
  r: {integer: [2, p // 2]}
where: [r^2 > p]
given: {congruence: x^2 = r^2 % p, modulus: p}
ask: the least
answer: {above: 100}
shortcuts: allowed
forms: [integer]
"""

OF_SYSTEM = EGGS.replace("forms: [list]", "forms: [integer]")

LEAST_OF_SYSTEM = OF_SYSTEM.replace("ask: all solutions", "ask: the least\nanswer: {above: 100}")

AS_WISHED = LEAST_OF_SYSTEM.replace(", modulus: p*q}", "}")
"""Without a modulus of the solutions, which is that of the moduli."""


def asking(ask, said):
    """The family of squares that asks for an end of another range."""
    return SQUARES.replace("ask: the least\nanswer: {above: 100}", f"ask: {ask}\nanswer: {said}")


RANGES = {
    ("the least", "{above: 100}"): lambda right: min(n for n in right if n > 100),
    ("the least", "{above: -60}"): lambda right: min(n for n in right if n > -60),
    ("the least", "{between: [0, 180]}"): lambda right: min(n for n in right if 0 <= n <= 180),
    ("the least", "{between: [p, 3*p]}"): None,
    ("the largest", "{below: 0}"): lambda right: max(n for n in right if n < 0),
    ("the largest", "{between: [0, 180]}"): lambda right: max(n for n in right if 0 <= n <= 180),
}


def squares(item):
    """The integers whose square is what the item says, by trying them; and its modulus."""
    left, m = item.statement[0].split(" mod ")
    power = int(left.removeprefix("x^2 = "))
    return [n for n in range(-1000, 1000) if (n * n - power) % int(m) == 0], int(m)


@pytest.mark.parametrize(("ask", "said"), RANGES)
def test_the_key_is_the_end_of_the_range_that_brute_force_finds_and_leaves(tmp_path, ask, said):
    release = released(tmp_path, family_of(tmp_path, asking(ask, said)), variants=VARIANTS)

    for item in release.groups[0].items:
        right, m = squares(item)
        find = RANGES[ask, said] or (lambda found, m=m: min(n for n in found if m <= n <= 3 * m))
        assert item.response.value == find(right)
        assert str(item.response.value) in plain.blocks(item.solution[-1:]).replace("−", "-")
    assert audited(release, tmp_path, lambda item: item).count("agreed") == VARIANTS


def test_the_least_of_a_system_is_as_its_story_asks_for_it(tmp_path):
    release = released(tmp_path, family_of(tmp_path, LEAST_OF_SYSTEM), variants=VARIANTS)

    for item in release.groups[0].items:
        assert item.response.value == min(solving(item, range(101, 1000)))
        assert "Find the least integer greater than 100 that solves the system" in (
            plain.blocks(item.stem)
        )
        overlooked = [f for f in item.feedback if "range-overlooked" in f.slips]
        assert [f.response for f in overlooked] == [
            (n,) for n in solving(item, range(modulus(item))) if n <= 100
        ]
    found = leaves_in_every_format(release, tmp_path)
    assert len(found) == len(FORMATS)
    assert {report.count("agreed") for report in found.values()} == {VARIANTS}


def test_a_story_in_place_of_the_question_leaves_the_range_to_the_instruction(tmp_path):
    family = family_of(tmp_path, LEAST_OF_SYSTEM + "formal: hidden\n")
    release = released(tmp_path, family, variants=VARIANTS)
    items = release.groups[0].items
    write_package("qti21", release, tmp_path / "p.zip")

    for item in items:
        assert "Type the least integer greater than 100 that solves it." in plain.blocks(item.stem)
        assert "Find the least integer greater than 100" in plain.blocks(item.formal)
    told = audit_package(tmp_path / "p.zip", stories=frozenset(i.identifier for i in items))
    assert told.count("agreed") == len(items)


@pytest.mark.parametrize("language", ["de", "es"])
@pytest.mark.parametrize(
    "text",
    [
        LEAST_OF_SYSTEM,
        asking("the largest", "{below: 0}"),
        asking("the largest", "{between: [-20, 180]}"),
    ],
)
def test_in_other_languages_it_leaves_too(tmp_path, language, text):
    text = text.replace("  de: >", f"  {language}: >")
    release = released(
        tmp_path, family_of(tmp_path, text), languages=f"language: {language}", variants=VARIANTS
    )

    assert audited(release, tmp_path, lambda item: item).count("agreed") == VARIANTS


def test_the_modulus_of_a_system_may_be_left_out(tmp_path):
    as_wished, as_before = (
        released(tmp_path, family_of(tmp_path, text), variants=VARIANTS).groups[0].items
        for text in (AS_WISHED, LEAST_OF_SYSTEM)
    )

    assert AS_WISHED != LEAST_OF_SYSTEM
    assert [i.statement for i in as_wished] == [i.statement for i in as_before]
    assert [i.response for i in as_wished] == [i.response for i in as_before]
    unused = written(
        tmp_path, AS_WISHED.replace("  b: {integer", "  c: {integer: [1, 3]}\n  b: {integer")
    )
    with pytest.raises(SpecError, match="'c' is never used"):
        load_family(unused, SIGNATURES)


def test_a_withdrawn_one_is_not_told_to_be_the_residue(tmp_path):
    item = released(tmp_path, family_of(tmp_path, SQUARES), variants=1).groups[0].items[0]

    found = withdrawal.question(item, (), ())

    assert found.right_key is None
    assert "was to lie is not in its statement" in found.why_none


def test_a_condition_sees_the_integer_that_is_asked_for(tmp_path):
    text = SQUARES.replace("where: [r^2 > p]", 'where: [r^2 > p, "answer in 101..120"]')
    release = released(tmp_path, family_of(tmp_path, text), variants=VARIANTS)

    assert all(100 < item.response.value <= 120 for item in release.groups[0].items)


def audited(release, folder, change):
    """The audit of the release with each item changed."""
    group = replace(release.groups[0], items=tuple(map(change, release.groups[0].items)))
    write_package("qti21", replace(release, groups=(group,)), folder / "p.zip")
    return audit_package(folder / "p.zip")


@pytest.mark.parametrize(("ask", "said"), [*RANGES][2:5])
@pytest.mark.parametrize("way", [-1, 1])
def test_the_next_integer_that_solves_is_not_the_key(tmp_path, ask, said, way):
    release = released(tmp_path, family_of(tmp_path, asking(ask, said)), variants=VARIANTS)

    def another(item):
        right, _m = squares(item)
        value = right[right.index(item.response.value) + way]
        return replace(item, response=replace(item.response, value=value), feedback=())

    assert audited(release, tmp_path, another).count("disagreed") == VARIANTS


@pytest.mark.parametrize(
    ("old", "new"),
    [("greater than 100", "greater than 90"), ("least", "largest"), ("greater", "less")],
)
def test_a_stem_that_asks_for_another_end_does_not_leave(tmp_path, old, new):
    release = released(tmp_path, family_of(tmp_path, SQUARES), variants=VARIANTS)
    path = tmp_path / "p.zip"
    write_package("qti21", release, path)

    report = changed(path, old, new)

    assert report.count("agreed") < len(report.items)


def changed(path, old, new):
    """The audit of a package with other words in its stems."""
    with zipfile.ZipFile(path) as package:
        held = {info: package.read(info) for info in package.infolist()}
    with zipfile.ZipFile(path, "w") as package:
        for info, content in held.items():
            text = content.decode()
            if old == "greater than 100":
                text = text.replace("<mn>100</mn>", "<mn>90</mn>")
            else:
                text = text.replace(old, new)
            package.writestr(info, text)
    return audit_package(path)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (("answer: {above: 100}", "answer: {below: 0}"),
         "answer: the ask 'the least' goes with `above` or `between`, found `below`: below a bound "
         "there is no least, and of residues write `between`"),
        (("ask: the least", "ask: the largest"),
         "answer: the ask 'the largest' goes with `below` or `between`, found `above`: above a "
         "bound there is no largest, and of residues write `between`"),
        (("answer: {above: 100}", "answer: {residues: symmetric}"),
         "goes with `above` or `between`, found `residues`"),
    ],
)  # fmt: skip
def test_an_end_that_there_is_not_is_refused_with_its_reason(tmp_path, change, fault):
    path = written(tmp_path, SQUARES.replace(*change))

    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert fault in str(raised.value)


def test_a_kind_of_residues_alone_has_no_range(tmp_path):
    text = """\
id: roots-beyond
version: 1
title: Roots
problem: primitive_roots
outcomes: [orders]
level: medium
parameters:
  p: {prime: [11, 43]}
given: {modulus: p}
ask: the least
answer: {above: 100}
forms: [integer]
"""
    with pytest.raises(SpecError, match="of the kind 'primitive_roots' residues alone"):
        load_family(written(tmp_path, text), SIGNATURES)
