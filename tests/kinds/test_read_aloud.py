"""Worked solutions as a teacher reads them aloud: what was missing, long or wrong, a case each."""

import re
from functools import cache

import pytest

from itembank.kinds.base import worked_for
from itembank.kinds.next_steps import next_step
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.selection import fits, item_in_form
from itembank.pipeline.variants import Stream
from itembank.values.item import Item
from tests.kinds.messages import text
from tests.shipped import FAMILIES


def told(statement: str, ask: str = "all solutions") -> str:
    problem = problem_from(tuple(statement.split("; ")))
    return text(worked_for(problem, problem.solve(), ask))


SAID = [
    # a root in sight, whatever the degree: its factor is divided out
    (
        "x^3 + x^2 - 2 = 0 mod 103",
        "One root is seen: f(1) = 0. So f(x) ≡ (x − 1)(x² + 2x + 2) (mod 103).",
    ),
    ("x^3 + x^2 - 2 = 0 mod 103", "It is left to solve g(x) = x² + 2x + 2 ≡ 0 (mod 103)."),
    ("x^3 + x^2 - 2 = 0 mod 103", "and 103 ≡ 3 (mod 4): there is no root."),
    ("3x^4 + 5x^3 + 7x - 2 = 0 mod 11", "f(x) ≡ (x + 1)(3x³ + 2x² − 2x − 2) (mod 11)."),
    ("x^4 + 5x^2 + 3x = 0 mod 53", "f(x) ≡ x(x³ + 5x + 3) (mod 53)."),
    # -x = 1 is not divided by 6
    ("6x^2 + 6x + 14 = 0 mod 1519", "x ≡ 0 (mod 7) or −x ≡ 1 (mod 7). Multiply both sides by −1"),
    # the greatest common divisor with x^p - x, with its quotients, and what is left solved
    (
        "x^4 + x + 3 = 0 mod 41",
        "dividend divisor quotient remainder x⁴ + x + 3 16x³",
    ),
    ("x^4 + x + 3 = 0 mod 41", "9x² − 10x + 3 ≡ 9(x² + 8x + 14) (mod 41)"),
    ("x^4 + x + 3 = 0 mod 41", "It is left to solve g(x) = x² + 8x + 14 ≡ 0 (mod 41)."),
    # no number drops from the sky
    ("78x = 24 mod 85", "As 24 ≡ 24 − 3 · 85 = −231 (mod 85), this is −7x ≡ −231 (mod 85)."),
    (
        "8x = 4 mod 13",
        "by 4, which has no common factor with 13: 2x ≡ 1 (mod 13).",
    ),
    ("x^2 + 0x = 31 mod 55", "That is x² ≡ 1 (mod 5). So x ≡ ±1 (mod 5)."),
    ("iban QX14 59?1 7552", "10¹¹ = 10 · (10²)⁵ ≡ 10 · 3⁵ = 2430 ≡ 5 (mod 97)."),
    ("iban QX14 59?1 7552", "This leaves 5d ≡ 1 − 58 = −57 ≡ 40 (mod 97)."),
    ("iban QV97 56?4 3448", "5 is coprime to 97, so d ≡ 0 (mod 97)."),
    ("isbn 488?567199", "3 ≡ 3 + 11 = 14 = 7 · 2, and 7 is coprime to 11: d ≡ 2 (mod 11)."),
    ("lambda(2288)", "It divides φ(2288) = 8 · 10 · 12 = 960 = 16 · 60, as it must."),
    ("number of zero divisors mod 1805", "φ(1805) = φ(5)φ(19²) = 4 · (19 · 18) = 4 · 342 = 1368."),
    ("number of zero divisors mod 50", "a · 50/d is a multiple of 50: a is a zero divisor."),
    ("number of primitive roots mod 289", "Units. 289 = 17², so φ(289) = φ(17²) = 17 · 16 = 272."),
    ("quadratic residues mod 105", "1 4 2 70 + 84 + 30 = 184 ≡ 79"),
    (
        "5 * 38^x = 16 mod 42",
        "2 22 · (−4) = −88 ≡ 38 3 38 · (−4) = −152 ≡ 16",
    ),
    ("12x + 8y = 6 mod 18", "gcd(12, 8, 18) = 2 divides 6, so there are solutions."),
    ("11x + 13y = 5 mod 14; 10x + 12y = 4 mod 14", "With y ≡ −5 − 3x (mod 14) this gives:"),
    # a counterexample says that what is assumed holds, and that what is claimed does not
    (
        "claim: if a^18 = b^18 mod 30 then a = b mod 30",
        "is false: a¹⁸ ≡ 4 (mod 30) and b¹⁸ ≡ 4 (mod 30), but a ≢ b (mod 30).",
    ),
    (
        "claim: if gcd(a, 7) = 1 then a^22 = 6 mod 7",
        "is false: gcd(a, 7) = 1, but a²² ≡ 1 ≢ 6 (mod 7).",
    ),
    (
        "claim: if a = b mod 3 and c = d mod 3 then ac = bd mod 9",
        "is false: b ≡ 0 (mod 3), but ac ≡ 0 ≢ 3 ≡ bd (mod 9).",
    ),
    # a reason, where there is one, and not all values
    (
        "claim: if gcd(a, 11) = 1 then a^7 = 0 mod 11",
        "Reason. A power of a number coprime to 11 is coprime to 11, and 0 is not.",
    ),
    (
        "claim: if gcd(a, 7) = 1 then a^22 = 6 mod 7",
        "Reason. For a coprime to 7 the power a²² is one of 1, 2, 4 modulo 7, and 6 is not among",
    ),
    ("claim: if a = 3 mod 7 then gcd(a, 9) = 1", "With a = 3 the claim is false: gcd(a, 9) = 3."),
    # a residue in a table comes from somewhere
    ("c for which 6x^2 = c mod 11 is solvable", "6 · 4² = 96 ≡ 8 5 6 · 5² = 150 ≡ 7"),
    ("c for which 13x^6 = c mod 31 is solvable", "14 13 · 14⁶ = 13 · 196³ ≡ 13 · 10³ = 13000 ≡ 11"),
    (
        "c for which 13x^6 = c mod 31 is solvable",
        "7 13 · 7⁶ = 13 · 49³ ≡ 13 · (−13)³ = −28561 ≡ 21",
    ),
    ("c for which 3x^5 = c mod 7 is solvable", "4 3 · 4⁵ = 3 · 1024 ≡ 3 · 2 = 6"),
    ("c for which 6x^2 = c mod 11 is solvable", "6x² has the same value for −x as for x, so"),
    ("c for which 6x^2 = c mod 11 is solvable", "Answer. The congruence is solvable for c = 0, 2,"),
    (
        "which has 2 solutions; x^2 = 9 mod 19; x^2 = 16 mod 39; x^2 = 11 mod 29; x^2 = 1 mod 40",
        "As 3² ≡ 9 (mod 19), the solutions are 3, 16. So there are 2 solutions modulo 19.",
    ),
    (
        "which has 2 solutions; x^2 = 9 mod 19; x^2 = 16 mod 39; x^2 = 11 mod 29; x^2 = 1 mod 40",
        "By Euler's criterion 11 is not a square: 11¹⁴ ≡ −1 (mod 29). So there is no solution.",
    ),
    (
        "which has 2 solutions; x^2 = 9 mod 19; x^2 = 16 mod 39; x^2 = 11 mod 29; x^2 = 1 mod 40",
        "Modulo 3 the left side minus the right side is 2, 0 for x = 0, 1, and the same for",
    ),
    # an answer on the way is none: the sum is what was asked for
    ("sum of the solutions of 39x = 33 mod 51", "Solutions. x ≡ 10, 27, 44 (mod 51): three"),
    ("sum of the solutions of 39x = 33 mod 51", "Answer. The solutions are 10, 27, 44, and"),
    ("x^10 = 32 mod 53 by indices base 5", "5⁵¹ ≡ −21 ≡ 32, so ind(32) = 51."),
    # a way that a teacher takes
    ("2 * 49^x = 8 mod 61", "each from the one before times 49 ≡ −12, until 4 appears"),
    (
        "2 * 49^x = 8 mod 61",
        "By the table 49³⁰ = (49¹⁵)² ≡ (−1)² = 1 (mod 61). So",
    ),
    ("6 * 3^x = 16 mod 23", "By the table 3¹¹ = 3⁶ · 3⁵ ≡ −7 · (−10) = 70 ≡ 1 (mod 23)."),
    ("83! mod 89", "4! 1 · 2 · 3 · 4 = 24 5! 24 · 5 = 120 ≡ 31"),
    ("9^(5^11) mod 29", "So 9^(5¹¹) ≡ 9¹⁷ (mod 29)."),
    ("least primitive root mod 167", "2 1 no: 2 ≡ 169 = 13²"),
    ("least primitive root mod 733", "The powers of 2 are made from earlier ones:"),
    ("122 * 316 - 9 * 87^2 - 1 mod 12", "87² by itself. 87² ≡ 3² = 9 (mod 12). Put together."),
    ("122 * 316 - 9 * 87^2 - 1 mod 12", "≡ 2 · 4 + 3 · (−3) − 1 = −2 ≡ 10 (mod 12)"),
    ("7x + 2y = 70", "Greatest common divisor. gcd(7, 2) = 1."),
    ("29x - 11y = 3", "Take x = 2: then −11y = 3 − 29 · 2 = −55, so y = 5."),
    ("lcm(28, 54, 63)", "So lcm(28, 54, 63) = lcm(756, 63)."),
    ("lcm(28, 54, 63)", "Least common multiple. 63 divides 756, so lcm(756, 63) = 756."),
    ("inverse of 53 mod 139", "Read off. The last row says that 53 · 21 ≡ 1 (mod 139)."),
    # sentences
    ("phi(27081)", "27081 = 3³ · 1003, 1003 = 17 · 59. So 27081 = 3³ · 17 · 59."),
    ("units mod 24", "coprime to 24: if neither 2 nor 3 divides it."),
    ("number of squares mod 1372", "One of the squares is not a multiple of 2."),
    ("number of quadratic residues mod 784", "That makes 2⁴/8 = 2 quadratic residues modulo 2⁴."),
    ("quadratic residues mod 13", "the squares in the table are all different, 6 of them."),
    ("5^947 mod 11", "So the exponent may be reduced modulo 10."),
    ("is 5 a primitive root mod 47", "neither of them 1: the order of 5 is 46."),
    ("(33/109)", "So 33⁵⁴ = (33²)²⁷ ≡ (−1)²⁷ = −1 (mod 109)."),
    ("lift x = 3 mod 11 to x^2 + 7x + 58 = 0 mod 121", "The condition is 2t ≡ −8 (mod 11)."),
    ("15x = 60 mod 95", "Check. 15 · 4 = 60. And 15 · 19"),
    ("x^2 - 15x + 14 = 0 mod 77", "Modulo 11. The same product gives x ≡ 1 (mod 11) or x ≡ 14 ≡ 3"),
    # a square in sight, as it was typed or with the modulus added; every odd square modulo 8
    ("x^2 = 100 mod 37", "100 = 10². So x ≡ 10 or x ≡ −10 ≡ 27 (mod 37)"),
    ("x^2 - 9 = 0 mod 64", "9 = 3². So r = 3 will do."),
    ("x^2 - 1 = 0 mod 40", "So x is a solution modulo 8 exactly when x ≡ 1 (mod 2)."),
    # many factors are multiplied one after another
    ("20!/10! mod 23", "11 · (−11) = −121 ≡ −6 −6 · (−10) = 60 ≡ −9"),
    ("47 * 104 * 86 * 36 * 115 mod 151", "56 · (−65) = −3640 ≡ −16"),
    ("12 * 13 + 14 * 15 * 16 * 17 * 18 mod 101", "≡ 12 · 13 − 20 = 136 ≡ 35 (mod 101)"),
    # nothing is collected where numbers are reduced
    ("-3x = 5 mod 8", "Reduce. With least residues the congruence is 5x ≡ 5 (mod 8)"),
    # a class for the classes that make it up
    ("x^4 - 1 = 0 mod 16", "Answer. x ≡ 1 (mod 2), that is x ≡ 1, 3, 5, 7, 9, 11, 13, 15 (mod 16)"),
    ("x^3 - x = 0 mod 8", "Answer. x ≡ 1 (mod 2) or x ≡ 0 (mod 8), that is"),
    # pairs: the modulus with each check, the bracket multiplied out before it is reduced
    (
        "17x + 16y = 17 mod 20; 14x + 4y = 18 mod 20",
        "x ≡ −7(17 − 16y) = −119 + 112y ≡ 1 − 8y (mod 20)",
    ),
    ("9x + 2y = 9 mod 10; x + 2y = 5 mod 10", "39 ≡ 9 and 3 + 2 · 6 = 15 ≡ 5 (mod 10)."),
    # a solution that is the only one is no example
    ("x^7 = 29 mod 57", "Check. With x = 32:"),
    ("x^7 = 29 mod 57", "29³¹ ≡ 8 · 4 = 32 (mod 57)"),
    # an inverse is named where its product is near, not 23 · (−13) = −299
    ("23x = 3 mod 30", "this is −7x ≡ 63 (mod 30)"),
    # an even coefficient is not made odd first
    (
        "x^2 + 12x + 10 = 0 mod 221",
        "Modulo 17. f(x) ≡ x² + 12x − 7 (mod 17). Complete the square. (x + 6)² = x² + 12x + 36",
    ),
]

NOT_SAID = [
    ("x^3 = 5 mod 13", "Modulo 13. The congruence is"),
    ("x^2 = 33 mod 128", "So there are solutions. Modulo 128."),
    ("2x + 3y = 5 mod 12", "which says y ≡ 1"),
    ("x^2 = 100 mod 37", "26"),
    ("x^2 - 9 = 0 mod 64", "then lift"),
    ("-3x = 5 mod 8", "Bring the unknown"),
    ("x = 10 mod 14; x = 2 mod 12", "So t ≡ 2 (mod 6)."),
    ("number of solutions of x^2 = 81 mod 2800", "The right side is 1 (mod 8)."),
    ("quadratic residues mod 3", "1 of them"),
    ("number of quadratic residues mod 9947", "That makes (29 − 1)/2 = 14"),
    ("7x + 2y = 70", "each number is a multiple of 1"),
    ("least primitive root mod 733", "The least primitive root is 6."),
    ("least primitive root mod 733", "339"),
    ("10^249 + 4 mod 11", "So 10²⁴⁹ ≡ 10 (mod 11). So"),
    ("x^3 - 6x^2 + 42x + 7 = 0 mod 13", "−1 · 13"),
    ("2^x = 2 mod 17", "From here on"),
]

DECIDED = [
    ("x^2 = 45 mod 77", "Modulo 7. The congruence is x² ≡ 3 (mod 7). By Euler's criterion 3 is"),
    ("120x = 104 mod 136", "eight solutions modulo 136. Answer. The congruence has eight"),
    ("319x - 121y = 33", "there are solutions. Answer. The equation has solutions in integers."),
    ("50x + 35y = 92", "there is no solution. Answer. The equation has no solutions in integers."),
    ("x^2 + 4x + 18 = 0 mod 95", "and 81 = 9². So there is a root modulo 19. Answer."),
    ("x^2 + 4x + 18 = 0 mod 95", "2 is a root: f(2) ≡ 0 (mod 5)."),
    ("20x + 28y = 15 mod 32", "does not divide 15. Answer. The congruence has no solutions."),
]


@pytest.mark.parametrize(("statement", "words"), SAID)
def test_what_is_said(statement: str, words: str) -> None:
    assert words in told(statement)


@pytest.mark.parametrize(("statement", "words"), NOT_SAID)
def test_what_is_not_said_any_more(statement: str, words: str) -> None:
    assert words not in told(statement)


@pytest.mark.parametrize(("statement", "words"), DECIDED)
def test_whether_there_is_a_solution_ends_where_that_is_known(statement: str, words: str) -> None:
    whole = told(statement, "whether any")

    assert words in whole
    assert "All solutions." not in whole and "Hence" not in whole


def test_how_many_pairs_there_are_is_reasoned() -> None:
    assert "So each is taken for 18²/9 = 36 pairs." in told("12x + 8y = 6 mod 18", "how many")


@cache
def first_item(family: str) -> Item:
    """The first variant of a shipped family, in its first form."""
    loaded = FAMILIES[family]
    first = next(iter(Stream(loaded, "aloud", fits(loaded))))
    return item_in_form(first, loaded.forms[0])


ENDS = {
    "linear-first-wrong-line": "Answer. Line 1 is the first that is wrong.",
    "linear-missing-line": "Answer. The inverse of",
    "linear-reasons": "Answer. Modulo",
    "linear-solutions-claimed": "The claim is true: this is the answer that it names.",
}


@pytest.mark.parametrize("family", ENDS)
def test_a_worked_solution_ends_with_the_answer_to_its_question(family: str) -> None:
    """A congruence that is solved on the way has solutions, not the answer."""
    last = plain.blocks(first_item(family).solution).strip().split("\n\n")[-1]

    assert last.startswith(ENDS[family])


def test_a_later_line_is_not_said_to_follow_from_the_lines_before_it() -> None:
    said = [plain.blocks(f.text) for f in first_item("square-roots-first-wrong-line").feedback]

    assert "Before line 2 is judged, check each line above it by itself." in flat(said)
    assert "goes on from" not in flat(said)


def test_lines_that_substitute_are_told_by_substitution() -> None:
    item = first_item("system-first-wrong-line")
    told = plain.blocks(item.solution)

    assert "Line 1. With x = 2 + 15t the congruence modulo 23 becomes" in plain.blocks(item.stem)
    assert "x = 2 + 15t" in told and "product of the others" not in told


NUMBERS_ON_THE_WAY = {
    "values-of-phi-matched": r"The matches\. number goes with( \d+ \d+){3,}$",
    "linear-stage-by-stage": r"The stages\. stage what belongs there 1 \d+ 2 \d+ 3 \d+ 4 [\d, ]+$",
}


@pytest.mark.parametrize("family", NUMBERS_ON_THE_WAY)
def test_numbers_that_are_asked_for_stand_in_the_worked_solution(family: str) -> None:
    """The inverse of a coefficient by which the solution divides; the phi of each divisor."""
    told = text(first_item(family).solution)

    assert re.search(NUMBERS_ON_THE_WAY[family], told), told


@pytest.mark.parametrize("kind", ["order", "phi", "inverse", "inverses", "gcd", "factorial"])
@pytest.mark.parametrize("form", ["match", "guided"])
def test_what_has_no_roots_is_not_told_to_try_roots(kind: str, form: str) -> None:
    said = next_step(kind, "the value", form).template

    assert "root" not in said and "congruence" not in said
    assert "congruence" in next_step("polynomial", "all solutions", "guided").template


def flat(texts: list[str]) -> str:
    return " ".join(" ".join(texts).split())
