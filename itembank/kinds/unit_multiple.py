"""cu = r (mod m) solved for u, c coprime to m, as it is done at the board.

The coefficient nearest to 0 is taken; then the modulus is added to the right side until the
coefficient divides it, or the inverse of the coefficient is shown with its product.
"""

from collections.abc import Iterator

from itembank.kinds.powering import as_congruence, chain_to_nearest, joined, to_least
from itembank.languages import Said, say
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import congruence, dotted, number, polynomial
from itembank.notation.tree import Letter, Math, Minus, Number, Relation, Sum

_MOST_ADDED = 12
"""The modulus is added or subtracted at most so often."""


def unit_divided(c: int, r: int, m: int, unknown: Math) -> Iterator[Said]:
    """The sentences from cu = r (mod m), which was said before, to u.

    Requires gcd(c, m) = 1 and m > 1: unchecked. Nothing is said for c = 1.
    """
    near = nearest_residue(c, m)
    sign = 1 if near > 0 else -1
    size, right = abs(near), sign * r
    if r % m == 0 and size > 1:
        yield say("{c} is coprime to {m}: ${u}$.", c=c, m=m, u=congruence(unknown, Number(0), m))
        return
    if c > 1 and near != c:
        as_it_stands, made_small = _least_added(c, r, m), _least_added(size, right, m)
        if as_it_stands is not None and (
            made_small is None or abs(as_it_stands) <= abs(made_small) + 1
        ):
            yield _divided(c, r, as_it_stands, m, unknown)
            return
    if near == -1 and c != -1:
        yield say(
            "${c} ≡ -1 (mod {m})$, so this is ${left} ≡ {r}$, that is ${u}$.",
            c=c,
            m=m,
            left=multiple(-1, unknown),
            r=r,
            u=_solved(unknown, number(-r), -r, m),
        )
        return
    if near != c:
        yield from _smaller(c, near, r, m, unknown)
    if size == 1:
        if right != right % m:
            yield say("So ${u}$.", u=_solved(unknown, number(right), right, m))
        return
    j = _least_added(size, right, m)
    if j is not None:
        yield _divided(size, right, j, m, unknown)
        return
    inverse, small = nearest_residue(pow(size, -1, m), m), nearest_residue(right, m)
    yield say(
        "${one}$, so ${u}$.",
        one=as_congruence(chain_to_nearest(dotted((size, inverse)), size * inverse, m), m),
        u=_solved(
            unknown, dotted((inverse, small) if small != 1 else (inverse,)), inverse * small, m
        ),
    )


def needs_inverse(c: int, r: int, m: int) -> bool:
    """Whether the inverse of c is multiplied by: no small multiple of m makes c divide r."""
    near = nearest_residue(c, m)
    size, right = abs(near), r if near > 0 else -r
    return size > 1 and _least_added(c, r, m) is None and _least_added(size, right, m) is None


def _smaller(c: int, near: int, r: int, m: int, unknown: Math) -> Iterator[Said]:
    """The coefficient nearest to 0 taken for c, and a minus sign moved to the other side."""
    slots = {"c": c, "near": near, "m": m, "left": multiple(near, unknown), "r": r}
    if near > 0:
        yield say("${c} ≡ {near} (mod {m})$, so this is ${left} ≡ {r}$.", **slots)
    else:
        yield say(
            "${c} ≡ {near} (mod {m})$, so this is ${left} ≡ {r}$, that is ${positive} ≡ {minus}$.",
            positive=multiple(-near, unknown),
            minus=-r,
            **slots,
        )


def multiple(c: int, unknown: Math) -> Math:
    """3y, -y; 24 · 145!."""
    if isinstance(unknown, Letter):
        return polynomial((0, c), unknown.name)
    if abs(c) == 1:
        return unknown if c == 1 else Minus(unknown)
    return dotted((c, unknown))


def _least_added(c: int, r: int, m: int) -> int | None:
    """The j nearest to 0 with c | r + jm, |j| at most _MOST_ADDED; None if there is none.

    >>> _least_added(3, 19, 29), _least_added(5, 10, 17), _least_added(17, 1, 100)
    (1, 0, -8)
    """
    tried = sorted(range(-_MOST_ADDED, _MOST_ADDED + 1), key=lambda j: (abs(j), -j))
    return next((j for j in tried if (r + j * m) % c == 0), None)


def _divided(c: int, r: int, j: int, m: int, unknown: Math) -> Said:
    """r + jm is a multiple of c, and c is coprime to m."""
    value = r + j * m
    u = _solved(unknown, number(value // c), value // c, m)
    product = dotted((c, value // c))
    if j == 0:
        return say(
            "${r} = {product}$, and {c} is coprime to {m}: ${u}$.",
            r=r,
            product=product,
            c=c,
            m=m,
            u=u,
        )
    size = dotted((abs(j), m)) if abs(j) > 1 else Number(m)
    return say(
        "${r} ≡ {sum} = {value} = {product}$, and {c} is coprime to {m}: ${u}$.",
        r=r,
        sum=Sum(((1, Number(r)), (1 if j > 0 else -1, size))),
        value=value,
        product=product,
        c=c,
        m=m,
        u=u,
    )


def _solved(unknown: Math, calculation: Math, value: int, m: int) -> Math:
    """y ≡ 10 · 19 = 190 ≡ 16 (mod 29); y ≡ 16 (mod 29)."""
    if isinstance(calculation, Number):
        if value == value % m:
            return congruence(unknown, calculation, m)
        chain = Relation((calculation, number(value % m)), ("≡",))
    else:
        chain = to_least(chain_to_nearest(calculation, value, m), value, m)
    return as_congruence(joined(unknown, chain), m)
