"""Missing digits: published examples, every small number with a gap, 0 and 9 together."""

import pytest

from itembank.kinds.base import Kind
from itembank.kinds.missing_digits.kind import KINDS
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.pipeline.selection import fits, item_in_form
from itembank.pipeline.variants import Stream
from itembank.second_way.table import decide
from itembank.values.errors import StatementError
from tests.kinds.recorded import certificate, read_as_its_kind, samples
from tests.shipped import FAMILIES


def digits(text: str, m: int) -> tuple[int, ...]:
    problem = problem_from([f"digits for ? in {text} divisible by {m}"])
    return problem.solve().answer.residues()


@pytest.mark.parametrize(
    ("number", "m"),
    [
        # W. Stein, Elementary Number Theory: Primes, Congruences, and Secrets, 1.1.3
        (1275, 3),
        (425, 5),
        # D. M. Burton, Elementary Number Theory, 4.3
        (1571724, 9),
        (176521221, 9),
        # R. Ireton, math4011, 4.3.11: 273*49*5 divisible by 495
        (27374985, 495),
    ],
)
def test_a_published_number_is_found_again_whatever_digit_is_missing(number: int, m: int) -> None:
    text = str(number)
    for i in range(1, len(text)):
        assert int(text[i]) in digits(f"{text[:i]}?{text[i + 1 :]}", m)


def test_the_published_gaps_are_filled_by_one_digit_each() -> None:
    assert digits("273?4985", 495) == (7,)
    assert digits("273749?5", 495) == (8,)


@pytest.mark.parametrize("m", [2, 3, 4, 7, 8, 9, 11, 12, 25, 27, 36, 37, 99, 143])
def test_exactly_the_digits_that_divide_are_found(m: int) -> None:
    for text in ("1?", "34?", "5?2", "70?4", "8?000", "9999?"):
        expected = tuple(d for d in range(10) if int(text.replace("?", str(d))) % m == 0)
        assert digits(text, m) == expected


def test_nought_and_nine_both_do() -> None:
    assert digits("45?", 9) == (0, 9)
    statement = "digits for ? in 45? divisible by 9"
    both, one = ([(10, [(d, 10) for d in found])] for found in ((0, 9), (0,)))
    assert decide(statement, "all solutions", both).status == "agreed"
    assert decide(statement, "all solutions", one).status == "disagreed"


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind_and_certified(kind: Kind, statement: str) -> None:
    read_as_its_kind(kind, statement)
    certificate(kind, statement)


@pytest.mark.parametrize(
    ("statement", "message"),
    [
        ("digits for ? in 4?5? divisible by 9", "expected one question mark, got 4\\?5\\?"),
        ("digits for ? in ?45 divisible by 9", "a first digit above 0"),
        ("digits for ? in 4?5 divisible by 1", "a divisor from 2 to 10000, got 1"),
    ],
)
def test_what_is_no_question_is_refused(statement: str, message: str) -> None:
    with pytest.raises(StatementError, match=message):
        problem_from([statement])


def test_no_residues_are_spoken_of_where_digits_are_typed() -> None:
    family = FAMILIES["missing-digit-nine"]
    variant = next(iter(Stream(family, "digits", fits(family, "list"))))

    stem = plain.blocks(item_in_form(variant, "list").stem)

    assert "residue" not in stem
    assert "Type all of them in increasing order" in " ".join(stem.split())
