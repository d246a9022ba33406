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
class Clause:
    """A condition: its name, its numbers in the order of its words, and whether it is denied."""

    name: str
    numbers: tuple[int, ...]
    denied: bool = False


@dataclass(frozen=True)
class Given:
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


def clauses_of(text: str, phrases: Phrases) -> frozenset[Clause]:
    """The conditions that a reason joins."""
    said = phrases.reasons
    parts = said.joint.split(typed_powers(words_of(text)).rstrip("."))
    return frozenset(clause_of(part, said.clauses) for part in parts)


def clause_of(part: str, known: Clauses) -> Clause:
    for name, pattern in known.items():
        if match := pattern.fullmatch(part):
            denied = match.groupdict().get("not") is not None
            return conventional(Clause(name, numbers_of(match), denied))
    raise Unsupported(worded("the condition '{part}'", part=part[:60]))


def conventional(clause: Clause) -> Clause:
    """A clause about a greatest common divisor, the smaller number first."""
    if clause.name != "gcd":
        return clause
    a, b, d = clause.numbers
    return replace(clause, numbers=(min(a, b), max(a, b), d))


def numbers_of(match: re.Match[str]) -> tuple[int, ...]:
    """The numbers of the groups n1, n2, ..., in this order."""
    groups = match.groupdict()
    return tuple(integer(groups[key]) for key in sorted(groups) if key != "not")


RAISED = re.compile("([⁰¹²³⁴⁵⁶⁷⁸⁹]+)")


def typed_powers(text: str) -> str:
    """The text with ^ for raised digits."""
    return RAISED.sub(lambda raised: "^" + raised[1].translate(SUPERSCRIPTS), text)


def integer(text: str) -> int:
    return int(text.replace("−", "-").replace(" ", ""))


def divides(_given: Given, d: int, n: int) -> bool:
    return n % d == 0


def divides_value(given: Given, d: int, r: int, v: int) -> bool:
    require(v == given.value(r), f"f({r}) = {v}")
    return v % d == 0


def divides_slope(given: Given, d: int, r: int, w: int) -> bool:
    require(w == given.slope(r), f"f'({r}) = {w}")
    return w % d == 0


def divides_lead(given: Given, d: int, a: int) -> bool:
    require(a == given.f[-1], f"the leading coefficient {a}")
    return a % d == 0


def require(so: bool, what: str) -> None:
    """A number within a condition must be right, else the condition means nothing."""
    if not so:
        raise Unsupported(worded("a condition that speaks of {what}, which is not so", what=what))


def prime(_given: Given, n: int) -> bool:
    return n > 1 and factors(small(n)) == ((n, 1),)


def common_divisor(_given: Given, a: int, b: int, d: int) -> bool:
    common = [n for n in range(1, min(a, b) + 1) if a % n == 0 == b % n]
    return common[-1] == d


def product_is(_given: Given, a: int, b: int, m: int) -> bool:
    return a * b == m


def power_is(_given: Given, a: int, e: int, r: int, m: int) -> bool:
    return (pow(a, e, m) - r) % m == 0


def square_number(_given: Given, n: int) -> bool:
    return any(i * i == n for i in range(small(n) + 1))


CONDITIONS: dict[str, Callable[..., bool]] = {
    "divides": divides,
    "divides_value": divides_value,
    "divides_slope": divides_slope,
    "divides_lead": divides_lead,
    "prime": prime,
    "gcd": common_divisor,
    "product": product_is,
    "power": power_is,
    "square": square_number,
}
"""How a condition is decided, by its name in a language's phrases."""


def holds(given: Given, clause: Clause) -> bool:
    if any(abs(n) > TRIED**2 for n in clause.numbers):
        raise Unsupported(worded("a condition on numbers that are too large"))
    return CONDITIONS[clause.name](given, *clause.numbers) != clause.denied


# ------------------------------------------------------------ statements and what proves them


def one_lift(given: Given, q: int, r: int, p: int) -> Iterator[Clause]:
    require(q == p * p, f"lifts from {p} to {q}")
    yield Clause("prime", (p,))
    yield Clause("divides_value", (p, r, given.value(r)))
    yield Clause("divides_slope", (p, r, given.slope(r)), denied=True)


def no_lift(given: Given, q: int, r: int, p: int) -> Iterator[Clause]:
    require(q == p * p, f"lifts from {p} to {q}")
    yield Clause("divides_slope", (p, r, given.slope(r)))
    yield Clause("divides_value", (q, r, given.value(r)), denied=True)


def every_lift(given: Given, q: int, r: int, p: int) -> Iterator[Clause]:
    require(q == p * p, f"lifts from {p} to {q}")
    yield Clause("divides_slope", (p, r, given.slope(r)))
    yield Clause("divides_value", (q, r, given.value(r)))


def few_roots(given: Given, p: int, n: int) -> Iterator[Clause]:
    require(n == len(given.f) - 1, f"the degree {n}")
    yield Clause("prime", (p,))
    yield Clause("divides_lead", (p, given.f[-1]), denied=True)


def two_roots(_given: Given, s: int, p: int) -> Iterator[Clause]:
    require(p > 2, f"the prime {p}")
    yield Clause("prime", (p,))
    yield Clause("power", (s, (p - 1) // 2, 1, p))


def one_residue_each(_given: Given, a: int, b: int, m: int) -> Iterator[Clause]:
    yield Clause("gcd", (a, b, 1))
    yield Clause("product", (a, b, m))


def solved_below(_given: Given, m: int, q: int) -> Iterator[Clause]:
    yield Clause("divides", (q, m))


def number_of_solutions(given: Given, m: int, d: int) -> Iterator[Clause]:
    a, b = coefficients(given)
    require(m == given.question.modulus, f"the modulus {m}")
    yield Clause("gcd", (a, m, d))
    yield Clause("divides", (d, b))


def unsolvable(given: Given) -> Iterator[Clause]:
    a, b = coefficients(given)
    m = given.question.modulus
    d = max(n for n in range(1, a + 1) if a % n == 0 == m % n)
    yield Clause("gcd", (a, m, d))
    yield Clause("divides", (d, b), denied=True)


def coefficients(given: Given) -> tuple[int, int]:
    """a and b of a linear congruence ax = b, as least residues."""
    question = congruence_of(given.question)
    require(linear(question), "a linear congruence")
    b, a = question.coefficients
    return small(a), -b % question.modulus


def one_residue(given: Given, m: int) -> Iterator[Clause]:
    difference, *moduli = two_congruences(given.question)
    require(m == lcm(*moduli), f"the modulus {m}")
    d = greatest_divisor(*moduli)
    yield Clause("gcd", (*moduli, d))
    yield Clause("divides", (d, difference))


def inconsistent(given: Given) -> Iterator[Clause]:
    difference, *moduli = two_congruences(given.question)
    d = greatest_divisor(*moduli)
    yield Clause("gcd", (*moduli, d))
    yield Clause("divides", (d, difference), denied=True)


def greatest_divisor(a: int, b: int) -> int:
    return max(n for n in range(1, small(a) + 1) if a % n == 0 == b % n)


def two_congruences(question: Question) -> tuple[int, int, int]:
    """|a - b|, m and n of x = a (mod m), x = b (mod n)."""
    rows = question.congruences if isinstance(question, System) else ()
    if len(rows) != 2 or any(row.coefficients[1:] != (1,) for row in rows):
        raise Unsupported(
            worded("a statement about another system than two residues of the unknown")
        )
    (a, m), (b, n) = ((-row.coefficients[0] % row.modulus, row.modulus) for row in rows)
    return abs(a - b), m, n


def inverse_exists(_given: Given, a: int, m: int) -> Iterator[Clause]:
    yield Clause("gcd", (a, m, 1))


THEOREMS: dict[str, Callable[..., Iterator[Clause]]] = {
    "one_lift": one_lift,
    "no_lift": no_lift,
    "every_lift": every_lift,
    "few_roots": few_roots,
    "two_roots": two_roots,
    "one_residue_each": one_residue_each,
    "solved_below": solved_below,
    "number_of_solutions": number_of_solutions,
    "unsolvable": unsolvable,
    "inverse_exists": inverse_exists,
    "one_residue": one_residue,
    "inconsistent": inconsistent,
}
"""By the name of a statement in a language's phrases: the conditions from which it follows.

What the statement itself says need not be said again (that p divides q = p^2).
"""

EVIDENT = ("prime",)
"""Conditions that a reason may leave out where they hold."""


def the_reason(question: Question, item: SeenItem, findings: list[str], phrases: Phrases) -> str:
    """The one option that holds; the statement must follow from it."""
    given = given_in(question, item.stem, phrases)
    offered = {o.identifier: clauses_of(o.label, phrases) for o in item.options}
    if len(set(offered.values())) != len(offered):
        findings.append(worded("options: expected different conditions, got one twice"))
    right = the_one_true(
        {name: all(holds(given, c) for c in clauses) for name, clauses in offered.items()}
    )
    required = [conventional(c) for c in required_by(item.stem, given, phrases)]
    unsaid = [c for c in required if c not in offered[right]]
    if any(c.name not in EVIDENT or not holds(given, c) for c in unsaid):
        findings.append(worded("key: expected a condition from which the statement follows"))
    return right


def given_in(question: Question, stem: Lines, phrases: Phrases) -> Given:
    """What a stem asks about; of a system by how much its residues differ, if it is so."""
    if not isinstance(question, System):
        congruence = congruence_of(question)
        return Given(congruence, polynomial_of(stem, congruence, phrases))
    match = phrases.reasons.difference.search(words_of(text_of(stem)))
    if match is None or int(match[1]) != two_congruences(question)[0]:
        raise Unsupported(worded("a system without the difference of its residues"))
    return Given(question, ())


def polynomial_of(stem: Lines, question: Congruence, phrases: Phrases) -> tuple[int, ...]:
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
    own = modulo(replace_modulus(stated, f, question.modulus), question.modulus)
    if own.coefficients != question.coefficients:
        raise Unsupported(
            worded(
                "the polynomial {polynomial}, which is not that of the congruence",
                polynomial=match[1][:60],
            )
        )
    return f


def replace_modulus(stated: Congruence, f: tuple[int, ...], m: int) -> Congruence:
    return Congruence(f, m, stated.hints)


def required_by(stem: Lines, given: Given, phrases: Phrases) -> Iterator[Clause]:
    """The conditions of the theorem that proves the statement of a stem."""
    for line in stem:
        if match := phrases.reasons.statement.fullmatch(words_of(text_of((line,)))):
            for name, pattern in phrases.reasons.statements.items():
                if said := pattern.fullmatch(typed_powers(match[1])):
                    yield from THEOREMS[name](given, *numbers_of(said))
                    return
            raise Unsupported(worded("the statement '{statement}'", statement=match[1][:60]))
    raise Unsupported(worded("reasons asked for in a stem without a statement"))
