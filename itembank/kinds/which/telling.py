"""Each congruence judged in its turn, and which one it is."""

from collections.abc import Iterator, Sequence

from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.which.judging import ByDivisor, ByTrial, Judged
from itembank.languages import BREAK, Telling, Told, counted, lead, say
from itembank.notation.building import congruence, dotted, listed, polynomial
from itembank.notation.tree import Letter, Number

WRITTEN = 12
"""The most residues that are written out."""


def counts(offered: Sequence[Judged]) -> Telling:
    """Of each congruence how many solutions it has."""
    for found in offered:
        yield BREAK
        if isinstance(found, ByDivisor):
            yield by_divisor(found)
        else:
            assert isinstance(found, ByTrial)
            yield from by_trial(found)


def by_divisor(found: ByDivisor) -> Told:
    shown, a, b, m, d = found.congruence.shown[0], found.a, found.b, found.m, found.d
    if not found.count:
        return say(
            "${shown}$: $gcd({a}, {m}) = {d}$ does not divide {b}, so there is no solution.",
            shown=shown,
            a=a,
            m=m,
            d=d,
            b=b,
        )
    return counted(
        "${shown}$: $gcd({a}, {m}) = {n}$ divides {b}, so there is {n} solution modulo {m}.",
        "${shown}$: $gcd({a}, {m}) = {n}$ divides {b}, so there are {n} solutions modulo {m}.",
        d,
        shown=shown,
        a=a,
        m=m,
        b=b,
    )


def by_trial(found: ByTrial) -> Iterator[Told]:
    shown, m = found.congruence.shown[0], found.m
    yield say("Take ${shown}$.", shown=shown)
    yield from tried(found)
    if len(found.local) > 1 and found.count:
        yield counted(
            "That makes ${product} = {n}$ solution modulo {m}.",
            "That makes ${product} = {n}$ solutions modulo {m}.",
            found.count,
            product=dotted([len(roots) for _q, roots in found.local]),
            m=m,
        )


def tried(found: ByTrial) -> Iterator[Told]:
    """Modulo each prime power, up to the first without a solution."""
    for q, roots in found.local:
        if not roots:
            yield say(
                "Trying 0 to {last} modulo {q} finds no solution, so there is none.",
                last=q - 1,
                q=q,
            )
            return
        if len(roots) > WRITTEN:
            yield say(
                "Trying 0 to {last} modulo {q} finds {n} solutions.",
                last=q - 1,
                q=q,
                n=len(roots),
            )
        else:
            yield counted(
                "Trying 0 to {last} modulo {q} finds the solution ${roots}$.",
                "Trying 0 to {last} modulo {q} finds the solutions ${roots}$.",
                len(roots),
                last=q - 1,
                q=q,
                roots=listed(roots),
            )


def sets(like: Judged, offered: Sequence[Judged]) -> Telling:
    """Of the given congruence, then of each of the others, which integers solve it."""
    yield lead("The given congruence.")
    yield from solved(like)
    yield lead("The others.")
    for n, found in enumerate(offered):
        if n:
            yield BREAK
        yield from solved(found)


def solved(found: Judged) -> Iterator[Told]:
    if not isinstance(found, ByDivisor):
        assert isinstance(found, ByTrial)
        yield say("Take ${shown}$.", shown=found.congruence.shown[0])
        yield from tried(found)
        return
    shown, a, b, m, d = found.congruence.shown[0], found.a, found.b, found.m, found.d
    if not found.count:
        yield by_divisor(found)
        return
    x = found.congruence.letter
    solution = congruence(Letter(x), Number(found.root), found.n)
    if a == 1:
        yield say("${shown}$ tells its solutions itself.", shown=shown)
        return
    if d == 1:
        yield say(
            "${shown}$: {a} and {m} have no common factor, so ${solution}$.",
            shown=shown,
            a=a,
            m=m,
            solution=solution,
        )
        return
    divided = congruence(polynomial((0, a // d), x), Number(b // d), found.n)
    yield say(
        "${shown}$: divided by $gcd({a}, {m}) = {d}$, the modulus too, it is ${divided}$, so "
        "${solution}$.",
        shown=shown,
        a=a,
        m=m,
        d=d,
        divided=divided,
        solution=solution,
    )


def conclusion(right: OneUnknown) -> Iterator[Told]:
    yield lead("Answer.")
    yield say("It is ${shown}$.", shown=right.shown[0])
