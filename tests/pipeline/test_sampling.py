"""What a check tells from a sample holds, and is said to be from one."""

from itertools import islice, product
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank import cli
from itembank.guessing import telling
from itembank.kinds.table import SIGNATURES
from itembank.pipeline.appraisal import family_report
from itembank.pipeline.capacity import capacity
from itembank.pipeline.guesses import figures_over
from itembank.pipeline.sampling import sampled
from itembank.pipeline.selection import fits
from itembank.spec import load_family
from tests.shipped import FAMILIES

FAMILY = """\
id: fam
version: 1
title: Fam
problem: linear
outcomes: [solve]
level: very easy
parameters:
  m: {{value: {modulus}}}
  u: {{integer: [1, 200]}}
  v: {{integer: [1, 200]}}
given: {{congruence: x = u*v, modulus: m}}
ask: all solutions
forms: [list]
shortcuts: allowed
coefficients: any
guessing: a test of something else
"""


def written(folder: Path, modulus: int, more: str = "") -> Path:
    path = folder / "fam.yaml"
    path.write_text(FAMILY.format(modulus=modulus) + more, encoding="utf-8")
    return path


def products(m: int) -> int:
    """How many classes the products of two numbers up to 200 have: x = c is one question each."""
    return len({u * v % m for u, v in product(range(1, 201), repeat=2)})


def check(path: Path, *more: str):
    return CliRunner().invoke(cli.main, ["check", str(path), *more])


@pytest.mark.parametrize("modulus", [11, 101, 197, 199, 211, 307, 1009, 5003])
def test_a_sample_says_no_more_than_there_are(modulus: int, tmp_path: Path):
    """Of 5,003 classes some are far likelier than others, and none is sure to be met."""
    family = load_family(written(tmp_path, modulus), SIGNATURES)

    sample = sampled(family, fits(family))
    count = sample.found.count

    assert count.least <= products(modulus)
    assert count.most is None or products(modulus) <= count.most
    assert sample.is_whole == (products(modulus) < 200) or count.exact


def test_too_few_variants_are_a_fault_after_the_whole_count(tmp_path: Path):
    """All 199 classes modulo 199 are products, one fewer than are enough."""
    result = check(written(tmp_path, 199))

    assert products(199) == 199
    assert result.exit_code == 1
    assert ": 199 variants, expected at least 200; widen " in result.stdout


def test_what_was_sampled_is_said_and_exact_counts(tmp_path: Path):
    path = written(tmp_path, 5003)

    first, exact = check(path), check(path, "--exact")

    assert first.stdout.startswith("fam: at least ")
    assert "\n  sampled: " in first.stdout
    assert first.stdout.endswith("4 variants composed, 24 guessed at; --exact takes all of them\n")
    assert exact.stdout.startswith(f"fam: {products(5003):,} variants, ")
    assert "sampled" not in exact.stdout


def test_a_family_is_not_drawn_from_more_than_it_takes(tmp_path: Path):
    family = load_family(written(tmp_path, 5003), SIGNATURES)

    sample = sampled(family, fits(family))

    assert sample.sets is not None and sample.sets <= 100
    assert len(sample.variants) == 24
    assert capacity(family, fits(family)).count.known > sample.found.count.least


def test_a_sample_has_its_answers_in_balance():
    """Four in ten of these parameter sets have no solution, of the questions asked one in ten."""
    family = FAMILIES["quadratic-two-prime-powers"]

    sample = sampled(family, fits(family))

    assert len(sample.variants) == 24
    assert sum(not v.solution.answer for v in sample.variants) <= 5


def test_a_sample_knows_how_many_answers_are_usual():
    """Of two answers neither comes more often than the other, as in a draw."""
    family = FAMILIES["symbol-of-two-or-minus-one"]

    answers = [variant.answer for variant in sampled(family, fits(family)).variants]

    assert sorted(map(answers.count, set(answers))) == [12, 12]


def test_a_bound_is_told_as_broken_only_where_the_sample_shows_it(tmp_path: Path):
    """Every congruence has one solution: 24 alike do not show that all are."""
    result = check(written(tmp_path, 5003))

    assert "perhaps beyond its bounds, --exact tells: no solution, where " in result.stdout
    assert "\n    beyond its bounds" not in result.stdout
    assert "\n    beyond its bounds" in check(tmp_path / "fam.yaml", "--exact").stdout


@pytest.mark.parametrize(
    ("name", "questions"), [("phi-claimed", 48), ("primitive-root-or-not", 200)]
)
def test_what_seems_broken_in_few_questions_is_asked_in_more_until_it_holds(
    name: str, questions: int
):
    """In 24 questions both seem to break a bound; over all that are looked at neither does."""
    family = FAMILIES[name]
    few = figures_over(family, sampled(family, fits(family)).variants)
    report = family_report(family.path)

    (form,) = family.forms
    assert any(telling.shortfalls(few[form]))
    assert report.guesses[form].questions == questions
    assert not report.faults and not any(telling.shortfalls(report.guesses[form]))


def test_a_second_look_goes_on_from_the_sample():
    family = FAMILIES["phi-claimed"]
    sample = sampled(family, fits(family))

    more = [*islice(sample.more, 24)]

    names = [variant.name for variant in (*sample.variants, *more)]
    assert [variant.index for variant in more] == [*range(24, 48)]
    assert len({*names}) == len(names) == 48


def test_the_work_shared_by_two_tells_the_same(tmp_path: Path):
    written(tmp_path, 5003)
    (tmp_path / "other.yaml").write_text(
        FAMILY.format(modulus=1009).replace("id: fam", "id: other"), encoding="utf-8"
    )

    alone, shared = check(tmp_path), check(tmp_path, "--jobs", "2")

    assert alone.exit_code == 0, alone.output
    assert shared.stdout == alone.stdout
