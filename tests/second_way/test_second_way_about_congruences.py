"""The second way for systems, pairs, lifting steps, large exponents and counts.

`tests/kinds/test_about_congruences.py` holds the solvers against it; here it is held
against definitions written out, and wrong or undecided claims must not pass.
"""

from itertools import product
from math import lcm
from typing import Any

import pytest

from itembank.kinds.linear_pair.second_way import TwoUnknowns
from itembank.second_way.reading import congruence
from itembank.second_way.system import System, by_sifting, linear_by_sympy
from itembank.second_way.table import decide, read
from itembank.values.errors import StatementError

P = 10**19 + 51


def status(statement: str | tuple[str, ...], ask: str, claim: Any) -> str:
    return decide(statement, ask, claim).status


# ------------------------------------------------------------ systems


@pytest.mark.parametrize(("m", "n"), [(3, 5), (4, 6), (6, 9), (8, 8), (1, 7)])
def test_of_two_congruences_exactly_the_common_residues_are_agreed(m: int, n: int) -> None:
    whole = lcm(m, n)
    for a, b in product(range(m), range(n)):
        lines = (f"x = {a} mod {m}", f"x = {b} mod {n}")
        found = [x for x in range(whole) if x % m == a and x % n == b]
        assert status(lines, "all solutions", [(whole, [(x, whole) for x in found])]) == "agreed"
        assert status(lines, "how many", len(found)) == "agreed"
        assert status(lines, "whether any", not found) == "disagreed"
        for x in range(whole):
            claim = [(whole, [(x, whole)])]
            assert (status(lines, "all solutions", claim) == "agreed") == (found == [x])


def test_a_range_asks_for_every_copy_of_a_solution() -> None:
    lines = ("x = 1 mod 4", "x = 3 mod 6", "0 <= x < 24")

    assert status(lines, "all solutions", [(24, [(9, 12)])]) == "agreed"
    assert status(lines, "all solutions", [(24, [(9, 24)])]) == "disagreed"
    assert status(lines, "all solutions", [(12, [(9, 12)])]) == "disagreed"
    assert status(lines, "the largest", 21) == "agreed"
    assert status(lines, "the solution", 9) == "disagreed"


def test_sifting_finds_what_trying_every_residue_finds() -> None:
    for lines in (
        ("x = 2 mod 3", "x^2 = 1 mod 8", "3x = 1 mod 7"),
        ("x^2 = 4 mod 15", "x = 1 mod 6"),
        ("x = 1 mod 4", "x = 2 mod 6"),
        ("2x = 4 mod 6", "x^2 + x = 0 mod 12", "x = 2 mod 5"),
    ):
        rows = tuple(sorted(map(congruence, lines), key=lambda row: row.modulus))
        whole = lcm(*(row.modulus for row in rows))
        tried = tuple(
            x
            for x in range(whole)
            if all(
                sum(c * x**i for i, c in enumerate(row.coefficients)) % row.modulus == 0
                for row in rows
            )
        )
        assert by_sifting(rows) == tried


def test_huge_moduli_are_decided_by_substitution_and_by_contradiction() -> None:
    lines = (f"x = 5 mod {P}", f"x = 7 mod {P + 2}")
    (x,) = linear_by_sympy([congruence(line) for line in lines])
    whole = lcm(P, P + 2)

    assert status(lines, "all solutions", [(whole, [(x, whole)])]) == "agreed"
    assert status(lines, "all solutions", [(whole, [(x + 1, whole)])]) == "disagreed"
    apart = (f"x = 5 mod 3*{P}", f"x = 4 mod 3*{P + 2}")
    assert status(apart, "whether any", False) == "agreed"
    assert status((f"x^2 = 1 mod {P}", f"x = 2 mod {P + 2}"), "how many", 2) == "unchecked"


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (
            ("x = 1 mod 4", "y = 1 mod 5", "x = 1 mod 7"),
            "statement: expected at most 50 congruences in one unknown, got 3 in x, y",
        ),
        (
            ("x = 1 mod 4", "x = 1 mod 6", "0 <= x < 30"),
            "statement: expected a multiple of every modulus as the range, got 30",
        ),
        (("x + y = 1 mod 4", "x = 1 mod 5"), "statement: expected one modulus, got 4, 5"),
        (
            ("x*y = 1 mod 4", "x = 1 mod 4"),
            "statement 'x*y = 1 mod 4': expected a linear congruence in x and y",
        ),
    ],
)
def test_lines_that_are_no_system_are_refused(lines: tuple[str, ...], message: str) -> None:
    with pytest.raises(StatementError) as caught:
        read(*lines)

    assert str(caught.value) == message


def test_the_order_of_the_lines_makes_no_difference() -> None:
    assert read("x = 1 mod 4", "x = 3 mod 6") == read("x = 3 mod 6", "x = 1 (mod 4)")


# ------------------------------------------------------------ lifting steps


def test_a_lifting_step_is_the_system_of_the_root_and_the_congruence_above() -> None:
    step = read("lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25")

    assert isinstance(step, System)
    assert step == read("x^2 + 4x + 23 = 0 mod 25", "x = 2 mod 5")
    statement = "lift x = 4 mod 9 to x^2 + x + 7 = 0 mod 27"
    assert status(statement, "all solutions", [(27, [(4, 9)])]) == "agreed"
    assert status(statement, "all solutions", [(27, [(4, 27)])]) == "disagreed"


# ------------------------------------------------------------ two unknowns


def test_exactly_the_set_of_all_pairs_is_agreed() -> None:
    lines = ("2x + 3y = 5 mod 6", "4x + 3y = 1 mod 6")
    found = tuple(
        (x, y)
        for x, y in product(range(6), repeat=2)
        if (2 * x + 3 * y - 5) % 6 == (4 * x + 3 * y - 1) % 6 == 0
    )

    assert len(found) == 6
    assert status(lines, "all solutions", found) == "agreed"
    assert status(lines, "how many", 6) == status(lines, "whether any", True) == "agreed"
    for pair in found:
        assert status(lines, "all solutions", [p for p in found if p != pair]) == "disagreed"
    other = next(pair for pair in product(range(6), repeat=2) if pair not in found)
    assert status(lines, "all solutions", (*found, other)) == "disagreed"
    assert status(lines, "all solutions", (*found, found[0])) == "disagreed"


def test_pairs_modulo_a_large_number_are_decided_where_there_is_only_one() -> None:
    lines = (f"2x + 3y = 5 mod {P}", f"x - y = 1 mod {P}")
    assert isinstance(read(*lines), TwoUnknowns)
    inverse = pow(5, -1, P)
    x, y = 8 * inverse % P, 3 * inverse % P

    assert status(lines, "all solutions", [(x, y)]) == "agreed"
    assert status(lines, "all solutions", [(x, y + 1)]) == "disagreed"
    assert status(lines, "all solutions", []) == "disagreed"
    assert status(lines, "how many", 1) == "agreed"
    singular = (f"2x + 2y = 5 mod {P}", f"x + y = 1 mod {P}")
    assert status(singular, "whether any", False) == "unchecked"


@pytest.mark.parametrize(
    ("typed", "rows"),
    [
        (("2x = 5 - 3y mod 7", "x = y + 1 mod 7"), ((2, 3, 2), (1, 6, 6))),
        (("2(v + 1) + 3u ≡ 0 (mod 7)", "u*4 = 1 mod 7"), ((3, 2, 2), (4, 0, 6))),
        (("x = 2 mod 7", "y = 3 mod 7"), ((1, 0, 5), (0, 1, 4))),
    ],
)
def test_linear_forms_are_read_however_they_are_written(typed: tuple, rows: tuple) -> None:
    assert read(*typed) == TwoUnknowns(rows, 7)


# ------------------------------------------------------------ large exponents, and counts


@pytest.mark.parametrize("m", [1, 2, 8, 9, 27, 35, 61, 100])
def test_a_large_exponent_is_decided_as_the_definition_has_it(m: int) -> None:
    for k in (1001, 1002, 1536, 65537):
        for a in range(m):
            statement = f"x^{k} = {a} mod {m}"
            roots = [x for x in range(m) if pow(x, k, m) == a]
            classes = [(x, m) for x in roots]
            assert status(statement, "all solutions", [(m, classes)]) == "agreed"
            assert status(statement, "how many", len(roots)) == "agreed"
            assert status(statement, "whether any", bool(roots)) == "agreed"
            assert status(statement, "how many", len(roots) + 1) == "disagreed"
            if roots:
                assert status(statement, "all solutions", [(m, classes[1:])]) == "disagreed"


def test_roots_modulo_large_primes_are_counted_and_put_in() -> None:
    q = 10**20 + 39
    statement = f"x^65537 = 2 mod {P}*{q}"
    u = pow(65537, -1, (P - 1) * (q - 1))
    x, m = pow(2, u, P * q), P * q

    assert status(statement, "all solutions", [(m, [(x, m)])]) == "agreed"
    assert status(statement, "all solutions", [(m, [(x + 1, m)])]) == "disagreed"
    assert status(statement, "how many", 1) == "agreed"
    assert status(f"x^2000 = {P} mod {P}^3", "how many", 0) == "unchecked"


@pytest.mark.parametrize(
    ("congruence_", "n"),
    [
        ("x^2 = 1 mod 360", 16),
        ("6x = 4 mod 10", 2),
        ("x^2 + x + 7 = 0 mod 27", 3),
        ("x^1001 = 1 mod 7", 1),
    ],
)
def test_a_number_of_solutions_is_agreed_if_it_is_right(congruence_: str, n: int) -> None:
    statement = f"number of solutions of {congruence_}"

    assert status(statement, "the value", n) == "agreed"
    assert status(statement, "the value", n + 1) == "disagreed"
    assert status(statement, "how many", n) == "unchecked"
