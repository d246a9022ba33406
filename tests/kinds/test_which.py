"""Which of several congruences: the one that exhaustion finds, and nothing where it finds two."""

from math import lcm
from random import Random

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.telling import rendered


def roots(a: int, b: int, c: int, m: int, whole: int) -> set[int]:
    return {x for x in range(whole) if (a * x * x + b * x + c) % m == 0}


def drawn(chance: Random, square: bool) -> tuple[int, int, int, int]:
    m = chance.choice((6, 9, 10, 12, 15, 21, 35))
    return (chance.randrange(1, m) if square else 0, chance.randrange(1, m), chance.randrange(m), m)


def text(a: int, b: int, c: int, m: int) -> str:
    return f"{a}x^2 + {b}x + {c} = 0 mod {m}" if a else f"{b}x = {-c % m} mod {m}"


@pytest.mark.parametrize("square", [False, True])
def test_the_one_that_is_right_is_found_by_both_ways(square: bool) -> None:
    chance, met = Random(f"which {square}"), dict.fromkeys("sno", 0)
    for _ in range(400):
        four = [drawn(chance, square) for _ in range(4)]
        like = drawn(chance, square)
        whole = lcm(like[3], *(m for *_f, m in four))
        sets = [roots(*one, whole) for one in four]
        n = chance.randrange(1, 4)
        for asked, right in (
            ("which is solvable", [bool(found) for found in sets]),
            (f"which has {n} solutions", [len(roots(*one, one[3])) == n for one in four]),
            (f"which has the same solutions as {text(*like)}",
             [found == roots(*like, whole) for found in sets]),
        ):  # fmt: skip
            if right.count(True) != 1:
                continue
            expected = text(*four[right.index(True)])
            try:
                problem = problem_from([asked, *(text(*one) for one in four)])
            except StatementError as reason:
                assert "the same" in str(reason)
                continue
            answer = problem.solve().answer.value
            chosen = problem.statement[1:][answer]
            assert problem_from([chosen]) == problem_from([expected]), (asked, four)
            verdicts = [decide(problem.statement, "which", i).status for i in range(4)]
            assert [v == "agreed" for v in verdicts] == [i == answer for i in range(4)]
            met["s" if "is s" in asked else "n" if "has the" not in asked else "o"] += 1
    assert min(met.values()) >= 2, met


def test_two_that_are_right_are_refused() -> None:
    problem = problem_from(["which is solvable", "3x = 6 mod 9", "x = 1 mod 5", "2x = 1 mod 4"])
    with pytest.raises(StatementError, match="expected one congruence that is right, 2 are"):
        problem.solve()
    assert decide(problem.statement, "which", 0).status == "disagreed"


def test_a_disguise_of_another_option_is_refused() -> None:
    with pytest.raises(StatementError, match="two that are the same"):
        problem_from(["which has 3 solutions", "3x = 6 mod 9", "6x = 12 mod 9", "x = 1 mod 5"])


def test_what_tells_two_congruences_apart_is_put_into_both() -> None:
    given, double, other = "x^2 + 6x + 8", "12x^2 + 6x + 30", "26x^2 + 9x + 10"
    right = "28x^2 + 3x + 26"
    like, *lines = (f"{f} = 0 mod 33" for f in (given, double, other, right))
    problem = problem_from([f"which has the same solutions as {like}", *lines])

    told = " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())

    assert "12 · 9² + 6 · 9 + 30 = 1056 ≡ 0 (mod 33), 9² + 6 · 9 + 8 = 143 ≡ 11 (mod 33)" in told
    assert "26 · 2² + 9 · 2 + 10 = 132 ≡ 0 (mod 33), 2² + 6 · 2 + 8 = 24" in told


def test_every_congruence_is_told_and_every_wrong_one_has_feedback() -> None:
    lines = ["6x = 8 mod 15", "6x = 9 mod 21", "10x = 5 mod 12", "9x = 4 mod 24"]
    problem = problem_from(["which is solvable", *lines])
    solution = problem.solve()
    told = plain.blocks(rendered(problem.worked(solution)))

    assert told.count("does not divide") == 3 and "6x ≡ 9 (mod 21)" in told.split("Answer.")[1]
    assert {i for slip in problem.slips(solution) for i in slip.answer} | {
        solution.answer.value
    } == {0, 1, 2, 3}


def told(*lines: str) -> str:
    problem = problem_from(list(lines))
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


def test_why_a_quadratic_is_not_solvable_is_said_with_its_numbers() -> None:
    """Worked out by hand: the values modulo 5; 6^5 = 2^5 = -1 modulo 11; 4 = 2^2 there."""
    text = told(
        "which is solvable", "x^2 + 7x + 41 = 0 mod 55", "x^2 + 31x + 22 = 0 mod 55",
        "x^2 + 9x + 33 = 0 mod 55", "x^2 = 2 mod 11",
    )  # fmt: skip
    assert "is 1, 4, 4, 1, 0 for x = 0, 1, 2, 3, 4: the solution is 4." in text
    assert "is 2, 4, 3, 4, 2 for x = 0, 1, 2, 3, 4: never 0, so there is no solution." in text
    assert "7² − 4 · 1 · 8 = 17 ≡ 6, and by Euler's criterion it is not a square: 6⁵ ≡ −1" in text
    assert "9² − 4 · 1 · 0 = 81 ≡ 4, and 2² ≡ 4 (mod 11)" in text
    assert "By Euler's criterion 2 is not a square: 2⁵ ≡ −1 (mod 11)" in text
    assert "Trying" not in text
