"""Every published value about units modulo m, put to our solver as a person types it.

The sources stand in published.yaml; each test is named after its record.
"""

from collections.abc import Callable
from typing import Any

import pytest

from itembank.kinds.statement import problem_from
from itembank.maths.groups import carmichael
from itembank.maths.primes import phi
from itembank.values.answer import Absent, ResidueSet, Truth, Value
from tests.kinds.published import DATA

RECORDS, MISPRINTS = DATA["records"], DATA["misprints"]


def named(record: dict[str, Any]) -> str:
    return f"{record['id']}-{record['source']}"


def chosen(all_records: list[dict[str, Any]], *kinds: str) -> pytest.MarkDecorator:
    found = [r for r in all_records if r["kind"] in kinds]
    assert found
    return pytest.mark.parametrize("record", found, ids=map(named, found))


def records(*kinds: str) -> pytest.MarkDecorator:
    return chosen(RECORDS, *kinds)


def answer(statement: str) -> ResidueSet | Value | Truth | Absent:
    return problem_from([statement]).solve().answer


def value(statement: str) -> int | None:
    """The value found; None if it does not exist."""
    found = answer(statement)
    return found.value if isinstance(found, Value) else None


VALUES: dict[str, tuple[Callable[[dict[str, Any]], str], str]] = {
    "inverse": (lambda i: f"inverse of {i['a']} mod {i['m']}", "inverse"),
    "order": (lambda i: f"order of {i['a']} mod {i['m']}", "order"),
    "index": (lambda i: f"index of {i['a']} base {i['g']} mod {i['m']}", "index"),
}
"""Kinds of record with one value or none: the statement, and the name of the value."""


@records(*VALUES)
def test_a_published_value_is_found_or_found_not_to_exist(record: dict[str, Any]) -> None:
    statement, name = VALUES[record["kind"]]
    expected = record["expected"]

    found = value(statement(record["inputs"]))

    assert (found is not None) == expected["exists"]
    assert found == expected.get(name)
    assert set(expected) <= {"exists", name}


@records("power")
def test_a_published_power_is_found(record: dict[str, Any]) -> None:
    i = record["inputs"]
    assert value(f"{i['a']}^({i['e']}) mod {i['m']}") == record["expected"]["value"]


@records("power_list")
def test_published_powers_are_found(record: dict[str, Any]) -> None:
    i = record["inputs"]
    found = [value(f"{i['a']}^{e} mod {i['m']}") for e in i["e"]]
    assert found == record["expected"]["values"]


@records("order_list")
def test_published_orders_are_found(record: dict[str, Any]) -> None:
    i = record["inputs"]
    found = [value(f"order of {a} mod {i['m']}") for a in i["a"]]
    assert found == record["expected"]["orders"]


def is_root(a: int, m: int) -> bool:
    found = answer(f"is {a} a primitive root mod {m}")
    assert isinstance(found, Truth)
    return found.holds


@records("primitive_root")
def test_published_facts_about_primitive_roots_are_found(record: dict[str, Any]) -> None:
    m, expected = record["inputs"]["m"], dict(record["expected"])
    least = value(f"least primitive root mod {m}")
    count = value(f"number of primitive roots mod {m}")

    assert (least is not None) == (count > 0) == expected["exists"]
    assert answer(f"is there a primitive root mod {m}") == Truth(expected.pop("exists"))
    if "least" in expected:
        assert least == expected.pop("least")
    if "count" in expected:
        assert count == expected.pop("count")
    if "all" in expected:
        assert answer(f"primitive roots mod {m}").residues() == tuple(expected.pop("all"))
    for a in expected.pop("is_root", ()):
        assert is_root(a, m)
    for a in expected.pop("not_root", ()):
        assert not is_root(a, m)
    assert not expected, f"no claim of this record is left unread: {expected}"


@records("primitive_root_table")
def test_a_published_table_of_primitive_roots_is_found(record: dict[str, Any]) -> None:
    moduli = record["inputs"]["moduli"]
    found = [list(answer(f"primitive roots mod {m}").residues()) for m in moduli]
    assert found == record["expected"]["roots"]


@records("index_table")
def test_a_published_table_of_indices_is_found(record: dict[str, Any]) -> None:
    i, expected = record["inputs"], record["expected"]
    g, m = i["g"], i["m"]
    if "powers" in expected:
        for k, a in enumerate(expected["powers"], i["first_exponent"]):
            assert value(f"index of {a} base {g} mod {m}") == k % len(expected["powers"])
        return
    for a, k in zip(i["a"], expected["indices"], strict=True):
        assert value(f"index of {a} base {g} mod {m}") == k % i["index_of_one"]


@records("index_tables")
def test_published_tables_of_indices_are_found(record: dict[str, Any]) -> None:
    i = record["inputs"]
    for p, g, row in zip(i["primes"], i["bases"], record["expected"]["rows"], strict=True):
        assert [value(f"index of {a} base {g} mod {p}") for a in range(1, p)] == row


@records("lambda")
def test_a_published_exponent_of_the_group_is_found(record: dict[str, Any]) -> None:
    assert carmichael(record["inputs"]["n"]) == record["expected"]["value"]


@records("lambda_list")
def test_published_exponents_of_the_group_are_found(record: dict[str, Any]) -> None:
    assert [*map(carmichael, record["inputs"]["n"])] == record["expected"]["values"]


# ------------------------------------------------------------ published sequences

TERMS: dict[str, Callable[[int], int | None]] = {
    "lambda": carmichael,
    "phi": phi,
    "number_of_primitive_roots": lambda n: value(f"number of primitive roots mod {n}"),
    "least_primitive_root_or_zero": lambda n: value(f"least primitive root mod {n}") or 0,
    "order_of_2_mod_2n_plus_1": lambda n: value(f"order of 2 mod {2 * n + 1}"),
    "least_primitive_root_of_nth_prime": lambda n: value(f"least primitive root mod {prime(n)}"),
    "has_primitive_root_list": lambda n: with_primitive_roots(n),
}


def prime(n: int) -> int:
    from sympy import prime as nth_prime

    return int(nth_prime(n))


def with_primitive_roots(n: int) -> int:
    """The n-th number that has a primitive root, the first being 1."""
    found = (m for m in range(1, 10**6) if answer(f"is there a primitive root mod {m}").holds)
    return next(m for i, m in enumerate(found, 1) if i == n)


SEQUENCES = [
    r for r in RECORDS if r["kind"] == "count_table" and r["inputs"]["definition"] in TERMS
]


@pytest.mark.parametrize("record", SEQUENCES, ids=map(named, SEQUENCES))
def test_a_published_sequence_is_found(record: dict[str, Any]) -> None:
    term, offset = TERMS[record["inputs"]["definition"]], record["inputs"]["offset"]
    terms = dict(enumerate(record["expected"]["terms"][:60], offset))
    terms.pop(0, None)  # there is no modulus 0

    assert {n: term(n) for n in terms} == terms


def test_every_sequence_about_units_is_asked() -> None:
    assert {r["inputs"]["definition"] for r in SEQUENCES} == set(TERMS)


# ------------------------------------------------------------ misprints: the true value is given


@chosen(MISPRINTS, "order", "primitive_root")
def test_of_a_misprint_the_true_value_is_given_and_not_the_printed_one(
    record: dict[str, Any],
) -> None:
    i, correct, printed = record["inputs"], record["correct"], record["printed"]
    if record["kind"] == "order":
        found: dict[str, Any] = {"order": value(f"order of {i['a']} mod {i['m']}")}
    else:
        found = primitive_root_facts(i["m"], correct)
    assert {k: found[k] for k in correct} == correct
    assert not printed or any(found.get(k) != v for k, v in printed.items())


def primitive_root_facts(m: int, keys: dict[str, Any]) -> dict[str, Any]:
    facts = {
        "exists": answer(f"is there a primitive root mod {m}").holds,
        "least": value(f"least primitive root mod {m}"),
        "count": value(f"number of primitive roots mod {m}"),
    }
    if "all" in keys:
        facts["all"] = list(answer(f"primitive roots mod {m}").residues())
    for name in ("is_root", "not_root"):
        if name in keys:
            facts[name] = [a for a in keys[name] if is_root(a, m) == (name == "is_root")]
    return facts
