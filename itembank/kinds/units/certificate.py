"""What a reviewer can check by hand about units and zero divisors.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 2.1.
"""

from math import gcd
from typing import Any

from itembank.kinds.modular import Modular
from itembank.languages import Telling, grid, lead, say
from itembank.notation.building import added, dotted, equal
from itembank.values.answer import Pairs, ResidueSet

_COUNTED = 100_000
"""A modulus up to this has its residues counted."""


def coprime_counted(problem: Modular, answer: ResidueSet) -> Telling:
    """How many residues are coprime to the modulus, and how many the answer lists."""
    m = problem.modulus
    if m <= _COUNTED:
        yield lead("Counted.")
        yield say(
            "${n}$ residues are coprime to ${m}$; the answer lists ${k}$.",
            n=sum(gcd(x, m) == 1 for x in range(m)),
            m=m,
            k=answer.count,
        )


def products(problem: Any, answer: Pairs) -> Telling:
    """Each pair multiplied, a multiple of the modulus and 1."""
    m = problem.modulus
    if answer.pairs:
        yield grid(
            (say("residue"), say("inverse"), say("product")),
            [
                (a, b, equal(a * b, added([dotted([a * b // m, m]), a * b % m])))
                for a, b in answer.pairs
            ],
            row_heads=True,
        )
