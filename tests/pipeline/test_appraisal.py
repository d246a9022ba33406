"""What a check of spec files tells, and that what it passes can leave."""

from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from itembank import cli
from itembank.audit.phrases import phrases_of

FAMILY = {
    "id": "fam",
    "version": "1",
    "title": "Fam",
    "problem": "linear",
    "outcomes": "[solve]",
    "level": "easy",
    "parameters": "{p: {prime: [5, 97]}, a: {integer: [1, 20]}, b: {integer: [1, 20]}}",
    "given": "{congruence: a*x = b, modulus: p}",
    "ask": "all solutions",
    "forms": "[list]",
    "small": "a test",
}


def written(folder: Path, name: str = "fam", **fields: str) -> Path:
    path = folder / f"{name}.yaml"
    said = FAMILY | {"id": name} | fields
    path.write_text("".join(f"{k}: {v}\n" for k, v in said.items()), encoding="utf-8")
    return path


WANTED = "a test of something else"
"""Why a test family may be guessed, where a test is not about guessing."""


def check(*paths: Path):
    result = CliRunner().invoke(cli.main, ["check", *map(str, paths)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.mark.parametrize("kind", ["linear", "polynomial"])
@pytest.mark.parametrize("modulus", ["0", "-5", "3 - 4"])
def test_a_modulus_below_1_is_a_fault_at_its_place(kind: str, modulus: str, tmp_path: Path):
    equation = "x = a + b*p" if kind == "linear" else "x^2 = a + b*p"
    path = written(tmp_path, problem=kind, given=f"{{congruence: {equation}, modulus: {modulus}}}")
    column = path.read_text().splitlines()[7].index("modulus: ") + len("modulus: ") + 1

    result = check(path)

    value = {"0": "0", "-5": "-5", "3 - 4": "-1"}[modulus]
    assert result.exit_code == 1
    assert result.stdout == (
        f"{path}:8:{column}: given.modulus: expected a modulus of at least 1, found {value}\n"
    )


def test_a_modulus_below_1_for_some_parameters_rejects_them_and_is_counted(tmp_path: Path):
    """The primes 53, ..., 97 leave 3, ..., 47: 10 of the 23 primes from 5 to 97."""
    primes = "{p: {prime: [5, 97]}, a: {integer: [1, 2]}}"
    path = written(
        tmp_path,
        parameters=primes,
        given="{congruence: x = a, modulus: p - 50}",
        guessing=WANTED,
    )

    result = check(path)

    assert result.exit_code == 0
    assert result.stdout.splitlines()[0] == (
        "fam: 20 variants, 43% of parameter sets accepted, 1 to 1 steps, 0 slips; "
        "0.0 wrong answers named an entry; rejected: 26 x given.modulus: 'p - 50' is no modulus"
    )


def test_where_no_parameters_give_a_modulus_its_place_and_an_example_are_told(tmp_path: Path):
    path = written(
        tmp_path, parameters="{p: {prime: [5, 7]}}", given="{congruence: x = 1, modulus: p - 50}"
    )

    result = check(path)

    assert result.exit_code == 1
    assert result.stdout == (
        f"{path}:8:37: given.modulus: 'p - 50' is no modulus at p = 5: a modulus is at least 1, "
        "got -45; no parameter set gives a variant: 2 x given.modulus: 'p - 50' is no modulus\n"
    )


def test_an_inverse_that_does_not_exist_rejects_its_parameters(tmp_path: Path):
    """Of m = 8, 9, 10 and u = 1, ..., 7 the units are 4, 5 and 3."""
    path = written(
        tmp_path,
        parameters="{m: {integer: [8, 10]}, u: {integer: [1, 7]}, v: {value: 'inverse(u, m)'}}",
        given="{congruence: x = v, modulus: m}",
        guessing=WANTED,
    )

    result = check(path)

    assert result.exit_code == 0
    assert "rejected: 9 x parameters.v.value: 'inverse(u, m)' has no value" in result.stdout
    assert result.stdout.startswith("fam: 12 variants, 57% of parameter sets accepted")


def test_a_condition_that_never_holds_is_told_at_its_place(tmp_path: Path):
    path = written(tmp_path, where="[a > b, a < b]")

    result = check(path)

    assert result.exit_code == 1
    assert "where[" in result.stdout and "no parameter set gives a variant" in result.stdout
    assert result.stdout.startswith(f"{path}:12:")


def test_one_faulty_file_does_not_end_the_check_of_a_folder(tmp_path: Path):
    written(tmp_path, "a-modulus", given="{congruence: a*x = b, modulus: 0}")
    written(tmp_path, "b-kind", problem="linaer")
    (tmp_path / "c-bytes.yaml").write_bytes(b"\xff\xfe\x00\x80")
    written(tmp_path, "d-none", where="[a > 20]")
    written(tmp_path, "e-good", small="few primes", guessing=WANTED)
    (tmp_path / "f-pool.yaml").write_text("id: f-pool\nitems: []\n", encoding="utf-8")

    result = check(tmp_path)

    assert result.exit_code == 1
    for name in ("a-modulus", "b-kind", "c-bytes", "d-none", "f-pool"):
        assert f"{tmp_path / name}.yaml:" in result.stdout
    assert "\ne-good: " in result.stdout


def test_a_folder_without_specs_is_told(tmp_path: Path):
    result = check(tmp_path)

    assert result.exit_code == 1
    assert result.stderr == f"{tmp_path}: expected spec files (*.yaml), found none\n"


def test_two_families_of_one_id_are_told(tmp_path: Path):
    (tmp_path / "more").mkdir()
    first, second = written(tmp_path), written(tmp_path / "more")

    result = check(tmp_path)

    assert result.exit_code == 1
    assert f"{second}:1:1: the id 'fam' is that of {first} too\n" in result.stdout


@pytest.mark.parametrize(
    ("equation", "column", "degree"),
    [("3*x^2 = b", 23, 2), ("a*x = x*x", 27, 2), ("(x + a)^3 = 1", 21, 3)],
)
def test_a_linear_congruence_of_a_higher_degree_is_a_fault_at_its_place(
    equation: str, column: int, degree: int, tmp_path: Path
):
    path = written(tmp_path, given=f"{{congruence: {equation}, modulus: p}}")

    result = check(path)

    assert result.exit_code == 1
    message = f"given.congruence: expected a linear congruence, found degree {degree}; use problem"
    assert f"{path}:8:{column}: {message}: polynomial\n" in result.stdout


def test_an_exponent_that_makes_a_linear_congruence_none_rejects_its_parameters(tmp_path: Path):
    path = written(
        tmp_path,
        parameters="{p: {prime: [5, 23]}, k: {integer: [1, 3]}, b: {integer: [0, 4]}}",
        given="{congruence: x^k = b, modulus: p}",
        guessing=WANTED,
    )

    result = check(path)

    assert result.exit_code == 0
    assert "70 x given.congruence: expected degree ... at most, got ..." in result.stdout


def test_a_modulus_of_1_has_no_steps_to_order(tmp_path: Path):
    path = written(
        tmp_path,
        problem="polynomial",
        parameters="{m: {integer: [1, 30]}, b: {integer: [1, 9]}}",
        given="{congruence: x^2 + b*x = 0, modulus: m}",
        ask="the steps",
        forms="[order]",
        coefficients="any",
        guessing=WANTED,
    )

    result = check(path)

    assert result.exit_code == 0
    assert "x order: 0 steps to tell, expected " in result.stdout


@pytest.mark.parametrize("kind", ["units", "zero_divisors", "squares", "quadratic_residues"])
def test_a_set_to_tick_passes_as_it_can_leave(kind: str, tmp_path: Path):
    path = written(
        tmp_path,
        problem=kind,
        parameters="{m: {integer: [6, 40]}}",
        where="[solutions in 1..7]",
        given="{modulus: m}",
        forms="[select all, list]",
        guessing=WANTED,
    )

    assert check(path).exit_code == 0


def test_a_form_in_which_the_audit_cannot_follow_is_a_fault_at_its_place(
    tmp_path: Path, monkeypatch
):
    """As if the audit did not know how the kind says that there is none."""
    known = phrases_of("en")
    less = replace(known, answer=replace(known.answer, none=frozenset(["no solutions"])))
    monkeypatch.setattr("itembank.audit.item.phrases_of", lambda _language: less)
    path = written(
        tmp_path,
        problem="units",
        parameters="{m: {integer: [6, 14]}}",
        where="[solutions in 1..7]",
        given="{modulus: m}",
        forms="[list, select all]",
        guessing=WANTED,
    )

    result = check(path)

    assert result.exit_code == 1
    assert f"{path}:10:15: forms[2]: 'select all' cannot leave: qti21: units mod " in result.stdout
    assert result.stdout.endswith(": stem: expected words for no solution, got “no units”\n")


def test_an_exponent_that_makes_no_power_of_a_prime_rejects_its_parameters(tmp_path: Path):
    """x^2 = 1 is lifted from 7^k only where k is at least 1."""
    path = written(
        tmp_path,
        problem="lifting_step",
        parameters="{k: {integer: [-2, 2]}}",
        given="{congruence: x^2 = 1, prime: 7, exponent: k, root: 1}",
        guessing=WANTED,
    )

    result = check(path)

    assert result.exit_code == 0
    assert result.stdout.startswith("fam: 2 variants, 40% of parameter sets accepted")
    assert "rejected: 3 x x^... = ...: expected a power of a prime" in result.stdout


MIXED = """\
id: mixed
title: Mixed
course: NT 210
seed: s
items: [{family: own, variants: 2}, {family: linear-one-solution, variants: 2}]
"""


@pytest.mark.parametrize("where", [".", "pools"])
def test_a_pool_names_own_and_shipped_families_without_a_flag(where: str, tmp_path: Path):
    (tmp_path / "families").mkdir()
    written(tmp_path / "families", "own")
    pool = tmp_path / where / "mixed.yaml"
    pool.parent.mkdir(exist_ok=True)
    pool.write_text(MIXED, encoding="utf-8")

    made = CliRunner().invoke(
        cli.main, ["make", str(pool), "--term", "t", "--out", str(tmp_path / "out")]
    )

    assert check(pool).stdout == "mixed: no fault\n"
    assert made.exit_code == 0, made.output
    assert "mixed-t-qti21.zip: 4 items, all agreed" in made.output


@pytest.fixture
def texts_read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The YAML texts that are read, in their order."""
    found: list[str] = []
    loader = yaml.SafeLoader

    def noted(text: str) -> yaml.SafeLoader:
        found.append(text)
        return loader(text)

    monkeypatch.setattr(yaml, "SafeLoader", noted)
    return found


def test_a_family_is_read_once_for_all_that_look_at_it(tmp_path: Path, texts_read: list[str]):
    own = written(tmp_path, "own")
    (tmp_path / "mixed.yaml").write_text(MIXED, encoding="utf-8")

    assert check(tmp_path).stdout.endswith("mixed: no fault\n")

    assert texts_read.count(own.read_text(encoding="utf-8")) == 1


def test_a_family_with_faults_is_told_at_its_place_and_to_the_pool_that_names_it(tmp_path: Path):
    own = written(tmp_path, "own", level="hard", guessing=WANTED)
    (tmp_path / "mixed.yaml").write_text(MIXED, encoding="utf-8")

    told = check(tmp_path).stdout.splitlines()

    assert sum(line.startswith(f"{own}:6:8: level: unknown level 'hard'") for line in told) == 2
    assert "mixed: no fault" not in told


def test_a_file_that_changed_since_another_check_is_read_anew(tmp_path: Path):
    written(tmp_path, "own")
    (tmp_path / "mixed.yaml").write_text(MIXED, encoding="utf-8")
    assert check(tmp_path).stdout.endswith("mixed: no fault\n")

    written(tmp_path, "own", forms="[lst]")

    assert "unknown form 'lst'" in check(tmp_path / "mixed.yaml").stdout


def test_an_id_of_an_own_and_of_a_shipped_family_is_a_fault_that_names_both(tmp_path: Path):
    own = written(tmp_path, "linear-one-solution")
    written(tmp_path, "own")
    pool = tmp_path / "mixed.yaml"
    pool.write_text(MIXED, encoding="utf-8")

    result = check(pool)

    assert result.exit_code == 1
    assert result.stdout.startswith(f"{own}:1:1: the id 'linear-one-solution' is that of ")
    assert result.stdout.endswith("linear-one-solution.yaml too: rename one of them\n")
    assert result.stdout in check(tmp_path).stdout


def guessable(folder: Path, **more: str) -> Path:
    """How many solutions there are of what always has one."""
    return written(
        folder,
        parameters="{p: {prime: [5, 97]}, a: {integer: [1, 2]}}",
        given="{congruence: x = a, modulus: p}",
        ask="how many",
        forms="[integer]",
        **more,
    )


def test_a_broken_bound_is_a_fault(tmp_path: Path):
    path = guessable(tmp_path)

    result = check(path)

    assert result.exit_code == 1
    assert result.stdout == (
        f"{path}:10:9: forms[1]: 'integer' can be guessed: the commonest key of two: 100 %, "
        "expected at most 60 %; or say in `guessing` why that is wanted\n"
    )


def test_a_family_may_say_why_guessing_is_wanted_and_what_guessers_score_is_told(tmp_path: Path):
    """Every x = a has one solution: whoever types 1 is right, but for the first time."""
    result = check(guessable(tmp_path, guessing="a warm-up in class"))

    _capacity, told, beyond, wanted, sampled = result.stdout.splitlines()
    assert result.exit_code == 0
    assert told == "  integer: best guess 96 % (the commonest answer so far)"
    assert beyond == "    beyond its bounds: the commonest key of two: 100 %, expected at most 60 %"
    assert wanted == "  guessing is wanted: a warm-up in class"
    assert sampled == "  sampled: 4 variants composed, 24 guessed at; --exact takes all of them"
