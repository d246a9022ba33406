"""The commands of the bank as people type them: their words, exit codes, and defaults."""

import json
import os
import signal
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.bank import open_bank
from itembank.cli import main
from itembank.cli.arguments import workers
from itembank.terms import draw as drawing
from itembank.terms.decisions import drawn
from itembank.values.errors import ItemBankError

SPRING = "2027-spring"
ENTRIES = (
    "  - {family: linear-one-solution, variants: 4}\n"
    "  - {family: zero-product-composite, variants: 4, form: select one}\n"
)


def run(*arguments: object):
    return CliRunner().invoke(main, list(map(str, arguments)))


def lines(*arguments: object) -> list[str]:
    result = run(*arguments)
    assert result.exit_code == 0, result.output
    return result.stdout.splitlines()


@pytest.fixture
def quiz(pool_of) -> Path:
    """The file of a pool; its bank stands beside it unless another is named."""
    path: Path = pool_of(ENTRIES).path
    return path


def test_draw_makes_the_bank_beside_the_pool_and_says_what_is_in_it(quiz):
    bank = quiz.parent / "itembank.db"

    assert lines("draw", quiz, "--term", SPRING) == [
        "linear-one-solution: 4 new, 0 held before",
        "zero-product-composite: 4 new, 0 held before",
        f"{bank}: 8 items of quiz for {SPRING}",
    ]
    assert lines("draw", quiz, "--term", SPRING)[0] == "linear-one-solution: 0 new, 4 held before"


def test_a_pool_that_asks_for_fewer_than_before_is_told_what_becomes_of_the_rest(pool_of):
    """The export holds all that was drawn of a family that the pool names, and nothing else."""
    before = pool_of(
        "  - {family: linear-one-solution, variants: 2}\n"
        "  - {family: least-solution, variants: 2}\n"
    )
    one = open_bank(str(before.path.parent / "itembank.db"), create=True)
    drawing.draw(one, before, SPRING)
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")

    fewer = run("draw", pool.path, "--term", SPRING, "--dry-run")

    assert fewer.stderr.splitlines() == [
        "linear-one-solution: 1 more than the pool asks for now; what was drawn stays, and is "
        "exported; --undo takes back a draw that was not exported, `itembank withdraw` single "
        "items",
        "least-solution: 2 held before, and the pool does not name it any more; what was drawn "
        "stays used, and is not exported",
    ]
    drawing.draw(one, pool, SPRING)
    (part,) = drawn(one, "quiz", SPRING).parts
    assert (part.family, len(part.items)) == ("linear-one-solution", 2)


def test_make_uses_the_bank_that_stands_beside_the_pool(quiz, tmp_path):
    """Without one, the seed and the term alone decide, and none is made."""
    out = tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--out", out, "--to", "cc13")
    assert not (quiz.parent / "itembank.db").exists()

    lines("draw", quiz, "--term", "2026-autumn")
    lines("make", quiz, "--term", SPRING, "--out", out, "--to", "cc13")

    found = json.loads(run("status", quiz, "--json").stdout)
    assert found["families"][0]["used_by_term"] == {"2026-autumn": 4, SPRING: 4}


def test_the_bank_may_be_named_by_a_variable(quiz, tmp_path, monkeypatch):
    monkeypatch.setenv("ITEMBANK_BANK", str(tmp_path / "named.db"))

    lines("draw", quiz, "--term", SPRING)

    assert (tmp_path / "named.db").is_file() and not (quiz.parent / "itembank.db").exists()


def test_forms_are_drawn_told_and_exported(quiz, tmp_path):
    told = lines("draw", quiz, "--term", SPRING, "--forms", 2, "--gap", 30)[-1]
    assert told.startswith("2 parallel forms, steps A ")
    assert told.endswith(": they differ by 0, the least that these items allow")

    lines("export", quiz, "--term", SPRING, "--forms", "--out", tmp_path / "f", "--to", "cc13")

    assert sorted(p.name for p in (tmp_path / "f").glob("*.zip")) == [
        "quiz-2027-spring-A-cc13.zip",
        "quiz-2027-spring-B-cc13.zip",
    ]


def test_several_jobs_give_the_same_package(quiz, tmp_path):
    for jobs in (1, 2):
        lines("make", quiz, "--term", SPRING, "--bank", tmp_path / f"{jobs}.db", "--jobs", jobs,
              "--out", tmp_path / str(jobs), "--to", "qti21", "--to", "cc13")  # fmt: skip

    for path in (tmp_path / "1").iterdir():
        assert path.read_bytes() == (tmp_path / "2" / path.name).read_bytes()


def test_a_process_that_is_ended_from_outside_is_one_line():
    with pytest.raises(ItemBankError) as error, workers(2) as executor:
        assert executor is not None
        executor.submit(os.kill, os.getpid(), 0).result()
        pid = executor.submit(os.getpid).result()
        os.kill(pid, signal.SIGKILL)
        for _ in range(10):
            executor.submit(os.getpid).result()
    assert str(error.value).startswith("--jobs: a process that shared the work was ended")


def test_since_says_what_is_new_and_what_to_retire(quiz, tmp_path):
    bank, out = tmp_path / "b.db", tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")

    told = lines("make", quiz, "--term", "2027-autumn", "--bank", bank, "--out", out, "--to",
                 "cc13", "--since", "quiz-2027-spring")  # fmt: skip

    assert told == [
        f"{out / 'quiz-2027-autumn-new-cc13.zip'}: 8 new items, all agreed",
        f"{out / 'quiz-2027-autumn-changes.html'}: since quiz-2027-spring, 8 new, 8 to retire, "
        "0 kept",
    ]


def test_withdraw_tells_where_the_item_was(quiz, tmp_path):
    bank, out = tmp_path / "b.db", tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")
    with open_bank(str(bank)).reading() as connection:
        name = connection.exec_driver_sql("SELECT identifier FROM items ORDER BY id").scalar()
        group = connection.exec_driver_sql("SELECT title FROM release_groups ORDER BY id").scalar()

    told = lines("withdraw", name, "--because", "two readings", "--bank", bank, "--out", out)

    assert told == [
        f"{name}: withdrawn: two readings",
        f"  release quiz-2027-spring (2027-spring), {group}: a student draws 1 of 4",
        f"{out / f'rescoring-note-{name}.html'}: for whoever rescores",
        f"{out / 'quiz-2027-spring-2-cc13.zip'}: 7 items, all agreed",
    ]


def first_item(bank: Path) -> str:
    with open_bank(str(bank)).reading() as connection:
        return connection.exec_driver_sql(
            "SELECT min(identifier) FROM items WHERE id = 1"
        ).scalar_one()


def test_notes_and_corrected_packages_are_made_again_at_any_time(quiz, tmp_path):
    bank, out = tmp_path / "b.db", tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")
    name = first_item(bank)
    early = run("rescoring", name, "--bank", bank, "--out", out)
    assert (early.exit_code, early.stderr) == (
        1,
        f"{name}: it was not withdrawn, so nothing is to be rescored; `itembank withdraw {name} "
        "--because REASON` takes it out\n",
    )
    lines("withdraw", name, "--because", "two readings", "--bank", bank, "--out", out)

    told = lines("rescoring", name, "--bank", bank, "--out", tmp_path / "later")

    assert told[0] == f"{name}: was withdrawn: two readings"
    for made in (f"rescoring-note-{name}.html", "quiz-2027-spring-2-cc13.zip"):
        assert (tmp_path / "later" / made).read_bytes() == (out / made).read_bytes()


def test_what_a_withdrawal_leaves_to_do_is_exit_code_1(pool_of, tmp_path):
    quiz = pool_of("  - {family: linear-one-solution, variants: 1}\n").path
    bank, out = tmp_path / "b.db", tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")
    name = first_item(bank)
    there = ("--bank", bank, "--out", out)

    left = run("withdraw", name, "--because", "two readings", *there)
    assert left.exit_code == 1 and "no item is left for 2027-spring" in left.stderr
    assert run("rescoring", name, *there, "--json").exit_code == 1
    lines("draw", quiz, "--term", SPRING, "--bank", bank)
    assert lines("rescoring", name, *there)[-1] == (
        f"{out / 'quiz-2027-spring-2-cc13.zip'}: 1 items, all agreed"
    )


def test_a_withdrawal_may_be_tried_dry(quiz, tmp_path):
    bank = tmp_path / "b.db"
    lines("draw", quiz, "--term", SPRING, "--bank", bank)
    before, name = bank.read_bytes(), first_item(bank)

    told = lines("withdraw", name, "--because", "two readings", "--bank", bank, "--out",
                 tmp_path / "out", "--dry-run")  # fmt: skip

    assert told == [f"{name}: would be withdrawn: two readings"]
    assert bank.read_bytes() == before and not (tmp_path / "out").exists()


def test_results_tell_flags_families_and_reliability(quiz, tmp_path):
    bank, out = tmp_path / "b.db", tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")
    with open_bank(str(bank)).reading() as connection:
        rows = connection.exec_driver_sql("SELECT title FROM items ORDER BY id").all()
    titles = [row[0] for row in rows]
    table = tmp_path / "results.csv"
    table.write_text(
        "who,what,score\n"
        + "".join(
            f"{s},{titles[q * 4 + s % 2]},{int((s + q) % 3 > 0)}\n"
            for s in range(80)
            for q in range(2)
        ),
        encoding="utf-8",
    )

    columns = ("--student", "who", "--item", "what", "--score", "score")
    before = bank.read_bytes()
    tried = lines("results", "quiz-2027-spring", table, "--bank", bank, *columns, "--dry-run")
    assert bank.read_bytes() == before and tried[-1] == "a dry run: nothing of this was kept"
    told = lines("results", "quiz-2027-spring", table, "--bank", bank, *columns,
                 "--usage-data", tmp_path / "u.xml")  # fmt: skip
    assert told == tried[:-1]

    assert any(
        line.startswith("linear-one-solution: ") and "of 80 right, pooled p 0.6" in line
        for line in told
    )
    assert any("right, p 0.6" in line and "item-rest" in line for line in told)
    assert told[-1].startswith("KR-20 ")
    assert told[-1].endswith("of 2 questions, from 80 of 80 students")
    assert (tmp_path / "u.xml").read_bytes().startswith(b"<?xml")

    loaded = ("results", "quiz-2027-spring", table, "--bank", bank, *columns)
    assert lines(*loaded)[-1] == "these results were on record already; nothing was added"
    assert json.loads(run(*loaded, "--json").stdout)["outcome"] == "unchanged"
    refused = run(*loaded, "--section", "A")
    assert refused.exit_code == 1 and len(refused.output.splitlines()) == 1
    assert lines(*loaded, "--section", "A", "--replace")[-1] == (
        "on record in place of results of 80 students"
    )

    usage = ("results", "quiz-2027-spring", "--bank", bank, "--usage-data", tmp_path / "again.xml")
    assert lines(*usage) == [f"{tmp_path / 'again.xml'}: usage data of 4 items of quiz-2027-spring"]
    assert (tmp_path / "again.xml").read_bytes() == (tmp_path / "u.xml").read_bytes()
    assert json.loads(run(*usage, "--json").stdout)["items"] == 4
    assert any("answers right" in line for line in lines("status", quiz, "--bank", bank))


def test_a_doubted_item_is_listed_until_somebody_clears_it(quiz, tmp_path):
    """Who is right at one question is wrong at the other."""
    bank, out = tmp_path / "b.db", tmp_path / "out"
    lines("make", quiz, "--term", SPRING, "--bank", bank, "--out", out, "--to", "cc13")
    with open_bank(str(bank)).reading() as connection:
        rows = connection.exec_driver_sql("SELECT identifier, title FROM items ORDER BY id").all()
    doubted = [rows[0], rows[4]]
    table = tmp_path / "results.csv"
    table.write_text(
        "who,what,score\n"
        + "".join(f"{s},{doubted[q][0]},{(s + q) % 2}\n" for s in range(60) for q in range(2)),
        encoding="utf-8",
    )
    columns = ("--student", "who", "--item", "what", "--score", "score")
    lines("results", "quiz-2027-spring", table, "--bank", bank, *columns)

    def listed() -> list[str]:
        return [line for line in lines("status", quiz, "--bank", bank) if line.startswith("  ")]

    assert listed() == [
        f"  {item} {title}: the results of 2027-spring cast doubt on its key; it rests until "
        "cleared or withdrawn"
        for item, title in doubted
    ]
    told = lines("clear", doubted[0][0], "--by", "A. Brook", "--because", "right", "--bank", bank)
    assert told == [f"{doubted[0][0]}: cleared by A. Brook: right"]
    assert len(listed()) == 1


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["export", "quiz", "--term", SPRING, "--out", "o"], 1, "there is no bank here"),
        (["status", "quizz"], 2, "no pool file 'quizz', and no shipped pool of that id"),
        (["withdraw", "--because", "r", "--out", "o"], 2, "ITEM"),
        (["withdraw", "item-0", "--out", "o"], 2, "--because"),
        (["clear", "item-0", "--because", "r"], 2, "--by"),
        (["results", "quiz-2027-spring", ".", "--section", " "], 2, "got a blank"),
        (["results", "quiz-2027-spring"], 2, "expected a FILE with results, or --usage-data"),
        (
            ["draw", "congruences-quiz", "--term", SPRING, "--bank", "mysql://h/b"],
            1,
            "expected a file",
        ),
        (["draw", "congruences-quiz", "--term", SPRING, "--forms", "1"], 2, "--forms"),
        (["draw", "congruences-quiz", "--term", SPRING, "--jobs", "0"], 2, "--jobs"),
    ],
)
def test_a_mistake_is_one_line(arguments, code, said, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    result = run(*arguments)

    assert result.exit_code == code
    assert said in result.output
    assert len(result.output.strip().splitlines()) == 1
    assert "Traceback" not in result.output
