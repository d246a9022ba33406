"""The order of a modulo m: the least t >= 1 with a^t = 1 (mod m), or the reason why not.

Method taught: the order divides phi(m) by Euler's theorem, so the divisors of phi(m) are
tried in increasing order. Where phi(m) has many divisors, its primes are taken out
one by one while the power stays 1 (Cohen, Algorithm 1.4.3). Either way the result has a
certificate: a^t = 1, and a^(t/q) != 1 for every prime q that divides t.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., section 2.8, Definition 2.6 and Lemma 2.31.
"""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod
from typing import ClassVar, Self

from itembank.answer import Absent, Value
from itembank.arithmetic.groups import order, unit_factors
from itembank.arithmetic.primes import Factors, Unfactored, divisors, factorisation
from itembank.errors import StatementError
from itembank.notation.reading import formula, paragraph, table
from itembank.notation.tree import Block, Blocks, Math
from itembank.problems.base import (
    Given,
    Phrases,
    Slip,
    Solution,
    Step,
    distinct_slips,
    integer_of,
    slip,
)
from itembank.problems.modular import (
    Modular,
    given_modulus,
    integer_typed,
    typed_modulus,
    words_and_modulus,
)
from itembank.problems.wording import FITS_ON_THE_BOARD, conjunction, listing
from itembank.vocabulary import KindSignature
from itembank.words import _, ngettext

MOST_DIVISORS = 16
"""Up to this many divisors of phi(m) are tried one after another."""


# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class CommonFactor(Step):
    """d = gcd(a, m) > 1: no power of a is 1."""

    name = "common factor"
    a: int
    m: int
    d: int


@dataclass(frozen=True)
class Phi(Step):
    """n = phi(m) from the factorisation of m, and the factorisation of n."""

    name = "phi of the modulus"
    m: int
    factors: Factors
    n: int
    n_factors: Factors


@dataclass(frozen=True)
class PowerRow:
    """a^e mod m, made of two earlier powers a^i and a^j with i + j = e (0, 0 for e = 1)."""

    e: int
    i: int
    j: int
    value: int


@dataclass(frozen=True)
class TryDivisors(Step):
    """The powers a^e for the divisors e of n up to t, and the powers that lead to them."""

    name = "try the divisors"
    a: int
    m: int
    n: int
    tried: tuple[int, ...]
    rows: tuple[PowerRow, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Reduced:
    """a^(e/q) mod m: if it is 1, e may be divided by q."""

    e: int
    q: int
    value: int


@dataclass(frozen=True)
class TakeOutPrimes(Step):
    """From n down to t: primes taken out while the power stays 1."""

    name = "take out primes"
    a: int
    m: int
    n: int
    rows: tuple[Reduced, ...]

    @property
    def effort(self) -> int:
        return len(self.rows)


@dataclass(frozen=True)
class Certificate(Step):
    """a^t = 1, and a^(t/q) for each prime q of t, none of them 1."""

    name = "check"
    a: int
    m: int
    t: int
    smaller: tuple[tuple[int, int], ...]
    """(q, a^(t/q) mod m)"""

    @property
    def effort(self) -> int:
        return len(self.smaller)


# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class OrderModulo(Modular):
    """The order of `number` modulo `modulus`."""

    kind: ClassVar[str] = "order"
    signature: ClassVar[KindSignature] = KindSignature(
        name="order",
        given={"number": "integer", "modulus": "integer"},
        asks=("the value", "whether any"),
        slips=(
            "phi-for-order",
            "modulus-minus-one",
            "phi-of-prime-power",
            "phi-of-equal-factors",
            "stopped-at-minus-one",
            "returned-to-the-base",
            "not-the-least",
            "one-prime-power-only",
            "orders-multiplied",
            "common-factor-untested",
        ),
        measures=("exists", "steps", "order", "index_of_subgroup", "digits"),
    )
    number: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(number=integer_of(given, "number"), modulus=given_modulus(given))

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"order of {self.number} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"order of" {self.number} mod {self.modulus_text}'),)

    def question(self, ask: str) -> Blocks:
        if ask == "whether any":
            text = _("Decide whether ${a}$ has an order modulo {m}: whether some power of it is 1.")
        else:
            text = _(
                "Find the order of ${a}$ modulo {m}: the least positive exponent for which its "
                "power is 1."
            )
        return (paragraph(text.format(a=self.number, m=f"${self.modulus_text}$")),)

    @property
    def phrases(self) -> Phrases:
        values = {"a": f"${self.number}$", "m": f"${self.modulus_text}$"}
        return Phrases(
            member=_("the order"),
            none=_("no order exists"),
            claim=_("{a} has an order modulo {m}").format(**values),
            entry=_("Type the order in digits."),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number % self.modulus, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @cached_property
    def phi_step(self) -> Phi:
        return phi_step(self.modulus, self.known_factors, self.statement[0])

    def solve(self) -> Solution[Value | Absent]:
        """Raises StatementError where phi(m) cannot be factored."""
        a, m = self.number % self.modulus, self.modulus
        d = gcd(self.number, m)
        if d > 1:
            return Solution(Absent(reason(self.number, m, d)), (CommonFactor(self.number, m, d),))
        phi = self.phi_step
        t = order(a, m, self.known_factors)
        if few_divisors(phi.n_factors):
            found = divisors(phi.n, [q for q, _e in phi.n_factors])
            how: Step = try_divisors(a, m, phi.n, [e for e in found if e <= t])
        else:
            how = take_out_primes(a, m, phi)
        smaller = tuple((q, pow(a, t // q, m)) for q, _e in phi.n_factors if t % q == 0)
        steps = (phi, how, Certificate(a, m, t, smaller))
        return Solution(Value(t), steps)

    def measures(self, solution: Solution[Value | Absent]) -> Mapping[str, int]:
        answer = solution.answer
        t = answer.value if isinstance(answer, Value) else 0
        return {
            "exists": int(t > 0),
            "steps": solution.effort,
            "order": t,
            "index_of_subgroup": self.phi_step.n // t if t else 0,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value | Absent]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self, solution.answer), solution.answer)

    def worked(self, solution: Solution[Value | Absent]) -> Blocks:
        told = [block for step in solution.steps for block in WORKED[type(step)](step)]
        exists = isinstance(solution.answer, Value)
        residue = self.least_residues(self.number) if exists else ()
        return (*self.conventions(), *residue, *told, conclusion(self, solution.answer))


def phi_step(m: int, hints: tuple[int, ...], statement: str) -> Phi:
    """phi(m), factored; StatementError where m or phi(m) is not factored."""
    try:
        n_factors = unit_factors(m, hints)
        return Phi(m, factorisation(m, hints), prod(q**e for q, e in n_factors), n_factors)
    except Unfactored as reason:
        raise StatementError(f"{statement}: {reason}") from None


def few_divisors(factors: Factors) -> bool:
    """Whether a number of these factors has few enough divisors to try them all."""
    return prod(e + 1 for _q, e in factors) <= MOST_DIVISORS


def reason(a: int, m: int, d: int) -> str:
    """Why a has no order modulo m, d > 1 their greatest common divisor."""
    return _(
        "${a}$ has no order modulo {m}: {d} divides both, so it divides every power of ${a}$ and "
        "every remainder of one modulo {m}, and 1 is no multiple of {d}."
    ).format(a=a, m=m, d=d)


def try_divisors(a: int, m: int, n: int, tried: Sequence[int]) -> TryDivisors:
    rows: dict[int, PowerRow] = {}
    for e in tried:
        reach(e, a, m, rows)
    return TryDivisors(a, m, n, tuple(tried), tuple(rows.values()))


def reach(e: int, a: int, m: int, rows: dict[int, PowerRow]) -> None:
    """Adds a row for a^e, made of two powers that are there or are added first."""
    if e in rows:
        return
    if e == 1:
        rows[1] = PowerRow(1, 0, 0, a % m)
        return
    pair = next(
        ((e - i, i) for i in sorted(rows, reverse=True) if e - i in rows and i <= e - i), None
    )
    if pair is None:
        # the binary method: half of e, then one more if e is odd
        pair = (e // 2, e // 2) if e % 2 == 0 else (e - 1, 1)
        for smaller in pair:
            reach(smaller, a, m, rows)
    i, j = pair
    rows[e] = PowerRow(e, i, j, rows[i].value * rows[j].value % m)


def take_out_primes(a: int, m: int, phi: Phi) -> TakeOutPrimes:
    t, rows = phi.n, []
    for q, e in phi.n_factors:
        for _again in range(e):
            value = pow(a, t // q, m)
            rows.append(Reduced(t, q, value))
            if value != 1 % m:
                break
            t //= q
    return TakeOutPrimes(a, m, phi.n, tuple(rows))


FORM = re.compile(r"(?:the )?(?:multiplicative )?order of (?P<number>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> OrderModulo | None:
    """The problem of "order of 7 mod 48"; None for statements of another form."""
    parts = words_and_modulus(statements)
    match = parts and FORM.fullmatch(parts[0])
    if not parts or not match:
        return None
    number = integer_typed(match["number"], "a number", statements[0])
    return OrderModulo(number=number, **typed_modulus(parts[1], statements[0]))


# ------------------------------------------------------------ the worked solution


def worked_common_factor(step: CommonFactor) -> Iterator[Block]:
    yield paragraph(
        _("$gcd({a}, {m}) = {d}$, so {a_} is no unit modulo {m}.").format(
            a=step.a, a_=f"${step.a}$", m=step.m, d=step.d
        ),
        _("Greatest common divisor."),
    )


def powers_text(factors: Factors) -> str:
    """2^3 * 5, and 1 for no factor."""
    return " * ".join(f"{p}^{k}" if k > 1 else str(p) for p, k in factors) or "1"


def worked_phi(step: Phi) -> Iterator[Block]:
    m, n = step.m, step.n
    if step.factors == ((m, 1),):
        text = _("{m} is prime, so $φ({m}) = {m} - 1 = {n}$.").format(m=m, n=n)
    elif m == 1:
        text = _("$φ(1) = 1$.")
    else:
        calls = " * ".join(f"φ({powers_text((pk,))})" for pk in step.factors)
        values = " * ".join(str(p ** (k - 1) * (p - 1)) for p, k in step.factors)
        text = _("${m} = {product}$, so $φ({m}) = {calls} = {values}$.").format(
            m=m,
            product=powers_text(step.factors),
            calls=calls,
            values=f"{values} = {n}" if len(step.factors) > 1 else n,
        )
        if len(step.factors) == 1 and calls == f"φ({m})":
            text = _("$φ({m}) = {n}$.").format(m=m, n=n)
    yield paragraph(
        text + " " + _("By Euler's theorem the order divides {n}.").format(n=n),
        _("What the order divides."),
    )


def worked_try_divisors(step: TryDivisors) -> Iterator[Block]:
    yield paragraph(
        ngettext(
            "The divisor of {n} to try is {tried}.",
            "The divisors of {n} are tried in increasing order, each power made from earlier ones:",
            len(step.tried),
        ).format(n=step.n, tried=listing(step.tried)),
        _("Powers."),
    )
    yield powers_table(step)
    others = [str(r.e) for r in step.rows if r.e not in step.tried]
    sentences = []
    if others:
        sentences.append(
            ngettext(
                "The exponent {e} is no divisor of {n}; it is there to reach the next one.",
                "The exponents {e} are no divisors of {n}; they are there to reach the next ones.",
                len(others),
            ).format(e=conjunction(others), n=step.n)
        )
    sentences.append(
        _("The first divisor whose power is 1 is {t}.").format(t=step.tried[-1])
        if step.m > 1
        else _("Modulo 1 the first power is already congruent to 1.")
    )
    yield paragraph(" ".join(sentences))


def powers_table(step: TryDivisors) -> Block:
    """Each power with the calculation that gives it from earlier rows."""
    return table(
        (_("power"), _("calculation")),
        [(f"${step.a}^{r.e}$", f"${row_text(r, step)}$") for r in step.rows],
    )


def row_text(row: PowerRow, step: TryDivisors) -> str:
    """13^2 = 169 ≡ 16, or 4 · 13 = 52 ≡ 1."""
    if row.e == 1:
        return str(row.value)
    values = {r.e: r.value for r in step.rows}
    u, v = values[row.i], values[row.j]
    calculation = f"{u}^2" if row.i == row.j else f"{u} * {v}"
    if u * v > FITS_ON_THE_BOARD**2:
        return f"{calculation} == {row.value}"
    return f"{calculation} = {u * v}" + (f" == {row.value}" if u * v >= step.m else "")


def worked_take_out_primes(step: TakeOutPrimes) -> Iterator[Block]:
    yield paragraph(
        _(
            "{n} has too many divisors to try them all. Start with the exponent {n}, for which the "
            "power is 1, and divide it by a prime as long as the power stays 1 (powers by repeated "
            "squaring):"
        ).format(n=step.n),
        _("Powers."),
    )
    yield table(
        (_("exponent"), _("prime"), _("smaller exponent"), _("power")),
        [(f"${r.e}$", f"${r.q}$", f"${r.e // r.q}$", f"${r.value}$") for r in step.rows],
    )
    last = step.rows[-1]
    t = last.e // last.q if last.value == 1 % step.m else last.e
    yield paragraph(_("The exponent that is left is {t}.").format(t=t))


def worked_certificate(step: Certificate) -> Iterator[Block]:
    a, m, t = step.a, step.m, step.t
    if not step.smaller:
        return
    if t > FITS_ON_THE_BOARD:
        text = _(
            "An order smaller than {t} would divide {t} divided by one of its primes, but the "
            "table shows that none of these exponents gives the power 1."
        )
        yield paragraph(text.format(t=t), _("Check."))
        return
    yield paragraph(
        ngettext(
            "${a}^{t} ≡ 1 (mod {m})$, and with {t} divided by its prime {primes}: {parts}, not 1. "
            "An order smaller than {t} would divide that exponent.",
            "${a}^{t} ≡ 1 (mod {m})$, and with {t} divided by each of its primes {primes}: "
            "{parts}, none of them 1. An order smaller than {t} would divide one of these "
            "exponents.",
            len(step.smaller),
        ).format(
            a=a,
            t=t,
            m=m,
            primes=conjunction(str(q) for q, _value in step.smaller),
            parts=conjunction(f"${a}^{t // q} ≡ {value}$" for q, value in step.smaller),
        ),
        _("Check."),
    )


WORKED: Mapping[type[Step], Callable[..., Iterator[Block]]] = {
    CommonFactor: worked_common_factor,
    Phi: worked_phi,
    TryDivisors: worked_try_divisors,
    TakeOutPrimes: worked_take_out_primes,
    Certificate: worked_certificate,
}
"""How each step is told."""


def conclusion(c: OrderModulo, answer: Value | Absent) -> Block:
    if isinstance(answer, Absent):
        text = answer.reason
    else:
        text = _("The order of ${a}$ modulo {m} is {t}.").format(
            a=c.number, m=c.modulus_text, t=answer.value
        )
    return paragraph(text, _("Answer."))


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class Work:
    """a modulo m of order t, and phi(m)."""

    a: int
    m: int
    t: int
    phi: Phi

    @property
    def odd(self) -> bool:
        return self.t % 2 == 1


Mistake = Callable[[Work], tuple[int, str] | None]
"""From the true work to a wrong order and the feedback."""


def slips_of(c: OrderModulo, answer: Value | Absent) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    if isinstance(answer, Absent):
        n = c.phi_step.n
        yield slip("common-factor-untested", (n,), common_factor_untested(c, n))
        return
    w = Work(c.number % c.modulus, c.modulus, answer.value, c.phi_step)
    for name, mistake in MISTAKES.items():
        made = mistake(w)
        if made is not None and made[0] > 0:
            yield slip(name, (made[0],), made[1])


def common_factor_untested(c: OrderModulo, n: int) -> str:
    return _(
        "$φ({m}) = {n}$, but Euler's theorem needs a base coprime to {m}, and $gcd({a}, {m}) = "
        "{d}$."
    ).format(a=c.number, m=c.modulus, n=n, d=gcd(c.number, c.modulus))


def phi_for_order(w: Work) -> tuple[int, str]:
    return w.phi.n, _(
        "$φ({m}) = {n}$, and ${a}^{n} ≡ 1$ is true, but the order is the **least** such exponent: "
        "try the proper divisors of {n}."
    ).format(m=w.m, n=w.phi.n, a=w.a)


def modulus_minus_one(w: Work) -> tuple[int, str] | None:
    if w.phi.n == w.m - 1:
        return None
    return w.m - 1, _("${m} - 1$ is φ of a prime, and {m} is not prime: $φ({m}) = {n}$.").format(
        m=w.m, n=w.phi.n
    )


def phi_of_prime_power(w: Work) -> tuple[int, str] | None:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod(p**k - 1 for p, k in w.phi.factors), _(
        "You took ${q} - 1$ for $φ({q})$. The multiples of {p} below ${q}$ are not coprime to it: "
        "$φ({q}) = {value}$."
    ).format(p=p, q=f"{p}^{k}", value=p ** (k - 1) * (p - 1))


def phi_of_equal_factors(w: Work) -> tuple[int, str] | None:
    p, k = next(((p, k) for p, k in w.phi.factors if k > 1), (0, 0))
    if not p:
        return None
    return prod((p - 1) ** k for p, k in w.phi.factors), _(
        "You took $({p} - 1)^{k}$ for $φ({q})$. φ of a product is the product of the φ only for "
        "coprime factors: $φ({q}) = {value}$."
    ).format(p=p, k=k, q=f"{p}^{k}", value=p ** (k - 1) * (p - 1))


def stopped_at_minus_one(w: Work) -> tuple[int, str] | None:
    if w.odd or pow(w.a, w.t // 2, w.m) != w.m - 1:
        return None
    return w.t // 2, _("${a}^{h} ≡ -1 (mod {m})$: that is not yet 1. Squaring it gives 1.").format(
        a=w.a, h=w.t // 2, m=w.m
    )


def returned_to_the_base(w: Work) -> tuple[int, str]:
    return w.t + 1, _(
        "${a}^{e} ≡ {a} (mod {m})$: you went on until the base itself came back. The order is the "
        "exponent for which the power is **1**, one step before."
    ).format(a=w.a, e=w.t + 1, m=w.m)


def not_the_least(w: Work) -> tuple[int, str] | None:
    """A multiple of t below phi(m) that divides it."""
    q = next((q for q, _e in w.phi.n_factors if w.phi.n // w.t % q == 0), 0)
    if not q or w.t * q == w.phi.n:
        return None
    return w.t * q, _(
        "${a}^{e} ≡ 1 (mod {m})$ is true, but {e} is not the least such exponent: divide it by its "
        "primes and test again."
    ).format(a=w.a, e=w.t * q, m=w.m)


def local_orders(w: Work) -> list[tuple[int, int]]:
    return [(p**k, order(w.a, p**k)) for p, k in w.phi.factors]


def one_prime_power_only(w: Work) -> tuple[int, str] | None:
    if len(w.phi.factors) < 2:
        return None
    q, t = max(local_orders(w), key=lambda found: found[1])
    return t, _(
        "{t} is the order modulo {q}. Modulo {m} the power has to be 1 for every prime power of "
        "{m} at once."
    ).format(t=t, q=q, m=w.m)


def orders_multiplied(w: Work) -> tuple[int, str] | None:
    if len(w.phi.factors) < 2:
        return None
    orders = local_orders(w)
    return prod(t for _q, t in orders), _(
        "You multiplied the orders modulo {moduli}. A power is 1 modulo all of them as soon as its "
        "exponent is a **common multiple**: the least one is wanted."
    ).format(moduli=conjunction(str(q) for q, _t in orders))


MISTAKES: dict[str, Mistake] = {
    "modulus-minus-one": modulus_minus_one,
    "phi-of-prime-power": phi_of_prime_power,
    "phi-of-equal-factors": phi_of_equal_factors,
    "phi-for-order": phi_for_order,
    "stopped-at-minus-one": stopped_at_minus_one,
    "not-the-least": not_the_least,
    "one-prime-power-only": one_prime_power_only,
    "orders-multiplied": orders_multiplied,
    "returned-to-the-base": returned_to_the_base,
}
"""Where there is an order, in the order of the method."""
