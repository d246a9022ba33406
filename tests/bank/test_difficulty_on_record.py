"""Results on record say what makes questions hard; status, show and parallel forms go by it."""

import random
from math import exp

import pytest
from click.testing import CliRunner

from itembank.bank import entries, measured, open_bank, releases, usage
from itembank.cli import main
from itembank.cli.status import lines
from itembank.pipeline.species import exactly
from itembank.terms import assembly, draw, export, results, scores, status
from itembank.terms.difficulty import scale_from
from itembank.terms.tables import Columns

SPRING, AUTUMN = "2027-spring", "2027-autumn"
COLUMNS = Columns(student="id", item="item", score="score")
POOL = "".join(
    f"  - {{family: {family}, variants: 4}}\n"
    for family in (
        "linear-one-solution",
        "count-square-roots",
        "quadratic-mod-prime",
        "least-solution",
        "quadratic-two-prime-powers",
    )
)


def sat(bank, tmp_path, release: str, students: int):
    """A table of answers: the more steps, the fewer are right."""
    with bank.reading() as connection:
        found = releases.released(connection, release)
        of_release = usage.released(connection, found.number)
        numbers = [r.item for r in of_release]
        items = dict(zip(numbers, entries.stored_items(connection, numbers), strict=True))
    groups: dict[int, list[int]] = {}
    for r in of_release:
        groups.setdefault(r.group, []).append(r.item)
    chance = random.Random(5)
    rows = ["id,item,score"]
    for student in range(students):
        ability = chance.gauss(0, 1)
        for group in groups.values():
            item = items[chance.choice(group)]
            right = chance.random() < 1 / (1 + exp(0.25 * item.steps - 2.5 - ability))
            rows.append(f"{student},{item.identifier},{item.scoring.points * right}")
    path = tmp_path / "answers.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    return str(tmp_path_factory.mktemp("bank") / "bank.db")


def test_status_show_and_forms_go_by_steps_until_results_tell_the_difficulty(
    place, pool_of, tmp_path
):
    bank, pool = open_bank(place, create=True), pool_of(POOL)
    draw.draw(bank, pool, SPRING)
    counted_before(bank, pool)

    before = assembly.assemble(bank, "quiz", SPRING, 2)
    assert before.by_steps.startswith("no model of difficulty: expected at least 300 answers")
    assert before.assembly.result["effort"] == steps(bank, before.assembly)
    told = list(lines(status.status(bank, pool)))
    assert any("the bank has 0 to 0; parallel forms are balanced by steps" in s for s in told)

    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    answers = sat(bank, tmp_path, "quiz-2027-spring", 120)
    results.record_results(bank, "quiz-2027-spring", [answers], COLUMNS)
    draw.draw(bank, pool, AUTUMN)

    found = status.status(bank, pool)
    (row,) = [r for r in found.model.weights() if r[0] == "steps"]
    assert row[1] < 0 and row[2] < -0.25 < row[3], "an ease that falls with each step"
    easy, hard = (next(f for f in found.families if f.family == name).expected
                  for name in ("linear-one-solution", "quadratic-two-prime-powers"))  # fmt: skip
    assert easy.low > hard.high
    told = list(lines(found))
    assert f"of a class {easy} expected" in told[0]
    assert any(line.startswith("what makes questions hard, by ") for line in told)

    after = assembly.assemble(bank, "quiz", AUTUMN, 2)
    scale = scale_from(after.assembly.request["scale"])
    assert after.by_steps == ""
    for form, effort in zip(after.assembly.forms, after.assembly.result["effort"], strict=True):
        with bank.reading() as connection:
            items = list(entries.stored_items(connection, form.items))
        wrong = [scale.wrong_in_hundred(scores.features_of(i), i.provenance.family) for i in items]
        assert sum(wrong) == effort
    assert after.assembly.result["gap"] <= 2, "hundredths of a wrong answer"

    shown = CliRunner().invoke(main, ["show", "linear-one-solution", "--bank", place]).output
    assert "of a class " in shown and "expected" in shown


def counted_before(bank, pool) -> None:
    """How many variants there are is no matter here, and takes long to count."""
    with bank.writing() as connection:
        for entry in pool.entries:
            number = entries.family_id(connection, entry.family)
            measured.keep_capacity(connection, number, exactly(1000))


def steps(bank, made) -> list[int]:
    with bank.reading() as connection:
        return [sum(i.steps for i in entries.stored_items(connection, f.items)) for f in made.forms]
