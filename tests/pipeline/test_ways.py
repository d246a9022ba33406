"""Questions about the way to an answer, kind by kind: true lines, one order, audited as it is."""

import re
from collections import Counter
from dataclasses import replace
from functools import cache
from math import factorial, gcd, prod

import pytest
import sympy

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.forms import form_of
from itembank.notation import plain
from itembank.pipeline.selection import item_of
from itembank.pipeline.variants import Variant
from itembank.spec import Family, PoolEntry
from itembank.values.item import Guided, Item, ListEntry, MatchPairs, PutInOrder
from itembank.values.vocabulary import FORMATS
from tests.shipped import FAMILIES, drawn

ORDERED = [name for name in FAMILIES if name.endswith("steps-in-order")]
STAGED = {
    "linear-stage-by-stage": 4,
    "gcd-stage-by-stage": 3,
    "inverse-stage-by-stage": 3,
    "root-stage-by-stage": 3,
    "order-stage-by-stage": 3,
    "power-stage-by-stage": 3,
    "system-stage-by-stage": 4,
    "wilson-stage-by-stage": 3,
    "stage-by-stage": 5,
    "singular-stage-by-stage": 4,
}
"""The points of each, one for each stage."""
MATCHED = ["powers-matched", "inverses-matched", "values-of-phi-matched"]

BOUND = 0.42
"""The largest share of an arrangement or a stage's answer: a little above 35 in 100, for three
values that come equally often meet it in a sample of 100."""


@cache
def family(name: str) -> Family:
    return FAMILIES[name]


def variants(name: str, n: int) -> list[Variant]:
    return drawn(name, n, "ways")


@cache
def item_in(name: str, form: str, place: int) -> Item:
    points = STAGED.get(name, 1) if form == "guided" else 1
    entry = PoolEntry.model_construct(
        family=family(name), variants=1, choose=1, points=points, form=form
    )
    return item_of(variants(name, place + 1)[place], entry)


def items(name: str, form: str, n: int) -> list[Item]:
    return [item_in(name, form, place) for place in range(len(variants(name, n)))]


# ------------------------------------------------------------ what is told is so


def phi(n):
    return int(sympy.totient(n))


def evaluated(text):
    """The value of a formula of numbers, as Python works it out."""
    powers = re.sub("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda s: "**" + raised(s[1]), text)
    powers = re.sub(r"(\d+)!", r"factorial(\1)", powers)
    python = powers.replace("·", "*").replace("−", "-").replace("^", "**").replace("φ", "phi")
    assert re.fullmatch(r"(?:phi|gcd|factorial|[\d\s*+(),-])+", python), text
    return eval(python, {"phi": phi, "gcd": gcd, "factorial": factorial})


def reduced(value, m):
    """A number, or each of several, modulo m if there is one."""
    if isinstance(value, tuple):
        return tuple(reduced(v, m) for v in value)
    return value % int(m) if m else value


def raised(digits):
    return digits.translate(str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789"))


def claims(line):
    """(the sides, the modulus or None) of each relation between numbers in a line."""
    formula = r"(?:φ|gcd)?[\d(−][\d\s·+()^−,!⁰¹²³⁴⁵⁶⁷⁸⁹]*"
    chain = rf"({formula}(?:[≡=] ?{formula})+)"
    for part in re.split(r" and |, remainder|, (?=\d+ = )|, so |: ", line.rstrip(".")):
        match, m = re.search(chain, part), re.search(r"\(mod (\d+)\)", part)
        if match:
            yield re.split("[≡=]", match[1]), m and m[1]


def test_the_relations_between_numbers_in_every_line_are_true():
    found = 0
    for name in ORDERED:
        if name == "symbol-steps-in-order":
            continue
        for item in items(name, "order", 40):
            for line in item.response.lines:
                for sides, m in claims(plain.inlines(line.label)):
                    values = [evaluated(re.sub(r"\((?:mod.*)?\s*$", "", side)) for side in sides]
                    found += 1
                    assert len({reduced(v, m) for v in values}) == 1, line
    assert found > 800


def holds(line):
    """Whether every relation between numbers in a line is true."""
    for sides, m in claims(line):
        values = [evaluated(re.sub(r"\((?:mod.*)?\s*$", "", side)) for side in sides]
        if len({reduced(v, m) for v in values}) > 1:
            return False
    return True


@pytest.mark.parametrize(
    "name",
    ["inverse-steps-among-others", "power-steps-among-others", "order-steps-among-others"],
)
def test_the_lines_that_do_not_belong_are_those_with_a_relation_that_is_untrue(name):
    for item in items(name, "order", 20):
        untrue = [
            line.identifier for line in item.response.lines if not holds(plain.inlines(line.label))
        ]
        assert tuple(untrue) == item.response.spare


def test_symbols_in_lines_have_the_values_that_they_are_given():
    def value(text):
        sign, text = (-1, text[1:]) if text.startswith("−") else (1, text)
        if "/" not in text:
            return sign * int(text)
        a, n = map(int, text.strip("()").replace("−", "-").split("/"))
        return sign * sympy.jacobi_symbol(a % n, n)

    for item in items("symbol-steps-in-order", "order", 60):
        for line in item.response.lines:
            _words, _colon, formula = plain.inlines(line.label).rstrip(".").rpartition(": ")
            left, right = formula.split(" = ")
            assert value(left) == value(right), formula


def test_values_matched_are_those_of_the_numbers():
    for item in items("powers-matched", "match", 40):
        (statement,) = item.statement
        a, m = map(int, re.findall(r"\d+", statement))
        for e, value in pairs(item):
            assert pow(a, e, m) == value
    for item in items("inverses-matched", "match", 30):
        _a, m = map(int, re.findall(r"\d+", item.statement[0]))
        assert all(a * b % m == 1 for a, b in pairs(item))
    for item in items("values-of-phi-matched", "match", 40):
        (n,) = map(int, re.findall(r"\d+", item.statement[0]))
        assert all(n % d == 0 and phi(d) == value for d, value in pairs(item))


def pairs(item):
    for pair in item.response.pairs:
        source, target = pair.split()
        yield int(source.removeprefix("number-")), int(target.removeprefix("value-"))


def test_a_wrong_value_is_offered_and_no_source_is_told_by_the_rest():
    for name in MATCHED:
        for item in items(name, "match", 30):
            response = item.response
            assert isinstance(response, MatchPairs)
            assert len(response.targets) > len({pair.split()[1] for pair in response.pairs})
            (slip,) = item.feedback
            assert slip.response != response.pairs


# ------------------------------------------------------------ no answer that comes too often


@pytest.mark.parametrize("name", ORDERED)
def test_no_order_of_steps_comes_too_often(name):
    found = items(name, "order", 100)
    keys = Counter(item.response.order for item in found)
    shown = Counter(
        tuple(item.response.order.index(line.identifier) for line in item.response.lines)
        for item in found
    )

    assert max(keys.values()) <= BOUND * 100 and max(shown.values()) <= BOUND * 100


@pytest.mark.parametrize("name", STAGED)
def test_no_answer_of_a_stage_comes_too_often(name):
    found = items(name, "guided", 100)
    assert {len(item.response.stages) for item in found} == {STAGED[name]}
    for answers in zip(*(form_of(item.response).key(item.response) for item in found), strict=True):
        alike = Counter(re.sub(r"^stage-\d+-", "", answer) for answer in answers)
        assert max(alike.values()) <= BOUND * 100


@pytest.mark.parametrize("name", MATCHED)
def test_no_match_comes_too_often(name):
    found = items(name, "match", 60)

    assert max(Counter(item.response.pairs for item in found).values()) <= 6


# ------------------------------------------------------------ audited, and tampered with


def audited(path, format_, found):
    groups = tuple(
        Group(
            family=f"{item.provenance.family}-{i}", title=item.title, items=(item,), choose=1,
            points=item.scoring.points,
        )
        for i, item in enumerate(found)
    )  # fmt: skip
    release = Release(
        pool_id="ways", title="Ways", course="NT 210", term="2027-spring", language="en",
        groups=groups,
    )  # fmt: skip
    write_package(format_, release, path)
    return audit_package(path)


def one_of_each():
    forms = {**dict.fromkeys(ORDERED, "order"), **dict.fromkeys(STAGED, "guided")}
    forms |= dict.fromkeys(MATCHED, "match")
    return [item for name, form in forms.items() for item in items(name, form, 3)]


@pytest.mark.parametrize("format_", FORMATS)
def test_every_way_is_agreed_to_in_every_format(format_, tmp_path):
    found = one_of_each()
    report = audited(tmp_path / "ways.zip", format_, found)

    assert report.clean, report.as_text()
    assert report.count("agreed") == len(found)


def refused(report: Report, n: int) -> bool:
    return report.count("agreed") == 0 and report.count("disagreed") == n


@pytest.mark.parametrize("format_", ["qti21", "qti30"])
def test_two_lines_exchanged_in_the_key_are_found(format_, tmp_path):
    changed = []
    for name in ORDERED:
        for item in items(name, "order", 4):
            first, second, *others = item.response.order
            response = replace(item.response, order=(second, first, *others))
            changed.append(replace(item, response=response, feedback=()))

    assert refused(audited(tmp_path / "order.zip", format_, changed), len(changed))


@pytest.mark.parametrize("format_", ["qti21", "qti30"])
def test_another_key_in_any_stage_is_found(format_, tmp_path):
    changed = []
    for name in STAGED:
        for item in items(name, "guided", 2):
            for i, stage in enumerate(item.response.stages):
                if isinstance(stage.response, ListEntry):
                    first, *others = stage.response.values
                    entry = replace(stage.response, values=(first + 1, *(v + 2 for v in others)))
                    stages = (*item.response.stages[:i], replace(stage, response=entry),
                              *item.response.stages[i + 1 :])  # fmt: skip
                    changed.append(replace(item, response=Guided(stages=stages), feedback=()))

    assert refused(audited(tmp_path / "stages.zip", format_, changed), len(changed))


@pytest.mark.parametrize("format_", ["qti21", "qti30"])
def test_two_values_exchanged_are_found(format_, tmp_path):
    changed = []
    for name in MATCHED:
        for item in items(name, "match", 4):
            (a, x), (b, y) = next(
                (p.split(), q.split())
                for p in item.response.pairs
                for q in item.response.pairs
                if p.split()[1] != q.split()[1]
            )
            swapped = {a: y, b: x}
            keys = tuple(
                f"{s} {swapped.get(s, t)}" for s, t in (p.split() for p in item.response.pairs)
            )
            changed.append(replace(item, response=replace(item.response, pairs=keys), feedback=()))

    assert refused(audited(tmp_path / "match.zip", format_, changed), len(changed))


def with_number_changed(label):
    """The line with its last number one larger."""
    from itembank.notation.tree import Number

    def changed(node):
        if isinstance(node, Number):
            return Number(node.value + 1)
        if isinstance(node, tuple):
            for i in reversed(range(len(node))):
                new = changed(node[i])
                if new != node[i]:
                    return (*node[:i], new, *node[i + 1 :])
            return node
        if hasattr(node, "__dataclass_fields__"):
            for name in reversed(list(node.__dataclass_fields__)):
                new = changed(getattr(node, name))
                if new != getattr(node, name):
                    return replace(node, **{name: new})
        return node

    return changed(label)


def test_a_line_with_another_number_is_never_agreed_to(tmp_path):
    changed = []
    for name in ORDERED:
        for item in items(name, "order", 3):
            for i, line in enumerate(item.response.lines):
                label = with_number_changed(line.label)
                if label == line.label:
                    continue
                lines = (*item.response.lines[:i], replace(line, label=label),
                         *item.response.lines[i + 1 :])  # fmt: skip
                place = replace(item.provenance, index=len(changed))
                response = replace(item.response, lines=lines)
                changed.append(replace(item, response=response, provenance=place))
    report = audited(tmp_path / "lines.zip", "qti21", changed)

    assert len(changed) > 90 and report.count("agreed") == 0


def test_the_audit_is_not_told_of_the_order_by_the_names_of_lines(tmp_path):
    """A line and its name exchanged with another: the words alone count."""
    changed = []
    for name in ORDERED:
        (item,) = items(name, "order", 1)
        first, second, *others = item.response.lines
        lines = (replace(first, label=second.label), replace(second, label=first.label), *others)
        changed.append(replace(item, response=replace(item.response, lines=lines), feedback=()))

    assert refused(audited(tmp_path / "names.zip", "qti21", changed), len(changed))


def test_the_product_of_the_outline_of_phi_is_phi():
    for item in items("phi-steps-in-order", "order", 30):
        (line,) = (
            x for x in item.response.lines if x.identifier in ("step-brackets", "step-minus-one")
        )
        (n,) = map(int, re.findall(r"\d+", item.statement[0]))
        assert isinstance(item.response, PutInOrder)
        factors = plain.inlines(line.label).rpartition(": ")[2].rstrip(".").split(" · ")
        assert prod(map(int, factors)) == phi(n)
