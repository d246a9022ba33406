"""Linear congruences against exhaustion, and large ones by substitution and count."""

from itertools import product
from math import gcd
from random import Random

import pytest

from itembank.kinds.base import solution_to, worked_for
from itembank.kinds.linear.isolating import isolating
from itembank.kinds.linear.kind import KINDS, LinearCongruence
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.values.answer import ResidueSet
from tests.kinds.congruences import general
from tests.kinds.telling import feedback_of, rendered


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


def text(blocks) -> str:
    return " ".join(plain.blocks(blocks).split())


WHOLE = [
    (
        "6y = 4 mod 10",
        "Greatest common divisor. gcd(6, 10) = 2, and 2 divides 4, so there are two solutions "
        "modulo 10. Divide by 2. Divide all three numbers by 2, the modulus too: 3y ≡ 2 (mod 5) "
        "Solve modulo 5. As 2 ≡ −3 (mod 5), this is 3y ≡ −3 (mod 5). Divide both sides by 3, "
        "which has no common factor with 5: y ≡ −1 ≡ 4 (mod 5). All solutions modulo 10. The "
        "solution y ≡ 4 (mod 5) stands for two residues modulo 10, spaced 5: 4, 9. Answer. "
        "y ≡ 4, 9 (mod 10): two solutions. Check. 6 · 4 = 24 ≡ 4 (mod 10). And "
        "6 · 5 = 30 = 3 · 10, so adding 5 to y changes nothing modulo 10.",
    ),
    (
        "53x = 40 mod 58",
        "Greatest common divisor. gcd(53, 58) = 1, so there is exactly one solution modulo 58. "
        "Solve modulo 58. 53 ≡ −5 (mod 58), so the congruence is −5x ≡ 40 (mod 58). Divide both "
        "sides by −5, which has no common factor with 58: x ≡ −8 ≡ 50 (mod 58). Answer. "
        "x ≡ 50 (mod 58): one solution. Check. 53 · 50 ≡ −5 · (−8) = 40 (mod 58).",
    ),
    (
        "37x = 5 mod 101",
        "Greatest common divisor. gcd(37, 101) = 1, so there is exactly one solution modulo 101. "
        "Solve modulo 101. Euclid's algorithm, carrying along the number u for which each "
        "remainder is congruent to 37u (mod 101): division remainder u ───────────────── ───────── "
        "─── 101 = 2 · 37 + 27 27 −2 37 = 1 · 27 + 10 10 3 27 = 2 · 10 + 7 7 −8 10 = 1 · 7 + 3 3 "
        "11 7 = 2 · 3 + 1 1 −30 37 · (−30) = −1110 ≡ 1 (mod 101), so the inverse of 37 is −30. "
        "Multiplying both sides by −30 gives x ≡ −30 · 5 = −150 ≡ 52 (mod 101). Answer. "
        "x ≡ 52 (mod 101): one solution. Check. 37 · 52 ≡ 37 · (−49) = −1813 ≡ 5 (mod 101).",
    ),
    (
        "x - 2 = 3x + 1 mod 2^70",
        "Collect. Bring the unknown to the left and the numbers to the right, as least residues: "
        "1180591620717411303422x ≡ 3 (mod 2⁷⁰) Greatest common divisor. "
        "gcd(1180591620717411303422, 2⁷⁰) = 2, and 2 does not divide 3. For every integer x both "
        "1180591620717411303422x and 2⁷⁰ are multiples of 2, so 1180591620717411303422x cannot be "
        "congruent to 3 modulo 2⁷⁰. Answer. The congruence has no solutions.",
    ),
]


@pytest.mark.parametrize(("statement", "told"), WHOLE)
def test_the_worked_solution_is_told_as_on_the_board(statement: str, told: str) -> None:
    problem = general(statement)

    assert text(rendered(problem.worked(problem.solve()))) == told


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("17x = -1 mod 18", "17x ≡ 17 (mod 18) Greatest common divisor."),
        ("17x = -1 mod 18", "Divide both sides by 17, which has no common factor with 18: x ≡ 1"),
        ("51x = 26 mod 77", "As 26 ≡ −51 (mod 77), this is 51x ≡ −51 (mod 77). Divide both sides"),
        ("70x = 39 mod 73", "70 ≡ −3 (mod 73), so the congruence is −3x ≡ 39 (mod 73). Divide"),
        ("18x = 5 mod 19", "the congruence is −x ≡ 5 (mod 19). Multiply both sides by −1: x ≡ −5"),
        ("3x = 3 mod 7", "Solve modulo 7. Divide both sides by 3"),
        ("15x = 13 mod 17", "As 13 ≡ 30 (mod 17), this is 15x ≡ 30 (mod 17). Divide"),
        ("99x = 99 mod 100", "Divide both sides by 99, which has no common factor with 100"),
    ],
)
def test_the_smallest_numbers_lead_to_the_solution(statement: str, told: str) -> None:
    problem = general(statement)

    assert told in text(rendered(problem.worked(problem.solve())))


@pytest.mark.parametrize("m", range(2, 45))
def test_each_move_keeps_the_solutions(m: int) -> None:
    for a, b in product((a for a in range(m) if gcd(a, m) == 1), range(m)):
        way = isolating(a, b, m)
        x, left = way.x, way.small
        assert 0 <= x < m and (a * x - b) % m == 0 and (way.small - a) % m == 0
        for move in way.moves:
            assert left == move.c * move.a and gcd(move.c, m) == 1
            assert (move.a * x - move.b) % m == 0
            left = move.a
        assert (left == 1) == (way.inverse is None)
        assert way.inverse is None or (left * way.inverse - 1) % m == 0


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "120x = 104 mod 136",
            "Greatest common divisor. gcd(120, 136) = 8, and 8 divides 104, so there are eight "
            "solutions modulo 136. Answer. The congruence has eight solutions modulo 136.",
        ),
        ("0x = 3 mod 5", "The unknown drops out, and 0 ≢ 3 (mod 5): no residue is a solution."),
    ],
)
def test_whether_there_is_a_solution_is_said_without_solving(statement: str, told: str) -> None:
    problem = general(statement)
    solution = problem.solve()

    for ask in ("whether any", "how many"):
        assert text(rendered(worked_for(problem, solution, ask))).startswith(told)
        assert solution_to(problem, ask, solution).effort <= solution.effort
    assert solution_to(problem, "all solutions", solution) is solution


def test_a_common_divisor_that_would_make_a_long_list_is_told_by_its_spacing() -> None:
    problem = general("30t = 60 mod 90")
    told = text(rendered(problem.worked(problem.solve())))

    assert "stands for 30 residues modulo 90, spaced 3, beginning with 2." in told
    assert "Answer. t ≡ 2 (mod 3): 30 solutions modulo 90." in told


def test_feedback_is_told_in_the_numbers_and_the_letter_of_the_congruence() -> None:
    problem = general("4n = 3 mod 10")
    slips = {name: slip for slip in problem.slips(problem.solve()) for name in slip.names}

    assert text(feedback_of(slips["solvability-untested"])) == (
        "Substitute one of these residues: 4n is always a multiple of 2 modulo 10. Does 2 divide 3?"
    )


@pytest.mark.parametrize("sample", KINDS[0].samples)
def test_the_record_reads_its_samples_as_the_house_does(sample: str) -> None:
    assert KINDS[0].read([sample]) == general(sample)


def test_the_record_reads_nothing_else() -> None:
    assert KINDS[0].read(["x^2 = 1 mod 5"]) is None
    assert KINDS[0].read(["x = 1 mod 5", "x = 2 mod 7"]) is None


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("6x = 4 mod 10", "Number of solutions. gcd(6, 10) = 2 divides 4: 2 solutions, 5 apart."),
        ("6x = 3 mod 10", "Number of solutions. gcd(6, 10) = 2 does not divide 3: no solution."),
        ("-3x = 5 mod 7", "Number of solutions. gcd(−3, 7) = 1: exactly one solution."),
    ],
)
def test_a_reviewer_is_told_how_many_solutions_there_must_be(statement: str, told: str) -> None:
    problem = general(statement)

    assert text(rendered(KINDS[0].certificate(problem, problem.solve().answer))) == told


def test_no_reason_says_that_a_common_divisor_is_larger_than_it_can_be_or_need_be():
    """gcd(68, 128) = 128 was offered: the smallest divisor of one of them above 4 is 8."""
    problem = problem_from(["68x = 48 mod 128"])
    first = problem.inferences(problem.solve())[0]
    text = " ".join(Speaker().text(other.text) for other in first.others)

    assert "gcd(68, 128) = 8, and 8 divides 48." in text and "= 128" not in text
