"""What people type, read: the right question and the right answer, or what would work.

Answers are found here by trial, by Python's own arithmetic or by sympy.
"""

from collections.abc import Callable
from math import factorial, gcd, lcm

import pytest
import sympy
from sympy.functions.combinatorial.numbers import jacobi_symbol, totient
from sympy.ntheory import n_order, primitive_root

from itembank.kinds.asked.front import asked
from itembank.kinds.asked.latex import plainly
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.values.answer import Absent, Pairs, ResidueSet, Truth, Value
from itembank.values.errors import StatementError

Answer = tuple[object, ...] | int | bool | None


def roots(m: int, *tests: Callable[[int], bool]) -> Answer:
    """The residues modulo m that pass every test."""
    return tuple(x for x in range(m) if all(test(x) for test in tests))


def pairs(m: int, *tests: Callable[[int, int], bool]) -> Answer:
    return tuple((x, y) for x in range(m) for y in range(m) if all(t(x, y) for t in tests))


def plain(answer: object) -> Answer:
    match answer:
        case ResidueSet():
            return answer.residues()
        case Pairs(_, found):
            return found
        case Value(value):
            return value
        case Truth(holds):
            return holds
        case Absent():
            return None
    raise AssertionError(answer)


TYPED: tuple[tuple[str, Answer], ...] = (
    # LaTeX
    (r"$x^{2} \equiv 2 \pmod{7}$", roots(7, lambda x: x**2 % 7 == 2)),
    ("x^{2} ≡ 2 (mod 7)", roots(7, lambda x: x**2 % 7 == 2)),
    (r"\(3x \equiv 6 \pmod{15}\)", roots(15, lambda x: 3 * x % 15 == 6)),
    (r"\frac{1}{3} x \equiv 2 \pmod{7}", roots(7, lambda x: x % 7 == 6)),
    (r"\[ x^{10} \equiv 1 \pmod{33} \]", roots(33, lambda x: pow(x, 10, 33) == 1)),
    (
        r"\begin{cases} x \equiv 2 \pmod 3 \\ x \equiv 3 \pmod 5 \end{cases}",
        roots(15, lambda x: x % 3 == 2, lambda x: x % 5 == 3),
    ),
    (r"7^{-1} \bmod 26", pow(7, -1, 26)),
    (r"\left(\frac{3}{7}\right)", int(jacobi_symbol(3, 7))),
    (r"\operatorname{ord}_{7}(2)", n_order(2, 7)),
    (r"\varphi(36)", int(totient(36))),
    (r"\sqrt{2} \bmod 7", roots(7, lambda x: x**2 % 7 == 2)),
    (r"\gcd(12,30)", gcd(12, 30)),
    # signs, punctuation, verbs
    ("-x = 3 mod 7", roots(7, lambda x: -x % 7 == 3)),
    ("−x ≡ 3 (mod 7)", roots(7, lambda x: -x % 7 == 3)),
    ("x=3mod7", (3,)),
    ("Solve x^2 = 2 mod 7.", roots(7, lambda x: x**2 % 7 == 2)),
    ("Find all solutions of x^2 = 1 mod 8", roots(8, lambda x: x**2 % 8 == 1)),
    ("Solve the congruence 3x ≡ 4 (mod 7);", roots(7, lambda x: 3 * x % 7 == 4)),
    ("x is congruent to 3 modulo 7", (3,)),
    ("Find x such that 3x = 4 mod 7", roots(7, lambda x: 3 * x % 7 == 4)),
    ("3x + 1 = 4 (mod 7), find x", roots(7, lambda x: (3 * x + 1) % 7 == 4)),
    ("x mod 7 = 3", (3,)),
    ("x % 7 == 3", (3,)),
    # several congruences in one line
    ("x = 3 mod 7, x = 2 mod 5", roots(35, lambda x: x % 7 == 3, lambda x: x % 5 == 2)),
    ("x = 3 mod 7; x = 2 mod 5", roots(35, lambda x: x % 7 == 3, lambda x: x % 5 == 2)),
    ("x = 3 (mod 7) and x = 2 (mod 5)", roots(35, lambda x: x % 7 == 3, lambda x: x % 5 == 2)),
    (
        "x = 2 mod 3, x = 3 mod 5, and x = 2 mod 7",
        roots(105, lambda x: x % 3 == 2, lambda x: x % 5 == 3, lambda x: x % 7 == 2),
    ),
    (
        "x = 2 mod 3, 3 mod 5, 2 mod 7",
        roots(105, lambda x: x % 3 == 2, lambda x: x % 5 == 3, lambda x: x % 7 == 2),
    ),
    (
        "2x + 3y = 5, x - y = 1 mod 7",
        pairs(7, lambda x, y: (2 * x + 3 * y) % 7 == 5, lambda x, y: (x - y) % 7 == 1),
    ),
    ("Solve the system x = 1 mod 4, x = 2 mod 9", roots(36, lambda x: x % 4 == 1 and x % 9 == 2)),
    # fractions and inverses as coefficients
    ("1/3 x = 2 mod 7", roots(7, lambda x: x == 6)),
    ("x/2 = 3 mod 7", roots(7, lambda x: x == 6)),
    ("3^-1 x = 2 mod 7", roots(7, lambda x: x == 6)),
    ("3x = 1/2 mod 7", roots(7, lambda x: 2 * 3 * x % 7 == 1)),
    ("x = 3^(-2) mod 7", (pow(3, -2, 7),)),
    ("2/3 x^2 = 1/5 mod 11", roots(11, lambda x: 10 * x * x % 11 == 3)),
    # remainders
    ("17 mod 5", 17 % 5),
    ("-17 mod 5", -17 % 5),
    ("17 % 5", 17 % 5),
    ("2*7^222 + 20!/10! mod 11", (2 * 7**222 + factorial(20) // factorial(10)) % 11),
    ("What is 2^100 + 3^100 mod 7?", (2**100 + 3**100) % 7),
    ("remainder of 7^100 divided by 13", 7**100 % 13),
    ("last two digits of 7^222", 7**222 % 100),
    ("What is the last digit of 3^100?", 3**100 % 10),
    ("last 3 digits of 7^9999", 7**9999 % 1000),
    # applications
    ("Encrypt HI with 15x + 100 mod 676", (15 * (26 * 7 + 8) + 100) % 676),
    ("What is the decrypting exponent of 29 mod the prime 101?", pow(29, -1, 100)),
    ("decrypt 294 with exponent 95 for the primes 17 and 19", 24),
    ("Find the shared key of 7 and 39 base 5 mod 97", 14),
    ("period of 1/7", 6),
    ("perfect in-shuffles of 52 cards", n_order(2, 53)),
    ("digits for ? in 273?4985 divisible by 11?", (7,)),
    ("digit for ? in 11100002? with weights 3, 7, 1, 3, 7, 1, 3, 7, 1 mod 10", 5),
    ("trailing zeros of 1000!", 249),
    ("number of solutions of phi(x) = 24", 10),
    ("What is 1000 choose 326 mod 13?", 0),
    ("weekday 100 days after weekday 3", (3 + 100 - 1) % 7 + 1),
    ("Is 341 a pseudoprime to the base 2?", True),
    ("is 561 a Carmichael number", True),
    ("For which primes is 3 a quadratic residue?", (1, 11)),
    # words for numbers
    ("gcd(12, 30)", gcd(12, 30)),
    ("gcd 12 30", gcd(12, 30)),
    ("What is the greatest common divisor of 84 and 30?", gcd(84, 30)),
    ("lcm of 4, 6 and 9", lcm(4, 6, 9)),
    ("sqrt(2) mod 7", roots(7, lambda x: x**2 % 7 == 2)),
    ("square roots of 2 mod 7", roots(7, lambda x: x**2 % 7 == 2)),
    ("cube roots of 8 mod 31", roots(31, lambda x: x**3 % 31 == 8)),
    ("4th roots of 1 mod 13", roots(13, lambda x: x**4 % 13 == 1)),
    ("primitive root of 17", primitive_root(17)),
    ("how many primitive roots are there mod 31", sum(n_order(a, 31) == 30 for a in range(1, 31))),
    ("inverse 7 mod 26", pow(7, -1, 26)),
    ("modular inverse of 7 mod 26", pow(7, -1, 26)),
    ("1/7 mod 26", pow(7, -1, 26)),
    ("ord_7(2)", n_order(2, 7)),
    ("order 2 mod 7", n_order(2, 7)),
    ("log_3(5) mod 17", sympy.ntheory.discrete_log(17, 5, 3)),
    ("discrete log of 5 base 3 mod 17", sympy.ntheory.discrete_log(17, 5, 3)),
    ("euler phi 36", int(totient(36))),
    ("2^x = 4 mod 6", next(x for x in range(9) if 2**x % 6 == 4)),
    ("3*2^n = 12 (mod 20)", next(n for n in range(9) if 3 * 2**n % 20 == 12)),
    # how many, whether
    ("how many solutions has x^2 = 1 mod 8", 4),
    ("How many solutions does x^2 ≡ 1 (mod 360) have?", sum(x * x % 360 == 1 for x in range(360))),
    ("number of solutions to 6x = 4 mod 10", 2),
    ("how many units mod 36", sum(gcd(a, 36) == 1 for a in range(36))),
    ("how many squares are there mod 13?", len({x * x % 13 for x in range(13)})),
    ("is x^2 = 2 mod 5 solvable?", ()),
    ("is 3 a primitive root of 17?", n_order(3, 17) == 16),
    # two unknowns
    ("2x + 3y = 5 mod 7", pairs(7, lambda x, y: (2 * x + 3 * y) % 7 == 5)),
    ("4x + 6y = 2 (mod 8)", pairs(8, lambda x, y: (4 * x + 6 * y) % 8 == 2)),
    ("12x + 30y = 18", roots(30, lambda x: (18 - 12 * x) % 30 == 0)),
    ("solve 7x - 5y = 1 in integers", roots(5, lambda x: (1 - 7 * x) % 5 == 0)),
    (
        "how many positive solutions has 3x + 5y = 100",
        sum(3 * x + 5 * y == 100 for x in range(1, 40) for y in range(1, 40)),
    ),
    # negative moduli
    ("x^2 = 2 mod -7", roots(7, lambda x: x**2 % 7 == 2)),
    ("3x = 4 mod -7", roots(7, lambda x: 3 * x % 7 == 4)),
    ("inverse of 11 mod -5", pow(11, -1, 5)),
    ("2x + 3y = 5 mod -7", pairs(7, lambda x, y: (2 * x + 3 * y) % 7 == 5)),
    ("17 mod -5", 17 % 5),
    # as people write them in a hurry
    ("5x=7 (13)", roots(13, lambda x: 5 * x % 13 == 7)),
    ("x ≡ 2 (3), x ≡ 3 (5)", roots(15, lambda x: x % 3 == 2, lambda x: x % 5 == 3)),
    ("Solve for x: x^2 = 4 (mod 15)", roots(15, lambda x: x * x % 15 == 4)),
    ("4x ≡ 6 mod 10, x = ?", roots(10, lambda x: 4 * x % 10 == 6)),
    (
        "x leaves remainder 2 when divided by 3 and remainder 3 when divided by 5",
        roots(15, lambda x: x % 3 == 2, lambda x: x % 5 == 3),
    ),
    (
        "Find the smallest number that leaves a remainder of 1 when divided by 6, and 3 when "
        "divided by 10",
        roots(30, lambda x: x % 6 == 1, lambda x: x % 10 == 3),
    ),
    ("pow(3, 100, 7)", pow(3, 100, 7)),
    ("square of 9 mod 7", 9**2 % 7),
    ("zero divisors of 12", roots(12, lambda x: x > 0 and gcd(x, 12) > 1)),
    ("ind of 2 to the base 3 mod 7", 2),
)


@pytest.mark.parametrize(("typed", "answer"), TYPED, ids=[typed for typed, _ in TYPED])
def test_what_people_type_is_read_and_answered(typed: str, answer: Answer) -> None:
    problem = asked([typed]).problem

    assert plain(problem.solve().answer) == answer


@pytest.mark.parametrize("typed", [typed for typed, _ in TYPED])
def test_what_was_understood_reads_back(typed: str) -> None:
    """By the front and by the readers of the kinds, as the same problem."""
    problem = asked([typed]).problem

    assert asked(problem.statement).problem == problem
    assert problem_from(problem.statement) == problem


def test_there_are_enough_of_them() -> None:
    assert len({typed for typed, _ in TYPED}) == len(TYPED) >= 60


def test_several_arguments_are_the_lines_of_one_statement() -> None:
    one = asked(["x = 3 mod 7; x = 2 mod 5"]).problem

    assert asked(["x = 3 mod 7", "x = 2 mod 5"]).problem == one
    assert asked(["x = 3 mod 7,", "and x = 2 mod 5."]).problem == one


@pytest.mark.parametrize(
    ("typed", "ask"),
    [
        ("x^2 = 2 mod 7", "all solutions"),
        ("is x^2 = 2 mod 7 solvable", "whether any"),
        ("how many solutions has 2x + 3y = 5 mod 7", "how many"),
        ("how many solutions has x^2 = 2 mod 7", "the value"),
        ("order of 2 mod 7", "the value"),
    ],
)
def test_what_is_asked_is_kept(typed: str, ask: str) -> None:
    assert asked([typed]).ask == ask


@pytest.mark.parametrize(
    ("typed", "in_words"), [("12x + 30y = 18", False), ("is 12x + 30y = 18 solvable", True)]
)
def test_whether_the_words_say_what_is_asked_is_kept(typed: str, in_words: bool) -> None:
    assert asked([typed]).ask == "whether any"
    assert asked([typed]).in_words is in_words


@pytest.mark.parametrize(
    ("typed", "notes"),
    [
        ("1/3 x = 2 mod 7", ["1/3 ≡ 5 (mod 7), since 3 · 5 = 15 ≡ 1 (mod 7)."]),
        ("3^-1 x = 2 mod 7", ["3⁻¹ ≡ 5 (mod 7), since 3 · 5 = 15 ≡ 1 (mod 7)."]),
        (
            "x = 2 mod -7",
            [
                "Modulo −7 means modulo 7: both have the same multiples, so congruences modulo one "
                "hold modulo the other."
            ],
        ),
        ("x = 2 mod 7", []),
    ],
)
def test_what_was_made_of_the_statement_is_told(typed: str, notes: list[str]) -> None:
    assert [Speaker().text(note) for note in asked([typed]).notes] == notes


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        (r"$\tfrac12 x$", "(1/2) x"),
        (r"\frac{3}{7}", "3/7"),
        (r"x^{n+1}", "x^(n+1)"),
        (r"\left( x \right)^{2} \cdot 3", "( x )^2 * 3"),
        (r"x \equiv 2 \pmod 13", "x ≡ 2 (mod 13)"),
        (r"\sqrt[3]{5} \bmod 31", "3-th root of (5) mod 31"),
    ],
)
def test_latex_becomes_plain_notation(typed: str, read: str) -> None:
    assert plainly(typed) == read


# ------------------------------------------------------------ what cannot be read

QUESTION = "expected a congruence or a question that is known here, found"
USUAL = '"x^2 = 2 mod 7", "order of 7 mod 48"'

UNREADABLE = {
    "solve the riddle": f"'solve the riddle': {QUESTION} 'riddle'; what works: {USUAL}",
    "find the determinant of x": f"'find the determinant of x': {QUESTION} 'determinant'; "
    f"what works: {USUAL}",
    "sin x = 1 mod 7": f"'sin x = 1 mod 7': {QUESTION} 'sin'; what works: {USUAL}",
    "x = 3 modd 7": f"'x = 3 modd 7': {QUESTION} 'modd'; what works: {USUAL}",
    "order of 2": f"'order of 2': {QUESTION} 'order of'; what works: \"order of 7 mod 48\"",
    "inverse of 7": f"'inverse of 7': {QUESTION} 'inverse of'; what works: \"inverse of 7 mod 26\"",
    "log of 5 mod 17": f"'log of 5 mod 17': {QUESTION} 'log of'; "
    'what works: "index of 5 base 3 mod 17"',
    "primitive roots": f"'primitive roots': {QUESTION} 'primitive roots'; "
    'what works: "primitive roots mod 17"',
    "square roots of 2": f"'square roots of 2': {QUESTION} 'square roots of'; "
    'what works: "square roots of 2 mod 7"',
    "last zero digits of 7^222": f"'last zero digits of 7^222': {QUESTION} 'last zero digits of'; "
    'what works: "last two digits of 7^222"',
    "how many squares": f"'how many squares': {QUESTION} 'how many squares'; "
    'what works: "squares mod 13"',
    "order of 2 and 3 mod 7": "'order of 2 and 3 mod 7': expected a polynomial with whole "
    'coefficients, found 2 and 3; what works: "order of 7 mod 48"',
    "x^2 = 2": "'x^2 = 2': expected a congruence with a modulus, such as x^2 = 2 mod 7",
    "x mod 7": "'x mod 7': expected one ≡ or = between two sides, such as x^2 = 2 mod 7",
    "x < 3 mod 7": "'x < 3 mod 7': expected one ≡ or = between two sides, such as x^2 = 2 mod 7",
    "3/7": "'3/7': expected a congruence with a modulus, such as x^2 = 2 mod 7",
    "x = 1 mod 5 or x = 2 mod 5": "'x = 1 mod 5 or x = 2 mod 5': expected congruences that all "
    "hold, found 'or'; solve each by itself",
    "1.5x = 2 mod 7": '"1.5x = 2 mod 7", column 2: expected an operator, a relation sign or the '
    'end, found "."; write a fraction for a decimal: 3/2 for 1.5',
    "x^-1 = 2 mod 7": "'x^-1 = 2 mod 7': expected an exponent of at least 0 for the unknown, got "
    "-1; multiply both sides by x",
    "2/x = 3 mod 7": "'2/x = 3 mod 7': expected a number under the fraction bar, found x; multiply "
    "both sides by it first",
    "x/3 = 1 mod 6": "'x/3 = 1 mod 6': expected a denominator coprime to 6, got 3, which shares 3 "
    "with it and has no inverse; write whole coefficients",
    "x^2 + y^2 = 1 mod 7": "'x^2 + y^2 = 1 mod 7': expected one unknown, found x, y; write numbers "
    "for the others",
    "x + y + z = 1 mod 7": "'x + y + z = 1 mod 7': expected one unknown, found x, y, z; write "
    "numbers for the others",
    "x = 3 mod 7, y = 2 mod 5": "'y = 2 mod 5': expected the modulus 7 of the first congruence, "
    "got 5; two unknowns are solved under one modulus, one under several",
    "2^x = 3^x mod 7": "'2^x = 3^x mod 7': expected the unknown in one exponent only, as in "
    "2 * 3^x = 5 mod 17",
    "x = 3 mod 0": "'x = 3 mod 0': expected a modulus other than 0; modulo 0 only equal numbers "
    "are congruent",
    "x = 3 mod p": f"'x = 3 mod p': expected a number, found p; what works: {USUAL}",
    "(x = 3 mod 7": '"(x = 3 mod 7", column 4: expected an operator, "," or ")", found "="; '
    f"what works: {USUAL}",
    "5 = 3 mod 7": "'5 = 3 mod 7': expected an unknown such as x, found only numbers",
    r"\sum_{k} x = 2 \pmod 7": r"'\\sum_{k} x = 2 \\pmod 7': expected a command such as \equiv, "
    r"\pmod, \frac or \sqrt, found \sum; without LaTeX the same is typed as in x^2 = 2 mod 7",
    "10^400 x = 1 mod 7": "'10^400 x = 1 mod 7': multiplied out, a number has 401 digits, and at "
    "most 400 are read; write it reduced modulo the modulus",
    "inverse of 2^2000 mod 3^1000": "'inverse of 2^2000 mod 3^1000': multiplied out, a number has "
    "603 digits, and at most 400 are read; write it reduced modulo the modulus",
    "x equals 3": "'x = 3': expected a congruence with a modulus, such as x^2 = 2 mod 7",
    "factor 360": f"'factor 360': {QUESTION} 'factor'; what works: \"phi(36)\"",
    "gcd(12)": "'gcd(12)': expected two or three numbers, got 1; what works: \"gcd(84, 30)\"",
    "legendre (3/8)": "'legendre (3/8)': expected an odd prime under a Legendre symbol, got 8; "
    "write jacobi for an odd number that is not prime",
    "lift x = 2 mod 5": "'lift x = 2 mod 5': expected a step such as 'lift x = 2 mod 5 to "
    "x^2 + 4x + 23 = 0 mod 25'",
    "number of positive solutions of 3x - 5y = 1": "'number of positive solutions of 3x - 5y = 1': "
    "expected coefficients of one sign; with two signs there are infinitely many positive "
    "solutions, or none",
    "last 200 digits of 7^222": "last 200 digits: expected 1 to 40 of them, got 200; what works: "
    '"last two digits of 7^222"',
    "x^2 = 2 mod 7 mod 5": '"x^2 = 2 mod 7 mod 5", column 15: expected an operator, a relation '
    f'sign or the end, found "mod"; what works: {USUAL}',
}


@pytest.mark.parametrize("typed", UNREADABLE)
def test_a_refusal_is_one_line_that_says_what_would_work(typed: str) -> None:
    with pytest.raises(StatementError) as raised:
        asked([typed])

    assert str(raised.value) == UNREADABLE[typed]
    assert "\n" not in str(raised.value)


def test_a_modulus_that_cannot_be_factored_is_printed_once() -> None:
    p, q = 1000000000000000000000000000057, 1000000000000000000000000000099
    assert sympy.isprime(p) and sympy.isprime(q)
    with pytest.raises(StatementError) as raised:
        asked([f"x^2 = 2 mod {p * q}"]).problem.solve()

    message = str(raised.value)
    assert message.count(str(p * q)) == 1
    assert "(mod p*q)" in message
    assert asked([f"x^2 = 4 mod {p}*{q}"]).problem.solve().answer.count == 4
