"""Every published value about squares, symbols, phi and lambda, put to our solver as a person
types it, and published examples of ISBN and IBAN.

The sources of the records stand in published.yaml; each test is named after its record.
"""

from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.values.answer import Truth, Value
from tests.kinds.published import DATA

RECORDS = DATA["records"]


def records(*kinds: str) -> pytest.MarkDecorator:
    found = [r for r in RECORDS if r["kind"] in kinds]
    assert {r["kind"] for r in found} == set(kinds)
    return pytest.mark.parametrize("record", found, ids=[f"{r['id']}-{r['source']}" for r in found])


def value(statement: str) -> int:
    answer = problem_from([statement]).solve().answer
    assert isinstance(answer, Value), (statement, answer)
    return answer.value


def residues(statement: str) -> list[int]:
    return list(problem_from([statement]).solve().answer.residues())


@records("legendre", "jacobi", "kronecker")
def test_a_published_symbol_is_found(record: dict[str, Any]) -> None:
    a, n = record["inputs"]["a"], record["inputs"]["n"]

    assert value(f"{record['kind']} ({a}/{n})") == record["expected"]["value"]


@records("symbol_list", "legendre_table")
def test_published_symbols_are_found(record: dict[str, Any]) -> None:
    i = record["inputs"]
    pairs = [(a, i["n"]) for a in i["a"]] if "n" in i else [(i["a"], p) for p in i["primes"]]

    assert [value(f"({a}/{n})") for a, n in pairs] == record["expected"]["values"]


@records("symbol_table")
def test_a_published_table_of_symbols_is_found(record: dict[str, Any]) -> None:
    for p, row in zip(record["inputs"]["primes"], record["expected"]["rows"], strict=True):
        assert [value(f"kronecker ({k}/{p})") for k in range(p)] == row


@records("is_square")
def test_a_published_answer_whether_a_number_is_a_square_is_found(record: dict[str, Any]) -> None:
    a, m = record["inputs"]["a"], record["inputs"]["m"]
    answer = problem_from([f"is {a} a square mod {m}"]).solve().answer

    assert answer == Truth(record["expected"]["value"])


CONVENTIONS = {"all_squares": "squares", "nonzero": "quadratic residues"}
"""For a prime modulus the squares other than 0 are the quadratic residues."""


@records("quadratic_residues")
def test_published_squares_are_found_and_counted(record: dict[str, Any]) -> None:
    words = CONVENTIONS[record["inputs"]["convention"]]
    m, expected = record["inputs"]["m"], dict(record["expected"])

    assert value(f"number of {words} mod {m}") == expected.pop("count")
    if "residues" in expected:
        assert residues(f"{words} mod {m}") == expected.pop("residues")
    assert not expected


@records("residue_table")
def test_a_published_table_of_squares_is_found(record: dict[str, Any]) -> None:
    words = CONVENTIONS[record["inputs"]["convention"]]
    found = [residues(f"{words} mod {m}") for m in record["inputs"]["moduli"]]

    assert found == record["expected"]["rows"]


@records("phi", "lambda")
def test_a_published_value_of_phi_or_lambda_is_found(record: dict[str, Any]) -> None:
    assert value(f"{record['kind']}({record['inputs']['n']})") == record["expected"]["value"]


@records("lambda_list")
def test_published_values_of_lambda_are_found(record: dict[str, Any]) -> None:
    found = [value(f"lambda({n})") for n in record["inputs"]["n"]]

    assert found == record["expected"]["values"]


TERMS = {
    "phi": lambda i, n: value(f"phi({n})"),
    "lambda": lambda i, n: value(f"lambda({n})"),
    "number_of_kth_powers": lambda i, n: value(f"number of squares mod {n}"),
    "least_non_square": lambda i, n: next(
        a for a in range(n) if a not in residues(f"squares mod {n}")
    ),
}
SEQUENCES = [
    r
    for r in RECORDS
    if r["kind"] == "count_table"
    and r["inputs"]["definition"] in TERMS
    and r["inputs"].get("k", 2) == 2
]


@pytest.mark.parametrize("record", SEQUENCES, ids=[r["id"] for r in SEQUENCES])
def test_a_published_sequence_is_found(record: dict[str, Any]) -> None:
    i, terms = record["inputs"], record["expected"]["terms"]
    term = TERMS[i["definition"]]

    assert [term(i, n) for n in range(i["offset"], i["offset"] + len(terms))] == terms


def test_every_sequence_about_these_kinds_is_asked() -> None:
    assert {r["inputs"]["definition"] for r in SEQUENCES} == set(TERMS)


# ------------------------------------------------------------ published check digits

PUBLISHED_NUMBERS = [
    # International ISBN Agency, ISBN Users' Manual (from memory)
    "isbn 978-92-95055-12-4",
    # the usual example for both lengths, common practice
    "isbn 0-306-40615-2",
    "isbn 978-0-306-40615-7",
    "isbn 0-8044-2957-X",
    # examples of the IBAN registry kept under ISO 13616 (from memory)
    "iban GB29 NWBK 6016 1331 9268 19",
    "iban DE89 3704 0044 0532 0130 00",
    "iban FR14 2004 1010 0505 0001 3M02 606",
    "iban NO93 8601 1117 947",
    "iban BE68 5390 0754 7034",
    # the usual example of the check, common practice
    "iban GB82 WEST 1234 5698 7654 32",
]


@pytest.mark.parametrize("number", PUBLISHED_NUMBERS)
def test_a_published_number_is_valid_and_no_single_change_of_a_digit_is(number: str) -> None:
    prefix, text = number[:5], number[5:].replace(" ", "").replace("-", "")
    assert problem_from([number]).solve().answer == Truth(True)

    for i, c in enumerate(text):
        if c.isdigit() and not (prefix == "isbn " and len(text) == 13 and i < 3):
            wrong = f"{prefix}{text[:i]}{(int(c) + 1) % 10}{text[i + 1 :]}"
            assert problem_from([wrong]).solve().answer == Truth(False), wrong


@pytest.mark.parametrize("number", PUBLISHED_NUMBERS)
def test_every_digit_of_a_published_number_is_found_again(number: str) -> None:
    prefix, text = number[:5], number[5:].replace(" ", "").replace("-", "")
    for i, c in enumerate(text):
        if c.isdigit() or (prefix == "isbn " and c == "X"):
            found = value(f"{prefix}{text[:i]}?{text[i + 1 :]}")
            assert found == (10 if c == "X" else int(c)), i
    if prefix == "iban ":
        assert value(f"iban {text[:2]}??{text[4:]}") == int(text[2:4])
