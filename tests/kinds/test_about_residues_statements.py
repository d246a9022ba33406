"""Statements about squares, symbols, units, phi and check digits as people type them: every form,
each refusal whole, and numbers of many digits."""

import pytest

from itembank.kinds.statement import problem_from
from itembank.values.answer import Absent, Truth, Value
from itembank.values.errors import StatementError
from tests.kinds.telling import rendered

FORMS = [
    ("squares mod 13", "squares", "squares mod 13"),
    ("all squares (mod 13)", "squares", "squares mod 13"),
    ("Squares modulo 2^3*9", "squares", "squares mod 72"),
    ("quadratic residues mod 13", "quadratic_residues", "quadratic residues mod 13"),
    ("number of squares mod 10^12", "number_of_squares", "number of squares mod 10^12"),
    (
        "the number of quadratic residues, mod 720",
        "number_of_quadratic_residues",
        "number of quadratic residues mod 720",
    ),
    ("is 2 a square mod 15?", "square_test", "is 2 a square mod 15"),
    ("Is -3 a square modulo 7*11^2", "square_test", "is -3 a square mod 847"),
    ("is 2 a quadratic residue mod 7", "square_test", "is 2 a square mod 7"),
    ("(3/7)", "symbol", "(3/7)"),
    ("(-2/15)", "symbol", "(-2/15)"),
    ("( 3 | 7 )", "symbol", "(3/7)"),
    ("legendre 3 7", "symbol", "(3/7)"),
    ("Legendre symbol (3/7)", "symbol", "(3/7)"),
    ("legendre(3, 7)", "symbol", "(3/7)"),
    ("jacobi 45 77", "symbol", "(45/77)"),
    ("Jacobi's symbol (45/77)", "symbol", "(45/77)"),
    ("kronecker 101 4", "symbol", "kronecker (101/4)"),
    ("kronecker (-7/-12)", "symbol", "kronecker (-7/-12)"),
    ("kronecker 3 7", "symbol", "(3/7)"),
    ("units mod 12", "units", "units mod 12"),
    ("the units (mod 12)", "units", "units mod 12"),
    ("zero divisors mod 12", "zero_divisors", "zero divisors mod 12"),
    ("number of zero divisors mod 360", "number_of_zero_divisors", None),
    ("inverses mod 12", "inverses", "inverses mod 12"),
    ("table of inverses mod 12", "inverses", "inverses mod 12"),
    ("units mod -12", "units", "units mod 12"),
    ("phi(36)", "phi", "phi(36)"),
    ("φ(36)", "phi", "phi(36)"),
    ("phi 36", "phi", "phi(36)"),
    ("Euler's phi of 36", "phi", "phi(36)"),
    ("phi(2^15 - 1)", "phi", "phi(32767)"),
    ("phi(10^40)", "phi", "phi(10^40)"),
    ("number of units mod 36", "phi", "phi(36)"),
    ("lambda(561)", "lambda", "lambda(561)"),
    ("λ(561)", "lambda", "lambda(561)"),
    ("Carmichael lambda of 561", "lambda", "lambda(561)"),
    ("isbn 0-306-40615-?", "isbn_digit", "isbn 030640615?"),
    ("ISBN 978 0 306 4?615 7", "isbn_digit", "isbn 97803064?6157"),
    ("ISBN-13: 978-0-306-40615-7", "isbn_test", "isbn 9780306406157"),
    ("isbn 0-8044-2957-x", "isbn_test", "isbn 080442957X"),
    ("iban GB?? WEST 1234 5698 7654 32", "iban_digits", None),
    ("iban gb82west12345698765432", "iban_test", "iban GB82 WEST 1234 5698 7654 32"),
]


@pytest.mark.parametrize(("typed", "kind", "canonical"), FORMS, ids=[f[0] for f in FORMS])
def test_a_statement_is_read_and_put_in_its_own_form(
    typed: str, kind: str, canonical: str | None
) -> None:
    problem = problem_from([typed])

    assert problem.kind == kind
    assert problem.statement == (canonical or typed,)


REFUSED = [
    (
        "legendre 3 9",
        "'legendre 3 9': expected an odd prime under a Legendre symbol, got 9; write jacobi for "
        "an odd number that is not prime",
    ),
    (
        "(3/8)",
        "'(3/8)': expected an odd number of at least 1 at the bottom, got 8; write kronecker for "
        "the extension to all integers",
    ),
    ("jacobi 3", "'jacobi 3': expected two numbers, as in 'legendre (3/7)', found '3'"),
    ("(n/7)", "'(n/7)': expected a top in numbers, found 'n'"),
    ("squares mod 0", "'squares mod 0': expected a modulus other than 0"),
    ("units mod m", "'units mod m': expected a modulus in numbers, found 'm'"),
    ("phi(0)", "'phi(0)': expected a number of at least 1, got 0"),
    ("phi(n)", "'phi(n)': expected a number in numbers, found 'n'"),
    (
        "is 6 a quadratic residue mod 9",
        "'is 6 a quadratic residue mod 9': expected a number coprime to the modulus, since books "
        "differ on the others; write 'is 6 a square mod 9'",
    ),
    (
        "isbn 12345",
        "'isbn 12345': expected 10 or 13 digits (the last of 10 may be X), ? for a missing one, "
        "got 5 characters",
    ),
    (
        "isbn 03064?615?",
        "'isbn 03064?615?': expected at most one ?, got 2; one congruence gives one digit",
    ),
    (
        "isbn 03X6406152",
        "'isbn 03X6406152': X stands for 10, and only at the end of an ISBN-10.",
    ),
    ("isbn 977030640615?", "'isbn 977030640615?': An ISBN-13 begins with 978 or 979."),
    (
        "iban 82GB 1234",
        "'iban 82GB 1234': expected two letters, two check digits, then digits and letters, at "
        "most 34 in all, ? for a missing digit",
    ),
    (
        "iban GB82 1?3?",
        "'iban GB82 1?3?': expected one ?, or two for both check digits, got 2; one congruence "
        "gives one of them",
    ),
]


@pytest.mark.parametrize(("typed", "message"), REFUSED, ids=[r[0] for r in REFUSED])
def test_a_statement_of_a_form_that_is_wrong_is_refused_in_one_line(
    typed: str, message: str
) -> None:
    with pytest.raises(StatementError) as refusal:
        problem_from([typed])

    assert str(refusal.value) == message


OUT_OF_REACH = [
    (
        "squares mod 10^20 + 39",
        "squares mod 10^20 + 39: they are 50000000000000000020, too many to list; 'number of "
        "squares mod 10^20 + 39' tells how they are counted",
    ),
    (
        "units mod 10^20 + 39",
        "units mod 10^20 + 39: there are 100000000000000000038, too many to list; phi(m) is their "
        "number",
    ),
    (
        "zero divisors mod 10^20",
        "zero divisors mod 10^20: there are 59999999999999999999, and they are listed up to the "
        "modulus 100000; 'number of zero divisors mod 10^20' tells how they are counted",
    ),
    (
        "inverses mod 10^20",
        "inverses mod 10^20: there are 40000000000000000000 units, more than 10000; ask for one, "
        "as in 'inverse of 7 mod 100000000000000000000'",
    ),
]


@pytest.mark.parametrize(("typed", "message"), OUT_OF_REACH, ids=[r[0] for r in OUT_OF_REACH])
def test_what_is_too_long_to_list_is_refused_with_its_number(typed: str, message: str) -> None:
    problem = problem_from([typed])
    with pytest.raises(StatementError) as refusal:
        problem.solve()

    assert str(refusal.value) == message


P, Q = 10**19 + 51, 10**20 + 39  # primes

LARGE = [
    (f"({Q - 1}/{P})", Value(-1)),
    ("number of squares mod 2^100*3^50*7", None),
    (f"number of squares mod ({P})^2*({Q})", Value((P * (P - 1) // 2 + 1) * (Q + 1) // 2)),
    (f"is 4 a square mod ({P})^3*({Q})", Truth(True)),
    (f"is {P} a square mod ({P})^3*({Q})", Truth(False)),
    (f"phi(({P})^2*({Q}))", Value(P * (P - 1) * (Q - 1))),
    (f"lambda(2^90*({P}))", None),
    ("squares mod 3^400", None),
    ("units mod 2^60*3^30", None),
    (f"({3**200}/{7**301})", None),
]


@pytest.mark.parametrize(("statement", "answer"), LARGE, ids=[s[:40] for s, _a in LARGE])
def test_numbers_of_many_digits_have_an_answer_and_a_worked_solution(statement, answer) -> None:
    problem = problem_from([statement])
    solution = problem.solve()

    assert answer is None or solution.answer == answer
    assert rendered(problem.worked(solution))
    problem.slips(solution)
    assert problem_from(problem.statement) == problem


@pytest.mark.parametrize(
    "statement",
    ["isbn 30000?0040", "isbn 97?0306406150", "iban QM12 1234 5678 9?", "iban QM?1 0032"],
)
def test_a_digit_that_does_not_fit_is_absent_with_the_reason(statement: str) -> None:
    problem = problem_from([statement])
    answer = problem.solve().answer

    assert isinstance(answer, Absent) and answer.reason.template.endswith(".")


@pytest.mark.parametrize(
    ("statement", "answer"),
    [
        ("squares mod 1", (0,)),
        ("squares mod 2", (0, 1)),
        ("quadratic residues mod 1", (0,)),
        ("quadratic residues mod 2", (1,)),
        ("units mod 1", (0,)),
        ("units mod 2", (1,)),
        ("zero divisors mod 1", ()),
        ("zero divisors mod 4", (2,)),
        ("zero divisors mod 13", ()),
    ],
)
def test_sets_modulo_the_smallest_numbers_follow_the_conventions(statement, answer) -> None:
    assert problem_from([statement]).solve().answer.residues() == answer


@pytest.mark.parametrize(
    ("statement", "value"),
    [("(5/1)", 1), ("(0/1)", 1), ("(0/7)", 0), ("phi(1)", 1), ("lambda(1)", 1), ("phi(2)", 1)],
)
def test_values_of_the_smallest_numbers_follow_the_conventions(statement, value) -> None:
    assert problem_from([statement]).solve().answer == Value(value)
