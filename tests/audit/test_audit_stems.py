"""Stems in words: each sentence gives its statement, and a stem that says two things is refused."""

import pytest

from itembank.audit.phrases import phrases_of
from itembank.audit.prose import Formula
from itembank.audit.question import asked, contradictions
from itembank.audit.stems import in_words, misstated, stated
from itembank.audit.unsupported import Unsupported
from itembank.kinds.statement import problem_from
from itembank.kinds.table import KINDS, SIGNATURES
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.second_way.table import read
from tests.kinds.telling import rendered

ENGLISH = phrases_of("en")
STEM = ENGLISH.stem


STATEMENTS = [
    "inverse of 7 mod 26",
    "inverse of -3 mod 3^40",
    "7^222 mod 1000",
    "(-3)^5 mod 7",
    "2^(3^4) mod 7",
    "10! mod 11",
    "order of 7 mod 48",
    "primitive roots mod 17",
    "least primitive root mod 41",
    "number of primitive roots mod 19",
    "is there a primitive root mod 8",
    "is 3 a primitive root mod 17",
    "2^(-1) mod 7",
    "index of 5 base 3 mod 17",
    "gcd(84, 30)",
    "gcd(-84, 0, 30)",
    "lcm(-4, 6)",
    "lcm(4, 6, 9)",
    "2*7^222 - 4*3^100 mod 11",
    "-17 mod 5",
    "2^x = 4 mod 6",
    "12x + 30y = 18",
    "7u - 5v = 1",
    "number of positive solutions of 3x + 5y = 100",
    "number of non-negative solutions of 4x + 6y = 0",
    "encrypt 10 with 5x + 8 mod 26",
    "encrypt HI with 15x + 100 mod 676",
    "decrypt 7 with 3x + 1 mod 29",
    "multiplier that sends E to K and T to D mod 26",
    "encrypt 24 with exponent 95 mod 323",
    "decrypting exponent of 29 mod the prime 101",
    "private exponent of 17 for the primes 47 and 59",
    "decrypt 8 with exponent 3 mod the prime 11",
    "decrypt 62 with exponent 5 for the primes 7 and 19",
    "shared key of 7 and 39 base 5 mod 97",
    "period of 5/28",
    "digits before the period of 7/600",
    "perfect out-shuffles of 52 cards",
    "perfect in-shuffles of 8 cards",
    "digits for ? in 273?4985 divisible by 11",
    "digit for ? in 11100002? with weights 3,7,1,3,7,1,3,7,1 mod 10",
    "places where wrong digits are seen with weights 1,2,1,2,5 mod 10",
    "pairs whose exchange is seen with weights 7,3,9,7,3,9 mod 10",
    "exponent of 3 in 100!",
    "zeros at the end of 100!",
    "number of solutions of phi(x) = 24",
    "largest solution of phi(x) = 24",
    "which x have phi(x) = 24",
    "bases to which 91 is a pseudoprime",
    "c for which 6x = c mod 15 is not solvable",
    "binomial(44, 14) mod 3",
    "weekday 100 days after weekday 3",
    "hour 100 hours after 9 on a clock of 12 hours",
    "hour 1000 hours after 17 on a clock of 24 hours",
    "weekday of the day 13 in month 6 of 1902",
    "is 341 a pseudoprime to the base 2",
    "is 221 a strong pseudoprime to the base 174",
    "is 561 a carmichael number",
    "primes modulo which -6 is a quadratic residue",
    "claim: if a = b mod 4 then a^2 = b^2 mod 8",
    "c for which 6x = c mod 15 is solvable",
    "number of c for which 3x^2 = c mod 13 is solvable",
]
"""One of each kind whose stems are in words, and numbers that are typed otherwise than shown."""


def lines(problem, ask):
    """What a student reads: the question, and the claim of a true-or-false question."""
    text = " ".join(plain.blocks(rendered(problem.question(ask))).split())
    if ask == "whether any":
        claim = Speaker().text(problem.phrases.claim).replace("$", "")
        text += f" True or false: {claim}. 1 point for the right word, otherwise 0."
    return ((text,),)


@pytest.mark.parametrize("statement", STATEMENTS)
def test_the_question_is_recovered_from_its_words(statement: str) -> None:
    problem = problem_from([statement])
    for ask in problem.signature.asks:
        assert in_words(lines(problem, ask), ENGLISH) == (read(statement), ask)


def test_every_kind_is_asked_in_words_here_or_as_a_congruence() -> None:
    kinds = {problem_from([statement]).kind for statement in STATEMENTS}
    congruences = {kind for kind in KINDS if "congruence" in SIGNATURES[kind].given}

    assert {"inverse", "power", "tower", "factorial", "order", "index"} <= kinds
    assert not kinds & (congruences | {"exponential", "power_by_indices"})


@pytest.mark.parametrize(
    "words",
    [
        "find the inverse of 7 modulo 26. find the order of 7 modulo 26.",
        "decide whether 7 has an inverse modulo 26. true or false: 8 has an inverse modulo 26.",
    ],
)
def test_a_stem_that_puts_two_questions_is_refused(words: str) -> None:
    with pytest.raises(Unsupported, match="two questions"):
        in_words(((words,),), ENGLISH)


@pytest.mark.parametrize("words", ["find all solutions of", "find the inverse matrix", ""])
def test_other_words_are_no_question_in_words(words: str) -> None:
    assert in_words(((words,),), ENGLISH) is None
    assert list(stated(words, ENGLISH)) == []


def test_a_wrong_period_and_a_false_primitive_root_are_told() -> None:
    exponential = read("3^x = 5 mod 17")
    power = read("7x^5 = 3 mod 17")

    assert not list(misstated("the exponent x counts modulo 16: as", exponential, STEM))
    assert not list(misstated("here x is taken modulo 16 = φ(17): exponents", exponential, STEM))
    assert list(misstated("here x is taken modulo 17 = φ(17): exponents", exponential, STEM))
    assert not list(misstated("give x modulo 16 = φ(17).", exponential, STEM))
    assert list(misstated("give x modulo 17 = φ(17).", exponential, STEM))
    assert list(misstated("the exponent x counts modulo 17: as", exponential, STEM)) == [
        "stem: expected exponents modulo 16, got modulo 17"
    ]
    assert not list(misstated("use indices: 3 is a primitive root modulo 17.", power, STEM))
    assert list(misstated("use indices: 2 is a primitive root modulo 17.", power, STEM)) == [
        "stem: expected a primitive root modulo 17, got 2"
    ]


RULE = " 1 point for the right word, otherwise 0."


@pytest.mark.parametrize(
    ("words", "strange"),
    [
        (
            "Decide whether 3 is a square modulo 7. True or false: 3 is no square modulo 7.",
            "true or false: 3 is no square modulo 7",
        ),
        (
            "Decide whether 3 has no inverse modulo 7. True or false: 3 has an inverse modulo 7.",
            "whether 3 has no inverse modulo 7",
        ),
        (
            "Decide whether there is a solution of x^2 ≡ 2 (mod 7). True or false: the congruence "
            "has no solution.",
            "true or false: the congruence has no solution",
        ),
    ],
)
def test_a_claim_that_is_denied_is_not_the_question_beside_it(words: str, strange: str) -> None:
    with pytest.raises(Unsupported, match=f"says '{strange}"):
        asked(((words + RULE,),), ENGLISH)


@pytest.mark.parametrize(
    "beside",
    [
        "Find the number of solutions.",
        "How many are there?",
        "What is their sum?",
        "Is there any?",
        "Count those below 5.",
        "Which of them is least?",
    ],
)
def test_a_second_question_that_is_not_known_leaves_the_first_unchecked(beside: str) -> None:
    question = "Find all solutions of x^2 + 9x + 5 ≡ 0 (mod 117). "

    with pytest.raises(Unsupported, match=f"says '{beside.lower().strip('.?')}"):
        asked(((question + beside + " Tick exactly the right ones." + RULE,),), ENGLISH)


def test_the_words_for_no_solution_say_that_there_is_none() -> None:
    words = (
        "Find all squares modulo 7. Type all of them as least residues (0 to 6), in increasing "
        "order. If there is none, type “{none}”. 1 point for exactly the right list, otherwise 0."
    )
    right, wrong = (asked(((words.format(none=n),),), ENGLISH) for n in ("none", "all"))

    assert (right.none, right.faults) == ("none", ())
    assert wrong.faults == ("stem: expected words for no solution, got “all”",)


def test_a_congruence_is_heard_as_it_is_shown_where_the_question_is_in_words() -> None:
    def stem(spoken: str):
        formula = Formula("x^3 ≡ 5 (mod 31)", spoken)
        rule = "Choose the right answer. 1 point for the right answer, otherwise 0."
        return (("Find the number of solutions of",), (formula,), (rule,))

    right = asked(stem("x cubed is congruent to 5, modulo 31"), ENGLISH)
    wrong = asked(stem("x squared is congruent to 5, modulo 31"), ENGLISH)

    assert right.faults == ()
    assert wrong.faults == (
        "stem: expected the congruence in its spoken form, got "
        "'x squared is congruent to 5, modulo 31'",
    )


def test_a_stem_about_integers_speaks_of_no_residues_and_of_no_modulus():
    words = "it is one residue class modulo 12. type its least residue (0 to 11)"

    assert list(contradictions(words, None, STEM)) == [
        "stem: expected no residues without a modulus, got 0 to 11",
        "stem: expected no modulus, got 12",
    ]
    assert list(contradictions(words, 12, STEM)) == []
