"""gcd and lcm: the way, the slips, the second way, libraries and published values."""

from itertools import product
from math import prod

import pytest
from cypari import pari

from itembank.kinds.gcd.kind import KINDS, GreatestDivisor, LeastMultiple
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.messages import everything_told, feedback, untold, worked
from tests.kinds.recorded import certificate, read_as_its_kind, samples
from tests.kinds.sums import read_sums
from tests.kinds.telling import rendered

STEIN = "W. Stein, Elementary Number Theory: Primes, Congruences, and Secrets, "
SYMPY = "SymPy 1.14.0, "
PUBLISHED = [
    ("gcd(5, 7)", 1, STEIN + "2.3.1"),
    ("gcd(130, 61)", 1, STEIN + "2.3.1"),
    ("gcd(2261, 1275)", 17, STEIN + "1.1.2"),
    ("gcd(247, 299)", 13, STEIN + "exercises of chapter 2, answers"),
    ("gcd(51, 897)", 3, STEIN + "exercises of chapter 2, answers"),
    ("gcd(136, 304)", 8, STEIN + "exercises of chapter 2, answers"),
    ("gcd(100, 2004)", 4, SYMPY + "docstring of igcdex"),
    ("lcm(8, 6)", 24, SYMPY + "test_ilcm"),
    ("lcm(8, 7)", 56, SYMPY + "test_ilcm"),
    ("lcm(8, 2)", 8, SYMPY + "test_ilcm"),
    ("lcm(5, 10)", 10, SYMPY + "docstring of ilcm"),
    ("lcm(7, 3)", 21, SYMPY + "docstring of ilcm"),
    ("lcm(5, 10, 15)", 30, SYMPY + "docstring of ilcm"),
    ("lcm(3054, 12378)", 6300402, "D. M. Burton, Elementary Number Theory, 6th ed., 2.4 (memory)"),
]


def value(statement: str) -> int:
    return problem_from([statement]).solve().answer.value


def slips(statement: str) -> dict[str, int]:
    """The wrong value by the name of its slip."""
    problem = problem_from([statement])
    found = problem.slips(problem.solve())
    return {name: int(str(slip.answer[0])) for slip in found for name in slip.names}


@pytest.mark.parametrize(("statement", "key", "source"), PUBLISHED)
def test_published_values_come_out_both_ways(statement, key, source) -> None:
    assert value(statement) == key, source
    assert decide(statement, "the value", key).status == "agreed", source
    assert decide(statement, "the value", key + 1).status == "disagreed"


SMALL = [
    *product(range(-7, 13), repeat=2),
    *product((-6, 0, 1, 4, 9, 10), repeat=3),
]


@pytest.mark.parametrize("kind", [GreatestDivisor, LeastMultiple])
def test_small_numbers_are_solved_as_pari_and_the_second_way_decide(kind) -> None:
    fold = pari.gcd if kind is GreatestDivisor else pari.lcm
    for numbers in SMALL:
        problem = kind(numbers=numbers)
        found, key = problem.solve().answer.value, fold(numbers[0], numbers[1])
        for n in numbers[2:]:
            key = fold(key, n)
        assert found == int(key), numbers
        assert decide(problem.statement, "the value", found).status == "agreed", numbers
        assert decide(problem.statement, "the value", found + 1).status == "disagreed", numbers
        assert decide(problem.statement, "the value", -found - 1).status == "disagreed", numbers


@pytest.mark.parametrize("kind", [GreatestDivisor, LeastMultiple])
def test_what_is_told_of_small_numbers_is_true_and_no_feedback_prints_the_key(kind) -> None:
    for numbers in SMALL:
        problem = kind(numbers=numbers)
        solution = problem.solve()
        read_sums(rendered(problem.worked(solution)))
        key = solution.answer.value
        for slip in problem.slips(solution):
            assert slip.answer != (key,)
            for told in slip.feedback:
                shown = plain.blocks(rendered(told)).replace(",", " ").replace(".", " ").split()
                assert str(key) not in shown or key == 0, (numbers, slip.names)


@pytest.mark.parametrize(
    "statement",
    [
        "gcd(2^40*3^20, 2^30*5^15)",
        "lcm(2^40*3^20, 2^30*5^15)",
        "gcd(10^39 + 7, 10^38 + 9, 10^37 + 3)",
        "lcm(10^39 + 7, 10^38 + 9, 10^37 + 3)",
    ],
)
def test_large_numbers_are_proved_by_a_property(statement) -> None:
    key = value(statement)

    assert decide(statement, "the value", key).status == "agreed"
    for wrong in (2 * key, key // 2, key + 1, 0, -key):
        assert decide(statement, "the value", wrong).status == "disagreed"


def test_what_is_no_number_is_never_agreed() -> None:
    assert decide("gcd(84, 30)", "the value", None).status == "disagreed"
    assert decide("lcm(84, 30)", "how many", 420).status == "unchecked"
    assert decide("gcd(x, 30)", "the value", 6).status == "unchecked"
    assert decide("gcd(2^2000*2^2000*2^2000, 2)", "the value", 2).status == "unchecked"


@pytest.mark.parametrize(
    ("typed", "statement"),
    [
        ("gcd of 84 and 30", "gcd(84, 30)"),
        ("The greatest common divisor of 84, 30 and 9", "gcd(84, 30, 9)"),
        ("hcf (84, 30)", "gcd(84, 30)"),
        ("gcd(-84,2*(10 + 5))", "gcd(-84, 30)"),
        ("least common multiple of 4, 6, and 9", "lcm(4, 6, 9)"),
        ("lcm(2^3, 6)", "lcm(8, 6)"),
    ],
)
def test_a_statement_is_read_as_people_type_it(typed, statement) -> None:
    problem = problem_from([typed])

    assert problem.statement == (statement,)
    key = problem.solve().answer.value
    assert decide(typed, "the value", key).status == "agreed"


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("gcd(3)", "'gcd(3)': expected two or three numbers, got 1"),
        ("gcd(1, 2, 3, 4)", "'gcd(1, 2, 3, 4)': expected two or three numbers, got 4"),
        (
            "lcm(10^40, 3)",
            "'lcm(10^40, 3)': expected numbers of at most 40 digits, got a longer one",
        ),
        ("gcd(x, 3)", "'gcd(x, 3)': expected a number in numbers, found 'x'"),
    ],
)
def test_a_statement_that_cannot_be_put_is_refused_in_one_line(statement, message) -> None:
    with pytest.raises(StatementError) as raised:
        problem_from([statement])

    assert str(raised.value) == message


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind, statement) -> None:
    read_as_its_kind(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_certificate_is_true(kind, statement) -> None:
    certificate(kind, statement)


def test_order_and_signs_make_no_other_problem() -> None:
    a, b = (problem_from([s]) for s in ("gcd(84, -30)", "gcd(30, 84)"))

    assert a.canonical == b.canonical != problem_from(["lcm(30, 84)"]).canonical


@pytest.mark.parametrize("statement", [s for kind in KINDS for s in kind.samples])
def test_everything_is_said_as_messages(statement) -> None:
    assert not list(untold(everything_told(problem_from([statement]))))


TOLD = [
    (
        "gcd(84, 30)",
        "Euclid's algorithm. Divide 84 by 30, then each divisor by its remainder, until a "
        "remainder is 0: 84 = 2 · 30 + 24 30 = 1 · 24 + 6 24 = 4 · 6 + 0 The last remainder that "
        "is not 0 is 6: gcd(84, 30) = 6. Check. 84 = 14 · 6 and 30 = 5 · 6: each number is a "
        "multiple of 6. Answer. gcd(84, 30) = 6.",
    ),
    (
        "gcd(-5, 0)",
        "Signs. A number and its opposite have the same divisors and the same multiples, so the "
        "signs are dropped: 5 and 0. Zero. Every integer divides 0, so the common divisors are "
        "the divisors of 5, and the greatest of these is 5 itself. Answer. gcd(−5, 0) = 5.",
    ),
    (
        "lcm(4, 6)",
        "Euclid's algorithm. Divide 6 by 4, then each divisor by its remainder, until a remainder "
        "is 0: 6 = 1 · 4 + 2 4 = 2 · 2 + 0 The last remainder that is not 0 is 2: gcd(4, 6) = 2. "
        "Least common multiple. The product of two positive numbers is the product of their "
        "greatest common divisor and their least common multiple, so lcm(4, 6) = (4 · 6)/2 = 2 "
        "· 6 = 12. Answer. lcm(4, 6) = 12.",
    ),
    (
        "lcm(3, 0)",
        "Zero. The only multiple of 0 is 0, so it is the only common multiple. Answer. lcm(3, 0) "
        "= 0.",
    ),
]


@pytest.mark.parametrize(("statement", "told"), TOLD)
def test_the_worked_solution_is_told_as_on_the_board(statement, told) -> None:
    assert worked(problem_from([statement])) == told


def question(statement: str) -> str:
    blocks = Speaker().blocks(problem_from([statement]).question("the value"))
    return " ".join(plain.blocks(blocks).split())


def test_the_conventions_are_said_where_they_are_needed() -> None:
    assert question("gcd(84, 30)") == "Find the greatest common divisor of 84 and 30."
    assert question("lcm(-4, 6)").endswith(
        "The least common multiple is positive, whatever the signs."
    )
    assert question("gcd(0, 0)").endswith("where every integer is a common divisor.")


CATALOGUE = [
    # 84 = 2 · 30 + 24, 30 = 1 · 24 + 6, 24 = 4 · 6 + 0
    ("gcd(84, 30)", "quotient-for-remainder", 4),
    ("gcd(84, 30)", "stopped-early", 24),
    ("gcd(84, 30)", "multiple-for-divisor", 420),
    ("gcd(84, 30)", "product-taken", 2520),
    ("gcd(84, 30)", "difference-taken", 54),
    ("gcd(84, 30)", "not-the-greatest", 2),
    ("gcd(84, -30)", "sign-kept", -6),
    ("gcd(72, 60)", "primes-once", 6),
    ("gcd(84, 36, 10)", "third-left-out", 12),
    ("gcd(17, 0)", "zero-taken", 0),
    ("lcm(12, 18)", "product-taken", prod((12, 18))),
    ("lcm(12, 18)", "divided-twice", 6),
    ("lcm(12, 18)", "divisor-for-multiple", 6),
    ("lcm(12, 18)", "primes-once", 6),
    ("lcm(12, 18)", "largest-taken", 18),
    ("lcm(12, -18)", "sign-kept", -36),
    ("lcm(6, 10, 15)", "rule-for-two-numbers", 900),
    ("lcm(6, 10, 4)", "third-left-out", 30),
    ("lcm(6, 0)", "zero-ignored", 6),
]


@pytest.mark.parametrize(("statement", "name", "wrong"), CATALOGUE)
def test_a_slip_leads_to_its_wrong_answer(statement, name, wrong) -> None:
    assert slips(statement)[name] == wrong


def test_the_catalogue_names_every_slip() -> None:
    for kind in KINDS:
        named = {name for statement, name, _wrong in CATALOGUE if statement.startswith(kind.name)}
        assert named == set(kind.problem.signature.slips)


def test_who_stopped_early_is_shown_the_division_that_is_left() -> None:
    assert feedback(problem_from(["gcd(84, 30)"]), "stopped-early") == (
        "Go on from the remainder 24: it does not divide 30. The algorithm ends when a division "
        "comes out even."
    )
