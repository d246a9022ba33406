"""What may be said of each kind, as the command tells it and as the page holds it.

Run this file to write the page anew after a change of words, kinds or families.
"""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from itembank import cli
from itembank.kinds.table import SIGNATURES
from itembank.pipeline import reference
from itembank.spec import library, load_family

PAGE = Path(__file__).resolve().parents[2] / "specs" / "README.md"


def kinds(*args: str):
    return CliRunner().invoke(cli.main, ["kinds", *args])


def test_the_page_is_the_one_that_the_program_makes():
    assert PAGE.read_text(encoding="utf-8") == reference.page()


def test_without_a_name_each_kind_has_a_line():
    lines = kinds().stdout.splitlines()

    assert [line.split()[0] for line in lines] == list(SIGNATURES)


@pytest.mark.parametrize("kind", ["linear", "iban_test", "system"])
def test_a_kind_is_told_with_all_that_its_signature_has(kind: str):
    told = kinds(kind).stdout
    said = json.loads(kinds(kind, "--json").stdout)
    signature = SIGNATURES[kind]

    assert [field["field"] for field in said["given"]] == list(signature.given)
    assert [ask["ask"] for ask in said["asks"]] == list(signature.asks)
    assert list(said["measures"]) == list(signature.measures)
    assert list(said["slips"]) == list(signature.slips)
    assert all(f"\n  {word} " in told for word in (*signature.given, *signature.asks))


def test_a_slip_is_told_as_a_student_is_told():
    said = json.loads(kinds("linear", "--json").stdout)["slips"]

    assert all(said.values())
    assert "the step is" in said["wrong-spacing"]


def test_the_families_of_a_kind_are_of_that_kind():
    for name in json.loads(kinds("system", "--json").stdout)["families"]:
        path = library() / "families" / "systems" / f"{name}.yaml"
        assert load_family(path, SIGNATURES).kind == "system"


def test_an_unknown_kind_has_its_near_miss():
    result = kinds("linaer")

    assert result.exit_code == 2
    assert result.stderr == "Error: unknown kind of problem 'linaer'; did you mean 'linear'?\n"


if __name__ == "__main__":
    PAGE.write_text(reference.page(), encoding="utf-8")
