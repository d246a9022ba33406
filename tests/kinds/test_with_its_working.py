"""Steps of worked solutions whose numbers once came from nowhere, or said more than was needed."""

import pytest

from itembank.kinds.statement import problem_from
from itembank.notation import plain
from tests.kinds.telling import rendered

TOLD = {
    "weekday of 1.3.1900": ("474 are divisible by 4, 18 by 100 and 4 by 400",),
    "multiplier that sends 16 to 13 and 12 to 20 mod 43": (
        "The shift. b ≡ 13 − 9 · 16 = −131 ≡ 41 (mod 43).",
    ),
    "decrypt 269 with 121x + 205 mod 676": (
        "Divide 676 by 121",
        "x ≡ 257 · 64 = 16448 ≡ 224 (mod 676)",
    ),
    "shared key of 11 and 49 base 2 mod 53": ("2² ≡ 4 (mod 53)", "2⁶ ≡ 2 · 32 = 64 ≡ 11 (mod 53)"),
    "phi(x) = 162": ("243 162 1 1, 2 243, 486",),
    "binomial(410, 58) mod 7": ("C(4, 2) = 6", "1 · 1 · 2 · 6 = 12 ≡ 5 (mod 7)"),
    "digits before the period of 3/2750": ("10³ is the least power of 10 that 2 · 5³ divides",),
    "is 221 a strong pseudoprime to the base 64": (
        "64¹¹⁰ ≡ 38² = 1444 ≡ −103 (mod 221)",
        "The first power is not 1, and none of them is −1.",
    ),
    "is 187 a pseudoprime to the base 49": ("≡ 38 (mod 187) This is not 1.",),
    "pairs whose exchange is seen with weights 2,6,3,4,8,6,3 mod 10": ("3 2 1 always",),
    "digits for ? in 160?3 divisible by 7": ("the number is 16003 = 2286 · 7 + 1, and",),
    "primes modulo which 7 is a quadratic residue": (
        "The prime. Let p be",
        "The squares modulo 7 are, without 0, 1, 2, 4.",
    ),
}
"""What stands in the worked solution of a statement."""

UNTOLD = {
    "binomial(672, 40) mod 5": ("0 ·", "5⁰"),
    "multiplier that sends H to Z and C to C mod 26": ("C = 2 and C = 2",),
    "decrypt 34 with exponent 13 for the primes 17 and 11": ("0 + 17",),
    "digit for ? in 1?177671 with weights 8,7,6,5,4,3,2,1 mod 11": ("0 = 7 · 0", "least residue"),
    "perfect in-shuffles of 70 cards": ("The order of 2 modulo 71 is 35",),
    "primes modulo which 5 is a quadratic residue": ("Split the number",),
}
"""What does not."""


def worked(statement: str) -> str:
    problem = problem_from([statement])
    return " ".join(plain.blocks(rendered(problem.worked(problem.solve()))).split())


@pytest.mark.parametrize(("statement", "words"), TOLD.items(), ids=list(TOLD))
def test_the_working_is_told(statement: str, words: tuple[str, ...]) -> None:
    told = worked(statement)

    assert [w for w in words if w not in told] == [], told


@pytest.mark.parametrize(("statement", "words"), UNTOLD.items(), ids=list(UNTOLD))
def test_nothing_is_told_twice_or_for_nothing(statement: str, words: tuple[str, ...]) -> None:
    told = worked(statement)

    assert [w for w in words if w in told] == [], told
