"""Lifting: singular roots, powers of odd numbers modulo powers of 2, the next digits."""

from collections.abc import Iterator, Sequence

from itembank.kinds.polynomial.worked.phrases import class_phrase, power_value, roots_told
from itembank.kinds.power_root.steps import Lift, OddPower, SamePower
from itembank.kinds.power_root.wording import (
    derivative_text,
    modulo,
    odd_power_tested,
    value_of_power,
)
from itembank.kinds.wording import (
    WRITTEN_OUT,
    Piece,
    each_on_a_line,
    fits,
    flowing,
    listing,
    polynomial,
    run_in,
)
from itembank.languages.words import _, ngettext
from itembank.maths.power_roots import PowerLift
from itembank.notation.prose import table
from itembank.notation.tree import Block

ROWS = 40
"""At most this many rows of lifting are shown for one prime power."""

LEVELS = 3
"""Roots are lifted level by level, side by side, over at most this many levels."""


def same_power(step: SamePower) -> Iterator[Block]:
    k, p, deep = step.k, step.p, power_value(step.p, step.deep)
    told: list[Piece] = [
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
    q = power_value(2, step.e)
    told = list(odd_power_tested(step.k, step.a, step.s, step.deep))
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


def lift_rule(step: Lift) -> Iterator[Piece]:
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


def lift_tables(step: Lift) -> Iterator[Piece]:
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


def lift_verdict(step: Lift) -> Iterator[Piece]:
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
