"""The second way for the right sides of a solvable congruence: every residue is put into the left.

By the definition alone: c is one of them if some residue gives it.
"""

import re
from dataclasses import dataclass, field
from functools import lru_cache

from itembank.second_way import listed
from itembank.second_way.congruence import value
from itembank.second_way.kind import Kind
from itembank.second_way.reading import congruence
from itembank.second_way.verdict import Method, Undecided, Verdict, agreed, disagreed, done

_TRIED = 100_000
"""The largest modulus all of whose residues are put in."""


@dataclass(frozen=True)
class Sides:
    """The values modulo `modulus` of the polynomial `left`, constant first; or their number.

    denied: the residues that are no value."""

    left: tuple[int, ...]
    modulus: int
    number: bool
    denied: bool = False
    hints: tuple[int, ...] = field(default=(), compare=False)


_FORM = re.compile(
    r"(?P<number>(?:the )?number of )?c for which (?P<left>[^=≡]+)[=≡] ?c,? ?"
    r"(?P<mod>\(?mod.+?) is (?P<denied>not )?solvable",
    re.I,
)


def read(statement: str) -> Sides | None:
    """The question of "c for which 6x = c mod 15 is solvable"; None for another form."""
    match = _FORM.fullmatch(" ".join(statement.split()))
    if not match:
        return None
    found = congruence(f"{match['left']} = 0 {match['mod']}")
    return Sides(found.coefficients, found.modulus, bool(match["number"]), bool(match["denied"]))


@lru_cache(maxsize=128)
def _values(question: Sides) -> tuple[int, ...]:
    """All values, increasing; or all residues that are none."""
    m = question.modulus
    if m > _TRIED:
        raise Undecided(f"the residues modulo {m} are too many to put in")
    found = {value(question.left, x, m) for x in range(m)}
    return tuple(c for c in range(m) if (c in found) != question.denied)


def _members(question: Sides) -> tuple[tuple[int, ...], Method]:
    if question.number:
        raise Undecided("a set where a number is claimed")
    return _values(question), done("all {m} residues put in", m=question.modulus)


def _value_verdict(question: Sides, claim: int) -> Verdict:
    if not question.number:
        raise Undecided("a number where a set is claimed")
    found, method = (
        len(_values(question)),
        done("all {m} residues put in", m=question.modulus),
    )
    if claim == found:
        return agreed(method)
    return disagreed(method, f"expected {found}, the answer says {claim}")


def _solutions(question: Sides) -> tuple[int, ...] | None:
    return None if question.number else _values(question)


KIND = Kind(checks={**listed.checks(_members), "the value": _value_verdict}, solutions=_solutions)
