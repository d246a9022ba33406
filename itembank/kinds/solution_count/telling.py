"""The number of solutions, told from the steps that counted them.

One function a step; sentences are whole and written in the unknown x.
"""

from collections.abc import Iterator

from itembank.kinds.base import Solution
from itembank.kinds.modular import modulus_formula
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.polynomial.telling import worked as polynomial_telling
from itembank.kinds.polynomial.telling.phrases import related, short_power
from itembank.kinds.power_root.wording import modulo, modulus_split, odd_power_tested
from itembank.kinds.powering import power_told
from itembank.kinds.solution_count.steps import (
    CountDivided,
    CountLinear,
    CountOdd,
    CountPowers,
    CountRoots,
    CountUnits,
    CountZero,
    MultiplyCounts,
    Split,
)
from itembank.kinds.wording import Tellers, told
from itembank.languages import BREAK, Telling, Told, counted, each, grid, lead, say, spelled
from itembank.languages.lettering import in_letter, relettered
from itembank.notation.building import dotted, equal, polynomial
from itembank.notation.tree import Modulo, Number, Power
from itembank.values.answer import ResidueSet, Value


def worked(solution: Solution[Value], congruence: OneUnknown) -> Telling:
    """The steps as a teacher would write them on the board, and the number."""
    steps = told(solution.steps, _TOLD, congruence)
    end = _conclusion(solution.answer.value, congruence)
    return in_letter((*steps, *end), congruence.letter)


def _told_linear(step: CountLinear, congruence: OneUnknown) -> Iterator[Told]:
    a, b, m, d = step.a, step.b, step.m, step.d
    if a == 0 and b:
        yield say(
            "The unknown drops out, and $0 ≢ {b} (mod {m})$: no residue is a solution.", b=b, m=m
        )
        return
    if a == 0:
        yield say(
            "The unknown drops out, and $0 ≡ 0 (mod {m})$: each of the {m} residues solves it.",
            m=m,
        )
        return
    yield lead("Greatest common divisor.")
    yield say(
        "Collected, the congruence is ${ax} ≡ {b} (mod {m})$.", ax=polynomial((0, a)), b=b, m=m
    )
    if b % d:
        yield say(
            "$gcd({a}, {m}) = {d}$ does not divide {b}, so there is no solution.",
            a=a,
            b=b,
            m=m,
            d=d,
        )
    else:
        yield say(
            "$gcd({a}, {m}) = {d}$ divides {b}, so the number of solutions modulo {m} is {d}.",
            a=a,
            b=b,
            m=m,
            d=d,
        )


def _told_split(step: Split, congruence: OneUnknown) -> Iterator[Told]:
    m = step.modulus
    if m == 1:
        yield say("Modulo 1 there is one residue, 0, and it solves every congruence.")
        return
    if len(step.factors) > 1:
        yield lead("Split the modulus.")
        yield say(
            "${chain}$, and no two of these factors share a prime. Each choice of one "
            "solution modulo {moduli} belongs to exactly one solution modulo {m}: count them for "
            "each factor, and multiply.",
            chain=modulus_split(m, step.factors),
            moduli=each(short_power(p, e) for p, e in step.factors),
            m=m,
        )
    if isinstance(congruence, PolynomialCongruence):
        yield BREAK
        yield say("Write $f(x) = {f}$.", f=polynomial(congruence.f))


def _told_roots(step: CountRoots, congruence: OneUnknown) -> Iterator[Told]:
    q = short_power(step.p, step.e)
    yield from polynomial_telling.worked(Solution(ResidueSet((step.part,)), step.steps))
    yield BREAK
    if step.count:
        yield counted(
            "Modulo ${q}$ there is {n} solution.",
            "Modulo ${q}$ there are {n} solutions.",
            step.count,
            q=q,
            n=spelled(step.count),
        )
    else:
        yield say("Modulo ${q}$ there are no solutions.", q=q)


def _told_zero(step: CountZero, congruence: OneUnknown) -> Iterator[Told]:
    p, e, k, least, q = step.p, step.e, step.k, step.least, short_power(step.p, step.e)
    yield modulo(p, e)
    yield say("The right side is 0 modulo ${q}$.", q=q)
    if e == 1:
        yield say(
            "$x^{k}$ is divisible by the prime {p} if and only if $x$ is: one solution, 0.",
            k=k,
            p=p,
        )
        return
    yield say(
        "$x^{k}$ is divisible by ${p}^{e}$ if and only if $x$ is divisible by ${root}$, since ${k} "
        "· {least} ≥ {e}$ and ${k} · {fewer} < {e}$. Modulo ${q}$ there are ${q}/{root} = {n}$ "
        "such residues.",
        k=k,
        p=p,
        e=e,
        root=short_power(p, least),
        least=least,
        fewer=least - 1,
        q=q,
        n=step.count,
    )


def _told_units(step: CountUnits, congruence: OneUnknown) -> Iterator[Told]:
    yield modulo(step.p, step.e)
    yield from _units(step)


def _units(step: CountUnits) -> Iterator[Told]:
    k, a, p, d, phi, q = step.k, step.a, step.p, step.d, step.phi, short_power(step.p, step.e)
    order = p - 1 if step.simple else phi
    if step.e == 1:
        yield say("The right side is {a}, not divisible by {p}.", a=a, p=p)
    elif step.simple:
        yield say(
            "The right side is {a}. Neither it nor the exponent {k} is divisible by {p}, so each "
            "solution modulo {p} lifts in exactly one way to modulo ${q}$: count modulo {p}.",
            a=a,
            k=k,
            p=p,
            q=q,
        )
    else:
        yield say(
            "The right side is {a}, not divisible by {p}, and $φ({q}) = {phi}$.",
            a=a,
            p=p,
            q=q,
            phi=phi,
        )
    if step.simple:
        yield say("$gcd({k}, {p} - 1) = {d}$.", k=k, p=p, d=d)
    else:
        yield say("$gcd({k}, {phi}) = {d}$.", k=k, phi=phi, d=d)
    if d == 1:
        yield say("So there is exactly one solution modulo ${q}$.", q=q)
        return
    yield from _units_tested(step, order // d)
    if step.count:
        yield counted(
            "So modulo ${q}$ there is {n} solution.",
            "So modulo ${q}$ there are {n} solutions.",
            step.count,
            q=q,
            n=spelled(step.count),
        )
    else:
        yield say("So modulo ${q}$ there are no solutions.", q=q)


def _units_tested(step: CountUnits, exponent: int) -> Iterator[Told]:
    """What decides whether there are d solutions: a power that is seen, or the criterion."""
    d, a, base, k = step.d, step.a % step.base, step.base, step.k
    m = short_power(step.p, 1 if step.simple else step.e)
    root = step.root
    if root is not None:
        power_seen = equal(root**k, Power(Number(root), Number(k)))
        chain = power_seen
        if step.a != root**k:
            chain = Modulo(related(Number(step.a), "≡", power_seen), m)
        yield say(
            "One solution is seen, since ${power}$; where there is one there are {d}.",
            power=chain,
            d=spelled(d),
        )
        return
    if exponent == 1:
        yield say(
            "Here the exponent of the criterion is ${d}/{d} = 1$, and ${a} ≢ 1 (mod {m})$.",
            a=step.a,
            m=m,
            d=d,
        )
        return
    yield say(
        "So there are {n} solutions if ${a}^{exponent}$ is congruent to 1, where ${exponent} = "
        "{order}/{d}$, and none if it is not.",
        n=spelled(d),
        a=a,
        exponent=exponent,
        order=exponent * d,
        d=d,
    )
    yield from power_told(a, exponent, base, least=False)


def _told_odd(step: CountOdd, congruence: OneUnknown) -> Iterator[Told]:
    yield modulo(2, step.e)
    yield from _odd(step)


def _odd(step: CountOdd) -> Iterator[Told]:
    k, q, s = step.k, short_power(2, step.e), step.s
    if step.e == 1:
        yield say(
            "The right side is odd, and $x^{k}$ is odd if and only if $x$ is: one solution, 1.", k=k
        )
    elif s == 0:
        yield say(
            "The right side is odd and so is the exponent {k}; $φ({q}) = {phi}$ is a power of 2, "
            "so $gcd({k}, {phi}) = 1$ and there is exactly one solution.",
            k=k,
            q=q,
            phi=2 ** (step.e - 1),
        )
    else:
        yield from odd_power_tested(k, step.a, s, step.deep)
        yield from _even_exponent(step)


def _even_exponent(step: CountOdd) -> Iterator[Told]:
    """How many solutions the test leaves modulo 2^e."""
    q = short_power(2, step.e)
    if not step.count:
        yield say("So there is no solution modulo ${q}$.", q=q)
    elif step.e == step.deep:
        yield counted(
            "So every odd residue modulo ${q}$ is a solution: {n} solution.",
            "So every odd residue modulo ${q}$ is a solution: {n} solutions.",
            step.count,
            q=q,
            n=spelled(step.count),
        )
    else:
        yield counted(
            "So there are solutions. With $x$ also $-x$ is one, and both may be changed by "
            "multiples of ${half}$: {n} solution modulo ${q}$.",
            "So there are solutions. With $x$ also $-x$ is one, and both may be changed by "
            "multiples of ${half}$: {n} solutions modulo ${q}$.",
            step.count,
            half=short_power(2, step.e - step.s),
            n=spelled(step.count),
            q=q,
        )


def _told_divided(step: CountDivided, congruence: OneUnknown) -> Iterator[Told]:
    a, p, k, v, q = step.a, step.p, step.k, step.v, short_power(step.p, step.e)
    yield modulo(p, step.e)
    yield say(
        "The right side is {a}, divisible by ${pv}$ and by no higher power of {p}.",
        a=a,
        pv=short_power(p, v),
        p=p,
    )
    if step.w is None or step.b is None or step.inner is None:
        yield say(
            "The number of times that {p} divides $x^{k}$ is a multiple of {k}, and {v} is not: "
            "there is no solution modulo ${q}$.",
            p=p,
            k=k,
            v=v,
            q=q,
        )
        return
    yield say(
        "So $x = {root}·y$ with $y^{k} ≡ {b} (mod {rest})$.",
        root=short_power(p, step.w),
        k=k,
        b=step.b,
        rest=short_power(p, step.e - v),
    )
    yield from relettered(tuple(_of_units(step.inner)), {"x": "y"})
    if step.count:
        yield from _multiplied_back(step, step.inner, step.w)


def _of_units(step: CountPowers) -> Iterator[Told]:
    """The count for a right side that p does not divide."""
    match step:
        case CountUnits():
            return _units(step)
        case CountOdd():
            return _odd(step)
    raise TypeError(f"a right side that {step.p} does not divide, not {step!r}")


def _multiplied_back(step: CountDivided, inner: CountPowers, w: int) -> Iterator[Told]:
    """From the number of y modulo p^(e-v) to that of x = p^w y modulo p^e."""
    p, v = step.p, step.v
    yield say(
        "Each $y$ modulo ${rest}$ gives $x = {root}·y$ modulo ${below}$, which is {each} residues "
        "modulo ${q}$: ${n} · {each} = {count}$ solutions.",
        rest=short_power(p, step.e - v),
        root=short_power(p, w),
        below=short_power(p, step.e - v + w),
        each=p ** (v - w),
        q=short_power(p, step.e),
        n=inner.count,
        count=step.count,
    )


def _told_product(step: MultiplyCounts, congruence: OneUnknown) -> Iterator[Told]:
    if len(step.factors) < 2:
        return
    yield lead("Multiply.")
    if not step.total:
        p, e = step.factors[len(step.counts) - 1]
        yield say(
            "A solution modulo {m} would be one modulo ${q}$, and there is none: one factor 0 "
            "makes the product 0.",
            m=step.modulus,
            q=short_power(p, e),
        )
        return
    yield grid(
        (say("modulo"), *(short_power(p, e) for p, e in step.factors)),
        [(say("solutions"), *step.counts)],
        row_heads=True,
    )
    yield say(
        "Every choice gives a solution: ${product} = {total}$.",
        product=dotted(step.counts),
        total=step.total,
    )


_TOLD: Tellers = {
    CountLinear: _told_linear,
    Split: _told_split,
    CountRoots: _told_roots,
    CountZero: _told_zero,
    CountUnits: _told_units,
    CountOdd: _told_odd,
    CountDivided: _told_divided,
    MultiplyCounts: _told_product,
}
"""How each step is told."""


def _conclusion(n: int, congruence: OneUnknown) -> Iterator[Told]:
    m = modulus_formula(congruence.modulus, congruence.modulus_text)
    yield lead("Answer.")
    if n == 0:
        yield say("The congruence has no solutions: their number is 0.")
    else:
        yield counted(
            "The congruence has {n} solution modulo ${m}$.",
            "The congruence has {n} solutions modulo ${m}$.",
            n,
            n=spelled(n),
            m=m,
        )
