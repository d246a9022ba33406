"""A union of classes told with "and" is a finding; conditions that hold together are none."""

import re
import zipfile
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Group, Release
from itembank.audit import audit_package
from itembank.audit.phrases import phrases_of
from itembank.audit.unions import together
from itembank.notation import plain
from itembank.pipeline.selection import fits, item_of
from itembank.pipeline.variants import Stream
from itembank.spec import PoolEntry
from tests.kinds.telling import feedback_of, rendered
from tests.shipped import FAMILIES, drawn

UNIONS = phrases_of("en").unions


OF_CLASSES = [
    name
    for name, path in FAMILIES.paths.items()
    if re.search(
        r"^problem: (polynomial|power_root|lifting_step|exponential)$", path.read_text(), re.M
    )
]
"""The families whose solutions may be classes of several moduli."""


@pytest.mark.parametrize(
    "text",
    [
        "Answer. x ≡ 0 (mod 3) and x ≡ 5 (mod 9), that is x ≡ 0, 3, 5, 6 (mod 9).",
        "The solutions are x ≡ 1, 7 (mod 8) and x ≡ 8 (mod 16).",
        "x = 0 mod 3 and x = 5 mod 9",
        "x ≡ 0 (mod 3), x ≡ 5 (mod 9): four solutions",
        "x ≡ 0 (mod 3) and 5 (mod 9)",
        "x ≡ 1 (mod 3²⁰) and x ≡ 4 (mod 3^38)",
        "{0, 1 (mod 4)}: t ≡ 0 (mod 4) and t ≡ 1 (mod 4)",
    ],
)
def test_classes_without_an_integer_in_common_are_not_told_with_and(text):
    assert list(together(text, UNIONS))


@pytest.mark.parametrize(
    "text",
    [
        "So x ≡ a (mod 9) and x ≡ b (mod 13) together give x ≡ 91a + 27b (mod 117).",
        "So x ≡ 2 (mod 9) and x ≡ 5 (mod 13) together give x ≡ 83 (mod 117).",
        "x ≡ 1 (mod 4) and x ≡ 5 (mod 8): the second says more",
        "x ≡ 0 (mod 3) or x ≡ 5 (mod 9)",
        "x ≡ 0 (mod 27), x ≡ 1 (mod 9) or x ≡ 4 (mod 9)",
        "x ≡ 1 (mod 2) and y ≡ 0 (mod 2)",
        "2x ≡ 1 (mod 3) and x ≡ 2 (mod 9)",
        "x ≡ 3 (mod 4) and x ≡ 2 (mod 6) contradict each other.",
        "No integer has x ≡ 3 (mod 4) and x ≡ 2 (mod 6).",
        "x ≡ 1, 13 (mod 36) make up x ≡ 1 (mod 12); x ≡ 4, 16 (mod 36) make up x ≡ 4 (mod 12).",
    ],
)
def test_conditions_that_hold_together_and_alternatives_are_let_be(text):
    assert not list(together(text.lower(), UNIONS))


@pytest.mark.parametrize("name", OF_CLASSES)
def test_no_shipped_family_tells_a_union_as_a_conjunction(name):
    """Working and feedback of ten variants; half of the singular ones have mixed classes."""
    for variant in drawn(name, 10):
        problem, solution = variant.problem, variant.solution
        told = [rendered(problem.worked(solution)), *map(feedback_of, problem.slips(solution))]
        for blocks in told:
            paragraphs = plain.blocks(blocks).split("\n\n")
            assert not [w for p in paragraphs for w in together(" ".join(p.split()), UNIONS)]


# ------------------------------------------------------------ in packages


def release() -> Release:
    """One item whose solutions are classes of two moduli."""
    family = FAMILIES["singular-root"]
    variant = next(
        v
        for v in Stream(family, "unions", fits(family))
        if len({d for _r, d in v.solution.answer.classes()}) > 1
    )
    entry = PoolEntry.model_construct(
        family=family, variants=1, choose=1, points=1, form=family.forms[0]
    )
    group = Group(
        family=family.id, title=family.title, items=(item_of(variant, entry),), choose=1, points=1
    )
    return Release(
        pool_id="unions", title="Unions", course="NT 210", term="2027-spring", language="en",
        groups=(group,),
    )  # fmt: skip


BETWEEN_FORMULAS = re.compile(r"(\)|</math>|&lt;/math&gt;|</span>) or (?=\\\(|&lt;|<|x)")


def with_and(package: Path, target: Path) -> None:
    """A copy in which the working says "and" between classes."""
    with zipfile.ZipFile(package) as source, zipfile.ZipFile(target, "w") as copy:
        for name in source.namelist():
            text = source.read(name).decode()
            copy.writestr(name, BETWEEN_FORMULAS.sub(r"\1 and ", text))


@pytest.mark.parametrize("format", FORMATS)
def test_a_package_that_says_and_is_a_finding_in_every_dialect(tmp_path, format):
    for math in FORMATS[format].abilities.mathematics:
        package, changed = tmp_path / f"{math}.zip", tmp_path / f"{math}-and.zip"
        write_package(format, release(), package, math)
        assert audit_package(package).clean

        with_and(package, changed)

        findings = audit_package(changed).findings
        assert findings
        assert all("expected “or” between classes that share no integer" in f for f in findings)
