"""The solution of a system with coprime moduli in lines that are claims, each with its slips.

One congruence after the other is taken in by substitution: of the first ones x = r (mod M) is
known, so x = r + Mt is put into the next.  The systems told so are those of congruences
x = b (mod m), as they stand, with no residue 0.

Notation: r, M what is known; x = b (mod m) the next congruence; at = c (mod m) what it becomes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import gcd

from itembank.kinds.lines import Claim, Line, WrongLine, distinct
from itembank.languages import Said, each, say
from itembank.languages.lettering import in_letter
from itembank.notation.building import congruence, polynomial
from itembank.notation.tree import Math, Number

_LARGEST = 10**6
"""Up to this product of the moduli the lines are told: their numbers are checked by hand."""

_MOST = 3
"""The most congruences: each after the first takes three lines."""


@dataclass(frozen=True)
class _Taken:
    """One congruence more: at = c (mod m) with the solution t, and the class of x that follows."""

    r: int
    known: int
    m: int
    a: int
    c: int
    t: int
    x: int

    @property
    def equation(self) -> Math:
        return congruence(polynomial((0, self.a), "t"), Number(self.c), self.m)

    def told(self, moduli: Sequence[int]) -> Iterator[tuple[Said, Claim, Said]]:
        yield (
            say(
                "With $x = {r} + {known}t$ the congruence modulo ${m}$ becomes ${equation}$.",
                r=self.r,
                known=self.known,
                m=self.m,
                equation=self.equation,
            ),
            (self.a, self.c),
            say("Substitute, and collect the numbers on the right side."),
        )
        yield (
            say(
                "The solutions of ${equation}$ are the integers congruent to ${t}$ modulo ${m}$.",
                equation=self.equation,
                t=self.t,
                m=self.m,
            ),
            (self.t,),
            say("Substitute the residue on the left side."),
        )
        yield (
            say(
                "The congruences modulo {moduli} hold together for the integers congruent to "
                "${x}$ modulo ${product}$.",
                moduli=each(moduli),
                x=self.x,
                product=self.known * self.m,
            ),
            (self.x,),
            say("Divide the residue by each modulus and look at the remainders."),
        )


_PARAMETER = 1
"""The one of three lines whose numbers do not stand in the next one again."""

Facts = Sequence[tuple[int, int]]
"""The congruences, as (b, m)."""


def _taken(r: int, known: int, b: int, m: int) -> _Taken:
    a, c = known % m, (b - r) % m
    return _with_parameter(_Taken(r, known, m, a, c, 0, 0), pow(a, -1, m) * c % m)


def _with_parameter(step: _Taken, t: int) -> _Taken:
    return replace(step, t=t, x=(step.r + step.known * t) % (step.known * step.m))


def _way_on(step: _Taken, facts: Facts) -> tuple[_Taken, ...]:
    """The step, and those that take in the other congruences."""
    found = [step]
    for b, m in facts:
        last = found[-1]
        found.append(_taken(last.x, last.known * last.m, b, m))
    return tuple(found)


def _tellable(facts: Facts) -> bool:
    product = 1
    for b, m in facts:
        product *= m
        if not 0 < b < m:
            return False
    coprime = all(gcd(m, n) == 1 for (_b, m), (_c, n) in combinations(facts, 2))
    return 2 <= len(facts) <= _MOST and coprime and product <= _LARGEST


def lines(facts: Facts, letter: str) -> Iterator[Line]:
    """Three lines for each congruence after the first; none where the system is of another form."""
    if not _tellable(facts):
        return
    (r, known), *rest = facts
    moduli = [m for _b, m in facts]
    steps = _way_on(_taken(r, known, *rest[0]), rest[1:])
    for i, step in enumerate(steps):
        told = tuple(step.told(moduli[: i + 2]))
        slips = (_equation_slips(step, rest[i][0]), _parameter_slips(step), _class_slips(step))
        for place, ((text, claim, how), at) in enumerate(zip(told, slips, strict=True)):
            found = (_wrong_line(place, i, *slip, rest, moduli, letter) for slip in at)
            yield Line(
                in_letter(text, letter),
                claim,
                how,
                distinct((w for w in found if w is not None), claim),
                repeated=place != _PARAMETER,
            )


def _wrong_line(
    place: int,
    i: int,
    name: str,
    step: _Taken,
    feedback: Said,
    rest: Facts,
    moduli: Sequence[int],
    letter: str,
) -> WrongLine | None:
    """The line of a slip in step i, with what follows in it and in the steps after it.

    None where a residue 0 would be put in.
    """
    if any(on.r == 0 for on in _way_on(step, rest[i + 1 :])):
        return None
    texts = [
        (in_letter(said, letter), claim)
        for j, on in enumerate(_way_on(step, rest[i + 1 :]), i)
        for said, claim, _how in on.told(moduli[: j + 2])
    ]
    text, claim = texts[place]
    return WrongLine(
        name,
        text,
        claim,
        tuple(said for said, _claim in texts[place + 1 :]),
        in_letter(feedback, letter),
    )


_Changed = tuple[str, _Taken, Said]


def _equation_slips(step: _Taken, b: int) -> Iterator[_Changed]:
    m = step.m
    table = (
        (
            "difference-reversed",
            (step.a, -step.c % m),
            say("This comes out if the difference is taken the wrong way round."),
        ),
        (
            "residue-not-subtracted",
            (step.a, b % m),
            say("This comes out if the known residue is not brought to the right side."),
        ),
        (
            "residue-added",
            (step.a, (b + step.r) % m),
            say("This comes out if the known residue is added on the right side."),
        ),
        (
            "coefficient-of-the-other-modulus",
            (step.r % m, step.c),
            say("This comes out if the residue is taken for the coefficient."),
        ),
    )
    for name, (a, c), feedback in table:
        if a and gcd(a, m) == 1 and (a * step.t - c) % m:
            wrong = replace(step, a=a, c=c)
            yield name, _with_parameter(wrong, pow(a, -1, m) * c % m), feedback


def _parameter_slips(step: _Taken) -> Iterator[_Changed]:
    m, inverse = step.m, pow(step.a, -1, step.m)
    table = (
        ("result-sign", -step.t, say("This comes out if the sign is lost: substitute it.")),
        (
            "coefficient-multiplied",
            step.a * step.c,
            say(
                "This comes out if the right side is multiplied by the number, not by its inverse."
            ),
        ),
        (
            "inverse-for-solution",
            inverse,
            say("This comes out if the inverse is not multiplied by the right side."),
        ),
        (
            "right-side-for-solution",
            step.c,
            say("This comes out if the right side is taken for the solution: substitute it."),
        ),
    )
    for name, t, feedback in table:
        if (t - step.t) % m:
            yield name, _with_parameter(step, t % m), feedback


def _class_slips(step: _Taken) -> Iterator[_Changed]:
    product = step.known * step.m
    table = (
        (
            "parameter-for-the-unknown",
            step.t,
            say("This comes out if the parameter is taken for the unknown: put it into $x$."),
        ),
        (
            "modulus-left-out",
            step.r + step.t,
            say("This comes out if the parameter is not multiplied by the known modulus."),
        ),
        (
            "other-modulus",
            step.r + step.m * step.t,
            say("This comes out if the parameter is multiplied by the other modulus."),
        ),
        (
            "residue-left-out",
            step.known * step.t,
            say("This comes out if the known residue is left out."),
        ),
        (
            "result-sign",
            -step.x,
            say("This comes out if the sign of the residue is lost: divide it by each modulus."),
        ),
        (
            "residue-added-twice",
            step.x + step.r,
            say("This comes out if the known residue is added twice."),
        ),
        (
            "one-step-too-far",
            step.x + step.known,
            say("This comes out if the known modulus is added once too often."),
        ),
        (
            "residue-subtracted",
            step.known * step.t - step.r,
            say("This comes out if the known residue is subtracted."),
        ),
    )
    for name, x, feedback in table:
        if (x - step.x) % product:
            yield name, replace(step, x=x % product), feedback
