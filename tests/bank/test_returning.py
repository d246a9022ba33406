"""What comes back from a term: planted results are found again, recorded, and used."""

import dataclasses
import sqlite3
from collections.abc import Callable
from contextlib import closing
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from exporters.usagedata import usage_data
from itembank.bank.schema import items, reports, usages
from itembank.terms import draw, export, results, statistics, status
from itembank.values.errors import BankError, DrawError, ExportError, ReportError
from itembank.values.item import Item
from tests.bank.returned import AUTUMN, COLUMNS, SPRING, released, right_and_wrong, table
from tests.bank.samples import WUENSCH

FAMILIES = (
    "linear-one-solution",
    "linear-several-solutions",
    "linear-solvable-or-not",
    "quadratic-mod-prime",
    "quadratic-leading-coefficient",
    "count-square-roots",
    "square-roots-two-primes",
    "zero-product-composite",
    "least-solution",
    "cubic-prime-power",
)


@pytest.fixture
def place(tmp_path) -> str:
    """SQLite alone; what differs between databases is tested elsewhere."""
    return str(tmp_path / "bank.db")


def test_the_reliability_of_the_published_data_is_found_again(bank, pool_of, tmp_path):
    """Wuensch's ten students and ten items, as a quiz of ten families: KR-20 .6963, SEM 1.332."""
    pool = pool_of("".join(f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES))
    questions = released(bank, pool, tmp_path)
    rows = [
        {"id": s, "item": q.identifier, "score": u * q.scoring.points}
        for s, scores in enumerate(WUENSCH)
        for q, u in zip(questions, scores, strict=True)
    ]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    assert (report.students, report.complete, report.questions) == (10, 10, 10)
    assert report.reliability == statistics.kr20(WUENSCH)
    assert round(float(report.reliability), 4) == 0.6963
    assert round(report.standard_error, 3) == 1.332
    assert [r.correct for r in report.items] == [
        sum(column) for column in zip(*WUENSCH, strict=True)
    ]
    rests = [0.706, 0.706, 0.0, 0.474, 0.584, 0.286, -0.027, 0.706, -0.124, 0.476]
    assert [round(r.r, 3) for r in report.items] == rests
    assert all(r.flags == () for r in report.items), "ten students flag nothing"


def test_variants_of_one_question_are_one_question_of_the_test(bank, pool_of, tmp_path):
    """Each student draws one of three variants of two families: k = 2, not 6."""
    pool = pool_of("".join(f"  - {{family: {f}, variants: 3}}\n" for f in FAMILIES[:2]))
    found = released(bank, pool, tmp_path)
    marks = [(1, 1), (1, 0), (0, 0), (1, 1), (0, 1), (0, 0)]
    rows = [
        {"id": s, "item": found[3 * q + s % 3].identifier, "score": u}
        for s, pair in enumerate(marks)
        for q, u in enumerate(pair)
    ]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    assert (report.questions, report.complete) == (2, 6)
    assert report.reliability == statistics.kr20(marks)
    assert [r.students for r in report.items] == [2] * 6


def test_variants_that_are_not_alike_are_told(bank, pool_of, tmp_path):
    """18, 20, 8, 19 right of 30 each: chi-square 12.45 of 3 degrees, p .006, a range of .40."""
    pool = pool_of("  - {family: linear-one-solution, variants: 4}\n")
    found = released(bank, pool, tmp_path)
    rows = [
        row
        for v, (item, right) in enumerate(zip(found, (18, 20, 8, 19), strict=True))
        for row in right_and_wrong(item, right, 30, lambda i, v=v: f"{v}-{i}")
    ]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    (family,) = report.families
    assert family.flags == (statistics.NOT_ALIKE,)
    assert round(family.homogeneity.p, 3) == 0.006
    assert list(family.variants.values()) == [(18, 30), (20, 30), (8, 30), (19, 30)]


def suspicious(bank, pool_of, tmp_path) -> tuple[list[Item], Path]:
    """40 students of ten abilities: the better miss only the last of eight questions."""
    pool = pool_of("".join(f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES[:8]))
    found = released(bank, pool, tmp_path)
    rows = []
    for s in range(40):
        ability = s % 10
        for q, item in enumerate(found):
            right = ability > q if q < 7 else ability < 3
            rows.append({"id": s, "item": item.identifier, "score": item.scoring.points * right})
    return found, table(tmp_path, rows)


def test_a_question_that_the_better_students_miss_says_check_the_key_first(bank, pool_of, tmp_path):
    found, path = suspicious(bank, pool_of, tmp_path)

    report = results.record_results(bank, "quiz-2027-spring", [path], COLUMNS)

    last = report.items[-1]
    assert last.identifier == found[-1].identifier
    assert last.r is not None and last.r < 0
    assert last.flags[0] == statistics.CHECK_KEY and last.advice == "rest"
    assert all(statistics.CHECK_KEY not in r.flags for r in report.items[:-1])


def test_its_problem_is_not_drawn_again_until_the_key_was_checked(bank, pool_of, tmp_path):
    """A family of one variant: the second draw must use the same problem."""
    pool = pool_of("  - {family: square-roots-power-of-two, variants: 48}\n", rests="0")
    found = released(bank, pool, tmp_path)
    doubted = found[5]
    rows = [
        {"id": s, "item": item.identifier, "score": item is not doubted or s % 2}
        for s in range(40)
        for item in (found[0], doubted)
    ]
    for row in rows:
        row["score"] = int(row["score"])
        if row["item"] == found[0].identifier:
            row["score"] = 1 - int(row["id"]) % 2
    path = table(tmp_path, rows)
    results.record_results(bank, "quiz-2027-spring", [path], COLUMNS, section="day")

    with pytest.raises(DrawError, match="2 x waits for a check of its key"):
        draw.draw(bank, pool, AUTUMN)
    few = right_and_wrong(doubted, 2, 3, lambda i: f"late-{i}")
    late = table(tmp_path, few, "late.csv")
    results.record_results(bank, "quiz-2027-spring", [late], COLUMNS, section="late")
    with pytest.raises(DrawError, match="2 x waits for a check of its key"):
        draw.draw(bank, pool, AUTUMN)

    results.clear(bank, [found[0].identifier, doubted.identifier], "A. Brook", "it is right")

    assert draw.draw(bank, pool, AUTUMN).total == 48


def test_a_problem_that_has_become_easier_is_retired(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: square-roots-power-of-two, variants: 48}\n", rests="0")
    first = released(bank, pool, tmp_path)[0]
    results.record_results(
        bank,
        "quiz-2027-spring",
        [table(tmp_path, right_and_wrong(first, 15, 30, str), "a.csv")],
        COLUMNS,
    )
    draw.draw(bank, pool, AUTUMN)
    export.export(bank, "quiz", AUTUMN, tmp_path, ("cc13",))
    with bank.reading() as connection:
        again = connection.execute(
            select(items).where(items.c.statement == first.statement[0]).order_by(items.c.id)
        ).all()[1]
    rows = [{"id": i, "item": again.identifier, "score": int(i < 26)} for i in range(30)]

    report = results.record_results(
        bank, "quiz-2027-autumn", [table(tmp_path, rows, "b.csv")], COLUMNS
    )

    assert report.items[0].flags == (statistics.EASIER,)
    assert report.items[0].advice == "retire"
    with pytest.raises(DrawError, match="1 x retired by its results"):
        draw.draw(bank, pool, "2028-spring")


# ------------------------------------------------------------ on record


def test_results_are_counted_once_and_no_student_is_recorded(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    (item,) = released(bank, pool, tmp_path)
    path = table(tmp_path, right_and_wrong(item, 2, 3, lambda i: f"student-{i}"))

    first, second = (
        results.record_results(bank, "quiz-2027-spring", [path], COLUMNS) for _ in range(2)
    )

    assert (first.outcome, second.outcome) == ("new", "unchanged")
    assert dataclasses.replace(second, outcome="new") == first
    with bank.reading() as connection:
        (report,) = connection.execute(select(reports)).all()
        (usage,) = connection.execute(select(usages)).all()
    assert (report.students, usage.students, usage.correct) == (3, 3, 2)
    assert "student-" not in report.facts + usage.facts


def counted(bank) -> list[tuple[int, int]]:
    """The students and the right answers of each question on record."""
    return [(s.cases, s.correct) for s in results.item_statistics(bank, "quiz-2027-spring")]


@pytest.fixture
def sixty(bank, pool_of, tmp_path) -> tuple[str, Callable[..., results.TermReport]]:
    """Two questions that 60 students had, 30 right at each; how to load such a table again."""
    pool = pool_of("".join(f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES[:2]))
    one, two = released(bank, pool, tmp_path)

    def load(right: int, of: int = 60, **options: Any) -> results.TermReport:
        rows = [*right_and_wrong(one, right, of, str), *right_and_wrong(two, 30, of, str)]
        path = table(tmp_path, rows, f"{right}-{of}.csv")
        return results.record_results(bank, "quiz-2027-spring", [path], COLUMNS, **options)

    assert load(30).outcome == "new"
    return one.identifier, load


def test_a_regrade_counts_its_students_once(bank, sixty):
    """Without --replace nothing is recorded, and one line says what differs."""
    name, load = sixty

    with pytest.raises(ReportError) as error:
        load(45)
    assert str(error.value) == (
        "release quiz-2027-spring: on record are results of the whole release (60 students); "
        f"these differ: {name} 30 of 60 right there, 45 of 60 right here; say --replace if these "
        "take their place, or --section NAME if they are of others"
    )
    assert counted(bank) == [(60, 30), (60, 30)]

    again = load(45, replacing=True)

    assert (again.outcome, again.replaced) == ("replaced", 60)
    assert counted(bank) == [(60, 45), (60, 30)]
    assert [r.flags for r in again.items] == [(), ()], "a regrade is no earlier use"


def test_the_first_results_may_take_their_place_again(bank, sixty):
    """The wrong file was loaded, and the right one comes back."""
    _name, load = sixty
    load(45, replacing=True)

    assert load(30, replacing=True).outcome == "replaced"
    assert load(30, replacing=True).outcome == "unchanged"
    assert counted(bank) == [(60, 30), (60, 30)]


def test_results_of_before_scores_were_kept_are_given_them_by_reading_them_again(sixty, place):
    """And only where that is asked for; what stood there stays on record, and counts no longer."""
    _name, load = sixty
    with closing(sqlite3.connect(place)) as older:
        for name in older.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            older.execute(f"DROP TRIGGER {name[0]}")
        older.execute("UPDATE usages SET facts = json_remove(facts, '$.by_score')")
        older.commit()

    assert load(30).outcome == "unchanged"
    again = load(30, replacing=True)

    assert (again.outcome, again.replaced) == ("replaced", 60)
    with closing(sqlite3.connect(place)) as bank:
        held = bank.execute("SELECT json_extract(facts, '$.by_score') FROM usages ORDER BY report")
        assert [told is not None for (told,) in held] == [False, False, True, True]
    assert load(30, replacing=True).outcome == "unchanged"


def test_later_results_with_more_students_say_so(sixty):
    name, load = sixty

    with pytest.raises(ReportError) as error:
        load(30, 61)
    assert (
        f"these differ: 61 students, {name} 30 of 60 right there, 30 of 61 right here, and 1 more "
        "questions;"
    ) in str(error.value)


def test_rows_in_another_order_are_the_same_results(bank, sixty, tmp_path):
    """A report that was fetched again, with other bytes."""
    head, *rows = (tmp_path / "30-60.csv").read_text(encoding="utf-8").splitlines()
    path = tmp_path / "again.csv"
    path.write_text("\n".join([head, *reversed(rows)]) + "\n", encoding="utf-8")

    report = results.record_results(bank, "quiz-2027-spring", [path], COLUMNS)

    assert report.outcome == "unchanged"
    assert counted(bank) == [(60, 30), (60, 30)]


def test_sections_of_a_term_are_counted_side_by_side(bank, sixty):
    """Neither is an earlier use of the other: the better one retires nothing."""
    _name, load = sixty

    with pytest.raises(ReportError, match=r"of the whole release \(60 students\); these differ: "
                       r"section A \(40 students\)"):  # fmt: skip
        load(30, 40, section="A")
    load(30, 40, section="A", replacing=True)
    better = load(48, 50, section="B")

    assert better.outcome == "new"
    assert [r.advice for r in better.items] == ["keep", "keep"]
    assert counted(bank) == [(90, 78), (90, 60)]
    with pytest.raises(ReportError, match=r"section A \(40 students\), section B \(50 students\)"):
        load(78, 90)


def test_what_a_replaced_report_cast_doubt_on_is_free_again(bank, pool_of, tmp_path):
    """The key was wrong on the platform, and the regrade says that all is well."""
    found, path = suspicious(bank, pool_of, tmp_path)
    results.record_results(bank, "quiz-2027-spring", [path], COLUMNS)
    pool = pool_of("".join(f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES[:8]))
    rows = []
    for s in range(40):
        for q, item in enumerate(found):
            right = s % 10 > q
            rows.append({"id": s, "item": item.identifier, "score": item.scoring.points * right})
    regraded = table(tmp_path, rows, "regraded.csv")

    results.record_results(bank, "quiz-2027-spring", [regraded], COLUMNS, replacing=True)

    family = status.family_standing(bank, pool, pool.entries[-1])
    assert (family.answered, family.right, family.doubted) == (40, 8, ())
    with pytest.raises(BankError, match="expected an item that results cast doubt on"):
        results.clear(bank, [found[-1].identifier], "A. Brook", "it is right")


def test_one_file_may_hold_the_results_of_two_releases(bank, pool_of, tmp_path):
    """The second was passed over in silence, as one read before."""
    one, two = (f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES[:2])
    rows = []
    for lines, name in ((one, "quiz-2027-spring"), (one + two, "quiz-2027-spring-2")):
        item = released(bank, pool_of(lines), tmp_path)[-1]
        rows += right_and_wrong(item, 3, 4, lambda i, name=name: f"{name} {i}")
    path = table(tmp_path, rows)
    for name in ("quiz-2027-spring", "quiz-2027-spring-2"):
        assert results.record_results(bank, name, [path], COLUMNS).outcome == "new"

    assert all(results.item_statistics(bank, f"quiz-2027-spring{n}") for n in ("", "-2"))


def test_items_of_another_release_are_named_and_left_out(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    (item,) = released(bank, pool, tmp_path)
    rows = [*right_and_wrong(item, 1, 2, str), {"id": 1, "item": "item-other", "score": 1}]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)
    assert (report.unknown, report.items[0].students) == (("item-other",), 2)

    with pytest.raises(ReportError) as error:
        results.record_results(
            bank, "quiz-2027-spring", [table(tmp_path, rows[-1:], "b.csv")], COLUMNS
        )
    assert str(error.value) == (
        "results: no item of them is one of the release quiz-2027-spring; they name item-other"
    )


@pytest.mark.parametrize("score", ["-1", "3"])
def test_a_score_that_the_item_cannot_give_is_told(bank, pool_of, tmp_path, score):
    pool = pool_of("  - {family: linear-one-solution, variants: 1, points: 2}\n")
    (item,) = released(bank, pool, tmp_path)
    path = table(tmp_path, [{"id": 1, "item": item.identifier, "score": score}])

    with pytest.raises(ReportError) as error:
        results.record_results(bank, "quiz-2027-spring", [path], COLUMNS)
    assert str(error.value) == (
        f"{path}:2: {item.identifier}: expected a score of 0 to 2, got {score}"
    )


@pytest.mark.parametrize(
    ("version", "schema"),
    [
        ("qti21", "qti21/imsqti_usagedata_v2p1.xsd"),
        ("qti30", "qti30/imsqti_usagedatav3p0_v1p0.xsd"),
    ],
)
def test_usage_data_is_valid_and_says_what_came_back(
    bank, pool_of, tmp_path, version, schema, valid_document
):
    from lxml import etree

    pool = pool_of(
        "  - {family: zero-product-composite, variants: 1, points: 2, form: select one}\n"
    )
    (item,) = released(bank, pool, tmp_path)
    right = next(o.identifier for o in item.response.options if o.correct)
    wrong = next(o.identifier for o in item.response.options if not o.correct)
    rows = [
        {
            "id": i,
            "item": item.identifier,
            "score": 2 * (i < 3),
            "answer": right if i < 3 else wrong,
        }
        for i in range(4)
    ]
    results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    document = usage_data(version, "urn:x", results.item_statistics(bank, "quiz-2027-spring"))

    assert valid_document(schema, document) == []
    found = {
        (s.get("name"), s[0].get("partIdentifier")): (s[1].text, s.get("caseCount"))
        for s in etree.fromstring(document)
    }
    assert found == {
        ("P-value", None): ("0.7500", "4"),
        ("AIS", None): ("1.5000", "4"),
        ("PTbis", None): ("1.0000", "4"),
        ("NumberChoosingResponse", right): ("3", "4"),
        ("NumberChoosingResponse", wrong): ("1", "4"),
    }


def test_usage_data_of_several_reports_takes_them_together(bank, pool_of, tmp_path):
    """3 of 4 and 1 of 4 right; a correlation of two groups of students is not defined."""
    pool = pool_of("  - {family: linear-one-solution, variants: 1, points: 3}\n")
    (item,) = released(bank, pool, tmp_path)
    for name, right in (("a.csv", 3), ("b.csv", 1)):
        path = table(tmp_path, right_and_wrong(item, right, 4, str), name)
        results.record_results(bank, "quiz-2027-spring", [path], COLUMNS, section=name)

    (found,) = results.item_statistics(bank, "quiz-2027-spring")

    assert (found.cases, found.correct, found.score, found.r_total) == (8, 4, Fraction(3, 2), None)


def test_usage_data_is_of_one_release(bank, pool_of, tmp_path):
    """A second release of the term, with one item more, has results of its own."""
    one, two = (f"  - {{family: linear-one-solution, variants: {n}}}\n" for n in (1, 2))
    for lines, right in ((one, 3), (two, 1)):
        item = released(bank, pool_of(lines), tmp_path)[0]
        path = table(tmp_path, right_and_wrong(item, right, 4, str), f"{right}.csv")
        name = "quiz-2027-spring" if lines == one else "quiz-2027-spring-2"
        results.record_results(bank, name, [path], COLUMNS)

    (found,) = results.item_statistics(bank, "quiz-2027-spring")

    assert (found.cases, found.correct) == (4, 3)


def test_usage_data_without_results_says_what_to_do(bank, pool_of, tmp_path):
    released(bank, pool_of("  - {family: linear-one-solution, variants: 1}\n"), tmp_path)

    with pytest.raises(ReportError) as error:
        results.item_statistics(bank, "quiz-2027-spring")
    assert str(error.value) == (
        "release quiz-2027-spring: no results are on record; `itembank results "
        "quiz-2027-spring FILE` reads them"
    )


def test_what_no_results_cast_doubt_on_cannot_be_cleared(bank, pool_of, tmp_path):
    found, path = suspicious(bank, pool_of, tmp_path)
    results.record_results(bank, "quiz-2027-spring", [path], COLUMNS)
    sound, doubted = found[0].identifier, found[-1].identifier

    with pytest.raises(BankError) as error:
        results.clear(bank, [doubted, sound], "A. Brook", "it is right")
    assert str(error.value) == (
        f"{sound}: expected an item that results cast doubt on; `itembank status` lists them"
    )
    results.clear(bank, [doubted], "A. Brook", "it is right")
    with pytest.raises(BankError, match="expected an item that results cast doubt on"):
        results.clear(bank, [doubted], "A. Brook", "it is right")


def test_the_standing_tells_what_came_back(bank, pool_of, tmp_path):
    found, path = suspicious(bank, pool_of, tmp_path)
    pool = pool_of("".join(f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES[:8]))
    results.record_results(bank, "quiz-2027-spring", [path], COLUMNS)
    last = found[-1]

    family = status.family_standing(bank, pool, pool.entries[-1])

    assert (family.answered, family.right) == (40, 12)
    assert family.doubted == ((last.identifier, last.title, SPRING, "rest"),)
    results.clear(bank, [last.identifier], "A. Brook", "it is right")
    assert status.family_standing(bank, pool, pool.entries[-1]).doubted == ()


def test_usage_data_of_nothing_is_refused():
    with pytest.raises(ExportError, match="results of at least one item"):
        usage_data("qti30", "urn:x", [])


def test_shares_are_exact(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: linear-one-solution, variants: 1, points: 3}\n")
    (item,) = released(bank, pool, tmp_path)
    rows = [{"id": i, "item": item.identifier, "score": s} for i, s in enumerate(("1", "2", "0.1"))]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    assert report.items[0].difficulty == Fraction(31, 90)


def test_a_wrong_answer_that_most_of_the_best_give_casts_doubt_on_the_key(bank, pool_of, tmp_path):
    """The item-rest correlation is not negative here: blanks by the weakest hide the lure."""
    pool = pool_of("".join(f"  - {{family: {f}, variants: 1}}\n" for f in FAMILIES[:8]))
    found = released(bank, pool, tmp_path)
    rows = []
    for s in range(40):
        ability = s % 10
        for q, item in enumerate(found):
            right, answer = (ability > q, "") if q < 7 else (3 <= ability < 8, "")
            if q == 7 and ability >= 8:
                answer = "999"
            score = item.scoring.points * right
            rows.append({"id": s, "item": item.identifier, "score": score, "answer": answer})

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    last = report.items[-1]
    assert last.r is not None and last.r > 0
    assert last.flags == (statistics.CHECK_KEY,)
