"""Indices and the congruences that they solve: how they are told, certified, recorded."""

import pytest

from itembank.kinds.base import solution_to
from itembank.kinds.index.exponential.kind import ExponentialCongruence
from itembank.kinds.index.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.notation.reading import formula
from tests.kinds.messages import everything_told, feedback, text, untold, worked
from tests.kinds.sums import read_sums
from tests.kinds.telling import rendered

SAMPLES = [(kind, statement) for kind in KINDS for statement in kind.samples]
STATEMENTS = [statement for _kind, statement in SAMPLES]


def certificate(statement: str):
    problem = problem_from([statement])
    (kind,) = [kind for kind in KINDS if type(problem) is kind.problem]
    return kind.certificate(problem, problem.solve().answer)


@pytest.mark.parametrize(("kind", "statement"), SAMPLES, ids=STATEMENTS)
def test_every_sample_is_of_its_kind_and_all_of_it_is_said(kind, statement):
    problem = problem_from([statement])

    assert type(problem) is kind.problem
    assert kind.read([statement]) == kind.read(problem.statement) == problem
    assert not list(untold(everything_told(problem)))
    assert not list(untold(certificate(statement)))


@pytest.mark.parametrize("statement", STATEMENTS)
def test_what_is_shown_is_the_statement_as_a_formula(statement):
    problem = problem_from([statement])
    if problem.kind == "index":
        before, _, modulus = problem.statement[0].rpartition(" mod ")
        words = before.replace("index of", '"index of"').replace("base", '"to the base"')
        typed = f"{words} mod {modulus}"
    else:
        typed = problem.statement[0].partition(" by indices")[0]

    assert problem.shown == (formula(typed),)


@pytest.mark.parametrize("statement", ["-2 * 3^x = 7 mod 17", "-3^x = 5 mod 7"])
def test_a_negative_factor_reads_back(statement):
    problem = problem_from([statement])

    assert problem_from(problem.statement) == problem
    solutions = {x for x in range(problem.modulus) if problem.factor * 3**x % problem.m
                 == problem.value % problem.m}  # fmt: skip
    assert set(problem.solve().answer.residues()) == solutions != set()


# ------------------------------------------------------------ worked solutions


def test_an_index_is_told_by_the_table_of_powers():
    assert worked(problem_from(["index of -5 base -3 mod 17"])) == (
        "Least residues are taken: −5 ≡ 12 (mod 17) and −3 ≡ 14 (mod 17). "
        "Table of powers. The powers of 14 modulo 17, each from the one before times 14 ≡ −3, "
        "until 12 appears: exponent calculation 0 14⁰ = 1 1 14¹ = 14 2 14² ≡ 14 · (−3) = −42 ≡ 9 "
        "3 14³ ≡ 9 · (−3) = −27 ≡ 7 4 14⁴ ≡ 7 · (−3) = −21 ≡ 13 5 14⁵ ≡ 13 · (−3) = −39 ≡ 12 "
        "Answer. The index of −5 to the base −3 modulo 17 is 5."
    )


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        (
            "7x^6 = 9 mod 59 by indices base 6",
            "Count. gcd(6, 58) = 2 divides 38, so 2 indices modulo 58 solve this linear "
            "congruence; each belongs to one solution x. Answer. There are two solutions modulo "
            "59.",
        ),
        (
            "x^6 = 6 mod 59 by indices base 6",
            "Count. gcd(6, 58) = 2 does not divide 1, so no y solves this linear congruence. "
            "Answer. The congruence has no solutions.",
        ),
    ],
)
def test_how_many_is_answered_without_the_solutions(statement, told):
    problem = problem_from([statement])
    counted = solution_to(problem, "how many", problem.solve())

    assert counted.answer == problem.solve().answer
    assert text(problem.worked(counted)).endswith(told)


def test_an_exponential_congruence_is_told_in_its_letter():
    assert worked(problem_from(["4 * 3^t = 8 mod 20"])) == (
        "Divide. gcd(4, 20) = 4 divides 8. Divide everything by 4, the modulus too: 3^t ≡ 2 (mod "
        "5). Table of powers. The powers of 3 modulo 5, each from the one before times 3, until 2 "
        "appears: exponent calculation 0 3⁰ = 1 1 3¹ = 3 2 3² ≡ 3 · 3 = 9 ≡ 4 "
        "3 3³ ≡ 4 · 3 = 12 ≡ 2 "
        "What the order divides. 5 is prime, so φ(5) = 5 − 1 = 4. By Euler's theorem the order "
        "divides 4. In the table no power of 3 from the exponent 1 to 3 is 1, and the only "
        "divisor of 4 above 3 is 4: the order is 4. "
        "All exponents. The order of 3 modulo 5 is 4. So the powers repeat every 4 exponents. "
        "From 0 to 7 the solutions are 3, 7. "
        "Answer. t ≡ 3, 7 (mod 8): two solutions."
    )


def test_indices_turn_a_power_into_a_linear_congruence():
    # powers of 3 modulo 7: 1, 3, 2, 6, 4, 5
    assert worked(problem_from(["5x^4 = 6 mod 7 by indices base 3"])) == (
        "Table of indices. The powers of the primitive root 3 modulo 7, each from the one before "
        "times 3: index 0 1 2 3 4 5 residue 1 3 2 6 4 5 So ind(5) = 5 and ind(6) = 3. "
        "Take indices. Numbers are congruent modulo 7 if and only if their indices are congruent "
        "modulo φ(7) = 6. The index of a product is the sum of the indices, that of a power the "
        "exponent times the index. With y = ind(x): "
        "5 + 4y ≡ 3 (mod 6) 4y ≡ 3 − 5 = −2 ≡ 4 (mod 6) "
        "Solve for the index. gcd(4, 6) = 2 divides 4. Divided by 2, the modulus too: "
        "2y ≡ 2 (mod 3). 2 = 2 · 1, and 2 is coprime to 3: y ≡ 1 (mod 3). "
        "Modulo 6 these are 2 indices: 1, 4. "
        "Back to numbers. The table gives 3¹ ≡ 3 and 3⁴ ≡ 4 (mod 7). "
        "Answer. x ≡ 3, 4 (mod 7): two solutions."
    )


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        ("index of 3 base 2 mod 7", "until 1 comes back:"),
        ("index of 3 base 2 mod 7", "Answer. No power of 2 is congruent to 3 modulo 7."),
        ("index of -6 base -2 mod 9", "while every power of −2 is coprime to 9: −6 is congruent"),
        ("index of 4 base 9 mod 1", "0 0⁰ = 1 ≡ 0"),
        (
            "index of 210 base 71 mod 251",
            "71¹²⁵ ≡ −1, so 71²⁵⁰ ≡ 1: the order divides",
        ),
        ("index of 210 base 71 mod 251", "Take s = 16, the least number with s² ≥ 250."),
        ("index of 210 base 71 mod 251", "steps are 210 · 71^j for j = 0, 1, …, 15;"),
        ("index of 210 base 71 mod 251", "They meet for i = 13 and j = 11: the index is 13 · 16"),
        ("index of 5 base 2 mod 983", "No power of 2. Every power of 2 becomes 1 when it is"),
        ("index of 2 base 3 mod 9765625", "7812500 = 2² · 5⁹. For each prime power n of 7812500"),
        ("index of 2 base 3 mod 9765625", "k ≡ 3 (mod 4) k ≡ 1015243 (mod 1953125)"),
        ("index of 3 base 5 mod 2^20", "so 3 is not a power of 5."),
        ("6 * 5^x = -3 mod 14", "a multiple of 2 modulo 14, and −3 is not: there is no solution."),
        (
            "2 * 3^x = 7 mod 17",
            "7 ≡ 7 + 17 = 24 = 2 · 12, and 2 is coprime to 17: 3^x ≡ 12 (mod",
        ),
        ("3^x = 9 mod 101", "So no other exponent from 0 to 99 gives the same power."),
        ("1^x = 1 mod 5", "Every power of 1 is 1 modulo 5, so every exponent is a solution."),
        ("1^x = 1 mod 10007", "Answer. x ≡ 0 (mod 1): 10006 solutions modulo 10006."),
        ("x^4 = 3 mod 17 by indices", "gcd(4, 16) = 4 does not divide 1, so no y solves"),
        ("x^3 = 5 mod 2*3^20 by indices", "Indices. Indices to the base 5 modulo 6973568802:"),
        ("7x^5 = 3 mod 101 by indices", "The powers are made from earlier ones: power calculation"),
        ("3x^5 = 3 mod 11 by indices base 6", "So ind(3) = 2. Take indices."),
        ("6x^50 = 6 mod 101 by indices", "Each index y gives the solution x ≡ 2^y (mod 101)."),
        ("6x^50 = 6 mod 101 by indices", "Answer. There are 50 solutions modulo 101."),
        ("x^3 = 2 mod 9 by indices", "Answer. The congruence has no solutions."),
        ("5x = 3 mod 17 by indices", "5 + y ≡ 1 (mod 16) y ≡ 1 − 5 = −4 ≡ 12 (mod 16) Back"),
    ],
)
def test_whole_sentences_say_what_is_special(statement, sentence):
    assert sentence in worked(problem_from([statement]))


def test_the_letter_of_the_unknown_is_not_that_of_its_index():
    told = worked(problem_from(["7y^5 = 3 mod 17 by indices base 5"]))

    assert "With x = ind(y): 15 + 5x ≡ 13 (mod 16)" in told
    assert "Answer. y ≡ 2 (mod 17): one solution." in told


@pytest.mark.parametrize("statement", ["x^16 = 1 mod 17 by indices", "x^3 = 1 mod 2 by indices"])
def test_a_linear_congruence_modulo_1_is_solved_by_every_index(statement):
    told = worked(problem_from([statement]))

    assert "Solve for the index. Back" not in told
    assert "Modulo 1 every y is a solution." in told


@pytest.mark.parametrize(
    ("statement", "name", "sentence"),
    [
        ("index of 9 base 3 mod 17", "power-taken", "as the exponent, 3⁹ ≡ 14 (mod 17): it is"),
        ("index of 5 base 3 mod 7", "index-of-the-inverse", "3¹ ≡ 3 (mod 7), and that is the"),
        ("index of 3 base 2 mod 7", "primitive-root-assumed", "The order of 2 modulo 7 is 3, so"),
        (
            "2 * 3^x = 7 mod 17",
            "factor-multiplied",
            "of its factor, multiply by the inverse of 2 modulo 17.",
        ),
        ("5x^4 = 6 mod 7 by indices", "indices-added", "is subtracted when it moves: 3 − 5."),
        ("5y^4 = 6 mod 7 by indices", "not-turned-back", "each index x stands for the number 3^x"),
        (
            "5x^4 = 6 mod 7 by indices",
            "one-index-only",
            "modulo 6, and 4 and 6 have a common factor.",
        ),
    ],
)
def test_feedback_speaks_of_these_numbers(statement, name, sentence):
    assert sentence in feedback(problem_from([statement]), name)


# ------------------------------------------------------------ questions and certificates


def test_a_question_names_the_unknown_and_what_it_counts_modulo():
    problem = problem_from(["3^t = 5 mod 17"])

    assert text(problem.question("all solutions")) == (
        "Find all solutions of 3^t ≡ 5 (mod 17) Give t modulo 16 = φ(17)."
    )


@pytest.mark.parametrize("statement", STATEMENTS)
def test_every_relation_in_a_certificate_is_true(statement):
    problem = problem_from([statement])

    read_sums(rendered(certificate(statement)), getattr(problem, "m", problem.modulus))


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("index of -5 base -3 mod 17", "Power. (−3)⁵ ≡ 12 ≡ −5 (mod 17)."),
        ("index of 3 base 2 mod 7", ""),
        ("4 * 3^x = 8 mod 20", "Substituted. 4 · 3³ ≡ 8 (mod 20) 4 · 3⁷ ≡ 8 (mod 20)"),
        ("-7x^5 = -3 mod 17 by indices", "Substituted. −7 · 2⁵ ≡ 14 ≡ −3 (mod 17)"),
        ("x^4 = 3 mod 17 by indices", ""),
    ],
)
def test_a_certificate_puts_the_answer_in(statement, expected):
    assert text(certificate(statement)) == expected


def test_a_certificate_shows_the_least_of_more_solutions_than_can_be_listed():
    (_heading, table) = rendered(certificate("1^x = 1 mod 20011"))

    assert [plain.math(row) for row in table.rows][::11] == [
        "1⁰ ≡ 1 (mod 20011)",
        "1¹¹ ≡ 1 (mod 20011)",
    ]


def test_a_family_may_give_a_negative_factor():
    given = {"factor": -2, "base": -3, "value": 5, "modulus": 17}
    problem = ExponentialCongruence.from_given(given)

    assert problem_from(problem.statement) == problem
