"""Stems about squares, symbols, units, phi and check digits: each gives its statement again."""

import pytest

from itembank.audit.phrases import phrases_of
from itembank.audit.stems import in_words
from itembank.audit.unsupported import Unsupported
from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.second_way.table import read
from tests.kinds.telling import rendered

ENGLISH = phrases_of("en")


STATEMENTS = [
    "squares mod 13",
    "quadratic residues mod 15",
    "number of squares mod 1000",
    "number of quadratic residues mod 720",
    "is 2 a square mod 15",
    "is -3 a square mod 7",
    "(3/7)",
    "(-2/15)",
    "(45/77)",
    "units mod 12",
    "zero divisors mod 12",
    "number of zero divisors mod 360",
    "inverses mod 12",
    "phi(36)",
    "lambda(561)",
    "isbn 030640615?",
    "isbn 97803064?6157",
    "isbn 080442957X",
    "iban QM?? 1234 5678",
    "iban QM84 0?0",
    "iban GB82 WEST 1234 5698 7654 32",
]


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


@pytest.mark.parametrize(
    "words",
    [
        "find all units modulo 12. find all zero divisors modulo 12.",
        "decide whether 2 is a square modulo 15. true or false: 3 is a square modulo 15.",
        "decide whether the isbn 080442957x is valid. true or false: the isbn 0804429570 is valid.",
    ],
)
def test_a_stem_that_puts_two_questions_is_refused(words: str) -> None:
    with pytest.raises(Unsupported, match="two questions"):
        in_words(((words,),), ENGLISH)


@pytest.mark.parametrize(
    "words", ["find the value of (3/7)", "find all squares", "in the isbn 03064 something else"]
)
def test_other_words_are_no_question_in_words(words: str) -> None:
    assert in_words(((words,),), ENGLISH) is None
