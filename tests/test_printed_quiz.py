"""A quiz on paper to its end: two forms, sheets, a table that graders filled, results."""

import csv
import zipfile
from io import StringIO

import pytest
from click.testing import CliRunner

from itembank.bank import open_bank
from itembank.bank.entries import stored_items
from itembank.cli import main
from itembank.forms import form_of
from itembank.values.item import SelectOne

COURSE = """
name: NT 210, Alder Ford College
language: en
instructions: "No calculators. Show your working."
methods: {roots: trial}
"""

POOL = """
id: paper-quiz
title: Paper quiz
course: course.yaml
seed: alder
items:
  - {family: inverse-chosen, variants: 4, choose: 2, form: select one}
  - {family: linear-one-solution, variants: 2, choose: 1}
"""


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    """A bank with two forms on record, their sheets in LaTeX and in HTML."""
    folder = tmp_path_factory.mktemp("paper")
    (folder / "course.yaml").write_text(COURSE)
    (folder / "paper-quiz.yaml").write_text(POOL)
    pool, bank = str(folder / "paper-quiz.yaml"), str(folder / "nt.db")
    run("draw", pool, "--term", "2027-spring", "--bank", bank, "--forms", "2", "--gap", "60")
    run("export", "paper-quiz", "--term", "2027-spring", "--bank", bank, "--forms",
        "--to", "latex", "--to", "html", "--as", "quiz", "--out", str(folder))  # fmt: skip
    return folder


def run(*arguments, code=0):
    done = CliRunner().invoke(main, arguments)
    assert done.exit_code == code, done.output
    return done.output


def table(place, form, format="latex"):
    with zipfile.ZipFile(place / f"paper-quiz-2027-spring-{form}-{format}.zip") as z:
        (name,) = [n for n in z.namelist() if n.startswith("grades-")]
        return list(csv.DictReader(StringIO(z.read(name).decode("utf-8-sig"), newline="")))


def filled(place, rows, name="filled.csv"):
    path = place / name
    with path.open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, rows[0].keys(), delimiter=";")
        writer.writeheader()
        writer.writerows(rows)
    return str(path)


def items(place):
    with open_bank(str(place / "nt.db")).reading() as connection:
        return {item.identifier: item for item in stored_items(connection, list(range(1, 7)))}


def test_each_form_has_a_sheet_with_its_name_its_code_and_what_the_course_says(place):
    codes = set()
    for form in "AB":
        with zipfile.ZipFile(place / f"paper-quiz-2027-spring-{form}-latex.zip") as z:
            (name,) = [n for n in z.namelist() if n.startswith("sheet-")]
            sheet = z.read(name).decode()
        code = name.removesuffix(".tex")[-4:]
        codes.add(code)

        assert rf"\ibcopy{{Form {form}. Copy \ibcode{{{code}}}}}" in sheet
        assert r"\ibinstructions{No calculators. Show your working.}" in sheet
        assert {row["copy"] for row in table(place, form)} == {code}
        assert table(place, form) == table(place, form, "html")
    assert len(codes) == 2


def test_a_filled_table_becomes_results_with_the_slips_that_students_made(place):
    """Twelve students a form: one in three slips in the first question, by an option of a slip."""
    known = items(place)
    for form in "AB":
        blank = table(place, form)
        rows, slips = [], set()
        for student in range(12):
            for row in blank:
                item = known[row["item"]]
                options = item.response.options if isinstance(item.response, SelectOne) else ()
                wrong = row["question"] == "1" and student % 3 == 0
                if options:
                    chosen = next(o for o in options if o.correct != wrong)
                    answer = "ABCD"[options.index(chosen)]
                    slips |= set(chosen.slips)
                else:
                    (answer,) = form_of(item.response).key(item.response)
                rows.append({**row, "student": f"s{student}", "answer": answer,
                             "points": "0" if wrong else row["of"]})  # fmt: skip
        told = run("results", f"paper-quiz-2027-spring-{form}", filled(place, rows),
                   "--bank", str(place / "nt.db"))  # fmt: skip

        assert f"  {blank[0]['item']} 8 of 12 right" in told
        assert f"  {blank[1]['item']} 12 of 12 right" in told
        assert slips and all(f"{slip} 4" in told for slip in slips)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"copy": "AAAA"}, "expected the code of a copy of paper-quiz-2027-spring-A, got 'AAAA'"),
        ({"question": "9"}, "expected a question of copy"),
        ({"question": "2"}, "as question 2 of copy"),
        ({"points": "7"}, "expected a score of 0 to"),
        ({"points": "", "answer": "A"}, "expected points for the answer, got none"),
        ({"answer": "Q"}, "expected letters from A to D, got 'Q'"),
    ],
)
def test_a_row_that_cannot_be_is_named_with_its_line(place, change, said):
    first, *_others = table(place, "A")
    path = filled(place, [{**first, "points": "1", **change}], "wrong.csv")

    told = run("results", "paper-quiz-2027-spring-A", path, "--bank", str(place / "nt.db"),
               "--dry-run", code=1)  # fmt: skip

    assert "wrong.csv:2: " in told and said in told
    assert "Traceback" not in told


def test_a_table_by_code_alone_is_known_too(place):
    """Without identifiers, and in small letters: the code and the number say which question."""
    rows = [
        {"copy": row["copy"].lower(), "question": row["question"], "points": row["of"]}
        for row in table(place, "B")
    ]

    told = run("results", "paper-quiz-2027-spring-B", filled(place, rows, "code.csv"),
               "--bank", str(place / "nt.db"), "--replace", "--dry-run")  # fmt: skip

    assert all(f"{row['item']} 1 of 1 right" in told for row in table(place, "B"))
