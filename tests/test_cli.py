"""The command line as a newcomer meets it: help, exit codes, one clear line a mistake."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank.cli import COMMANDS as FILES
from itembank.cli import main

ROOT = Path(__file__).parent.parent
COMMANDS = sorted(FILES)


def run(*args: str):
    return CliRunner().invoke(main, list(args))


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command):
    result = run(command, "--help")

    assert result.exit_code == 0
    assert f"itembank {command} " in result.output
    assert "Example" in result.output


def test_help_needs_none_of_the_heavy_imports():
    """`itembank --help` stays quick: sympy, lxml and yaml wait until they are needed."""
    code = (
        "import sys; sys.argv = ['itembank', '--help']\n"
        "from itembank.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(sorted({'sympy', 'lxml', 'yaml', 'flint'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)

    assert done.stdout.splitlines()[-1] == "[]"


# ------------------------------------------------------------ solve


def solved(*statement: str) -> dict:
    result = run("solve", *statement, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_solve_gives_json_that_programs_rely_on():
    """Found by trying all 36 residues by hand; common practice."""
    found = solved("x^2 + 3x + 8 = 0 mod 36")

    assert {
        k: found[k] for k in ("statement", "kind", "modulus", "count", "classes", "solutions")
    } == {
        "statement": ["x^2 + 3x + 8 = 0 mod 36"],
        "kind": "polynomial",
        "modulus": 36,
        "count": 4,
        "classes": [[4, 36], [13, 36], [20, 36], [29, 36]],
        "solutions": [4, 13, 20, 29],
    }
    assert found["steps"] and all("step" in step for step in found["steps"])


@pytest.mark.parametrize(
    ("statements", "solutions"),
    [
        (["-x = 3 mod 7"], [4]),
        (["-3x = 6 mod 9"], [1, 4, 7]),
        (["-x=3mod7"], [4]),
        (["-(x - 1)^2 = 0 mod 5"], [1]),
        (["x = 2 mod 3", "-x = 3 mod 5"], [2]),
        (["--", "-x = 3 mod 7"], [4]),
    ],
)
def test_a_statement_may_begin_with_a_minus_sign(statements, solutions):
    """Each tried residue by residue."""
    result = run("solve", "--json", *statements)

    assert result.exit_code == 0, result.output
    assert json.loads(result.stdout)["solutions"] == solutions


def test_what_follows_a_statement_with_a_minus_sign_is_an_option_still():
    assert r"\pmod{7}" in run("solve", "-x = 3 mod 7", "--as", "latex").output


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (["--sa", "text", "-x = 3 mod 7"], "No such option '--sa'. (Did you mean one of: '--as'"),
        (["--sa=text", "-x = 3 mod 7"], "No such option '--sa'. (Did you mean one of: '--as'"),
        (["-a", "x = 3 mod 7"], "No such option '-a'."),
        (["-x"], "No such option '-x'."),
    ],
)
def test_a_mistyped_option_is_no_statement(args, message):
    result = run("solve", *args)

    assert result.exit_code == 2
    assert message in result.output


def test_no_solution_is_a_count_of_zero_and_no_error():
    found = solved("x^2 = 2 mod 5")

    assert (found["count"], found["classes"], found["solutions"]) == (0, [], [])


def test_a_long_list_of_solutions_is_null_and_its_classes_stay():
    found = solved("x^2 = 0 mod 3^40")

    assert (found["count"], found["classes"], found["solutions"]) == (3**20, [[0, 3**20]], None)


@pytest.mark.parametrize(
    ("statement", "answer"),
    [
        (["order of 7 mod 48"], {"value": 2}),
        (["(3/7)"], {"value": -1}),
        (["inverse of 7 mod 26"], {"value": 15, "modulus": 26}),
        (["index of 5 base 3 mod 17"], {"value": 5}),
        (["7^222 mod 1000"], {"value": 49}),
        (["10! mod 11"], {"value": 10}),
        (["phi(36)"], {"value": 12}),
        (["isbn 0-306-40615-?"], {"value": "2"}),
        (["2x + 3y = 5 mod 7", "x - y = 1 mod 7"], {"solutions": [[3, 2]]}),
        (["x = 2 mod 3", "x = 3 mod 5"], {"solutions": [8]}),
    ],
)
def test_every_kind_answers_in_json(statement, answer):
    """Hand-checked values; the ISBN is the example of ISO 2108 (from memory)."""
    found = solved(*statement)

    assert {k: found[k] for k in answer} == answer


@pytest.mark.parametrize("statement", ["inverse of 6 mod 26", "primitive roots mod 8"])
def test_what_does_not_exist_is_said_with_its_reason_and_is_no_error(statement):
    found = solved(statement)

    assert found["exists"] is False
    assert found["reason"].endswith(".")
    assert "\n" not in found["reason"]


@pytest.mark.parametrize("form", ["text", "latex", "html"])
def test_solve_writes_the_working_in_every_form(form):
    result = run("solve", "x^2 + 9x + 5 = 0 mod 117", "--as", form)

    assert result.exit_code == 0
    assert "Split the modulus." in result.stdout
    assert "101" in result.stdout


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("x^2 + 3x", "expected a congruence with a modulus"),
        ("x^2 = 3 mod 0", "expected a modulus other than 0"),
        ("x^2 = y mod 5", "expected one unknown, found x, y"),
        ("3 = 4 mod 5", "expected an unknown such as x"),
        ("x^2 = 3 mod 2^10^9", "too large"),
        ("((((x = 1 mod 5", "expected"),
        ("", "expected"),
    ],
)
def test_a_bad_statement_is_one_line_and_exit_code_2(statement, said):
    result = run("solve", statement)

    assert result.exit_code == 2
    assert said in result.output
    assert len(result.output.strip().splitlines()) == 1
    assert "Traceback" not in result.output


# ------------------------------------------------------------ make, audit, check


def test_an_unknown_pool_names_the_shipped_ones(tmp_path):
    near = run("make", "lifting-homwork", "--term", "2027-spring", "--out", str(tmp_path))
    far = run("make", "zzz", "--term", "2027-spring", "--out", str(tmp_path))

    assert near.exit_code == far.exit_code == 2
    assert "did you mean 'lifting-homework'?" in near.output
    assert "expected one of: " in far.output and "lifting-homework" in far.output


def test_a_term_that_is_no_name_is_refused(tmp_path):
    result = run("make", "lifting-homework", "--term", "../x", "--out", str(tmp_path))

    assert result.exit_code == 2
    assert "expected letters, digits and hyphens, such as 2027-spring; got '../x'" in result.output


@pytest.mark.skipif(os.name == "nt", reason="a folder below a file fails in other words there")
def test_a_folder_that_cannot_be_made_is_one_line(tmp_path):
    (tmp_path / "file").write_text("")
    out = tmp_path / "file" / "packages"

    result = run("make", "lifting-homework", "--term", "2027-spring", "--out", str(out))

    assert result.exit_code == 1
    assert result.output.strip().startswith(f"{out}: cannot be made: ")


@pytest.mark.parametrize("content", [b"", b"not a zip at all", b"PK\x03\x04 truncated"])
def test_a_file_that_is_no_package_is_one_line(tmp_path, content):
    path = tmp_path / "package.zip"
    path.write_bytes(content)

    result = run("audit", str(path))

    assert result.exit_code == 1
    assert len(result.output.strip().splitlines()) == 1
    assert "Traceback" not in result.output


def test_a_zip_that_is_no_package_is_one_line(tmp_path):
    path = tmp_path / "package.zip"
    with zipfile.ZipFile(path, "w") as z:
        z.writestr("holiday.txt", "sun")

    result = run("audit", str(path))

    assert result.exit_code == 1
    assert len(result.output.strip().splitlines()) == 1


def test_audit_gives_json_that_programs_rely_on(tmp_path):
    run("make", "congruences-quiz", "--term", "2027-spring", "--out", str(tmp_path), "--to", "cc13")

    result = run("audit", str(tmp_path / "congruences-quiz-2027-spring-cc13.zip"), "--json")

    assert result.exit_code == 0
    found = json.loads(result.stdout)
    assert {k: found[k] for k in ("items", "agreed", "unchecked", "disagreed", "findings")} == {
        "items": 70,
        "agreed": 70,
        "unchecked": 0,
        "disagreed": 0,
        "findings": [],
    }


def test_check_gives_json_that_programs_rely_on():
    result = run("check", str(ROOT / "specs" / "families" / "lifting"), "--json")

    assert result.exit_code == 0
    for report in json.loads(result.stdout):
        assert report["faults"] == []
        assert report["variants"] > 0
        assert 0 < report["acceptance"] <= 1
        low, high = report["steps"]
        assert 0 < low <= high
        assert report["slips"]
        assert report["feedback"]["wrong_options_with_feedback"] == 1
        assert report["feedback"]["named_wrong_answers_an_entry"] >= 0


def test_check_reports_all_faults_and_exits_1(tmp_path):
    path = tmp_path / "broken.yaml"
    path.write_text("id: broken\nversion: one\ntitle: 7\nproblem: polynomal\n", encoding="utf-8")

    result = run("check", str(path))

    assert result.exit_code == 1
    assert f"{path}:2:10: " in result.output
    assert "did you mean 'polynomial'?" in result.output
    assert "Traceback" not in result.output


def test_a_path_that_is_not_there_is_a_usage_error(tmp_path):
    result = run("check", str(tmp_path / "nowhere"))

    assert result.exit_code == 2
    assert len(result.output.strip().splitlines()) == 1


def test_a_worked_solution_is_told_in_the_language_asked_for():
    german = run("solve", "6x = 4 mod 10", "--language", "de")
    unknown = run("solve", "6x = 4 mod 10", "--language", "tlh")

    assert "Antwort. x ≡ 4, 9 (mod 10): zwei Lösungen." in german.stdout
    assert 'lang="de"' in run("solve", "6x = 4 mod 10", "--language", "de", "--as", "html").stdout
    assert unknown.exit_code == 1
    assert unknown.stderr == "no catalogue for the language 'tlh'; expected one of: en, de, es\n"
