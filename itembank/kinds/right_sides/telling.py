"""The right sides, told from the steps that found them; written in the unknown x."""

from collections.abc import Iterator

from itembank.kinds.base import Solution
from itembank.kinds.chains import calculated_or_congruent
from itembank.kinds.right_sides.solve import CountPowers, Divides, Multiples, Others, Powers
from itembank.kinds.wording import Tellers, fits, told
from itembank.languages import Cell, Telling, Told, counted, grid, lead, say
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import dotted, equal, listed, number, polynomial, power
from itembank.notation.tree import Dots, Letter, Listing, Math, Number, Relation
from itembank.values.answer import ResidueSet, Value

_IN_THE_HEAD = 1000
"""Products up to here are reduced at the end; of larger ones the power is reduced first."""

_WRITTEN = 40
"""The most right sides that a worked solution writes out."""


def _told_divides(step: Divides) -> Iterator[Told]:
    a, m, d = step.a, step.m, step.d
    yield lead("Greatest common divisor.")
    if a == 0:
        yield say(
            "Modulo {m} the left side is 0 for every ${x}$, so ${c}$ must be 0.",
            m=m,
            x=Letter("x"),
            c=Letter("c"),
        )
        return
    yield say(
        "$gcd({a}, {m}) = {d}$, and ${ax} ≡ {c} (mod {m})$ is solvable if and only if {d} divides "
        "${c}$.",
        a=a,
        m=m,
        d=d,
        ax=polynomial((0, a)),
        c=Letter("c"),
    )


def _told_multiples(step: Multiples) -> Iterator[Told]:
    m, d = step.m, step.d
    if d == m:
        return
    yield lead("Count.") if d > 1 else lead("Every residue.")
    if d == 1:
        yield say("1 divides every integer: all {m} residues will do.", m=m)
        return
    yield say(
        "From 0 to {last} the multiples of {d} are ${some}$: ${m}/{d} = {n}$ of them.",
        last=m - 1,
        d=d,
        some=_some_multiples(m, d),
        m=m,
        n=m // d,
    )


def _some_multiples(m: int, d: int) -> Math:
    """All multiples of d below m where they are few; else the first three, dots, and the last."""
    n = m // d
    if n <= _WRITTEN // 2:
        return listed(range(0, m, d))
    return Listing((*map(Number, (0, d, 2 * d)), Dots(), Number(m - d)))


def _told_powers(step: Powers) -> Iterator[Told]:
    a, k, p = step.a, step.k, step.p
    value = polynomial((*[0] * k, a))
    yield lead("Table.")
    if k % 2 == 0:
        yield say(
            "${value}$ has the same value for ${minus}$ as for ${x}$, so it is enough to try 0 to "
            "{last}.",
            minus=polynomial((0, -1)),
            value=value,
            x=Letter("x"),
            last=step.last,
        )
    else:
        yield say("Each residue is substituted into ${value}$.", value=value)
    yield grid((Letter("x"), say("${left}$ modulo {m}", left=value, m=p)), _calculations(step))
    values = sorted({c for _x, c in step.rows})
    yield say("Modulo {p} the values are ${values}$.", p=p, values=listed(values))


def _calculations(step: Powers) -> tuple[tuple[Cell, ...], ...]:
    """Each x with how the left side comes to its residue."""
    return tuple((x, _value_at(step, x)) for x, _c in step.rows)


def _value_at(step: Powers, x: int) -> Math:
    """6 · 4^2 = 96 ≡ 8; what is large is reduced on the way: 7 · 9^4 = 7 · 81^2 ≡ 7 · (-6)^2 ..."""
    a, k, p = step.a, step.k, step.p
    whole = _times(a, power(number(x), k))
    if a * x**k <= _IN_THE_HEAD or (a == 1 and k % 2):
        return calculated_or_congruent(whole, a * x**k, p)
    e = 2 if k % 2 == 0 and k > 2 else k
    square, r = x**e, nearest_residue(x**e, p)
    last = calculated_or_congruent(_times(a, _power_of(r, k // e)), a * r ** (k // e), p)
    if e == k and a == 1:
        return calculated_or_congruent(whole, square, p)
    if not fits(square):
        return Relation((whole, *last.sides), ("≡", *last.signs))
    if r == square:
        return Relation((whole, *last.sides), ("=", *last.signs))
    between = _times(a, _power_of(square, k // e))
    return Relation((whole, between, *last.sides), ("=", "≡", *last.signs))


def _power_of(base: int, e: int) -> Math:
    return power(number(base), e) if e > 1 else number(base)


def _times(a: int, value: Math) -> Math:
    return value if a == 1 else dotted((a, value))


def _told_count(step: CountPowers) -> Iterator[Told]:
    a, k, p, e = step.a, step.k, step.p, step.e
    yield lead("Powers.")
    x = Letter("x")
    if e == 1:
        yield say(
            "${x} = 0$ gives the right side 0. As $gcd({k}, {p} - 1) = 1$, the {n} other residues "
            "have different powers ${power}$.",
            x=x,
            n=p - 1,
            power=power(x, k),
            k=k,
            p=p,
        )
    else:
        yield say(
            "${x} = 0$ gives the right side 0. The {n} other residues have powers ${power}$ that "
            "are not 0, and each of these comes up $gcd({k}, {p} - 1) = {e}$ times: so there are "
            "${n}/{e} = {rest}$ of them.",
            x=x,
            n=p - 1,
            power=power(x, k),
            k=k,
            p=p,
            e=e,
            rest=(p - 1) // e,
        )
    if a != 1:
        yield say("Multiplied by {a} they stay different.", a=a)
    yield say("With 0 that makes $1 + {rest} = {n}$.", rest=(p - 1) // e, n=1 + (p - 1) // e)


def _told_others(step: Others) -> Iterator[Told]:
    yield lead("What is left.")
    n = len(step.found)
    if not n:
        yield say("No residue is left: it is solvable for all of them.")
    elif n > _WRITTEN:
        yield counted("{n} residue is left.", "{n} residues are left.", n)
    else:
        yield counted(
            "There is no ${x}$ for ${c} = {r}$: {n} residue.",
            "There is no ${x}$ for any of these values of ${c}$: ${r}$; {n} residues.",
            n,
            x=Letter("x"),
            c=Letter("c"),
            r=listed(step.found),
        )


_TOLD: Tellers = {
    Others: _told_others,
    Divides: _told_divides,
    Multiples: _told_multiples,
    Powers: _told_powers,
    CountPowers: _told_count,
}
"""How each step is told."""


def example(a: int, k: int, m: int, c: int) -> Told:
    """An x for which the congruence with this right side holds; or that there is none."""
    found = [x for x in range(m) if a * pow(x, k, m) % m == c]
    left = polynomial((*[0] * k, a))
    if not found:
        return say(
            "No residue $x$ makes ${left}$ congruent to {c} modulo {m}.", left=left, c=c, m=m
        )
    value = dotted((a, power(number(found[0]), k))) if a != 1 else power(number(found[0]), k)
    return say(
        "With ${x}$ the left side is ${value} (mod {m})$.",
        x=equal(Letter("x"), found[0]),
        value=calculated_or_congruent(value, a * found[0] ** k, m),
        m=m,
    )


def worked(solution: Solution[ResidueSet] | Solution[Value]) -> Telling:
    yield from told(solution.steps, _TOLD)
    if solution.steps and isinstance(solution.steps[-1], Others):
        return
    yield lead("Answer.")
    match solution.answer:
        case ResidueSet(count=n) as answer:
            if n > _WRITTEN:
                yield counted(
                    "The congruence is solvable for {n} least residue ${c}$.",
                    "The congruence is solvable for {n} least residues ${c}$.",
                    n,
                    c=Letter("c"),
                )
                return
            yield counted(
                "The congruence is solvable for ${c} = {r}$ alone.",
                "The congruence is solvable for ${c} = {r}$, and for no others: {n} residues.",
                n,
                c=Letter("c"),
                r=listed(answer.residues()),
            )
        case Value(n):
            yield counted(
                "The congruence is solvable for {n} least residue ${c}$.",
                "The congruence is solvable for {n} least residues ${c}$.",
                n,
                c=Letter("c"),
            )
