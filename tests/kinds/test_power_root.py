"""Roots modulo m: every root, by the method taught for the case, and the slips of the trade."""

import re
from math import gcd
from random import Random
from typing import Any

import pytest

from itembank.kinds.base import solution_to
from itembank.kinds.power_root.decision_steps import Exists
from itembank.kinds.power_root.kind import KINDS, PowerRoot
from itembank.kinds.power_root.steps import Witness
from itembank.kinds.power_root.telling.worked import TOLD, teller
from itembank.kinds.statement import problem_from
from itembank.languages import Grid, Lead, Said, Shown
from itembank.notation import plain
from itembank.notation.reading import formula
from itembank.values.errors import StatementError
from tests.kinds.congruence_samples import statements
from tests.kinds.congruences import general
from tests.kinds.telling import feedback_of, rendered

P20, Q20 = 10**19 + 51, 10**20 + 39
"""Primes of 20 and 21 digits."""


# ------------------------------------------------------------ reading


@pytest.mark.parametrize(
    ("typed", "k", "a", "m", "letter"),
    [
        ("x^2 = 2 mod 7", 2, 2, 7, "x"),
        ("x³ ≡ −5 (mod 31)", 3, -5, 31, "x"),
        ("5 = t**4 mod 2^5", 4, 5, 32, "t"),
        ("x^2 = 7^2 - 1 mod 10^3 + 9", 2, 48, 1009, "x"),
        ("x^65537 = 5 mod 61*53", 65537, 5, 3233, "x"),
        ("x^2 = 0 mod 1", 2, 0, 1, "x"),
    ],
)
def test_a_power_beside_a_number_is_a_root(typed: str, k: int, a: int, m: int, letter: str) -> None:
    problem = problem_from([typed])

    assert problem == PowerRoot(exponent=k, power=a, modulus=m, letter=letter)
    assert problem.statement == (f"{letter}^{k} = {a} mod {m}",)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("x^2 - 2 = 0 mod 7", "polynomial"),
        ("2x^2 = 1 mod 7", "polynomial"),
        ("x^2 = x mod 10", "polynomial"),
        ("-x^2 = 3 mod 7", "polynomial"),
        ("(x + 1)^2 = 3 mod 7", "polynomial"),
        ("x^1 = 3 mod 7", "linear"),
        ("2^x = 3 mod 7", "exponential"),
    ],
)
def test_every_other_form_is_another_kind(typed: str, kind: str) -> None:
    assert problem_from([typed]).kind == kind


def test_what_is_no_power_beside_a_number_is_refused_in_a_family() -> None:
    with pytest.raises(StatementError) as caught:
        PowerRoot.from_given({"congruence": ((0, 1, 1), (3,)), "modulus": 7})

    assert (
        str(caught.value) == "given.congruence: expected a power of x and a number, such as x^2 = a"
    )


def test_more_roots_than_can_be_listed_are_refused_with_their_number() -> None:
    with pytest.raises(StatementError) as caught:
        problem_from([f"x^{(P20 - 1) // 2} = 1 mod {P20}"]).solve()

    assert str(caught.value) == (
        f"x^5000000000000000025 = 1 mod {P20}: modulo {P20} there are 5000000000000000025 "
        "solutions, more than the 10000 that are listed"
    )


# ------------------------------------------------------------ answers


def test_all_roots_are_found_that_exhaustion_finds() -> None:
    for (line,) in statements("power_root", 2_000):
        problem: Any = problem_from([line])
        m, k, a = problem.modulus, problem.exponent, problem.power
        if m <= 5_000:
            found = tuple(x for x in range(m) if pow(x, k, m) == a % m)
            assert problem.solve().answer.residues() == found, line


def test_the_roots_are_those_of_the_polynomial_congruence() -> None:
    """Prime powers too large to try, planted roots, singular ones among them."""
    chance = Random("power roots")
    for _ in range(250):
        p, e = chance.choice([2, 3, 5, 7, 11]), chance.randrange(4, 30)
        m = p**e * chance.choice([1, 1, 7, 13**3, 17, 101, 97])
        k = chance.choice([2, 3, 4, 5, 6, 8, 9, 10, 12, 27])
        a = pow(chance.randrange(m), k, m)
        statement = f"x^{k} = {a} mod {m}"
        root, polynomial = problem_from([statement]), general(statement)

        assert root.kind == "power_root" and polynomial.kind == "polynomial"
        assert root.solve().answer == polynomial.solve().answer, statement


@pytest.mark.parametrize("k", [2, 3, 4, 5, 6, 12])
def test_the_roots_are_those_that_sympy_finds(k: int) -> None:
    from sympy.ntheory import nthroot_mod

    chance = Random(f"sympy {k}")
    for _ in range(40):
        m = chance.choice([chance.randrange(2, 5_000), 10007, 65537, 3 * 2**18 + 1, 7 * 10007])
        a = pow(chance.randrange(m), k, m) if chance.random() < 0.8 else chance.randrange(m)
        found = problem_from([f"x^{k} = {a} mod {m}"]).solve().answer
        if found.count <= 2_000:
            expected = nthroot_mod(a, k, m, all_roots=True) or []
            assert sorted(found.residues()) == sorted(map(int, expected)), (k, a, m)


@pytest.mark.parametrize(
    "statement",
    [
        f"x^2 = 12345678901234567891 mod {P20}",
        f"x^2 = 5 mod {Q20}",
        f"x^3 = 8 mod {P20}",
        f"x^2 = 4 mod {P20}*{Q20}",
        f"x^65537 = 424242 mod {P20}*{Q20}",
        f"x^6 = 64 mod {P20}^2*3^40",
        "x^2 = 17 mod 2^200",
        "x^1000 = 1 mod 10^40",
        "x^4 = 0 mod 3^60",
    ],
)
def test_large_moduli_with_known_factors_are_solved_and_told(statement: str) -> None:
    problem: Any = problem_from([statement])
    solution = problem.solve()
    m = problem.modulus

    for r, d in solution.answer.sample_classes(20):
        for x in (r, (r + d) % m, (r - d) % m):
            assert pow(x, problem.exponent, m) == problem.power % m
    assert plain.blocks(rendered(problem.worked(solution))).count("Answer.") == 1


def test_large_primes_have_as_many_roots_as_pari_finds() -> None:
    import cypari

    chance = Random("pari")
    for _ in range(30):
        p, k = chance.choice([P20, Q20]), chance.choice([2, 3, 4, 5, 6, 10])
        a = pow(chance.randrange(1, p), chance.choice([1, k]), p)
        found = problem_from([f"x^{k} = {a} mod {p}"]).solve().answer
        roots = cypari.pari(f"polrootsmod(x^{k} - {a}, {p})")
        assert sorted(found.residues()) == sorted(int(r.lift()) for r in roots)


# ------------------------------------------------------------ the method


@pytest.mark.parametrize(
    ("statement", "steps"),
    [
        ("x^2 = 8 mod 11", ["list the powers"]),
        ("x^2 = 3 mod 13", ["a root at sight"]),
        ("x^2 = 78 mod 83", ["criterion", "square root, p = 3 mod 4", "the other roots"]),
        ("x^2 = 6 mod 53", ["criterion", "square root, p = 5 mod 8", "the other roots"]),
        ("x^2 = 10 mod 41", ["criterion", "square root, Tonelli-Shanks", "the other roots"]),
        ("x^2 = 3 mod 41", ["criterion"]),
        ("x^3 = 4 mod 11", ["invert the exponent"]),
        ("x^3 = 7 mod 85", ["invert the exponent"]),
        ("x^4 = 13 mod 17", ["indices"]),
        ("x^3 = 8 mod 103", ["a root at sight", "the other roots"]),
        ("x^3 = 9 mod 103", ["criterion", "one root", "the other roots"]),
        (
            "x^10 = 14 mod 103",
            ["criterion", "lower the exponent", "square root, p = 3 mod 4", "the other roots"],
        ),
        ("x^2 = 14 mod 25", ["a root at sight"]),
        ("x^2 = 95 mod 169", ["a root at sight", "lift"]),
        ("x^3 = 1 mod 27", ["a root at sight", "singular roots", "lift"]),
        ("x^2 = 41 mod 256", ["powers of odd numbers", "lift"]),
        ("x^2 = 17 mod 32", ["powers of odd numbers", "a root at sight"]),
        ("x^2 = 5 mod 8", ["powers of odd numbers"]),
        ("x^2 = 0 mod 27", ["a power that is zero"]),
        ("x^2 = 3 mod 27", ["divide out a power of p"]),
        ("x^2 = 9 mod 27", ["divide out a power of p", "a root at sight", "multiply back"]),
        ("x^3 = 1 mod 2", ["odd and even"]),
        ("x^2 = -1 mod 13", ["reduce the right side", "a root at sight"]),
    ],
)
def test_each_case_is_worked_by_the_method_taught_for_it(statement: str, steps: list[str]) -> None:
    taken = [step.name for step in problem_from([statement]).solve().steps]

    assert [name for name in taken if name not in ("split the modulus", "answer", "check")] == steps


def test_the_board_reads_as_a_teacher_would_write_it() -> None:
    problem = problem_from(["x^3 = 4 mod 11"])

    assert " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split()) == (
        "Invert the exponent, modulo 11. 11 is prime and does not divide 4, so x¹⁰ ≡ 1 (mod 11) "
        "for every solution x (Fermat). And gcd(3, 10) = 1, so the exponent has an inverse modulo "
        "10. The inverse of 3 modulo 10 is 7, since 3 · 7 = 21 = 2 · 10 + 1. So a solution "
        "satisfies x ≡ x²¹ = (x³)⁷ ≡ 4⁷ (mod 11); and this one is a solution, since (4⁷)³ = 4²¹ ≡ "
        "4 by the same theorem. x ≡ 4⁷ = 16384 ≡ 5 (mod 11). Answer. x ≡ 5 (mod 11): one "
        "solution. Check. 5³ = 125 ≡ 4 (mod 11)."
    )


def told(statement: str) -> str:
    """The worked solution on one line."""
    problem: Any = problem_from([statement])
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("x^2 = 9 mod 27", "3 divides 9 exactly twice, and fewer times than 27. So 3 must divide"),
        ("x^2 = 9 mod 27", "Hence 3 divides x exactly once: x = 3 · y, where 3 does not divide y."),
        ("x^2 = 9 mod 27", "So y ≡ 1, 2 (mod 3), and x = 3 · y gives x ≡ 3, 6 (mod 9)."),
        ("x^2 = 9 mod 27", "Modulo 3. 1 = 1². So y ≡ 1 or y ≡ −1 ≡ 2 (mod 3)"),
        ("x^2 = 81 mod 3^7", "exactly 4 times. Hence 3 divides x exactly twice: x = 9 · y, where"),
        ("x^2 = 3 mod 27", "3 divides 3 exactly once, and fewer times than 27. So 3 must divide"),
        (
            "x^3 = 0 mod 3^5",
            "if and only if 3 divides x at least twice, since 3 · 2 ≥ 5 and",
        ),
        (
            "x^2 = 0 mod 3^5",
            "if and only if 3 divides x at least 3 times, since 2 · 3 ≥ 5 and",
        ),
        (
            "x^3 = 0 mod 8",
            "x³ is divisible by 8 if and only if x is divisible by the prime 2: x",
        ),
        ("x^2 = 14 mod 25", "14 ≡ 14 + 2 · 25 = 64 = 8² (mod 25). So x ≡ 8 or x ≡ −8 ≡ 17 (mod"),
        ("x^2 = 95 mod 169", "Check. 67² = 4489 ≡ 95 (mod 169), and the other solution is the"),
        ("x^2 = 0 mod 400", "Check. For example, 0² = 0, 20² = 400 ≡ 0, 40² = 1600 ≡ 0 and"),
        ("x^2001 = 6 mod 7", "x⁶ ≡ 1 by Fermat's theorem, and x²⁰⁰¹ ≡ x³, since 2001 = 333 · 6 +"),
        ("x^12 = 3 mod 13", "As 12 divides 12, each of these powers is 1. 3 is not among them"),
        ("x^2 = 7 mod 53", "The product is −24 · (−23) = 552 ≡ 22 (mod 53)."),
        (
            "x^102 = 5 mod 103",
            "The power with the exponent 1 is the number itself, 5. That is not 1",
        ),
        (
            "x^2 = 17 mod 2^40",
            "One root. r = 1 is right modulo 8. Where r² − 17 is not divisible by the next",
        ),
        ("t^2 = 95 mod 169", "(r + 13x)² ≡ r² + 2r · 13 · x. So if r² ≡ 95 (mod 13), then r +"),
        ("y^2 = 9 mod 27", "So x ≡ 1, 2 (mod 3), and y = 3 · x gives y ≡ 3, 6 (mod 9)."),
    ],
)
def test_sentences_hold_the_numbers_of_the_case(statement: str, sentence: str) -> None:
    assert sentence in told(statement)


@pytest.mark.parametrize(
    ("statement", "words"),
    [("x^2 = 41 mod 256", 225), ("x^2 = 25 mod 100003", 60), ("x^2 = 26 mod 37", 60)],
)
def test_what_a_student_sees_at_once_is_not_computed(statement: str, words: int) -> None:
    assert len(told(statement).split()) < words


@pytest.mark.parametrize(
    "statement",
    [
        "x^2 = 78 mod 83",
        "x^2 = 19 mod 101",
        "x^7 = 66 mod 247",
        "x^10 = 14 mod 103",
        "x^3 = 9 mod 103",
        "x^3 = 12 mod 1009",
    ],
)
def test_squares_of_one_number_are_written_once_and_no_number_is_long(statement: str) -> None:
    board = told(statement)
    m = problem_from([statement]).modulus
    tables = re.findall(r"power calculation [─ ]*(\d+)¹ ", board)

    assert len(tables) == len(set(tables)) == board.count("Square again and again") > 0
    assert max(int(n) for n in re.findall(r"\d+", board)) <= max(m * m, 10**5)


def test_whether_there_is_a_root_is_decided_and_nothing_solved() -> None:
    chance = Random("decided")
    for _ in range(400):
        m, k = chance.randrange(2, 400), chance.randrange(2, 7)
        a = chance.randrange(m)
        problem = problem_from([f"x^{k} = {a} mod {m}"])
        solution = problem.solve()
        decision = solution_to(problem, "whether any", solution)
        last = decision.steps[-1]
        exists = any(pow(x, k, m) == a for x in range(m))

        assert decision.answer == solution.answer
        assert isinstance(last, Exists | Witness) == exists
        if isinstance(last, Witness):
            assert pow(last.root, k, m) == a
        board = " ".join(plain.blocks(rendered(problem.worked(decision))).split())
        assert board.count("Answer.") == 1
        assert ("has a solution" in board) == exists, board


def test_steps_are_told_in_messages() -> None:
    """No step of the kind writes text of its own: other languages would not have it."""
    kinds = set()
    for (line,) in statements("power_root", 400):
        problem: Any = problem_from([line])
        solution = problem.solve()
        decision = solution_to(problem, "whether any", solution)
        for step in (*solution.steps, *decision.steps):
            name = type(step).__name__
            kinds.add(name)
            assert all(isinstance(t, Said | Lead | Grid | Shown) for t in teller(name)(step))

    own = {name for name, (module, _teller) in TOLD.items() if "power_root" in module}
    assert kinds >= own - {"CorrectRoot", "LowerExponent"}


@pytest.mark.parametrize("sample", KINDS[0].samples)
def test_a_sample_is_a_root_that_is_read_back_and_shown_as_it_is_stated(sample: str) -> None:
    problem = problem_from([sample])

    assert type(problem) is KINDS[0].problem
    assert KINDS[0].read(problem.statement) == problem
    assert problem.shown == tuple(map(formula, problem.statement))
    assert told(sample).count("Answer.") == 1


# ------------------------------------------------------------ slips

CATALOGUE = [
    ("x^2 = 2 mod 7", {3, 4}, "perfect-powers-only", set()),
    ("x^2 = 1 mod 91", {1, 27, 64, 90}, "integer-root-only", {1, 90}),
    ("x^2 = 30 mod 91", {11, 24, 67, 80}, "one-pair-only", {11, 80}),
    ("x^2 = 2 mod 7", {3, 4}, "negative-forgotten", {3}),
    ("x^3 = 5 mod 13", {7, 8, 11}, "as-over-the-reals", {7}),
    ("x^3 = 4 mod 11", {5}, "exponent-inverted-modulo-m", {3}),
    ("x^7 = 3 mod 77", {38}, "phi-of-a-prime", {47}),
    ("x^3 = 4 mod 11", {5}, "power-for-root", {9}),
    ("x^3 = 4 mod 11", {5}, "base-inverted", {3}),
    ("x^2 = 5 mod 19", {9, 10}, "exponent-halved-only", {5, 14}),
    ("x^2 = 2 mod 19", set(), "criterion-untested", {6, 13}),
    ("x^2 = 5 mod 29", {11, 18}, "correction-forgotten", {13, 16}),
    ("x^4 = 13 mod 17", {3, 5, 12, 14}, "index-for-the-number", {1, 5, 9, 13}),
    ("x^4 = 13 mod 17", {3, 5, 12, 14}, "index-modulo-the-prime", {3}),
    ("x^4 = 13 mod 17", {3, 5, 12, 14}, "index-divided", {3}),
    ("x^2 = 10 mod 5", {0}, "zero-taken-for-no-root", set()),
    ("x^2 = 0 mod 9", {0, 3, 6}, "zero-only", {0}),
    ("x^2 = 9 mod 27", {3, 6, 12, 15, 21, 24}, "one-for-the-class", {3, 6}),
    ("x^2 = 9 mod 27", {3, 6, 12, 15, 21, 24}, "divisible-so-none", set()),
    ("x^2 = 14 mod 25", {8, 17}, "not-lifted", {2, 3}),
    ("x^2 = 14 mod 25", {8, 17}, "every-lift-kept", {2, 3, 7, 8, 12, 13, 17, 18, 22, 23}),
    ("x^2 = 14 mod 25", {8, 17}, "lift-sign", {12, 13}),
    ("x^2 = 14 mod 25", {8, 17}, "power-not-brought-down", {7, 18}),
    ("x^3 = 1 mod 27", {1, 10, 19}, "singular-taken-as-simple", {1}),
    ("x^3 = 1 mod 27", {1, 10, 19}, "singular-discarded", set()),
    ("x^2 = 17 mod 32", {7, 9, 23, 25}, "odd-rule-at-two", {7, 25}),
    ("x^2 = 5 mod 8", set(), "tested-modulo-four-only", {1, 3, 5, 7}),
    ("x^2 = 4 mod 15", {2, 7, 8, 13}, "matched-pairs-only", {7, 8}),
    ("x^3 = 8 mod 15", {2}, "residues-added", {4}),
    ("x^2 = 4 mod 15", {2, 7, 8, 13}, "inverses-left-out", {1, 4, 11, 14}),
    ("x^2 = 4 mod 15", {2, 7, 8, 13}, "weights-swapped", None),
    ("x^2 = 2 mod 21", set(), "unsolvable-factor-ignored", {3, 4, 10, 11, 17, 18}),
    ("x^2 = 1 mod 24", {1, 5, 7, 11, 13, 17, 19, 23}, "factor-dropped", {1, 3, 5, 7}),
]
"""Statement, key, slip, and the wrong answer it leads to, worked out by hand (None: only that
it is made)."""


@pytest.mark.parametrize(
    ("statement", "true", "name", "wrong"), CATALOGUE, ids=[f"{c[2]}: {c[0]}" for c in CATALOGUE]
)
def test_each_mistake_of_the_catalogue_gives_its_wrong_answer(
    statement: str, true: set[int], name: str, wrong: set[int] | None
) -> None:
    problem: Any = problem_from([statement])
    solution = problem.solve()
    m = problem.modulus

    assert {x for x in range(m) if pow(x, problem.exponent, m) == problem.power % m} == true
    assert set(solution.answer.residues()) == true
    (slip,) = [s for s in problem.slips(solution) if name in s.names]
    assert wrong is None or set(slip.answer) == wrong


def test_a_feedback_substitutes_a_wrong_residue_in_a_sentence_of_its_own() -> None:
    problem = problem_from(["x^2 = 14 mod 25"])
    (slip,) = [s for s in problem.slips(problem.solve()) if "not-lifted" in s.names]

    assert " ".join(plain.blocks(feedback_of(slip)).split()) == (
        "A root modulo 5 need not be a root modulo 25: each of them must first be lifted. "
        "Substitute: 2² = 4 is not congruent to 14 modulo 25."
    )


def test_every_slip_of_the_kind_stands_in_the_catalogue() -> None:
    assert {c[2] for c in CATALOGUE} == set(PowerRoot.signature.slips)


def test_the_examples_of_exponents_without_inverse_are_not_taken_for_others() -> None:
    """gcd(k, phi) = 1 exactly where one step inverts the exponent."""
    for m in range(3, 60):
        units = [x for x in range(m) if gcd(x, m) == 1]
        for k in (2, 3, 5, 7):
            steps = problem_from([f"x^{k} = {units[-1]} mod {m}"]).solve().steps
            whole = any(s.name == "the solution at sight" for s in steps)
            composite_or_large = len(units) > 2
            assert whole <= (gcd(k, len(units)) == 1)
            if composite_or_large and m % 4 and gcd(k, len(units)) == 1:
                assert whole, (k, m)
