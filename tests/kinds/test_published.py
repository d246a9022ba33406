"""Every published value in published.yaml that a kind of ours can be asked for.

ASK says how a record of each kind is put to our solver: as a statement, the way a person
types it. The sources stand in the data file, and each test is named after its record.
"""

from collections.abc import Callable
from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.maths.polynomials import derivative, value_mod
from itembank.maths.prime_roots import square_root_mod_prime
from itembank.notation.building import plain_polynomial
from itembank.values.answer import ResidueSet
from tests.kinds.published import DATA

RECORDS, MISPRINTS, SOURCES = DATA["records"], DATA["misprints"], DATA["sources"]

Inputs = dict[str, Any]
Expected = dict[str, Any]


def named(record: dict[str, Any]) -> str:
    """The test id: the record and who published it."""
    return f"{record['id']}-{record['source']}"


def records(*kinds: str) -> pytest.MarkDecorator:
    chosen = [r for r in RECORDS if r["kind"] in kinds]
    return pytest.mark.parametrize("record", chosen, ids=map(named, chosen))


def misprints(*kinds: str) -> pytest.MarkDecorator:
    chosen = [r for r in MISPRINTS if r["kind"] in kinds]
    return pytest.mark.parametrize("record", chosen, ids=map(named, chosen))


# ------------------------------------------------------------ how to ask


def polynomial(coefficients: list[int]) -> str:
    """Highest degree first, as the records have them."""
    return plain_polynomial(tuple(reversed(coefficients)))


def pure_power(n: int, a: int, m: int) -> list[str]:
    """x^n = a as a root of a number, and as a polynomial congruence like any other."""
    return [f"x^{n} = {a} mod {m}", f"{polynomial([1, *[0] * (n - 1), -a])} = 0 mod {m}"]


SOLVED: dict[str, Callable[[Inputs], list[str]]] = {
    "linear": lambda i: [f"{i['a']}x = {i['b']} mod {i['m']}"],
    "poly": lambda i: [f"{polynomial(i['coeffs'])} = 0 mod {i['modulus']}"],
    "sqrt": lambda i: pure_power(i["n"], i["a"], i["m"]),
    "nth_root": lambda i: pure_power(i["n"], i["a"], i["m"]),
    "is_square": lambda i: pure_power(2, i["a"], i["m"]),
}
"""Kinds whose records state one congruence, and its statements."""

COUNTED: dict[str, Callable[[Inputs, int], int]] = {
    "poly_count": lambda i, n: answer(f"{polynomial(i['coeffs'])} = 0 mod {n}").count,
    "number_of_kth_powers": lambda i, n: sum(
        bool(answer(f"x^{i['k']} = {a} mod {n}")) for a in range(n)
    ),
    "least_non_square": lambda i, n: next(a for a in range(n) if not answer(f"x^2 = {a} mod {n}")),
}
"""Definitions of count tables whose terms count solutions of congruences, or their absence."""

OTHERWISE = {"hensel_lift", "count_table"}
"""Kinds with a test of their own."""

NOT_ASKED_HERE = {
    "crt", "crt_basis", "index", "index_table", "index_tables", "inverse", "jacobi", "kronecker",
    "lambda", "lambda_list", "legendre", "legendre_table", "order", "order_list", "phi", "power",
    "power_list", "primitive_root", "primitive_root_table", "quadratic_residues", "residue_table",
    "symbol_list", "symbol_table",
}  # fmt: skip
"""Kinds of record that state no congruence in one unknown."""


def answer(statement: str) -> ResidueSet:
    found = problem_from([statement]).solve().answer
    assert isinstance(found, ResidueSet)
    return found


def assert_agrees(found: ResidueSet, expected: Expected) -> None:
    """Each published fact: all solutions, some of them, how many, whether any."""
    claims = dict(expected)
    if "solutions" in claims:
        assert list(found.residues()) == claims.pop("solutions")
    if "contains" in claims:
        assert all(x in found for x in claims.pop("contains"))
    if "count" in claims:
        assert found.count == claims.pop("count")
    for word in ("solvable", "value"):
        if word in claims:
            assert bool(found) == claims.pop(word)
    assert not claims, f"no claim of this record is left unread: {claims}"


# ------------------------------------------------------------ the records


def test_every_kind_of_record_is_asked_here_or_named_as_not_asked_here() -> None:
    kinds = {r["kind"] for r in RECORDS}

    assert kinds == {*SOLVED, *OTHERWISE} | NOT_ASKED_HERE
    assert not {*SOLVED, *OTHERWISE} & NOT_ASKED_HERE
    assert len(RECORDS) == 321


def test_every_record_cites_a_source_and_says_how_it_is_known() -> None:
    for record in (*RECORDS, *MISPRINTS):
        source = SOURCES[record["source"]]

        assert source["title"] and source["author"] and record["where"]
        assert source["evidence"].split(",")[0] in {"read", "memory"}
    assert set(SOURCES) == {r["source"] for r in (*RECORDS, *MISPRINTS)}


@records(*SOLVED)
def test_a_published_congruence_has_the_published_solutions(record: dict[str, Any]) -> None:
    for statement in SOLVED[record["kind"]](record["inputs"]):
        assert_agrees(answer(statement), record["expected"])


@records("hensel_lift")
def test_a_published_root_has_the_published_lifts(record: dict[str, Any]) -> None:
    inputs, expected = record["inputs"], record["expected"]
    p, k, root = inputs["p"], inputs["k"], inputs["root"]
    found = answer(f"{polynomial(inputs['coeffs'])} = 0 mod {p ** (k + 1)}")
    slope = derivative(tuple(reversed(inputs["coeffs"])))

    assert [x for x in found.residues() if x % p**k == root] == expected["lifts"]
    assert (value_mod(slope, root, p) == 0) == expected["derivative_zero_mod_p"]
    assert set(expected) == {"lifts", "derivative_zero_mod_p"}


COUNT_TABLES = [
    r for r in RECORDS if r["kind"] == "count_table" and r["inputs"]["definition"] in COUNTED
]


@pytest.mark.parametrize("record", COUNT_TABLES, ids=map(named, COUNT_TABLES))
def test_a_published_sequence_counts_our_solutions(record: dict[str, Any]) -> None:
    inputs = record["inputs"]
    count = COUNTED[inputs["definition"]]
    terms = record["expected"]["terms"]

    assert [
        count(inputs, n) for n in range(inputs["offset"], inputs["offset"] + len(terms))
    ] == terms


def test_the_sequences_that_count_solutions_are_those_named_here() -> None:
    definitions = {r["inputs"]["definition"] for r in RECORDS if r["kind"] == "count_table"}

    assert definitions - set(COUNTED) == {
        "has_primitive_root_list",
        "lambda",
        "least_primitive_root_of_nth_prime",
        "least_primitive_root_or_zero",
        "number_of_primitive_roots",
        "order_of_2_mod_2n_plus_1",
        "phi",
    }


# ------------------------------------------------------------ misprints: the true value is given


@misprints("is_square", "nth_root", "poly", "sqrt")
def test_of_a_misprint_the_true_value_is_given_and_not_the_printed_one(
    record: dict[str, Any],
) -> None:
    inputs, correct = dict(record["inputs"]), dict(record["correct"])
    if "modulus_meant" in correct:
        inputs["m"] = correct.pop("modulus_meant")
    printed = {k: v for k, v in record["printed"].items() if k != "modulus_printed"}
    for found in map(answer, SOLVED[record["kind"]](inputs)):
        assert_agrees(found, correct)
        if printed:
            with pytest.raises(AssertionError):
                assert_agrees(found, printed)


@misprints("program")
def test_of_a_faulty_program_the_true_count_is_given(record: dict[str, Any]) -> None:
    (table,) = [r for r in COUNT_TABLES if r["inputs"]["sequence"] == record["inputs"]["sequence"]]
    count = COUNTED["poly_count"](table["inputs"], record["inputs"]["n"])

    assert count == record["correct"]["value"] != record["printed"]["value"]


@misprints("lifting_rule")
def test_a_root_that_the_printed_rule_denies_lifts_to_every_power(record: dict[str, Any]) -> None:
    inputs = record["inputs"]
    f = polynomial(inputs["coeffs"])

    assert record["correct"]["lifts_to_all_powers"]
    for k in (1, 2, 3, 4, 5, 20, 200):
        found = answer(f"{f} = 0 mod {inputs['p']}^{k}")
        assert any(r % 2 == inputs["root"] % 2 for r, _d in found.classes())


@misprints("sqrt_exponent")
def test_of_a_wrong_exponent_the_true_root_is_found(record: dict[str, Any]) -> None:
    a, p = record["inputs"].values()
    true, printed = record["correct"], record["printed"]

    assert square_root_mod_prime(a, p) in (true["value"], p - true["value"])
    assert true["value"] in answer(f"x^2 = {a} mod {p}")
    assert printed["value"] not in answer(f"x^2 = {a} mod {p}")


def test_the_misprints_asked_here_are_all_that_concern_one_unknown() -> None:
    assert {r["kind"] for r in MISPRINTS} - {
        *SOLVED,
        "program",
        "lifting_rule",
        "sqrt_exponent",
    } == {
        "arith_line",
        "crt",
        "linear_system",
        "order",
        "primitive_root",
    }
