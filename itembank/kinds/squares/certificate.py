"""What a reviewer can check by hand about squares: the table of all of them."""

from itembank.kinds.modular import Modular
from itembank.languages import Telling, grid, lead, say
from itembank.notation.tree import Letter

_TABLED = 60
"""A modulus up to this has the table of its squares."""


def all_squares(problem: Modular, _answer: object) -> Telling:
    m = problem.modulus
    if m <= _TABLED:
        yield lead("All squares.")
        yield say("$-x$ has the square of $x$: half of the residues are enough.")
        yield grid(
            (Letter("x"), say("$x^2$ modulo {m}", m=m)),
            [(x, x * x % m) for x in range(m // 2 + 1)],
            row_heads=True,
        )
