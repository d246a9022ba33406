"""The pages for an instructor: what the class got wrong, and what is left of a pool."""

import dataclasses
import re
from itertools import islice
from pathlib import Path
from statistics import correlation

import pytest
from lxml import html
from sqlalchemy import text

from itembank.bank import open_bank
from itembank.bank.standing import FamilyUse
from itembank.pipeline.species import exactly
from itembank.terms import draw, export, results
from itembank.terms.outlook import Past, supplies
from itembank.terms.results_page import results_page
from itembank.terms.runway_page import runway_page
from itembank.terms.status import FamilyStanding, PoolStanding
from tests.bank.classes import COLUMNS, POOL, SPRING, class_of


@pytest.fixture
def place(tmp_path) -> str:
    return str(tmp_path / "bank.db")


@pytest.fixture
def told(bank, pool_of, tmp_path) -> html.HtmlElement:
    """The page of a class whose better students miss the last question alone."""
    table = class_of(bank, pool_of(POOL), tmp_path)
    report = results.record_results(bank, "quiz-2027-spring", [table], COLUMNS)
    page = results_page(bank, report)
    assert page == results_page(bank, report), "the same results give the same page"
    return html.fromstring(page.decode())


def rows_of(page: html.HtmlElement, section: str) -> list[list[str]]:
    return [
        [" ".join(cell.text_content().split()) for cell in row]
        for row in page.get_element_by_id(section).iter("tr")
    ][1:]


def test_keys_in_doubt_come_first_and_the_numbers_behind_each_plot_stand_in_a_table(told):
    assert [s.get("id") for s in told.iter("section")] == [
        "keys", "scores", "difficulty", "slips", "options", "alike", "questions",
    ]  # fmt: skip
    (doubted,) = rows_of(told, "keys")
    r = correlation([a < 3 for a in range(10)], [sum(map(a.__gt__, (1, 2, 3, 4, 5, 6, 8)))
                                                 for a in range(10)])  # fmt: skip
    assert doubted[0].startswith("8a item-") and doubted[-2:] == ["12 / 40", f"{r:.2f}"]
    counts = dict(rows_of(told, "scores"))
    assert (
        sum(int(n) * int(right) for right, n in counts.items())
        == 4 * (8 + 7 + 6 + 5 + 4 + 3 + 1) + 12
    )
    assert sum(map(int, counts.values())) == 40
    assert {row[0] for row in rows_of(told, "difficulty")} == {str(i) for i in range(1, 9)}
    plots = [svg.get("aria-label") for svg in told.iter("svg")]
    assert len(plots) == 2 and all(words.endswith("the table has the numbers.") for words in plots)


def test_a_slip_is_told_with_how_often_it_was_made_and_the_sentence_to_say(told):
    found = {row[0]: row for row in rows_of(told, "slips")}

    made = found["halved-in-the-integers"]
    assert made[1] == "36", "at the one quadratic of the test"
    assert re.match(r"At x\^2 .* mod \d+: ?If .*inverse of 2", made[2])
    assert made[3] == "Solve modulo each prime"


def test_scores_alone_make_no_table_of_slips(bank, pool_of, tmp_path):
    draw.draw(bank, pool_of("  - {family: linear-one-solution, variants: 1}\n"), SPRING)
    export.export(bank, "quiz", SPRING, tmp_path, ("cc13",))
    with bank.reading() as connection:
        item = connection.scalar(text("SELECT identifier FROM items"))
    table = tmp_path / "scores.csv"
    table.write_text(f"id,item,score\na,{item},0\nb,{item},1\n", encoding="utf-8")
    columns = dataclasses.replace(COLUMNS, response=None)
    report = results.record_results(bank, "quiz-2027-spring", [table], columns)

    section = html.fromstring(results_page(bank, report).decode()).get_element_by_id("slips")

    assert not list(section.iter("table"))
    assert "These results tell scores alone, and not what was answered." in section.text_content()


def test_no_student_is_in_the_page(told):
    assert "pemberton" not in html.tostring(told).decode().lower()


def standing(family: str, used: int, wanted: int) -> FamilyStanding:
    use = FamilyUse(
        by_term={SPRING: used}, used=used, resting=used,
        past=tuple(Past(1, 1, 2) for _ in range(used)), following=2, approved=0, withdrawn=0,
    )  # fmt: skip
    return FamilyStanding(
        family=family, count=exactly(30), use=use, answered=0, right=0, wanted=wanted, rests=2,
        doubted=(),
    )  # fmt: skip


def test_the_page_of_a_pool_tells_what_each_term_of_the_year_finds():
    """30 variants, 10 used and resting two terms: 20 fresh, 10, none and 10 rested, 10 rested."""
    found = PoolStanding(pool="quiz", families=(standing("fam", 10, 10),), terms=())

    page = html.fromstring(runway_page(found, "en").decode())

    (year,) = rows_of(page, "year")
    assert year == ["fam", "20, 0, 10", "10, 0, 20", "0, 10, 20", "0, 10, 20"]
    assert rows_of(page, "runway")[0][3] == "8", "30 three times, less the ten that were used: 80"
    assert rows_of(page, "used") == [["fam", "10", "10", "0"]]


def test_what_a_term_lacks_is_what_a_draw_would_lack():
    past = [Past(1, 1, 2) for _ in range(4)]
    told = islice(supplies(3, past, wanted=5, rests=2, most_uses=3, term=2), 3)
    assert [(s.fresh, s.rested, s.resting, s.lacking) for s in told] == [
        (3, 0, 4, 2), (0, 0, 7, 5), (0, 4, 3, 1),
    ]  # fmt: skip


def test_the_command_writes_the_page_beside_its_report(bank, pool_of, tmp_path, place):
    from click.testing import CliRunner

    from itembank.cli import main

    table = class_of(bank, pool_of(POOL), tmp_path)
    page = tmp_path / "results.html"
    named = ["--student", "id", "--item", "item", "--score", "score", "--response", "answer"]
    command = ["results", "quiz-2027-spring", str(table), *named, "--bank", place]

    refused = CliRunner().invoke(main, [*command, "--page", str(page), "--dry-run"])
    assert refused.exit_code == 2 and "--dry-run writes no file" in refused.output
    done = CliRunner().invoke(main, [*command, "--page", str(page)])

    assert done.exit_code == 0 and f"{page}: for the instructor" in done.output
    assert Path(page).read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert open_bank(place).name
