"""Published systems, lifts and counts, asked of the kinds for them.

`test_published` asks published.yaml for one congruence at a time; here stand its systems (crt,
crt_basis, linear_system), lifting steps and numbers of solutions.
"""

from math import lcm
from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation.building import plain_polynomial
from itembank.second_way import table as second_way
from tests.kinds.published import DATA


def records(kind: str, among: str = "records") -> pytest.MarkDecorator:
    chosen = [r for r in DATA[among] if r["kind"] == kind]
    assert chosen, kind
    ids = [f"{r.get('id', r.get('name'))}-{r['source']}" for r in chosen]
    return pytest.mark.parametrize("record", chosen, ids=ids)


def system(residues: list[int], moduli: list[int], coefficients: list[int] | None = None):
    ones = coefficients or [1] * len(moduli)
    lines = [
        f"{plain_polynomial((0, a))} = {b} mod {m}"
        for a, b, m in zip(ones, residues, moduli, strict=True)
    ]
    return problem_from(lines)


@records("crt")
def test_a_published_system_has_the_published_solution(record: dict[str, Any]) -> None:
    inputs, expected = record["inputs"], record["expected"]
    problem = system(inputs["residues"], inputs["moduli"])
    answer = problem.solve().answer

    assert answer.modulus == lcm(*inputs["moduli"])
    if expected["solvable"]:
        assert answer.classes() == ((expected["x"], expected["modulus"]),)
    else:
        assert not answer
    claim = [(answer.modulus, answer.classes())]
    assert second_way.decide(problem.statement, "all solutions", claim).status == "agreed"


@records("crt", "misprints")
def test_of_a_misprinted_system_the_true_solution_is_given(record: dict[str, Any]) -> None:
    inputs, true, printed = record["inputs"], record["correct"], record["printed"]
    answer = system(inputs["residues"], inputs["moduli"]).solve().answer

    if "x" in true:
        assert answer.least() == true["x"]
    else:
        assert bool(answer) == true["solvable"]
    assert not {"x"} & set(printed) or answer.least() != printed["x"]


@records("linear_system", "misprints")
def test_of_a_misprinted_system_with_coefficients_the_true_solution_is_given(
    record: dict[str, Any],
) -> None:
    inputs, true, printed = record["inputs"], record["correct"], record["printed"]
    answer = system(inputs["b"], inputs["m"], inputs["a"]).solve().answer

    assert answer.classes() == ((true["x"], true["modulus"]),)
    assert printed["x"] not in answer


@records("crt_basis")
def test_the_published_multipliers_are_1_to_one_modulus_and_0_to_the_others(
    record: dict[str, Any],
) -> None:
    moduli, expected = record["inputs"]["moduli"], record["expected"]
    for i, e in enumerate(expected["basis"]):
        residues = [int(i == j) for j in range(len(moduli))]
        assert system(residues, moduli).solve().answer.classes() == ((e, expected["modulus"]),)


@records("hensel_lift")
def test_a_published_lifting_step_has_the_published_lifts(record: dict[str, Any]) -> None:
    inputs, expected = record["inputs"], record["expected"]
    p, k, r = inputs["p"], inputs["k"], inputs["root"]
    f = plain_polynomial(tuple(reversed(inputs["coeffs"])))
    problem = problem_from([f"lift x = {r} mod {p**k} to {f} = 0 mod {p ** (k + 1)}"])
    solution = problem.solve()

    assert list(solution.answer.residues()) == expected["lifts"]
    assert problem.measures(solution)["singular_roots"] == expected["derivative_zero_mod_p"]


COUNTED = [r for r in DATA["records"] if r["kind"] in ("sqrt", "nth_root", "poly", "linear")]
COUNTED = [r for r in COUNTED if "count" in r["expected"]]


@pytest.mark.parametrize("record", COUNTED, ids=[r["id"] for r in COUNTED])
def test_the_number_of_published_solutions_is_counted(record: dict[str, Any]) -> None:
    inputs = record["inputs"]
    if record["kind"] == "linear":
        congruence = f"{inputs['a']}x = {inputs['b']} mod {inputs['m']}"
    elif record["kind"] == "poly":
        f = plain_polynomial(tuple(reversed(inputs["coeffs"])))
        congruence = f"{f} = 0 mod {inputs['modulus']}"
    else:
        congruence = f"x^{inputs['n']} = {inputs['a']} mod {inputs['m']}"
    counted = problem_from([f"number of solutions of {congruence}"]).solve().answer

    assert counted.value == record["expected"]["count"]


TABLES = [
    r
    for r in DATA["records"]
    if r["kind"] == "count_table" and r["inputs"]["definition"] == "poly_count"
]


@pytest.mark.parametrize("record", TABLES, ids=[r["inputs"]["sequence"] for r in TABLES])
def test_a_published_sequence_counts_the_solutions(record: dict[str, Any]) -> None:
    """x^n - a as a power beside a number, any other polynomial as it stands."""
    inputs, terms = record["inputs"], record["expected"]["terms"]
    *middle, constant = inputs["coeffs"][1:]
    f = plain_polynomial(tuple(reversed(inputs["coeffs"])))
    left = f"{f} = 0" if any(middle) else f"x^{len(middle) + 1} = {-constant}"
    counted = [
        problem_from([f"number of solutions of {left} mod {n}"]).solve().answer.value
        for n in range(inputs["offset"], inputs["offset"] + len(terms))
    ]

    assert counted == terms
