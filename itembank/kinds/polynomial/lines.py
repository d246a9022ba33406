"""The solution of a polynomial congruence in lines that are claims, and each of them gone wrong.

For each prime power p^k of the modulus the solutions modulo p, ..., p^k, with the completed
square before them where that is how they are found; then the multipliers, then the answer.  A slip
changes the way from its line on: what follows is found from the wrong line as from a right one.

Notation: m modulus, p prime, k exponent, f polynomial; (x + h)^2 = s the square modulo p.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import islice, product
from math import prod

from itembank.kinds.lines import (
    KEPT,
    Claim,
    Line,
    WrongLine,
    distinct,
    multipliers,
    solutions_modulo,
)
from itembank.kinds.polynomial.guidance import TOLD, roots, writable
from itembank.kinds.polynomial.steps import Square
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter
from itembank.maths.polynomials import Poly, derivative, reduced, value, value_mod
from itembank.maths.remainders import crt_weights
from itembank.notation.building import bracketed, congruence, monomial, polynomial, power
from itembank.notation.tree import Group, Math, Number, Sum
from itembank.values.answer import ResidueSet

Residues = tuple[int, ...]

_FEW_LINES = 4
"""The multipliers have a line of their own where there are no more than so many others."""

_BY_SQUARE = 5
"""Beyond this prime the square is completed; up to it every residue is tried."""


@dataclass(frozen=True)
class Completed:
    """f = a((x + h)^2 - s) modulo p; `root` is a square root of s."""

    a: int
    h: int
    s: int
    root: int

    def roots(self, p: int) -> Residues:
        return tuple(x for x in range(p) if ((x + self.h) ** 2 - self.s) % p == 0)

    def shown(self) -> Math:
        shifted = power(_bracketed_sum(self.h), 2)
        inside: Math = Sum(((1, shifted), (-1, Number(self.s))))
        return inside if self.a == 1 else monomial(self.a, Group(inside), 1)


def _bracketed_sum(h: int) -> Math:
    return bracketed(polynomial((h, 1)))


@dataclass(frozen=True)
class Levels:
    """What is claimed at one prime: the square, if any, and the solutions modulo p, ..., p^k."""

    p: int
    square: Completed | None
    sets: tuple[Residues, ...]

    @property
    def q(self) -> int:
        return int(self.p ** len(self.sets))


@dataclass(frozen=True)
class Way:
    """All that the lines claim, in their order."""

    f: Poly
    m: int
    levels: tuple[Levels, ...]
    weights: tuple[int, ...] = ()
    choices: tuple[Residues, ...] | None = None
    """What is combined, where not every choice of one residue for each prime power is."""

    @cached_property
    def combined(self) -> Residues:
        choices = self.choices or tuple(product(*(level.sets[-1] for level in self.levels)))
        sums = {sum(w * r for w, r in zip(self.weights, c, strict=True)) for c in choices}
        return tuple(sorted({x % self.m for x in sums}))

    @property
    def writable(self) -> bool:
        sets = [s for level in self.levels for s in level.sets]
        few = all(0 < len(s) <= TOLD for s in sets)
        return few and prod(len(level.sets[-1]) for level in self.levels) <= TOLD

    @property
    def multiplied(self) -> bool:
        """Whether the multipliers have a line: there are two, and few other lines."""
        others = 1 + sum(len(level.sets) + (level.square is not None) for level in self.levels)
        return len(self.levels) == 2 and others <= _FEW_LINES

    def changed(self, level: Levels) -> "Way":
        levels = tuple(level if level.p == own.p else own for own in self.levels)
        return replace(self, levels=levels)

    def claims(self) -> Iterator[Claim]:
        """The numbers of each line, in the order in which they are told."""
        for level in self.levels:
            if level.square:
                yield level.square.h, level.square.s
            yield from level.sets
        if len(self.levels) > 1:
            if self.multiplied:
                yield self.weights
            yield self.combined

    def told(self) -> Iterator[tuple[Said, Claim, Said]]:
        """Each line, its numbers, and how it is checked."""
        for level in self.levels:
            if level.square:
                yield self._told_square(level.p, level.square)
            for j, residues in enumerate(level.sets, 1):
                yield solutions_modulo(level.p**j, residues), residues, _check(level.p, j)
        if len(self.levels) > 1:
            moduli = tuple(level.q for level in self.levels)
            if self.multiplied:
                yield multipliers(self.weights, moduli), self.weights, _CHECK_MULTIPLIERS
            yield solutions_modulo(self.m, self.combined), self.combined, _CHECK_COMBINED

    def _told_square(self, p: int, square: Completed) -> tuple[Said, Claim, Said]:
        identity = congruence(polynomial(reduced(self.f, p)), square.shown(), p)
        text = say("Completing the square gives ${identity}$.", identity=identity)
        return text, (square.h, square.s), _CHECK_SQUARE


_CHECK_SQUARE = say("Multiply the square out and compare the coefficients.")
_CHECK_MULTIPLIERS = say("Divide each number by each modulus and look at the remainders.")
_CHECK_COMBINED = say(
    "Reduce each of its residues modulo each prime power, and count the combinations."
)


@lru_cache(maxsize=KEPT)
def _check(p: int, j: int) -> Said:
    if j == 1:
        return say("Substitute each residue modulo ${p}$ to see it.", p=p)
    return say(
        "Substitute the residues modulo ${q}$ that are congruent to solutions modulo ${below}$.",
        q=p**j,
        below=p ** (j - 1),
    )


# ------------------------------------------------------------ the lines


def lines(
    f: Poly, letter: str, factors: Sequence[tuple[int, int]], answer: ResidueSet,
    squares: dict[int, Square],
) -> Iterator[Line]:  # fmt: skip
    """The lines with their slips; none where one would be too long, or says that none solves.

    `squares` are those that the solution completes, by their primes.
    """
    if not writable(f, factors, answer):
        return
    way = way_of(f, factors, answer, squares)
    told, slips = tuple(way.told()), tuple(slips_by_line(way))
    for place, ((text, claim, how), at) in enumerate(zip(told, slips, strict=True)):
        found = (_wrong_line(place, *slip, letter) for slip in apart(at, place, claim))
        yield Line(in_letter(text, letter), claim, in_letter(how, letter), distinct(found, claim))


def way_of(
    f: Poly,
    factors: Sequence[tuple[int, int]],
    answer: ResidueSet,
    squares: dict[int, Square],
) -> Way:
    """The way to the answer, each of its claims right."""
    return Way(
        f,
        answer.modulus,
        tuple(_levels(f, p, k, squares.get(p)) for p, k in factors),
        tuple(w.e for w in crt_weights([p**k for p, k in factors])),
    )


def apart(slips: Iterable["Changed"], place: int, right: Claim) -> Iterator["Changed"]:
    """The slips that can be written and claim something wrong there, the first of each claim."""
    claimed = {right}
    for slip in slips:
        _name, way, _feedback = slip
        if not way.writable:
            continue
        claim = next(islice(way.claims(), place, None))
        if claim not in claimed:
            claimed.add(claim)
            yield slip


def _levels(f: Poly, p: int, k: int, square: Square | None) -> Levels:
    sets = tuple(roots(f, p**j).residues() for j in range(1, k + 1))
    if square is None or k > 1 or p <= _BY_SQUARE or not square.root or not square.h:
        return Levels(p, None, sets)
    return Levels(p, Completed(square.a, square.h, square.s, square.root), sets)


Changed = tuple[str, Way, Said]
"""A slip: its name, the way that it leads, and what is wrong in the line where it is made."""


def _wrong_line(place: int, name: str, way: Way, feedback: Said, letter: str) -> WrongLine:
    """The line of a slip, with what follows."""
    (text, claim, _how), *others = islice(way.told(), place, None)
    rest = tuple(in_letter(said, letter) for said, _c, _h in others)
    return WrongLine(name, in_letter(text, letter), claim, rest, in_letter(feedback, letter))


def slips_by_line(way: Way) -> Iterator[Iterator[Changed]]:
    """The slips of each line, in the order of `Way.told`."""
    for level in way.levels:
        if level.square:
            yield _square_slips(way, level, level.square)
        for j in range(1, len(level.sets) + 1):
            yield _first_slips(way, level) if j == 1 else _lift_slips(way, level, j)
    if len(way.levels) > 1:
        if way.multiplied:
            yield _multiplier_slips(way)
        yield _combining_slips(way)


# ------------------------------------------------------------ the square


def _square_slips(way: Way, level: Levels, square: Completed) -> Iterator[Changed]:
    p, a, h, s = level.p, square.a, square.h, square.s
    b, c = 2 * h % p, (h * h - s) % p

    def led(name: str, h: int, s: int, feedback: Said) -> Iterator[Changed]:
        wrong = Completed(a, h % p, s % p, 0)
        if s % p == 0:
            return
        yield name, way.changed(Levels(p, wrong, (wrong.roots(p),))), feedback

    yield from led(
        "constant-sign",
        h,
        h * h + c,
        say("This comes out if the constant term changes its sign: multiply the square out."),
    )
    yield from led(
        "shift-sign",
        -h,
        s,
        say("This comes out if the linear term changes its sign: multiply the square out."),
    )
    if b % 2:
        yield from led(
            "halved-in-the-integers",
            b // 2,
            (b // 2) ** 2 - c,
            say(
                "This comes out if ${h}$ is taken for half of ${b}$: doubled, it must "
                "give ${b}$ modulo ${p}$.",
                h=b // 2,
                b=b,
                p=p,
            ),
        )
    yield from led(
        "not-halved",
        b,
        b * b - c,
        say("This comes out if the linear coefficient is not halved: multiply the square out."),
    )
    yield from led(
        "square-not-subtracted",
        h,
        -c,
        say(
            "This comes out if the constant does not make up for the square of the shift: "
            "multiply the square out."
        ),
    )


# ------------------------------------------------------------ modulo a prime


def _first_slips(way: Way, level: Levels) -> Iterator[Changed]:
    """Slips in the solutions modulo p."""
    p, found = level.p, level.sets[0]
    if level.square:
        yield from _root_slips(way, level, level.square)
    yield from _with_polynomial(
        way,
        level,
        1,
        "constant-sign",
        (-way.f[0], *way.f[1:]),
        say("This comes out if the constant term of the congruence changes its sign."),
    )
    yield from _with_polynomial(
        way,
        level,
        1,
        "linear-sign",
        tuple(c * (-1) ** i for i, c in enumerate(way.f)),
        say(
            "This comes out if odd powers of the unknown change their sign: substitute the "
            "residues."
        ),
    )
    if len(reduced(way.f, p)) > 1 and reduced(way.f, p)[-1] != 1:
        yield from _with_polynomial(
            way,
            level,
            1,
            "leading-coefficient-ignored",
            (*way.f[:-1], 1),
            say(
                "This comes out if the leading coefficient is taken for 1: substitute the residues."
            ),
        )
    if 0 in found and len(found) > 1:
        yield from _kept(
            way,
            level,
            1,
            "zero-taken-for-no-root",
            found[1:],
            say("This comes out if the residue 0 is passed over: try it like any other."),
        )
    yield from _with_polynomial(
        way,
        level,
        1,
        "constant-dropped",
        (0, *way.f[1:]),
        say("This comes out if the constant term is passed over: substitute the residues."),
    )
    yield from _partner_slips(way, level)
    yield from _one_lost(way, level, 1)


def _partner_slips(way: Way, level: Levels) -> Iterator[Changed]:
    """One root of a quadratic right, its partner found with the wrong sum, or in place of it."""
    g, found = reduced(way.f, level.p), level.sets[0]
    if len(level.sets) > 1 or len(g) != 3 or g[2] != 1 or len(found) != 2:
        return
    feedback = say("The sum of the two residues is not minus the linear coefficient here.")
    for r in found:
        for wrong in ((g[1] - r) % level.p, -r % level.p):
            if wrong != r:
                pair = tuple(sorted((r, wrong)))
                yield "partner-mistaken", way.changed(replace(level, sets=(pair,))), feedback


def _root_slips(way: Way, level: Levels, square: Completed) -> Iterator[Changed]:
    """Slips on the way from the square to the roots."""
    p, h, u = level.p, square.h, square.root

    def led(name: str, residues: set[int], feedback: Said) -> Iterator[Changed]:
        found = tuple(sorted(x % p for x in residues))
        yield name, way.changed(replace(level, sets=(found,))), feedback

    yield from led(
        "shift-sign",
        {u + h, -u + h},
        say("This comes out if the shift ${h}$ is added: it must be subtracted.", h=h)
        if h > 0
        else say("This comes out if ${h}$ is subtracted: it must be added.", h=-h),
    )
    yield from led(
        "shift-forgotten",
        {u % p, -u % p},
        say("These are the square roots: the shift ${h}$ is still to be subtracted.", h=h)
        if h > 0
        else say("These are the square roots: ${h}$ is still to be added.", h=-h),
    )
    yield from led(
        "root-not-taken",
        {square.s - h, -square.s - h},
        say("This comes out if ${s}$ is taken for its own square root.", s=square.s),
    )


def _with_polynomial(
    way: Way, level: Levels, j: int, name: str, g: Poly, feedback: Said
) -> Iterator[Changed]:
    """From p^j on the solutions of another polynomial, above what was found before."""
    sets = list(level.sets[: j - 1])
    for i in range(j, len(level.sets) + 1):
        found = roots(g, level.p**i)
        if not 0 < found.count <= TOLD:
            return
        below = sets[-1] if sets else None
        q = level.p ** (i - 1)
        sets.append(tuple(x for x in found.residues() if below is None or x % q in below))
    yield name, way.changed(replace(level, sets=tuple(sets))), feedback


def _kept(
    way: Way, level: Levels, j: int, name: str, residues: Residues, feedback: Said
) -> Iterator[Changed]:
    """Only some of the solutions modulo p^j, and from there on what lies above them."""
    q = level.p**j
    above = tuple(tuple(x for x in s if x % q in residues) for s in level.sets[j:])
    sets = (*level.sets[: j - 1], residues, *above)
    yield name, way.changed(replace(level, sets=sets)), feedback


def _one_lost(way: Way, level: Levels, j: int) -> Iterator[Changed]:
    found = level.sets[j - 1]
    if len(found) > 1:
        said = (
            say(
                "Not every residue that solves the congruence modulo ${q}$ is named here.",
                q=level.p,
            )
            if j == 1
            else say("Not every lift modulo ${q}$ is named here.", q=level.p**j)
        )
        yield from _kept(way, level, j, "root-lost", found[:-1], said)
        yield from _kept(way, level, j, "root-lost", found[1:], said)


# ------------------------------------------------------------ lifting


def _lift_slips(way: Way, level: Levels, j: int) -> Iterator[Changed]:
    """Slips in the solutions modulo p^j, j at least 2."""
    p, f, below = level.p, way.f, level.sets[j - 2]
    q, before = level.p**j, level.p ** (j - 1)
    last = j == len(level.sets)
    yield from _with_polynomial(
        way,
        level,
        j,
        "reduced-before-lifting",
        reduced(f, before),
        say(
            "This comes out if the congruence is reduced modulo ${before}$ before the "
            "lift: modulo ${q}$ its coefficients count as they are.",
            before=before,
            q=q,
        ),
    )
    if last:
        yield from _wrong_lifts(way, level, j)
        yield (
            "not-lifted",
            way.changed(replace(level, sets=(*level.sets[:-1], below))),
            say(
                "These are the solutions modulo ${before}$: which lifts of them solve "
                "the congruence modulo ${q}$?",
                before=before,
                q=q,
            ),
        )
        if p * len(below) <= TOLD:
            every = tuple(x for x in range(q) if x % before in below)
            yield (
                "every-lift-kept",
                way.changed(replace(level, sets=(*level.sets[:-1], every))),
                say("This comes out if every lift is kept: substitute them modulo ${q}$.", q=q),
            )
    yield from _one_lost(way, level, j)


def _wrong_lifts(way: Way, level: Levels, j: int) -> Iterator[Changed]:
    """The last lift of simple roots with a wrong t."""
    p, f, below = level.p, way.f, level.p ** (j - 1)
    slope, brought = derivative(f), f[1:]
    ones = (sum(slope),)
    table: tuple[tuple[str, int, Poly, Said], ...] = (
        (
            "lift-sign",
            1,
            slope,
            say(
                "This comes out if each root is lifted with the wrong sign: substitute "
                "one of the residues modulo ${q}$.",
                q=level.q,
            ),
        ),
        (
            "derivative-not-evaluated",
            -1,
            ones,
            say("This comes out if every root is lifted with the same number for the derivative."),
        ),
        (
            "power-not-brought-down",
            -1,
            brought,
            say(
                "This comes out if ${wrong}$ is taken for the derivative.",
                wrong=polynomial(brought),
            ),
        ),
    )
    if any(value_mod(slope, r, p) == 0 for r in level.sets[j - 2]):
        return
    for name, sign, wrong, feedback in table:
        lifted = set()
        for r in level.sets[j - 2]:
            s = value_mod(wrong, r, p)
            if not s:
                break
            t = sign * (value(f, r) // below) * pow(s, -1, p) % p
            lifted.add(r + below * t)
        else:
            sets = (*level.sets[:-1], tuple(sorted(lifted)))
            yield name, way.changed(replace(level, sets=sets)), feedback


# ------------------------------------------------------------ combining


def _multiplier_slips(way: Way) -> Iterator[Changed]:
    moduli = [level.q for level in way.levels]
    first, second = way.weights
    yield (
        "inverses-left-out",
        replace(way, weights=(moduli[1], moduli[0])),
        say("This comes out if the other modulus is not multiplied by its inverse."),
    )
    yield (
        "weights-swapped",
        replace(way, weights=(second, first)),
        say("This comes out if the multipliers are exchanged."),
    )
    yield (
        "inverse-sign",
        replace(way, weights=(way.m - first, way.m - second)),
        say("This comes out if a multiplier is made $-1$ where it must be $1$."),
    )
    yield (
        "one-inverse-left-out",
        replace(way, weights=(first, moduli[0])),
        say("This comes out if one modulus is not multiplied by its inverse."),
    )
    yield (
        "one-inverse-left-out",
        replace(way, weights=(moduli[1], second)),
        say("This comes out if one modulus is not multiplied by its inverse."),
    )


def _combining_slips(way: Way) -> Iterator[Changed]:
    moduli = [level.q for level in way.levels]
    sets = [level.sets[-1] for level in way.levels]
    if len(moduli) == 2:
        first, second = way.weights
        yield (
            "weights-swapped",
            replace(way, weights=(second, first)),
            say("This comes out if each residue is multiplied by the other one's multiplier."),
        )
        yield (
            "inverses-left-out",
            replace(way, weights=(moduli[1], moduli[0])),
            say("This comes out if the residues are multiplied by the other modulus alone."),
        )
    yield (
        "residues-added",
        replace(way, weights=(1,) * len(moduli)),
        say("This comes out if the residues are added: each must first be multiplied."),
    )
    matched = tuple(zip(*sets, strict=False))
    if min(map(len, sets)) > 1:
        yield (
            "matched-pairs-only",
            replace(way, choices=matched),
            say(
                "This comes out if only the first goes with the first, and so on: "
                "combine every choice."
            ),
        )
