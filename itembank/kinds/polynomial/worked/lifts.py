"""The third part of a worked solution: lifting, by levels, root by root, or as a tree."""

from collections.abc import Iterator, Sequence

from itembank.kinds.polynomial.steps import ChainLift, LevelLift, LocalAnswer, TreeLift
from itembank.kinds.polynomial.worked.phrases import (
    class_phrase,
    every_residue,
    power,
    power_value,
    roots_told,
)
from itembank.kinds.wording import (
    FITS_ON_THE_BOARD,
    IN_A_SENTENCE,
    WRITTEN_OUT,
    Piece,
    both_or_all,
    conjunction,
    equal_to,
    fits,
    flowing,
    listing,
    polynomial,
    residue_chain,
    residue_lines,
    run_in,
)
from itembank.languages.words import _, ngettext
from itembank.maths.lifting import Node, Row, nodes
from itembank.maths.polynomials import value
from itembank.maths.primes import valuation
from itembank.notation.prose import table
from itembank.notation.tree import Block

# ------------------------------------------------------------ level by level


def level_lift(step: LevelLift) -> Iterator[Block]:
    above = power_value(step.p, step.j + 1)
    yield from flowing(
        [*level_rule(step), level_table(step), *level_verdict(step)],
        _("Lift to modulo {above}.").format(above=run_in(above)),
    )


def level_rule(step: LevelLift) -> Iterator[Piece]:
    p, j = step.p, step.j
    if j == 1:
        yield _("The derivative is $f'(x) = {slope}$.").format(slope=polynomial(step.slope))
    yield _(
        "Write a root modulo ${above}$ as $r + {below}t$, where $r$ is a root modulo ${below}$; "
        "then $t$ must satisfy $f(r)/{below} + f'(r)·t ≡ 0 (mod {p})$."
    ).format(above=power_value(p, j + 1), below=power_value(p, j), p=p)


def level_table(step: LevelLift) -> Block:
    p, j = step.p, step.j
    below, above = power_value(p, j), power_value(p, j + 1)
    return table(
        [
            "$r$",
            "$f(r)$",
            f"$f(r)/{below}$",
            "$f'(r)$",
            _("condition on $t$, modulo {p}").format(p=p),
            "$t$",
            _("roots modulo ${above}$").format(above=above),
        ],
        [level_row(row, value(step.slope, row.r), p, j) for row in step.rows],
    )


def level_row(row: Row, slope: int, p: int, j: int) -> list[str]:
    """One root: its value, the congruence for t, and what it lifts to."""
    q = p**j
    if abs(row.value) <= FITS_ON_THE_BOARD:
        shown_value, shown_quotient = str(row.value), residue_chain(row.value // q, p)
    else:
        shown_value, shown_quotient = f"≡ {row.quotient * q}", str(row.quotient)
    return [
        f"${row.r}$",
        f"${shown_value}$",
        f"${shown_quotient}$",
        f"${residue_chain(slope, p)}$",
        f"${condition(row)} ≡ 0$",
        *digits_and_lifts(row, q),
    ]


def condition(row: Row) -> str:
    """The left side of the congruence for t: 2 + 2t, 0 + t; a number alone if t drops out."""
    return f"{row.quotient} + {polynomial((0, row.slope), 't')}" if row.slope else f"{row.quotient}"


def digits_and_lifts(row: Row, q: int) -> tuple[str, str]:
    if not row.ts:
        return _("none"), _("none")
    if len(row.ts) > 1:
        return _("every $t$"), f"${listing(row.r + q * t for t in row.ts)}$"
    (t,) = row.ts
    return f"${t}$", f"${row.r} + {q}·{t} = {row.r + q * t}$"


def level_verdict(step: LevelLift) -> Iterator[Piece]:
    """What the level has left, and why singular roots branched or died."""
    p, above = step.p, power_value(step.p, step.j + 1)
    singular = [row for row in step.rows if not row.slope]
    if singular:
        yield from singular_verdict(singular, p, step.j)
    else:
        yield ngettext(
            "The derivative there is not divisible by {p}, so the root lifts in exactly one way.",
            "None of these derivatives is divisible by {p}, so each root lifts in exactly one way.",
            len(step.rows),
        ).format(p=p)
    lifted = sorted(row.r + p**step.j * t for row in step.rows for t in row.ts)
    if not lifted:
        yield _("No root modulo ${above}$ is left.").format(above=above)
    elif len(lifted) <= WRITTEN_OUT:
        yield from roots_told(lifted, above)
    else:
        yield _("There are {n} roots modulo ${above}$.").format(n=len(lifted), above=above)


def singular_verdict(rows: Sequence[Row], p: int, j: int) -> Iterator[Piece]:
    """Of each singular root all p lifts are roots, or none: which, and why."""
    above, every = power_value(p, j + 1), both_or_all(p)
    living = [row.r for row in rows if row.ts]
    dying = [row.r for row in rows if not row.ts]
    yield ngettext(
        "$f'({r}) ≡ 0 (mod {p})$: the root {r} is singular, so either {all} of its lifts are roots "
        "or none is.",
        "$f'(r) ≡ 0 (mod {p})$ for $r = {r}$: these roots are singular, so of each either {all} "
        "lifts are roots or none is.",
        len(rows),
    ).format(r=listing(row.r for row in rows), p=p, all=every)
    if living:
        yield ngettext(
            "{values} is divisible by ${above}$: {all} lifts of {r} are roots.",
            "{values} are divisible by ${above}$: {all} lifts of each of {r} are roots.",
            len(living),
        ).format(values=values_at(living), above=above, all=every, r=conjunction(map(str, living)))
    if dying:
        yield ngettext(
            "{values} is not divisible by ${above}$: {r} has no lift.",
            "{values} are not divisible by ${above}$: {r} have no lift.",
            len(dying),
        ).format(values=values_at(dying), above=above, r=conjunction(map(str, dying)))


def values_at(residues: Sequence[int]) -> str:
    return conjunction(f"$f({r})$" for r in residues)


# ------------------------------------------------------------ one simple root to p^k


def chain_lift(step: ChainLift) -> Iterator[Block]:
    if step.lifted == step.root:
        told = [slope_told(step), *unchanged(step)]
    else:
        told = [slope_told(step), chain_rule(step), chain_table(step), *lifted_root(step)]
    lead = _("Lift {r} to modulo {q}.").format(r=step.root, q=run_in(power(step.p, step.k)))
    yield from flowing(told, lead)


def slope_told(step: ChainLift) -> str:
    p, r = step.p, step.root
    if step.first:
        text = _(
            "$f'(x) = {derivative}$, and $f'({r}) {slope} (mod {p})$ is not divisible by {p}: the "
            "root {r} lifts in exactly one way to every power of {p}."
        )
    else:
        text = _(
            "$f'({r}) {slope} (mod {p})$ is not divisible by {p} either: {r} too lifts in exactly "
            "one way."
        )
    return text.format(
        derivative=polynomial(step.slope), r=r, slope=equal_to(value(step.slope, r), p), p=p
    )


def unchanged(step: ChainLift) -> Iterator[Piece]:
    """The root modulo p is itself the root modulo p^k."""
    r, q = step.root, power_value(step.p, step.k)
    v = value(step.f, r)
    shown = f"f({r}) = 0" if v == 0 else f"f({r}) ≡ 0 (mod {q})"
    yield _("And ${shown}$, so that lift is $x ≡ {r} (mod {q})$ itself.").format(
        shown=shown, r=r, q=q
    )


def chain_rule(step: ChainLift) -> str:
    p = step.p
    residue = value(step.slope, step.root) % p
    if step.first:
        text = _(
            "All the way $f'$ keeps its residue modulo {p}. A root $r$ modulo ${p}^j$ becomes "
            "$r + {p}^j·t$ with $f(r)/{p}^j + {linear} ≡ 0 (mod {p})$, that is {solved}."
        )
    else:
        text = _("Here $f(r)/{p}^j + {linear} ≡ 0 (mod {p})$, that is {solved}.")
    return text.format(p=p, linear=polynomial((0, residue), "t"), solved=digit_told(residue, p))


def digit_told(residue: int, p: int) -> str:
    """t as a multiple of f(r)/p^j."""
    if residue == 1:
        return _("$t ≡ -f(r)/{p}^j$").format(p=p)
    inverse = pow(residue, -1, p)
    return _("$t ≡ -{inverse}·f(r)/{p}^j$, since ${residue} · {inverse} {one}$").format(
        p=p, residue=residue, inverse=inverse, one=equal_to(residue * inverse, p)
    )


def lifted_root(step: ChainLift) -> Iterator[Piece]:
    p, k, r = step.p, step.k, step.lifted
    q = power_value(p, k)
    if fits(p**k):
        yield _("So $x ≡ {r} (mod {q})$.").format(r=r, q=q)
    elif r <= IN_A_SENTENCE:
        yield _("With these digits $t$ the root is $x ≡ {r} (mod {q})$.").format(r=r, q=q)
    else:
        yield _("With these digits $t$ the root modulo ${q}$ is").format(q=q)
        yield residue_lines([r])


def chain_table(step: ChainLift) -> Block:
    """A row a power of p; the roots between are left out where they are long."""
    p = step.p
    short = fits(p**step.k)
    head = ["$j$"]
    head += [_("$r$ modulo ${p}^j$").format(p=p)] if short else []
    head += [_("$f(r)/{p}^j$ modulo {p}").format(p=p), "$t$"]
    head += [_("root modulo ${p}^(j+1)$").format(p=p)] if short else []
    rows = []
    for row in step.rows:
        cells = [row.j, *([row.r] if short else []), row.quotient, row.t]
        cells += [row.r + p**row.j * row.t] if short else []
        rows.append([f"${cell}$" for cell in cells])
    return table(head, rows)


# ------------------------------------------------------------ roots that branch far


def tree_lift(step: TreeLift) -> Iterator[Block]:
    p, k = step.p, step.k
    singular = [child for child in step.root.children if child.lifted is None]
    rule = ngettext(
        "The derivative at {r} is divisible by {p}, and the root branches.",
        "The derivatives at {r} are divisible by {p}, and these roots branch.",
        len(singular),
    ).format(r=conjunction(str(child.r) for child in singular), p=p)
    method = _(
        "Follow classes: put $x = r + {p}^j·y$, divide the highest power of {p} out of all "
        "coefficients, and solve what is left modulo {p} for $y$. A class is finished when ${q}$ "
        "itself divides out."
    ).format(p=p, q=power(p, k))
    rows = table(
        ["$x$", _("power divided out"), _("left, modulo {p}").format(p=p), "$y$"],
        [tree_row(node, step) for child in singular for node in nodes(child)],
    )
    lead = _("Lift to modulo {q}.").format(q=run_in(power(p, k)))
    yield from flowing([rule, method, rows, *tree_verdict(step)], lead)


def tree_row(node: Node, step: TreeLift) -> list[str]:
    p, k = step.p, step.k
    x = f"{power(p, node.j)}·y"
    head = f"${node.r} + {x}$" if node.r else f"${x}$"
    if node.e >= k:
        return [head, f"${power(p, k)}$", _("nothing"), _("every $y$")]
    left = f"${polynomial(node.g, 'y')} ≡ 0$"
    if node.lifted:
        r, d = node.lifted
        ys = _("${y}$, simple: one lift, $x ≡ {r} (mod {d})$").format(
            y=listing(node.digits), r=r, d=power(p, valuation(d, p))
        )
    else:
        ys = f"${listing(node.digits)}$" if node.digits else _("none")
    return [head, f"${power(p, node.e)}$", left, ys]


def tree_verdict(step: TreeLift) -> Iterator[Piece]:
    """What the table leaves, in so far as no paragraph after it says so."""
    if not step.classes:
        yield _("No class is left: none of these roots lifts to modulo ${q}$.").format(
            q=power(step.p, step.k)
        )


# ------------------------------------------------------------ the prime power's answer


def local_answer(step: LocalAnswer) -> Iterator[Block]:
    p, k = step.p, step.k
    if all(d == p**k for _r, d in step.classes) or every_residue(step.classes):
        return
    yield from flowing(
        [
            _("So $x$ is a solution modulo ${q}$ exactly when {classes}.").format(
                q=power_value(p, k), classes=class_phrase(step.classes, [(p, k)])
            )
        ]
    )
