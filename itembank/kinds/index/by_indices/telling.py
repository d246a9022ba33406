"""How the steps of a power congruence solved by indices are told.

Each is told of the step, the modulus m, and N = phi(m). Notation as in `steps`.
"""

from collections.abc import Iterator

from itembank.kinds.chains import congruent
from itembank.kinds.index.by_indices.steps import (
    WHOLE_TABLE,
    CountIndices,
    Linear,
    Table,
    TakeIndices,
    TurnBack,
)
from itembank.kinds.order.worked import powers_table
from itembank.kinds.unit_multiple import unit_divided
from itembank.kinds.wording import WRITTEN_OUT, Tellers
from itembank.languages import Told, counted, each, grid, lead, say, shown
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import difference, equal, listed
from itembank.notation.tree import Call, Letter, Math, Number, Power, Relation

_COLUMNS = 16
"""The widest table of indices."""


def _power_is(g: int, k: int, a: int) -> Math:
    """g^k ≡ a, in a line where the modulus is known."""
    return congruent(Power(Number(g), Number(k)), a)


def _power_seen(g: int, k: int, a: int, m: int) -> Math:
    """g^k ≡ -21 ≡ 32: as it stands in a table of residues nearest to 0, then a."""
    near = nearest_residue(a, m)
    if near == a:
        return _power_is(g, k, a)
    return Relation((Power(Number(g), Number(k)), Number(near), Number(a)), ("≡", "≡"))


def _index_is(a: int, k: int) -> Math:
    """ind(a) = k."""
    return equal(Call(Letter("ind"), (Number(a),)), k)


def _table(step: Table, m: int, whole: int) -> Iterator[Told]:
    g = step.g
    indices = each(_index_is(a, k) for a, k in step.wanted)
    if not step.values:
        yield lead("Indices.")
        if step.powers:
            yield say("These powers of {g} modulo {m} are needed:", g=g, m=m)
            yield powers_table(step.powers)
        yield say(
            "Indices to the base {g} modulo {m}: {found}, so {indices}.",
            g=g,
            m=m,
            found=each(_power_seen(g, k, a, m) for a, k in step.wanted),
            indices=indices,
        )
        return
    yield lead("Table of indices.")
    yield say(
        "The powers of the primitive root {g} modulo {m}, each from the one before times {g}:",
        g=g,
        m=m,
    )
    for start in range(0, len(step.values), _COLUMNS):
        row = step.values[start : start + _COLUMNS]
        yield grid(
            (say("index"), *range(start, start + len(row))),
            [(say("residue"), *row)],
            row_heads=True,
        )
    yield say("So {indices}.", indices=indices)


def _take_indices(step: TakeIndices, m: int, whole: int) -> Iterator[Told]:
    n, c = step.n, step.ind_c
    yield lead("Take indices.")
    yield say(
        "Numbers are congruent modulo {m} if and only if their indices are congruent modulo "
        "$φ({m}) = {whole}$. The index of a product is the sum of the indices, that of a power "
        "the exponent times the index. With $y = ind(x)$:",
        m=m,
        whole=whole,
    )
    if step.a == 1:
        yield shown(say("${n}y ≡ {c} (mod {whole})$", n=n, c=c, whole=whole))
        return
    subtracted = equal(difference(c, step.ind_a), c - step.ind_a)
    if c < step.ind_a:
        subtracted = congruent(subtracted, step.r)
    yield shown(
        say("${a} + {n}y ≡ {c} (mod {whole})$", a=step.ind_a, n=n, c=c, whole=whole),
        say("${n}y ≡ {subtracted} (mod {whole})$", n=n, subtracted=subtracted, whole=whole),
    )


def _linear(step: Linear, m: int, whole: int) -> Iterator[Told]:
    n, r, d = step.n, step.r, step.d
    if n == 1:
        return
    yield lead("Solve for the index.")
    if step.y0 is None:
        yield say(
            "$gcd({n}, {whole}) = {d}$ does not divide {r}, so no $y$ solves this linear "
            "congruence.",
            n=n,
            whole=whole,
            d=d,
            r=r,
        )
        return
    n1, r1, size = n // d, r // d, whole // d
    if d > 1:
        yield say(
            "$gcd({n}, {whole}) = {d}$ divides {r}. Divided by {d}, the modulus too: "
            "${n1}y ≡ {r1} (mod {size})$.",
            n=n,
            whole=whole,
            d=d,
            r=r,
            n1=n1,
            r1=r1,
            size=size,
        )
    if size == 1:
        yield say("Modulo 1 every $y$ is a solution.")
    elif n1 > 1:
        yield from unit_divided(n1, r1, size, Letter("y"))
    if d > 1 and len(step.indices) <= WRITTEN_OUT:
        yield say(
            "Modulo {whole} these are {d} indices: ${indices}$.",
            whole=whole,
            d=d,
            indices=listed(step.indices),
        )


def _turn_back(step: TurnBack, m: int, whole: int) -> Iterator[Told]:
    g = step.g
    yield lead("Back to numbers.")
    if len(step.pairs) > WRITTEN_OUT:
        yield say("Each index $y$ gives the solution $x ≡ {g}^y (mod {m})$.", g=g, m=m)
        return
    found = each(_power_is(g, y, x) for y, x in step.pairs)
    if whole <= WHOLE_TABLE:
        yield say("The table gives {found} (mod {m}).", found=found, m=m)
    elif step.powers:
        yield say("The powers are made from earlier ones:")
        yield powers_table(step.powers)
        seen = each(_power_seen(g, y, x, m) for y, x in step.pairs)
        yield say("So {found} (mod {m}).", found=seen, m=m)
    else:
        yield say("Repeated squaring gives {found} (mod {m}).", found=found, m=m)


def _count_indices(step: CountIndices, m: int, whole: int) -> Iterator[Told]:
    n, r, d = step.n, step.r, step.d
    yield lead("Count.")
    if r % d:
        yield say(
            "$gcd({n}, {whole}) = {d}$ does not divide {r}, so no $y$ solves this linear "
            "congruence.",
            n=n,
            whole=whole,
            d=d,
            r=r,
        )
        return
    yield counted(
        "$gcd({k}, {whole}) = {n}$ divides {r}, so {n} index modulo {whole} solves this linear "
        "congruence; it belongs to one solution $x$.",
        "$gcd({k}, {whole}) = {n}$ divides {r}, so {n} indices modulo {whole} solve this linear "
        "congruence; each belongs to one solution $x$.",
        d,
        k=n,
        whole=whole,
        r=r,
    )


TELLING: Tellers = {
    Table: _table,
    TakeIndices: _take_indices,
    Linear: _linear,
    CountIndices: _count_indices,
    TurnBack: _turn_back,
}
"""How each step is told."""
