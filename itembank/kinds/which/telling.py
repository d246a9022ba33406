"""Each congruence judged in its turn, and which one it is."""

from collections.abc import Iterator, Sequence
from math import gcd, lcm

from itembank.kinds.chains import calculated, congruent, sum_of, value_put_in
from itembank.kinds.one_unknown import OneUnknown
from itembank.kinds.which.judging import ByDivisor, ByTrial, Judged, sides_apart
from itembank.languages import BREAK, Telling, Told, counted, lead, say
from itembank.maths.primes import is_prime
from itembank.notation.building import congruence, dotted, equal, listed, number, polynomial, power
from itembank.notation.tree import Letter, Listing, Math, Modulo, Number

_WRITTEN = 12
"""The most residues that are written out."""

_LISTED = 16
"""The most values of one polynomial that are written out."""

_LISTED_FULL = 7
"""Up to this prime the values of a quadratic are seen at a glance."""


def counts(offered: Sequence[Judged]) -> Telling:
    """Of each congruence how many solutions it has."""
    for found in offered:
        yield BREAK
        if isinstance(found, ByDivisor):
            yield _by_divisor(found)
        else:
            assert isinstance(found, ByTrial)
            yield from _by_trial(found)


def _by_divisor(found: ByDivisor) -> Told:
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


def _by_trial(found: ByTrial) -> Iterator[Told]:
    shown, m = found.congruence.shown[0], found.m
    yield say("Take ${shown}$.", shown=shown)
    yield from _tried(found)
    if len(found.local) == 1 and found.count:
        yield counted(
            "So there is {n} solution modulo {m}.",
            "So there are {n} solutions modulo {m}.",
            found.count,
            m=m,
        )
    if len(found.local) > 1 and found.count:
        yield counted(
            "That makes ${product} = {n}$ solution modulo {m}.",
            "That makes ${product} = {n}$ solutions modulo {m}.",
            found.count,
            product=dotted([len(roots) for _q, roots in found.local]),
            m=m,
        )


def _tried(found: ByTrial) -> Iterator[Told]:
    """Modulo each prime power, up to the first without a solution."""
    f = sides_apart(found.congruence)
    letter = found.congruence.letter
    with_negatives = not any(f[1::2])
    for q, roots in found.local:
        if _has_discriminant(f, q) and f[1] % q == 0 and f[2] % q == 1:
            if q == found.m and _power_alone(found.congruence, q):
                yield _seen(-f[0] % q, q, roots)
            else:
                yield _by_square(-f[0] % q, q, roots, letter)
        elif _has_discriminant(f, q):
            yield _by_discriminant(f, q, roots)
        elif q // 2 < _LISTED if with_negatives else q <= _LISTED:
            yield from _by_values(f, q, roots, with_negatives, letter)
        else:
            yield from _by_trying_alone(q, roots, with_negatives)
        if not roots:
            return


def _by_values(
    f: Sequence[int], q: int, roots: Sequence[int], with_negatives: bool, letter: str
) -> Iterator[Told]:
    """The values of the difference of the sides, at all residues or at half of them."""
    numbers = range(q // 2 + 1 if with_negatives else q)
    values = [sum(c * x**i for i, c in enumerate(f)) % q for x in numbers]
    unknown = equal(Letter(letter), listed(numbers))
    slots = {"q": Number(q), "numbers": unknown, "values": listed(values)}
    if with_negatives and not roots:
        yield say(
            "Modulo {q} the left side minus the right side is ${values}$ for ${numbers}$, and the "
            "same for their negatives: never 0, so there is no solution.",
            **slots,
        )
    elif not roots:
        yield say(
            "Modulo {q} the left side minus the right side is ${values}$ for ${numbers}$: never 0, "
            "so there is no solution.",
            **slots,
        )
    elif with_negatives:
        yield counted(
            "Modulo {q} the left side minus the right side is ${values}$ for ${numbers}$, and the "
            "same for their negatives: the solution is ${roots}$.",
            "Modulo {q} the left side minus the right side is ${values}$ for ${numbers}$, and the "
            "same for their negatives: the solutions are ${roots}$.",
            len(roots),
            roots=listed(roots),
            **slots,
        )
    else:
        yield counted(
            "Modulo {q} the left side minus the right side is ${values}$ for ${numbers}$: the "
            "solution is ${roots}$.",
            "Modulo {q} the left side minus the right side is ${values}$ for ${numbers}$: the "
            "solutions are ${roots}$.",
            len(roots),
            roots=listed(roots),
            **slots,
        )


def _has_discriminant(f: Sequence[int], q: int) -> bool:
    """Whether Euler's criterion is shorter than values: a quadratic, modulo a prime not small."""
    return len(f) == 3 and q > _LISTED_FULL and is_prime(q) and f[2] % q != 0


def _by_square(a: int, q: int, roots: Sequence[int], letter: str) -> Told:
    """x^2 = a: 0, a square, or by Euler's criterion none."""
    said = congruence(power(Letter(letter), 2), number(a), q)
    if not roots:
        return say(
            "Modulo {q} it says ${said}$, and by Euler's criterion {a} is not a square: ${test} "
            "(mod {q})$. So there is no solution.",
            q=q,
            said=said,
            a=a,
            test=congruent(power(number(a), (q - 1) // 2), -1),
        )
    return counted(
        "Modulo {q} it says ${said}$: the solution is ${roots}$.",
        "Modulo {q} it says ${said}$, and ${square} (mod {q})$: the solutions are ${roots}$.",
        len(roots),
        q=q,
        said=said,
        square=congruent(power(number(roots[0]), 2), a),
        roots=listed(roots),
    )


def _power_alone(problem: OneUnknown, m: int) -> bool:
    """Whether the congruence reads x^2 = a with a least residue: nothing is left to rewrite."""
    f = sides_apart(problem)
    read = congruence(power(Letter(problem.letter), 2), number(-f[0] % m), m)
    return problem.shown[0] == read


def _seen(a: int, q: int, roots: Sequence[int]) -> Told:
    """A square root of a that is seen, with its opposite; or by Euler's criterion none."""
    if not roots:
        return say(
            "By Euler's criterion {a} is not a square: ${test} (mod {q})$. So there is no "
            "solution.",
            q=q,
            a=a,
            test=congruent(power(number(a), (q - 1) // 2), -1),
        )
    return counted(
        "The solution is ${roots}$.",
        "As ${square} (mod {q})$, the solutions are ${roots}$.",
        len(roots),
        q=q,
        square=congruent(power(number(roots[0]), 2), a),
        roots=listed(roots),
    )


def _by_discriminant(f: Sequence[int], q: int, roots: Sequence[int]) -> Told:
    """b^2 - 4ac modulo q: 0, a square, or by Euler's criterion none."""
    c, b, a = (n % q for n in f)
    value = b * b - 4 * a * c
    d = value % q
    root = next((x for x in range(q) if x * x % q == d), 0)
    discriminant = calculated(sum_of(power(number(b), 2), dotted((-4, a, c))), value, q)
    if not roots:
        return say(
            "The discriminant modulo {q} is ${discriminant}$, and by Euler's criterion it is not a "
            "square: ${test} (mod {q})$. So there is no solution.",
            q=q,
            discriminant=discriminant,
            test=congruent(power(number(d), (q - 1) // 2), -1),
        )
    return counted(
        "The discriminant modulo {q} is ${discriminant}$, so there is one solution: ${roots}$.",
        "The discriminant modulo {q} is ${discriminant}$, and ${square} (mod {q})$: it is a "
        "square, and the solutions are ${roots}$.",
        len(roots),
        q=q,
        discriminant=discriminant,
        square=congruent(power(number(root), 2), d),
        roots=listed(roots),
    )


def _by_trying_alone(q: int, roots: Sequence[int], with_negatives: bool) -> Iterator[Told]:
    """Where there are too many values to write them out."""
    if with_negatives and not roots:
        yield say(
            "Modulo {q} it is enough to try 0 to {half}, since numbers with opposite signs "
            "have the same power; none of them solves it, so there is no solution.",
            q=q,
            half=q // 2,
        )
    elif with_negatives:
        yield counted(
            "Modulo {q} trying 0 to {half}, with the negatives, finds the solution ${roots}$.",
            "Modulo {q} trying 0 to {half}, with the negatives, finds the solutions ${roots}$.",
            len(roots),
            q=q,
            half=q // 2,
            roots=listed(roots),
        )
    elif not roots:
        yield say(
            "Trying 0 to {last} modulo {q} finds no solution, so there is none.", last=q - 1, q=q
        )
    elif len(roots) > _WRITTEN:
        yield say(
            "Trying 0 to {last} modulo {q} finds {n} solutions.", last=q - 1, q=q, n=len(roots)
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
    if isinstance(like, ByDivisor):
        yield lead("The given congruence.")
        yield from _solved(like)
        yield lead("The others.")
    for n, found in enumerate(offered):
        if n:
            yield BREAK
        if isinstance(like, ByDivisor) and isinstance(found, ByDivisor):
            yield from _solved(found)
        else:
            yield from _compared(found, like)


def _compared(found: Judged, like: Judged) -> Iterator[Told]:
    """A factor by which all coefficients are multiplied; or a residue that tells them apart."""
    shown, m = found.congruence.shown[0], found.m
    if u := _factor(found, like):
        g = gcd(u, m)
        if g == 1:
            yield say(
                "${shown}$: every coefficient of the given congruence is multiplied by {u}, which "
                "has no common factor with {m}, so the solutions are the same.",
                shown=shown,
                u=u,
                m=m,
            )
            return
        yield say(
            "${shown}$: every coefficient of the given congruence is multiplied by {u}. As "
            "$gcd({u}, {m}) = {g}$, this is a condition modulo ${m}/{g} = {n}$ only.",
            shown=shown,
            u=u,
            m=m,
            g=g,
            n=m // g,
        )
        x, _solves = _witness(found, like)
        if x is not None:
            yield say(
                "{x} solves it, and not the given congruence: ${values}$.",
                x=x,
                values=_put_in_both(found, like, x),
            )
        return
    x, solves = _witness(found, like)
    if x is None:
        yield say("${shown}$: the same residues solve both.", shown=shown)
    elif solves:
        yield say(
            "${shown}$: {x} solves it, and not the given congruence: ${values}$.",
            shown=shown,
            x=x,
            values=_put_in_both(found, like, x),
        )
    else:
        yield say(
            "${shown}$: {x} solves the given congruence, and not this one: ${values}$.",
            shown=shown,
            x=x,
            values=_put_in_both(like, found, x),
        )


def _put_in_both(first: Judged, second: Judged, x: int) -> Math:
    """The difference of the sides of each at x: 99 ≡ 0 (mod 33), 10 (mod 33)."""
    chains = []
    for found in (first, second):
        f = sides_apart(found.congruence)
        total = sum(c * x**i for i, c in enumerate(f))
        chain = calculated(value_put_in(f, x), total, found.m)
        chains.append(Modulo(chain, Number(found.m)) if "≡" in chain.signs else chain)
    return Listing(tuple(chains))


def _factor(found: Judged, like: Judged) -> int:
    """What all coefficients of the one are multiplied by to give the other; 0 for nothing."""
    m = found.m
    f, g = sides_apart(like.congruence), sides_apart(found.congruence)
    if m != like.m or len(f) != len(g):
        return 0
    return next(
        (u for u in range(1, m) if all((u * a - b) % m == 0 for a, b in zip(f, g, strict=True))), 0
    )


def _witness(found: Judged, like: Judged) -> tuple[int | None, bool]:
    """The least integer that solves one of them alone, and whether it is the first; or None."""
    (m, first), (n, second) = found.integers, like.integers
    for x in range(lcm(m, n)):
        if (x % m in first) != (x % n in second):
            return x, x % m in first
    return None, False


def _solved(found: Judged) -> Iterator[Told]:
    if not isinstance(found, ByDivisor):
        assert isinstance(found, ByTrial)
        yield say("Take ${shown}$.", shown=found.congruence.shown[0])
        yield from _tried(found)
        return
    shown, a, b, m, d = found.congruence.shown[0], found.a, found.b, found.m, found.d
    if not found.count:
        yield _by_divisor(found)
        return
    x = found.congruence.letter
    solution = congruence(Letter(x), Number(found.root), found.n)
    if a == 1:
        yield say("${shown}$ is solved already.", shown=shown)
        return
    if d == 1:
        yield say(
            "${shown}$: {a} and {m} have no common factor, and ${check}$, so ${solution}$.",
            shown=shown,
            a=a,
            m=m,
            check=_put_in(a, found.root, m),
            solution=solution,
        )
        return
    divided = congruence(polynomial((0, a // d), x), Number(b // d), found.n)
    yield say(
        "${shown}$: divided by $gcd({a}, {m}) = {d}$, the modulus too, it is ${divided}$. As "
        "${check}$, ${solution}$.",
        check=_put_in(a // d, found.root, found.n),
        shown=shown,
        a=a,
        m=m,
        d=d,
        divided=divided,
        solution=solution,
    )


def _put_in(a: int, x: int, m: int) -> Math:
    """12 · 5 = 60 ≡ 9."""
    return calculated(dotted((a, x)), a * x, m)


def conclusion(right: OneUnknown) -> Iterator[Told]:
    yield lead("Answer.")
    yield say("It is ${shown}$.", shown=right.shown[0])
