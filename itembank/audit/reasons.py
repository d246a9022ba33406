"""Reasons, judged: the one condition that holds, and whether the statement follows from it.

Each condition is decided by a calculation, each statement has its theorem, whose conditions the
reason must say.  A condition, or a statement, that is none of those known here is unchecked.

Notation: m modulus, p prime, q = p^2 in lifts; f left side minus right side.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import lcm

from itembank.audit.budget import TRIED
from itembank.audit.derivation import (
    SUPERSCRIPTS,
    congruence_of,
    factors,
    modulo,
    words_of,
)
from itembank.audit.lines import linear, read_or_unsupported, small, the_one_true
from itembank.audit.phrases import Clauses, Phrases
from itembank.audit.prose import Lines, text_of
from itembank.audit.seen import SeenItem
from itembank.audit.unsupported import Unsupported
from itembank.second_way.table import Congruence, Question, System
from itembank.values.worded import worded


@dataclass(frozen=True)
class _Clause:
    """A condition: its name, its numbers in the order of its words, and whether it is denied."""

    name: str
    numbers: tuple[int, ...]
    denied: bool = False


@dataclass(frozen=True)
class _Given:
    """The question, with f as the stem writes it out; () where it does not."""

    question: Congruence | System
    polynomial: tuple[int, ...]

    @property
    def f(self) -> tuple[int, ...]:
        if not self.polynomial:
            raise Unsupported(worded("a condition on f in a stem that does not say what f is"))
        return self.polynomial

    def value(self, r: int) -> int:
        return sum(c * r**i for i, c in enumerate(self.f))

    def slope(self, r: int) -> int:
        return sum(i * c * r ** (i - 1) for i, c in enumerate(self.f) if i)


def _clauses_of(text: str, phrases: Phrases) -> frozenset[_Clause]:
    """The conditions that a reason joins."""
    said = phrases.reasons
    parts = said.joint.split(_typed_powers(words_of(text)).rstrip("."))
    return frozenset(_clause_of(part, said.clauses) for part in parts)


def _clause_of(part: str, known: Clauses) -> _Clause:
    for name, pattern in known.items():
        if match := pattern.fullmatch(part):
            denied = match.groupdict().get("not") is not None
            return _conventional(_Clause(name, _numbers_of(match), denied))
    raise Unsupported(worded("the condition '{part}'", part=part[:60]))


def _conventional(clause: _Clause) -> _Clause:
    """A clause about a greatest common divisor, the smaller number first."""
    if clause.name != "gcd":
        return clause
    a, b, d = clause.numbers
    return replace(clause, numbers=(min(a, b), max(a, b), d))


def _numbers_of(match: re.Match[str]) -> tuple[int, ...]:
    """The numbers of the groups n1, n2, ..., in this order."""
    groups = match.groupdict()
    return tuple(_integer(groups[key]) for key in sorted(groups) if key != "not")


_RAISED = re.compile("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)")


def _typed_powers(text: str) -> str:
    """The text with ^ for raised digits."""
    return _RAISED.sub(lambda raised: "^" + raised[1].translate(SUPERSCRIPTS), text)


def _integer(text: str) -> int:
    return int(text.replace("−", "-").replace(" ", ""))


def _divides(_given: _Given, d: int, n: int) -> bool:
    return n % d == 0


def _divides_value(given: _Given, d: int, r: int, v: int) -> bool:
    _require(v == given.value(r), f"f({r}) = {v}")
    return v % d == 0


def _divides_slope(given: _Given, d: int, r: int, w: int) -> bool:
    _require(w == given.slope(r), f"f'({r}) = {w}")
    return w % d == 0


def _divides_lead(given: _Given, d: int, a: int) -> bool:
    _require(a == given.f[-1], f"the leading coefficient {a}")
    return a % d == 0


def _require(so: bool, what: str) -> None:
    """A number within a condition must be right, else the condition means nothing."""
    if not so:
        raise Unsupported(worded("a condition that speaks of {what}, which is not so", what=what))


def _prime(_given: _Given, n: int) -> bool:
    return n > 1 and factors(small(n)) == ((n, 1),)


def _common_divisor(_given: _Given, a: int, b: int, d: int) -> bool:
    common = [n for n in range(1, min(a, b) + 1) if a % n == 0 == b % n]
    return common[-1] == d


def _product_is(_given: _Given, a: int, b: int, m: int) -> bool:
    return a * b == m


def _power_is(_given: _Given, a: int, e: int, r: int, m: int) -> bool:
    return (pow(a, e, m) - r) % m == 0


def _square_number(_given: _Given, n: int) -> bool:
    return any(i * i == n for i in range(small(n) + 1))


_CONDITIONS: dict[str, Callable[..., bool]] = {
    "divides": _divides,
    "divides_value": _divides_value,
    "divides_slope": _divides_slope,
    "divides_lead": _divides_lead,
    "prime": _prime,
    "gcd": _common_divisor,
    "product": _product_is,
    "power": _power_is,
    "square": _square_number,
}
"""How a condition is decided, by its name in a language's phrases."""


def _holds(given: _Given, clause: _Clause) -> bool:
    if any(abs(n) > TRIED**2 for n in clause.numbers):
        raise Unsupported(worded("a condition on numbers that are too large"))
    return _CONDITIONS[clause.name](given, *clause.numbers) != clause.denied


# ------------------------------------------------------------ statements and what proves them


def _one_lift(given: _Given, q: int, r: int, p: int) -> Iterator[_Clause]:
    _require(q == p * p, f"lifts from {p} to {q}")
    yield _Clause("prime", (p,))
    yield _Clause("divides_value", (p, r, given.value(r)))
    yield _Clause("divides_slope", (p, r, given.slope(r)), denied=True)


def _no_lift(given: _Given, q: int, r: int, p: int) -> Iterator[_Clause]:
    _require(q == p * p, f"lifts from {p} to {q}")
    yield _Clause("divides_slope", (p, r, given.slope(r)))
    yield _Clause("divides_value", (q, r, given.value(r)), denied=True)


def _every_lift(given: _Given, q: int, r: int, p: int) -> Iterator[_Clause]:
    _require(q == p * p, f"lifts from {p} to {q}")
    yield _Clause("divides_slope", (p, r, given.slope(r)))
    yield _Clause("divides_value", (q, r, given.value(r)))


def _few_roots(given: _Given, p: int, n: int) -> Iterator[_Clause]:
    _require(n == len(given.f) - 1, f"the degree {n}")
    yield _Clause("prime", (p,))
    yield _Clause("divides_lead", (p, given.f[-1]), denied=True)


def _two_roots(_given: _Given, s: int, p: int) -> Iterator[_Clause]:
    _require(p > 2, f"the prime {p}")
    yield _Clause("prime", (p,))
    yield _Clause("power", (s, (p - 1) // 2, 1, p))


def _one_residue_each(_given: _Given, a: int, b: int, m: int) -> Iterator[_Clause]:
    yield _Clause("gcd", (a, b, 1))
    yield _Clause("product", (a, b, m))


def _solved_below(_given: _Given, m: int, q: int) -> Iterator[_Clause]:
    yield _Clause("divides", (q, m))


def _number_of_solutions(given: _Given, m: int, d: int) -> Iterator[_Clause]:
    a, b = _coefficients(given)
    _require(m == given.question.modulus, f"the modulus {m}")
    yield _Clause("gcd", (a, m, d))
    yield _Clause("divides", (d, b))


def _unsolvable(given: _Given) -> Iterator[_Clause]:
    a, b = _coefficients(given)
    m = given.question.modulus
    d = max(n for n in range(1, a + 1) if a % n == 0 == m % n)
    yield _Clause("gcd", (a, m, d))
    yield _Clause("divides", (d, b), denied=True)


def _coefficients(given: _Given) -> tuple[int, int]:
    """a and b of a linear congruence ax = b, as least residues."""
    question = congruence_of(given.question)
    _require(linear(question), "a linear congruence")
    b, a = question.coefficients
    return small(a), -b % question.modulus


def _one_residue(given: _Given, m: int) -> Iterator[_Clause]:
    difference, *moduli = _two_congruences(given.question)
    _require(m == lcm(*moduli), f"the modulus {m}")
    d = _greatest_divisor(*moduli)
    yield _Clause("gcd", (*moduli, d))
    yield _Clause("divides", (d, difference))


def _inconsistent(given: _Given) -> Iterator[_Clause]:
    difference, *moduli = _two_congruences(given.question)
    d = _greatest_divisor(*moduli)
    yield _Clause("gcd", (*moduli, d))
    yield _Clause("divides", (d, difference), denied=True)


def _greatest_divisor(a: int, b: int) -> int:
    return max(n for n in range(1, small(a) + 1) if a % n == 0 == b % n)


def _two_congruences(question: Question) -> tuple[int, int, int]:
    """|a - b|, m and n of x = a (mod m), x = b (mod n)."""
    rows = question.congruences if isinstance(question, System) else ()
    if len(rows) != 2 or any(row.coefficients[1:] != (1,) for row in rows):
        raise Unsupported(
            worded("a statement about another system than two residues of the unknown")
        )
    (a, m), (b, n) = ((-row.coefficients[0] % row.modulus, row.modulus) for row in rows)
    return abs(a - b), m, n


def _inverse_exists(_given: _Given, a: int, m: int) -> Iterator[_Clause]:
    yield _Clause("gcd", (a, m, 1))


_THEOREMS: dict[str, Callable[..., Iterator[_Clause]]] = {
    "one_lift": _one_lift,
    "no_lift": _no_lift,
    "every_lift": _every_lift,
    "few_roots": _few_roots,
    "two_roots": _two_roots,
    "one_residue_each": _one_residue_each,
    "solved_below": _solved_below,
    "number_of_solutions": _number_of_solutions,
    "unsolvable": _unsolvable,
    "inverse_exists": _inverse_exists,
    "one_residue": _one_residue,
    "inconsistent": _inconsistent,
}
"""By the name of a statement in a language's phrases: the conditions from which it follows.

What the statement itself says need not be said again (that p divides q = p^2).
"""

_EVIDENT = ("prime",)
"""Conditions that a reason may leave out where they hold."""


def the_reason(question: Question, item: SeenItem, findings: list[str], phrases: Phrases) -> str:
    """The one option that holds; the statement must follow from it."""
    given = _given_in(question, item.stem, phrases)
    offered = {o.identifier: _clauses_of(o.label, phrases) for o in item.options}
    if len(set(offered.values())) != len(offered):
        findings.append(worded("options: expected different conditions, got one twice"))
    right = the_one_true(
        {name: all(_holds(given, c) for c in clauses) for name, clauses in offered.items()}
    )
    required = [_conventional(c) for c in _required_by(item.stem, given, phrases)]
    unsaid = [c for c in required if c not in offered[right]]
    if any(c.name not in _EVIDENT or not _holds(given, c) for c in unsaid):
        findings.append(worded("key: expected a condition from which the statement follows"))
    return right


def _given_in(question: Question, stem: Lines, phrases: Phrases) -> _Given:
    """What a stem asks about; of a system by how much its residues differ, if it is so."""
    if not isinstance(question, System):
        congruence = congruence_of(question)
        return _Given(congruence, _polynomial_of(stem, congruence, phrases))
    match = phrases.reasons.difference.search(words_of(text_of(stem)))
    if match is None or int(match[1]) != _two_congruences(question)[0]:
        raise Unsupported(worded("a system without the difference of its residues"))
    return _Given(question, ())


def _polynomial_of(stem: Lines, question: Congruence, phrases: Phrases) -> tuple[int, ...]:
    """f as the stem writes it out, with integer coefficients; () where it does not.

    It must be that of the congruence.
    """
    words = words_of(text_of(stem))
    match = phrases.reasons.given.search(words)
    if match is None:
        return ()
    huge = 2 * 10**30 + 1
    stated = read_or_unsupported(f"{match[1]} = 0 mod {huge}")
    f = tuple(c if c <= huge // 2 else c - huge for c in stated.coefficients)
    own = modulo(_replace_modulus(stated, f, question.modulus), question.modulus)
    if own.coefficients != question.coefficients:
        raise Unsupported(
            worded(
                "the polynomial {polynomial}, which is not that of the congruence",
                polynomial=match[1][:60],
            )
        )
    return f


def _replace_modulus(stated: Congruence, f: tuple[int, ...], m: int) -> Congruence:
    return Congruence(f, m, stated.hints)


def _required_by(stem: Lines, given: _Given, phrases: Phrases) -> Iterator[_Clause]:
    """The conditions of the theorem that proves the statement of a stem."""
    for line in stem:
        if match := phrases.reasons.statement.fullmatch(words_of(text_of((line,)))):
            for name, pattern in phrases.reasons.statements.items():
                if said := pattern.fullmatch(_typed_powers(match[1])):
                    yield from _THEOREMS[name](given, *_numbers_of(said))
                    return
            raise Unsupported(worded("the statement '{statement}'", statement=match[1][:60]))
    raise Unsupported(worded("reasons asked for in a stem without a statement"))
