"""`solve --json`: one published schema, which every answer and every refusal keeps."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from itembank.cli import main
from itembank.kinds.table import KINDS

SCHEMA = Path(__file__).parents[1] / "specs" / "schema" / "solve.schema.json"
SAMPLES = [
    pytest.param(sample, id=f"{name}: {sample}") for name in KINDS for sample in KINDS[name].samples
]


@cache
def validator() -> Draft202012Validator:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@cache
def answered(*statements: str) -> dict[str, Any]:
    result = CliRunner().invoke(main, ["solve", "--json", *statements])
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def integers(value: Any) -> list[int]:
    if isinstance(value, bool):
        return []
    if isinstance(value, int):
        return [value]
    children = value.values() if isinstance(value, dict) else value
    return [n for v in children for n in integers(v)] if isinstance(value, dict | list) else []


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_answer_keeps_the_schema_and_its_statement_reads_back(sample: str) -> None:
    found = answered(*sample.split(";"))

    assert list(validator().iter_errors(found)) == []
    assert max(map(abs, integers(found)), default=0) < 2**53
    again = answered(*found["statement"])
    assert {k: again[k] for k in again if k != "notes"} == {
        k: found[k] for k in found if k != "notes"
    }


def test_a_step_holds_what_it_was_made_of_and_nothing_that_follows_from_it() -> None:
    """How many residues a set has is not said beside them."""
    found = answered("number of solutions of x^5 + 5x^3 = 0 mod 2^3*5^3")

    parts = [v for step in found["steps"] for v in step.values() if isinstance(v, dict)]
    assert {"modulus", "classes"} in [part.keys() for part in parts]


@pytest.mark.parametrize(
    ("statement", "answer"),
    [
        ("inverse of 7 mod 26", {"type": "residue", "exists": True, "modulus": 26, "value": 15}),
        ("order of 7 mod 48", {"type": "exponent", "modulus": 48, "value": 2}),
        ("index of 5 base 3 mod 17", {"type": "exponent", "modulus": 17, "value": 5}),
        ("phi(36)", {"type": "count", "value": 12}),
        ("(3/7)", {"type": "symbol", "value": -1}),
        ("gcd(84, 30)", {"type": "integer", "modulus": None, "value": 6}),
        ("is 2 a square mod 7", {"type": "truth", "exists": True, "value": True}),
        ("10! mod 11", {"type": "residue", "value": 10}),
        ("17 mod 5", {"type": "residue", "value": 2}),
        (
            "3^x = 5 mod 17",
            {"type": "residues", "modulus": 17, "solutions_modulo": 16, "solutions": [5]},
        ),
        ("x^2 = 2 mod 5", {"type": "residues", "exists": False, "count": 0, "solutions": []}),
        ("is x^2 = 2 mod 5 solvable", {"ask": "whether any", "exists": False, "value": False}),
        ("how many solutions has x^2 = 1 mod 8", {"type": "count", "value": 4}),
        (
            "how many solutions has x^2 = 2 mod 5",
            {"type": "count", "exists": False, "value": 0},
        ),
        ("number of solutions of phi(x) = 14", {"type": "count", "exists": False, "value": 0}),
        ("number of solutions of phi(x) = 24", {"type": "count", "exists": True, "value": 10}),
        (
            "which x have phi(x) = 12",
            {"type": "residues", "modulus": None, "solutions": [13, 21, 26, 28, 36, 42]},
        ),
        ("x + y = 0 mod 2", {"type": "pairs", "count": 2, "solutions": [[0, 0], [1, 1]]}),
        (
            "12x + 30y = 18",
            {
                "type": "line",
                "exists": True,
                "modulus": None,
                "point": [4, -1],
                "direction": [5, -2],
            },
        ),
        ("12x + 30y = 20", {"type": "line", "exists": False, "point": None, "direction": None}),
        ("inverse of 6 mod 26", {"type": "residue", "exists": False, "value": None}),
        ("isbn 080442957?", {"type": "digit", "value": "X"}),
        ("number of squares mod 13", {"type": "count", "value": 7}),
    ],
)
def test_an_answer_says_what_it_is(statement: str, answer: dict[str, Any]) -> None:
    """Hand-checked values; ISBN 0-8044-2957-X is the standard's example (from memory)."""
    found = answered(statement)

    assert {k: found[k] for k in answer} == answer


def test_check_digits_keep_their_leading_zero() -> None:
    """By trial: the remainder modulo 97 of the number with its digits is 1."""
    found = {}
    for account in range(60):
        (digits,) = [n for n in range(2, 99) if int(f"{account:02}2622{n:02}") % 97 == 1]
        found[account] = f"{digits:02}"
    account = next(a for a, digits in found.items() if digits[0] == "0")

    assert answered(f"iban QM??{account:02}")["value"] == found[account]


def test_a_long_integer_is_a_string_of_its_digits() -> None:
    found = answered("inverse of -3 mod 10^20 + 39")

    assert found["modulus"] == str(10**20 + 39)
    assert -3 * int(found["value"]) % (10**20 + 39) == 1
    assert answered("inverse of 3 mod 1000003")["modulus"] == 1000003


def test_a_system_has_a_line_for_each_congruence() -> None:
    found = answered("x = 3 mod 7, x = 2 mod 5")

    assert found["statement"] == ["x = 3 mod 7", "x = 2 mod 5"]
    assert (found["modulus"], found["solutions"]) == (35, [17])


@pytest.mark.parametrize("statement", ["solve the riddle", "x^2 = 2", "order of 6 mod 0", ""])
def test_a_refusal_is_json_too(statement: str) -> None:
    result = CliRunner().invoke(main, ["solve", "--json", statement])
    found = json.loads(result.stdout)

    assert result.exit_code == 2
    assert list(validator().iter_errors(found)) == []
    assert found["statement"] == [statement] and found["refused"]


def test_the_schema_refuses_what_it_does_not_publish() -> None:
    found = dict(answered("3x = 6 mod 15"))

    for change in ({"exists": None}, {"type": "set"}, {"modulus": 2**60}, {"more": 1}):
        assert not validator().is_valid({**found, **change})
    del found["solutions"]
    assert not validator().is_valid(found)
