"""Derivations about units modulo m: the steps are those of the method, with true numbers."""

from math import prod

import pytest

from itembank.kinds.base import Step
from itembank.kinds.index.steps import BabyGiant, Join, NoPower, Parts, PowerTable
from itembank.kinds.inverse.method import Backwards, Carried
from itembank.kinds.order.steps import Certificate, TakeOutPrimes, TryDivisors
from itembank.kinds.power.steps import AtOnce, Euler, ExponentFound, Split, Square
from itembank.kinds.statement import problem_from

METHODS = [
    ("inverse of 7 mod 26", ["Euclid", "Backwards", "Inverse"]),
    ("inverse of -3 mod 98765", ["Reduce", "Euclid", "Backwards", "Inverse"]),
    ("inverse of 1234 mod 98765", ["Euclid", "Carried", "Inverse"]),
    ("inverse of 4 mod 10", ["Euclid"]),
    ("7^222 mod 1000", ["Square"]),
    ("7^222 mod 13", ["Euler", "Square"]),
    ("7^3 mod 13", ["Square"]),
    ("2^12 mod 7", ["Euler", "AtOnce"]),
    ("6^222 mod 100", ["Split", "Euler", "Square", "Combine"]),
    ("2^9 mod 4096", ["Square"]),
    ("2^12 mod 4096", ["Split"]),
    ("12^100 mod 8", ["ReduceBase", "Split"]),
    ("9^(9^(9^9)) mod 1000", ["Euler", "Euler", "Square", "ExponentFound", "Square"]),
    ("3^(-2) mod 7", ["Invert", "Square"]),
    ("2^(-2) mod 8", ["Invert"]),
    ("10! mod 11", ["Wilson"]),
    ("8! mod 11", ["Wilson", "MultiplyOut", "Divide"]),
    ("3! mod 11", ["MultiplyOut"]),
    ("12! mod 11", ["FactorPresent"]),
    ("6! mod 16", ["PrimePowers"]),
    ("3! mod 4", ["MultiplyOut"]),
    ("order of 7 mod 48", ["Phi", "TryDivisors"]),
    ("order of 2 mod 1009", ["Phi", "TakeOutPrimes", "Certificate"]),
    ("order of 6 mod 9", ["CommonFactor"]),
    ("primitive roots mod 17", ["Existence", "Phi", "Search", "PowersOfRoot"]),
    ("primitive roots mod 4", ["Existence", "Outright"]),
    ("primitive roots mod 12", ["Existence"]),
    ("number of primitive roots mod 17", ["Existence", "UnitsCounted", "Count"]),
    ("is 3 a primitive root mod 17", ["Phi", "Test"]),
    ("is 6 a primitive root mod 9", ["CommonFactor"]),
    ("index of 5 base 3 mod 17", ["PowerTable", "Found"]),
    ("index of 3 base 2 mod 7", ["PowerTable"]),
    ("index of 210 base 71 mod 251", ["Phi", "TryDivisors", "BabyGiant", "Found"]),
    ("index of 2 base 3 mod 9765625", ["Phi", "Powers", "Certificate", "Parts", "Join", "Found"]),
    ("index of 5 base 2 mod 983", ["Phi", "TryDivisors", "NoPower"]),
    ("index of 6 base 2 mod 3", ["NoUnit"]),
    ("2 * 3^x = 7 mod 17", ["Divide", "PowerTable", "Found", "Phi", "TryDivisors", "Repeat"]),
    ("3^x = 9 mod 101", ["PowerTable", "Found", "Phi", "TryDivisors", "Repeat"]),
    ("6 * 5^x = 3 mod 14", ["Divide"]),
    ("7x^5 = 3 mod 17 by indices", ["Table", "TakeIndices", "Linear", "TurnBack"]),
    ("x^4 = 3 mod 17 by indices", ["Table", "TakeIndices", "Linear"]),
]


def steps(statement: str) -> tuple[Step, ...]:
    return problem_from([statement]).solve().steps


@pytest.mark.parametrize(("statement", "names"), METHODS, ids=[m[0] for m in METHODS])
def test_the_steps_are_those_of_the_method(statement: str, names: list[str]) -> None:
    assert [type(step).__name__ for step in steps(statement)] == names


@pytest.mark.parametrize("a", [2, 3, 5, 11, 12, 1008, 900])
def test_primes_are_taken_out_of_phi_down_to_the_order(a: int) -> None:
    _phi, taken, certificate = steps(f"order of {a} mod 1009")
    assert isinstance(taken, TakeOutPrimes) and isinstance(certificate, Certificate)

    exponent = 1008
    for row in taken.rows:
        assert row.e == exponent and row.value == pow(a, row.e // row.q, 1009)
        exponent = row.e // row.q if row.value == 1 else row.e
    assert exponent == certificate.t


@pytest.mark.parametrize(
    "statement", ["order of 5 mod 23", "order of 2 mod 59", "order of 3 mod 50"]
)
def test_each_power_is_made_of_powers_above_it_in_the_table(statement: str) -> None:
    (tried,) = [step for step in steps(statement) if isinstance(step, TryDivisors)]
    seen: dict[int, int] = {}
    for row in tried.rows:
        if row.e > 1:
            assert sum(row.parts) == row.e
            assert (prod(seen[i] for i in row.parts) - row.value) % tried.m == 0
        seen[row.e] = row.value
    assert set(tried.tried) <= set(seen)
    assert [e for e in tried.tried if seen[e] in (1, -1)] == [tried.tried[-1]]


def test_back_substitution_is_told_for_few_rows_and_coefficients_carried_for_many() -> None:
    few, many = steps("inverse of 7 mod 26")[1], steps("inverse of 1234 mod 98765")[1]

    assert type(few) is Backwards and len(few.rows) == 3
    assert type(many) is Carried and len(many.rows) == 6
    assert all((1234 * r.v - r.remainder) % 98765 == 0 for r in many.rows)


def test_squares_and_the_digits_of_the_exponent_give_the_power() -> None:
    (square,) = [s for s in steps("7^222 mod 1000") if isinstance(s, Square)]

    assert square.squares == tuple(pow(7, 2**i, 1000) for i in range(8))
    assert sum(2**i for i in square.bits) == 222
    assert square.effort == 7 + 5


def test_a_tower_is_reduced_from_the_outside_and_found_from_the_inside() -> None:
    outer, inner, _square, found, _power = steps("9^(9^(9^9)) mod 1000")

    assert isinstance(outer, Euler) and (outer.n, outer.remainder) == (400, None)
    assert isinstance(inner, Euler) and (inner.m, inner.n) == (400, 160)
    assert isinstance(found, ExponentFound) and found.r == pow(9, 9**9, 400)


@pytest.mark.parametrize(
    ("statement", "value"),
    [
        ("2^9 mod 4096", 512),  # the exponent is smaller than that of 2 in the modulus
        ("6^10 mod 20480", 6**10 % 20480),
        ("2^(1^(9^(9^9))) mod 8", 2),  # a tower of any height on top of 1 is 1
        ("2^(0^(9^9)) mod 8", 1),
        ("2^(3^(0^(9^9))) mod 16", 2),
        ("0^0 mod 5", 1),  # by convention
        ("0^(0^0) mod 5", 0),
        ("5^0 mod 1", 0),
    ],
)
def test_powers_at_the_edges_of_the_theorems(statement: str, value: int) -> None:
    assert problem_from([statement]).solve().answer.value == value


def test_baby_and_giant_steps_meet_where_the_tables_say() -> None:
    (met,) = [s for s in steps("index of 210 base 71 mod 251") if isinstance(s, BabyGiant)]

    assert met.baby == tuple(210 * pow(71, j, 251) % 251 for j in range(16))
    assert met.giant[met.i - 1] == met.baby[met.j]
    assert met.i * met.s - met.j == met.k == 197


def test_the_parts_of_an_index_fit_together() -> None:
    parts, join = [s for s in steps("index of 2 base 3 mod 9765625") if isinstance(s, Parts | Join)]

    assert [(p.q, p.e) for p in parts.parts] == [(2, 2), (5, 9)]
    for p in parts.parts:
        assert pow(p.h, p.k, parts.m) == p.b and 0 <= p.k < p.q**p.e
        assert join.k % p.q**p.e == p.k


def test_a_table_without_the_number_runs_until_one_comes_back() -> None:
    (table,) = steps("index of 3 base 2 mod 7")
    assert isinstance(table, PowerTable) and table.values == (1, 2, 4, 1) and table.k is None

    (*_order, refused) = steps("index of 5 base 2 mod 983")
    assert isinstance(refused, NoPower) and refused.c == pow(5, refused.t, 983) != 1


def test_a_power_of_zero_or_of_minus_one_is_named_at_once() -> None:
    for statement, why in [("0^9 mod 5", "base zero"), ("4^9 mod 5", "base minus one")]:
        (step,) = steps(statement)
        assert isinstance(step, AtOnce) and step.why == why
    (split,) = steps("2^12 mod 4096")
    assert isinstance(split, Split) and (split.m1, split.v) == (1, 12)
