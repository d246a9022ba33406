"""All roots modulo one prime: by listing, by the criterion, by indices, from one root."""

from collections.abc import Iterator

from itembank.kinds.chains import calculated
from itembank.kinds.polynomial.telling.phrases import roots_told
from itembank.kinds.power_root.prime_steps import (
    CorrectRoot,
    Criterion,
    Indices,
    ListPowers,
    LowerExponent,
    OtherRoots,
)
from itembank.kinds.power_root.wording import modulo, power_worked_out
from itembank.kinds.powering import power_told
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import WRITTEN_OUT
from itembank.languages import BREAK, Said, Told, counted, each, grid, lead, say, spelled
from itembank.maths.primes import factorisation
from itembank.notation.building import bracketed, difference, dotted, listed, polynomial, power
from itembank.notation.tree import Dots, Letter, Listing, Math, Number, Power, Relation

__all__ = ["correct_root", "criterion", "indices", "list_powers", "lower_exponent", "other_roots"]

_COLUMNS = 16
"""The widest table of powers."""

_MULTIPLIED = 12
"""The longest row of products that is written out."""

_IN_A_SENTENCE = 6
"""Up to this many powers stand in a sentence; more in a table."""


def list_powers(step: ListPowers) -> Iterator[Told]:
    a, p = step.a, step.p
    k = _exponent_shown(step)
    yield modulo(p, 1)
    yield say("The congruence is $x^{k} ≡ {a} (mod {p})$.", k=step.k, a=a, p=p)
    if k == 0:
        yield say(
            "{p} does not divide $x$, so $x^{n} ≡ 1$ by Fermat's theorem. As {n} divides {k}, each "
            "of these powers is 1.",
            p=p,
            n=p - 1,
            k=step.k,
        )
        yield from _listed_roots(step)
        return
    if k < step.k:
        yield say(
            "{p} does not divide $x$, so $x^{n} ≡ 1$ by Fermat's theorem, and $x^{k} ≡ x^{r}$, "
            "since ${k} = {q} · {n} + {r}$.",
            p=p,
            n=p - 1,
            k=step.k,
            q=(step.k - k) // (p - 1),
            r=k,
        )
    if k % 2 == 0 and p == 5:
        yield say("Since $(-x)^{k} = x^{k}$, it is enough to try 1 and 2.", k=k)
    elif k % 2 == 0 and p > 5:
        yield say(
            "Since $(-x)^{k} = x^{k}$, it is enough to try 1 to {last}.", k=k, last=(p - 1) // 2
        )
    yield from _powers_listed(step)
    yield from _listed_roots(step)


def _listed_roots(step: ListPowers) -> Iterator[Told]:
    if step.roots:
        yield from roots_told(step.roots, step.p)
    else:
        yield say("{a} is not among them: there is no solution modulo {p}.", a=step.a, p=step.p)


def _exponent_shown(step: ListPowers) -> int:
    """k, or a smaller exponent that gives the same powers modulo p (Fermat)."""
    n = step.p - 1
    return step.k if step.k < n else step.k % n


def _powers_listed(step: ListPowers) -> Iterator[Told]:
    k, p = _exponent_shown(step), step.p
    if len(step.powers) <= _IN_A_SENTENCE:
        yield say(
            "The powers are {powers} (mod {p}).",
            powers=each(power_worked_out(x, k, p) for x, _power in step.powers),
            p=p,
        )
        return
    yield say("The powers are:")
    yield grid(
        (Letter("x"), *(x for x, _power in step.powers)),
        [(Power(Letter("x"), Number(k)), *(value for _x, value in step.powers))],
        row_heads=True,
    )


def criterion(step: Criterion) -> Iterator[Told]:
    k, a, p, n = step.k, step.a, step.p, step.exponent
    yield modulo(p, 1)
    if k == 2:
        yield say(
            "By Euler's criterion {a} is a square modulo the prime {p} if and only if its power "
            "with the exponent $({p} - 1)/2 = {n}$ is congruent to 1.",
            a=a,
            p=p,
            n=n,
        )
    else:
        yield counted(
            "$gcd({k}, {p} - 1) = {d}$, and the prime {p} does not divide {a}. So $x^{k} ≡ {a}$ "
            "has {n} solution modulo {p} if the power of {a} with the exponent $({p} - 1)/{d} = "
            "{exponent}$ is congruent to 1, and none if it is not.",
            "$gcd({k}, {p} - 1) = {d}$, and the prime {p} does not divide {a}. So $x^{k} ≡ {a}$ "
            "has {n} solutions modulo {p} if the power of {a} with the exponent $({p} - 1)/{d} = "
            "{exponent}$ is congruent to 1, and none if it is not.",
            step.d,
            n=spelled(step.d),
            d=step.d,
            k=k,
            p=p,
            a=a,
            exponent=n,
        )
    yield from power_told(a, n, p, least=False)
    if step.value != 1:
        yield say("That is not 1: there is no solution modulo {p}.", p=p)
    elif k == 2:
        yield say("So {a} is a square.", a=a)
    else:
        yield counted(
            "So there is {n} solution.", "So there are {n} solutions.", step.d, n=spelled(step.d)
        )


def indices(step: Indices) -> Iterator[Told]:
    k, a, p, g = step.k, step.a, step.p, step.g
    n = p - 1
    yield modulo(p, 1)
    yield say("{g} is a primitive root modulo {p}: its powers are all of 1 to {n}.", g=g, p=p, n=n)
    yield from _table_of_indices(step)
    yield say(
        "${a} ≡ {g}^{index}$. With $x ≡ {g}^i$ the congruence is ${g}^({k}i) ≡ {g}^{index}$, "
        "that is ${k}i ≡ {index} (mod {n})$, since exponents count modulo {n}.",
        a=a,
        g=g,
        index=step.index,
        k=k,
        n=n,
    )
    if not step.found:
        yield say(
            "But $gcd({k}, {n}) = {d}$ does not divide {index}: there is no solution modulo {p}.",
            k=k,
            n=n,
            d=step.d,
            index=step.index,
            p=p,
        )
        return
    yield from _index_solved(step)
    yield say(
        "So $i = {found}$, and $x$ is one of {powers} modulo {p}.",
        found=listed(step.found),
        powers=each(
            Relation((Power(Number(g), Number(i)), Number(step.powers[i])), ("≡",))
            for i in step.found
        ),
        p=p,
    )


def _index_solved(step: Indices) -> Iterator[Told]:
    """k i = index (mod p - 1) divided by d, and solved."""
    k, n, d = step.k, step.p - 1, step.d
    k1, r1, apart = k // d, step.index // d, n // d
    yield say(
        "$gcd({k}, {n}) = {d}$ divides {index}. Divided by {d}, the modulus too: "
        "${left} ≡ {r1} (mod {apart})$.",
        k=k,
        n=n,
        d=d,
        index=step.index,
        left=polynomial((0, k1), "i"),
        r1=r1,
        apart=apart,
    )
    if apart > 1:
        yield from unit_divided(k1, r1, apart, Letter("i"))


def _table_of_indices(step: Indices) -> Iterator[Told]:
    """Every power of the primitive root, in rows of at most _COLUMNS."""
    for start in range(0, step.p - 1, _COLUMNS):
        numbers = range(start, min(start + _COLUMNS, step.p - 1))
        yield grid(
            (Letter("i"), *numbers),
            [(Power(Number(step.g), Letter("i")), *(step.powers[i] for i in numbers))],
            row_heads=True,
        )


def lower_exponent(step: LowerExponent) -> Iterator[Told]:
    k, a, p, d, u = step.k, step.a, step.p, step.d, step.u
    n = (k * u - d) // (p - 1)
    below = bracketed(difference(p, 1))
    yield lead("Lower the exponent.")
    yield say(
        "${k} · {u} = {multiple} + {d}$, so $x^{k} ≡ {a}$ gives $x^{d} ≡ (x^{k})^{u} ≡ {a}^{u} "
        "(mod {p})$. Both congruences have {d} solutions, so they have the same.",
        k=k,
        u=u,
        multiple=dotted([n, below]) if n != 1 else below,
        d=d,
        a=a,
        p=p,
    )
    if u > 1:
        yield from power_told(a, u, p, known=(p - 1) // d)
    yield say("It remains to solve $x^{d} ≡ {b} (mod {p})$.", d=d, b=step.b, p=p)


def correct_root(step: CorrectRoot) -> Iterator[Told]:
    k, a, p, w = step.k, step.a, step.p, step.work
    yield lead("One root.")
    if w.q == 1:
        yield say(
            "Every prime of ${p} - 1 = {D}$ divides {k}: take 1 as a first guess.", p=p, D=w.D, k=k
        )
    else:
        yield _first_guess(step)
        if w.v > 1:
            yield from power_told(a, w.v, p, known=step.told)
    if w.w == 1:
        yield say("Its power is ${guess}^{k} ≡ {a}$ already.", guess=w.guess, k=k, a=a)
    else:
        yield from _correction(step)


def _first_guess(step: CorrectRoot) -> Said:
    k, a, w = step.k, step.a, step.work
    n = (k * w.v - 1) // w.q
    return say(
        "${p} - 1 = {D} · {q}$, where {q} has no common factor with {k}. ${k} · {v} = {multiple} + "
        "1$, so take ${a}^{v}$ as a first guess: its power with the exponent {k} is "
        "${a} · {a}^{nq}$.",
        p=step.p,
        D=w.D,
        q=w.q,
        k=k,
        v=w.v,
        multiple=dotted((n, w.q)) if n > 1 else w.q,
        nq=n * w.q,
        a=a,
    )


def _correction(step: CorrectRoot) -> Iterator[Told]:
    """The power of z that makes a root of the first guess."""
    k, a, p, w = step.k, step.a, step.p, step.work
    u = pow(w.z, k, p)
    yield say(
        "${guess}^{k} ≡ {power} ≡ {a} · {w}$: a factor {w} too much. ${w}^{D} ≡ 1$, since "
        "${D} · {q} = {p} - 1$ (Fermat).",
        guess=w.guess,
        k=k,
        power=a * w.w % p,
        a=a,
        w=w.w,
        D=w.D,
        q=w.q,
        p=p,
    )
    yield counted(
        "The powers of $z = {h}^{q}$ make it good: $z^{D} ≡ 1$ for the same reason, and no lower "
        "power of $z$ is 1, since {h} is the least number for which {tests} is not 1.",
        "The powers of $z = {h}^{q}$ make it good: $z^{D} ≡ 1$ for the same reason, and no lower "
        "power of $z$ is 1, since {h} is the least number for which none of {tests} is 1.",
        len(factorisation(w.D)),
        h=w.h,
        q=w.q,
        D=w.D,
        tests=each(Power(Number(w.h), Number((p - 1) // ell)) for ell, _f in factorisation(w.D)),
    )
    yield from power_told(w.h, w.q, p)
    yield counted(
        "Multiply {w} by ${u} ≡ z^{k}$ until 1 comes, here after {n} time: ${chain} (mod {p})$.",
        "Multiply {w} by ${u} ≡ z^{k}$ until 1 comes, here after {n} times: ${chain} (mod {p})$.",
        w.j // k,
        w=w.w,
        u=u,
        k=k,
        chain=_multiplied_until_one(w.w, u, w.j // k, p),
        p=p,
    )
    yield say(
        "So ${guess} · {power}$ is a root: $({guess} · {power})^{k} ≡ {a} · {w} · z^{j} ≡ {a}$. It "
        "is {root} modulo {p}.",
        guess=w.guess,
        power=power(Letter("z"), w.j // k),
        k=k,
        a=a,
        w=w.w,
        j=w.j,
        root=w.root,
        p=p,
    )


def _multiplied_until_one(w: int, u: int, n: int, p: int) -> Math:
    """59, 59 · 36 ≡ 5, ..., in dots where it takes long."""
    values = [w]
    for _ in range(n):
        values.append(values[-1] * u % p)
    if n > _MULTIPLIED:
        shown: list[Math] = [*map(Number, values[:4]), Dots(), Number(1)]
    else:
        shown = list(map(Number, values))
    return Listing(tuple(shown))


def other_roots(step: OtherRoots) -> Iterator[Told]:
    k, p = step.k, step.p
    if k == 2:
        yield BREAK
        yield say(
            "With {r} also $-{r} ≡ {s}$ is a root, and there are no others.",
            r=step.root,
            s=p - step.root,
        )
        yield from roots_told(step.roots, p)
        return
    yield lead("All roots.")
    yield from _root_of_unity_told(step)
    yield say(
        "So 1, $z$, ${z}^2$, … are {k} numbers whose power with the exponent {k} is 1. "
        "Multiplying {r} by {z0} again and again gives all {k} roots.",
        z=Letter("z"),
        z0=step.z,
        k=k,
        r=step.root,
    )
    if len(step.roots) <= WRITTEN_OUT:
        yield say("${roots} (mod {p})$.", roots=_multiplied(step), p=p)
        yield from roots_told(step.roots, p)


def _root_of_unity_told(step: OtherRoots) -> Iterator[Told]:
    """z = h^((p-1)/k), of order k."""
    k, p, n = step.k, step.p, (step.p - 1) // step.k
    yield say(
        "Let $z = {h}^{n}$ with $({p} - 1)/{k} = {n}$. Then $z^{k} = {h}^{last} ≡ 1 (mod {p})$ by "
        "Fermat's theorem.",
        h=step.h,
        n=n,
        p=p,
        k=k,
        last=p - 1,
    )
    if step.told == n:
        yield say("That power was found above: $z ≡ {z}$.", z=step.z)
    else:
        yield from power_told(step.h, n, p)
    primes = [ell for ell, _f in factorisation(k)]
    if primes == [k]:
        yield say("That is not 1, and {k} is prime: no lower power of $z$ is 1.", k=k)
    else:
        yield say(
            "No lower power of $z$ is 1, since {powers} modulo {p}.",
            powers=each(
                Relation((power(Letter("z"), k // ell), Number(pow(step.z, k // ell, p))), ("≡",))
                for ell in primes
            ),
            p=p,
        )


def _multiplied(step: OtherRoots) -> Math:
    """3 · 46 = 138 ≡ 35, 35 · 46 ≡ ...: every root from the one before."""
    rows: list[Math] = []
    before = step.root
    for _ in range(step.k - 1):
        rows.append(calculated(dotted((before, step.z)), before * step.z, step.p))
        before = before * step.z % step.p
    return Listing(tuple(rows))
