"""The way of indices as questions ask about it: look up, take indices, solve for them, turn back.

Notation: N = phi(m), ny = r (mod N) for the index y of x, d = gcd(n, N).
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from itembank.kinds.derivation import SpareLine, StepLine, Wrong, beside, told
from itembank.kinds.index.by_indices.steps import Linear, Table, TakeIndices, TurnBack
from itembank.kinds.linear.guidance import inverted, proportion, wrong_inverse
from itembank.languages import Said, say
from itembank.languages.lettering import in_letter, relettered
from itembank.notation.building import congruence, listed
from itembank.notation.tree import Letter, Listing, Math, Number, Power

_LARGEST = 10**3
"""Up to this modulus the way is asked about: its powers are written by hand."""

_TOLD = 8
"""At most this many indices stand in a line."""


def outline(steps: Sequence[object], letter: str) -> tuple[StepLine, ...]:
    """Look up, take indices, solve the linear congruence, turn back; () for another way."""
    match steps:
        case [Table() as table, TakeIndices() as taken, Linear() as linear, TurnBack() as back]:
            suits = table.m <= _LARGEST and linear.n > 1 and len(back.pairs) <= _TOLD
            if suits and linear.r > 0 and linear.n < linear.whole:
                lines = _outlined(table, taken, linear, back)
                return told((name, in_letter(said, letter)) for name, said in lines)
    return ()


def _outlined(
    table: Table, taken: TakeIndices, linear: Linear, back: TurnBack
) -> Iterator[tuple[str, Said]]:
    g, m, n, r, whole, d = table.g, table.m, linear.n, linear.r, linear.whole, linear.d
    yield "look up", _looked_up(g, _wanted(taken), m)
    yield (
        "take",
        say(
            "Take indices on both sides, with ${y}$ for the index of ${x}$: {linear}.",
            y=Letter("y"),
            x=Letter("x"),
            linear=_of_index(n, r, whole),
        ),
    )
    n1, r1, size = n // d, r // d, whole // d
    if d == 1:
        yield (
            "divisor",
            say("See whether the coefficient has an inverse: $gcd({a}, {m}) = 1$.", a=n, m=whole),
        )
    else:
        yield (
            "divide",
            say(
                "Divide by the common divisor: {congruence}.",
                congruence=_of_index(n1, r1, size),
            ),
        )
    if n1 > 1:
        yield "invert", inverted(n1, pow(n1, -1, size), size)
    yield (
        "indices",
        say(
            "Find all indices: {found}.",
            found=congruence(Letter("y"), listed(linear.indices), whole),
        ),
    )
    yield (
        "turn back",
        say(
            "Raise the base to each of them: {found}.",
            found=congruence(Letter("x"), listed(x for _y, x in back.pairs), m),
        ),
    )


def _wanted(taken: TakeIndices) -> list[tuple[int, int]]:
    """(a, its index), of the factor beside the power, if there is one, and of the right side."""
    found = [(taken.a, taken.ind_a)] if taken.a != 1 else []
    return [*found, (taken.c, taken.ind_c)]


def _looked_up(g: int, indices: Sequence[tuple[int, int]], m: int) -> Said:
    powers = [Power(Number(g), Number(k)) for _a, k in indices]
    return say(
        "Look up indices: {powers}.",
        powers=congruence(_several(powers), listed(a for a, _k in indices), m),
    )


def spares(
    steps: Sequence[object], letter: str, lines: Sequence[StepLine]
) -> tuple[SpareLine, ...]:
    """An index of the number before or after, and the opposite of an inverse."""
    match steps:
        case [Table() as table, TakeIndices() as taken, Linear() as linear, TurnBack()]:
            found = beside(lines, _gone_wrong(table, taken, linear))
            return tuple(replace(s, text=in_letter(s.text, letter)) for s in found)
    return ()


def _gone_wrong(table: Table, taken: TakeIndices, linear: Linear) -> Iterator[Wrong]:
    g, m = table.g, table.m
    *before, (c, k) = _wanted(taken)
    feedback = say("Multiply the base out, and count the factors: which power is it?")
    if k + 1 < m - 1:
        text = _looked_up(g, [*before, (c, k + 1)], m)
        yield "look up", "index-one-too-large", text, feedback
    if k > 1:
        text = _looked_up(g, [*before, (c, k - 1)], m)
        yield "look up", "index-one-too-small", text, feedback
    n1, size = linear.n // linear.d, linear.whole // linear.d
    if n1 > 1:
        yield from wrong_inverse(n1, size)


def _several(found: Sequence[Math]) -> Math:
    return found[0] if len(found) == 1 else Listing(tuple(found))


def _of_index(n: int, r: int, m: int) -> Math:
    """ny ≡ r (mod m)."""
    return relettered(proportion(n, r, m), {"x": "y"})
