"""The order modulo m: what is said of it, word by word, and what a reviewer is shown."""

from collections import Counter
from math import gcd

import pytest

from itembank.kinds.order.kind import KINDS, OrderModulo
from itembank.kinds.order.steps import TryDivisors
from itembank.kinds.statement import problem_from
from tests.kinds.messages import everything_told, feedback, text, untold, worked

(KIND,) = KINDS


TOLD = [
    (
        "order of 7 mod 48",  # 7^2 = 49
        "What the order divides. 48 = 2⁴ · 3, so φ(48) = φ(2⁴)φ(3) = 8 · 2 = 16. By Euler's "
        "theorem the order divides 16. Powers. The divisors of 16 are tried in increasing order, "
        "each power modulo 48 made from earlier ones: power calculation 7¹ 7 7² 7² = 49 ≡ "
        "1 The first divisor whose power is 1 is 2: that is the order. Answer. The order "
        "of 7 modulo 48 is 2.",
    ),
    (
        "order of -1 mod -3",
        "Modulo −3 means modulo 3: both have the same multiples, so congruences modulo one hold "
        "modulo the other. The least residue is taken: −1 ≡ 2 (mod 3). What the order divides. 3 "
        "is prime, so φ(3) = 3 − 1 = 2. By Euler's theorem the order divides 2. Powers. The "
        "divisors of 2 are tried in increasing order, each power modulo 3 made from earlier ones: "
        "power calculation 2¹ 2 ≡ −1 2¹ ≡ −1, so 2² ≡ 1: the order divides 2, but not 1, and "
        "smaller divisors were tried. It is 2. Answer. The order of −1 modulo 3 is 2.",
    ),
    (
        "order of 5 mod 1",
        "Modulo 1 any two integers are congruent, and 0 is the only least residue. The least "
        "residue is taken: 5 ≡ 0 (mod 1). What the order divides. φ(1) = 1. By Euler's theorem "
        "the order divides 1. Powers. Modulo 1 the first power is already congruent to 1: the "
        "order is 1. Answer. The order of 5 modulo 1 is 1.",
    ),
    (
        "order of 6 mod 9",
        "Greatest common divisor. gcd(6, 9) = 3, so 6 is not a unit modulo 9. Answer. 6 has no "
        "order modulo 9: 3 divides both, so it divides every power of 6 and every remainder of one "
        "modulo 9, and 1 is not a multiple of 3.",
    ),
]


@pytest.mark.parametrize(("statement", "told"), TOLD, ids=[t[0] for t in TOLD])
def test_the_worked_solution_is_told_as_on_the_board(statement: str, told: str) -> None:
    assert worked(problem_from([statement])) == told


def test_an_exponent_that_is_only_passed_through_is_said_to_divide_nothing() -> None:
    told = worked(
        problem_from(["order of 5 mod 23"])
    )  # 22 = 2 · 11; on the way to 11 stand 5 and 10

    assert "The exponents 5 and 10 do not divide 22; they are there to reach the next" in told
    assert "5¹¹ ≡ −1, so 5²² ≡ 1: the order divides 22, but not 11, and smaller divisors" in told
    assert "5²² " not in told.replace("5²² ≡ 1", "")


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("order of 19 mod 47", "19²³ ≡ −1, so 19⁴⁶ ≡ 1: the order divides 46, but not 23"),
        ("order of 4 mod 29", "4⁷ −5 · (−13) = 65 ≡ 7, 7 · 4 = 28 ≡ −1"),
        ("order of 2 mod 9", "2³ 4 · 2 = 8 ≡ −1 2³ ≡ −1, so 2⁶ ≡ 1"),
        ("order of 3 mod 20", "3² 3² = 9 3⁴ 9² = 81 ≡ 1"),
        ("order of 3 mod 14", "3³ −5 · 3 = −15 ≡ −1"),
        ("order of 2 mod 1009", "2⁸⁴ 431 · 256 = 110336 ≡ 355, 355 · 16 = 5680 ≡ −374"),
    ],
)
def test_powers_are_made_of_earlier_ones_and_minus_one_is_recognised(
    statement: str, sentence: str
) -> None:
    assert sentence in worked(problem_from([statement]))


def test_the_powers_tried_settle_the_order() -> None:
    endings: Counter[str] = Counter()
    for m in range(2, 120):
        for a in (a for a in range(1, m) if gcd(a, m) == 1):
            solution = problem_from([f"order of {a} mod {m}"]).solve()
            (step,) = (s for s in solution.steps if isinstance(s, TryDivisors))
            t = next(e for e in range(1, m) if pow(a, e, m) == 1 % m)
            endings[step.ending] += 1

            assert solution.answer.value == step.t == t
            assert all((row.value - a**row.e) % m == 0 for row in step.rows)
            assert all(sum(row.parts) == row.e for row in step.rows if row.parts)
            assert all(pow(a, e, m) != 1 % m for e in step.tried[:-1])
    assert endings["minus one"] > 100 and endings["one"] > 100


def test_a_power_of_one_prime_has_its_phi_at_once() -> None:
    assert "27 = 3³, so φ(27) = φ(3³) = 3² · 2 = 18." in worked(problem_from(["order of 2 mod 27"]))


def test_a_modulus_stands_as_its_author_typed_it() -> None:
    assert worked(problem_from(["order of 2 mod (10^20 + 39)"])).endswith(
        "The order of 2 modulo 10²⁰ + 39 is 50000000000000000019."
    )


def test_a_list_of_moduli_is_joined_as_the_language_joins_it() -> None:
    problem = problem_from(["order of 101 mod 119"])

    assert "multiplied the orders modulo 7 and 17:" in feedback(problem, "orders-multiplied")


@pytest.mark.parametrize("sample", KIND.samples)
def test_all_that_is_told_reaches_a_catalogue(sample: str) -> None:
    assert not list(untold(everything_told(problem_from([sample]))))


@pytest.mark.parametrize("sample", KIND.samples)
def test_the_record_reads_its_samples_as_the_house_does(sample: str) -> None:
    problem = KIND.read([sample])

    assert isinstance(problem, OrderModulo) and problem == problem_from([sample])
    assert KIND.read([problem.statement[0]]) == problem


def test_the_record_reads_nothing_else() -> None:
    for statements in (["inverse of 7 mod 26"], ["order of 7"], ["order of 2 mod 5"] * 2):
        assert KIND.read(statements) is None


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "order of 2 mod 35",  # 2^12 = 4096 = 117 · 35 + 1, 2^6 = 64, 2^4 = 16
            "Order. The exponent 12 gives 1; divided by any prime it gives another residue. "
            "exponent power of 2 modulo 35 12 1 12/2 = 6 29 12/3 = 4 "
            "16",
        ),
        ("order of 6 mod 21", "No order. gcd(6, 21) = 3."),
    ],
)
def test_a_reviewer_is_shown_the_powers_that_decide(statement: str, told: str) -> None:
    problem = problem_from([statement])

    assert text(KIND.certificate(problem, problem.solve().answer)) == told


@pytest.mark.parametrize(("a", "m"), [(14, 69), (31, 41), (5, 33), (7, 54), (3, 31)])
def test_the_way_to_an_order_goes_on_past_minus_one(a, m):
    """14^11 = -1 modulo 69 shows that the order is 22: its last line and its last stage say so."""
    order = next(e for e in range(1, m) if pow(a, e, m) == 1)
    problem = problem_from([f"order of {a} mod {m}"])
    solution = problem.solve()

    *_, (last,) = (stage.values for stage in problem.stages(solution))
    assert last == order
    for line in problem.outline(solution)[-1:]:
        assert text(line.text).endswith(f"as the order: {order}.")
