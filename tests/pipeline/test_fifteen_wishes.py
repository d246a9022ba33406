"""What authors wish to say, sixteen kinds of it, each a family that goes from its file to packages.

All of them stand in one pool, so that one export serves all. `tests/bench/fifteen_wishes.py` takes
ten variants of each; here it is one.
"""

from collections.abc import Mapping
from pathlib import Path

import pytest

from exporters.formats import FORMATS, write_package
from exporters.release import Release
from itembank.audit import audit_package
from itembank.audit.report import Report
from itembank.kinds.table import SIGNATURES
from itembank.pipeline import making
from itembank.spec import find_families
from itembank.spec.pool import load_pool
from itembank.spec.shelf import FamilyShelf
from tests.pipeline.test_answer_ranges import MANY
from tests.pipeline.test_conditions_on_answers import SHARED
from tests.pipeline.test_forms_apart import BOXES
from tests.pipeline.test_own_slips import SUMS
from tests.pipeline.test_parts import PARCELS
from tests.pipeline.test_same_numbers import WEEKDAYS
from tests.wishes import EGGS

SHELVES = """\
id: shelves
version: 1
title: Shelves
problem: linear
outcomes: [solve]
level: easy
parameters:
  m: {prime: [23, 61]}
  a: {integer: [3, m - 2]}
  b: {integer: [2, m - 2]}
where: [b % a != 0]
given: {congruence: a*x = b, modulus: m}
ask: the solution
forms: [integer]
"""


def asking(ask: str, form: str, more: str = "") -> str:
    text = SHELVES.replace("ask: the solution", f"ask: {ask}")
    return text.replace("forms: [integer]", f"forms: [{form}]") + more


SEVERAL = """\
id: several
version: 1
title: Several solutions
problem: linear
outcomes: [solve]
level: easy
parameters:
  d: {integer: [3, 5]}
  n: {integer: [7, 23]}
  a: {integer: [3, 12]}
  b: {integer: [2, 12]}
where: ["gcd(a, n) == 1", a < n, b < n]
given: {congruence: d*a*x = d*b, modulus: d*n}
ask: the wrong line
forms: [select one]
"""


def of_range(said: str) -> str:
    return MANY.replace("{above: 100}", said)


WISHES: Mapping[str, str] = {
    "a story in two languages": EGGS,
    "a story in the place of the question": EGGS + "formal: hidden\n",
    "the least integer above a bound": of_range("{above: 100}"),
    "the largest below one": of_range("{below: 0}"),
    "the only one between two": of_range("{between: [100, 180]}"),
    "the residue nearest to 0": of_range("{residues: symmetric}"),
    "conditions on the answer, if, values that may not exist": SHARED,
    "own slips, hints and feedback": SUMS,
    "the numbers are the point": WEEKDAYS,
    "a form that not all variants go in": BOXES,
    "entries, and what stands in for them": asking(
        "all solutions", "set", "substitutes: {set: list}\n"
    ),
    "the first wrong line": SEVERAL,
    "the next line": SEVERAL.replace("the wrong line", "the next step"),
    "the steps in order": asking("the steps", "order", "substitutes: {order: select one}\n"),
    "several questions over the same parameters": PARCELS,
    "with these parameters, without those": SHELVES,
}
"""What is wished for, and a family that says it."""

NUMBERED = "wish-{}"


def pool_of_all(folder: Path, variants: int) -> Path:
    """A pool of all wishes, each family in a file of its own."""
    entries = []
    for n, text in enumerate(WISHES.values(), 1):
        name = NUMBERED.format(n)
        first, _, rest = text.partition("\n")
        assert first.startswith("id: ")
        (folder / f"{name}.yaml").write_text(f"id: {name}\n{rest}", encoding="utf-8")
        entries.append(f"  - {{family: {name}, variants: {variants}")
    entries[-1] += ", with: [{m: 41}], without: [{m: 23}, {m: 29, a: 3}]"
    lines = "}\n".join(entries) + "}\n"
    path = folder / "pools" / "wishes.yaml"
    path.parent.mkdir()
    path.write_text(
        "id: wishes\ntitle: Wishes\ncourse: NT 120 Numbers and Codes, Alder Ford College\n"
        f"seed: alder-ford-wishes\nitems:\n{lines}",
        encoding="utf-8",
    )
    return path


def released(folder: Path, variants: int) -> Release:
    pool = pool_of_all(folder, variants)
    shelf = FamilyShelf(find_families([folder]), SIGNATURES)
    return making.released(load_pool(pool, shelf), "2027-spring")


def audits(release: Release, folder: Path) -> Mapping[str, Report]:
    """What the audit says of the packages of each format; the hidden stories were accepted."""
    stories = frozenset(i.identifier for g in release.groups for i in g.items if i.formal)
    found = {}
    for name in FORMATS:
        path = folder / f"wishes-{name}.zip"
        write_package(name, release, path)
        found[name] = audit_package(path, stories=stories)
    return found


@pytest.fixture(scope="module")
def wishes(tmp_path_factory: pytest.TempPathFactory) -> tuple[Release, Mapping[str, Report]]:
    folder = tmp_path_factory.mktemp("wishes")
    release = released(folder, variants=1)
    return release, audits(release, folder)


def test_each_wish_is_a_group_of_the_release(wishes: tuple[Release, Mapping[str, Report]]):
    release, _found = wishes

    parts = 2
    assert len(WISHES) == 16
    assert len(release.groups) == len(WISHES) - 1 + parts
    assert all(len(tuple(group.items)) == 1 for group in release.groups)


@pytest.mark.parametrize("name", FORMATS)
def test_each_wish_leaves_in_each_format(name: str, wishes: tuple[Release, Mapping[str, Report]]):
    release, found = wishes

    assert found[name].clean, found[name].as_text()[:2000]
    assert found[name].count("agreed") == len(release.groups)
