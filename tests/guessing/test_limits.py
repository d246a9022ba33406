"""Questions from anywhere end the guessing soon, and with no error."""

import pytest

from itembank.guessing.figures import Tally
from tests.guessing.handmade import chosen, question, ticked

MERSENNE = 2**607 - 1

ROWS = (
    f"x^2+3*x=5 (mod {MERSENNE})",
    f"{MERSENNE}*x=0 (mod {MERSENNE * 64})"[:300],
    f"0*x=0 (mod {10**40})",
    f"x^{10**12 + 39}=5 (mod 3233)",
    "x^(-1)=5 (mod 7)",
    "3^(5-x)=5 (mod 7)",
    "(" * 150 + "x" + ")" * 140 + "=1 (mod 5)",
    "x" * 280 + "=1 (mod 5)",
    "x^2^3=1 (mod 5)",
    "a*x+b*y+c*z=1 (mod 5)",
)


@pytest.mark.parametrize("row", ROWS)
def test_a_strange_congruence_is_guessed_or_left(row: str):
    options = ("{-1, 3}", "{2}", "{" + "9" * 300 + "}", "no solutions")
    boxes = [str(n) for n in range(-2, 36)]
    for n, asked in enumerate(
        (
            chosen(*options, row=row),
            ticked(*boxes, row=row),
            question("list", (), row, "all solutions"),
        )
    ):
        tally = Tally(asked.form)
        for _ in range(2):
            tally.meet([(asked, (3,) if n == 2 else ("o1",))], steps=5)
        assert tally.figures().questions == 2


def test_a_label_longer_than_any_number_is_read_as_words():
    tally = Tally("select one")
    tally.meet([(chosen("9" * 5000, "3", "4"), ("o2",))])

    assert tally.figures().questions == 1


def test_a_question_without_options():
    tally = Tally("select all")
    tally.meet([(ticked(), ())])

    assert tally.figures().questions == 1
