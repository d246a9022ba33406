"""The missing digit of an ISBN, and the test of a whole one, with their steps."""

from itembank.kinds.base import Solution
from itembank.kinds.check_digits.isbn.number import MODULI, WEIGHTS, Isbn, character_of, place_fault
from itembank.kinds.check_digits.isbn.steps import Complete, Divide, SolveForDigit, Weigh
from itembank.kinds.check_digits.number import digit_value
from itembank.values.answer import Absent, Truth, Value


def missing_digit(isbn: Isbn) -> Solution[Value | Absent]:
    """The digit for the one `?`; absent where no digit from 0 to 9, or X at the end, fits."""
    m, w = isbn.modulus, isbn.weights[isbn.place]
    weigh = weighing(isbn.text)
    right, inverse = -weigh.total % m, pow(w, -1, m)
    x = right * inverse % m
    number = isbn.text.replace("?", character_of(x))
    reason = place_fault(number)
    steps = (
        weigh,
        SolveForDigit(m, w, weigh.total, right, inverse, x),
        Complete(number, x, reason),
    )
    return Solution(Absent(reason) if reason else Value(x), steps)


def tested(isbn: Isbn) -> Solution[Truth]:
    """Whether a number without `?` is valid."""
    m, weigh = isbn.modulus, weighing(isbn.text)
    quotient, remainder = divmod(weigh.total, m)
    step = Divide(isbn.text, m, weigh.total, quotient, remainder)
    return Solution(Truth(remainder == 0), (weigh, step))


def weighing(text: str) -> Weigh:
    weights = WEIGHTS[len(text)]
    rows = tuple(
        (c, w, None if c == "?" else digit_value(c) * w) for c, w in zip(text, weights, strict=True)
    )
    return Weigh(MODULI[len(text)], rows, sum(product or 0 for _c, _w, product in rows))
