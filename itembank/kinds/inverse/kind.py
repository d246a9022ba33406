"""The inverse of a modulo m: the class of the y with ay = 1 (mod m), or the reason why not.

Method taught: Euclid's algorithm forwards, until the remainder 1; then backwards, each
remainder replaced by the row that made it, until 1 is a combination of m and a. Where
that is long, the coefficients of a are carried along in a table instead.

Notation: d = gcd(a, m); a row is dividend = quotient * divisor + remainder.
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 1.2 and Theorem 2.9.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar

from itembank.kinds.base import Phrases, Slip, Solution, Step, distinct_slips
from itembank.kinds.mistakes import SetFound, wrong_sets
from itembank.kinds.modular import AboutResidue, integer_typed, matched_words, typed_modulus
from itembank.kinds.wording import Tellers, answer_paragraph, residue_chain, told
from itembank.languages import Telling, say
from itembank.languages.words import _
from itembank.maths.primes import is_prime
from itembank.maths.remainders import EuclidStep, euclid_steps
from itembank.notation.prose import display, paragraph, table
from itembank.notation.reading import formula
from itembank.notation.tree import Block, Blocks, Math, Number
from itembank.values.answer import Absent, Value
from itembank.values.vocabulary import KindSignature

BACKWARDS = 5
"""Up to this many rows are put into each other backwards; beyond it the table carries them."""

FERMAT = 10**6
"""Largest modulus for which a student would try a power in place of Euclid's algorithm."""


# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class Reduce(Step):
    """a is taken as its least residue."""

    name = "reduce"
    a: int
    residue: int


@dataclass(frozen=True)
class AtOnce(Step):
    """The residue 1 is its own inverse; modulo 1 so is 0; 0 has none modulo m > 1."""

    name = "at once"
    a: int
    m: int


@dataclass(frozen=True)
class Euclid(Step):
    """The rows of Euclid's algorithm, down to d = gcd(a, m)."""

    name = "Euclid's algorithm"
    a: int
    m: int
    d: int
    rows: tuple[EuclidStep, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Backwards(Step):
    """The rows with a remainder, put into each other from the last to the first."""

    name = "back substitution"
    rows: tuple[EuclidStep, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Carried(Backwards):
    """The same result from coefficients carried along forwards."""

    name = "carried coefficients"


@dataclass(frozen=True)
class Inverse(Step):
    """a * v = 1 (mod m) with v as found, and its least residue."""

    name = "inverse"
    a: int
    m: int
    v: int
    inverse: int


# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class InverseModulo(AboutResidue):
    """The y with number * y = 1 (mod modulus)."""

    kind: ClassVar[str] = "inverse"
    signature: ClassVar[KindSignature] = KindSignature(
        name="inverse",
        given={"number": "integer", "modulus": "integer"},
        asks=("the value", "whether any"),
        slips=(
            "inverse-sign",
            "opposite-taken",
            "coefficient-of-modulus",
            "stopped-early",
            "prime-modulus-assumed",
            "whole-numbers-only",
            "common-divisor-untested",
            "divided-by-common-divisor",
        ),
        measures=("exists", "steps", "common_divisor", "digits"),
    )

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"inverse of {self.number} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"inverse of" {self.number} mod {self.modulus_text}'),)

    def question(self, ask: str) -> Blocks:
        if ask == "whether any":
            text = _("Decide whether ${a}$ has an inverse modulo {m}.")
        else:
            text = _("Find the inverse of ${a}$ modulo {m}.")
        return (paragraph(text.format(a=self.number, m=f"${self.modulus_text}$")),)

    @property
    def phrases(self) -> Phrases:
        a, m = Number(self.number), self.modulus_math
        return Phrases(
            none=say("no inverse exists"),
            claim=say("True or false: {a} has an inverse modulo {m}.", a=a, m=m),
            entry=say(
                "The inverse is one residue class modulo {m}. Type any integer in it; $-3$ "
                "is typed -3.",
                m=m,
            ),
        )

    def solve(self) -> Solution[Value | Absent]:
        a, m = self.number % self.modulus, self.modulus
        steps: list[Step] = [] if a == self.number else [Reduce(self.number, a)]
        if a < 2 and (a == 1 or m == 1):
            return Solution(Value(a, m), (*steps, AtOnce(a, m)))
        if a == 0:
            return Solution(Absent(reason(self.number, m, m)), (*steps, AtOnce(a, m)))
        rows = euclid_steps(a, m)
        d = gcd(a, m)
        steps.append(Euclid(a, m, d, rows))
        if d > 1:
            return Solution(Absent(reason(self.number, m, d)), tuple(steps))
        v = rows[-2].v
        how = Backwards if len(rows) - 1 <= BACKWARDS else Carried
        steps += [how(rows[:-1]), Inverse(a, m, v, v % m)]
        return Solution(Value(v % m, m), tuple(steps))

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        return {
            "exists": int(isinstance(solution.answer, Value)),
            "steps": solution.effort,
            "common_divisor": gcd(self.number, self.modulus),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self.number % self.modulus, self.modulus), solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Telling:
        return (
            *self.conventions(),
            *told(solution.steps, WORKED, self),
            answer_paragraph(self.answer_text(solution.answer)),
        )

    def answer_text(self, answer: Value | Absent) -> str:
        if isinstance(answer, Absent):
            return answer.reason
        return _("The inverse of ${a}$ modulo {m} is {y}.").format(
            a=self.number, m=self.modulus_text, y=answer.value
        )


def reason(a: int, m: int, d: int) -> str:
    """Why a has no inverse modulo m, d > 1 their greatest common divisor."""
    return _(
        "${a}$ has no inverse modulo {m}: both are multiples of {d}, so every multiple of ${a}$ "
        "leaves a multiple of {d} as its remainder modulo {m}, and never 1."
    ).format(a=a, m=m, d=d)


FORM = re.compile(r"(?:the )?inverse of (?P<number>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> InverseModulo | None:
    """The problem of "inverse of 7 mod 26"; None for statements of another form."""
    found = matched_words(FORM, statements)
    if found is None:
        return None
    match, modulus = found
    number = integer_typed(match["number"], "the number to invert", statements[0])
    return InverseModulo(number=number, **typed_modulus(modulus, statements[0]))


# ------------------------------------------------------------ the worked solution


def worked_reduce(step: Reduce, c: InverseModulo) -> Iterator[Block]:
    yield paragraph(
        _("${a} ≡ {r} (mod {m})$, so the inverse of {r} is wanted.").format(
            a=step.a, r=step.residue, m=c.modulus_text
        ),
        _("Least residue."),
    )


def worked_at_once(step: AtOnce, c: InverseModulo) -> Iterator[Block]:
    if step.m == 1:
        text = _("$0 · 0 = 0 ≡ 1 (mod 1)$, so 0 is its own inverse.")
    elif step.a == 1:
        text = _("$1 · 1 = 1$, so 1 is its own inverse.")
    else:
        text = _("Every multiple of 0 is 0, and 0 is not congruent to 1 modulo {m}.")
    yield paragraph(text.format(m=c.modulus_text))


def worked_euclid(step: Euclid, c: InverseModulo) -> Iterator[Block]:
    yield paragraph(
        _("Divide {m} by {a}, then each divisor by its remainder:").format(
            m=c.modulus_text, a=step.a
        ),
        _("Euclid's algorithm."),
    )
    yield display(*(division(row) for row in step.rows))
    if step.d == 1:
        text = _("The last remainder above 0 is 1: $gcd({a}, {m}) = 1$, and the inverse exists.")
    elif len(step.rows) == 1:
        text = _("The division comes out even: $gcd({a}, {m}) = {d}$.")
    else:
        text = _("The last remainder above 0 is {d}: $gcd({a}, {m}) = {d}$.")
    yield paragraph(text.format(a=step.a, m=c.modulus_text, d=step.d))


def division(row: EuclidStep) -> str:
    return f"{row.dividend} = {row.quotient} * {row.divisor} + {row.remainder}"


def worked_backwards(step: Backwards, c: InverseModulo) -> Iterator[Block]:
    if len(step.rows) == 1:
        text = _("The first row says what 1 is made of:")
    else:
        text = _(
            "Begin with the row whose remainder is 1, and substitute for each remainder from the "
            "row above:"
        )
    yield paragraph(text, _("Backwards."))
    yield display(*back_substitution(step.rows))


def back_substitution(rows: Sequence[EuclidStep]) -> Iterator[str]:
    """1 = ..., then one row for each replacement, as chains that go on with =."""
    *earlier, last = rows
    s, t = 1, -last.quotient
    yield f"1 = {combination(s, last.dividend, t, last.divisor)}"
    for row in reversed(earlier):
        # s * dividend + t * remainder, with remainder = row.dividend - quotient * dividend
        inside = combination(1, row.dividend, -row.quotient, row.divisor)
        put_in = put_together((s, str(row.divisor)), (t, f"({inside})"))
        s, t = t, s - t * row.quotient
        yield f"= {put_in} = {combination(s, row.dividend, t, row.divisor)}"


def combination(s: int, u: int, t: int, v: int) -> str:
    """su + tv for s and t of opposite signs."""
    return put_together((s, str(u)), (t, str(v)))


def put_together(*terms: tuple[int, str]) -> str:
    """Two multiples, the positive one first, without a factor 1."""
    (s, u), (t, v) = sorted(terms, key=lambda term: -term[0])
    return f"{multiple(s, u)} - {multiple(-t, v)}"


def multiple(s: int, u: str) -> str:
    return u if s == 1 else f"{s} * {u}"


def worked_carried(step: Backwards, c: InverseModulo) -> Iterator[Block]:
    yield paragraph(
        _(
            "Carry along the number $u$ for which each remainder is congruent to ${a}u (mod {m})$. "
            "It begins with 0 for {m} and 1 for {a}; each next one is the one before the last, "
            "minus the quotient times the last:"
        ).format(a=c.number % c.modulus, m=c.modulus_text),
        _("Coefficients."),
    )
    yield table(
        (_("remainder"), _("quotient"), "$u$"),
        [
            (f"${step.rows[0].dividend}$", "", "$0$"),
            (f"${step.rows[0].divisor}$", "", "$1$"),
            *((f"${r.remainder}$", f"${r.quotient}$", f"${r.v}$") for r in step.rows),
        ],
    )


def worked_inverse(step: Inverse, c: InverseModulo) -> Iterator[Block]:
    a, m = step.a, c.modulus_text
    if step.v == step.inverse:
        text = _("Modulo {m} the multiple of {m} vanishes: ${a} · {v} ≡ 1 (mod {m})$.")
    else:
        text = _(
            "Modulo {m} the multiple of {m} vanishes: ${a} · ({v}) ≡ 1 (mod {m})$, and the least "
            "residue of ${v}$ is ${v} + {m} = {inverse}$."
        )
    yield paragraph(text.format(a=a, m=m, v=step.v, inverse=step.inverse), _("Read off."))
    product = a * step.inverse
    yield paragraph(
        _("${a} · {inverse} = {product} = {q} · {m} + 1$.").format(
            a=a, inverse=step.inverse, product=product, q=product // step.m, m=m
        ),
        _("Check."),
    )


WORKED: Tellers = {
    Reduce: worked_reduce,
    AtOnce: worked_at_once,
    Euclid: worked_euclid,
    Backwards: worked_backwards,
    Carried: worked_carried,
    Inverse: worked_inverse,
}
"""How each step is told."""


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class Work:
    """A least residue a above 0, m, and the rows of Euclid's algorithm."""

    a: int
    m: int
    rows: tuple[EuclidStep, ...]


def slips_of(a: int, m: int) -> Iterator[Slip]:
    """The slips that can be made with a least residue a, in the order of the method."""
    if a == 0 or m == 1:
        return iter(())
    mistakes = MISTAKES if gcd(a, m) == 1 else MISTAKES_WITHOUT_INVERSE
    return wrong_sets(mistakes, Work(a, m, euclid_steps(a, m)))


def inverse_sign(w: Work) -> SetFound:
    wrong = -pow(w.a, -1, w.m) % w.m
    return (wrong,), _(
        "${a} · {wrong} = {product} ≡ -1 (mod {m})$, so a sign was lost on the way back. Multiply "
        "to check: the product has to be congruent to 1."
    ).format(a=w.a, wrong=wrong, product=w.a * wrong, m=w.m)


def opposite_taken(w: Work) -> SetFound:
    return (w.m - w.a,), _(
        "{wrong} is the opposite of {a}: the sum ${a} + {wrong}$ is congruent to 0. An inverse "
        "gives the **product** 1."
    ).format(a=w.a, wrong=w.m - w.a)


def coefficient_of_modulus(w: Work) -> SetFound:
    if len(w.rows) < 2:
        return None
    wrong = w.rows[-2].u % w.m
    return (wrong,), _(
        "Euclid's algorithm gives two coefficients, and you took the one that multiplies {m}. "
        "Modulo {m} that term vanishes; the other one, which multiplies {a}, is the inverse."
    ).format(a=w.a, m=w.m)


def stopped_early(w: Work) -> SetFound:
    if len(w.rows) < 3:
        return None
    wrong = w.rows[-3].v % w.m
    return (wrong,), _(
        "You stopped at the remainder {r}: ${a} · {wrong} = {chain} (mod {m})$. Go on until the "
        "remainder is 1."
    ).format(
        a=w.a, wrong=wrong, chain=residue_chain(w.a * wrong, w.m), r=w.rows[-3].remainder, m=w.m
    )


def prime_modulus_assumed(w: Work) -> SetFound:
    if w.m > FERMAT or is_prime(w.m):
        return None
    wrong = pow(w.a, w.m - 2, w.m)
    return (wrong,), _(
        "You took ${a}^{e}$, which is the inverse when the modulus is prime (Fermat). {m} is not "
        "prime: ${a} · {wrong} ≡ {left} (mod {m})$."
    ).format(a=w.a, e=w.m - 2, m=w.m, wrong=wrong, left=w.a * wrong % w.m)


def whole_numbers_only(w: Work) -> SetFound:
    if w.a == 1:
        return None
    return (), _(
        "No whole number times {a} **is** 1, but the product only has to be **congruent** to 1 "
        "modulo {m}. As $gcd({a}, {m}) = 1$, there is such a number."
    ).format(a=w.a, m=w.m)


def common_divisor_untested(w: Work) -> SetFound:
    d = gcd(w.a, w.m)
    wrong = (w.rows[-2].v if len(w.rows) > 1 else 1) % w.m
    return (wrong,), _(
        "${a} · {wrong} = {chain} (mod {m})$: Euclid's algorithm ends with the remainder {d} here, "
        "not with 1."
    ).format(a=w.a, wrong=wrong, chain=residue_chain(w.a * wrong, w.m), m=w.m, d=d)


def divided_by_common_divisor(w: Work) -> SetFound:
    d = gcd(w.a, w.m)
    a1, m1 = w.a // d, w.m // d
    return (pow(a1, -1, m1),), _(
        "You divided {a} and {m} by {d} and inverted {a1} modulo {m1}. In ${a}y ≡ 1 (mod {m})$ the "
        "1 would have to be divided by {d} too, and it cannot be."
    ).format(a=w.a, m=w.m, d=d, a1=a1, m1=m1)


MISTAKES: dict[str, Callable[[Work], SetFound]] = {
    "coefficient-of-modulus": coefficient_of_modulus,
    "stopped-early": stopped_early,
    "inverse-sign": inverse_sign,
    "opposite-taken": opposite_taken,
    "prime-modulus-assumed": prime_modulus_assumed,
    "whole-numbers-only": whole_numbers_only,
}
"""Where the inverse exists, in the order of the method."""

MISTAKES_WITHOUT_INVERSE: dict[str, Callable[[Work], SetFound]] = {
    "common-divisor-untested": common_divisor_untested,
    "divided-by-common-divisor": divided_by_common_divisor,
}
"""Where it does not."""
