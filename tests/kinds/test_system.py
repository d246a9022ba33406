"""Systems of congruences: every solution, coprime or not, consistent or not; the slips of the
trade; the whole message of each mistake in a statement."""

import re
from collections import Counter
from itertools import islice
from math import gcd, lcm
from random import Random
from typing import Any

import pytest

from itembank.kinds.base import Problem
from itembank.kinds.statement import problem_from
from itembank.kinds.system.kind import KINDS, System
from itembank.notation import plain
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from tests.kinds.congruence_samples import statements
from tests.kinds.messages import text
from tests.kinds.telling import rendered

# ------------------------------------------------------------ answers


def holds(statement: str, x: int) -> bool:
    """Whether x satisfies one congruence as it is typed: 2x + 3 = 5 mod 7."""
    sides, m = statement.split(" mod ")
    left, right = sides.split(" = ")
    return (value(left, x) - value(right, x)) % int(m) == 0


def value(side: str, x: int) -> int:
    total = 0
    for term in side.replace("- ", "-").replace("+ ", "+").split():
        sign, digits = (-1, term[1:]) if term[0] == "-" else (1, term.lstrip("+"))
        coefficient, letter, power = digits.partition("x")
        n = int(coefficient) if coefficient else 1
        total += sign * n * (x ** int(power[1:] or 1) if letter else 1)
    return total


def test_all_solutions_are_found_that_exhaustion_finds() -> None:
    chance = Random("ranges")
    tried = 0
    for lines in statements("system", 3_000):
        whole = lcm(*(int(line.split(" mod ")[1]) for line in lines))
        n = whole * chance.choice([1, 1, 2, 3])
        if n > 4_000:
            continue
        bound = (f"0 <= x < {n}",) if n > whole else ()
        answer = problem_from((*lines, *bound)).solve().answer

        assert answer.modulus == n
        found = tuple(x for x in range(n) if all(holds(line, x) for line in lines))
        assert answer.residues() == found, (lines, n)
        tried += 1
    assert tried > 2_000


def test_linear_systems_are_those_that_sympy_solves_once_its_answer_is_put_in() -> None:
    """sympy's solve_congruence takes any moduli; its answer is substituted before it counts."""
    from sympy.ntheory.modular import solve_congruence

    chance = Random("sympy")
    for _ in range(300):
        moduli = [chance.choice([chance.randrange(2, 10**6), 2**20, 3**12, 720720]) for _ in "abc"]
        x = chance.randrange(lcm(*moduli))
        residues = [(x + chance.choice([0, 0, 0, 1])) % m for m in moduli]
        lines = [f"x = {a} mod {m}" for a, m in zip(residues, moduli, strict=True)]
        found = problem_from(lines).solve().answer
        expected = solve_congruence(*zip(residues, moduli, strict=True))
        if expected is None:
            assert not found, lines
        else:
            r, d = map(int, expected)
            assert all((r - a) % m == 0 for a, m in zip(residues, moduli, strict=True))
            assert found.classes() == ((r, d),) == ((r, lcm(*moduli)),)


@pytest.mark.parametrize(
    "lines",
    [
        ["x = 12345678901234567890 mod 10^39 + 3", "x = 98765432109876543210 mod 10^40 + 121"],
        ["x = 7 mod 6^40", "x = 7 + 2^40 mod 10^40"],
        ["x = 7 mod 6^40", "x = 8 mod 10^40"],
        ["3x = 5 mod 7^40", "5x = 3 mod 11^40"],
        [f"x = {i} mod {p}" for i, p in enumerate([101, 103, 107, 109, 113, 127, 131, 137, 139])],
        ["x^2 = 1 mod (10^19 + 51)*(10^20 + 39)", "x = 2 mod 3^40"],
    ],
)
def test_large_moduli_are_solved_and_told(lines: list[str]) -> None:
    problem: Any = problem_from(lines)
    solution = problem.solve()

    if "8 mod 10^40" in lines[1]:
        assert not solution.answer
    else:
        assert solution.answer.count == (4 if "x^2" in lines[0] else 1)
    assert "Answer." in plain.blocks(rendered(problem.worked(solution)))
    for r, _d in solution.answer.classes():
        for congruence in problem.congruences:
            assert r in congruence.solve().answer


# ------------------------------------------------------------ the method


def steps_of(*lines: str) -> list[str]:
    return [step.name for step in problem_from(lines).solve().steps]


@pytest.mark.parametrize(
    ("lines", "steps"),
    [
        (("x = 2 mod 3", "x = 3 mod 5"), ["combine by weights"]),
        (("x = -4 mod 17", "x = 3 mod 23"), ["reduce the right side", "combine by weights"]),
        (
            ("3x = 2 mod 5", "x = 3 mod 7"),
            ["isolate the unknown", "the system in simple form", "combine by weights"],
        ),
        (("x = 1 mod 4", "x = 3 mod 6"), ["substitute"]),
        (("x = 1 mod 6", "x = 3 mod 10", "x = 5 mod 14"), ["split into prime powers", "combine"]),
        (("x^2 = 1 mod 15", "x = 1 mod 4"), ["solve one congruence", "combine"]),
        (
            ("x^2 = 1 mod 15", "x = 1 mod 6"),
            ["solve one congruence", "split into prime powers", "combine"],
        ),
        (("2x = 1 mod 4", "x = 3 mod 5"), ["isolate the unknown"]),
        (("2x = 2 mod 4", "x = 0 mod 1"), ["isolate the unknown", "the system in simple form"]),
    ],
)
def test_each_case_is_worked_by_the_method_taught_for_it(
    lines: tuple[str, ...], steps: list[str]
) -> None:
    assert [name for name in steps_of(*lines) if name not in ("answer", "check")] == steps


def test_a_contradiction_is_shown_where_it_lies() -> None:
    two = problem_from(["x = 1 mod 4", "x = 2 mod 6"])
    three = problem_from(["x = 1 mod 6", "x = 2 mod 10", "x = 3 mod 14"])

    text = " ".join(plain.blocks(rendered(two.worked(two.solve()))).split())
    assert "gcd(4, 6) = 2 does not divide 1" in text
    text = " ".join(plain.blocks(rendered(three.worked(three.solve()))).split())
    assert (
        "x ≡ 1 (mod 6) and x ≡ 2 (mod 10) contradict each other: "
        "they ask for x ≡ 1 (mod 2) and for x ≡ 0 (mod 2)." in text
    )
    assert "The system has no solutions." in text


def test_the_board_reads_as_a_teacher_would_write_it() -> None:
    problem = problem_from(["x = 1 mod 4", "x = 3 mod 6", "0 <= x < 24"])

    assert " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split()) == (
        "Substitute. The first congruence says that x = 1 + 4t for an integer t. Put into "
        "x ≡ 3 (mod 6) this is 1 + 4t ≡ 3, that is 4t ≡ 2 (mod 6). gcd(4, 6) = 2 divides 2. Divide "
        "all three numbers by 2: 2t ≡ 1 (mod 3). As 1 ≡ −2 (mod 3), this is 2t ≡ −2 (mod 3). "
        "Divide both sides by 2, which has no common factor with 3: t ≡ −1 ≡ 2 (mod 3). "
        "Hence x ≡ 1 + 4 · 2 = 9 (mod 12), where 12 is the least common multiple of 4 and 6. "
        "Answer. x ≡ 9 (mod 12), that is x ≡ 9, 21 (mod 24): two solutions modulo 24. "
        "Check. For x = 9: 9 = 2 · 4 + 1 and 9 = 6 + 3. For x = 21: 21 = 5 · 4 + 1 and "
        "21 = 3 · 6 + 3."
    )


def test_a_system_ends_with_its_classes_one_or_the_other_and_how_they_came_about() -> None:
    """Brute force: of 0 to 599 those that are 10 (mod 30), and those that are 115 (mod 120)."""
    lines = ["x^4 + 5x^3 = 0 mod 8", "x = 1 mod 3", "x^2 = 0 mod 25"]
    wanted = [x for x in range(600) if (x**4 + 5 * x**3) % 8 == 0 and x % 3 == 1 and x**2 % 25 == 0]
    assert wanted == sorted([*range(10, 600, 30), *range(115, 600, 120)])
    problem: Any = problem_from(lines)

    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert "satisfies it exactly when x ≡ 0 (mod 2) or x ≡ 3 (mod 8)." in text
    assert "put together: 10, 40, 70, 100 (mod 120) make up x ≡ 10 (mod 30). Answer." in text
    assert (
        "Answer. x ≡ 10 (mod 30) or x ≡ 115 (mod 120): 600/30 + 600/120 = 25 solutions modulo 600. "
        "Written out: 10, 40, 70, …, 580 and 115, 235, 355, 475, 595." in text
    )


def test_what_a_prime_is_left_with_is_told_apart_from_the_other_primes() -> None:
    problem = problem_from(["x^3 = 0 mod 8", "x^2 + x = 0 mod 6", "x^3 + 4x^2 = 0 mod 9"])

    text = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert "What is left: x ≡ 0 (mod 2) x ≡ 0 (mod 3) or x ≡ 5 (mod 9) Combine." in text
    assert "Answer. x ≡ 0 (mod 6) or x ≡ 14 (mod 18), that is x ≡ 0, 6, 12, 14," in text


def worked_text(*lines: str) -> str:
    problem: Any = problem_from(lines)
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


def test_every_congruence_is_told_in_the_letter_of_the_system() -> None:
    told = worked_text("y^2 = 1 mod 12", "y = 1 mod 6", "y = 3 mod 10")

    assert "y² ≡ 1 (mod 12) y ≡ 1 (mod 2) y ≡ 1, 2 (mod 3) y ≡ 1 (mod 6)" in told
    assert "x" not in told.replace("exactly", "")
    assert "y ≡ 10 (mod 12) and y ≡ 21 (mod 30) contradict each other" in worked_text(
        "y = 10 mod 12", "y = 4 mod 18", "y = 21 mod 30"
    )


def test_a_sum_too_long_to_write_is_congruent_to_its_residue_and_not_equal() -> None:
    told = worked_text("x = 7 mod 3^40", "x = 1 mod 2")

    assert f"+ 1 · {3**40} ≡ 7 (mod {2 * 3**40})." in told


def test_long_solutions_stand_below_their_number() -> None:
    told = worked_text("x = 3 mod 10^50 + 1", "x = 5 mod 3^60")

    m = (10**50 + 1) * 3**60
    assert f"Answer. Modulo {m} there is one solution: x ≡ " in told


def test_what_a_congruence_alone_leaves_begins_a_paragraph() -> None:
    problem = problem_from(["x^2 = 4 mod 5", "x = 1 mod 3"])

    texts = [plain.blocks((block,)) for block in rendered(problem.worked(problem.solve()))]
    assert "x satisfies it exactly when x ≡ 2, 3 (mod 5).\n" in texts


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (
            ("x = 17 mod 5", "x = -2 mod 7"),
            "Check. 12 = −1 · 5 + 17 and 12 = 2 · 7 − 2.",
        ),
        (
            ("2x + 1 = x + 5 mod 9", "3x - 1 = 4 mod 8"),
            "Check. 2 · 31 + 1 = 63 ≡ 0, 31 + 5 = 36 ≡ 0 (mod 9) and 3 · 31 − 1 = 92 = 11 · 8 + 4.",
        ),
        (("x^2 = 0 mod 4", "x = 0 mod 3"), "For x = 6: 6² = 36 = 9 · 4 and 6 = 2 · 3."),
        (("-x = 3 mod 5", "x = 1 mod 2"), "Check. −7 = −2 · 5 + 3 and 7 = 3 · 2 + 1."),
        (("x = 0 mod 1", "x = 1 mod 2"), "Check. 1 ≡ 0 (mod 1)."),
    ],
)  # fmt: skip
def test_each_left_side_is_a_multiple_of_the_modulus_and_the_right_side(
    lines: tuple[str, ...], told: str
) -> None:
    assert told in worked_text(*lines)


@pytest.mark.parametrize("sample", KINDS[0].samples)
def test_the_record_reads_its_samples_as_the_house_does(sample: str) -> None:
    lines = sample.split("; ")

    assert KINDS[0].read(lines) == problem_from(lines)


# ------------------------------------------------------------ statements


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (
            ["x = 1 mod 4", "y = 2 mod 6", "x = 1 mod 5"],
            "expected one unknown in all congruences, found x, y",
        ),
        (
            ["x = 1 mod 4", "x = 3 mod 6", "0 <= x < 30"],
            "'0 <= x < 30': expected a multiple of 12, the least common multiple of the moduli, "
            "got 30",
        ),
        (
            ["x = 1 mod 4", "x = 3 mod 6", "0 <= y < 24"],
            "'0 <= y < 24': expected the unknown x, found y",
        ),
        (["x = 1 mod 4"] * 51, "expected at most 50 congruences, got 51"),
        (
            ["x = 1 mod 4", "x = 3"],
            "'x = 3': expected a congruence with a modulus, such as x^2 = 2 mod 7",
        ),
    ],
)
def test_a_mistake_in_a_statement_is_one_clear_line(lines: list[str], message: str) -> None:
    with pytest.raises(StatementError) as caught:
        problem_from(lines)

    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (
            {"congruences": (((0, 1), (1,)),), "moduli": (4, 6), "modulus": 24},
            "given.moduli: expected one for each of the 1 congruences, got 2",
        ),
        (
            {"congruences": (((0, 1), (1,)),) * 2, "moduli": (4, 6), "modulus": 30},
            "given.modulus: expected a multiple of the moduli [4, 6], got 30",
        ),
    ],
)
def test_a_mistake_in_a_family_is_one_clear_line(given: dict, message: str) -> None:
    with pytest.raises(StatementError) as caught:
        System.from_given(given)

    assert str(caught.value) == message


def test_the_order_of_congruences_is_no_new_problem() -> None:
    first = problem_from(["x = 2 mod 3", "3x = 1 mod 5"])
    second = problem_from(["x = 2 mod 5", "x = 2 mod 3"])

    assert first.canonical == second.canonical
    assert problem_from(["x = 2 mod 3", "x = 3 mod 5"]).canonical != first.canonical


# ------------------------------------------------------------ slips

CATALOGUE = [
    (("3x = 2 mod 5", "4x = 6 mod 14"), {19, 54}, "coefficient-ignored", {12, 47}),
    (("3x = 2 mod 5", "4x = 6 mod 14"), {19, 54}, "modulus-not-divided", {19}),
    (("3x = 2 mod 5", "4x = 6 mod 14"), {19, 54}, "inverse-sign", {26, 61}),
    (("3x = 2 mod 5", "4x = 6 mod 14"), {19, 54}, "no-more-than-integers", set()),
    (("x^2 = 4 mod 5", "x = 1 mod 3"), {7, 13}, "one-solution-kept", {7}),
    (("x^2 = 1 mod 3", "x^2 = 4 mod 5"), {2, 7, 8, 13}, "matched-pairs-only", {7, 8}),
    (("x = 2 mod 3", "x = 3 mod 5"), {8}, "residues-added", {5}),
    (("x = 2 mod 3", "x = 3 mod 5"), {8}, "inverses-left-out", {4}),
    (("x = 2 mod 3", "x = 3 mod 5"), {8}, "weights-swapped", {12}),
    (("x^2 = 2 mod 3", "x = 3 mod 5"), set(), "unsolvable-congruence-ignored", {3, 8, 13}),
    (("x = 1 mod 4", "x = 3 mod 6", "0 <= x < 24"), {9, 21}, "difference-reversed", {5, 17}),
    (("x = 1 mod 4", "x = 3 mod 6", "0 <= x < 24"), {9, 21}, "moduli-multiplied", {9}),
    (("x = 1 mod 4", "x = 3 mod 6", "0 <= x < 24"), {9, 21}, "not-coprime-so-none", set()),
    (("x = 1 mod 4", "x = 2 mod 6"), set(), "compatibility-untested", {1}),
    (("x = 2 mod 3", "x = 3 mod 5", "x = 2 mod 7"), {23}, "last-congruence-forgotten", {8}),
    (("x = 2 mod 3", "x = 3 mod 5"), {8}, "first-congruence-only", {2, 5, 8, 11, 14}),
]
"""System, key, slip, and the wrong answer it leads to, worked out by hand."""


@pytest.mark.parametrize(
    ("lines", "true", "name", "wrong"),
    CATALOGUE,
    ids=[f"{c[2]}: {'; '.join(c[0])}" for c in CATALOGUE],
)
def test_each_mistake_of_the_catalogue_gives_its_wrong_answer(
    lines: tuple[str, ...], true: set[int], name: str, wrong: set[int]
) -> None:
    problem: Problem = problem_from(lines)
    solution = problem.solve()

    assert isinstance(solution.answer, ResidueSet)
    assert set(solution.answer.residues()) == true
    (slip,) = [s for s in problem.slips(solution) if name in s.names]
    assert set(slip.answer) == wrong


def test_every_slip_of_the_kind_stands_in_the_catalogue() -> None:
    assert {c[2] for c in CATALOGUE} == set(System.signature.slips)


def test_reasons_of_a_system_are_so_by_trying_every_residue():
    """Of 500 systems: the statement, the condition that is offered for it, and no other one."""
    told = Counter()
    for a, m, b, n in islice(pairs_of_congruences(), 500):
        problem = problem_from([f"x = {a} mod {m}", f"x = {b} mod {n}"])
        whole = m * n // gcd(m, n)
        found = [x for x in range(whole) if x % m == a and x % n == b]
        for inference in problem.inferences(problem.solve()):
            claim = text((inference.claim,))
            told[claim.split()[0]] += 1
            numbers = list(map(int, re.findall(r"\d+", claim)))
            if claim.startswith("There"):
                assert any(numbers[0] * u % numbers[1] == 1 for u in range(numbers[1]))
            else:
                assert (len(found), [whole][: len(found)]) == (len(numbers), numbers)
            assert condition_holds(text((inference.reason,)))
            assert not any(condition_holds(text((o.text,))) for o in inference.others)
    assert min(told[word] for word in ("Exactly", "No", "There")) > 20


def pairs_of_congruences():
    chance = Random(4)
    while True:
        m, n = chance.randint(6, 40), chance.randint(6, 40)
        yield chance.randrange(1, m), m, chance.randrange(1, n), n


def condition_holds(condition: str) -> bool:
    for part in condition.rstrip(".").split(", and "):
        numbers = [int(x) for x in re.findall(r"\d+", part)]
        if "gcd" in part:
            so = gcd(*numbers[:2]) == numbers[2]
        elif "prime" in part:
            so = all(numbers[0] % p for p in range(2, numbers[0]))
        else:
            so = (numbers[1] % numbers[0] == 0) is ("not" not in part)
        if not so:
            return False
    return True
