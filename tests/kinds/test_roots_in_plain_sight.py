"""The method for the occasion: products, roots and squares in plain sight, small numbers."""

import re
from random import Random

import pytest

from itembank.kinds.base import solution_to, worked_for
from itembank.kinds.polynomial.prime import integer_roots
from itembank.kinds.polynomial.steps import OddSquare
from itembank.notation import plain
from tests.kinds.congruences import general
from tests.kinds.telling import rendered


def told(statement: str, ask: str = "all solutions") -> str:
    problem = general(statement)
    return " ".join(plain.blocks(rendered(worked_for(problem, problem.solve(), ask))).split())


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("x^2 + 5x = 0 mod 7", "f(x) = x(x + 5)"),
        ("x^2 - 18x + 65 = 0 mod 51", "Over the integers f(x) = (x − 5)(x − 13)."),
        ("x^2 - 18x + 65 = 0 mod 51", "Modulo 17. The roots are x ≡ 5, 13 (mod 17)."),
        ("x^3 - 4x = 0 mod 11", "Over the integers f(x) = x(x + 2)(x − 2)."),
        ("x^2 + 9x - 10 = 0 mod 13", "Over the integers f(x) = (x + 10)(x − 1)."),
        (
            "x^2 + 5x + 7 = 0 mod 13",
            "One root is seen: f(1) = 13 ≡ 0 (mod 13). So f(x) ≡ (x − 1)(x",
        ),
        ("x^2 + 6x + 18 = 0 mod 221", "One root is seen: f(−1) = 13 ≡ 0 (mod 13)."),
        ("x^2 + 5x + 26 = 0 mod 65", "So f(x) ≡ x(x + 5) (mod 13)."),
        ("3x^2 + 4x + 6 = 0 mod 13", "x ≡ 1 (mod 13) or 3x ≡ 6 (mod 13). Divide both sides by 3"),
        ("x^2 = 26 + 0x mod 37", "Add 37 until a square appears: 26, 63, 100, and 100 = 10²."),
        ("x^2 = 6 + 0x mod 19", "Add 19 until a square appears: 6, 25, and 25 = 5². So x ≡ ±5"),
        ("x^2 + 14x = 6 mod 23", "49 + 6 = 55 ≡ 9 (mod 23) 9 = 3². So x + 7 ≡ ±3 (mod 23)."),
        ("x^2 + 9x + 5 = 0 mod 13", "f(x) ≡ x² − 4x + 5 (mod 13). Complete the square. (x − 2)² ="),
        (
            "x^2 = 2 + 0x mod 37",
            "only if this is 1 or 7 modulo 8, and 37 ≡ 5 (mod 8): there is",
        ),
    ],
)
def test_what_is_seen_is_not_computed(statement: str, words: str) -> None:
    assert words in told(statement)


def test_a_product_over_the_integers_is_told_once() -> None:
    text = told("x^2 - 5x + 6 = 0 mod 1001")

    assert text.count("Over the integers") == text.count("A product is divisible") == 1
    assert "Modulo 11. The roots are x ≡ 2, 3 (mod 11)." in text


def test_integer_roots_multiply_back_to_the_polynomial() -> None:
    chance = Random("integer roots")
    for _ in range(500):
        roots = sorted(chance.randrange(-20, 21) for _ in range(chance.randrange(2, 6)))
        lead = chance.choice([1, -1, 3])
        f: tuple[int, ...] = (1,)
        for u in roots:
            f = tuple(a - u * b for a, b in zip((0, *f), (*f, 0), strict=True))
        found = integer_roots(tuple(lead * c for c in f))
        assert list(found) == (roots if any(roots) else [])
        spoiled = (lead * f[0] + 1, *(lead * c for c in f[1:]))
        again = integer_roots(spoiled)
        assert all(sum(c * u**i for i, c in enumerate(spoiled)) == 0 for u in again)


@pytest.mark.parametrize(
    ("statement", "ask", "end"),
    [
        ("x^2 + 9x + 5 = 0 mod 117", "how many", "2 · 2 = 4: the congruence has four solutions"),
        ("x^2 + 9x + 5 = 0 mod 117", "whether any", "make one modulo 117: the congruence has"),
        ("x^2 + 9x + 5 = 0 mod 13", "whether any", "Answer. The congruence has solutions."),
        ("x^2 + 9x + 5 = 0 mod 13", "how many", "The congruence has two solutions modulo 13."),
        ("x^2 + 3x + 8 = 0 mod 396", "whether any", "The congruence has no solutions."),
    ],
)
def test_nothing_is_combined_or_checked_that_nobody_asked_for(
    statement: str, ask: str, end: str
) -> None:
    text = told(statement, ask)
    problem = general(statement)
    solution = problem.solve()

    assert end in text
    assert "Combine." not in text and "Check." not in text
    assert len(text) <= len(told(statement))
    assert solution_to(problem, ask, solution).effort <= solution.effort


def test_simple_roots_are_not_lifted_to_be_counted() -> None:
    text = told("x^2 + 9x + 5 = 0 mod 3^4", "how many")

    assert "the roots 1 and 2 lift, each in exactly one way, to every power of 3" in text
    assert "Lift to modulo" not in text


def test_a_singular_root_is_followed_by_its_values_alone() -> None:
    text = told("x^3 + 3x + 5 = 0 mod 27")

    assert "7 369 = 13 · 27 + 18 none" in text
    assert text.count("condition on t") == 1
    assert "exactly when x ≡ 4 (mod 9)" not in text  # the answer says so


@pytest.mark.parametrize(
    "statement", ["x^2 + 3x = 10 mod 391", "x^3 + 3x + 8 = 0 mod 1331", "x^2 = 26 + 0x mod 1369"]
)
def test_no_number_of_the_check_is_longer_than_a_student_multiplies(statement: str) -> None:
    check = told(statement).partition("Check.")[2]

    assert check
    assert max(map(int, re.findall(r"\d+", check))) <= max(20_000, general(statement).modulus ** 2)


def test_every_multiplier_has_the_product_that_makes_it() -> None:
    text = told("x^2 + 9x + 5 = 0 mod 117")

    assert "13 · 7 ≡ 4 · (−2) = −8 ≡ 1 (mod 9), so the number 91 = 13 · 7 is 1 modulo 9" in text


@pytest.mark.parametrize("k", range(3, 12))
def test_square_roots_modulo_a_power_of_two_follow_their_rule(k: int) -> None:
    for c in range(1, min(2**k, 128), 2):
        problem = general(f"x^2 - {c} = 0 mod 2^{k}")
        solution = problem.solve()
        assert list(solution.answer.residues()) == [
            x for x in range(2**k) if (x * x - c) % 2**k == 0
        ]
        for j, r in next(s.rows for s in solution.steps if isinstance(s, OddSquare)):
            assert (r * r - c) % 2**j == 0
    text = told("x^2 - 41 = 0 mod 256")
    assert "there are four solutions: ±r and ±r + 128" in text
    assert len(text.split()) < 300
    assert "root modulo" not in told("x^2 - 41 = 0 mod 256", "how many")
