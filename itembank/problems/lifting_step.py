"""One lifting step: the roots of f modulo p^(k+1) above one root r modulo p^k.

Method taught: put x = r + p^k t; then f(r)/p^k + f'(r) t = 0 (mod p). If p does not divide
f'(r) there is one t; otherwise every t does, or none, as p^(k+1) divides f(r) or not.

A statement is `lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25`; `lift 2 from mod 5 to mod 25
for x^2 + 4x + 23` is read as well.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th
ed., section 2.6, Theorem 2.23.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from itembank.answer import ResidueSet
from itembank.arithmetic.polynomials import Poly, derivative, scaled, sum_of, value, value_mod
from itembank.arithmetic.primes import factorisation, is_prime
from itembank.errors import StatementError
from itembank.notation.building import plain_polynomial
from itembank.notation.reading import display, formula, paragraph
from itembank.notation.tree import Block, Blocks, Display, Math
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
from itembank.problems.system import OPENINGS
from itembank.problems.typed import congruence
from itembank.problems.wording import (
    FITS_ON_THE_BOARD,
    Told,
    both_or_all,
    equal_to,
    flowing,
    in_letter,
    listing,
    multiple_of,
    polynomial,
    residue_chain,
)
from itembank.vocabulary import KindSignature
from itembank.words import _

LISTED = 24
"""At most this many lifts of a singular root are written out."""

# ------------------------------------------------------------ steps


@dataclass(frozen=True)
class Root(Step):
    """f = left - right and f(r), a multiple of p^k; `moved` if f was not the left side."""

    name = "the root"
    f: Poly
    r: int
    p: int
    k: int
    value: int
    moved: bool


@dataclass(frozen=True)
class Slope(Step):
    """f' and its value at r, with the residue modulo p."""

    name = "derivative"
    f: Poly
    r: int
    p: int
    value: int


@dataclass(frozen=True)
class SolveForT(Step):
    """quotient + slope t = 0 (mod p): the t, one, none or every residue modulo p."""

    name = "solve for t"
    r: int
    p: int
    k: int
    value: int
    quotient: int
    slope: int
    ts: tuple[int, ...] | None
    """None for every residue modulo p."""


@dataclass(frozen=True)
class Lifts(Step):
    """The roots r + p^k t modulo p^(k+1)."""

    name = "answer"
    f: Poly
    r: int
    p: int
    k: int
    ts: tuple[int, ...] | None


# ------------------------------------------------------------ the kind


@dataclass(frozen=True, kw_only=True)
class LiftingStep:
    """left = right (mod prime^(exponent + 1)) for x = root (mod prime^exponent)."""

    kind: ClassVar[str] = "lifting_step"
    signature: ClassVar[KindSignature] = KindSignature(
        name="lifting_step",
        given={
            "congruence": "equation",
            "prime": "integer",
            "exponent": "integer",
            "root": "integer",
        },
        asks=("all solutions", "the solution", "how many", "whether any"),
        slips=(
            "not-lifted",
            "every-lift-kept",
            "lift-sign",
            "power-not-brought-down",
            "derivative-not-evaluated",
            "value-not-divided",
            "step-of-one",
            "singular-taken-as-simple",
            "singular-discarded",
            "whole-modulus-solved",
        ),
        measures=("solutions", "steps", "singular_roots", "exponent", "degree", "digits"),
    )
    left: Poly
    right: Poly
    prime: int
    exponent: int
    root: int
    letter: str = "x"

    def __post_init__(self) -> None:
        p, k, q = self.prime, self.exponent, self.prime**self.exponent
        where = "; ".join(self.statement)
        if k < 1 or not is_prime(p):
            raise StatementError(f"{where}: expected a power of a prime to lift from, got {q}")
        if value_mod(self.f, self.root, q):
            raise StatementError(
                f"{where}: expected a root modulo {q} to lift; at {self.letter} = {self.root} the "
                f"sides differ by {value(self.f, self.root)}"
            )
        object.__setattr__(self, "root", self.root % q)

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The step of a family's `given`: congruence, prime p, exponent k and root modulo p^k."""
        left, right = equation_of(given, "congruence")
        return cls(
            left=left,
            right=right,
            prime=integer_of(given, "prime"),
            exponent=integer_of(given, "exponent"),
            root=integer_of(given, "root"),
            letter=letter,
        )

    @property
    def f(self) -> Poly:
        return sum_of(self.left, scaled(self.right, -1))

    @property
    def below(self) -> int:
        """p^k."""
        return int(self.prime**self.exponent)

    @property
    def modulus(self) -> int:
        """p^(k+1)."""
        return self.below * self.prime

    @property
    def sides(self) -> str:
        return " = ".join(plain_polynomial(side, self.letter) for side in (self.left, self.right))

    @property
    def statement(self) -> tuple[str, ...]:
        return (
            f"lift {self.letter} = {self.root} mod {self.below} to {self.sides} mod {self.modulus}",
        )

    @property
    def shown(self) -> tuple[Math, ...]:
        return tuple(map(formula, self.rows))

    @property
    def rows(self) -> tuple[str, str]:
        """What has to hold: the congruence above, and the root below."""
        return (
            f"{self.sides} mod {self.modulus}",
            f"{self.letter} = {self.root} mod {self.below}",
        )

    def question(self, ask: str) -> Blocks:
        root = _(
            "The residue {r} solves the first congruence modulo {below}; one lifting step leads "
            "from there to modulo {m}."
        ).format(r=self.root, below=self.below, m=self.modulus)
        return (paragraph(OPENINGS[ask]()), Display(self.shown), paragraph(root))

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a solution"),
            none=_("no solutions"),
            claim=_("the system has at least one solution"),
        )

    @property
    def canonical(self) -> tuple[object, ...]:
        """The same after a reduction modulo p^(k+1)."""
        m = self.modulus
        return (self.kind, m, self.root, tuple(c % m for c in self.f))

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[ResidueSet]:
        f, r, p, k, q = self.f, self.root, self.prime, self.exponent, self.below
        at_root, slope = value(f, r), value(derivative(f), r)
        quotient = at_root // q % p
        if slope % p:
            ts: tuple[int, ...] | None = (-quotient * pow(slope, -1, p) % p,)
        else:
            ts = () if quotient else None
        moved = any(self.right)
        steps = (
            Root(f, r, p, k, at_root, moved),
            Slope(f, r, p, slope),
            SolveForT(r, p, k, at_root, quotient, slope % p, ts),
            Lifts(f, r, p, k, ts),
        )
        classes = ((r, q),) if ts is None else tuple((r + q * t, q * p) for t in ts)
        return Solution(ResidueSet.of(q * p, classes), steps)

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {
            "solutions": solution.answer.count,
            "steps": solution.effort,
            "singular_roots": int(value_mod(derivative(self.f), self.root, self.prime) == 0),
            "exponent": self.exponent,
            "degree": len(self.f) - 1,
            "digits": len(str(self.modulus)),
        }

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(self, solution.answer), solution.answer)

    def worked(self, solution: Solution[ResidueSet]) -> Blocks:
        blocks = [block for step in solution.steps for block in TOLD[type(step)](step)]
        return in_letter(tuple(blocks), self.letter)


# ------------------------------------------------------------ statements

LIFT = re.compile(r"lift\s+(?P<root>.+?\bmod\b.+?)\s+to\s+(?P<congruence>.+)", re.IGNORECASE)
FROM = re.compile(
    r"lift\s+(?P<root>.+?)\s+from\s+mod\s+(?P<below>.+?)\s+to\s+mod\s+(?P<above>.+?)\s+for\s+"
    r"(?P<f>[^=≡]+)",
    re.IGNORECASE,
)


def read(statements: Sequence[str]) -> LiftingStep | None:
    """The step stated in one line that begins with `lift`; None for another form."""
    if len(statements) != 1 or not statements[0].strip().lower().startswith("lift "):
        return None
    text = " ".join(statements[0].split())
    if match := FROM.fullmatch(text):
        above = congruence(f"{match['f']} = 0 mod {match['above']}")
        below = congruence(f"{above.letter} = {match['root']} mod {match['below']}")
    elif match := LIFT.fullmatch(text):
        below, above = congruence(match["root"]), congruence(match["congruence"])
    else:
        raise StatementError(
            f"{text!r}: expected a step such as 'lift x = 2 mod 5 to x^2 + 4x + 23 = 0 mod 25'"
        )
    if below.left != (0, 1) or len(below.right) > 1 or below.letter != above.letter:
        raise StatementError(
            f"{text!r}: expected a root such as {above.letter} = 2 mod 5 after 'lift'"
        )
    factors = factorisation(below.modulus, below.known_factors)
    if len(factors) != 1 or above.modulus != below.modulus * factors[0][0]:
        raise StatementError(
            f"{text!r}: expected to lift from a power of a prime to the next one, got "
            f"{below.modulus} and {above.modulus}"
        )
    ((p, k),) = factors
    return LiftingStep(
        left=above.left,
        right=above.right,
        prime=p,
        exponent=k,
        root=sum(below.right),
        letter=above.letter,
    )


# ------------------------------------------------------------ the worked solution


def told_given(step: Root) -> Iterator[Block]:
    p, k, r = step.p, step.k, step.r
    q = p**k
    told = []
    if step.moved:
        told.append(_("Move everything to the left side."))
    told.append(_("Write $f(x) = {f}$.").format(f=polynomial(step.f)))
    told.append(
        _("${r}$ is a root modulo {q}: $f({r}) = {value}$.").format(
            r=r, q=q, value=multiple_of(step.value, q)
        )
    )
    told.append(
        _(
            "Every number that is {r} modulo {q} is $x = {r} + {q}t$, and modulo {next} it is a "
            "root exactly when $f({r})/{q} + f'({r})·t ≡ 0 (mod {p})$."
        ).format(r=r, q=q, next=q * p, p=p)
    )
    yield from flowing(told, _("What is sought."))


def told_slope(step: Slope) -> Iterator[Block]:
    slope = derivative(step.f)
    yield from flowing(
        [
            _("$f'(x) = {slope}$, so ${value}$.").format(
                slope=polynomial(slope), value=reduced_to(f"f'({step.r})", step.value, step.p)
            )
        ],
        _("The derivative."),
    )


def reduced_to(text: str, value: int, p: int) -> str:
    """text = 8 ≡ 3 (mod 5), or text = 3 where that is a least residue already."""
    if 0 <= value < p:
        return f"{text} = {value}"
    return f"{text} {equal_to(value, p)} (mod {p})"


def told_solve(step: SolveForT) -> Iterator[Block]:
    yield from flowing(solved(step), _("The next digit."))


def solved(step: SolveForT) -> Iterator[Told]:
    r, p, q, slope = step.r, step.p, step.p**step.k, step.slope
    exact = step.value // q
    yield f"${reduced_to(f'f({r})/{q} = {step.value}/{q}', exact, p)}$."
    if slope:
        (t,) = step.ts or ()
        inverse = pow(slope, -1, p)
        yield _("So $t$ must satisfy")
        yield display(f"{step.quotient} + {polynomial((0, slope), 't')} == 0 mod {p}")
        yield _("The derivative is not divisible by {p}, so there is exactly one $t$.").format(p=p)
        if slope == 1:
            yield _("$t ≡ -{quotient} ≡ {t} (mod {p})$.").format(quotient=step.quotient, t=t, p=p)
        else:
            yield _(
                "${slope} · {inverse} {one} (mod {p})$, so $t ≡ -{quotient} · {inverse} = {value}$."
            ).format(
                slope=slope,
                inverse=inverse,
                one=equal_to(slope * inverse, p),
                p=p,
                quotient=step.quotient,
                value=residue_chain(-step.quotient * inverse, p),
            )
        return
    yield _(
        "The derivative is divisible by {p}: the root {r} is singular, and $t$ drops out of the "
        "condition."
    ).format(p=p, r=r)
    if step.ts is None:
        yield _(
            "What is left, $0 ≡ 0 (mod {p})$, holds, so every $t$ will do: {all} lifts of {r} are "
            "roots."
        ).format(p=p, r=r, all=both_or_all(p))
    else:
        yield _("But $f({r})/{q} ≢ 0 (mod {p})$, so no $t$ will do.").format(r=r, q=q, p=p)


def told_lifts(step: Lifts) -> Iterator[Block]:
    p, q, r = step.p, step.p**step.k, step.r
    m = q * p
    lead = _("Answer.")
    if step.ts == ():
        yield from flowing(
            [
                _(
                    "No root modulo {m} is congruent to {r} modulo {q}: there are no solutions."
                ).format(m=m, r=r, q=q)
            ],
            lead,
        )
        return
    if step.ts is None:
        shown = f"$x ≡ {r} (mod {q})$"
        if p <= LISTED:
            shown = _("{classes}, that is {listed}").format(
                classes=shown, listed=f"$x ≡ {listing(range(r, m, q))} (mod {m})$"
            )
        yield from flowing(
            [_("{shown}: {p} solutions modulo {m}.").format(shown=shown, p=p, m=m)], lead
        )
        found = [r, r + q]
    else:
        (t,) = step.ts
        found = [r + q * t]
        yield from flowing(
            [
                _("$x ≡ {r} + {q} · {t} = {x} (mod {m})$, the only solution.").format(
                    r=r, q=q, t=t, x=found[0], m=m
                )
            ],
            lead,
        )
    values = [value(step.f, x) for x in found]
    if max(map(abs, values)) <= FITS_ON_THE_BOARD**2:
        checks = ", ".join(
            f"$f({x}) = {multiple_of(v, m)}$" for x, v in zip(found, values, strict=True)
        )
        yield from flowing([checks + ("." if step.ts else _(", and so on."))], _("Check."))


TOLD: Mapping[type[Step], Callable[..., Iterator[Block]]] = {
    Root: told_given,
    Slope: told_slope,
    SolveForT: told_solve,
    Lifts: told_lifts,
}
"""How each step is told."""


# ------------------------------------------------------------ slips

LARGEST = 64
"""Slips whose answer would hold more residues than this are left out: no option could show them."""

Found = tuple[Iterable[int], str] | None
Mistake = Callable[[LiftingStep, ResidueSet], Found]


def failing_value(c: LiftingStep, x: int) -> str:
    """A sentence that puts a wrong residue into f; "" if it is right."""
    v = value(c.f, x)
    if v % c.modulus == 0:
        return ""
    if abs(v) > FITS_ON_THE_BOARD:
        return " " + _("Put {x} into the congruence: it does not hold modulo {m}.").format(
            x=x, m=c.modulus
        )
    return " " + _(
        "Put {x} into the congruence: the sides differ by ${v}$, no multiple of {m}."
    ).format(x=x, v=v, m=c.modulus)


def with_digit(c: LiftingStep, t: int) -> int:
    return c.root + c.below * (t % c.prime)


def quotient_and_slope(c: LiftingStep) -> tuple[int, int]:
    f, p = c.f, c.prime
    return value(f, c.root) // c.below % p, value_mod(derivative(f), c.root, p)


def not_lifted(c: LiftingStep, key: ResidueSet) -> Found:
    if c.root in key:
        return None
    return (c.root,), _(
        "You gave the root modulo {q} as it is. A root modulo {m} must make the sides congruent "
        "modulo {m}."
    ).format(q=c.below, m=c.modulus) + failing_value(c, c.root)


def every_lift_kept(c: LiftingStep, key: ResidueSet) -> Found:
    if c.prime > LARGEST:
        return None
    wrong = range(c.root, c.modulus, c.below)
    failing = next((x for x in wrong if x not in key), c.root)
    return wrong, _(
        "You gave every number modulo {m} that is {r} modulo {q}. Only those are roots for which "
        "the condition on $t$ holds."
    ).format(m=c.modulus, r=c.root, q=c.below) + failing_value(c, failing)


def lift_sign(c: LiftingStep, key: ResidueSet) -> Found:
    quotient, slope = quotient_and_slope(c)
    if not slope:
        return None
    wrong = with_digit(c, quotient * pow(slope, -1, c.prime))
    return (wrong,), _(
        "$t$ solves $f({r})/{q} + f'({r})·t ≡ 0 (mod {p})$, so it is **minus** $f({r})/{q}$ "
        "divided by $f'({r})$."
    ).format(r=c.root, q=c.below, p=c.prime) + failing_value(c, wrong)


def lifted_with(c: LiftingStep, slope: int, text: str) -> Found:
    """The lift with another number for the derivative."""
    quotient, right = quotient_and_slope(c)
    if not right or not slope % c.prime:
        return None
    wrong = with_digit(c, -quotient * pow(slope, -1, c.prime))
    return (wrong,), text + failing_value(c, wrong)


def power_not_brought_down(c: LiftingStep, key: ResidueSet) -> Found:
    shifted = c.f[1:]
    return lifted_with(
        c,
        value(shifted, c.root),
        _(
            "You lifted with ${wrong}$ in place of the derivative. Each exponent comes down as a "
            "factor: $f'(x) = {right}$."
        ).format(wrong=polynomial(shifted), right=polynomial(derivative(c.f))),
    )


def derivative_not_evaluated(c: LiftingStep, key: ResidueSet) -> Found:
    """The coefficients of f' added up, as if x were 1."""
    slope = derivative(c.f)
    return lifted_with(
        c,
        sum(slope),
        _("You used ${frozen}$ for the derivative. Evaluate $f'(x) = {slope}$ at ${r}$.").format(
            frozen=sum(slope), slope=polynomial(slope), r=c.root
        ),
    )


def value_not_divided(c: LiftingStep, key: ResidueSet) -> Found:
    """f(r) itself, in place of f(r)/p^k: modulo p it is 0."""
    quotient, slope = quotient_and_slope(c)
    if not slope or not quotient:
        return None
    return (c.root,), _(
        "You solved $f({r}) + f'({r})·t ≡ 0 (mod {p})$, which leaves $t = 0$. Divide $f({r})$ by "
        "{q} first."
    ).format(r=c.root, p=c.prime, q=c.below)


def step_of_one(c: LiftingStep, key: ResidueSet) -> Found:
    """r + t in place of r + p^k t."""
    quotient, slope = quotient_and_slope(c)
    if not slope:
        return None
    t = -quotient * pow(slope, -1, c.prime) % c.prime
    wrong = c.root + t
    return (wrong,), _(
        "You added $t$ to {r}. The root is ${r} + {q}t$: modulo {q} it must stay {r}."
    ).format(r=c.root, q=c.below)


def singular_taken_as_simple(c: LiftingStep, key: ResidueSet) -> Found:
    _quotient, slope = quotient_and_slope(c)
    if slope or not key:
        return None
    return (key.least() or 0,), _(
        "You gave one lift. $f'({r}) ≡ 0 (mod {p})$: the root is singular, so {all} lifts are "
        "roots, or none is."
    ).format(r=c.root, p=c.prime, all=both_or_all(c.prime))


def singular_discarded(c: LiftingStep, key: ResidueSet) -> Found:
    _quotient, slope = quotient_and_slope(c)
    if slope or not key:
        return None
    return (), _(
        "You dropped the root because $f'({r}) ≡ 0 (mod {p})$. That does not rule out lifts: test "
        "whether $f({r})$ is divisible by {m}."
    ).format(r=c.root, p=c.prime, m=c.modulus)


def whole_modulus_solved(c: LiftingStep, key: ResidueSet) -> Found:
    """All roots modulo p^(k+1), not only those above r."""
    if c.modulus > 2000:
        return None
    found = [x for x in range(c.modulus) if value_mod(c.f, x, c.modulus) == 0]
    other = next((x for x in found if x % c.below != c.root), None)
    if other is None or len(found) > LARGEST:
        return None
    return found, _(
        "{other} solves the first congruence, but it is not {r} modulo {q}. Only the roots above "
        "{r} are asked for."
    ).format(other=other, r=c.root, q=c.below)


MISTAKES: tuple[Mistake, ...] = (
    not_lifted,
    every_lift_kept,
    lift_sign,
    power_not_brought_down,
    derivative_not_evaluated,
    value_not_divided,
    step_of_one,
    singular_taken_as_simple,
    singular_discarded,
    whole_modulus_solved,
)
"""In the order of the method."""


def name_of(mistake: Mistake) -> str:
    return mistake.__name__.replace("_", "-")


def slips_of(c: LiftingStep, key: ResidueSet) -> Iterator[Slip]:
    """The slips that can be made here, in the order of the method, in the letter of the step."""
    for mistake in MISTAKES:
        made = mistake(c, key)
        if made is None:
            continue
        wrong, feedback = made
        found = slip(name_of(mistake), {x % c.modulus for x in wrong}, feedback)
        yield Slip(found.names, found.answer, in_letter(found.feedback, c.letter))
