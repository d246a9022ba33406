"""Lifting: singular roots, powers of odd numbers modulo powers of 2, the next digits."""

from collections.abc import Iterator, Sequence

from itembank.kinds.polynomial.telling.phrases import one_of, residue_shown, roots_told, short_power
from itembank.kinds.power_root.lifting_steps import Lift, OddPower, SamePower
from itembank.kinds.power_root.wording import derivative, modulo, odd_power_tested, power_worked_out
from itembank.kinds.wording import WRITTEN_OUT, each_on_a_line, fits
from itembank.languages import Cell, Said, Told, counted, each, grid, lead, say
from itembank.languages.saying import Lead
from itembank.maths.power_roots import PowerLift
from itembank.notation.building import added, difference, dotted, equal, listed, polynomial, tree
from itembank.notation.tree import Letter, Math, Number, Power, Product, Quotient, Relation

__all__ = ["lift", "odd_power", "same_power"]

_ROWS = 40
"""At most this many rows of lifting are shown for one prime power."""

_SAME = 3
"""So many rows that change nothing are written, and no more."""

_DIGITS = 16
"""At most this many steps from one power of 2 to the next are shown."""

_LEVELS = 3
"""Roots are lifted level by level, side by side, over at most this many levels."""

R, J, T = Letter("r"), Letter("j"), Letter("t")


def _lift_to(q: int | Math) -> Lead:
    return lead("Lift to modulo ${q}$.", q=q)


def same_power(step: SamePower) -> Iterator[Told]:
    k, p, deep = step.k, step.p, short_power(step.p, step.deep)
    yield _lift_to(deep)
    yield say(
        "{p} divides the exponent {k}, so the roots are singular: numbers congruent modulo {p} "
        "have the same power modulo ${deep}$.",
        p=p,
        k=k,
        deep=deep,
    )
    yield say(
        "{values} (mod ${m}$).",
        values=each(power_worked_out(r, k, p**step.deep) for r, _power in step.powers),
        m=deep,
    )
    slots = {"roots": listed(step.kept), "p": p, "deep": deep}
    if not step.kept:
        yield say(
            "None of them is {a}: no root modulo {p} lifts to modulo ${deep}$.",
            a=step.a % p**step.deep,
            p=p,
            deep=deep,
        )
    elif len(step.kept) == len(step.powers):
        yield say(
            "So every $x ≡ {roots} (mod {p})$ solves the congruence modulo ${deep}$.", **slots
        )
    else:
        yield say("Only $x ≡ {roots} (mod {p})$ solves the congruence modulo ${deep}$.", **slots)


def odd_power(step: OddPower) -> Iterator[Told]:
    yield modulo(2, step.e)
    yield from odd_power_tested(step.k, step.a, step.s, step.deep)
    if not step.holds:
        yield say("So there is no solution modulo ${q}$.", q=short_power(2, step.e))
    elif step.deep == step.e:
        yield say("So every odd $x$ is a solution: $x ≡ 1 (mod 2)$.")
    else:
        yield say("So there are solutions.")


def lift(step: Lift) -> Iterator[Told]:
    if step.p == 2 and step.k == 2:
        yield from _square_roots_of_odd(step)
        return
    yield _lift_to(short_power(step.p, step.e))
    yield from _lift_rule(step)
    yield from _lift_tables(step)
    yield from _lift_verdict(step)


def _square_roots_of_odd(step: Lift) -> Iterator[Told]:
    """x^2 = a modulo 2^e, e > 3: one root digit by digit, and the four from it."""
    a, e, q = step.a, step.e, short_power(2, step.e)
    half = short_power(2, e - 1)
    yield say(
        "With $r$ also $-r$ is a root, and so are both plus ${half}$, since "
        "$(r + {half})^2 = r^2 + {q}·r + {half}^2$: four roots.",
        q=q,
        half=half,
    )
    yield lead("One root.")
    yield say(
        "$r = 1$ is right modulo 8. Where $r^2 - {a}$ is not divisible by the next power ${next}$ "
        "of 2, add ${added}$ to $r$: as $r$ is odd, that adds ${half}$ to $r^2$ modulo ${next}$.",
        a=a,
        next=Power(Number(2), Letter("i")),
        half=Power(Number(2), difference(Letter("i"), 1)),
        added=Power(Number(2), difference(Letter("i"), 2)),
    )
    ((_r, chain, r),) = step.chains
    if len(chain) <= _DIGITS:
        yield grid(
            (say("modulo"), R, difference(Power(R, Number(2)), a), say("new $r$")),
            [_next_digit(row, a) for row in chain],
        )
    else:
        yield say("Go on like this up to the modulus ${q}$.", q=q)
    n = 2 ** (e - 1)
    roots = sorted({s % (2 * n) for s in (r, -r, r + n, n - r)})
    if each_on_a_line(roots):
        yield from roots_told(roots, q)
        return
    yield say(
        "So {r} is a root, and the roots are $x ≡ {roots} (mod {q})$.",
        r=r,
        roots=listed(roots),
        q=q,
    )


def _next_digit(row: PowerLift, a: int) -> tuple[Cell, ...]:
    """16, 1, 1 - 41 = -40, 1 + 4 = 5."""
    square = row.r**2
    new: Cell = equal(added([row.r, 2**row.j]), row.r + 2**row.j) if row.t else row.r
    return 2 ** (row.j + 2), row.r, equal(difference(square, a), square - a), new


def _lift_rule(step: Lift) -> Iterator[Said]:
    """How the next digit t is found; with numbers for j where there is one level only."""
    k, p = step.k, step.p
    if step.mirrored and p == 2:
        yield say("With $x$ also $-x$ is a solution, so look for those with $x ≡ 1 (mod 4)$.")
    elif step.mirrored:
        yield say("With $x$ also $-x$ is a solution, so half of the roots are enough.")
    d, power, above = _places(step)
    slots = {"dt": _digit(d), "power": power, "above": above, "k": k, "a": step.a}
    if p == 2:
        yield say(
            "Modulo ${above}$ we have $(r + {dt})^{k} ≡ r^{k} + {power}·t$, since $r$ is odd. So "
            "if $r^{k} ≡ {a} (mod {power})$, then $r + {dt}$ solves the congruence modulo "
            "${above}$ if and only if $(r^{k} - {a})/{power} + t ≡ 0 (mod 2)$.",
            **slots,
        )
    else:
        yield say(
            "Modulo ${above}$ we have $(r + {dt})^{k} ≡ r^{k} + {slope}·{power}·t$. So if "
            "$r^{k} ≡ {a} (mod {power})$, then $r + {dt}$ solves the congruence modulo ${above}$ "
            "if and only if $(r^{k} - {a})/{power} + {slope}·t ≡ 0 (mod {p})$.",
            slope=derivative(k, k // p**step.s),
            p=p,
            **slots,
        )


def _places(step: Lift) -> tuple[int | Math, int | Math, int | Math]:
    """p^j, p^(j+s) and p^(j+s+1); as numbers where one level is lifted."""
    p, s, j = step.p, step.s, step.start
    if step.e - s - j == 1 and fits(p**step.e):
        return p**j, p ** (j + s), p ** (j + s + 1)
    return _place(p, 0), _place(p, s), _place(p, s + 1)


def _place(p: int, s: int) -> Math:
    """p^(j+s)."""
    return Power(Number(p), added([J, s]) if s else J)


def _digit(d: int | Math) -> Math:
    """5t, or 5^j · t."""
    return Product((Number(d), T)) if isinstance(d, int) else dotted([d, T])


def _lift_tables(step: Lift) -> Iterator[Told]:
    """One table: a row a root and level; for one root only where there would be too many."""
    chains = [chain for _r, chain, _last in step.chains]
    if sum(map(len, chains)) > _ROWS:
        yield say("For the root {r}; the others are lifted in the same way:", r=step.chains[0][0])
        chains = chains[:1]
    if len(chains[0]) > _LEVELS:
        ordered = [row for chain in chains for row in chain]
    else:
        ordered = [row for level in zip(*chains, strict=True) for row in level]
    same = _unchanged(ordered)
    if same > _SAME:
        yield _lift_table(step, ordered[: len(ordered) - same + _SAME])
        yield say("And so on to $j = {last}$: every further $t$ is 0.", last=ordered[-1].j)
    else:
        yield _lift_table(step, ordered)


def _unchanged(rows: Sequence[PowerLift]) -> int:
    """How many rows at the end change nothing: the root is one modulo every power."""
    found = 0
    for row in reversed(rows):
        if row.t or row.quotient or row.r != rows[-1].r:
            break
        found += 1
    return found


def _lift_table(step: Lift, rows: Sequence[PowerLift]) -> Told:
    """A row a root and level; the long numbers are left out modulo a large power."""
    return grid(tuple(_lift_head(step)), [tuple(_lift_row(step, row)) for row in rows])


def _legible(step: Lift) -> bool:
    """Whether the roots and their powers are worth writing out."""
    return fits(step.p**step.e)


def _lift_head(step: Lift) -> Iterator[Cell]:
    k, p = step.k, step.p
    d, power, above = _places(step)
    if not isinstance(d, int):
        yield J
    if _legible(step):
        yield R
        yield say("$r^{k}$ modulo ${above}$", k=k, above=above)
    yield Quotient(difference(Power(R, Number(k)), step.a), tree(power))
    if p > 2:
        yield derivative(k, k // p**step.s)
    yield say("condition on $t$, modulo {p}", p=p)
    yield T
    if _legible(step):
        yield added([R, _digit(d)])


def _lift_row(step: Lift, row: PowerLift) -> Iterator[Cell]:
    p = step.p
    if not isinstance(_places(step)[0], int):
        yield row.j
    if _legible(step):
        yield row.r
        yield row.power
    yield _quotient_shown(step, row)
    if p > 2:
        yield row.slope
    value = added([row.quotient, polynomial((0, row.slope), "t")])
    yield Relation((value, Number(0)), ("≡",))
    yield row.t
    if _legible(step):
        lifted = row.r + p**row.j * row.t
        yield equal(added([row.r, dotted([p**row.j, row.t])]), lifted)


def _quotient_shown(step: Lift, row: PowerLift) -> Math:
    """-7 ≡ 6: of the numbers in the row before, and modulo p; the residue alone by itself."""
    if not _legible(step) or not isinstance(_places(step)[0], int):
        return Number(row.quotient)
    return residue_shown((row.power - step.a) // step.p ** (row.j + step.s), step.p)


def _lift_verdict(step: Lift) -> Iterator[Told]:
    p, q = step.p, short_power(step.p, step.e)
    residues = [r for r, _d in step.classes]
    classes = one_of(step.classes, [(p, step.e)])
    if len(residues) > WRITTEN_OUT:
        yield say(
            "Each of the {n} roots modulo {p} lifts in exactly one way.", n=len(residues), p=p
        )
    elif step.s:
        yield say(
            "Further digits make no difference modulo ${q}$: the solutions are {classes}.",
            q=q,
            classes=classes,
        )
    elif each_on_a_line(residues):
        yield from roots_told(residues, q)
    else:
        yield counted(
            "So the root lifts in exactly one way: {classes}.",
            "So each root lifts in exactly one way: {classes}.",
            len(residues),
            classes=classes,
        )
