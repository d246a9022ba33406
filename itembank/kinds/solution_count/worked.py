"""The number of solutions, told from the steps that counted them.

One function a step; sentences are whole and written in the unknown x.
"""

from collections.abc import Iterator

from itembank.kinds.base import Solution
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.polynomial import worked as polynomial_worked
from itembank.kinds.polynomial.kind import PolynomialCongruence
from itembank.kinds.polynomial.worked.phrases import power_value
from itembank.kinds.power_root.powering import power_told
from itembank.kinds.power_root.wording import modulo, odd_power_tested, product_chain
from itembank.kinds.solution_count.steps import (
    CountDivided,
    CountLinear,
    CountOdd,
    CountRoots,
    CountUnits,
    CountZero,
    MultiplyCounts,
    Split,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    Piece,
    Tellers,
    answer_paragraph,
    conjunction,
    counted,
    flowing,
    polynomial,
    told,
)
from itembank.languages import Telling, Told
from itembank.languages.lettering import in_letter
from itembank.languages.words import _, ngettext
from itembank.notation.prose import table
from itembank.notation.tree import Block
from itembank.values.answer import ResidueSet, Value


def worked(solution: Solution[Value], congruence: OneUnknown) -> Telling:
    """The steps as a teacher would write them on the board, and the number."""
    blocks = told(solution.steps, TOLD, congruence)
    end = conclusion(solution.answer.value, congruence)
    return in_letter((*blocks, end), congruence.letter)


def told_linear(step: CountLinear, congruence: OneUnknown) -> Iterator[Block]:
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
    collected = _("Collected, the congruence is ${ax} ≡ {b} (mod {m})$.").format(**words)
    if b % d:
        text = _("$gcd({a}, {m}) = {d}$ does not divide {b}, so there is no solution.")
    else:
        text = _("$gcd({a}, {m}) = {d}$ divides {b}, so the number of solutions modulo {m} is {d}.")
    yield from flowing([collected, text.format(**words)], _("Greatest common divisor."))


def told_split(step: Split, congruence: OneUnknown) -> Iterator[Block]:
    m = step.modulus
    if m == 1:
        yield from flowing([_("Modulo 1 there is one residue, 0, and it solves every congruence.")])
        return
    if len(step.factors) > 1:
        moduli = [power_value(p, e) for p, e in step.factors]
        yield from flowing(
            [
                _(
                    "${chain}$, and no two of these factors have a common divisor. Each choice of "
                    "one solution modulo {moduli} belongs to exactly one solution modulo {m}: "
                    "count them for each factor, and multiply."
                ).format(
                    chain=product_chain(m, step.factors),
                    moduli=conjunction(f"${q}$" for q in moduli),
                    m=m,
                )
            ],
            _("Split the modulus."),
        )
    if isinstance(congruence, PolynomialCongruence):
        yield from flowing([_("Write $f(x) = {f}$.").format(f=polynomial(congruence.f))])


def told_roots(step: CountRoots, congruence: OneUnknown) -> Iterator[Told]:
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


def told_zero(step: CountZero, congruence: OneUnknown) -> Iterator[Block]:
    yield from flowing(zero(step), modulo(step.p, step.e))


def zero(step: CountZero) -> Iterator[Piece]:
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


def told_units(step: CountUnits, congruence: OneUnknown) -> Iterator[Block]:
    yield from flowing(units(step), modulo(step.p, step.e))


def units(step: CountUnits) -> Iterator[Piece]:
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


def told_odd(step: CountOdd, congruence: OneUnknown) -> Iterator[Block]:
    yield from flowing(odd(step), modulo(2, step.e))


def odd(step: CountOdd) -> Iterator[Piece]:
    k, q, s = step.k, power_value(2, step.e), step.s
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
    yield from odd_power_tested(k, step.a, s, step.deep)
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


def told_divided(step: CountDivided, congruence: OneUnknown) -> Iterator[Block]:
    yield from flowing(divided(step), modulo(step.p, step.e))


def divided(step: CountDivided) -> Iterator[Piece]:
    a, p, k, v, q = step.a, step.p, step.k, step.v, power_value(step.p, step.e)
    yield _("The right side is {a}, divisible by ${pv}$ and by no higher power of {p}.").format(
        a=a, pv=power_value(p, v), p=p
    )
    if step.w is None or step.inner is None:
        yield _(
            "The number of times that {p} divides $x^{k}$ is a multiple of {k}, and {v} is not: "
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


def told_product(step: MultiplyCounts, congruence: OneUnknown) -> Iterator[Block]:
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


TOLD: Tellers = {
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


def conclusion(n: int, congruence: OneUnknown) -> Block:
    m = congruence.modulus_text
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
    return answer_paragraph(text.format(n=n, m=m))
