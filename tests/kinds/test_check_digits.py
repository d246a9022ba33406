"""ISBN and IBAN: how they are told, what is recorded of them, and numbers made up to be tested."""

import pytest

from itembank.kinds.check_digits.kind import KINDS
from itembank.kinds.check_digits.number import altered
from itembank.kinds.statement import problem_from
from itembank.notation import plain
from itembank.values.errors import StatementError
from tests.kinds.messages import everything_told, untold, worked
from tests.kinds.recorded import certificate, read_as_its_kind, samples


@pytest.mark.parametrize(
    ("number", "changed", "by", "swapped", "expected"),
    [
        ("0306406152", 0, 5, 0, "0306406152"),
        ("0306406152", 2, 9, 0, "0206406152"),
        ("0306406152", 0, 0, 1, "3006406152"),
        ("0306406152", 10, 1, 9, "0306406135"),
        ("080442957X", 10, 1, 0, "0804429571"),
        ("080442957X", 0, 0, 9, "080442957X"),
        ("080442957X", 0, 0, 8, "080442975X"),
    ],
)
def test_a_digit_grows_modulo_10_and_neighbours_change_places_but_for_x(
    number: str, changed: int, by: int, swapped: int, expected: str
) -> None:
    assert altered(number, {"changed": changed, "by": by, "swapped": swapped}) == expected


@pytest.mark.parametrize(
    ("changed", "swapped", "message"),
    [
        (11, 0, "given.changed: expected a place from 1 to 10, or 0 for none, got 11"),
        (0, 10, "given.swapped: expected a place from 1 to 9, or 0 for none, got 10"),
        (-1, 0, "given.changed: expected a place from 1 to 10, or 0 for none, got -1"),
    ],
)
def test_a_place_outside_the_number_is_one_clear_line(
    changed: int, swapped: int, message: str
) -> None:
    with pytest.raises(StatementError) as caught:
        altered("0306406152", {"changed": changed, "by": 1, "swapped": swapped})

    assert str(caught.value) == message


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_sample_is_of_its_kind(kind, statement):
    read_as_its_kind(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_every_certificate_is_true(kind, statement):
    assert certificate(kind, statement)


@pytest.mark.parametrize(("kind", "statement"), samples(KINDS))
def test_all_is_said_in_messages_that_hold_no_words_but_the_number(kind, statement):
    problem = problem_from([statement])

    for words in untold(everything_told(problem)):
        assert isinstance(words, str)
        assert not any(character.islower() for character in words)


def test_the_weights_and_the_congruence_are_told():
    # 27 + 42 + 24 + 3 + 10 + 2 = 108 = 9 * 11 + 9, and 4 * 3 = 12 = 1
    assert worked(problem_from(["isbn 030640?152"])).endswith(
        "2 1 2 The congruence. The known products add up to 108, so 4d + 108 ≡ 0 (mod 11). Since "
        "108 = 9 · 11 + 9, that is 4d ≡ −9 ≡ 2 (mod 11). Solve. 2 ≡ 2 + 2 · 11 "
        "= 24 = 4 · 6, and 4 is coprime to 11: d ≡ 6 (mod 11). Answer. The missing digit is 6: "
        "0306406152."
    )


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("iban QY24 5149 268?", "Answer. The missing digit is 1: QY24 5149 2681."),
        ("iban QO?? 9430 1239", "Answer. The check digits are 36: QO36 9430 1239."),
    ],
)
def test_the_answer_names_the_digits_of_an_iban(statement, told):
    assert worked(problem_from([statement])).endswith(told)


def test_the_letters_and_the_remainder_in_pieces_are_told():
    # the example of the IBAN registry: GB is 16 11, WEST is 32 14 28 29
    text = worked(problem_from(["iban GB82 WEST 1234 5698 7654 32"]))

    assert text.startswith(
        "Rearrange. Moving the first four characters to the end gives WEST 1234 5698 7654 32 GB82, "
        "and the letters become numbers: W = 32, E = 14, S = 28, T = 29, G = 16 and B = 11. The "
        "number is N = 3214282912345698765432161182."
    )
    assert text.endswith(
        "N ≡ 1 (mod 97). Answer. The remainder is 1: the IBAN GB82 WEST 1234 5698 7654 32 is valid."
    )


def test_without_a_digit_that_fits_the_remainder_for_each_is_certified():
    # the sum is 8 with 0 for the digit, which counts three times; 4 would do, but 947 is no prefix
    paragraph, remainders = certificate(KINDS[0], "isbn 9?7 0 306 40615 7")

    assert plain.inlines(paragraph.content) == "An ISBN-13 begins with 978 or 979."
    assert [tuple(map(plain.inlines, row)) for row in remainders.rows] == [
        (str(d), str((8 + 3 * d) % 10)) for d in range(10)
    ]
