"""All roots modulo one prime: by listing, by the criterion, by indices, from one root."""

from collections.abc import Iterator

from itembank.kinds.polynomial.worked.phrases import roots_told
from itembank.kinds.power_root.powering import power_told
from itembank.kinds.power_root.steps import (
    CorrectRoot,
    Criterion,
    Indices,
    ListPowers,
    LowerExponent,
    OtherRoots,
)
from itembank.kinds.power_root.wording import modulo, value_of_power
from itembank.kinds.wording import WRITTEN_OUT, Piece, flowing, listing
from itembank.languages.words import _
from itembank.notation.prose import table
from itembank.notation.tree import Block

COLUMNS = 16
"""The widest table of powers."""

IN_A_SENTENCE = 6
"""Up to this many powers stand in a sentence; more in a table."""


def list_powers(step: ListPowers) -> Iterator[Block]:
    k, p = step.k, step.p
    half = k % 2 == 0 and p > 3
    told: list[Piece] = [_("The congruence is $x^{k} ≡ {a} (mod {p})$.").format(k=k, a=step.a, p=p)]
    if half:
        told.append(
            _("Since $(-x)^{k} = x^{k}$, it is enough to try {numbers}.").format(
                k=k, numbers=_("1 and 2") if p == 5 else _("1 to {n}").format(n=(p - 1) // 2)
            )
        )
    if len(step.powers) <= IN_A_SENTENCE:
        powers = ", ".join(f"${x}^{k} {value_of_power(x, k, p)}$" for x, _power in step.powers)
        told.append(_("The powers are {powers} (mod {p}).").format(powers=powers, p=p))
    else:
        told.append(_("The powers are:"))
        told.append(
            table(
                ["$x$", *(f"${x}$" for x, _power in step.powers)],
                [[f"$x^{k}$", *(f"${power}$" for _x, power in step.powers)]],
                row_heads=True,
            )
        )
    if step.roots:
        told += roots_told(step.roots, p)
    else:
        told.append(
            _("{a} is not among them: there is no solution modulo {p}.").format(a=step.a, p=p)
        )
    yield from flowing(told, modulo(p, 1))


def criterion(step: Criterion) -> Iterator[Block]:
    k, a, p, n = step.k, step.a, step.p, step.exponent
    if k == 2:
        told: list[Piece] = [
            _(
                "By Euler's criterion {a} is a square modulo the prime {p} exactly when its power "
                "with the exponent $({p} - 1)/2 = {n}$ is congruent to 1."
            ).format(a=a, p=p, n=n)
        ]
    else:
        told = [
            _(
                "$gcd({k}, {p} - 1) = {d}$, and the prime {p} does not divide {a}. So $x^{k} ≡ "
                "{a}$ has {d} solutions modulo {p} if the power of {a} with the exponent "
                "$({p} - 1)/{d} = {n}$ is congruent to 1, and none if it is not."
            ).format(k=k, p=p, d=step.d, a=a, n=n)
        ]
    told += power_told(a, n, p)
    if step.value == 1:
        told.append(
            _("So {a} is a square.").format(a=a)
            if k == 2
            else _("So there are {d} solutions.").format(d=step.d)
        )
    else:
        told.append(_("So there is no solution modulo {p}.").format(p=p))
    yield from flowing(told, modulo(p, 1))


def indices(step: Indices) -> Iterator[Block]:
    k, a, p, g = step.k, step.a, step.p, step.g
    n = p - 1
    told: list[Piece] = [
        _("{g} is a primitive root modulo {p}: its powers are all of 1 to {n}.").format(
            g=g, p=p, n=n
        )
    ]
    for start in range(0, n, COLUMNS):
        numbers = range(start, min(start + COLUMNS, n))
        told.append(
            table(
                ["$i$", *(f"${i}$" for i in numbers)],
                [[f"${g}^i$", *(f"${step.powers[i]}$" for i in numbers)]],
                row_heads=True,
            )
        )
    told.append(
        _(
            "${a} ≡ {g}^{index}$. With $x ≡ {g}^i$ the congruence is ${g}^({k}i) ≡ {g}^{index}$, "
            "that is ${k}i ≡ {index} (mod {n})$, since exponents count modulo {n}."
        ).format(a=a, g=g, index=step.index, k=k, n=n)
    )
    if not step.found:
        told.append(
            _(
                "But $gcd({k}, {n}) = {d}$ does not divide {index}: there is no solution modulo "
                "{p}."
            ).format(k=k, n=n, d=step.d, index=step.index, p=p)
        )
    else:
        told.append(
            _(
                "$gcd({k}, {n}) = {d}$ divides {index}, and the solutions are $i ≡ {first} (mod "
                "{step})$."
            ).format(k=k, n=n, d=step.d, index=step.index, first=step.found[0], step=n // step.d)
        )
        told.append(
            _("So $i = {found}$, and $x$ is one of {powers} modulo {p}.").format(
                found=listing(step.found),
                powers=", ".join(f"${g}^{i} ≡ {step.powers[i]}$" for i in step.found),
                p=p,
            )
        )
    yield from flowing(told, modulo(p, 1))


def lower_exponent(step: LowerExponent) -> Iterator[Block]:
    k, a, p, d, u = step.k, step.a, step.p, step.d, step.u
    n = (k * u - d) // (p - 1)
    multiple = f"{n} · ({p} - 1)" if n != 1 else f"({p} - 1)"
    told: list[Piece] = [
        _(
            "${k} · {u} = {multiple} + {d}$, so $x^{k} ≡ {a}$ gives $x^{d} ≡ (x^{k})^{u} ≡ "
            "{a}^{u} (mod {p})$. Both congruences have {d} solutions, so they have the same."
        ).format(k=k, u=u, multiple=multiple, d=d, a=a, p=p)
    ]
    told += power_told(a, u, p) if u > 1 else []
    told.append(_("It remains to solve $x^{d} ≡ {b} (mod {p})$.").format(d=d, b=step.b, p=p))
    yield from flowing(told, _("Lower the exponent."))


def correct_root(step: CorrectRoot) -> Iterator[Block]:
    k, a, p, w = step.k, step.a, step.p, step.work
    told: list[Piece] = [
        _(
            "${p} - 1 = {D} · {q}$, where {q} has no common factor with {k}. The inverse of {k} "
            "modulo {q} is {v}; take ${a}^{v}$ as a first guess."
        ).format(p=p, D=w.D, q=w.q, k=k, v=w.v, a=a)
    ]
    told += power_told(a, w.v, p) if w.v > 1 else []
    if w.w == 1:
        told.append(_("Its power is ${guess}^{k} ≡ {a}$ already.").format(guess=w.guess, k=k, a=a))
    else:
        told.append(
            _(
                "${guess}^{k} ≡ {power} ≡ {a} · {w}$: too large by the factor {w}, of which "
                "${w}^{D} ≡ 1$."
            ).format(guess=w.guess, k=k, power=a * w.w % p, a=a, w=w.w, D=w.D)
        )
        told.append(
            _(
                "So it is made good by a power of $z = {h}^{q} ≡ {z}$, whose first power that is "
                "1 is $z^{D}$: ${w} · z^{j} ≡ 1$, and {j} is a multiple of {k}."
            ).format(h=w.h, q=w.q, z=w.z, D=w.D, w=w.w, j=w.j, k=k)
        )
        told.append(
            _("A root is ${guess} · {power} ≡ {root} (mod {p})$.").format(
                guess=w.guess, power=f"z^{w.j // k}" if w.j > k else "z", root=w.root, p=p
            )
        )
    yield from flowing(told, _("One root."))


def other_roots(step: OtherRoots) -> Iterator[Block]:
    k, p = step.k, step.p
    if k == 2:
        yield from flowing(
            [
                _("With {r} also $-{r} ≡ {s}$ is a root, and there are no others.").format(
                    r=step.root, s=p - step.root
                ),
                *roots_told(step.roots, p),
            ]
        )
        return
    told: list[Piece] = [
        _(
            "${z}^{k} ≡ 1$ and no lower power of {z} is 1, so 1, {z}, ${z}^2$, … are {k} numbers "
            "whose power with the exponent {k} is 1. Multiplying {r} by them gives all {k} roots."
        ).format(z=step.z, k=k, r=step.root)
    ]
    if len(step.roots) <= WRITTEN_OUT:
        told += roots_told(step.roots, p)
    yield from flowing(told, _("All roots."))
