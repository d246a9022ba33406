"""The number of solutions of a congruence in one unknown, as the product of local numbers.

Method taught: modulo each prime power of the modulus the solutions are counted - by the
greatest common divisor for linear congruences, by the criterion for powers, by the roots
themselves for other polynomials - and since every choice of one solution for each prime
power gives one modulo m, the numbers are multiplied.

A statement is `number of solutions of x^2 = 1 mod 360`.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., sections 2.2 (linear), 2.3 (the product) and 2.8 (powers modulo prime powers).
"""

import dataclasses
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import gcd, prod
from typing import Any, ClassVar, Self

from itembank.answer import Part, ResidueSet, Value
from itembank.arithmetic.polynomials import reduced
from itembank.arithmetic.power_roots import count_of_unit_roots
from itembank.arithmetic.primes import Factors, Unfactored, factorisation, valuation
from itembank.errors import StatementError
from itembank.notation.reading import paragraph, table
from itembank.notation.tree import Block, Blocks, Display, Math
from itembank.problems import one_unknown
from itembank.problems.base import (
    Given,
    Phrases,
    Slip,
    Solution,
    Step,
    distinct_slips,
    equation_of,
    integer_of,
    slip,
)
from itembank.problems.linear import LinearCongruence
from itembank.problems.one_unknown import OneUnknown
from itembank.problems.polynomial import PolynomialCongruence
from itembank.problems.polynomial import worked as polynomial_worked
from itembank.problems.polynomial.solve import solve_prime_power
from itembank.problems.polynomial.worked.phrases import factored, power_value
from itembank.problems.power_root import PowerRoot
from itembank.problems.power_root.powering import power_told
from itembank.problems.wording import (
    FITS_ON_THE_BOARD,
    Told,
    conjunction,
    flowing,
    in_letter,
    number_word,
    polynomial,
    residue_chain,
    run_in,
)
from itembank.vocabulary import KindSignature
from itembank.words import _, ngettext

# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class CountLinear(Step):
    """ax = b (mod m), least residues: d = gcd(a, m) solutions if d divides b, else none."""

    name = "count linear"
    a: int
    b: int
    m: int
    d: int

    @property
    def count(self) -> int:
        return 0 if self.b % self.d else self.d


@dataclass(frozen=True)
class Split(Step):
    """m as a product of prime powers, in increasing order of the primes."""

    name = "split the modulus"
    modulus: int
    factors: Factors

    @property
    def effort(self) -> int:
        return len(self.factors)


@dataclass(frozen=True)
class LocalCount(Step):
    """A step that counts the solutions modulo p^e."""

    p: int
    e: int

    @property
    def count(self) -> int:
        raise NotImplementedError

    @property
    def q(self) -> int:
        return int(self.p**self.e)


@dataclass(frozen=True)
class CountRoots(LocalCount):
    """A polynomial: the steps of its own kind find the roots modulo p^e, which are counted."""

    name = "count roots"
    steps: tuple[Step, ...]
    part: Part

    @property
    def effort(self) -> int:
        return 1 + sum(step.effort for step in self.steps)

    @property
    def count(self) -> int:
        return self.part.count


@dataclass(frozen=True)
class CountPowers(LocalCount):
    """x^k = a modulo p^e, 0 <= a < p^e."""

    k: int
    a: int


@dataclass(frozen=True)
class CountZero(CountPowers):
    """p^e divides a: the multiples of p^least, least = e/k rounded up."""

    name = "a power that is zero"
    least: int

    @property
    def count(self) -> int:
        return int(self.p ** (self.e - self.least))


@dataclass(frozen=True)
class CountUnits(CountPowers):
    """p odd and prime to a: d = gcd(k, phi) solutions if a^(phi/d) = value is 1, else none."""

    name = "criterion"
    phi: int
    d: int
    value: int

    @property
    def effort(self) -> int:
        return 2 + (self.phi // self.d).bit_length()

    @property
    def count(self) -> int:
        return self.d if self.value == 1 else 0


@dataclass(frozen=True)
class CountOdd(CountPowers):
    """p = 2, a odd: one if k is odd; else 2^s divides k exactly and a must be 1 mod 2^deep."""

    name = "powers of odd numbers"
    s: int
    deep: int
    found: int

    @property
    def count(self) -> int:
        return self.found


@dataclass(frozen=True)
class CountDivided(CountPowers):
    """p^v divides a exactly, 0 < v < e: x = p^w y, y^k = b modulo p^(e-v), counted by `inner`.

    w and inner are None if k does not divide v. Each y modulo p^(e-v) gives p^(v-w) of x.
    """

    name = "divide out a power of p"
    v: int
    w: int | None
    b: int | None
    inner: "CountPowers | None"

    @property
    def effort(self) -> int:
        return 2 + (self.inner.effort if self.inner else 0)

    @property
    def count(self) -> int:
        if self.inner is None or self.w is None:
            return 0
        return int(self.inner.count * self.p ** (self.v - self.w))


@dataclass(frozen=True)
class MultiplyCounts(Step):
    """The product of the local numbers; `counts` ends with a 0 where one was found."""

    name = "multiply"
    modulus: int
    factors: Factors
    counts: tuple[int, ...]
    total: int


# ------------------------------------------------------------ counting


def solve(congruence: OneUnknown) -> Solution[Value]:
    """How many residues solve the congruence, with the steps.  Raises Unfactored."""
    m = congruence.modulus
    if isinstance(congruence, LinearCongruence):
        a, b = congruence.a, congruence.b
        step = CountLinear(a, b, m, gcd(a, m))
        return Solution(Value(step.count), (step,))
    factors = factorisation(m, congruence.known_factors)
    steps: list[Step] = [Split(m, factors)]
    counts: list[int] = []
    for p, e in factors:
        local = local_count(congruence, p, e)
        steps.append(local)
        counts.append(local.count)
        if not local.count:
            break
    total = prod(counts)
    steps.append(MultiplyCounts(m, factors, tuple(counts), total))
    return Solution(Value(total), tuple(steps))


def local_count(congruence: PolynomialCongruence | PowerRoot, p: int, e: int) -> LocalCount:
    if isinstance(congruence, PowerRoot):
        return count_powers(congruence.exponent, congruence.power % p**e, p, e)
    steps, classes = solve_prime_power(congruence.f, p, e)
    return CountRoots(p, e, tuple(steps), Part(p**e, classes))


def count_powers(k: int, a: int, p: int, e: int) -> CountPowers:
    """The step that counts the solutions of x^k = a modulo p^e, a a least residue."""
    if a == 0:
        return CountZero(p, e, k, a, -(-e // k))
    v = valuation(a, p)
    if v:
        if v % k:
            return CountDivided(p, e, k, a, v, None, None, None)
        b = a // p**v
        return CountDivided(p, e, k, a, v, v // k, b, count_powers(k, b, p, e - v))
    if p == 2:
        s = valuation(k, 2)
        return CountOdd(p, e, k, a, s, min(e, s + 2), count_of_unit_roots(k, a, p, e))
    phi = p ** (e - 1) * (p - 1)
    d = gcd(k, phi)
    return CountUnits(p, e, k, a, phi, d, pow(a, phi // d, p**e))


# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class SolutionCount:
    """How many residues solve a congruence in one unknown."""

    kind: ClassVar[str] = "solution_count"
    signature: ClassVar[KindSignature] = KindSignature(
        name="solution_count",
        given={"congruence": "equation", "modulus": "integer"},
        asks=("the value",),
        slips=(
            "divisor-untested",
            "one-solution-only",
            "criterion-untested",
            "zero-counted-once",
            "divided-counted-once",
            "two-treated-as-odd",
            "counted-modulo-the-primes",
            "as-for-a-prime-modulus",
            "degree-as-bound",
            "unsolvable-factor-ignored",
            "factor-dropped",
            "counts-added",
        ),
        measures=("solutions", "steps", "prime_powers", "degree", "digits"),
    )
    congruence: OneUnknown

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The count of a family's `given`: congruence and modulus."""
        left, right = equation_of(given, "congruence")
        m = integer_of(given, "modulus")
        return cls(congruence=one_unknown.of_sides(left, right, m, letter))

    @property
    def modulus(self) -> int:
        return self.congruence.modulus

    @property
    def letter(self) -> str:
        return self.congruence.letter

    @property
    def factors(self) -> Factors:
        return factorisation(self.modulus, self.congruence.known_factors)

    @property
    def degree(self) -> int:
        """The degree of the congruence."""
        if isinstance(self.congruence, PowerRoot):
            return self.congruence.exponent
        return max(len(reduced(self.congruence.f, self.modulus)) - 1, 0)

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"number of solutions of {self.congruence.statement[0]}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return self.congruence.shown

    def question(self, ask: str) -> Blocks:
        return (paragraph(_("Find the **number of solutions** of")), Display(self.shown))

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a solution"),
            none=_("no solutions"),
            claim=_("the congruence has at least one solution"),
            entry=_(
                "Type the number of least residues that solve it, in digits; if there is no "
                "solution, type 0."
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, *self.congruence.canonical)

    @property
    def twin(self) -> tuple[object, ...]:
        return (self.kind, *self.congruence.twin)

    def solve(self) -> Solution[Value]:
        try:
            return solve(self.congruence)
        except Unfactored as e:
            raise StatementError(f"{self.statement[0]}: {e}") from None

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.value,
            "steps": solution.effort,
            "prime_powers": len(self.factors),
            "degree": self.degree,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self, solution), solution.answer)

    def worked(self, solution: Solution[Value]) -> Blocks:
        told = [block for step in solution.steps for block in TOLD[type(step)](step, self)]
        return in_letter((*told, conclusion(self, solution.answer.value)), self.letter)


FORM = re.compile(r"(?:the )?number of solutions of (?P<congruence>.+)", re.IGNORECASE)


def read(statements: Sequence[str]) -> SolutionCount | None:
    """The problem of "number of solutions of x^2 = 1 mod 360"; None for another form."""
    if len(statements) != 1:
        return None
    match = FORM.fullmatch(" ".join(statements[0].split()))
    if match is None:
        return None
    congruence = one_unknown.read([match["congruence"]])
    assert congruence is not None
    return SolutionCount(congruence=congruence)


# ------------------------------------------------------------ the worked solution


def counted(n: int) -> str:
    """no solutions, one solution, four solutions."""
    return ngettext("{n} solution", "{n} solutions", n).format(n=number_word(n))


def modulo(p: int, e: int) -> str:
    return _("Modulo {q}.").format(q=run_in(power_value(p, e)))


def told_linear(step: CountLinear, c: SolutionCount) -> Iterator[Block]:
    a, b, m, d = step.a, step.b, step.m, step.d
    words = {"a": a, "b": b, "m": m, "d": d, "ax": polynomial((0, a))}
    if a == 0 and b:
        text = _("The unknown drops out, and $0 ≢ {b} (mod {m})$: no residue is a solution.")
    elif a == 0:
        text = _(
            "The unknown drops out, and $0 ≡ 0 (mod {m})$: each of the {m} residues solves it."
        )
    if a == 0:
        yield from flowing([text.format(**words)])
        return
    told = [_("Collected, the congruence is ${ax} ≡ {b} (mod {m})$.").format(**words)]
    if b % d:
        text = _("$gcd({a}, {m}) = {d}$ does not divide {b}, so there is no solution.")
    else:
        text = _("$gcd({a}, {m}) = {d}$ divides {b}, so the number of solutions modulo {m} is {d}.")
    yield from flowing([*told, text.format(**words)], _("Greatest common divisor."))


def told_split(step: Split, c: SolutionCount) -> Iterator[Block]:
    m = step.modulus
    if m == 1:
        yield from flowing([_("Modulo 1 there is one residue, 0, and it solves every congruence.")])
        return
    if len(step.factors) > 1:
        moduli = [power_value(p, e) for p, e in step.factors]
        numbers, powers = " · ".join(moduli), factored(step.factors)
        chain = f"{m} = {numbers}" + (f" = {powers}" if powers != numbers else "")
        yield from flowing(
            [
                _(
                    "${chain}$, and no two of these factors have a common divisor. Each choice of "
                    "one solution modulo {moduli} belongs to exactly one solution modulo {m}: "
                    "count them for each factor, and multiply."
                ).format(chain=chain, moduli=conjunction(f"${q}$" for q in moduli), m=m)
            ],
            _("Split the modulus."),
        )
    if isinstance(c.congruence, PolynomialCongruence):
        yield from flowing([_("Write $f(x) = {f}$.").format(f=polynomial(c.congruence.f))])


def told_roots(step: CountRoots, c: SolutionCount) -> Iterator[Block]:
    yield from polynomial_worked.worked(Solution(ResidueSet((step.part,)), step.steps))
    yield from flowing(
        [
            _("Modulo ${q}$ there are {counted}.").format(
                q=power_value(step.p, step.e), counted=counted(step.count)
            )
            if step.count != 1
            else _("Modulo ${q}$ there is one solution.").format(q=power_value(step.p, step.e))
        ]
    )


def told_zero(step: CountZero, c: SolutionCount) -> Iterator[Block]:
    yield from flowing(zero(step), modulo(step.p, step.e))


def zero(step: CountZero) -> Iterator[Told]:
    p, e, k, least, q = step.p, step.e, step.k, step.least, power_value(step.p, step.e)
    yield _("The right side is 0 modulo ${q}$.").format(q=q)
    if e == 1:
        yield _(
            "$x^{k}$ is divisible by the prime {p} exactly when $x$ is: one solution, 0."
        ).format(k=k, p=p)
        return
    yield _(
        "$x^{k}$ is divisible by ${p}^{e}$ exactly when $x$ is divisible by ${root}$, since ${k} "
        "· {least} ≥ {e}$ and ${k} · {fewer} < {e}$. Modulo ${q}$ there are ${q}/{root} = {n}$ "
        "such residues."
    ).format(
        k=k, p=p, e=e, root=power_value(p, least), least=least, fewer=least - 1, q=q, n=step.count
    )


def told_units(step: CountUnits, c: SolutionCount) -> Iterator[Block]:
    yield from flowing(units(step), modulo(step.p, step.e))


def units(step: CountUnits) -> Iterator[Told]:
    k, a, p, d, phi = step.k, step.a, step.p, step.d, step.phi
    q = power_value(p, step.e)
    n = phi // d
    if step.e == 1:
        yield _("The right side is {a}, not divisible by {p}.").format(a=a, p=p)
        yield _("$gcd({k}, {p} - 1) = {d}$.").format(k=k, p=p, d=d)
    else:
        yield _("The right side is {a}, not divisible by {p}, and $φ({q}) = {phi}$.").format(
            a=a, p=p, q=q, phi=phi
        )
        yield _("$gcd({k}, {phi}) = {d}$.").format(k=k, phi=phi, d=d)
    if d == 1:
        yield _("So there is exactly one solution modulo ${q}$.").format(q=q)
        return
    yield _(
        "So there are {d} solutions modulo ${q}$ if ${a}^{n}$ is congruent to 1, where ${n} = "
        "{phi}/{d}$, and none if it is not."
    ).format(d=d, q=q, a=a, n=n, phi=phi)
    yield from power_told(a, n, step.q)
    yield _("So modulo ${q}$ there are {counted}.").format(q=q, counted=counted(step.count))


def told_odd(step: CountOdd, c: SolutionCount) -> Iterator[Block]:
    yield from flowing(odd(step), modulo(2, step.e))


def odd(step: CountOdd) -> Iterator[Told]:
    k, a, q, s = step.k, step.a, power_value(2, step.e), step.s
    if step.e == 1:
        yield _(
            "The right side is odd, and $x^{k}$ is odd exactly when $x$ is: one solution, 1."
        ).format(k=k)
        return
    if s == 0:
        yield _(
            "The right side is odd and so is the exponent {k}; $φ({q}) = {phi}$ is a power of 2, "
            "so $gcd({k}, {phi}) = 1$ and there is exactly one solution."
        ).format(k=k, q=q, phi=2 ** (step.e - 1))
        return
    if k == 2:
        yield _("$x$ must be odd, and the square of an odd number is 1 modulo 8.")
    else:
        yield _(
            "$x$ must be odd, and the square of an odd number is 1 modulo 8; so $x^{k}$, where "
            "{two} divides the exponent, is 1 modulo {m}."
        ).format(k=k, two=power_value(2, s), m=power_value(2, s + 2))
    yield _("The right side is ${right}$.").format(
        right=f"{residue_chain(a, 2**step.deep)} (mod {power_value(2, step.deep)})"
    )
    if not step.count:
        yield _("So there is no solution modulo ${q}$.").format(q=q)
    elif step.e == step.deep:
        yield _("So every odd residue modulo ${q}$ is a solution: {n} of them.").format(
            q=q, n=step.count
        )
    else:
        yield _(
            "So there are solutions. With $x$ also $-x$ is one, and both may be changed by "
            "multiples of ${half}$: {counted} modulo ${q}$."
        ).format(half=power_value(2, step.e - s), counted=counted(step.count), q=q)


def told_divided(step: CountDivided, c: SolutionCount) -> Iterator[Block]:
    yield from flowing(divided(step), modulo(step.p, step.e))


def divided(step: CountDivided) -> Iterator[Told]:
    a, p, k, v, q = step.a, step.p, step.k, step.v, power_value(step.p, step.e)
    yield _("The right side is {a}, divisible by ${pv}$ and by no higher power of {p}.").format(
        a=a, pv=power_value(p, v), p=p
    )
    if step.w is None or step.inner is None:
        yield _(
            "The number of times that {p} divides $x^{k}$ is a multiple of {k}, and {v} is none: "
            "there is no solution modulo ${q}$."
        ).format(p=p, k=k, v=v, q=q)
        return
    rest = power_value(p, step.e - v)
    yield _("So $x = {root}·y$ with $y^{k} ≡ {b} (mod {rest})$.").format(
        root=power_value(p, step.w), k=k, b=step.b, rest=rest
    )
    inner = step.inner
    sentences = units(inner) if isinstance(inner, CountUnits) else odd(inner)  # type: ignore[arg-type]
    for sentence in sentences:
        yield sentence.replace("$x", "$y") if isinstance(sentence, str) else sentence
    if step.count:
        yield _(
            "Each $y$ modulo ${rest}$ gives $x = {root}·y$ modulo ${below}$, which is {each} "
            "residues modulo ${q}$: ${n} · {each} = {count}$ solutions."
        ).format(
            rest=rest,
            root=power_value(p, step.w),
            below=power_value(p, step.e - v + step.w),
            each=p ** (v - step.w),
            q=q,
            n=inner.count,
            count=step.count,
        )


def told_product(step: MultiplyCounts, c: SolutionCount) -> Iterator[Block]:
    if len(step.factors) < 2:
        return
    if not step.total:
        p, e = step.factors[len(step.counts) - 1]
        yield from flowing(
            [
                _(
                    "A solution modulo {m} would be one modulo ${q}$, and there is none: one "
                    "factor 0 makes the product 0."
                ).format(m=step.modulus, q=power_value(p, e))
            ],
            _("Multiply."),
        )
        return
    product = " · ".join(map(str, step.counts))
    yield from flowing(
        [
            table(
                [_("modulo"), *(f"${power_value(p, e)}$" for p, e in step.factors)],
                [[_("solutions"), *(f"${n}$" for n in step.counts)]],
                row_heads=True,
            ),
            _("Every choice gives a solution: ${product} = {total}$.").format(
                product=product, total=step.total
            ),
        ],
        _("Multiply."),
    )


TOLD: Mapping[type[Step], Callable[[Any, SolutionCount], Iterator[Block]]] = {
    CountLinear: told_linear,
    Split: told_split,
    CountRoots: told_roots,
    CountZero: told_zero,
    CountUnits: told_units,
    CountOdd: told_odd,
    CountDivided: told_divided,
    MultiplyCounts: told_product,
}
"""How each step is told."""


def conclusion(c: SolutionCount, n: int) -> Block:
    m = c.congruence.modulus_text
    if n == 0:
        text = _("The congruence has no solutions: their number is 0.")
    elif n > FITS_ON_THE_BOARD:
        text = _("The congruence has ${n}$ solutions modulo ${m}$.")
    else:
        text = ngettext(
            "The congruence has {n} solution modulo ${m}$.",
            "The congruence has {n} solutions modulo ${m}$.",
            n,
        )
    return paragraph(text.format(n=n, m=m), _("Answer."))


# ------------------------------------------------------------ slips


@dataclass(frozen=True)
class CountWork:
    """The true work: the problem, its steps, and the local steps of all prime powers.

    The local steps go on beyond one that counted 0, where the working stops.
    """

    c: SolutionCount
    steps: tuple[Step, ...]
    key: int

    @cached_property
    def locals(self) -> tuple[LocalCount, ...]:
        congruence = self.c.congruence
        if isinstance(congruence, LinearCongruence):
            return ()
        return tuple(local_count(congruence, p, e) for p, e in self.c.factors)

    @property
    def counts(self) -> tuple[int, ...]:
        return tuple(local.count for local in self.locals)

    @property
    def linear(self) -> CountLinear | None:
        step = self.steps[0]
        return step if isinstance(step, CountLinear) and step.a else None

    def with_count(self, changed: LocalCount, n: int) -> int:
        """The product with another number for one prime power."""
        return prod(n if local is changed else local.count for local in self.locals)


Found = tuple[int, str] | None
Mistake = Callable[[CountWork], Found]


def divisor_untested(w: CountWork) -> Found:
    step = w.linear
    if step is None or step.count:
        return None
    return step.d, _(
        "You gave the greatest common divisor {d} without testing whether it divides {b}. If it "
        "does not, there is no solution."
    ).format(d=step.d, b=step.b)


def one_solution_only(w: CountWork) -> Found:
    step = w.linear
    if step is None or step.count < 2:
        return None
    return 1, _(
        "{d} divides both {a} and {m}, so the one solution modulo ${m}/{d} = {n}$ is several "
        "residues modulo {m}."
    ).format(d=step.d, a=step.a, m=step.m, n=step.m // step.d)


def criterion_untested(w: CountWork) -> Found:
    """gcd(k, phi) solutions assumed, whether a is a power or not."""
    failing = next((s for s in w.locals if isinstance(s, CountUnits) and not s.count), None)
    if failing is None or w.key:
        return None
    n = prod(s.d if isinstance(s, CountUnits) else s.count for s in w.locals)
    if not n:
        return None
    return n, _(
        "Modulo {q} you counted $gcd({k}, {phi}) = {d}$ solutions without testing whether there "
        "are any: ${a}^{n}$ is not congruent to 1."
    ).format(
        q=failing.q,
        k=failing.k,
        phi=failing.phi,
        d=failing.d,
        a=failing.a,
        n=failing.phi // failing.d,
    )


def zero_counted_once(w: CountWork) -> Found:
    step = next((s for s in w.locals if isinstance(s, CountZero) and s.count > 1), None)
    if step is None:
        return None
    return w.with_count(step, 1), _(
        "Modulo {q} you counted 0 only. $x$ need not be divisible by {q}: it is enough that "
        "$x^{k}$ is."
    ).format(q=step.q, k=step.k)


def divided_counted_once(w: CountWork) -> Found:
    step = next((s for s in w.locals if isinstance(s, CountDivided) and s.count), None)
    if step is None or step.inner is None:
        return None
    return w.with_count(step, step.inner.count), _(
        "After dividing by {pv} the modulus is {rest}, and you counted modulo {rest}. Each "
        "solution there is several residues modulo {q}."
    ).format(pv=step.p**step.v, rest=step.p ** (step.e - step.v), q=step.q)


def two_treated_as_odd(w: CountWork) -> Found:
    """Two roots modulo 2^e for an even exponent, as modulo an odd prime power."""
    step = next((s for s in w.locals if isinstance(s, CountOdd) and s.count > 2), None)
    if step is None:
        return None
    return w.with_count(step, 2), _(
        "Modulo {q} you counted two roots, as for an odd prime. Modulo $2^e$ with $e ≥ 3$ an even "
        "exponent gives at least four, or none."
    ).format(q=step.q)


def counted_modulo_the_primes(w: CountWork) -> Found:
    """The product of the numbers modulo the primes, not their powers."""
    congruence = w.c.congruence
    if isinstance(congruence, LinearCongruence):
        return None
    n = prod(local_count(congruence, p, 1).count for p, _e in w.c.factors)
    p, e = next(((p, e) for p, e in w.c.factors if e > 1), (0, 0))
    if not p:
        return None
    return n, _(
        "You counted modulo the primes. Modulo {q} there can be more solutions than modulo {p}, or "
        "fewer, where roots are singular."
    ).format(q=p**e, p=p)


def as_for_a_prime_modulus(w: CountWork) -> Found:
    congruence = w.c.congruence
    if not isinstance(congruence, PowerRoot) or len(w.c.factors) < 2 or not w.key:
        return None
    m, k = congruence.modulus, congruence.exponent
    if m % 2 == 0:
        return None
    return gcd(k, m - 1), _(
        "You gave $gcd({k}, {m} - 1)$, which counts roots modulo a prime. {m} is composite: count "
        "modulo each of its prime powers and multiply."
    ).format(k=k, m=m)


def degree_as_bound(w: CountWork) -> Found:
    n = w.c.degree
    if n < 2 or w.key <= n:
        return None
    return n, _(
        "A polynomial of degree {n} has at most {n} roots modulo a **prime**. {m} is not prime, "
        "and there can be more."
    ).format(n=n, m=w.c.modulus)


def unsolvable_factor_ignored(w: CountWork) -> Found:
    empty = [s for s in w.locals if not s.count]
    if len(empty) != 1 or len(w.locals) < 2:
        return None
    n = prod(s.count for s in w.locals if s.count)
    return n, _(
        "Modulo {q} there is no solution, and you left that factor out. One factor 0 makes the "
        "product 0."
    ).format(q=empty[0].q)


def factor_dropped(w: CountWork) -> Found:
    if len(w.locals) < 2 or not w.key:
        return None
    dropped = max(w.locals, key=lambda s: s.count)
    if dropped.count < 2:
        return None
    return w.key // dropped.count, _(
        "You left out the factor {q} of the modulus: modulo {q} too there is more than one choice."
    ).format(q=dropped.q)


def counts_added(w: CountWork) -> Found:
    if len(w.locals) < 2 or not w.key:
        return None
    return sum(w.counts), _(
        "You added the numbers of solutions modulo the prime powers. Each solution modulo the one "
        "goes with each modulo the others, so they are multiplied."
    )


MISTAKES: tuple[Mistake, ...] = (
    divisor_untested,
    one_solution_only,
    criterion_untested,
    zero_counted_once,
    divided_counted_once,
    two_treated_as_odd,
    counted_modulo_the_primes,
    as_for_a_prime_modulus,
    degree_as_bound,
    unsolvable_factor_ignored,
    factor_dropped,
    counts_added,
)
"""In the order of the method."""


def name_of(mistake: Mistake) -> str:
    return mistake.__name__.replace("_", "-")


def slips_of(c: SolutionCount, solution: Solution[Value]) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method."""
    work = CountWork(c, solution.steps, solution.answer.value)
    for mistake in MISTAKES:
        made = mistake(work)
        if made is None:
            continue
        n, feedback = made
        found = slip(name_of(mistake), (n,), feedback)
        yield dataclasses.replace(found, feedback=in_letter(found.feedback, c.letter))
