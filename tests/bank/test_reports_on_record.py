"""Reports on record: listed, and taken back; what was taken back counts no longer."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from sqlalchemy import text
from sqlalchemy.exc import DatabaseError

from itembank.bank import reported
from itembank.cli import main
from itembank.terms import draw, export, results
from itembank.terms.tables import Columns
from itembank.values.errors import BankError, ReportError

COLUMNS = Columns(student="id", item="item", score="score")


def table(folder: Path, name: str, item: str, scores: list[int]) -> Path:
    path = folder / name
    rows = "".join(f"{i},{item},{score}\n" for i, score in enumerate(scores))
    path.write_text(f"id,item,score\n{rows}")
    return path


@pytest.fixture
def item(bank, pool_of, tmp_path) -> str:
    """The one item of a release."""
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    draw.draw(bank, pool, "2027-spring")
    export.export(bank, "quiz", "2027-spring", tmp_path, ("cc13",))
    with bank.reading() as connection:
        return str(connection.scalar(text("SELECT identifier FROM items")))


def record(bank, path: Path, **given: Any) -> results.TermReport:
    return results.record_results(bank, "quiz-2027-spring", [path], COLUMNS, **given)


def filed(bank) -> list[reported.Filed]:
    with bank.reading() as connection:
        return reported.filed(connection)


def take_back(bank, number: int, reason: str = "another course") -> None:
    with bank.writing() as connection:
        reported.take_back(connection, number, reason)


def test_what_is_taken_back_counts_no_longer_and_may_be_read_again(bank, item, tmp_path):
    path = table(tmp_path, "a.csv", item, [1, 0, 1])
    record(bank, path)

    take_back(bank, 1)

    with pytest.raises(ReportError, match="no results are on record"):
        results.item_statistics(bank, "quiz-2027-spring")
    assert record(bank, path).outcome == "new"
    (statistics,) = results.item_statistics(bank, "quiz-2027-spring")
    assert (statistics.cases, statistics.correct) == (3, 2)
    assert [(one.counts, one.taken_back) for one in filed(bank)] == [
        (False, "another course"),
        (True, None),
    ]


def test_a_report_is_taken_back_once_and_one_that_was_replaced_never(bank, item, tmp_path):
    record(bank, table(tmp_path, "a.csv", item, [1, 0]))
    record(bank, table(tmp_path, "b.csv", item, [1, 1]), replacing=True)

    for number, said in (
        (1, "report 1: counts no more, report 2 took its place"),
        (7, "report 7: not on record; `itembank reports` lists them"),
    ):
        with pytest.raises(ReportError) as error:
            take_back(bank, number)
        assert str(error.value) == said
    take_back(bank, 2)
    with pytest.raises(ReportError, match="report 2: taken back before: another course"):
        take_back(bank, 2)


def test_the_record_of_what_was_taken_back_is_append_only(bank, item, tmp_path):
    record(bank, table(tmp_path, "a.csv", item, [1, 0]))
    take_back(bank, 1)

    with pytest.raises((DatabaseError, BankError)), bank.writing() as connection:
        connection.execute(text("DELETE FROM retractions"))
    assert not filed(bank)[0].counts


def test_the_command_lists_and_takes_back(bank, item, place, tmp_path):
    def run(*words: str) -> list[str]:
        found = CliRunner().invoke(main, ["reports", *words, "--bank", place])
        assert found.exit_code == 0, found.output
        return found.output.splitlines()

    assert run() == ["no results on record"]
    record(bank, table(tmp_path, "a.csv", item, [1, 0]), section="day")
    record(bank, table(tmp_path, "b.csv", item, [1]), section="evening")

    assert run("--take-back", "1", "--because", "wrong  file") == [
        "1: taken back, quiz-2027-spring (2027-spring), section day, 2 students: wrong file"
    ]

    first, second = run("quiz-2027-spring")
    assert first.endswith(
        ", quiz-2027-spring (2027-spring), section day, 2 students; taken back: wrong file"
    )
    assert second.endswith(", section evening, 1 student")
    assert [one["counts"] for one in json.loads("".join(run("--json")))] == [False, True]
    assert run("elsewhere") == ["no results of elsewhere are on record"]


def test_a_report_is_taken_back_for_a_reason(place):
    found = CliRunner().invoke(main, ["reports", "--take-back", "1", "--bank", place])

    assert found.exit_code == 2
    assert "a report is taken back with --take-back NUMBER --because REASON" in found.output
