"""Questions about single lines of a solution, judged: each line is a claim, proved by itself.

A line is read from its words: all solutions modulo a number are found the second way, an identity
is multiplied out, numbers are divided.  The right answer to the question is found from that alone:
the first line that is not so; the one line offered that is so and stands where the method needs
it.  A line that is none of those known here is unchecked.  Reasons are judged in `reasons`.

Notation: m modulus, p prime, k exponent, q a divisor of m; f left side minus right side.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import lcm, prod
from typing import Any

from itembank.audit.budget import TRIED
from itembank.audit.derivation import (
    congruence_of,
    factors,
    listed,
    modulo,
    solved_modulo,
    words_of,
)
from itembank.audit.phrases import Phrases
from itembank.audit.prose import Lines, text_of
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.second_way.system import System
from itembank.second_way.table import Congruence, Question, read, solutions
from itembank.second_way.verdict import done
from itembank.values.errors import StatementError
from itembank.values.worded import worded, wording

HOW = done("each line proved by itself, from its words")

_Place = tuple[int, int]
"""Where a line stands in the method: which prime power, which step there."""


@dataclass(frozen=True)
class _Told:
    """What a line claims: whether it is so, where the method has it, and what it is about.

    `about` is equal for lines that claim different things of the same.  `gives` is a congruence
    that the next line has to use.
    """

    true: bool
    place: _Place
    about: str
    gives: str = ""
    uses: str = ""


@dataclass(frozen=True)
class _Numbered:
    """The lines of a stem by their numbers; None for one left out."""

    lines: tuple[str | None, ...]

    @property
    def missing(self) -> int:
        """The place of the one line left out."""
        found = [i for i, line in enumerate(self.lines) if line is None]
        if len(found) != 1:
            raise Unsupported(worded("a solution with {n} lines left out", n=len(found)))
        return found[0]


def _numbered_lines(stem: Lines, phrases: Phrases) -> _Numbered:
    """The numbered lines of a stem, which must be 1, 2, 3, ..."""
    found: list[str | None] = []
    for line in stem:
        text = words_of(text_of((line,)))
        if match := phrases.lines.numbered.fullmatch(text):
            if int(match[1]) != len(found) + 1:
                raise Unsupported(
                    worded("line {number} after {n} lines", number=match[1], n=len(found))
                )
            found.append(None if match[2] == "?" else match[2])
    if not found:
        raise Unsupported(worded("a solution without numbered lines"))
    return _Numbered(tuple(found))


# ------------------------------------------------------------ what lines claim


def _numbers_in(text: str, joint: str) -> tuple[int, ...]:
    """The integers of a list, its last joint a word or a comma."""
    parts = re.split(rf",? (?:{joint}) |, ?", text)
    if not all(re.fullmatch("[0-9]{1,20}", part) for part in parts):
        raise Unsupported(worded("the list '{text}'", text=text[:60]))
    return tuple(map(int, parts))


def _formulas_in(text: str, joint: str) -> list[str]:
    """The congruences of a list, each with its modulus."""
    return [part.strip() for part in re.split(rf"(?<=\)),? (?:{joint}) |(?<=\)), ?", text)]


def _solutions_told(question: Congruence, groups: Sequence[str], phrases: Phrases) -> _Told:
    """All solutions modulo q: the second way finds them anew."""
    q = int(groups[0])
    found = _numbers_in(groups[1], phrases.answer.joint)
    right = solved_modulo(question, q)
    return _Told(found == right, _place_of(question, q), f"solutions modulo {q}")


DIVIDED, INVERTED, CLASS, SPREAD = ((0, j) for j in range(4))
"""Where the lines on a linear congruence stand: divided, an inverse, one class, all solutions."""


def linear(question: Congruence) -> bool:
    return len(question.coefficients) == 2


def _place_of(question: Congruence, q: int) -> _Place:
    """Where the solutions modulo q are found; Unsupported where the method has no such step."""
    if linear(question):
        if q != question.modulus:
            raise Unsupported(
                worded(
                    "solutions modulo {q} on the way to {modulus}", q=q, modulus=question.modulus
                )
            )
        return SPREAD
    split_up = factors(question.modulus)
    for i, (p, k) in enumerate(split_up):
        for j in range(1, k + 1):
            if q == p**j:
                return (i, j)
    if q != question.modulus:
        raise Unsupported(
            worded("solutions modulo {q} on the way to {modulus}", q=q, modulus=question.modulus)
        )
    return (len(split_up), 1)


def _square_told(question: Congruence, groups: Sequence[str], _phrases: Phrases) -> _Told:
    """The congruence modulo p as a square: both sides multiplied out."""
    identity = read_or_unsupported(groups[0])
    left, _, right = groups[0].partition("≡")
    p = identity.modulus
    stated = read_or_unsupported(f"{left} = 0 mod {p}")
    if stated.coefficients != modulo(question, p).coefficients:
        raise Unsupported(
            worded("the polynomial {left}, which is not that of the congruence", left=left[:60])
        )
    if not _SQUARE.fullmatch(right.rpartition("(mod")[0].strip()):
        raise Unsupported(worded("{right}, where a square is expected", right=right[:60]))
    place, _ = _place_of(question, p)
    return _Told(not identity.coefficients, (place, 0), f"square modulo {p}")


def _divided_told(question: Congruence, groups: Sequence[str], _phrases: Phrases) -> _Told:
    """Another congruence with the same solutions: both solved, as integers."""
    stated = read_or_unsupported(groups[1])
    m, m1 = question.modulus, stated.modulus
    if not linear(question) or m % m1:
        raise Unsupported(worded("a congruence modulo {m1} in place of one modulo {m}", m1=m1, m=m))
    below = set(_solved(stated))
    right = {x for x in range(small(m)) if x % m1 in below}
    return _Told(right == set(_solved(question)), DIVIDED, "the congruence divided")


def _inverse_told(question: Congruence, groups: Sequence[str], _phrases: Phrases) -> _Told:
    """A product that leaves 1."""
    a, m1, u = map(int, groups)
    if not linear(question) or question.modulus % m1:
        raise Unsupported(
            worded(
                "an inverse modulo {m1} on the way to {modulus}", m1=m1, modulus=question.modulus
            )
        )
    return _Told(a * u % m1 == 1, INVERTED, f"inverse of {a} modulo {m1}")


def _class_told(question: Congruence, groups: Sequence[str], _phrases: Phrases) -> _Told:
    """The solutions are one class of integers."""
    r, m1 = map(int, groups)
    if not linear(question) or question.modulus % m1 or not 0 <= r < m1:
        raise Unsupported(worded("the class of {r} modulo {m1}", r=r, m1=m1))
    right = tuple(range(r, small(question.modulus), m1))
    return _Told(_solved(question) == right, CLASS, "the class of solutions")


def _solved(question: Congruence) -> tuple[int, ...]:
    return solved_modulo(question, question.modulus)


_SQUARE = re.compile(
    r"(?:[0-9]+\()?(?:\({1,2}[a-z] [-+−] [0-9]+\){1,2}|[a-z])(?:\^2|²) [-−] [0-9]+\)?"
)
"""a((x + h)^2 - s), without the brackets of a where it is 1, and of the shift where it is 0."""


def _multipliers_told(question: Congruence, groups: Sequence[str], phrases: Phrases) -> _Told:
    """For each prime power a number that is 1 modulo it and 0 modulo the others."""
    split_up = factors(question.modulus)
    powers = [p**k for p, k in split_up]
    claims: dict[tuple[int, int], int] = {}
    multipliers: list[int] = []
    for formula in _formulas_in(groups[0], phrases.answer.joint):
        match = re.fullmatch(r"([0-9]+) ≡ ([01]) \(mod ([0-9]+)\)", formula)
        if match is None:
            raise Unsupported(worded("the multiplier '{formula}'", formula=formula[:60]))
        e, r, q = map(int, match.groups())
        claims[e, q] = r
        multipliers += [e] if e not in multipliers else []
    wanted = {(e, q): int(i == j) for i, e in enumerate(multipliers) for j, q in enumerate(powers)}
    if len(multipliers) != len(powers) or claims != wanted:
        raise Unsupported(worded("multipliers that are not each claimed modulo each prime power"))
    true = all(e % q == r for (e, q), r in claims.items())
    return _Told(true, (len(split_up), 0), "multipliers")


def read_or_unsupported(statement: str) -> Congruence:
    try:
        found = read(statement)
    except StatementError as reason:
        raise Unsupported(wording(reason)) from None
    if not isinstance(found, Congruence):
        raise Unsupported(
            worded("'{statement}', which is no congruence in one unknown", statement=statement[:60])
        )
    return found


def _substituted_told(question: System, groups: Sequence[str], _phrases: Phrases) -> _Told:
    """x = r + Mt put into the congruence modulo m: every t tried in both."""
    r, known, m = map(int, groups[:3])
    own = _congruence_modulo(question, m)
    stated = read_or_unsupported(groups[3])
    if stated.modulus != m or m == known:
        raise Unsupported(
            worded(
                "a congruence modulo {modulus} in place of one modulo {m}",
                modulus=stated.modulus,
                m=m,
            )
        )
    right = tuple(t for t in range(m) if _value(own, r + known * t) % m == 0)
    place = (_taken_in(question, known), 0)
    return _Told(_solved(stated) == right, place, f"substituted modulo {m}", gives=groups[3])


def _parameter_told(question: System, groups: Sequence[str], _phrases: Phrases) -> _Told:
    """A congruence for the parameter, solved."""
    stated = read_or_unsupported(groups[0])
    t, m = map(int, groups[1:])
    if stated.modulus != m:
        raise Unsupported(
            worded(
                "solutions modulo {m} of a congruence modulo {modulus}", m=m, modulus=stated.modulus
            )
        )
    place = (_place_of_modulus(question, m), 1)
    about = f"solutions of {groups[0]}"
    return _Told(_solved(stated) == (t,), place, about, uses=groups[0])


def _together_told(question: System, groups: Sequence[str], phrases: Phrases) -> _Told:
    """Some of the congruences hold together for one class of integers."""
    moduli = _numbers_in(groups[0], phrases.answer.joint)
    x, product = map(int, groups[1:])
    rows = tuple(_congruence_modulo(question, m) for m in moduli)
    if product != lcm(*moduli) or not 0 <= x < product:
        raise Unsupported(
            worded(
                "the class of {x} modulo {product} for moduli {moduli}",
                x=x,
                product=product,
                moduli=listed(moduli),
            )
        )
    right = solutions(System(rows, product))
    place = (_taken_in(question, product) - 1, 2)
    return _Told(right == (x,), place, f"together modulo {product}")


def _congruence_modulo(question: System, m: int) -> Congruence:
    found = [row for row in question.congruences if row.modulus == m]
    if len(found) != 1:
        raise Unsupported(worded("{n} congruences modulo {m}", n=len(found), m=m))
    return found[0]


def _taken_in(question: System, known: int) -> int:
    """How many of the congruences are known, where their moduli have this product."""
    found = [row.modulus for row in question.congruences if known % row.modulus == 0]
    if prod(found) != known:
        raise Unsupported(
            worded("{known}, which is no product of moduli of the system", known=known)
        )
    return len(found)


def _place_of_modulus(question: System, m: int) -> int:
    """Where the congruence modulo m is taken in; it is told by the line before."""
    _congruence_modulo(question, m)
    return _WHEREVER


def _value(question: Congruence, x: int) -> int:
    return sum(c * x**i for i, c in enumerate(question.coefficients))


_WHEREVER = -1
"""The place of a line that only the line before it tells."""

_CLAIMS: dict[str, Callable[[Any, Sequence[str], Phrases], _Told]] = {
    "solutions": _solutions_told,
    "square": _square_told,
    "multipliers": _multipliers_told,
    "divided": _divided_told,
    "inverse": _inverse_told,
    "class": _class_told,
}
"""What is made of a line on a congruence, by the names of the claims in a language's phrases."""

_CLAIMS_ON_SYSTEMS: dict[str, Callable[[Any, Sequence[str], Phrases], _Told]] = {
    "substituted": _substituted_told,
    "parameter": _parameter_told,
    "together": _together_told,
}
"""The same for a system."""


def _asked_about(question: Question) -> Congruence | System:
    if isinstance(question, System) and question.modulus <= TRIED:
        return question
    return congruence_of(question)


def _told_line(question: Congruence | System, line: str, phrases: Phrases) -> _Told:
    words = words_of(line)
    known = _CLAIMS_ON_SYSTEMS if isinstance(question, System) else _CLAIMS
    for name, pattern in phrases.lines.claims.items():
        match = pattern.fullmatch(words)
        if match and name in known:
            return known[name](question, match.groups(), phrases)
    raise Unsupported(worded("the line '{line}'", line=line[:60]))


# ------------------------------------------------------------ what the method needs


def _needed(question: Congruence | System) -> list[_Place]:
    """The steps that the method needs, in its order: solutions modulo each p^j, then modulo m.

    A completed square, and multipliers, may stand where they belong or be left out.
    """
    if isinstance(question, System):
        steps = range(1, len(question.congruences))
        return [(i, j) for i in steps for j in range(3)]
    if linear(question):
        return [DIVIDED, INVERTED, CLASS, SPREAD]
    split_up = factors(question.modulus)
    found = [(i, j) for i, (_p, k) in enumerate(split_up) for j in range(1, k + 1)]
    return [*found, (len(split_up), 1)] if len(split_up) > 1 else found


def _in_order(
    question: Congruence | System, told: Sequence[_Told], whole: bool, findings: list[str]
) -> None:
    """Each step once, in its place; to the end if the solution is `whole`."""
    places = list(_placed(told))
    if any(t.uses and t.uses != before.gives for before, t in pairwise(told)):
        findings.append(worded("lines: expected a congruence that the line before it gives"))
    expected = _needed(question)
    found = [place for place in places if place in expected]
    if places != sorted(set(places)) or found != expected[: None if whole else len(found)]:
        findings.append(worded("lines: expected each step of the method once, in its order"))


def _placed(told: Sequence[_Told]) -> Iterator[_Place]:
    """The places; of a line that only the one before it tells, the step of that line."""
    step = _WHEREVER
    for t in told:
        step = step if t.place[0] == _WHEREVER else t.place[0]
        yield step, t.place[1]


# ------------------------------------------------------------ the questions


def first_wrong(question: Question, item: SeenItem, findings: list[str], phrases: Phrases) -> str:
    """The option that names the first line that is not so, or says that there is none."""
    congruence = _asked_about(question)
    lines = _numbered_lines(item.stem, phrases).lines
    told = [_told_line(congruence, line or "?", phrases) for line in lines]
    _in_order(congruence, told, True, findings)
    meant = {_line_meant(o.label, phrases): o.identifier for o in item.options}
    if sorted(meant) != [*range(len(lines) + 1)]:
        findings.append(worded("options: expected each line once, and that no line is wrong"))
    first = next((n for n, t in enumerate(told, 1) if not t.true), 0)
    if first not in meant:
        raise Unsupported(worded("a first wrong line {first} that no option names", first=first))
    return meant[first]


def _line_meant(label: str, phrases: Phrases) -> int:
    """The number of the line that an option names; 0 where it says that none is wrong."""
    words = words_of(label).rstrip(".")
    if words == phrases.lines.none_wrong:
        return 0
    if match := phrases.lines.named.fullmatch(words):
        return int(match[1])
    raise Unsupported(worded("the option '{label}', which names no line", label=label[:60]))


def line_missing(question: Question, item: SeenItem, findings: list[str], phrases: Phrases) -> str:
    """The option that is so, and stands where a line is left out."""
    numbered = _numbered_lines(item.stem, phrases)
    return _line_fitting(question, item, numbered.lines, numbered.missing, findings, phrases)


def line_next(question: Question, item: SeenItem, findings: list[str], phrases: Phrases) -> str:
    """The option that is so, and goes on from the lines."""
    lines = _numbered_lines(item.stem, phrases).lines
    return _line_fitting(question, item, (*lines, None), len(lines), findings, phrases)


def _line_fitting(
    question: Question,
    item: SeenItem,
    lines: Sequence[str | None],
    at: int,
    findings: list[str],
    phrases: Phrases,
) -> str:
    """The one option that is so; it and the lines around it must be steps of the method."""
    congruence = _asked_about(question)
    told = [_told_line(congruence, line, phrases) for line in lines if line is not None]
    for n, t in enumerate(told, 1):
        if not t.true:
            findings.append(
                worded("lines: expected each of them to be right, got a wrong one ({n})", n=n)
            )
    offered = {o.identifier: _told_line(congruence, o.label, phrases) for o in item.options}
    right = the_one_true({name: t.true for name, t in offered.items()})
    if len({t.about for t in offered.values()}) != 1:
        findings.append(worded("options: expected lines that all claim something of the same"))
    whole = [*told[:at], offered[right], *told[at:]]
    _in_order(congruence, whole, at < len(lines) - 1, findings)
    return right


def the_one_true(offered: Mapping[str, bool]) -> str:
    true = [name for name, holds in offered.items() if holds]
    if len(true) != 1:
        raise Unsupported(worded("{n} options that are so, expected one", n=len(true)))
    return true[0]


def small(n: int) -> int:
    if n > TRIED:
        raise Unsupported(
            worded("the number {n}, {tried} is the largest number that is tried", n=n, tried=TRIED)
        )
    return n
