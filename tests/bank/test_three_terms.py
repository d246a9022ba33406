"""Three simulated terms of one course, on both databases, by the commands that people type."""

import csv
import json
import zipfile
from itertools import combinations
from pathlib import Path

from click.testing import CliRunner

from itembank.bank import entries, open_bank, releases
from itembank.cli import main
from itembank.kinds.statement import problem_from
from itembank.terms.outlook import AHEAD

TERMS = ("2027-spring", "2027-autumn", "2028-spring")
ENTRIES = (
    "  - {family: linear-one-solution, variants: 9}\n"
    "  - {family: quadratic-two-prime-powers, variants: 9, points: 2, form: select one}\n"
    "  - {family: count-square-roots, variants: 9}\n"
)


def run(*arguments: object) -> dict:
    result = CliRunner().invoke(main, [*map(str, arguments), "--json"])
    assert result.exit_code == 0, result.output
    found: dict = json.loads(result.stdout)
    return found


def items_in(package: Path) -> set[str]:
    with zipfile.ZipFile(package) as z:
        return {n.removesuffix(".xml") for n in z.namelist() if n.startswith("item-")}


def items_of(place: str, name: str):
    bank = open_bank(place)
    with bank.reading() as connection:
        numbers = releases.released_items(connection, releases.released(connection, name).number)
        return list(entries.stored_items(connection, numbers))


def taught(place, pool_of, tmp_path) -> Path:
    """The pool's file after three terms, each drawn, exported and sat."""
    pool = pool_of(ENTRIES, effort="{steps: 12, digits: 1}").path
    for term in TERMS:
        drawn = run("draw", pool, "--term", term, "--bank", place, "--forms", 3)
        assert drawn["items"] == 27
        assert_forms_are_balanced(drawn["assembly"], drawn["forms"])
        run("export", pool, "--term", term, "--bank", place, "--out", tmp_path / term,
            "--to", "qti21", "--to", "cc13")  # fmt: skip
        results = tmp_path / f"{term}.csv"
        with results.open("w", encoding="utf-8", newline="") as file:
            rows = csv.writer(file)
            rows.writerow(["student", "question", "score"])
            found = items_of(place, f"quiz-{term}")
            for s in range(90):
                for q in range(3):
                    item = found[9 * q + s % 9]
                    right = (s * 7 + q * 3) % 10 < 6
                    rows.writerow([s, item.identifier, item.scoring.points * right])
        run("results", f"quiz-{term}", results, "--bank", place, "--student", "student",
            "--item", "question", "--score", "score")  # fmt: skip
    return pool


def assert_forms_are_balanced(result: dict, sizes: dict[str, int]):
    """One question of each family a form, and the gap of the effort sums as stated."""
    assert sizes == {"A": 3, "B": 3, "C": 3}
    sums = result["effort"]
    assert max(sums) - min(sums) == result["gap"] <= max(sums) // 20


def assert_no_term_repeats_another(place, tmp_path):
    """Neither a problem, nor a disguise of one, nor an identifier."""
    problems, names = [], []
    for term in TERMS:
        found = items_of(place, f"quiz-{term}")
        problems.append({problem_from(i.statement).canonical for i in found})
        names.append({i.identifier for i in found})
        assert names[-1] == items_in(tmp_path / term / f"quiz-{term}-qti21.zip")
    assert [len(p) for p in problems] == [27] * 3
    assert not any(a & b for a, b in combinations(problems, 2))
    assert not any(a & b for a, b in combinations(names, 2))


def assert_the_runway_has_fallen_and_the_results_are_there(course, place):
    found = run("status", course, "--bank", place)

    for family in found["families"]:
        assert family["used_by_term"] == dict.fromkeys(TERMS, 9)
        assert family["left"] == family["variants"] - 27
        assert min(AHEAD, family["left"] // 9) <= family["runway"] <= AHEAD
    assert [t["common_with_last_term"] for t in found["terms"]] == [None, 0.0, 0.0]
    assert [t["common_to_two_students"] for t in found["terms"]] == [0.333] * 3


def assert_the_next_package_holds_what_is_new_and_says_what_to_retire(course, place, tmp_path):
    changed = run("make", course, "--term", "2028-autumn", "--bank", place, "--since",
                  "quiz-2028-spring", "--out", tmp_path / "new", "--to", "qti21")  # fmt: skip

    new = items_in(tmp_path / "new" / "quiz-2028-autumn-new-qti21.zip")
    assert new == set(changed["new"]) and len(new) == 27
    assert set(changed["retire"]) == {i.identifier for i in items_of(place, "quiz-2028-spring")}


def assert_a_withdrawal_corrects_the_term_that_it_touches(place, tmp_path):
    gone = items_of(place, "quiz-2027-autumn")[0].identifier

    done = run("withdraw", gone, "--because", "two readings", "--bank", place, "--out",
               tmp_path / "corrected")  # fmt: skip

    assert done["withdrawn"][0]["releases"] == ["quiz-2027-autumn"]
    assert [made["release"] for made in done["corrected"]] == ["quiz-2027-autumn-2"]
    package = tmp_path / "corrected" / "quiz-2027-autumn-2-qti21.zip"
    assert len(items_in(package)) == 26 and gone not in items_in(package)
    audited = CliRunner().invoke(main, ["audit", str(package)])
    assert audited.exit_code == 0, audited.output


def test_three_terms_of_one_course(place, pool_of, tmp_path):
    course = taught(place, pool_of, tmp_path)

    assert_no_term_repeats_another(place, tmp_path)
    assert_the_runway_has_fallen_and_the_results_are_there(course, place)
    assert_a_withdrawal_corrects_the_term_that_it_touches(place, tmp_path)
    assert_the_next_package_holds_what_is_new_and_says_what_to_retire(course, place, tmp_path)
