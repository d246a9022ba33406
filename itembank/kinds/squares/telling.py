"""How the steps about squares modulo m are told."""

from collections.abc import Iterator
from itertools import product

from itembank.kinds.factoring import factored_told
from itembank.kinds.squares.steps import (
    Level,
    LocalSquares,
    MultiplyCounts,
    SplitModulus,
    SquareTable,
)
from itembank.kinds.wording import Tellers
from itembank.languages import Cell, Grid, Said, Told, counted, each, grid, lead, say
from itembank.notation.building import (
    added,
    difference,
    dotted,
    equal,
    factored_modulus,
    listed,
    power,
)
from itembank.notation.tree import (
    Letter,
    Math,
    Modulo,
    Number,
    Product,
    Quotient,
    Relation,
    Subscript,
)

_WRITTEN_CLASSES = 40
"""The most classes, or residues, of one level that are written out."""

_SHORT = 10**6
"""Residues modulo larger prime powers are given as classes."""

_SUMMED = 8
"""The most levels whose numbers are written as a sum."""


# ------------------------------------------------------------ the table


def _square_table(step: SquareTable) -> Iterator[Told]:
    m = step.m
    if m == 1:
        yield say("Modulo 1 the only residue is 0, and $0^2 = 0$.")
        return
    yield lead("Square the residues.")
    yield _enough(step)
    yield grid(
        (Letter("x"), say("$x^2$ modulo {m}", m=m)),
        [
            (x, square if square < m else Relation((Number(square), Number(residue)), ("≡",)))
            for x, square, residue in step.rows
        ],
    )
    if len(step.rows) > 1:
        yield _expectation(step)


def _enough(step: SquareTable) -> Said:
    """Which residues have to be squared."""
    m, half = step.m, step.m // 2
    if step.units and half == 1:
        return say("$(-x)^2 = x^2$, so it is enough to square 1:")
    if step.units and step.is_prime:
        return say(
            "$(-x)^2 = x^2$, so it is enough to square the residues from 1 to {half}:", half=half
        )
    if step.units:
        return say(
            "$(-x)^2 = x^2$, so it is enough to square the residues from 1 to {half} that are "
            "coprime to {m}:",
            half=half,
            m=m,
        )
    if half == 1:
        return say("$(-x)^2 = x^2$, so it is enough to square 0 and 1:")
    return say(
        "$(-x)^2 = x^2$, so it is enough to square the residues from 0 to {half}:", half=half
    )


def _expectation(step: SquareTable) -> Said:
    """What the table shows of the number of squares."""
    m, residues = step.m, [residue for _x, _square, residue in step.rows]
    if step.is_prime and m > 2 and step.units:
        return say(
            "{m} is prime, so $x^2 ≡ y^2 (mod {m})$ only for $y ≡ ±x$: the squares in the table "
            "are all different, {half} of them.",
            m=m,
            half=(m - 1) // 2,
        )
    if step.is_prime and m > 2:
        return say(
            "{m} is prime, so $x^2 ≡ y^2 (mod {m})$ only for $y ≡ ±x$: the squares in the table "
            "are all different, {half} of them other than 0.",
            m=m,
            half=(m - 1) // 2,
        )
    repeated = sorted({r for r in residues if residues.count(r) > 1})
    if not repeated:
        return say("The squares in the table are all different.")
    return counted(
        "More than one row of the table gives {r}: it counts once.",
        "Several rows of the table give the same square, {r}: each counts once.",
        len(repeated),
        r=each(repeated),
    )


# ------------------------------------------------------------ prime powers


def _split_modulus(step: SplitModulus) -> Iterator[Told]:
    m, product = step.m, factored_modulus(step.factors)
    yield lead("Split the modulus.")
    if len(step.factors) == 1:
        yield say("${m} = {product}$ is a power of a prime.", m=m, product=product)
        return
    yield from factored_told(m, step.factors)
    yield say(
        "By the Chinese remainder theorem a residue is a square modulo {m} if and only if it is a "
        "square modulo {parts}.",
        m=m,
        parts=each(power(p, k) for p, k in step.factors),
    )


def _local_squares(step: LocalSquares) -> Iterator[Told]:
    p, k = step.p, step.k
    first = step.levels[0]
    written = bool(first.classes)
    yield lead("Modulo {q}.", q=power(p, k))
    yield from _squares_of_two(k) if p == 2 else _squares_of_odd(p, k, step.again)
    if len(step.levels) > 1 or (written and k > 1):
        yield _level_table(step, written)
    elif written and p > 2 and len(first.classes) <= _WRITTEN_CLASSES:
        residues = listed(r for r, _d in first.classes)
        yield counted(
            "It is ${residues}$.", "They are ${residues}$.", len(first.classes), residues=residues
        )
    elif k > 1 and not step.units:
        yield counted(
            "One of the squares is not a multiple of {p}.",
            "Of the squares, ${count}$ are not multiples of {p}.",
            first.count,
            count=_count_formula(first),
            p=p,
        )
    if step.units and k == 1 and not written:
        return  # the number was said
    yield _unit_squares_counted(step) if step.units else _squares_counted(step)


def _squares_of_two(k: int) -> Iterator[Told]:
    """Which odd numbers are squares modulo 2^k."""
    if k == 1:
        yield say("The only odd residue modulo 2 is 1, a square.")
    elif k == 2:
        yield say("The square of an odd number is 1 modulo 4, so 1 is the only odd square.")
    else:
        yield say(
            "The square of an odd number is 1 modulo 8, and every number that is 1 modulo 8 is a "
            "square modulo $2^{k}$: the odd squares are the residues that are 1 modulo 8.",
            k=k,
        )


def _squares_of_odd(p: int, k: int, again: bool) -> Iterator[Told]:
    """Which numbers coprime to an odd prime p are squares modulo p^k, and how many modulo p."""
    if again:
        yield counted(
            "In the same way the residues modulo {p} other than 0 have $({p} - 1)/2 = {half}$ "
            "square.",
            "In the same way the residues modulo {p} other than 0 have $({p} - 1)/2 = {half}$ "
            "different squares.",
            (p - 1) // 2,
            p=p,
            half=(p - 1) // 2,
        )
    else:
        yield from _squares_of_the_first(p)
    if k > 1:
        yield say(
            "A square root modulo {p} of a number that is not a multiple of {p} lifts to every "
            "power of {p}: such a number is a square modulo {q} if and only if it is one modulo "
            "{p}.",
            p=p,
            q=power(p, k),
        )


def _squares_of_the_first(p: int) -> Iterator[Told]:
    yield counted(
        "$x^2 ≡ y^2 (mod {p})$ only for $y ≡ ±x$, so the ${p} - 1$ residues other than 0 have "
        "$({p} - 1)/2 = {half}$ square.",
        "$x^2 ≡ y^2 (mod {p})$ only for $y ≡ ±x$, so the ${p} - 1$ residues other than 0 have "
        "$({p} - 1)/2 = {half}$ different squares.",
        (p - 1) // 2,
        p=p,
        half=(p - 1) // 2,
    )


def _level_table(step: LocalSquares, written: bool) -> Grid:
    p, k = step.p, step.k
    if not written:
        return grid(
            (say("squares"), say("modulo"), say("number")),
            [(_form(level), power(p, level.n), _count_formula(level)) for level in step.levels],
        )
    return grid(
        (say("squares"), say("residues modulo {q}", q=power(p, k)), say("number")),
        [(_form(level), _residues_of(level), level.count) for level in step.levels],
    )


def _form(level: Level) -> Said:
    """Which squares a level holds: "coprime to 3", "9u with u coprime to 3"."""
    if level.q == 1:
        return say("coprime to {p}", p=level.p)
    return say("${q}u$ with $u$ coprime to {p}", q=level.q, p=level.p)


def _residues_of(level: Level) -> Cell:
    modulus = level.p**level.k
    if level.count <= _WRITTEN_CLASSES and modulus <= _SHORT:
        return listed(sorted(x for r, d in level.classes for x in range(r, modulus, d)))
    if len(level.classes) <= _WRITTEN_CLASSES:
        (_r, d) = level.classes[0]
        return Modulo(listed(r for r, _d in level.classes), Number(d))
    return counted("{n} class", "{n} classes", len(level.classes))


def _count_formula(level: Level) -> Math:
    """3^2 · (3 - 1)/2 = 9, 2^5/8 = 4, ...: the squares coprime to p modulo p^n."""
    p, n = level.p, level.n
    if p == 2:
        if n <= 3:
            return Number(level.count)
        return equal(Quotient(power(2, n), Number(8)), level.count)
    half = Quotient(difference(p, 1), Number(2))
    return equal(half if n == 1 else dotted([power(p, n - 1), half]), level.count)


def _unit_squares_counted(step: LocalSquares) -> Said:
    """How many quadratic residues that makes modulo p^k."""
    q = power(step.p, step.k)
    if step.count == 1:
        return say("That is one quadratic residue modulo {q}.", q=q)
    return say(
        "That makes {sum} quadratic residues modulo {q}.", sum=_count_formula(step.levels[0]), q=q
    )


def _squares_counted(step: LocalSquares) -> Said:
    """How many squares that makes modulo p^k, 0 among them."""
    counts = [level.count for level in step.levels]
    q = power(step.p, step.k)
    if len(counts) > _SUMMED:
        return say("With $0 = 0^2$ that makes {count} squares modulo {q}.", count=step.count, q=q)
    return say(
        "With $0 = 0^2$ that makes ${sum} = {count}$ squares modulo {q}.",
        sum=added([*counts, 1]),
        count=step.count,
        q=q,
    )


def _multiply_counts(step: MultiplyCounts) -> Iterator[Told]:
    yield lead("Combine.")
    yield say(
        "Every choice of one square modulo each prime power is one square modulo {m}: "
        "${product} = {total}$.",
        m=step.m,
        product=dotted(n for _p, _k, n in step.counts),
        total=step.total,
    )
    if step.weights:
        names = [Subscript(Letter("a"), Number(i)) for i in range(1, len(step.weights) + 1)]
        yield say(
            "The squares {names} modulo {parts}, in this order, belong to the residue of {sum} "
            "modulo {m}.",
            names=each(names),
            parts=each(power(p, k) for p, k, _n in step.counts),
            sum=added(
                Product((Number(w), name)) for w, name in zip(step.weights, names, strict=True)
            ),
            m=step.m,
        )
        yield say(
            "Each of these numbers is 1 modulo its prime power and 0 modulo the others: {rows}.",
            rows=each(
                _weight_shown(w, p**k, step.m)
                for w, (p, k, _n) in zip(step.weights, step.counts, strict=True)
            ),
        )
        if step.residues:
            yield _choices_told(step)


def _choices_told(step: MultiplyCounts) -> Grid:
    """A row a choice of squares, and the residue that it belongs to."""
    names = [Subscript(Letter("a"), Number(i)) for i in range(1, len(step.weights) + 1)]
    rows = []
    for choice in product(*step.residues):
        terms = [w * a for w, a in zip(step.weights, choice, strict=True)]
        total = sum(terms)
        made: Math = equal(added(terms), total)
        if total >= step.m:
            made = Relation((added(terms), Number(total), Number(total % step.m)), ("=", "≡"))
        rows.append((*choice, made))
    return grid((*names, say("residue modulo {m}", m=step.m)), rows)


def _weight_shown(w: int, q: int, m: int) -> Math:
    """186 = 62 · 3 ≡ 1 (mod 7)."""
    others = m // q
    product = equal(w, dotted([others, w // others])) if w != others else Number(w)
    chain = product if isinstance(product, Relation) else Relation((product,), ())
    return Modulo(Relation((*chain.sides, Number(1)), (*chain.signs, "≡")), Number(q))


TELLING: Tellers = {
    SquareTable: _square_table,
    SplitModulus: _split_modulus,
    LocalSquares: _local_squares,
    MultiplyCounts: _multiply_counts,
}
"""How each step is told."""
