"""One lifting step: the roots above a root, the slips of the trade, clear messages."""

from collections import Counter
from random import Random
from typing import Any

import pytest

from itembank.kinds.lifting_step.kind import KINDS, LiftingStep
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.notation.reading import formula, formula_in_prose
from itembank.notation.tree import Table
from itembank.values.answer import ResidueSet
from itembank.values.errors import StatementError
from tests.kinds.congruence_samples import statements
from tests.kinds.sums import read_sums
from tests.kinds.telling import feedback_of, rendered


def test_the_lifts_are_those_that_exhaustion_finds() -> None:
    for (line,) in statements("lifting_step", 2_000):
        problem: Any = problem_from([line])
        f, q, m = problem.f, problem.below, problem.modulus
        lifts = [
            x for x in range(problem.root, m, q) if sum(c * x**i for i, c in enumerate(f)) % m == 0
        ]

        assert list(problem.solve().answer.residues()) == lifts, line
        assert problem_from(problem.statement) == problem


def test_the_lifts_of_all_roots_are_the_roots_above_them() -> None:
    chance = Random("above")
    for _ in range(200):
        p, k = chance.choice([2, 3, 5, 7]), chance.choice([1, 2, 3])
        q, m = p**k, p ** (k + 1)
        f = (*(chance.randrange(-20, 20) for _ in range(3)), 1)
        values = [sum(c * x**i for i, c in enumerate(f)) for x in range(m)]
        lifted = {
            x
            for r in range(q)
            if values[r] % q == 0
            for x in LiftingStep(left=f, right=(), prime=p, exponent=k, root=r)
            .solve()
            .answer.residues()
        }
        assert lifted == {x for x in range(m) if values[x] % m == 0}


def test_a_large_prime_power_is_lifted_and_told() -> None:
    p = 10**19 + 51
    problem = problem_from([f"lift x = 3 mod {p}^2 to x^2 = 9 + 5*{p}^2 mod {p}^3"])
    solution = problem.solve()
    ((x, m),) = solution.answer.classes()

    assert m == p**3 and (x * x - 9 - 5 * p**2) % m == 0 and x % p**2 == 3
    assert "Answer." in plain.blocks(rendered(problem.worked(solution)))


# ------------------------------------------------------------ statements


@pytest.mark.parametrize(
    "typed",
    [
        "lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25",
        "lift 2 from mod 5 to mod 25 for x^2 + 4x + 23",
        "Lift x ≡ 7 (mod 5) to x² + 4x ≡ −23 + 0x (mod 5^2)",
    ],
)
def test_a_step_is_read_in_two_forms(typed: str) -> None:
    problem: Any = problem_from([typed])

    assert (problem.kind, problem.root, problem.below, problem.modulus) == (
        "lifting_step",
        2,
        5,
        25,
    )
    assert (
        problem.canonical
        == problem_from(["lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25"]).canonical
    )


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        (
            "lift 3 from mod 5 to mod 25 for x^2 + 4x + 23",
            "lift x = 3 mod 5 to x^2 + 4x + 23 = 0 mod 25: expected a root modulo 5 to lift; "
            "at x = 3 the sides differ by 44",
        ),
        (
            "lift 2 from mod 5 to mod 125 for x^2 + 4x + 23",
            "'lift 2 from mod 5 to mod 125 for x^2 + 4x + 23': expected to lift from a power of a "
            "prime to the next one, got 5 and 125",
        ),
        (
            "lift 2 from mod 6 to mod 36 for x^2 + 2",
            "'lift 2 from mod 6 to mod 36 for x^2 + 2': expected to lift from a power of a prime "
            "to the next one, got 6 and 36",
        ),
        (
            "lift x to 5",
            "'lift x to 5': expected a step such as 'lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25'",
        ),
        (
            "lift 2x = 4 mod 5 to x^2 + 4x + 23 = 0 mod 25",
            "'lift 2x = 4 mod 5 to x^2 + 4x + 23 = 0 mod 25': expected a root such as x = 2 mod 5 "
            "after 'lift'",
        ),
    ],
)
def test_a_mistake_in_a_statement_is_one_clear_line(typed: str, message: str) -> None:
    with pytest.raises(StatementError) as caught:
        problem_from([typed])

    assert str(caught.value) == message


def test_the_board_reads_as_a_teacher_would_write_it() -> None:
    problem = problem_from(["lift x = 4 mod 9 to x^2 + x + 7 = 0 mod 27"])

    assert " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split()) == (
        "What is sought. Write f(x) = x² + x + 7. 4 is a root modulo 9: f(4) = 27 = 3 · 9. Every "
        "number that is 4 modulo 9 is x = 4 + 9t, and modulo 27 it is a root exactly when f(4)/9 "
        "+ f′(4) · t ≡ 0 (mod 3). The derivative. f′(x) = 2x + 1, so f′(4) = 9 ≡ 0 (mod 3). The "
        "next digit. f(4)/9 = 27/9 = 3 ≡ 0 (mod 3). The derivative is divisible by 3: the root 4 "
        "is singular, and t drops out of the condition. What is left, 0 ≡ 0 (mod 3), holds, so "
        "every t will do: all 3 lifts of 4 are roots. Answer. x ≡ 4 (mod 9), that is x ≡ 4, 13, "
        "22 (mod 27): three solutions modulo 27. Check. For example, f(4) = 27 and f(13) = 189 = 7 "
        "· "
        "27."
    )


def told_of(statement: str) -> str:
    problem = problem_from([statement])
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


def test_a_simple_root_is_lifted_by_the_inverse_of_the_derivative() -> None:
    """f(2) = 35, f'(2) = 8: 7 + 3t = 0 (mod 5), so t = -2 * 2 = 1, and 2 + 5 = 7."""
    assert told_of("lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25").endswith(
        "f(2)/5 = 35/5 = 7 ≡ 2 (mod 5). So t must satisfy 2 + 3t ≡ 0 (mod 5) The derivative is "
        "not divisible by 5, so there is exactly one t. The condition is 3t ≡ −2 (mod 5). As "
        "−2 ≡ 3 (mod 5), this is 3t ≡ 3 (mod 5). Divide both sides by 3, which has no common "
        "factor with 5: t ≡ 1 (mod 5). Answer. x ≡ 2 + 5 · 1 = 7 (mod 25), the only solution. "
        "Check. f(7) = 100 = 4 · 25."
    )


def test_a_root_that_is_one_of_the_next_power_already_has_the_digit_0() -> None:
    """f(7) = 405 = 0 (mod 81) for f = 7x^2 + 9x - 1."""
    assert "exactly one t. So t ≡ 0 (mod 3)." in told_of(
        "lift x = 7 mod 27 to 7x^2 + 9x - 1 = 0 mod 81"
    )


def test_a_negative_value_is_divided_with_its_sign_before_it() -> None:
    """f(1) = -9 + 6 - 3 = -6."""
    assert "f(1)/3 = −6/3 = −2 ≡ 1 (mod 3)." in told_of(
        "lift x = 1 mod 3 to -9x^3 + 6x - 3 = 0 mod 9"
    )


def test_both_lifts_modulo_a_power_of_two_are_checked_and_no_more_are_promised() -> None:
    """1 and 3 solve x^2 = 1 modulo 4."""
    told = told_of("lift x = 1 mod 2 to x^2 = 1 mod 4")

    assert "both lifts of 1 are roots" in told
    assert told.endswith("Check. f(1) = 0 and f(3) = 8 = 2 · 4.")


def test_every_relation_between_numbers_holds() -> None:
    read: Counter[str] = Counter()
    for (line,) in statements("lifting_step", 400):
        problem: Any = problem_from([line])
        blocks = rendered(problem.worked(problem.solve()))
        read.update(read_sums(blocks, problem.modulus, problem.below, problem.prime))

    assert read["="] > 400 and read["≡"] > 400, read


def test_no_number_goes_through_text_on_its_way_to_the_board() -> None:
    problems = [problem_from(line) for line in statements("lifting_step", 100)]
    formula.cache_clear()
    formula_in_prose.cache_clear()
    for problem in problems:
        solution = problem.solve()
        rendered(problem.worked(solution))
        for slip in problem.slips(solution):
            feedback_of(slip)

    assert formula.cache_info().misses == formula_in_prose.cache_info().misses == 0


# ------------------------------------------------------------ the record of the kind


@pytest.mark.parametrize("statement", [s for kind in KINDS for s in kind.samples])
def test_a_sample_is_of_the_kind_and_its_certificate_is_true(statement: str) -> None:
    (kind,) = KINDS
    problem = kind.read([statement])
    lifts = problem.solve().answer.residues()
    blocks = rendered(kind.certificate(problem, problem.solve().answer))

    assert type(problem) is kind.problem and problem == problem_from([statement])
    if not lifts:
        assert not blocks
        return
    (table,) = [block for block in blocks if isinstance(block, Table)]
    shown = [formula.math.value for row in table.rows[:12] for formula in row[0]]
    assert shown == list(lifts[:12])
    assert read_sums(blocks, problem.modulus)["="] == len(shown) or problem.prime > 10**9


def test_a_lift_that_is_none_is_seen_in_the_certificate() -> None:
    (kind,) = KINDS
    problem = problem_from(["lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25"])
    wrong = ResidueSet.of(25, [(2, 25)])

    assert "10 modulo 25" in plain.blocks(rendered(kind.certificate(problem, wrong)))


# ------------------------------------------------------------ slips

SIMPLE = "lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25"
SINGULAR = "lift x = 1 mod 3 to x^2 + x + 7 = 0 mod 9"
CATALOGUE = [
    (SIMPLE, {7}, "not-lifted", {2}),
    (SIMPLE, {7}, "every-lift-kept", {2, 7, 12, 17, 22}),
    (SIMPLE, {7}, "lift-sign", {22}),
    (SIMPLE, {7}, "power-not-brought-down", {17}),
    (SIMPLE, {7}, "derivative-not-evaluated", {17}),
    (SIMPLE, {7}, "value-not-divided", {2}),
    (SIMPLE, {7}, "step-of-one", {3}),
    (SINGULAR, {1, 4, 7}, "singular-taken-as-simple", {1}),
    (SINGULAR, {1, 4, 7}, "singular-discarded", set()),
    (SIMPLE, {7}, "whole-modulus-solved", {7, 14}),
]
"""Statement, key, slip, and the wrong answer it leads to, worked out by hand."""


@pytest.mark.parametrize(
    ("statement", "true", "name", "wrong"), CATALOGUE, ids=[f"{c[2]}: {c[0]}" for c in CATALOGUE]
)
def test_each_mistake_of_the_catalogue_gives_its_wrong_answer(
    statement: str, true: set[int], name: str, wrong: set[int]
) -> None:
    problem = problem_from([statement])
    solution = problem.solve()

    assert set(solution.answer.residues()) == true
    (slip,) = [s for s in problem.slips(solution) if name in s.names]
    assert set(slip.answer) == wrong


def test_every_slip_of_the_kind_stands_in_the_catalogue() -> None:
    assert {c[2] for c in CATALOGUE} == set(LiftingStep.signature.slips)
