"""One square root modulo a prime, by the formula or the method for its class modulo 8."""

from collections.abc import Iterator

from itembank.kinds.power_root.powering import power_told
from itembank.kinds.power_root.steps import RootByRounds, RootFiveModEight, RootThreeModFour
from itembank.kinds.wording import Piece, equal_to, flowing
from itembank.languages.words import _
from itembank.maths.power_roots import Round
from itembank.notation.prose import table
from itembank.notation.tree import Block


def root_three_mod_four(step: RootThreeModFour) -> Iterator[Block]:
    a, p = step.a, step.p
    n = (p + 1) // 4
    told: list[Piece] = [
        _(
            "${p} ≡ 3 (mod 4)$. The power ${a}^{n}$, with the exponent $({p} + 1)/4 = {n}$, is a "
            "square root: its square is ${a}^{double} = {a} · {a}^{half} ≡ {a} (mod {p})$."
        ).format(p=p, a=a, n=n, double=2 * n, half=(p - 1) // 2)
    ]
    yield from flowing([*told, *power_told(a, n, p)], _("A square root."))


def root_five_mod_eight(step: RootFiveModEight) -> Iterator[Block]:
    a, p = step.a, step.p
    quarter, n = (p - 1) // 4, (p + 3) // 8
    told: list[Piece] = [
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
                "That is $-1$, so ${a}^{n}$ is multiplied by a square root of $-1$. One is ${i}$, "
                "since 2 is not a square modulo {p}."
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
    told: list[Piece] = [
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
                "{z} is the least number that is not a square modulo {p}, so ${c} (mod {p})$ "
                "becomes 1 only after {s} squarings. If $t$ becomes 1 after $i$ squarings and $c$ "
                "after $m$, let $b$ be $c$ squared $m - i - 1$ times; then replace $r$ by $rb$, "
                "$c$ by $b^2$ and $t$ by $tb^2$:"
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
