"""How each step of solving two linear congruences in two unknowns is told.

One function a step; everything is said of the unknowns x and y.
"""

from collections.abc import Iterator
from typing import Any

from itembank.kinds.base import Solution
from itembank.kinds.chains import calculated_or_congruent, residue_chain, shift, sum_of
from itembank.kinds.linear.isolating import isolated, product_of_small
from itembank.kinds.linear_pair.steps import (
    Check,
    Combine,
    Conclude,
    Decide,
    Determinant,
    DivideOut,
    Eliminate,
    Express,
    LeastResidues,
    Local,
    OneUnknown,
    Pair,
    Row,
    Rows,
    Split,
    Spread,
    Unknown,
)
from itembank.kinds.polynomial.telling.combining import one_shown
from itembank.kinds.wording import FITS_ON_THE_BOARD, WRITTEN_OUT, Tellers, told
from itembank.languages import (
    BREAK,
    Shown,
    Telling,
    Told,
    counted,
    each,
    grid,
    lead,
    say,
    shown,
    spelled,
)
from itembank.languages.lettering import relettered
from itembank.notation.building import congruence, dotted, equal, listed, number, polynomial
from itembank.notation.tree import (
    Dots,
    Group,
    Letter,
    Listing,
    Math,
    Minus,
    Number,
    Product,
    Relation,
)


def worked(solution: Solution[Any], letters: tuple[str, str]) -> Telling:
    """The steps as a teacher would write them on the board, in these unknowns."""
    said = tuple(told(solution.steps, _TOLD))
    x, y = letters
    return relettered(said, {"x": x, "y": y}) if letters != ("x", "y") else said


def _row_shown(row: Row, m: int) -> Math:
    """2x + 3y ≡ 5 (mod m); 0 ≡ 5 if nothing else is left."""
    a, b, c = row
    terms = [polynomial((0, n), letter) for n, letter in ((a, "x"), (b, "y")) if n]
    return congruence(sum_of(*terms) if terms else Number(0), Number(c), m)


def _rows_shown(rows: Rows, m: int) -> Shown:
    return shown(*(_row_shown(row, m) for row in rows))


def _pair_shown(pair: Pair) -> Math:
    return Group(listed(pair))


def _other_than(unknown: Unknown) -> Unknown:
    return "y" if unknown == "x" else "x"


# ------------------------------------------------------------ elimination


def _least_residues(step: LeastResidues) -> Iterator[Told]:
    yield say("With least residues modulo {m}:", m=step.m)
    yield _rows_shown(step.rows, step.m)


def _determinant(step: Determinant) -> Iterator[Told]:
    (a1, b1, _c1), (a2, b2, _c2) = step.rows
    yield lead("Determinant.")
    yield say(
        "The determinant is ${a1} · {b2} - {a2} · {b1} = {D}$.",
        a1=a1,
        b2=b2,
        a2=a2,
        b1=b1,
        D=residue_chain(a1 * b2 - a2 * b1, step.m),
    )
    if step.g == 1:
        yield say(
            "$gcd({D}, {m}) = 1$, so there is exactly one solution modulo {m}.", D=step.D, m=step.m
        )
    else:
        yield say(
            "$gcd({D}, {m}) = {g}$: the determinant has no inverse modulo {m}, so there is no "
            "solution or more than one.",
            D=step.D,
            m=step.m,
            g=step.g,
        )


def _eliminate(step: Eliminate) -> Iterator[Told]:
    first, second = step.rows
    m, (mine, theirs) = step.m, step.factors
    if step.left == "x":
        yield lead("Eliminate the second unknown.")
        yield from _second_from_first(mine, theirs)
        multiplied = (_times(first, mine), _times(second, theirs))
    else:
        yield lead("Eliminate the first unknown.")
        yield from _first_from_second(mine, theirs)
        multiplied = (_times(second, mine), _times(first, theirs))
    (a1, b1, c1), (a2, b2, c2) = multiplied
    whole, right = (a1 - a2, c1 - c2) if step.left == "x" else (b1 - b2, c1 - c2)
    left = polynomial((0, whole), step.left)
    yield shown(*(_row_shown(row, m) for row in multiplied), congruence(left, Number(right), m))
    if (whole, right) != (step.way.a, step.way.b):
        yield say(
            "With least residues that is ${left} ≡ {right} (mod {m})$.",
            left=polynomial((0, step.way.a), step.left),
            right=step.way.b,
            m=m,
        )
    yield from isolated(step.way, step.left)


def _times(row: Row, n: int) -> Row:
    a, b, c = row
    return n * a, n * b, n * c


def _second_from_first(first: int, second: int) -> Iterator[Told]:
    """By what the congruences are multiplied before the second is subtracted from the first."""
    if first == second == 1:
        yield say("Subtract the second congruence from the first:")
    elif first == 1:
        yield say(
            "Multiply the second congruence by {second} and subtract it from the first:",
            second=second,
        )
    elif second == 1:
        yield say("Multiply the first congruence by {first} and subtract the second:", first=first)
    else:
        yield say(
            "Multiply the first congruence by {first} and the second by {second}, and subtract:",
            first=first,
            second=second,
        )


def _first_from_second(second: int, first: int) -> Iterator[Told]:
    """By what the congruences are multiplied before the first is subtracted from the second."""
    if first == second == 1:
        yield say("Subtract the first congruence from the second:")
    elif second == 1:
        yield say(
            "Multiply the first congruence by {first} and subtract it from the second:",
            first=first,
        )
    elif first == 1:
        yield say(
            "Multiply the second congruence by {second} and subtract the first:", second=second
        )
    else:
        yield say(
            "Multiply the second congruence by {second} and the first by {first}, and subtract:",
            first=first,
            second=second,
        )


# ------------------------------------------------------------ substitution


def _express(step: Express) -> Iterator[Told]:
    m, unknown, other = step.m, step.unknown, _other_than(step.unknown)
    a, b, c = step.rows[step.row]
    u, v = (a, b) if unknown == "x" else (b, a)
    yield lead("Express one unknown by the other.")
    if step.row == 0:
        yield say(
            "In the first congruence the coefficient {u} of ${unknown}$ has an inverse modulo "
            "{m}, so ${unknown}$ can be expressed by ${other}$.",
            u=u,
            unknown=Letter(unknown),
            m=m,
            other=Letter(other),
        )
    else:
        yield say(
            "In the second congruence the coefficient {u} of ${unknown}$ has an inverse modulo "
            "{m}, so ${unknown}$ can be expressed by ${other}$.",
            u=u,
            unknown=Letter(unknown),
            m=m,
            other=Letter(other),
        )
    moved = shift(c, -v, other)
    expressed = shift(step.r, step.s, other)
    if u == 1:
        same = moved == expressed
        yield say(
            "${unknown} ≡ {value} (mod {m})$.",
            unknown=Letter(unknown),
            value=moved if same else Relation((moved, expressed), ("≡",)),
            m=m,
        )
    else:
        expanded = shift(step.inverse * c, -step.inverse * v, other)
        sides = dict.fromkeys((_multiple(step.inverse, moved), expanded, expressed))
        signs = ["≡" if side == expressed != expanded else "=" for side in sides]
        yield say(
            "${one} (mod {m})$, so ${unknown} ≡ {value} (mod {m})$.",
            one=product_of_small(u, step.inverse, m),
            m=m,
            unknown=Letter(unknown),
            value=Relation(tuple(sides), tuple(signs[1:])),
        )


def _multiple(n: int, tree: Math) -> Math:
    """3(1 + 2y); 3 · 5 for a number."""
    if isinstance(tree, Number):
        return dotted((n, tree))
    return Minus(Group(tree)) if n == -1 else Product((Number(n), Group(tree)))


def _one_unknown(step: OneUnknown) -> Iterator[Told]:
    m, A, B, other = step.m, step.A, step.B, _other_than(step.unknown)
    t = Letter(other)
    yield lead("One unknown left.")
    if A == 0:
        yield say(
            "In the other congruence the left side becomes ${put_in}$. There ${t}$ drops out: "
            "modulo {m} it is {left}, and the right side is {c}.",
            put_in=_multiplied_out(step),
            t=t,
            m=m,
            left=(step.row[2] - B) % m,
            c=step.row[2],
        )
        if B:
            yield say("So no pair solves both congruences.")
        else:
            yield say("So every ${t}$ will do.", t=t)
    else:
        yield say(
            "In the other congruence this gives ${put_in} ≡ {c} (mod {m})$, that is",
            put_in=_multiplied_out(step),
            c=step.row[2],
            m=m,
        )
        yield shown(congruence(polynomial((0, A), other), Number(B), m))
        if not step.values:
            yield say(
                "$gcd({A}, {m}) = {g}$ does not divide {B}: there is no such ${t}$.",
                A=A,
                m=m,
                g=step.g,
                B=B,
                t=t,
            )
    if step.values:
        yield from _values_found(step)
        yield from _pairs_found(step)


def _put_together(step: OneUnknown) -> Math:
    """u(r + s * other) + v * other, the left side of the other row."""
    u, v, _c = step.row
    other = _other_than(step.unknown)
    inner = shift(step.r, step.s, other)
    terms = []
    if u:
        terms.append(inner if u == 1 else _multiple(u, inner))
    if v or not terms:
        terms.append(polynomial((0, v), other))
    return sum_of(*terms)


def _multiplied_out(step: OneUnknown) -> Math:
    """3(1 - 2y) + 2y = 3 - 4y."""
    u, v, _c = step.row
    whole = shift(u * step.r, u * step.s + v, _other_than(step.unknown))
    put_in = _put_together(step)
    return put_in if put_in == whole else Relation((put_in, whole), ("=",))


def _values_found(step: OneUnknown) -> Iterator[Told]:
    """From A t = B (mod m) to the values of t."""
    m, A, B, g = step.m, step.A, step.B, step.g
    t = Letter(_other_than(step.unknown))
    if A == 0:
        return
    a, b, n = A // g, B // g, m // g
    if g > 1:
        yield say(
            "$gcd({A}, {m}) = {g}$ divides {B}. Divide all three numbers by {g}: "
            "${left} ≡ {b} (mod {n})$.",
            A=A,
            m=m,
            g=g,
            B=B,
            left=polynomial((0, a), t.name),
            b=b,
            n=n,
        )
    if step.way and a % n != 1:
        yield from isolated(step.way, t.name)
    if 1 < g <= WRITTEN_OUT and step.pairs:
        yield say("Modulo {m} that is ${t} ≡ {values}$.", m=m, t=t, values=listed(step.values))


def _pairs_found(step: OneUnknown) -> Iterator[Told]:
    """Each value of one unknown with that of the other."""
    if not step.pairs or len(step.pairs) > WRITTEN_OUT:
        n = len(step.values)
        if n == 1:
            yield say("This value gives one pair.")
        else:
            yield say("Each of the {n} values modulo {m} gives one pair.", n=spelled(n), m=step.m)
        return
    if len(step.pairs) == 1:
        ((x, y),) = step.pairs
        yield say("So $x ≡ {x}$ and $y ≡ {y} (mod {m})$.", x=x, y=y, m=step.m)
        return
    i = 0 if step.unknown == "y" else 1
    yield say(
        "With ${expressed} (mod {m})$ this gives:",
        expressed=Relation(
            (Letter(step.unknown), shift(step.r, step.s, _other_than(step.unknown))), ("≡",)
        ),
        m=step.m,
    )
    yield grid(
        (Letter(_other_than(step.unknown)), *(pair[i] for pair in step.pairs)),
        [(Letter(step.unknown), *(pair[1 - i] for pair in step.pairs))],
        row_heads=True,
    )


# ------------------------------------------------------------ no coefficient a unit


def _split(step: Split) -> Iterator[Told]:
    powers = [p**k for p, k in step.factors]
    yield lead("Split the modulus.")
    yield say(
        "None of the coefficients has an inverse modulo {m}. ${m} = {product}$, and no two of "
        "these factors share a prime: solve modulo {moduli}, then combine.",
        m=step.m,
        product=dotted(powers),
        moduli=each(powers),
    )


def _local(step: Local) -> Iterator[Told]:
    yield lead("Modulo {q}.", q=step.q)
    yield say("The congruences are")
    yield _rows_shown(step.rows, step.q)


def _divide_out(step: DivideOut) -> Iterator[Told]:
    p, m = step.p, step.m
    yield BREAK
    if step.divided is None:
        yield say(
            "All coefficients are divisible by {p}, and so are the left sides; but a right side is "
            "not. There is no solution modulo {m}.",
            p=p,
            m=m,
        )
    elif m == p:
        yield say(
            "All coefficients and both right sides are 0 modulo {p}, so every pair is a solution.",
            p=p,
        )
    else:
        yield say(
            "All coefficients and both right sides are divisible by {p}. Divide by {p}, the "
            "modulus too:",
            p=p,
        )
        yield _rows_shown(step.divided, m // p)


def _spread(step: Spread) -> Iterator[Told]:
    p, n = step.p, step.m // step.p
    if n == 1:
        return
    yield BREAK
    yield say(
        "Each pair modulo {n} stands for ${p} · {p} = {square}$ pairs modulo {m}: each of {added} "
        "may be added to $x$, and each to $y$.",
        n=n,
        p=p,
        square=p * p,
        m=step.m,
        added=each(range(0, step.m, n)),
    )


def _combine(step: Combine) -> Iterator[Told]:
    yield lead("Combine.")
    for w in step.weights:
        yield say(
            "${one}$, so the number ${e}$ is 1 modulo {m} and 0 modulo {others}.",
            one=one_shown(w, Number(w.modulus)),
            e=equal(*dict.fromkeys((number(w.e), dotted((w.others, w.inverse)))))
            if w.inverse != 1
            else w.e,
            m=w.modulus,
            others=each(o.modulus for o in step.weights if o is not w),
        )
    yield say(
        "With these multipliers every choice of pairs is combined, $x$ and $y$ in the same way:"
    )
    rows = step.choices[:WRITTEN_OUT]
    yield grid(
        [say("modulo {m}", m=m) for m in (*(w.modulus for w in step.weights), step.m)],
        [[_pair_shown(p) for p in (*choice, pair)] for choice, pair in rows],
    )
    if len(rows) < len(step.choices):
        yield say("And so on for all {n} choices.", n=len(step.choices))


# ------------------------------------------------------------ the answer


def _conclude(step: Conclude) -> Iterator[Told]:
    pairs, m = step.pairs, step.m
    yield lead("Answer.")
    if not pairs:
        yield say("There is no solution.")
    elif len(pairs) == 1:
        ((x, y),) = pairs
        yield say("$x ≡ {x}$ and $y ≡ {y} (mod {m})$, the only solution.", x=x, y=y, m=m)
    else:
        yield counted(
            "Modulo {m} the pairs $(x, y)$ are ${listed}$: {n} solution.",
            "Modulo {m} the pairs $(x, y)$ are ${listed}$: {n} solutions.",
            len(pairs),
            m=m,
            listed=_pairs_listed(pairs),
            n=spelled(len(pairs)),
        )
        if len(pairs) > 2 * WRITTEN_OUT:
            yield say("The others are found in the same way, by increasing $x$.")


def _pairs_listed(pairs: tuple[Pair, ...]) -> Math:
    written = pairs[: 2 * WRITTEN_OUT]
    rest = (Dots(),) if len(written) < len(pairs) else ()
    return Listing((*map(_pair_shown, written), *rest))


def _decide(step: Decide) -> Iterator[Told]:
    yield lead("Answer.")
    if step.any:
        yield say("The congruences have a common solution.")
        return
    if step.counts:
        yield say(
            "Every choice of one pair for each of the prime powers makes exactly one pair modulo "
            "{m}: their number is ${product} = {n}$.",
            m=step.m,
            product=dotted(step.counts),
            n=step.count,
        )
    elif step.count == 1:
        yield say("There is exactly one pair that solves both congruences.")
    else:
        yield say(
            "There are {n} pairs that solve both congruences.",
            n=spelled(step.count),
        )


def _check(step: Check) -> Iterator[Told]:
    yield lead("Check.")
    if step.m > FITS_ON_THE_BOARD:
        yield say("Put into both congruences, it satisfies them.")
        return
    for pair in step.pairs:
        values = each(_put_in(row, pair, step.m) for row in step.rows)
        if len(step.pairs) == 1:
            yield say("{values} (mod {m}).", values=values, m=step.m)
        else:
            yield say(
                "${pair}$: {values} (mod {m}).", pair=_pair_shown(pair), values=values, m=step.m
            )
    if not step.complete:
        yield say("And so on.")


def _put_in(row: Row, pair: Pair, m: int) -> Math:
    """2 · 3 + 5 · 1 = 11 ≡ 4: the left side of a row with the pair put in."""
    terms = [(n, value) for n, value in zip(row, pair, strict=False) if n]
    shown_terms = [Number(value) if n == 1 else dotted((n, value)) for n, value in terms]
    left = sum_of(*shown_terms) if terms else Number(0)
    return calculated_or_congruent(left, sum(n * value for n, value in terms), m)


_TOLD: Tellers = {
    LeastResidues: _least_residues,
    Determinant: _determinant,
    Eliminate: _eliminate,
    Express: _express,
    OneUnknown: _one_unknown,
    Split: _split,
    Local: _local,
    DivideOut: _divide_out,
    Spread: _spread,
    Combine: _combine,
    Decide: _decide,
    Conclude: _conclude,
    Check: _check,
}
"""How each step is told."""
