"""Factorials modulo m: n! (mod m), by Wilson's theorem where the modulus is prime.

Method taught: if n >= m the factor m stands in n!, which is 0. Modulo a prime p
Wilson's theorem says (p - 1)! = -1; the factors n + 1, ..., p - 1 that n! lacks are
-k, ..., -1 with k = p - 1 - n, so n! (-1)^k k! = -1. A short factorial is multiplied out.

Notation: n, m; p a prime modulus; k = p - 1 - n.
Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers,
5th ed., Theorem 2.11 (Wilson).
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import factorial
from typing import ClassVar, Self

from itembank.kinds.base import (
    Given,
    Phrases,
    Slip,
    Solution,
    Step,
    distinct_slips,
    integer_of,
    slip,
)
from itembank.kinds.mistakes import ValueFound
from itembank.kinds.modular import (
    Modular,
    factored,
    given_modulus,
    typed_modulus,
    words_and_modulus,
)
from itembank.kinds.typed import integer
from itembank.kinds.wording import (
    Tellers,
    answer_paragraph,
    conjunction,
    equal_to,
    prime_powers,
    told,
)
from itembank.languages import Telling, say
from itembank.languages.words import _, ngettext
from itembank.maths.primes import Factors, is_prime
from itembank.notation.prose import paragraph, table
from itembank.notation.reading import formula
from itembank.notation.tree import Block, Blocks, Factorial, Math, Modulo
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature

MULTIPLIED_OUT = 1_000_000
"""The most factors that are multiplied one after another."""

SHOWN_FACTORS = 40
"""The most products that are shown."""

LARGEST_SLIP = 20_000
"""Slips are computed for factorials of at most this many factors."""


# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class FactorPresent(Step):
    """n >= m, so m itself is one of the factors of n!."""

    name = "the modulus is a factor"
    n: int
    m: int


@dataclass(frozen=True)
class PrimePowers(Step):
    """m = p^k ... composite, with the power of each p in n!: (p, k, e), e >= k throughout."""

    name = "prime powers"
    n: int
    m: int
    powers: tuple[tuple[int, int, int], ...]

    @property
    def effort(self) -> int:
        return len(self.powers)


@dataclass(frozen=True)
class Wilson(Step):
    """n! (-1)^k k! = -1 modulo the prime p, k = p - 1 - n."""

    name = "Wilson's theorem"
    n: int
    p: int
    k: int


@dataclass(frozen=True)
class MultiplyOut(Step):
    """n! mod m, one factor after another: values[i] = (i + 1)! mod m."""

    name = "multiply out"
    n: int
    m: int
    values: tuple[int, ...]

    @property
    def effort(self) -> int:
        return max(self.n - 1, 1)


@dataclass(frozen=True)
class Divide(Step):
    """n! c = -1 with c = (-1)^k k! mod p, so n! is minus the inverse of c; `small` is k! mod p."""

    name = "divide"
    n: int
    p: int
    k: int
    small: int
    c: int
    inverse: int
    value: int


# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class FactorialModulo(Modular):
    """number! modulo `modulus`; the number at least 0."""

    kind: ClassVar[str] = "factorial"
    signature: ClassVar[KindSignature] = KindSignature(
        name="factorial",
        given={"number": "integer", "modulus": "integer"},
        asks=("the value",),
        slips=(
            "wilson-sign",
            "wilson-for-every-factorial",
            "wilson-for-composite",
            "missing-signs",
            "multiplied-instead-of-divided",
            "one-factor-too-many",
            "one-factor-too-few",
            "number-reduced",
        ),
        measures=("steps", "missing_factors", "digits"),
    )
    number: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        n = integer_of(given, "number")
        if n < 0:
            raise StatementError(f"given.number: expected a number of at least 0, got {n}")
        return cls(number=n, modulus=given_modulus(given))

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.number}! mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return tuple(map(formula, self.statement))

    def question(self, ask: str) -> Blocks:
        return (
            paragraph(
                _("Find the factorial ${n}!$ modulo {m}.").format(
                    n=self.number, m=f"${self.modulus_text}$"
                )
            ),
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no such residue"),
            entry=say(
                "The factorial lies in one residue class modulo {m}. Type any integer in it; "
                "$-3$ is typed -3.",
                m=self.modulus_math,
            ),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value]:
        """Raises StatementError where too many factors would have to be multiplied."""
        n, m = self.number, self.modulus
        if n >= m:
            return Solution(Value(0, m), (FactorPresent(n, m),))
        if is_prime(m):
            return modulo_a_prime(n, m)
        powers = powers_in_factorial(n, factored(m, self.known_factors, self.statement[0]))
        if powers and all(e >= k for _p, k, e in powers):
            return Solution(Value(0, m), (PrimePowers(n, m, powers),))
        refuse_if_long(n, n, m)
        step = multiplied_out(n, m)
        return Solution(Value(step.values[-1], m), (step,))

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {
            "steps": solution.effort,
            "missing_factors": max(self.modulus - 1 - self.number, 0),
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self.number, self.modulus), solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:
        answer = f"${self.number}! ≡ {solution.answer.value} (mod {self.modulus_text})$."
        steps = told(solution.steps, WORKED)
        return (*self.conventions(), *steps, answer_paragraph(answer))


def modulo_a_prime(n: int, p: int) -> Solution[Value]:
    """By Wilson's theorem if fewer factors are missing than there are; n < p."""
    k = p - 1 - n
    if n <= k:
        refuse_if_long(n, n, p)
        step = multiplied_out(n, p)
        return Solution(Value(step.values[-1], p), (step,))
    refuse_if_long(k, n, p)
    steps: list[Step] = [Wilson(n, p, k)]
    if k > 1:
        steps.append(multiplied_out(k, p))
    small = steps[-1].values[-1] if isinstance(steps[-1], MultiplyOut) else 1
    c = (-1) ** k * small % p
    inverse = pow(c, -1, p)
    value = -inverse % p
    if k:
        steps.append(Divide(n, p, k, small, c, inverse, value))
    return Solution(Value(value, p), tuple(steps))


def refuse_if_long(count: int, n: int, m: int) -> None:
    if count > MULTIPLIED_OUT:
        raise StatementError(
            f"{n}! mod {m}: needs {count} products, more than {MULTIPLIED_OUT}; modulo a prime p, "
            "n! is found quickly where n or p - n is small"
        )


def multiplied_out(n: int, m: int) -> MultiplyOut:
    values = [1 % m]
    for i in range(2, n + 1):
        values.append(values[-1] * i % m)
    return MultiplyOut(n, m, tuple(values))


def powers_in_factorial(n: int, factors: Factors) -> tuple[tuple[int, int, int], ...]:
    """(p, k, e) for each p^k of the factorisation, e the power of p in n! (Legendre)."""
    return tuple((p, k, legendre_exponent(n, p)) for p, k in factors)


def legendre_exponent(n: int, p: int) -> int:
    """The power of p in n!: floor(n/p) + floor(n/p^2) + ...

    >>> legendre_exponent(10, 2)
    8
    """
    e = 0
    while n:
        n //= p
        e += n
    return e


def read(statements: Sequence[str]) -> FactorialModulo | None:
    """The problem of "10! mod 11"; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None or not parts[0].endswith("!") or "=" in parts[0]:
        return None
    statement = statements[0]
    tree = formula(statement)
    if not isinstance(tree, Modulo) or not isinstance(tree.inside, Factorial):
        return None
    n = integer(tree.inside.term, statement)
    if n < 0:
        raise StatementError(f"{statement!r}: expected a factorial of at least 0, got {n}")
    return FactorialModulo(number=n, **typed_modulus(parts[1], statement))


# ------------------------------------------------------------ the worked solution


def worked_factor_present(step: FactorPresent) -> Iterator[Block]:
    if step.m == 1:
        text = _("Every integer is congruent to 0 modulo 1.")
    else:
        text = _(
            "${n}! = 1 · 2 · ... · {n}$ has {m} among its factors, so it is a multiple of {m}."
        )
    yield paragraph(text.format(n=step.n, m=step.m))


def worked_prime_powers(step: PrimePowers) -> Iterator[Block]:
    n, m = step.n, step.m
    yield paragraph(
        _("{m} is not prime, so Wilson's theorem does not apply. ${m} = {product}$.").format(
            m=m, product=prime_powers(tuple((p, k) for p, k, _e in step.powers))
        ),
        _("Factor the modulus."),
    )
    sentences = [
        _(
            "{p} divides ${n}!$ {e} times, counting every multiple of {p} up to {n} as often as "
            "{p} divides it; {k} times are needed."
        ).format(n=n, p=p, e=e, k=k)
        for p, k, e in step.powers
        if k > 1
    ]
    once = [str(p) for p, k, _e in step.powers if k == 1]
    if once:
        sentences.append(
            ngettext(
                "{primes} is among the factors of ${n}!$.",
                "{primes} are among the factors of ${n}!$.",
                len(once),
            ).format(primes=conjunction(once), n=n)
        )
    sentences.append(_("So ${n}!$ is a multiple of {m}.").format(n=n, m=m))
    yield paragraph(" ".join(sentences))


def worked_wilson(step: Wilson) -> Iterator[Block]:
    n, p, k = step.n, step.p, step.k
    text = _("{p} is prime, so ${last}! ≡ -1 (mod {p})$.").format(p=p, last=p - 1)
    if k == 0:
        text += " " + _("The least residue of $-1$ is {value}.").format(value=p - 1)
        yield paragraph(text, _("Wilson."))
        return
    yield paragraph(text, _("Wilson."))
    missing = listing_of_missing(n, p, k)
    if k == 1:
        text = _("The factor that ${n}!$ lacks is ${missing}$, so ${n}! · (-1) ≡ -1 (mod {p})$.")
    else:
        text = _(
            "The factors that ${n}!$ lacks are ${missing}$, and their product is ${product}$. So "
            "${n}! · {product} ≡ -1 (mod {p})$."
        )
    product = f"(-{k}!)" if k % 2 else f"{k}!"
    yield paragraph(
        text.format(n=n, p=p, missing=missing, product=product),
        _("Missing factors."),
    )


def listing_of_missing(n: int, p: int, k: int) -> str:
    """10 ≡ -2, 11 ≡ -1; with dots where there are many."""
    shown = [f"{p - i} == {-i}" for i in range(k, 0, -1)]
    if k > 4:
        shown = [*shown[:2], "...", shown[-1]]
    return '", "'.join(shown) if k > 1 else shown[0]


def worked_multiply_out(step: MultiplyOut) -> Iterator[Block]:
    n, m = step.n, step.m
    if n < 2:
        yield paragraph(_("${n}! = 1$ (an empty product is 1).").format(n=n))
        return
    if n <= SHOWN_FACTORS:
        yield paragraph(
            _("One factor after another, reducing modulo {m} each time:").format(m=m),
            _("Multiply out {n}!.").format(n=n),
        )
        yield table(
            (_("factorial"), _("calculation")),
            [("$1!$", "$1$")]
            + [(f"${i}!$", f"${product_text(step.values[i - 2], i, m)}$") for i in range(2, n + 1)],
        )
        return
    yield paragraph(
        _(
            "Multiplying one factor after another and reducing modulo {m} each time gives "
            "${n}! ≡ {value} (mod {m})$."
        ).format(n=n, m=m, value=step.values[-1])
    )


def product_text(before: int, factor: int, m: int) -> str:
    value = before * factor
    chain = f"{before} * {factor} = {value}"
    return chain if value < m else f"{chain} == {value % m}"


def worked_divide(step: Divide) -> Iterator[Block]:
    n, p, k, c, inverse, value = step.n, step.p, step.k, step.c, step.inverse, step.value
    sentences = []
    if k > 1 and k % 2:
        sentences.append(
            _("$-{k}! ≡ -{small} ≡ {c} (mod {p})$, so ${n}! · {c} ≡ -1 (mod {p})$.").format(
                k=k, small=step.small, c=c, p=p, n=n
            )
        )
    elif k > 1:
        sentences.append(_("So ${n}! · {c} ≡ -1 (mod {p})$.").format(n=n, c=c, p=p))
    if c == 1:
        sentences.append(_("That is, ${n}! ≡ -1 ≡ {value} (mod {p})$."))
    elif c == p - 1:
        sentences.append(_("Multiplying both sides by $-1$ gives ${n}! ≡ 1 (mod {p})$."))
    else:
        sentences.append(
            _(
                "The inverse of {c} modulo {p} is {inverse}, since ${c} · {inverse} {chain} (mod "
                "{p})$; multiplying by it gives ${n}! ≡ -{inverse} ≡ {value} (mod {p})$."
            )
        )
    values = {"n": n, "p": p, "c": c, "inverse": inverse, "value": value}
    chain = equal_to(c * inverse, p)
    yield paragraph(" ".join(sentences).format(**values, chain=chain), _("Divide."))


WORKED: Tellers = {
    FactorPresent: worked_factor_present,
    PrimePowers: worked_prime_powers,
    Wilson: worked_wilson,
    MultiplyOut: worked_multiply_out,
    Divide: worked_divide,
}
"""How each step is told."""


# ------------------------------------------------------------ slips


def slips_of(n: int, m: int) -> Iterator[Slip]:
    """The slips that can be made here."""
    if m < 3 or min(n, abs(m - 1 - n)) > LARGEST_SLIP:
        return
    mistakes = MISTAKES_MODULO_A_PRIME if is_prime(m) else MISTAKES_OTHERWISE
    for name, mistake in mistakes.items():
        found = mistake(n, m)
        if found is not None:
            yield slip(name, (found[0] % m,), found[1])


Mistake = Callable[[int, int], ValueFound]
"""From n and m to a wrong residue and the feedback."""


def residue(n: int, p: int) -> int:
    """n! mod p, quickly for n near p."""
    if n >= p:
        return 0
    return modulo_a_prime(n, p).answer.value


def wilson_sign(n: int, p: int) -> ValueFound:
    if n >= p or n <= p - 1 - n:
        return None
    return -residue(n, p), _(
        "You took ${last}! ≡ 1 (mod {p})$. Wilson's theorem says $-1$: every factor but 1 and "
        "{last} cancels against its inverse, and $1 · {last} ≡ -1$."
    ).format(last=p - 1, p=p)


def wilson_for_every_factorial(n: int, p: int) -> ValueFound:
    if n == p - 1:
        return None
    return -1, _(
        "Wilson's theorem is about ${last}!$ modulo {p}. For ${n}!$ the factors that are missing "
        "or added have to be dealt with."
    ).format(last=p - 1, p=p, n=n)


def missing_signs(n: int, p: int) -> ValueFound:
    k = p - 1 - n
    if not 0 < k < n or k % 2 == 0:
        return None
    if k == 1:
        said = _("The missing factor {last} is congruent to $-1$, not to 1: its minus sign stays.")
    else:
        said = _(
            "The {k} missing factors are the **negatives** of 1 to {k}, and {k} is odd: one minus "
            "sign stays."
        )
    return -residue(n, p), said.format(k=k, last=p - 1)


def multiplied_instead_of_divided(n: int, p: int) -> ValueFound:
    k = p - 1 - n
    if not 1 < k < n:
        return None
    c = (-1) ** k * residue(k, p)
    return -c, _(
        "You multiplied by the missing factors. ${n}!$ **times** the missing factors is $-1$, so "
        "they have to be divided out: multiply by the inverse of their product."
    ).format(n=n)


def one_factor_too_many(n: int, p: int) -> ValueFound:
    if not 0 < n < p - 1:
        return None
    return residue(n, p) * (n + 1), _(
        "This is ${more}!$: you counted one missing factor too few. {more} is missing from ${n}!$ "
        "too."
    ).format(more=n + 1, n=n)


def one_factor_too_few(n: int, p: int) -> ValueFound:
    if not 1 < n < p:
        return None
    return residue(n - 1, p), _(
        "This is ${less}!$: the factor {n} belongs to ${n}!$ and is not missing."
    ).format(less=n - 1, n=n)


def number_reduced(n: int, m: int) -> ValueFound:
    if n < m or n % m > LARGEST_SLIP:
        return None
    r = n % m
    return factorial(r) if r < 500 else 1, _(
        "You reduced {n} modulo {m} before taking the factorial. Congruent numbers do not have "
        "congruent factorials; look for the factor {m} in ${n}!$."
    ).format(n=n, m=m)


def wilson_for_composite(n: int, m: int) -> ValueFound:
    return -1, _(
        "You used Wilson's theorem, but {m} is not prime. Look for the prime factors of {m} among "
        "the numbers up to {n}."
    ).format(m=m, n=n)


MISTAKES_MODULO_A_PRIME: dict[str, Mistake] = {
    "number-reduced": number_reduced,
    "wilson-sign": wilson_sign,
    "wilson-for-every-factorial": wilson_for_every_factorial,
    "missing-signs": missing_signs,
    "multiplied-instead-of-divided": multiplied_instead_of_divided,
    "one-factor-too-many": one_factor_too_many,
    "one-factor-too-few": one_factor_too_few,
}
"""In the order of the method."""

MISTAKES_OTHERWISE: dict[str, Mistake] = {
    "number-reduced": number_reduced,
    "wilson-for-composite": wilson_for_composite,
}
"""Modulo a composite number."""
