"""One square root modulo a prime, by the formula or the method for its class modulo 8."""

from collections.abc import Iterator

from itembank.kinds.power_root.prime_steps import RootByRounds, RootFiveModEight, RootThreeModFour
from itembank.kinds.powering import as_congruence, chain_to_nearest, power_told, to_least
from itembank.languages import Told, grid, lead, say
from itembank.maths.power_roots import Round
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import dotted, power
from itembank.notation.tree import Letter, Math, Number, Power, Product, Relation

__all__ = ["root_by_rounds", "root_five_mod_eight", "root_three_mod_four"]


def root_three_mod_four(step: RootThreeModFour) -> Iterator[Told]:
    a, p = step.a, step.p
    n = (p + 1) // 4
    yield lead("A square root.")
    yield say(
        "${p} ≡ 3 (mod 4)$. The power ${a}^{n}$, with the exponent $({p} + 1)/4 = {n}$, is a "
        "square root: its square is ${a}^{double} = {a} · {a}^{half} ≡ {a} (mod {p})$.",
        p=p,
        a=a,
        n=n,
        double=2 * n,
        half=(p - 1) // 2,
    )
    yield from power_told(a, n, p, known=step.told)


def root_five_mod_eight(step: RootFiveModEight) -> Iterator[Told]:
    a, p = step.a, step.p
    quarter, n = (p - 1) // 4, (p + 3) // 8
    yield lead("A square root.")
    yield say(
        "${p} ≡ 5 (mod 8)$. The square of ${a}^{n}$, with the exponent $({p} + 3)/8 = {n}$, is "
        "${a}^{double} = {a} · {a}^{quarter}$; and ${a}^{quarter}$, whose square is congruent to "
        "1, is itself congruent to 1 or to $-1$.",
        p=p,
        a=a,
        n=n,
        double=2 * n,
        quarter=quarter,
    )
    yield from power_told(a, quarter, p, least=False, known=step.told)
    if step.i is None:
        yield say("So ${a}^{n}$ is a square root.", a=a, n=n)
        yield from power_told(a, n, p, known=step.told)
        return
    yield say(
        "That is $-1$, so ${a}^{n}$ is multiplied by a square root of $-1$. One is ${i}$, since 2 "
        "is not a square modulo {p}.",
        a=a,
        n=n,
        p=p,
        i=Power(Number(2), Number(quarter)),
    )
    yield from power_told(a, n, p, known=step.told)
    yield from power_told(2, quarter, p)
    first, i = nearest_residue(step.first, p), nearest_residue(step.i, p)
    yield say(
        "The product is ${chain}$.",
        chain=as_congruence(
            to_least(chain_to_nearest(dotted([first, i]), first * i, p), step.root, p), p
        ),
    )


def root_by_rounds(step: RootByRounds) -> Iterator[Told]:
    a, p, work = step.a, step.p, step.work
    q = work.q
    r, t = pow(a, (q + 1) // 2, p), pow(a, q, p)
    yield lead("A square root.")
    yield say("${p} ≡ 1 (mod 8)$: use the method of Tonelli and Shanks.", p=p)
    if q > 1:
        yield say("${p} - 1 = 2^{s} · {q}$ with {q} odd.", p=p, s=work.s, q=q)
    else:
        yield say("${p} - 1 = 2^{s}$.", p=p, s=work.s)
    yield say(
        "Keep $r^2 ≡ {a}·t (mod {p})$ with a $t$ of which repeated squaring makes 1; once $t = 1$, "
        "$r$ is a square root. Begin with the exponents $({q} + 1)/2$ and {q}: ${r} (mod {p})$ "
        "and ${t} (mod {p})$.",
        a=a,
        p=p,
        q=q,
        r=_assigned("r", power(a, (q + 1) // 2), r),
        t=_assigned("t", power(a, q), t),
    )
    if q > 1:
        yield from power_told(a, (q + 1) // 2, p, known=step.told)
        yield from power_told(a, q, p, known=step.told)
    if not work.rounds:
        yield say("Here $t = 1$ at once, so {r} is a square root.", r=r)
    else:
        yield from _rounds(step)


def _rounds(step: RootByRounds) -> Iterator[Told]:
    """The rounds in a table, each of which brings t nearer to 1."""
    p, work = step.p, step.work
    yield say(
        "{z} is the least number that is not a square modulo {p}, so ${c} (mod {p})$ becomes 1 "
        "only after {s} squarings. If $t$ becomes 1 after $i$ squarings and $c$ after $m$, let $b$ "
        "be $c$ squared $m - i - 1$ times; then replace $r$ by $rb$, $c$ by $b^2$ and $t$ by "
        "$tb^2$:",
        z=work.z,
        c=_assigned("c", power(work.z, work.q), pow(work.z, work.q, p)),
        p=p,
        s=work.s,
    )
    r, t, b = Letter("r"), Letter("t"), Letter("b")
    yield grid(
        (
            *(r, t, Letter("i"), Letter("c"), Letter("m"), b),
            Product((r, b)),
            Product((t, Power(b, Number(2)))),
        ),
        [_round_row(row, p) for row in work.rounds],
    )
    yield say("So {r} is a square root.", r=work.root)


def _assigned(name: str, computed: Math, value: int) -> Relation:
    """r ≡ 5^3 ≡ 2, or r ≡ 2 where the power is no more than that."""
    sides = tuple(dict.fromkeys((Letter(name), computed, Number(value))))
    return Relation(sides, ("≡",) * (len(sides) - 1))


def _round_row(row: Round, p: int) -> tuple[int, ...]:
    return (
        *(row.r, row.t, row.i, row.c, row.m, row.b),
        row.r * row.b % p,
        row.t * row.b**2 % p,
    )
