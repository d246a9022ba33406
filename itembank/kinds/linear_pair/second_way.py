"""The second way for two linear congruences in two unknowns: every pair of residues tried.

Where the modulus is too large for that and the determinant D = a1 b2 - a2 b1 is prime to
it, the claimed pair is put into both congruences; it is then the only one, since D times
the difference of two solutions is 0 (multiply out).
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import gcd
from typing import Any

from itembank.second_way.kind import Kind
from itembank.second_way.reading import Congruence, congruence
from itembank.second_way.system import unknowns
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done
from itembank.values.errors import StatementError

_TRIED = 300
"""The largest modulus all of whose pairs of residues are tried."""

Row = tuple[int, int, int]
_Pair = tuple[int, int]


@dataclass(frozen=True)
class TwoUnknowns:
    """ax + by + c ≡ 0 for each row (a, b, c) of least residues; x before y in the alphabet."""

    rows: tuple[Row, Row]
    modulus: int
    hints: tuple[int, ...] = field(default=(), compare=False)


# ------------------------------------------------------------ statements


def read(lines: Sequence[str]) -> TwoUnknowns | None:
    """The question of two lines in two unknowns; None for lines of another form."""
    letters = sorted({letter for line in lines for letter in unknowns(line)})
    if len(lines) != 2 or len(letters) != 2:
        return None
    x, y = letters
    rows: list[Row] = []
    moduli: set[int] = set()
    hints: tuple[int, ...] = ()
    for line in lines:
        row, whole = _linear_form(line, x, y)
        rows.append(row)
        moduli.add(whole.modulus)
        hints += whole.hints
    if len(moduli) != 1:
        raise StatementError(
            f"statement: expected one modulus, got {', '.join(map(str, sorted(moduli)))}"
        )
    return TwoUnknowns((rows[0], rows[1]), moduli.pop(), hints)


def read_one(line: str) -> TwoUnknowns | None:
    """The question of one line in two unknowns; None for a line of another form.

    A second row 0x + 0y = 0 holds for every pair.
    """
    letters = sorted(unknowns(line))
    if len(letters) != 2:
        return None
    row, whole = _linear_form(line, *letters)
    return TwoUnknowns((row, (0, 0, 0)), whole.modulus, whole.hints)


def _linear_form(line: str, x: str, y: str) -> tuple[Row, Congruence]:
    """(a, b, c), found by putting 0 and 1 for one unknown and reading what is left of the other."""
    without_y, with_y = _with_number(line, y, 0), _with_number(line, y, 1)
    without_x = _with_number(line, x, 0)
    c, a = _padded(without_y)
    c_too, b = _padded(without_x)
    if _padded(with_y) != ((c + b) % without_y.modulus, a) or c != c_too:
        raise StatementError(
            f"statement '{line[:60]}': expected a linear congruence in {x} and {y}"
        )
    return (a, b, c), without_y


def _with_number(line: str, letter: str, n: int) -> Congruence:
    """The congruence with a number for one of its unknowns."""
    return congruence(re.sub(rf"(?<![A-Za-z]){letter}(?![A-Za-z])", f"({n})", line))


def _padded(row: Congruence) -> tuple[int, int]:
    f = row.coefficients
    if len(f) > 2:
        raise StatementError(f"statement: expected a linear congruence, got degree {len(f) - 1}")
    return (f[0] if f else 0), (f[1] if len(f) > 1 else 0)


# ------------------------------------------------------------ verdicts


@lru_cache(maxsize=64)
def _tried(question: TwoUnknowns) -> tuple[_Pair, ...] | None:
    """All pairs of least residues that solve both, increasing; None if too many to try."""
    m = question.modulus
    if m > _TRIED:
        return None
    (a1, b1, c1), (a2, b2, c2) = question.rows
    return tuple(
        (x, y)
        for x in range(m)
        for y in range(m)
        if (a1 * x + b1 * y + c1) % m == 0 and (a2 * x + b2 * y + c2) % m == 0
    )


def _holds(question: TwoUnknowns, pair: _Pair) -> bool:
    x, y = pair
    return all((a * x + b * y + c) % question.modulus == 0 for a, b, c in question.rows)


def _set_verdict(question: TwoUnknowns, claim: Sequence[_Pair]) -> Verdict:
    """Whether the pairs are exactly the solutions."""
    m, pairs = question.modulus, [(x, y) for x, y in claim]
    if len(set(pairs)) != len(pairs) or not all(0 <= n < m for pair in pairs for n in pair):
        return disagreed(
            done("the claim itself"), f"expected different pairs of residues modulo {m}"
        )
    found = _tried(question)
    if found is None:
        return _only_pair_verdict(question, pairs)
    method = done("all {n} pairs of residues tried", n=m * m)
    if missing := [pair for pair in found if pair not in pairs]:
        return disagreed(method, f"{missing[0]} is a solution, and the answer leaves it out")
    if extra := [pair for pair in pairs if pair not in found]:
        return disagreed(method, f"{extra[0]} is in the answer, and is no solution")
    return agreed(method)


def _only_pair_verdict(question: TwoUnknowns, pairs: Sequence[_Pair]) -> Verdict:
    _unique(question)
    method = done("put into both congruences; the determinant is prime to the modulus")
    if len(pairs) != 1 or not _holds(question, pairs[0]):
        return disagreed(method, f"expected the one solution, the answer holds {len(pairs)} pairs")
    return agreed(method)


def _unique(question: TwoUnknowns) -> None:
    """Undecided unless the determinant is prime to the modulus, so that there is one solution."""
    (a1, b1, _c1), (a2, b2, _c2) = question.rows
    if gcd(a1 * b2 - a2 * b1, question.modulus) != 1:
        raise Undecided(f"the pairs modulo {question.modulus} are too many to try")


def _of_count(expected: Callable[[int], Any]) -> Callable[[TwoUnknowns, Any], Verdict]:
    """A check of something that the number of solutions says."""

    def check(question: TwoUnknowns, claim: Any) -> Verdict:
        found = _tried(question)
        if found is None:
            _unique(question)
            n, method = 1, done("the determinant is prime to the modulus")
        else:
            n = len(found)
            method = done("all {n} pairs of residues tried", n=question.modulus**2)
        if claim == expected(n):
            return agreed(method)
        return disagreed(method, f"expected {n} solutions, the answer says {claim}")

    return check


KIND = Kind(
    checks={
        "all solutions": _set_verdict,
        "how many": _of_count(int),
        "whether any": _of_count(bool),
    },
    solutions=lambda question: None,
)
