"""The worked solution of x^k = a (mod m), told from its steps.

One function a step; sentences are whole and written in the unknown x.  After p has been
divided out the unknown is y = x/p^w, until the classes are multiplied back.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from itembank.arithmetic.power_roots import PowerLift, Round
from itembank.notation.reading import table
from itembank.notation.tree import Block, Blocks
from itembank.problems.base import Solution, Step
from itembank.problems.polynomial.steps import Combine, Conclude
from itembank.problems.polynomial.worked import TOLD as TOLD_FOR_POLYNOMIALS
from itembank.problems.polynomial.worked.phrases import (
    class_phrase,
    factored,
    modulus_text,
    power_value,
    roots_told,
)
from itembank.problems.power_root.powering import power_told
from itembank.problems.power_root.steps import (
    CorrectRoot,
    Criterion,
    Divide,
    Indices,
    InvertExponent,
    LeastResidue,
    Lift,
    ListPowers,
    LowerExponent,
    Multiply,
    Odd,
    OddPower,
    OtherRoots,
    RootByRounds,
    RootFiveModEight,
    RootThreeModFour,
    SamePower,
    Split,
    Substitute,
    Zero,
)
from itembank.problems.power_root.wording import derivative_text
from itembank.problems.wording import (
    FITS_ON_THE_BOARD,
    WRITTEN_OUT,
    Told,
    conjunction,
    each_on_a_line,
    equal_to,
    fits,
    flowing,
    in_letter,
    listing,
    polynomial,
    relettered,
    residue_chain,
    run_in,
)
from itembank.words import _, ngettext

COLUMNS = 16
"""The widest table of powers."""

IN_A_SENTENCE = 6
"""Up to this many powers stand in a sentence; more in a table."""

ROWS = 40
"""At most this many rows of lifting are shown for one prime power."""

LEVELS = 3
"""Roots are lifted level by level, side by side, over at most this many levels."""


def worked(solution: Solution[Any], letter: str = "x") -> Blocks:
    """The steps as a teacher would write them on the board."""
    blocks: list[Block] = []
    divided = False
    for step in solution.steps:
        divided = divided and not isinstance(step, Multiply | Combine | Conclude)
        told = tuple(TOLD[type(step)](step))
        blocks += relettered(told, {"x": "y"}) if divided else told
        divided = divided or isinstance(step, Divide)
    return in_letter(tuple(blocks), letter)


# ------------------------------------------------------------ the modulus


def least_residue(step: LeastResidue) -> Iterator[Block]:
    yield from flowing(
        [
            _("${a} ≡ {b} (mod {m})$, so the congruence is $x^{k} ≡ {b} (mod {m})$.").format(
                a=step.a, b=step.b, m=step.modulus, k=step.k
            )
        ]
    )


def split(step: Split) -> Iterator[Block]:
    m = step.modulus
    if m == 1:
        yield from flowing([_("Every integer is divisible by 1, so every integer is a solution.")])
    elif len(step.factors) > 1:
        moduli = [power_value(p, e) for p, e in step.factors]
        numbers, powers = " · ".join(moduli), factored(step.factors)
        chain = f"{m} = {numbers}" + (f" = {powers}" if powers != numbers else "")
        yield from flowing(
            [
                _(
                    "The modulus is ${chain}$, and no two of these factors have a common divisor. "
                    "So $x$ solves the congruence modulo {m} exactly when it solves it modulo "
                    "{moduli}."
                ).format(chain=chain, m=m, moduli=conjunction(f"${q}$" for q in moduli))
            ],
            _("Split the modulus."),
        )


def invert_exponent(step: InvertExponent) -> Iterator[Block]:
    k, a, u, phi = step.k, step.a, step.u, step.phi
    q = modulus_text(step.q, step.factors)
    n = (k * u - 1) // phi
    told: list[Told] = [f"{phi_told(step)} {coprime_told(step)}"]
    told.append(
        _(
            "The inverse of {k} modulo {phi} is {u}, since ${k} · {u} = {product} = {multiple} + "
            "1$."
        ).format(k=k, phi=phi, u=u, product=k * u, multiple=f"{n} · {phi}" if n != 1 else str(phi))
    )
    told.append(
        _(
            "So a solution satisfies $x ≡ x^{product} = (x^{k})^{u} ≡ {a}^{u} (mod {q})$; and this "
            "one is a solution, since $({a}^{u})^{k} = {a}^{product} ≡ {a}$ by the same theorem."
        ).format(product=k * u, k=k, u=u, a=a, q=q)
        if u > 1
        else _("So $x ≡ x^{k} ≡ {a} (mod {q})$.").format(k=k, a=a, q=q)
    )
    if u > 1:
        told += power_told(a, u, step.q, "x ≡ ")
    yield from flowing(told, _("Invert the exponent, modulo {q}.").format(q=run_in(q)))


def phi_told(step: InvertExponent) -> str:
    """How many units there are, and the theorem that makes exponents count modulo that."""
    q, phi = modulus_text(step.q, step.factors), step.phi
    if step.factors == ((step.q, 1),):
        return _(
            "{q} is prime and does not divide {a}, so $x^{phi} ≡ 1 (mod {q})$ for every solution "
            "$x$ (Fermat)."
        ).format(q=q, a=step.a, phi=phi)
    counts = [(p ** (e - 1) * (p - 1), power_value(p, e)) for p, e in step.factors]
    calls = " · ".join(f"φ({power})" for _count, power in counts)
    product = " · ".join(str(count) for count, _power in counts)
    chain = f"φ({q}) = {calls} = {product} = {phi}" if len(counts) > 1 else f"φ({q}) = {phi}"
    return _(
        "$gcd({a}, {q}) = 1$ and ${chain}$, so $x^{phi} ≡ 1 (mod {q})$ for every solution $x$ "
        "(Euler)."
    ).format(a=step.a, q=q, chain=chain, phi=phi)


def coprime_told(step: InvertExponent) -> str:
    return _("And $gcd({k}, {phi}) = 1$, so the exponent has an inverse modulo {phi}.").format(
        k=step.k, phi=step.phi
    )


# ------------------------------------------------------------ powers of p in a


def modulo(p: int, e: int) -> str:
    return _("Modulo {q}.").format(q=run_in(power_value(p, e)))


def zero(step: Zero) -> Iterator[Block]:
    p, e, k, least = step.p, step.e, step.k, step.least
    q = power_value(p, e)
    if least == 1:
        text = _("$x^{k}$ is divisible by ${q}$ exactly when $x$ is divisible by the prime {p}:")
    else:
        text = _(
            "$x^{k}$ is divisible by ${q} = {p}^{e}$ exactly when $x$ is divisible by {p} at least "
            "{times}, since ${k} · {least} ≥ {e}$ and ${k} · {fewer} < {e}$:"
        )
    words = {"times": times(least), "fewer": least - 1, "least": least}
    yield from flowing(
        [
            text.format(p=p, q=q, k=k, e=e, **words)
            + " "
            + _("$x ≡ 0 (mod {root})$.").format(root=power_value(p, least))
        ],
        modulo(p, e),
    )


def times(n: int) -> str:
    """once, twice, 3 times."""
    return _("once") if n == 1 else _("twice") if n == 2 else _("{n} times").format(n=n)


def divide(step: Divide) -> Iterator[Block]:
    a, p, k, v, q = step.a, step.p, step.k, step.v, power_value(step.p, step.e)
    words = {"a": a, "p": p, "k": k, "times": times(v), "q": q, "v": v}
    told = [
        _(
            "{p} divides {a} exactly {times}, and fewer times than ${q}$. So {p} must divide "
            "$x^{k}$ exactly {times}."
        ).format(**words)
    ]
    if step.w is None:
        told.append(
            _(
                "But the number of times that {p} divides $x^{k}$ is a multiple of {k}, and {v} is "
                "none: there is no solution modulo ${q}$."
            ).format(**words)
        )
    else:
        root = power_value(p, step.w)
        told.append(
            _(
                "Hence {p} divides $x$ exactly {w}: $x = {root}·y$, where {p} does not divide $y$."
            ).format(p=p, w=times(step.w), root=root)
        )
        told.append(
            _("Divide by ${power}$, the modulus too: $y^{k} ≡ {b} (mod {rest})$.").format(
                power=power_value(p, v), k=k, b=step.b, rest=power_value(p, step.e - v)
            )
        )
    yield from flowing(told, modulo(p, step.e))


def multiply(step: Multiply) -> Iterator[Block]:
    p, factors = step.p, [(step.p, step.e)]
    found = class_phrase(step.found, factors).replace("$x ≡", "$y ≡")
    yield from flowing(
        [
            _("So {found}, and $x = {root}·y$ gives {classes}.").format(
                found=found,
                root=power_value(p, step.w),
                classes=class_phrase(step.classes, factors),
            )
        ]
    )


def odd(step: Odd) -> Iterator[Block]:
    yield from flowing(
        [_("A power of $x$ is odd exactly when $x$ is: $x ≡ 1 (mod 2)$.")], modulo(2, 1)
    )


# ------------------------------------------------------------ roots modulo a prime


def list_powers(step: ListPowers) -> Iterator[Block]:
    k, p = step.k, step.p
    half = k % 2 == 0 and p > 3
    told: list[Told] = [_("The congruence is $x^{k} ≡ {a} (mod {p})$.").format(k=k, a=step.a, p=p)]
    if half:
        told.append(
            _(
                "Numbers with opposite signs have the same power, so the powers of {numbers} are "
                "all there are."
            ).format(numbers=_("1 and 2") if p == 5 else _("1 to {n}").format(n=(p - 1) // 2))
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


def value_of_power(x: int, k: int, m: int) -> str:
    """= 25 ≡ 4, or ≡ 4 where the power itself is long: what follows x^k."""
    if x <= 1 or k * x.bit_length() <= 2 * FITS_ON_THE_BOARD.bit_length():
        return equal_to(x**k, m)
    return f"≡ {pow(x, k, m)}"


def criterion(step: Criterion) -> Iterator[Block]:
    k, a, p, n = step.k, step.a, step.p, step.exponent
    if k == 2:
        told: list[Told] = [
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


def root_three_mod_four(step: RootThreeModFour) -> Iterator[Block]:
    a, p = step.a, step.p
    n = (p + 1) // 4
    told: list[Told] = [
        _(
            "${p} ≡ 3 (mod 4)$. The power ${a}^{n}$, with the exponent $({p} + 1)/4 = {n}$, is a "
            "square root: its square is ${a}^{double} = {a} · {a}^{half} ≡ {a} (mod {p})$."
        ).format(p=p, a=a, n=n, double=2 * n, half=(p - 1) // 2)
    ]
    yield from flowing([*told, *power_told(a, n, p)], _("A square root."))


def root_five_mod_eight(step: RootFiveModEight) -> Iterator[Block]:
    a, p = step.a, step.p
    quarter, n = (p - 1) // 4, (p + 3) // 8
    told: list[Told] = [
        _(
            "${p} ≡ 5 (mod 8)$. The square of ${a}^{n}$, with the exponent $({p} + 3)/8 = {n}$, "
            "is ${a}^{double} = {a} · {a}^{quarter}$; and ${a}^{quarter}$, whose square is "
            "congruent to 1, is itself congruent to 1 or to $-1$."
        ).format(p=p, a=a, n=n, double=2 * n, quarter=quarter),
        *power_told(a, quarter, p),
    ]
    if step.i is None:
        told.append(_("So ${a}^{n}$ is a square root.").format(a=a, n=n))
        told += power_told(a, n, p)
    else:
        told.append(
            _(
                "That is $-1$, so ${a}^{n}$ is multiplied by a square root of $-1$. One is "
                "${i}$, since 2 is no square modulo {p}."
            ).format(a=a, n=n, p=p, i=f"2^{quarter}")
        )
        told += power_told(a, n, p)
        told += power_told(2, quarter, p)
        told.append(
            _("The product is ${first} · {i} {root} (mod {p})$.").format(
                first=step.first, i=step.i, root=equal_to(step.first * step.i, p), p=p
            )
        )
    yield from flowing(told, _("A square root."))


def root_by_rounds(step: RootByRounds) -> Iterator[Block]:
    a, p, work = step.a, step.p, step.work
    q = work.q
    r, t = pow(a, (q + 1) // 2, p), pow(a, q, p)
    odd_part = _("${p} - 1 = 2^{s} · {q}$ with {q} odd.") if q > 1 else _("${p} - 1 = 2^{s}$.")
    told: list[Told] = [
        _("${p} ≡ 1 (mod 8)$: use the method of Tonelli and Shanks.").format(p=p),
        odd_part.format(p=p, s=work.s, q=q),
        _(
            "Keep $r^2 ≡ {a}·t (mod {p})$ with a $t$ of which repeated squaring makes 1; once $t "
            "= 1$, $r$ is a square root. Begin with the exponents $({q} + 1)/2$ and {q}: ${r} "
            "(mod {p})$ and ${t} (mod {p})$."
        ).format(
            a=a,
            p=p,
            q=q,
            r=chain("r", raised(a, (q + 1) // 2), r),
            t=chain("t", raised(a, q), t),
        ),
    ]
    if not work.rounds:
        told.append(_("Here $t = 1$ at once, so {r} is a square root.").format(r=r))
    else:
        told.append(
            _(
                "{z} is the least number that is no square modulo {p}, so ${c} (mod {p})$ becomes "
                "1 only after {s} squarings. If $t$ becomes 1 after $i$ squarings and $c$ after "
                "$m$, let $b$ be $c$ squared $m - i - 1$ times; then replace $r$ by $rb$, $c$ by "
                "$b^2$ and $t$ by $tb^2$:"
            ).format(z=work.z, c=chain("c", raised(work.z, q), pow(work.z, q, p)), p=p, s=work.s)
        )
        told.append(
            table(
                ["$r$", "$t$", "$i$", "$c$", "$m$", "$b$", "$rb$", "$tb^2$"],
                [round_row(row, p) for row in work.rounds],
            )
        )
        told.append(_("So {r} is a square root.").format(r=work.root))
    yield from flowing(told, _("A square root."))


def chain(name: str, power: str, value: int) -> str:
    """r ≡ 5^3 ≡ 2, or r ≡ 2 where the power is no more than that."""
    return " ≡ ".join(dict.fromkeys((name, power, str(value))))


def raised(a: int, n: int) -> str:
    """a^n, or a alone."""
    return f"{a}^{n}" if n > 1 else f"{a}"


def round_row(row: Round, p: int) -> list[str]:
    cells = [row.r, row.t, row.i, row.c, row.m, row.b, row.r * row.b % p, row.t * row.b**2 % p]
    return [f"${cell}$" for cell in cells]


def indices(step: Indices) -> Iterator[Block]:
    k, a, p, g = step.k, step.a, step.p, step.g
    n = p - 1
    told: list[Told] = [
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
    told: list[Told] = [
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
    told: list[Told] = [
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
    told: list[Told] = [
        _(
            "${z}^{k} ≡ 1$ and no lower power of {z} is 1, so 1, {z}, ${z}^2$, … are {k} numbers "
            "whose power with the exponent {k} is 1. Multiplying {r} by them gives all {k} roots."
        ).format(z=step.z, k=k, r=step.root)
    ]
    if len(step.roots) <= WRITTEN_OUT:
        told += roots_told(step.roots, p)
    yield from flowing(told, _("All roots."))


# ------------------------------------------------------------ lifting


def same_power(step: SamePower) -> Iterator[Block]:
    k, p, deep = step.k, step.p, power_value(step.p, step.deep)
    told: list[Told] = [
        _(
            "{p} divides the exponent {k}, so the roots are singular: numbers congruent modulo {p} "
            "have the same power modulo ${deep}$."
        ).format(p=p, k=k, deep=deep),
        ", ".join(f"${r}^{k} {value_of_power(r, k, p**step.deep)}$" for r, _power in step.powers)
        + f" (mod {deep}).",
    ]
    target = step.a % p**step.deep
    if not step.kept:
        told.append(
            _("None of them is {a}: no root modulo {p} lifts to modulo ${deep}$.").format(
                a=target, p=p, deep=deep
            )
        )
    elif len(step.kept) == len(step.powers):
        told.append(
            _("So every $x ≡ {roots} (mod {p})$ solves the congruence modulo ${deep}$.").format(
                roots=listing(step.kept), p=p, deep=deep
            )
        )
    else:
        told.append(
            _("Only $x ≡ {roots} (mod {p})$ solves the congruence modulo ${deep}$.").format(
                roots=listing(step.kept), p=p, deep=deep
            )
        )
    yield from flowing(told, _("Lift to modulo {q}.").format(q=run_in(deep)))


def odd_power(step: OddPower) -> Iterator[Block]:
    k, s, a = step.k, step.s, step.a
    q, deep = power_value(2, step.e), power_value(2, step.deep)
    if k == 2:
        rule = _("$x$ must be odd, and the square of an odd number is 1 modulo 8.")
    else:
        rule = _(
            "$x$ must be odd, and the square of an odd number is 1 modulo 8; so $x^{k}$, where "
            "{two} divides the exponent, is 1 modulo {m}."
        ).format(k=k, two=power_value(2, s), m=power_value(2, s + 2))
    told: list[Told] = [rule]
    told.append(
        _("The right side is ${right}$.").format(
            right=f"{residue_chain(a, 2**step.deep)} (mod {deep})"
        )
    )
    if not step.holds:
        told.append(_("So there is no solution modulo ${q}$.").format(q=q))
    elif step.deep == step.e:
        told.append(_("So every odd $x$ is a solution: $x ≡ 1 (mod 2)$."))
    else:
        told.append(_("So there are solutions."))
    yield from flowing(told, modulo(2, step.e))


def lift(step: Lift) -> Iterator[Block]:
    q = power_value(step.p, step.e)
    told = [*lift_rule(step), *lift_tables(step), *lift_verdict(step)]
    yield from flowing(told, _("Lift to modulo {q}.").format(q=run_in(q)))


def lift_rule(step: Lift) -> Iterator[Told]:
    """How the next digit t is found; with numbers for j where there is one level only."""
    k, p, s = step.k, step.p, step.s
    if step.mirrored:
        yield (
            _("With $x$ also $-x$ is a solution, so look for those with $x ≡ 1 (mod 4)$.")
            if p == 2
            else _("With $x$ also $-x$ is a solution, so half of the roots are enough.")
        )
    d, power, above = places(step)
    cofactor = derivative_text(k, k // p**s)
    if p == 2:
        text = _(
            "Modulo {above} we have $(r + {dt})^{k} ≡ r^{k} + {power}·t$, since $r$ is odd. So if "
            "$r^{k} ≡ {a} (mod {power})$, then $r + {dt}$ solves the congruence modulo {above} "
            "exactly when $(r^{k} - {a})/{power_group} + t ≡ 0 (mod 2)$."
        )
    else:
        text = _(
            "Modulo {above} we have $(r + {dt})^{k} ≡ r^{k} + {slope}·{power}·t$. So if $r^{k} ≡ "
            "{a} (mod {power})$, then $r + {dt}$ solves the congruence modulo {above} exactly "
            "when $(r^{k} - {a})/{power_group} + {slope}·t ≡ 0 (mod {p})$."
        )
    yield text.format(
        dt=digit_text(d),
        power=power,
        power_group=f"({power})" if not power.isdecimal() and s else power,
        above=f"${above}$",
        k=k,
        slope=cofactor,
        a=step.a,
        p=p,
    )


def places(step: Lift) -> tuple[str, str, str]:
    """p^j, p^(j+s) and p^(j+s+1); as numbers where one level is lifted."""
    p, s = step.p, step.s
    j = step.start
    if step.e - s - j == 1 and fits(p**step.e):
        return str(p**j), str(p ** (j + s)), str(p ** (j + s + 1))
    return f"{p}^j", f"{p}^(j+{s})" if s else f"{p}^j", f"{p}^(j+{s + 1})"


def digit_text(d: str) -> str:
    """5t, or 5^j · t."""
    return f"{d}t" if d.isdecimal() else f"{d}·t"


def lift_tables(step: Lift) -> Iterator[Told]:
    """One table: a row a root and level; for one root only where there would be too many."""
    rows = sum(len(chain) for _r, chain, _last in step.chains)
    chains = [chain for _r, chain, _last in step.chains]
    if rows > ROWS:
        yield _("For the root {r}; the others are lifted in the same way:").format(
            r=step.chains[0][0]
        )
        chains = chains[:1]
    depth = len(chains[0])
    ordered = [row for level in zip(*chains, strict=True) for row in level]
    if depth > LEVELS:
        ordered = [row for chain in chains for row in chain]
    yield lift_table(step, ordered)


def lift_table(step: Lift, rows: Sequence[PowerLift]) -> Block:
    """A row a root and level; the long numbers are left out modulo a large power."""
    k, p = step.k, step.p
    d, power, above = places(step)
    numbered, short = not d.isdecimal(), fits(p**step.e)
    head = ["$j$"] if numbered else []
    head += ["$r$", _("$r^{k}$ modulo ${above}$").format(k=k, above=above)] if short else []
    head.append(f"$(r^{k} - {step.a})/({power})$")
    head += [f"${derivative_text(k, k // p**step.s)}$"] if p > 2 else []
    head += [_("condition on $t$, modulo {p}").format(p=p), "$t$"]
    head += [f"$r + {digit_text(d)}$"] if short else []
    body = []
    for row in rows:
        cells = [str(row.j)] if numbered else []
        cells += [str(row.r), str(row.power)] if short else []
        linear = polynomial((0, row.slope), "t")
        cells += [str(row.quotient), *([str(row.slope)] if p > 2 else [])]
        cells += [f"{row.quotient} + {linear} ≡ 0", str(row.t)]
        lifted = row.r + p**row.j * row.t
        cells += [f"{row.r} + {p**row.j}·{row.t} = {lifted}"] if short else []
        body.append([f"${cell}$" for cell in cells])
    return table(head, body)


def lift_verdict(step: Lift) -> Iterator[Told]:
    p, q = step.p, power_value(step.p, step.e)
    if len(step.classes) > WRITTEN_OUT:
        yield _("Each of the {n} roots modulo {p} lifts in exactly one way.").format(
            n=len(step.classes), p=p
        )
        return
    if step.s:
        yield _(
            "Further digits make no difference modulo ${q}$: the solutions are {classes}."
        ).format(q=q, classes=class_phrase(step.classes, [(p, step.e)]))
    elif each_on_a_line([r for r, _d in step.classes]):
        yield from roots_told([r for r, _d in step.classes], q)
    else:
        yield ngettext(
            "So the root lifts in exactly one way: {classes}.",
            "So each root lifts in exactly one way: {classes}.",
            len(step.classes),
        ).format(classes=class_phrase(step.classes, [(p, step.e)]))


# ------------------------------------------------------------ the check


def substitute(step: Substitute) -> Iterator[Block]:
    k, m = step.k, modulus_text(step.modulus, step.factors)
    lead = _("Check.")
    if each_on_a_line(step.solutions) or step.modulus > FITS_ON_THE_BOARD:
        yield from flowing(
            [
                _("Each of them, substituted, gives $x^{k} ≡ {a} (mod {m})$.").format(
                    k=k, a=step.a, m=m
                )
            ],
            lead,
        )
        return
    values = ", ".join(f"${x}^{k} {value_of_power(x, k, step.modulus)}$" for x in step.solutions)
    yield from flowing(
        [f"{values} (mod {m})" + ("." if step.complete else _(", and so on."))], lead
    )


Telling = Callable[[Any], Iterator[Block]]

TOLD: Mapping[type[Step], Telling] = {
    LeastResidue: least_residue,
    Split: split,
    InvertExponent: invert_exponent,
    Zero: zero,
    Divide: divide,
    Multiply: multiply,
    Odd: odd,
    ListPowers: list_powers,
    Criterion: criterion,
    RootThreeModFour: root_three_mod_four,
    RootFiveModEight: root_five_mod_eight,
    RootByRounds: root_by_rounds,
    Indices: indices,
    LowerExponent: lower_exponent,
    CorrectRoot: correct_root,
    OtherRoots: other_roots,
    SamePower: same_power,
    OddPower: odd_power,
    Lift: lift,
    Substitute: substitute,
    Combine: TOLD_FOR_POLYNOMIALS[Combine],
    Conclude: TOLD_FOR_POLYNOMIALS[Conclude],
}
"""How each step is told."""
