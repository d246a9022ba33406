"""The third part of a worked solution: lifting, by levels, root by root, or as a tree."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from itembank.kinds.polynomial.solve import LEAST_RULED
from itembank.kinds.polynomial.steps import (
    ChainLift,
    LevelLift,
    LocalAnswer,
    OddSquare,
    SimpleLift,
    TreeLift,
)
from itembank.kinds.polynomial.telling.phrases import (
    congruent_to,
    every_residue,
    multiple_shown,
    on_lines,
    one_of,
    perfect_power,
    reduced_to,
    related,
    residue_shown,
    roots_told,
    short_power,
)
from itembank.kinds.wording import FITS_ON_THE_BOARD, IN_A_SENTENCE, WRITTEN_OUT, fits
from itembank.languages import BREAK, Said, Told, counted, each, grid, lead, say
from itembank.languages.saying import Cell, Each
from itembank.maths.lifting import Node, Row, nodes
from itembank.maths.polynomials import shifted, value
from itembank.maths.primes import valuation
from itembank.notation.building import (
    added,
    applied,
    difference,
    dotted,
    equal,
    listed,
    polynomial,
    power,
)
from itembank.notation.layout import NOTHING
from itembank.notation.tree import Letter, Math, Number, Power, Product, Quotient

R, T, Y = map(Letter, "rty")

_MULTIPLIED_OUT = 20_000
"""Coefficients of f(r + pt) up to here are written out; larger ones are reduced at once."""

# ------------------------------------------------------------ level by level


def level_lift(step: LevelLift) -> Iterator[Told]:
    yield lead("Lift to modulo ${above}$.", above=short_power(step.p, step.j + 1))
    if step.method == "substitute":
        yield from _substituted_level(step)
        return
    if step.j > 1 and step.singular:
        yield from _singular_level(step)
        return
    yield from _level_rule(step)
    yield _level_table(step)
    yield from _level_verdict(step)


def _singular_level(step: LevelLift) -> Iterator[Told]:
    """Beyond the first level the values of f alone decide, as f' stays 0 modulo p."""
    p, j = step.p, step.j
    below, above = short_power(p, j), short_power(p, j + 1)
    if p == 2:
        yield say(
            "Modulo 2 the derivative is 0 here too: of each root $r$ modulo ${below}$ both lifts "
            "are roots if ${above}$ divides $f(r)$, and none is if it does not.",
            below=below,
            above=above,
        )
    else:
        yield say(
            "Modulo {p} the derivative is 0 here too: of each root $r$ modulo ${below}$ all {p} "
            "lifts are roots if ${above}$ divides $f(r)$, and none is if it does not.",
            p=p,
            below=below,
            above=above,
        )
    yield grid(
        (R, applied("f", R), say("roots modulo ${above}$", above=above)),
        [
            (
                row.r,
                _divided_with_rest(row.value, p ** (j + 1)),
                listed(row.r + p**j * t for t in row.ts) if row.ts else say("none"),
            )
            for row in step.rows
        ],
    )
    yield from _level_found(step)


def _substituted_level(step: LevelLift) -> Iterator[Told]:
    """r + 3t put into f and multiplied out, for each root."""
    p, j = step.p, step.j
    above, below = short_power(p, j + 1), short_power(p, j)
    yield say(
        "A root modulo ${above}$ is $r + {below}t$, where $r$ is a root modulo ${below}$. Put it "
        "into $f$, multiply out, and leave out the multiples of ${above}$. What is left is divided "
        "by ${below}$, the modulus too, which becomes {p}:",
        above=above,
        below=below,
        p=p,
    )
    put_in = applied("f", added((R, Product((below, T), dot=isinstance(below, Power)))))
    yield grid(
        (
            R,
            say("${put_in}$, modulo ${above}$", put_in=put_in, above=above),
            say("condition on $t$, modulo {p}", p=p),
            T,
            say("roots modulo ${above}$", above=above),
        ),
        [_substituted_row(step, row) for row in step.rows],
    )
    yield from _level_found(step)


def _substituted_row(step: LevelLift, row: Row) -> tuple[Cell, ...]:
    q, above = step.p**step.j, step.p ** (step.j + 1)
    out = shifted(step.f, row.r, q)
    left = polynomial(tuple(c % above for c in out), "t") if any(c % above for c in out) else None
    short = max(map(abs, out)) <= _MULTIPLIED_OUT
    found = left or Number(0)
    unchanged = all(0 <= c < above for c in out)
    written = polynomial(out, "t")
    shown_as: Math = written if unchanged else related(written, "≡", found)
    if not short:
        shown_as = related(NOTHING, "≡", found)
    return (
        row.r,
        shown_as,
        related(_condition(row), "≡", Number(0)),
        *_digits_and_lifts(row, q),
    )


def _divided_with_rest(value: int, q: int) -> Math:
    """81 = 3 · 27; 369 = 13 · 27 + 18; the residue alone where the value is long."""
    if abs(value) > FITS_ON_THE_BOARD:
        return related(NOTHING, "≡", Number(value % q))
    if value % q == 0:
        return multiple_shown(value, q)
    if value < q:
        return residue_shown(value, q)
    product = q if value < 2 * q else dotted((value // q, q))
    return equal(value, added((product, value % q)))


def _level_rule(step: LevelLift) -> Iterator[Told]:
    p, j = step.p, step.j
    if j == 1:
        yield say("The derivative is $f'(x) = {slope}$.", slope=polynomial(step.slope))
    yield say(
        "Write a root modulo ${above}$ as $r + {below}t$, where $r$ is a root modulo ${below}$; "
        "then $t$ must satisfy $f(r)/{below} + f'(r)·t ≡ 0 (mod {p})$.",
        above=short_power(p, j + 1),
        below=short_power(p, j),
        p=p,
    )


def _level_table(step: LevelLift) -> Told:
    p, j = step.p, step.j
    return grid(
        (
            R,
            applied("f", R),
            Quotient(applied("f", R), short_power(p, j)),
            applied("f", R, primes=1),
            say("condition on $t$, modulo {p}", p=p),
            T,
            say("roots modulo ${above}$", above=short_power(p, j + 1)),
        ),
        [_level_row(row, value(step.slope, row.r), p, j) for row in step.rows],
    )


def _level_row(row: Row, slope: int, p: int, j: int) -> tuple[Cell, ...]:
    """One root: its value, the congruence for t, and what it lifts to."""
    q = p**j
    found: tuple[Cell, Cell]
    if abs(row.value) <= FITS_ON_THE_BOARD:
        found = row.value, residue_shown(row.value // q, p)
    else:
        found = related(NOTHING, "≡", Number(row.quotient * q)), row.quotient
    return (
        row.r,
        *found,
        residue_shown(slope, p),
        related(_condition(row), "≡", Number(0)),
        *_digits_and_lifts(row, q),
    )


def _condition(row: Row) -> Math:
    """The left side of the congruence for t: 2 + 2t, 0 + t; a number alone if t drops out."""
    if not row.slope:
        return Number(row.quotient)
    return added((row.quotient, polynomial((0, row.slope), "t")))


def _digits_and_lifts(row: Row, q: int) -> tuple[Cell, Cell]:
    if not row.ts:
        return say("none"), say("none")
    if len(row.ts) > 1:
        return say("every $t$"), listed(row.r + q * t for t in row.ts)
    (t,) = row.ts
    return t, equal(added((row.r, dotted((q, t)))), row.r + q * t)


def _level_verdict(step: LevelLift) -> Iterator[Told]:
    """What the level has left, and why singular roots branched or died."""
    p = step.p
    singular = [row for row in step.rows if not row.slope]
    if singular:
        yield from _singular_verdict(singular, p, step.j)
    else:
        yield counted(
            "The derivative there is not divisible by {p}, so the root lifts in exactly one way.",
            "None of these derivatives is divisible by {p}, so each root lifts in exactly one way.",
            len(step.rows),
            p=p,
        )
    yield from _level_found(step)


def _level_found(step: LevelLift) -> Iterator[Told]:
    """The roots that the level has left."""
    p, above = step.p, short_power(step.p, step.j + 1)
    lifted = sorted(row.r + p**step.j * t for row in step.rows for t in row.ts)
    if not lifted:
        yield say("No root modulo ${above}$ is left.", above=above)
    elif len(lifted) <= WRITTEN_OUT:
        yield from roots_told(lifted, above)
    else:
        yield say("There are {n} roots modulo ${above}$.", n=len(lifted), above=above)


def _singular_verdict(rows: Sequence[Row], p: int, j: int) -> Iterator[Told]:
    """Of each singular root all p lifts are roots, or none: which, and why."""
    above = short_power(p, j + 1)
    living = [row.r for row in rows if row.ts]
    dying = [row.r for row in rows if not row.ts]
    yield (
        _both_or_none([row.r for row in rows])
        if p == 2
        else _all_or_none([row.r for row in rows], p)
    )
    if living:
        yield _both_live(living, above) if p == 2 else _all_live(living, above, p)
    if dying:
        yield counted(
            "{values} is not divisible by ${above}$: {r} has no lift.",
            "{values} are not divisible by ${above}$: {r} have no lift.",
            len(dying),
            values=_values_at(dying),
            above=above,
            r=each(dying),
        )


def _both_or_none(roots: Sequence[int]) -> Said:
    return counted(
        "$f'({r}) ≡ 0 (mod 2)$: the root {r} is singular, so either both of its lifts are roots or "
        "none is.",
        "$f'(r) ≡ 0 (mod 2)$ for $r = {r}$: these roots are singular, so of each either both lifts "
        "are roots or none is.",
        len(roots),
        r=listed(roots),
    )


def _all_or_none(roots: Sequence[int], p: int) -> Said:
    return counted(
        "$f'({r}) ≡ 0 (mod {p})$: the root {r} is singular, so either all {p} of its lifts are "
        "roots or none is.",
        "$f'(r) ≡ 0 (mod {p})$ for $r = {r}$: these roots are singular, so of each either all {p} "
        "lifts are roots or none is.",
        len(roots),
        r=listed(roots),
        p=p,
    )


def _both_live(roots: Sequence[int], above: Math) -> Said:
    return counted(
        "{values} is divisible by ${above}$: both lifts of {r} are roots.",
        "{values} are divisible by ${above}$: both lifts of each of {r} are roots.",
        len(roots),
        values=_values_at(roots),
        above=above,
        r=each(roots),
    )


def _all_live(roots: Sequence[int], above: Math, p: int) -> Said:
    return counted(
        "{values} is divisible by ${above}$: all {p} lifts of {r} are roots.",
        "{values} are divisible by ${above}$: all {p} lifts of each of {r} are roots.",
        len(roots),
        values=_values_at(roots),
        above=above,
        p=p,
        r=each(roots),
    )


def _values_at(residues: Sequence[int]) -> Each:
    return each(applied("f", r) for r in residues)


# ------------------------------------------------------------ odd squares modulo 2^k


def odd_square(step: OddSquare) -> Iterator[Told]:
    """The rule for x^2 = c modulo 2^k, and the root that it needs."""
    k, c, q = step.k, step.c, short_power(2, step.k)
    yield lead("Modulo ${q}$.", q=q)
    yield say(
        "The congruence is $x^2 ≡ {c} (mod {q})$. So $x$ is odd, and the square of an odd number "
        "is 1 modulo 8.",
        c=residue_shown(c, 2**k),
        q=q,
    )
    if not step.rows:
        yield say("But ${c} ≢ 1 (mod 8)$: there is no solution.", c=c)
        return
    if c != 1:
        yield say("Here ${c} ≡ 1 (mod 8)$.", c=c)
    if k == LEAST_RULED:
        yield say("So every odd $x$ is a solution, which makes four modulo 8.")
        return
    yield say(
        "So there are four solutions: $±r$ and $±r + {half}$, where $r$ is any one of them.",
        half=short_power(2, k - 1),
    )
    if step.counted:
        return
    r, half = step.rows[-1][1], 2 ** (k - 1)
    if len(step.rows) == 1:
        yield perfect_power(c % 2**k, r, 2, 2**k)
    else:
        yield from _odd_root(step)
    if 2**k <= FITS_ON_THE_BOARD:
        yield say("So $r = {r}$ will do.", r=r)
    yield from roots_told(sorted({s % 2**k for x in (r, -r) for s in (x, x + half)}), q)


def _odd_root(step: OddSquare) -> Iterator[Told]:
    """r, from a power of 2 to the next: it stays, or takes a digit more."""
    yield say(
        "One is found from $r = 1$, which is right modulo 8: a root $r$ modulo $2^j$ is one modulo "
        "$2^(j + 1)$, too, or else $r + 2^(j - 1)$ is."
    )
    j, square = Letter("j"), Power(R, Number(2))
    if 2**step.k > FITS_ON_THE_BOARD:
        yield grid((j, R), [(j_, r) for j_, r in step.rows])
        return
    yield grid(
        (
            j,
            R,
            difference(square, Number(step.c)) if step.c > 0 else added((square, -step.c)),
            say("divisible by $2^(j + 1)$"),
            say("root modulo $2^(j + 1)$"),
        ),
        [
            (i, r, r * r - step.c, say("yes") if s == r else say("no"), s)
            for (i, r), (_i, s) in pairwise(step.rows)
        ],
    )


# ------------------------------------------------------------ one simple root to p^k


def chain_lift(step: ChainLift) -> Iterator[Told]:
    yield lead("Lift {r} to modulo ${q}$.", r=step.root, q=power(step.p, step.k))
    yield _slope_told(step)
    if step.lifted == step.root:
        yield _unchanged(step)
    else:
        yield from _chain_rule(step)
        yield _chain_table(step)
        yield from _lifted_root(step)


def _slope_told(step: ChainLift) -> Said:
    p, r = step.p, step.root
    slope = congruent_to(applied("f", r, primes=1), value(step.slope, r), p)
    if step.first:
        return say(
            "$f'(x) = {derivative}$, and ${slope}$ is not divisible by {p}: the root {r} "
            "lifts in exactly one way to every power of {p}.",
            derivative=polynomial(step.slope),
            slope=slope,
            p=p,
            r=r,
        )
    return say(
        "${slope}$ is not divisible by {p} either: {r} too lifts in exactly one way.",
        slope=slope,
        p=p,
        r=r,
    )


def _unchanged(step: ChainLift) -> Said:
    """The root modulo p is itself the root modulo p^k."""
    r, q = step.root, short_power(step.p, step.k)
    if value(step.f, r) == 0:
        return say("And $f({r}) = 0$, so that lift is $x ≡ {r} (mod {q})$ itself.", r=r, q=q)
    return say("And $f({r}) ≡ 0 (mod {q})$, so that lift is $x ≡ {r} (mod {q})$ itself.", r=r, q=q)


def _chain_rule(step: ChainLift) -> Iterator[Told]:
    """What t is for each power of p; the more is said of it at the first root."""
    p = step.p
    if step.first:
        yield say("All the way $f'$ keeps its residue modulo {p}.", p=p)
    residue = value(step.slope, step.root) % p
    if residue == 1:
        yield _digit_without_inverse(step)
        return
    inverse = pow(residue, -1, p)
    one = reduced_to(dotted((residue, inverse)), residue * inverse, p)
    if step.first:
        yield say(
            "A root $r$ modulo ${p}^j$ becomes $r + {p}^j·t$ with $f(r)/{p}^j + {slope}t ≡ 0 (mod "
            "{p})$, that is $t ≡ -{inverse}·f(r)/{p}^j$, since ${one}$.",
            p=p,
            slope=residue,
            inverse=inverse,
            one=one,
        )
    else:
        yield say(
            "Here $f(r)/{p}^j + {slope}t ≡ 0 (mod {p})$, that is $t ≡ -{inverse}·f(r)/{p}^j$, "
            "since ${one}$.",
            p=p,
            slope=residue,
            inverse=inverse,
            one=one,
        )


def _digit_without_inverse(step: ChainLift) -> Said:
    if step.first:
        return say(
            "A root $r$ modulo ${p}^j$ becomes $r + {p}^j·t$ with $f(r)/{p}^j + t ≡ 0 (mod {p})$, "
            "that is $t ≡ -f(r)/{p}^j$.",
            p=step.p,
        )
    return say("Here $f(r)/{p}^j + t ≡ 0 (mod {p})$, that is $t ≡ -f(r)/{p}^j$.", p=step.p)


def _lifted_root(step: ChainLift) -> Iterator[Told]:
    p, k, r = step.p, step.k, step.lifted
    q = short_power(p, k)
    if fits(p**k):
        yield say("So $x ≡ {r} (mod {q})$.", r=r, q=q)
    elif r <= IN_A_SENTENCE:
        yield say("With these digits $t$ the root is $x ≡ {r} (mod {q})$.", r=r, q=q)
    else:
        yield say("With these digits $t$ the root modulo ${q}$ is", q=q)
        yield on_lines([r])


def _chain_table(step: ChainLift) -> Told:
    """A row a power of p; the roots between are left out where they are long."""
    p = step.p
    j, quotient = Letter("j"), say("$f(r)/{p}^j$ modulo {p}", p=p)
    if not fits(p**step.k):
        return grid((j, quotient, T), [(row.j, row.quotient, row.t) for row in step.rows])
    return grid(
        (j, say("$r$ modulo ${p}^j$", p=p), quotient, T, say("root modulo ${p}^(j+1)$", p=p)),
        [(row.j, row.r, row.quotient, row.t, row.r + p**row.j * row.t) for row in step.rows],
    )


# ------------------------------------------------------------ roots that branch far


def tree_lift(step: TreeLift) -> Iterator[Told]:
    p, k = step.p, step.k
    singular = [child for child in step.root.children if child.lifted is None]
    yield lead("Lift to modulo ${q}$.", q=power(p, k))
    yield counted(
        "The derivative at {r} is divisible by {p}, and the root branches.",
        "The derivatives at {r} are divisible by {p}, and these roots branch.",
        len(singular),
        r=each(child.r for child in singular),
        p=p,
    )
    yield say(
        "Follow classes: put $x = r + {p}^j·y$, divide the highest power of {p} out of all "
        "coefficients, and solve what is left modulo {p} for $y$. A class is finished when ${q}$ "
        "itself divides out.",
        p=p,
        q=power(p, k),
    )
    yield grid(
        (Letter("x"), say("power divided out"), say("left, modulo {p}", p=p), Y),
        [_tree_row(node, step) for child in singular for node in nodes(child)],
    )
    yield from _tree_verdict(step)


def _tree_row(node: Node, step: TreeLift) -> tuple[Cell, ...]:
    p, k = step.p, step.k
    within = Product((power(p, node.j), Y), dot=True)
    x = added((node.r, within)) if node.r else within
    if node.e >= k:
        return x, power(p, k), say("nothing"), say("every $y$")
    left = related(polynomial(node.g, "y"), "≡", Number(0))
    return x, power(p, node.e), left, _digits_of(node, p)


def _digits_of(node: Node, p: int) -> Cell:
    """The y that solve what is left, and where a simple one leads."""
    if node.lifted:
        r, d = node.lifted
        return say(
            "${y}$, simple: one lift, $x ≡ {r} (mod {d})$",
            y=listed(node.digits),
            r=r,
            d=power(p, valuation(d, p)),
        )
    return listed(node.digits) if node.digits else say("none")


def _tree_verdict(step: TreeLift) -> Iterator[Told]:
    """What the table leaves, in so far as no paragraph after it says so."""
    if not step.classes:
        yield say(
            "No class is left: none of these roots lifts to modulo ${q}$.",
            q=power(step.p, step.k),
        )


# ------------------------------------------------------------ no lift is asked for


def simple_lift(step: SimpleLift) -> Iterator[Told]:
    p = step.p
    slopes = each(
        congruent_to(applied("f", r, primes=1), value(step.slope, r), p) for r in step.roots
    )
    yield say("The derivative is $f'(x) = {slope}$.", slope=polynomial(step.slope))
    yield counted(
        "{slopes} is not divisible by {p}: the root {r} lifts in exactly one way to every power of "
        "{p}.",
        "{slopes} are not divisible by {p}: the roots {r} lift, each in exactly one way, to every "
        "power of {p}.",
        len(step.roots),
        slopes=slopes,
        p=p,
        r=each(step.roots),
    )


# ------------------------------------------------------------ the prime power's answer


def local_answer(step: LocalAnswer) -> Iterator[Told]:
    p, k = step.p, step.k
    if all(d == p**k for _r, d in step.classes) or every_residue(step.classes):
        return
    yield BREAK
    yield say(
        "So $x$ is a solution modulo ${q}$ exactly when {classes}.",
        q=short_power(p, k),
        classes=one_of(step.classes, [(p, k)]),
    )
