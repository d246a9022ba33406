"""The number of solutions: exhaustion, numbers too large to list, slips, clear messages."""

from math import comb, prod
from random import Random

import pytest

from itembank.kinds.solution_count.kind import KINDS, SolutionCount
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.values.errors import StatementError
from tests.kinds.congruence_samples import statements
from tests.kinds.telling import rendered


def number(congruence: str) -> int:
    return problem_from([f"number of solutions of {congruence}"]).solve().answer.value


def test_the_number_is_that_of_the_solutions_found() -> None:
    for (line,) in statements("solution_count", 1_500):
        congruence = line.removeprefix("number of solutions of ")
        found = problem_from([congruence]).solve().answer

        assert problem_from([line]).solve().answer.value == found.count, line


def test_the_number_of_roots_is_that_of_exhaustion() -> None:
    chance = Random("roots counted")
    for _ in range(1_000):
        m, k = chance.randrange(1, 700), chance.randrange(2, 20)
        a = chance.randrange(m)
        assert number(f"x^{k} = {a} mod {m}") == sum(pow(x, k, m) == a for x in range(m))


PRIMES = [p for p in range(3, 120) if all(p % d for d in range(2, p))]


@pytest.mark.parametrize(
    ("congruence", "expected"),
    [
        (f"x^2 = 1 mod {prod(PRIMES)}", 2 ** len(PRIMES)),
        ("x^2 = 0 mod 3^400", 3**200),
        ("x^3 = 0 mod 7^100", 7**66),
        (f"x^{10**19 + 50} = 1 mod {10**19 + 51}", 10**19 + 50),
        ("0x = 0 mod 10^40", 10**40),
        ("6^20*x = 6^20 mod 10^40", 2**20),
        ("x^2 = x mod 2*3*5*7*11*13*17*19*23*29", 2**10),
    ],
)
def test_numbers_too_large_to_list_are_counted_and_told(congruence: str, expected: int) -> None:
    problem = problem_from([f"number of solutions of {congruence}"])
    solution = problem.solve()

    assert solution.answer.value == expected
    assert str(expected) in plain.blocks(rendered(problem.worked(solution))).replace("\n", " ")


def test_the_numbers_of_all_right_sides_add_up_to_the_modulus() -> None:
    """Each of the m residues is a root of exactly one right side."""
    for m in range(1, 90):
        for k in (2, 3, 4, 6):
            assert sum(number(f"x^{k} = {a} mod {m}") for a in range(m)) == m
    assert comb(4, 2) == 6


def test_the_board_reads_as_a_teacher_would_write_it() -> None:
    problem = problem_from(["number of solutions of x^3 = 27 mod 63"])

    assert " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split()) == (
        "Split the modulus. 63 = 9 · 7 = 3² · 7, and no two of these factors share a prime. "
        "Each choice of one solution modulo 9 and 7 belongs to exactly one solution "
        "modulo 63: count them for each factor, and multiply. Modulo 9. The right side is 0 "
        "modulo 9. x³ is divisible by 3² if and only if x is divisible by 3, since 3 · 1 ≥ 2 and 3 "
        "· 0 < 2. Modulo 9 there are 9/3 = 3 such residues. Modulo 7. The right side is 6, not "
        "divisible by 7. gcd(3, 7 − 1) = 3. One solution is seen, since 6 ≡ 27 = 3³ (mod 7); where "
        "there is one there are three. So modulo 7 there are three solutions. Multiply. modulo 9 "
        "7 ───────── ─ ─ solutions 3 3 Every choice gives a solution: 3 · 3 = 9. Answer. The "
        "congruence has nine solutions modulo 63."
    )


def told(congruence: str) -> str:
    """The worked solution on one line."""
    problem = problem_from([f"number of solutions of {congruence}"])
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


@pytest.mark.parametrize(
    ("congruence", "sentence"),
    [
        ("x^2 = 64 mod 2^20", "With y also −y is one, and both may be changed by multiples of"),
        ("t^2 = 18 mod 81", "So t = 3 · y with y² ≡ 2 (mod 9)."),
        (
            "x^2 = 4 mod 15",
            "One solution is seen, since 1 = 1²; where there is one there are two.",
        ),
        (
            "x^2 = 5 mod 21",
            "Here the exponent of the criterion is 2/2 = 1, and 2 ≢ 1 (mod 3). So modulo 3 there "
            "are no solutions.",
        ),
        (
            "x^2 = 841 mod 125",
            "Neither it nor the exponent 2 is divisible by 5, so each solution modulo 5 lifts in "
            "exactly one way to modulo 125: count modulo 5. gcd(2, 5 − 1) = 2. One solution is "
            "seen, since 91 ≡ 1 = 1² (mod 5)",
        ),
        ("x^2 = 31 mod 5^2", "since 6 ≡ 1 = 1² (mod 5)"),
        ("x^2 = 2 mod 23", "One solution is seen, since 2 ≡ 25 = 5² (mod 23)"),
        ("x^2 = 5 mod 23", "if 5¹¹ is congruent to 1, where 11 = 22/2, and none if it is not."),
        ("x^2 + x = 0 mod 6", "Modulo 2 there are two solutions. Modulo 3."),
        ("x^2 + x = 1 mod 6", "Modulo 2 there are no solutions. Multiply. A solution modulo 6"),
        ("x^2 + 2x + 1 = 0 mod 3", "Modulo 3 there is one solution."),
        ("6x = 4 mod 10", "Collected, the congruence is 6x ≡ 4 (mod 10). gcd(6, 10) = 2 divides 4"),
        ("x^2 = 0 mod 3^400", "Modulo 3⁴⁰⁰ there are 3⁴⁰⁰/3²⁰⁰ ="),
        ("x = 3 mod 7", "Answer. The congruence has one solution modulo 7."),
    ],
)
def test_sentences_hold_the_numbers_of_the_case(congruence: str, sentence: str) -> None:
    assert sentence in told(congruence)


@pytest.mark.parametrize("sample", KINDS[0].samples)
def test_a_sample_asks_for_a_number_and_is_read_back(sample: str) -> None:
    problem = problem_from([sample])

    assert type(problem) is KINDS[0].problem
    assert KINDS[0].read(problem.statement) == problem
    assert told(sample[sample.index("of ", 12) + 3 :]).count("Answer.") == 1


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        (
            "number of solutions of x^2 + 1",
            "'x^2 + 1': expected a congruence with a modulus, such as x^2 = 2 mod 7",
        ),
        (
            "number of solutions of 3 = 5 mod 7",
            "'3 = 5 mod 7': expected an unknown such as x, found only numbers",
        ),
    ],
)
def test_a_mistake_in_a_statement_is_one_clear_line(typed: str, message: str) -> None:
    with pytest.raises(StatementError) as caught:
        problem_from([typed])

    assert str(caught.value) == message


# ------------------------------------------------------------ slips

CATALOGUE = [
    ("4x = 3 mod 10", 0, "divisor-untested", 2),
    ("6x = 4 mod 10", 2, "one-solution-only", 1),
    ("x^2 = 2 mod 15", 0, "criterion-untested", 4),
    ("x^2 = 0 mod 27*5", 3, "zero-counted-once", 1),
    ("x^2 = 9 mod 27", 6, "divided-counted-once", 2),
    ("x^2 = 1 mod 8*5", 8, "two-treated-as-odd", 4),
    ("x^2 = 1 mod 8*5", 8, "counted-modulo-the-primes", 2),
    ("x^3 = 1 mod 7*13", 9, "as-for-a-prime-modulus", 3),
    ("x^2 = 1 mod 8*5", 8, "degree-as-bound", 2),
    ("x^2 = 2 mod 21", 0, "unsolvable-factor-ignored", 2),
    ("x^2 = 1 mod 8*5", 8, "factor-dropped", 2),
    ("x^3 = 1 mod 7*13", 9, "counts-added", 6),
]
"""Congruence, number, slip, and the wrong number it leads to, worked out by hand."""


@pytest.mark.parametrize(
    ("congruence", "true", "name", "wrong"), CATALOGUE, ids=[f"{c[2]}: {c[0]}" for c in CATALOGUE]
)
def test_each_mistake_of_the_catalogue_gives_its_wrong_number(
    congruence: str, true: int, name: str, wrong: int
) -> None:
    problem = problem_from([f"number of solutions of {congruence}"])
    solution = problem.solve()

    assert solution.answer.value == true
    (slip,) = [s for s in problem.slips(solution) if name in s.names]
    assert slip.answer == (wrong,)


def test_every_slip_of_the_kind_stands_in_the_catalogue() -> None:
    assert {c[2] for c in CATALOGUE} == set(SolutionCount.signature.slips)
