"""Linear congruences against exhaustion, and large ones by substitution and count."""

from math import gcd
from random import Random

import pytest
from congruences import general
from telling import rendered

from itembank.kinds.linear.kind import LinearCongruence
from itembank.notation import plain
from itembank.values.answer import ResidueSet


def congruence(a: int, b: int, m: int) -> LinearCongruence:
    return LinearCongruence(left=(0, a), right=(b,), modulus=m)


@pytest.mark.parametrize("m", range(1, 31))
def test_every_congruence_with_numbers_up_to_thirty_agrees_with_exhaustion(m: int) -> None:
    for a in range(31):
        for b in range(31):
            answer = congruence(a, b, m).solve().answer

            assert answer.residues() == tuple(x for x in range(m) if (a * x - b) % m == 0), (a, b)
            assert answer.modulus == m


def test_both_sides_may_hold_the_unknown_and_numbers_of_any_sign() -> None:
    chance = Random("both sides")
    for _ in range(2000):
        a, b, c, d = (chance.randrange(-50, 51) for _ in range(4))
        m = chance.randrange(1, 80)
        problem = LinearCongruence(left=(b, a), right=(d, c), modulus=m)

        expected = tuple(x for x in range(m) if (a * x + b - c * x - d) % m == 0)
        assert problem.solve().answer.residues() == expected, (a, b, c, d, m)
        assert rendered(problem.worked(problem.solve()))


@pytest.mark.parametrize("digits", [20, 40, 300])
def test_large_congruences_are_one_class_of_the_right_size(digits: int) -> None:
    chance = Random(f"linear {digits}")
    for _ in range(40):
        m = chance.randrange(10**digits)
        d = chance.choice([1, 2, 6, 30, 7**5])
        a, x = d * chance.randrange(m), chance.randrange(m)
        m *= d
        answer = congruence(a, a * x, m).solve().answer

        ((r, spacing),) = answer.classes()
        assert a * r % m == a * x % m and a * spacing % m == 0
        assert answer.count == gcd(a, m) and x in answer


def test_a_large_congruence_without_solution_is_seen_by_the_common_divisor() -> None:
    m = 6 * 10**60
    assert congruence(9 * 10**40, 10**40 + 1, m).solve().answer == ResidueSet.of(m, [])


@pytest.mark.parametrize(
    ("statement", "answer"),
    [
        ("6x = 4 mod 10", [4, 9]),
        ("6x = 3 mod 10", []),
        ("0x = 0 mod 5", [0, 1, 2, 3, 4]),
        ("5x = 10 mod 5", [0, 1, 2, 3, 4]),
        ("5x = 3 mod 5", []),
        ("x = 12 mod 5", [2]),
        ("7y = 1 mod 1", [0]),
        ("3x + 4 = x - 2 mod 8", [1, 5]),
    ],
)
def test_cases_at_the_edge(statement: str, answer: list[int]) -> None:
    problem = general(statement)
    solution = problem.solve()

    assert problem.kind == "linear"
    assert list(solution.answer.residues()) == answer
    assert rendered(problem.worked(solution))
    assert all(slip.answer != tuple(answer) for slip in problem.slips(solution))


@pytest.mark.parametrize(
    "statement",
    ["123456789x = 5 mod 10^40 + 1", "7x = 3 mod (10^10 + 19)^60", f"{6**50}x = {6**60} mod 6^80"],
)
def test_large_congruences_have_a_worked_solution(statement: str) -> None:
    problem = general(statement)
    solution = problem.solve()
    told = plain.blocks(rendered(problem.worked(solution)))

    assert "Answer." in told
    ((r, _d),) = solution.answer.classes()
    assert str(r) in told.replace("\n", "")


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("6x = 4 mod 10", {"solutions": 2, "common_divisor": 2, "digits": 2}),
        ("6x = 3 mod 10", {"solutions": 0, "common_divisor": 2, "digits": 2}),
        ("7x = 3 mod 101", {"solutions": 1, "common_divisor": 1, "digits": 3}),
    ],
)
def test_the_profile_of_a_congruence_is_what_a_reader_counts(
    statement: str, expected: dict[str, int]
) -> None:
    problem = general(statement)
    measured = dict(problem.measures(problem.solve()))

    assert set(measured) == set(problem.signature.measures)
    assert measured.pop("steps") >= 1
    assert measured == expected
