"""What guessers score on a package is what they score on the items that went into it.

Two readers that share no code, of items and of packages, must show a student the same question.
"""

from dataclasses import replace
from itertools import islice

import pytest
from click.testing import CliRunner

from exporters.formats import write_package
from exporters.release import Group, Release
from itembank import cli
from itembank.audit.guessed import guessed
from itembank.guessing.pool import figures_of_groups
from itembank.pipeline.selection import entry, fits, item_of
from itembank.pipeline.titles import of_group
from itembank.pipeline.variants import Stream
from tests.shipped import offering

CONGRUENCES = ("polynomial", "linear", "system", "power_root", "exponential", "linear_pair")
"""Kinds whose formulas stand on lines of their own, and so are the same in every format."""

EACH = 4

ASKED = [
    pair
    for form in ("select all", "select one", "list", "solvable or not", "integer")
    for pair in [(f, form) for f, _ in offering(form, 99) if f.kind in CONGRUENCES][:EACH]
]

FIGURES = ("best", "once", "small", "places", "commonest", "true", "sizes", "settled", "chance")


@pytest.fixture(scope="module")
def release() -> Release:
    groups = []
    for family, form in ASKED:
        name = family.title
        drawn = islice(Stream(family, "guessed", fits(family)), 6)
        items = tuple(item_of(v, entry(family, form, 1)) for v in drawn)
        groups.append(Group(family=name, title=name, items=items, choose=1, points=1))
    return Release(
        pool_id="guessed",
        title="Guessed",
        course="Course",
        term="term",
        language="en",
        groups=tuple(groups),
    )


@pytest.mark.parametrize("format_", ["qti12", "cc13", "qti21", "qti22", "qti30"])
def test_a_package_is_guessed_as_its_items_are(format_, release, tmp_path):
    path = tmp_path / "guessed.zip"
    write_package(format_, release, path)

    of_items = list(figures_of_groups((g.family, g.items) for g in release.groups).values())
    of_package = [found.figures for found in guessed(path)]

    assert [f.form for f in of_package] == [form for _family, form in ASKED]
    for found, expected, (family, _form) in zip(of_package, of_items, ASKED, strict=True):
        for figure in FIGURES:
            assert getattr(found, figure) == getattr(expected, figure), (family.id, figure)


def test_the_figures_stand_below_the_findings_on_writing(release, tmp_path):
    path = tmp_path / "guessed.zip"
    write_package("qti21", replace(release, groups=release.groups[:1]), path)

    told = CliRunner().invoke(cli.main, ["audit", str(path), "--writing"]).stdout.splitlines()
    without = CliRunner().invoke(cli.main, ["audit", str(path)]).stdout

    title = of_group(ASKED[0][0])
    assert told[-1].startswith(f"guessing: {title}, 6 questions, select all: chance ")
    assert "guessing" not in without
