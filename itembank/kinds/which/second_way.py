"""The second way for which of several congruences: every residue is put into each of them.

Solutions of congruences with different moduli are compared as integers, over a common multiple.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import lcm

from itembank.second_way import power_root
from itembank.second_way.congruence import solutions_by_trial
from itembank.second_way.kind import Kind
from itembank.second_way.power_root import PowerOfUnknown
from itembank.second_way.reading import Congruence, congruence
from itembank.second_way.verdict import Undecided, Verdict, agreed, disagreed, done

_COMPARED = 200_000
"""The largest common multiple over which solutions are compared."""

_MOST = 12
"""The most congruences to choose from."""

One = Congruence | PowerOfUnknown


@dataclass(frozen=True)
class Which:
    """What is asked for, and the congruences from which one is chosen.

    number: of solutions, None for any but 0.  like: the congruence whose solutions are meant.
    """

    number: int | None = None
    like: One | None = None
    offered: tuple[One, ...] = field(default=(), compare=False)
    hints: tuple[int, ...] = field(default=(), compare=False)
    modulus: None = field(default=None, compare=False)


_FORM = re.compile(
    r"which (?:is solvable|has (?:exactly )?(?P<number>\d{1,3}) solutions?"
    r"|has the same solutions as (?P<like>.+))",
    re.I,
)


def read(lines: Sequence[str]) -> Which | None:
    """The question of "which is solvable" and of the congruences after it; None for another."""
    match = _FORM.fullmatch(" ".join(lines[0].split()).rstrip(":?"))
    if not match:
        return None
    return Which(
        number=int(match["number"]) if match["number"] else None,
        like=_one(match["like"]) if match["like"] else None,
        offered=tuple(map(_one, lines[1:])),
    )


def _one(line: str) -> One:
    return power_root.read(line) or congruence(line)


@lru_cache(maxsize=256)
def _solutions(found: One) -> tuple[int, ...]:
    """All least residues that solve it; Undecided for a large modulus."""
    if isinstance(found, PowerOfUnknown):
        tried = power_root.tried(found.k, found.a, found.modulus)
    else:
        tried = solutions_by_trial(found)
    if tried is None:
        raise Undecided(f"the residues modulo {found.modulus} are too many to try")
    return tried


def _integers(found: One, whole: int) -> frozenset[int]:
    """The integers from 0 to whole - 1 that solve it."""
    return frozenset(x for r in _solutions(found) for x in range(r, whole, found.modulus))


def _is_right(question: Which, found: One) -> bool:
    if question.like is None:
        n = len(_solutions(found))
        return n > 0 if question.number is None else n == question.number
    whole = lcm(found.modulus, question.like.modulus)
    if whole > _COMPARED:
        raise Undecided(f"solutions modulo {whole} are too many to compare")
    return _integers(found, whole) == _integers(question.like, whole)


def _check(question: Which, claim: int) -> Verdict:
    """Whether the congruence of this number, counted from 0, is right, and it alone."""
    if not 2 <= len(question.offered) <= _MOST:
        raise Undecided(f"{len(question.offered)} congruences to choose from")
    right = [n for n, found in enumerate(question.offered) if _is_right(question, found)]
    method = done("all residues put into every congruence")
    if right == [claim]:
        return agreed(method)
    named = ", ".join(str(n + 1) for n in right) or "none"
    return disagreed(method, f"expected {named} of the congruences, the answer says {claim + 1}")


KIND = Kind(checks={"the value": _check, "which": _check}, solutions=lambda question: None)
