"""Points in halves, from the pool through every format and its audit, and through the bank."""

import re
import zipfile
from fractions import Fraction

import pytest

from exporters.formats import write_package
from exporters.loadcard import load_card
from exporters.release import Target
from itembank.audit import audit_package
from itembank.bank import open_bank, releases
from itembank.pipeline import making
from itembank.terms import draw, export
from itembank.values.codec import read, written
from itembank.values.errors import ExportError, SpecError
from tests.wishes import family_of, leaves_in_every_format, pool_of

RESIDUES = """\
id: halves-of-points
version: 1
title: A linear congruence
problem: linear
outcomes: [solve-linear-congruences]
level: easy
parameters:
  m: {prime: [23, 53]}
  a: {integer: [3, m - 2]}
  b: {integer: [2, m - 2]}
given: {congruence: a*x = b, modulus: m}
ask: the solution
forms: [integer]
"""

WORTH = {
    "qti21": ("test-.*", r'<weight identifier="POINTS" value="1"'),
    "qti30": ("test-.*", r'<qti-weight identifier="POINTS" value="1"'),
}
SCORED = {
    "qti21": r'<baseValue baseType="float">1\.5</baseValue>',
    "qti30": r'<qti-base-value base-type="float">1\.5</qti-base-value>',
}


@pytest.fixture
def family(tmp_path):
    return family_of(tmp_path, RESIDUES)


def release_of(folder, family, points="1.5", **more):
    pool = pool_of(folder, family, variants=2, more=f", choose: 2, points: {points}", **more)
    return making.released(pool, "2027-spring")


def texts(path):
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name).decode() for name in package.namelist()}


@pytest.mark.parametrize(
    ("language", "one", "half"),
    [
        ("en", "1½ points for the right number", "½ point for the right number"),
        ("de", "1,5 Punkte für die richtige Zahl", "0,5 Punkte für die richtige Zahl"),
        ("es", "1,5 puntos por el número correcto", "0,5 puntos por el número correcto"),
    ],
)
def test_halves_are_told_as_the_language_writes_them_and_audited_in_every_format(
    tmp_path, family, language, one, half
):
    for points, told in (("1.5", one), ("0.5", half)):
        release = release_of(tmp_path, family, points, languages=f"language: {language}")
        item = next(iter(release.groups[0].items))
        assert told in item.spoken
        assert item.scoring.points == Fraction(points)
        reports = leaves_in_every_format(release, tmp_path)
        assert {report.count("agreed") for report in reports.values()} == {2}
        assert release.points == 2 * Fraction(points)


@pytest.mark.parametrize("format", ["qti21", "qti30"])
def test_a_test_scores_the_half_and_weighs_it_once_and_another_score_is_caught(
    tmp_path, family, format
):
    path = tmp_path / "package.zip"
    write_package(format, release_of(tmp_path, family), path)
    member, weight = WORTH[format]
    assert any(re.search(member, name) and re.search(weight, t) for name, t in texts(path).items())

    changed = tmp_path / "changed.zip"
    with zipfile.ZipFile(changed, "w") as copy:
        for name, text in texts(path).items():
            other = SCORED[format].replace("1\\.5", "2").replace("\\", "")
            copy.writestr(name, re.sub(SCORED[format], other, text))

    assert not audit_package(changed).clean


def test_cartridges_leave_the_weight_out_and_plain_1_2_1_says_the_possible_points(tmp_path, family):
    release = release_of(tmp_path, family)
    for format in ("cc13", "qti12"):
        path = tmp_path / f"{format}.zip"
        package = write_package(format, release, path)
        whole = "".join(texts(path).values())
        assert "cc_weighting" not in whole
        assert ("<fieldentry>1.5</fieldentry>" in whole) == (format == "qti12")
        card = load_card(release, [package]).decode()
        by_hand = "The cartridge carries whole points alone: set the points of"
        assert (by_hand in card) == (format == "cc13")
        assert "1½" in card
        assert audit_package(path).clean


def test_points_possible_that_are_not_those_of_the_stem_are_caught(tmp_path, family):
    path, changed = tmp_path / "package.zip", tmp_path / "changed.zip"
    write_package("qti12", release_of(tmp_path, family), path)
    with zipfile.ZipFile(changed, "w") as copy:
        for name, text in texts(path).items():
            copy.writestr(name, text.replace("<fieldentry>1.5<", "<fieldentry>1<"))

    assert (
        "expected 3/2 as the stem says, got points_possible 1" in audit_package(changed).as_text()
    )


@pytest.mark.parametrize("format", ["html", "latex"])
def test_paper_adds_halves_and_a_wrong_sum_is_caught(tmp_path, family, format):
    path, changed = tmp_path / "quiz.zip", tmp_path / "changed.zip"
    release = release_of(tmp_path, family, "0.5")
    write_package(format, release, path, purpose="quiz")
    assert audit_package(path).clean
    cell = {"html": "<td>½</td>", "latex": r"& \(\frac12\)"}[format]
    sheet = next(t for name, t in texts(path).items() if name.startswith("sheet-"))
    assert cell in sheet, sheet[:3000]
    with zipfile.ZipFile(changed, "w") as copy:
        for name, text in texts(path).items():
            copy.writestr(
                name,
                text.replace(cell, {"html": "<td>1½</td>", "latex": r"& 1\(\frac12\)"}[format], 1),
            )

    assert "in the table, got" in audit_package(changed).as_text()


def test_ticks_count_whole_points_alone(tmp_path):
    release = release_of(tmp_path, family_of(tmp_path, TICKS), "1.5")

    with pytest.raises(
        ExportError, match=r"count a multiple of its 4 points \(plus minus\), got 1.5"
    ):
        write_package("qti21", release, tmp_path / "package.zip")


TICKS = """\
id: four-solutions
version: 1
title: A quadratic congruence
problem: polynomial
outcomes: [solve-quadratic-congruences]
level: difficult
parameters:
  p: {one of: [3, 5]}
  q: {prime: [7, 17]}
  b: {integer: [1, 20]}
  c: {integer: [1, 40]}
where:
  - not is_square(b^2 - 4*c)
  - solutions == 4
  - no singular root
given: {congruence: x^2 + b*x + c = 0, modulus: p^2*q}
ask: all solutions
forms: [select all]
scoring: plus minus
solutions: radical
"""


def test_a_bank_keeps_halves(tmp_path, family):
    pool = pool_of(tmp_path, family, variants=2, more=", choose: 2, points: 1.5")
    bank = open_bank(str(tmp_path / "bank.db"), create=True)
    draw.draw(bank, pool, "2027-spring")
    made = export.export(bank, pool.id, "2027-spring", tmp_path, [Target("qti21")])
    with bank.reading() as connection:
        found = releases.released(connection, made.release.name)
        contents = releases.released_contents(connection, found)
    assert [part.points for part in contents.parts] == [Fraction(3, 2)]
    again = tmp_path / "again"
    again.mkdir()
    assert export.export_again(bank, found.name, again).release.points == 3
    item = next(iter(made.release.groups[0].items))
    assert read(written(item)) == item


@pytest.mark.parametrize("points", ["0.3", "1,5", "0", "99.5", "-1", "1/2", "1.50", "'1.5'"])
def test_other_points_are_refused(tmp_path, family, points):
    said = re.sub(r"^'(.*)'$", r"\1", points)
    with pytest.raises(SpecError) as error:
        pool_of(
            tmp_path,
            family,
            variants=2,
            more=f", points: {points!r}" if "," in points else f", points: {points}",
        )
    message = str(error.value)
    assert "points: expected points in halves, from 0.5 to 99, found" in message
    assert said in message
