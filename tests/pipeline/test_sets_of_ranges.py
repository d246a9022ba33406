"""All solutions are asked for as integers of a range: brute force finds the key in each form."""

from dataclasses import replace

import pytest

from exporters.formats import FORMATS, write_package
from itembank.audit import audit_package
from itembank.kinds.table import SIGNATURES
from itembank.notation import plain
from itembank.pipeline.capacity import capacity
from itembank.pipeline.compose.choices import set_label
from itembank.pipeline.selection import fits
from itembank.spec import load_family
from itembank.terms import withdrawal
from itembank.values.errors import SpecError
from itembank.values.item import ListEntry, Option
from tests.pipeline.test_ends_of_ranges import audited
from tests.wishes import EGGS, family_of, leaves_in_every_format, released, written

VARIANTS = 2

ROOTS = """\
id: roots-around-zero
version: 1
title: Roots nearest to zero
problem: polynomial
outcomes: [solve-quadratics]
level: medium
parameters:
  p: {prime: [13, 43]}
  r: {integer: [2, p // 2]}
  s: {integer: [r + 1, p - 2]}
where: [r + s != p]
given: {congruence: x^2 - (r + s)*x + r*s = 0, modulus: p}
ask: all solutions
answer: {residues: symmetric}
shortcuts: allowed
coefficients: any
forms: [list, select one, select all]
"""

SYMMETRIC = {
    "{residues: symmetric}": lambda m: range(-((m - 1) // 2), m // 2 + 1),
    "{residues: 1..m}": lambda m: range(1, m + 1),
    "{between: [-20, 30]}": lambda _m: range(-20, 31),
    "{between: [0, 60]}": lambda _m: range(61),
}

OF_SYSTEM = EGGS.replace("forms: [list]", "answer: {between: [0, 200]}\nforms: [list]")


def saying(said, form="list"):
    """The family of roots that are asked for in another range, in one form."""
    text = ROOTS.replace("{residues: symmetric}", said)
    return text.replace("[list, select one, select all]", f"[{form}]")


def solving(item, integers):
    """Those of the integers that solve the quadratic of an item, by trying them."""
    left, right = item.statement[0].split(" = ")
    value, m = (int(n) for n in right.split(" mod "))
    expression = left.replace("^", "**").replace("x", "*x").replace(" *x", " x").lstrip("*")
    return tuple(n for n in integers if (eval(expression, {"x": n}) - value) % m == 0), m


def key_of(item):
    if isinstance(item.response, ListEntry):
        return item.response.values
    return tuple(sorted(n for o in item.response.options if o.correct for n in o.residues))


@pytest.mark.parametrize("said", SYMMETRIC)
@pytest.mark.parametrize("form", ["list", "select one", "select all"])
def test_the_key_is_what_brute_force_finds_in_the_range_and_leaves(tmp_path, said, form):
    release = released(tmp_path, family_of(tmp_path, saying(said, form)), variants=VARIANTS)

    for item in release.groups[0].items:
        _found, m = solving(item, ())
        right, _m = solving(item, SYMMETRIC[said](m))
        assert key_of(item) == right
        assert all(str(n) in plain.blocks(item.solution).replace("−", "-") for n in right)
        options = getattr(item.response, "options", ())
        assert all(n in SYMMETRIC[said](m) for o in options for n in o.residues)
    assert audited(release, tmp_path, lambda item: item).count("agreed") == VARIANTS


@pytest.mark.parametrize("text", [ROOTS, OF_SYSTEM], ids=["residues", "between"])
def test_it_leaves_in_every_format(tmp_path, text):
    release = released(tmp_path, family_of(tmp_path, text), variants=VARIANTS)

    found = leaves_in_every_format(release, tmp_path)
    assert len(found) == len(FORMATS)
    assert {report.count("agreed") for report in found.values()} == {VARIANTS}


@pytest.mark.parametrize("language", ["de", "es"])
@pytest.mark.parametrize("form", ["list", "select one", "select all"])
def test_in_other_languages_it_leaves_too(tmp_path, language, form):
    family = family_of(tmp_path, saying("{residues: symmetric}", form))
    release = released(tmp_path, family, languages=f"language: {language}", variants=VARIANTS)

    assert audited(release, tmp_path, lambda item: item).count("agreed") == VARIANTS


def test_a_range_without_a_solution_has_an_answer_too(tmp_path):
    text = OF_SYSTEM.replace("[0, 200]", "[0, 30]")
    release = released(tmp_path, family_of(tmp_path, text), variants=8)
    assert audited(release, tmp_path, lambda item: item).count("agreed") == 8

    empty = [item for item in release.groups[0].items if not item.response.values]
    assert empty
    assert all("there is no solution" in plain.blocks(item.solution[-1:]) for item in empty)


INDICES = """\
id: roots-by-indices-around-zero
version: 1
title: Roots by indices
problem: power_by_indices
outcomes: [indices]
level: medium
parameters:
  p: {prime: [11, 23]}
  g: {integer: [2, p - 2]}
  k: {integer: [3, 7]}
  e: {integer: [2, p - 2]}
where: ["order(g, p) == p - 1"]
given: {factor: 1, exponent: k, value: e^k % p, base: g, modulus: p}
ask: all solutions
answer: {residues: symmetric}
shortcuts: allowed
forms: [list]
"""


def test_a_kind_with_a_modulus_of_indices_has_a_range_too(tmp_path):
    release = released(tmp_path, family_of(tmp_path, INDICES), variants=VARIANTS)

    for item in release.groups[0].items:
        p, values = item.response.modulus, item.response.values
        assert values and all(-p / 2 < n <= p / 2 for n in values)
    assert audited(release, tmp_path, lambda item: item).count("agreed") == VARIANTS


def test_bounds_of_a_system_and_a_range_do_not_go_together(tmp_path):
    family = family_of(tmp_path, OF_SYSTEM.replace("modulus: p*q", "modulus: 2*p*q"))

    rejected = capacity(family, fits(family)).rejected
    own = "answer: the system has bounds of its own beside the range"
    assert rejected.keys() == {own, "fails 'a != b'"}


def test_too_many_in_the_range_are_passed_over_and_counted(tmp_path):
    family = family_of(tmp_path, OF_SYSTEM.replace("[0, 200]", "[0, 900]"))

    rejected = capacity(family, fits(family)).rejected
    assert any("integers of the range solve it, expected at most 12" in why for why in rejected)


PARTS = """\
id: three-of-one-system
version: 1
title: Three questions of one system
problem: system
outcomes: [solve]
level: easy
parameters:
  p: {prime: [5, 13]}
  q: {prime: [7, 19], except: [p]}
  a: {integer: [1, p - 1]}
  b: {integer: [1, q - 1]}
where: [p < q, a != b]
given: {congruences: [x = a, x = b], moduli: [p, q]}
guessing: one part has a solution where another has it
parts:
  - {ask: the solution, forms: [integer]}
  - {ask: the least, answer: {above: 300}, forms: [integer]}
  - {ask: all solutions, answer: {between: [0, 300]}, forms: [list]}
"""


def test_parts_of_one_question_may_ask_for_different_ranges(tmp_path):
    release = released(tmp_path, family_of(tmp_path, PARTS), variants=VARIANTS)
    residues, least, lists = (tuple(group.items) for group in release.groups)

    for one, beyond, several in zip(residues, least, lists, strict=True):
        r, m = one.response.value, one.response.modulus
        assert beyond.response.value == next(n for n in range(301, 301 + m) if n % m == r)
        assert several.response.values == tuple(n for n in range(301) if n % m == r)
    write_package("qti21", release, tmp_path / "p.zip")
    report = audit_package(tmp_path / "p.zip")
    assert report.clean, report.as_text()


# ------------------------------------------------------------ wrong keys, wrong stems


def with_values(item, values):
    """The item with another list for its key."""
    return replace(item, response=replace(item.response, values=tuple(values)), feedback=())


@pytest.mark.parametrize(
    "wrong",
    [
        lambda values, m: tuple(sorted(n % m for n in values)),
        lambda values, _m: values[1:],
        lambda values, m: (*values, values[-1] + m),
    ],
    ids=["least residues", "one missing", "one beyond"],
)
def test_another_list_is_not_the_key(tmp_path, wrong):
    text = saying("{residues: symmetric}").replace("where: [", 'where: ["min(answer) < 0", ')
    release = released(tmp_path, family_of(tmp_path, text), variants=VARIANTS)

    def another(item):
        return with_values(item, wrong(item.response.values, item.response.modulus))

    assert audited(release, tmp_path, another).count("disagreed") == VARIANTS


def test_an_option_beyond_the_range_is_found(tmp_path):
    family = family_of(tmp_path, saying("{residues: symmetric}", "select one"))
    release = released(tmp_path, family, variants=VARIANTS)

    def beyond(item):
        m = solving(item, ())[1]
        options = tuple(o if o.correct else moved(o, m) for o in item.response.options)
        return replace(item, response=replace(item.response, options=options), feedback=())

    report = audited(release, tmp_path, beyond)
    assert report.count("disagreed") == VARIANTS
    assert "expected numbers from -" in report.as_text()


def moved(option: Option, m: int) -> Option:
    """The option with each number a period further."""
    residues = tuple(n + m for n in option.residues if isinstance(n, int))
    label = set_label(residues) if residues else option.label
    return replace(option, residues=residues, label=label)


def test_a_stem_that_names_another_range_is_disagreed(tmp_path):
    release = released(tmp_path, family_of(tmp_path, OF_SYSTEM), variants=VARIANTS)
    other = released(
        tmp_path, family_of(tmp_path, OF_SYSTEM.replace("[0, 200]", "[0, 400]")), variants=VARIANTS
    )
    stems = {item.statement: item.stem for item in other.groups[0].items}

    def misread(item):
        return replace(item, stem=stems.get(item.statement, ()))

    assert audited(release, tmp_path, misread).count("agreed") == 0


def test_a_withdrawn_one_is_not_told_to_be_the_residues(tmp_path):
    text = saying("{residues: symmetric}").replace("where: [", 'where: ["min(answer) < 0", ')
    item = released(tmp_path, family_of(tmp_path, text), variants=1).groups[0].items[0]

    found = withdrawal.question(item, (), ())

    assert found.right_key is None
    assert "was to lie is not in its statement" in found.why_none


def test_a_key_that_lacks_a_solution_is_still_called_wrong(tmp_path):
    text = saying("{residues: symmetric}").replace("answer: {residues: symmetric}\n", "")
    item = released(tmp_path, family_of(tmp_path, text), variants=1).groups[0].items[0]
    wrong = with_values(item, item.response.values[1:])

    assert withdrawal.question(wrong, (), ()).right_key == str([*item.response.values])


def test_a_condition_counts_what_lies_in_the_range(tmp_path):
    text = OF_SYSTEM.replace("  - a != b\n", "  - a != b\n  - count(answer) == 2\n")
    release = released(tmp_path, family_of(tmp_path, text), variants=VARIANTS)

    assert all(len(item.response.values) == 2 for item in release.groups[0].items)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (("answer: {residues: symmetric}", "answer: {above: 100}"),
         "answer: the ask 'all solutions' goes with `between` or `residues`, found `above`: "
         "without two bounds there is no end of them"),
        (("select one, select all]", "set]"),
         "forms: integers of a range go in the forms select all, select one, list; found 'set'"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused_with_its_reason(tmp_path, change, fault):
    path = written(tmp_path, ROOTS.replace(*change))

    with pytest.raises(SpecError) as raised:
        load_family(path, SIGNATURES)

    assert fault in str(raised.value)
