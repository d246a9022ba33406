"""Why steps of solving a polynomial congruence follow: theorems, and their conditions in numbers.

Each step stands with the condition from which it follows, true for these numbers, and with
conditions that are not: a student, a reviewer and the audit can decide each by a calculation.

Notation: m modulus, p prime, k exponent, f polynomial, r a root modulo p.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.:
Theorems 2.23 (Hensel), 2.18 (Chinese remainders), 2.26 (Lagrange), 3.1 (Euler's criterion).
"""

from collections.abc import Iterator, Sequence
from math import gcd, isqrt

from itembank.kinds.lines import (
    Inference,
    WrongReason,
    composite_taken_for_prime,
    coprime_mistaken,
    divisibility_mistaken,
)
from itembank.kinds.polynomial.guidance import LARGEST, roots
from itembank.kinds.polynomial.steps import Square
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.maths.polynomials import Poly, derivative, value
from itembank.notation.building import polynomial
from itembank.values.answer import ResidueSet

Factors = Sequence[tuple[int, int]]

_FEW_LIFTED = 8
"""Up to this many roots modulo a prime are looked at, each for what becomes of it."""


def given(f: Poly, letter: str) -> Said:
    """What f is: conditions speak of its values."""
    return in_letter(say("With all terms on the left side, $f(x) = {f}$.", f=polynomial(f)), letter)


def inferences(
    f: Poly, letter: str, factors: Factors, answer: ResidueSet, squares: dict[int, Square]
) -> Iterator[Inference]:
    """The steps whose reasons can be asked for, in the order of the method."""
    m = answer.modulus
    if not 1 < m <= LARGEST or not any(f):
        return
    for p, _k in factors:
        if p in squares and (found := _two_square_roots(p, squares[p])):
            yield found
    for p, k in factors:
        several = len(factors) > 1
        if several and p == factors[-1][0] and (found := _few_roots(f, p, m)):
            yield found
        if k > 1:
            yield from _lifts(f, p)
    if len(factors) > 1:
        p, k = factors[-1]
        yield from _one_residue_each(m // p**k, p**k, m)
        yield _solved_below(p**k, m)


# ------------------------------------------------------------ modulo a prime


def _two_square_roots(p: int, square: Square) -> Inference | None:
    """Euler's criterion; None where the square root is seen in the integers, or is 0."""
    s, e = square.s, (p - 1) // 2
    if not square.root or isqrt(s) ** 2 == s or p < 7:
        return None
    multiple = WrongReason(
        "multiple-of-the-prime",
        say("${p}$ divides ${s}$.", p=p, s=s),
        say("Divide ${s}$ by ${p}$: is there a remainder?", p=p, s=s),
    )
    minus = WrongReason(
        "sign-of-the-criterion",
        say("${p}$ is prime, and ${s}^{e} ≡ -1 (mod {p})$.", p=p, s=s, e=e),
        say("Calculate the power by squaring: which residue does it leave?"),
    )
    number = WrongReason(
        "needs-a-square-number",
        say("${s}$ is the square of an integer.", s=s),
        say("Between the squares of which two integers does ${s}$ lie?", s=s),
    )
    return Inference(
        "euler",
        say("The congruence $y^2 ≡ {s} (mod {p})$ has exactly two solutions.", p=p, s=s),
        say("${p}$ is prime, and ${s}^{e} ≡ 1 (mod {p})$.", p=p, s=s, e=e),
        (multiple, minus, number),
    )


def _few_roots(f: Poly, p: int, m: int) -> Inference | None:
    """At most as many roots as the degree; None where the prime divides the leading coefficient."""
    n, a = len(f) - 1, f[-1]
    if a % p == 0 or p <= n or a < 0:
        return None
    return Inference(
        "lagrange",
        say("Modulo ${p}$ the congruence has at most ${n}$ solutions.", p=p, n=n),
        say("${p}$ is prime, and ${p}$ does not divide the leading coefficient ${a}$.", p=p, a=a),
        (
            WrongReason(
                "leading-coefficient-divided",
                say("${p}$ is prime, and ${p}$ divides the leading coefficient ${a}$.", p=p, a=a),
                say("Is the leading coefficient divisible by the prime?"),
            ),
            WrongReason(
                "composite-taken-for-prime",
                say(
                    "${p}$ is prime, and ${p}$ does not divide the leading coefficient ${a}$.",
                    p=m,
                    a=a,
                ),
                say("Is ${m}$ divisible by a smaller prime?", m=m),
            ),
            coprime_mistaken(p, m),
        ),
    )


# ------------------------------------------------------------ lifting


def _lifts(f: Poly, p: int) -> Iterator[Inference]:
    """What becomes of roots modulo p on the way to p^2: one root of each fate."""
    q, slope, told = p * p, derivative(f), set()
    found = roots(f, p)
    if found.count > _FEW_LIFTED:
        return
    for r in found.residues():
        v, w = value(f, r), value(slope, r)
        kind = "one lift" if w % p else "every lift" if v % q == 0 else "no lift"
        if kind not in told:
            told.add(kind)
            yield _fate(kind, p, r, v, w)


def _fate(kind: str, p: int, r: int, v: int, w: int) -> Inference:
    q = p * p
    claims = {
        "one lift": say(
            "Exactly one solution modulo ${q}$ is congruent to ${r}$ modulo ${p}$.", q=q, r=r, p=p
        ),
        "every lift": say(
            "Every integer congruent to ${r}$ modulo ${p}$ is a solution modulo ${q}$.",
            q=q,
            r=r,
            p=p,
        ),
        "no lift": say(
            "No solution modulo ${q}$ is congruent to ${r}$ modulo ${p}$.", q=q, r=r, p=p
        ),
    }
    conditions = {
        "one lift": say(
            "${p}$ divides $f({r}) = {v}$, and ${p}$ does not divide $f'({r}) = {w}$.",
            p=p,
            r=r,
            v=v,
            w=w,
        ),
        "every lift": say(
            "${p}$ divides $f'({r}) = {w}$, and ${q}$ divides $f({r}) = {v}$.",
            p=p,
            q=q,
            r=r,
            v=v,
            w=w,
        ),
        "no lift": say(
            "${p}$ divides $f'({r}) = {w}$, and ${q}$ does not divide $f({r}) = {v}$.",
            p=p,
            q=q,
            r=r,
            v=v,
            w=w,
        ),
    }
    # Without the numbers: they are those of the condition that holds.
    derived = say("Is the value of the derivative divisible by the prime?")
    valued = say("Is the value of $f$ divisible by the square of the prime?")
    no_root = WrongReason(
        "root-not-recognised",
        say("${p}$ does not divide $f({r}) = {v}$.", p=p, r=r, v=v),
        say("Is the value of $f$ divisible by the prime?"),
    )
    simple_mistaken = kind == "one lift"
    others = (
        WrongReason(
            f"{other.replace(' ', '-')}-mistaken",
            conditions[other],
            derived if simple_mistaken or other == "one lift" else valued,
        )
        for other in conditions
        if other != kind
    )
    return Inference(kind, claims[kind], conditions[kind], (*others, no_root))


# ------------------------------------------------------------ several prime powers


def _one_residue_each(a: int, b: int, m: int) -> Iterator[Inference]:
    """The Chinese remainder theorem for m = ab."""
    assert gcd(a, b) == 1
    yield Inference(
        "chinese remainders",
        say(
            "For each residue modulo ${a}$ and each residue modulo ${b}$ exactly one "
            "residue modulo ${m}$ is congruent to both.",
            a=a,
            b=b,
            m=m,
        ),
        say("$gcd({a}, {b}) = 1$, and ${a}·{b} = {m}$.", a=a, b=b, m=m),
        (
            composite_taken_for_prime(m),
            coprime_mistaken(a, m),
            divisibility_mistaken(min(a, b), max(a, b)),
        ),
    )


def _solved_below(q: int, m: int) -> Inference:
    return Inference(
        "solutions below",
        say("Every solution modulo ${m}$ is also a solution modulo ${q}$.", m=m, q=q),
        say("${q}$ divides ${m}$.", q=q, m=m),
        (
            divisibility_mistaken(m, q),
            coprime_mistaken(q, m),
            composite_taken_for_prime(m),
        ),
    )
