"""The way to an inverse as questions ask about it: Euclid's rows, and back.

Notation: a the least residue to invert, y its inverse, v the coefficient of a in 1 = um + va.
"""

from collections.abc import Iterator, Sequence
from math import gcd

from itembank.kinds.base import Slip
from itembank.kinds.derivation import (
    Matching,
    NumberStage,
    SpareLine,
    StepLine,
    Wrong,
    beside,
    told,
)
from itembank.kinds.inverse.method import Backwards, Euclid, Inverse, Reduce
from itembank.languages import Said, say
from itembank.notation.building import congruence
from itembank.notation.tree import Number

LARGEST = 10**6
"""Up to this modulus the way is asked about: its numbers are written by hand."""


def outline(number: int, m: int, steps: Sequence[object]) -> tuple[StepLine, ...]:
    """Reduce, divide row by row, go back, take the least residue; () where there is no way back."""
    if m > LARGEST or not any(isinstance(step, Backwards) for step in steps):
        return ()
    return told(_outlined(number, m, steps))


def _outlined(number: int, m: int, steps: Sequence[object]) -> Iterator[tuple[str, Said]]:
    for step in steps:
        match step:
            case Reduce(a, residue):
                yield (
                    "reduce",
                    say(
                        "Take the least residue: {reduced}.",
                        reduced=congruence(Number(a), Number(residue), m),
                    ),
                )
            case Euclid(rows=rows):
                for i, row in enumerate(rows[:-1], 1):
                    yield (
                        f"divide {i}",
                        division(row.dividend, row.quotient, row.divisor, row.remainder),
                    )
            case Inverse(a, _m, v, inverse):
                yield "back", _backwards(v, a, m)
                if v < 0:
                    yield "least", _least(v, inverse, m)
                yield (
                    "name",
                    say("Name the inverse of ${a}$ modulo {m}: ${y}$.", a=number, m=m, y=inverse),
                )


def _backwards(v: int, a: int, m: int) -> Said:
    return say("Work backwards from the last remainder: $1 ≡ {v} · {a} (mod {m})$.", v=v, a=a, m=m)


def _least(v: int, y: int, m: int) -> Said:
    return say("Take the least residue of the coefficient: ${v} ≡ {y} (mod {m})$.", v=v, y=y, m=m)


def division(dividend: int, quotient: int, divisor: int, remainder: int) -> Said:
    """A row of Euclid's algorithm."""
    if not remainder:
        return say(
            "Divide with remainder: ${n} = {q} · {d}$, remainder 0.",
            n=dividend,
            q=quotient,
            d=divisor,
        )
    return say(
        "Divide with remainder: ${n} = {q} · {d} + {r}$.",
        n=dividend,
        q=quotient,
        d=divisor,
        r=remainder,
    )


_FROM_ABOVE = say(
    "A remainder is what is left over the multiple below the number; this is what is missing to "
    "the multiple above it."
)

_SIGN_CHANGED = say("Multiply it out, with the signs: what is the least residue of each side?")


def wrong_division(
    line: str, dividend: int, quotient: int, divisor: int, remainder: int
) -> Iterator[Wrong]:
    """What is missing to the next multiple, taken for the remainder."""
    missing = divisor - remainder
    if remainder and missing != remainder:
        text = division(dividend, quotient, divisor, missing)
        yield line, "remainder-from-above", text, _FROM_ABOVE


def spares(
    number: int, m: int, steps: Sequence[object], lines: Sequence[StepLine]
) -> tuple[SpareLine, ...]:
    """Remainders from above, and a sign lost on the way back."""
    return beside(lines, _gone_wrong(number, m, steps))


def _gone_wrong(number: int, m: int, steps: Sequence[object]) -> Iterator[Wrong]:
    for step in steps:
        match step:
            case Euclid(rows=rows):
                for i, row in enumerate(rows[:-1], 1):
                    found = row.dividend, row.quotient, row.divisor, row.remainder
                    yield from wrong_division(f"divide {i}", *found)
            case Inverse(a, _m, v, _inverse) if 2 * v % m:
                yield "back", "sign-lost", _backwards(-v, a, m), _SIGN_CHANGED
                if v < 0:
                    yield "least", "sign-lost", _least(v, -v, m), _SIGN_CHANGED


def stages(
    number: int, m: int, steps: Sequence[object], slips: tuple[Slip, ...]
) -> Iterator[NumberStage]:
    """The first two remainders, if both are above 0, and the inverse; () without a way back."""
    rows = [row for step in steps if isinstance(step, Euclid) for row in step.rows]
    found = [step.inverse for step in steps if isinstance(step, Inverse)]
    if m > LARGEST or not found or len(rows) < 3:
        return
    yield NumberStage(
        say(
            "Stage {n}. The first remainder of Euclid's algorithm, the modulus divided by the "
            "least residue of the number to invert:",
            n=1,
        ),
        (rows[0].remainder,),
    )
    yield NumberStage(
        say("Stage {n}. The second remainder of Euclid's algorithm:", n=2), (rows[1].remainder,)
    )
    yield NumberStage(
        say("Stage {n}. The inverse of {c} modulo {m} (a least residue):", n=3, c=number, m=m),
        (found[0],),
        slips,
    )


_SOURCES = 4
"""The residues to match with their inverses."""

_SMALL = 200
"""Up to this modulus inverses are matched."""


def matching(number: int, m: int) -> Matching | None:
    """The residue and others, each with its inverse; no two inverse to each other."""
    a = number % m
    units = [u for u in range(2, m - 1) if gcd(u, m) == 1] if 2 < m <= _SMALL else []
    if a not in units:
        return None
    at, stride = units.index(a), max(1, len(units) // (2 * _SOURCES))
    chosen: list[int] = []
    for u in (units[(at + i * stride) % len(units)] for i in range(len(units) // stride)):
        inverse = pow(u, -1, m)
        if inverse not in chosen and u not in chosen and (u * u + 1) % m:
            chosen.append(u)
    sources = tuple(sorted(chosen[:_SOURCES]))
    return Matching(
        say(
            "More is asked for than this one: match each of these residues with its inverse "
            "modulo {m}.",
            m=m,
        ),
        sources,
        tuple(pow(u, -1, m) for u in sources),
        tuple(m - u for u in sources),
        "opposite-for-inverse",
        (
            say(
                "A residue and its opposite have the sum 0; a residue and its inverse have the "
                "product 1."
            ),
        ),
    )
