"""A family that is begun passes check as it stands, for each kind of which families are shipped."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank import cli
from itembank.kinds.table import SIGNATURES
from itembank.spec import load_family


def run(*args: object):
    return CliRunner().invoke(cli.main, [*map(str, args)])


@pytest.mark.parametrize("kind", ["linear", "polynomial", "system", "gcd", "symbol", "units"])
def test_what_is_begun_passes_check_at_once(kind: str, tmp_path: Path):
    begun = run("begin", "my-own", "--kind", kind, "--out", tmp_path)
    path = tmp_path / "my-own.yaml"

    assert begun.exit_code == 0, begun.output
    assert begun.stdout == f"{path}: a family of the kind '{kind}' to change\n"
    assert load_family(path, SIGNATURES).kind == kind
    checked = run("check", path)
    assert checked.exit_code == 0, checked.output


def test_each_field_has_a_word_and_the_editor_a_schema(tmp_path: Path):
    run("begin", "my-own", "--kind", "linear", "--out", tmp_path)
    lines = (tmp_path / "my-own.yaml").read_text(encoding="utf-8").splitlines()

    assert lines[0].startswith("# yaml-language-server: $schema=file:///")
    fields = [n for n, line in enumerate(lines) if line[:1].isalpha()]
    assert len(fields) >= 9
    assert {"ask: the solution", "forms: [integer]"} <= set(lines)
    named = {"id", "version", "title", "problem", "level", "parameters", "given", "ask", "forms"}
    for n in fields:
        if lines[n].partition(":")[0] in named:
            assert lines[n - 1].startswith("# "), lines[n]


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path):
    path = tmp_path / "my-own.yaml"
    path.write_text("mine")

    result = run("begin", "my-own", "--kind", "linear", "--out", tmp_path)

    assert result.exit_code == 1
    assert result.stderr == (
        f"{path}: expected no file of this name, found one; choose another ID\n"
    )
    assert path.read_text() == "mine"


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (
            ("My Own", "--kind", "linear"),
            "Error: Invalid value for 'ID': expected lower-case letters, digits and single "
            "hyphens, such as parcels-in-boxes; got 'My Own'\n",
        ),
        (
            ("own", "--kind", "linaer"),
            "Error: Invalid value for '--kind': unknown kind of problem 'linaer'; did you mean "
            "'linear'?\n",
        ),
    ],
)
def test_a_wrong_name_is_told_with_its_remedy(args: tuple[str, ...], message: str):
    result = run("begin", *args)

    assert result.exit_code == 2
    assert result.stderr == message
