"""What students answered, as a platform reports it: slips by name, and spellings of one answer."""

import re

import pytest

from exporters.keys import key
from itembank.terms import results
from tests.bank.returned import COLUMNS, released, table


@pytest.fixture
def place(tmp_path) -> str:
    """SQLite alone; what differs between databases is tested elsewhere."""
    return str(tmp_path / "bank.db")


@pytest.mark.parametrize(
    ("family", "form"),
    [
        ("quadratic-two-prime-powers", "select all"),
        ("zero-product-composite", "select one"),
        ("quadratic-mod-prime", "list"),
        ("linear-one-solution", "integer"),
        ("linear-solvable-or-not", "solvable or not"),
    ],
)
def test_each_slip_is_counted_under_its_name(bank, pool_of, tmp_path, family, form):
    """One student for each feedback of the item, who answered just so."""
    pool = pool_of(f"  - {{family: {family}, variants: 1, form: {form}}}\n")
    (item,) = released(bank, pool, tmp_path)
    rows = [
        {
            "id": i,
            "item": item.title if i % 2 else item.identifier,
            "score": 0,
            "answer": " ".join(map(str, feedback.response)),
        }
        for i, feedback in enumerate(item.feedback)
        if feedback.response
    ]
    rows.append({"id": "none", "item": item.identifier, "score": 0, "answer": "999999"})

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    expected: dict[str, int] = {results.NO_SLIP: 1}
    for feedback in item.feedback:
        if feedback.response:
            for slip in feedback.slips:
                expected[slip] = expected.get(slip, 0) + 1
    assert dict(report.items[0].slips) == expected
    assert dict(report.families[0].slips) == expected


def test_every_representative_of_a_residue_is_one_answer(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    (item,) = released(bank, pool, tmp_path)
    value, m = item.response.value, item.response.modulus
    rows = [
        {"id": k, "item": item.identifier, "score": 1, "answer": value + k * m} for k in (-1, 0, 2)
    ]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    assert dict(report.items[0].answers) == {str(value): 3}


@pytest.mark.parametrize(
    ("family", "form"),
    [("linear-one-solution", "integer"), ("quadratic-mod-prime", "list"),
     ("roots-one-by-one", "set")],
)  # fmt: skip
def test_every_spelling_that_packages_accept_is_one_answer(bank, pool_of, tmp_path, family, form):
    pool = pool_of(f"  - {{family: {family}, variants: 1, form: {form}}}\n")
    (item,) = released(bank, pool, tmp_path)
    spelled = ("{}", "+{}", "00{}", "+0{}", "\u00a0{}")
    rows = [
        {
            "id": k,
            "item": item.identifier,
            "score": 1,
            "answer": ", ".join(spelling.format(x) for x in key(item.response)),
        }
        for k, spelling in enumerate(spelled)
    ]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    ((answer, count),) = dict(report.items[0].answers).items()
    assert (count, re.findall("[0-9]+", answer)) == (5, [str(x) for x in key(item.response)])


def test_a_minus_sign_is_either_character(bank, pool_of, tmp_path):
    pool = pool_of("  - {family: linear-one-solution, variants: 1}\n")
    (item,) = released(bank, pool, tmp_path)
    n = item.response.modulus - item.response.value
    rows = [
        {"id": sign, "item": item.identifier, "score": 1, "answer": f"{sign}{n}"} for sign in "-−"
    ]

    report = results.record_results(bank, "quiz-2027-spring", [table(tmp_path, rows)], COLUMNS)

    assert dict(report.items[0].answers) == {str(item.response.value): 2}
