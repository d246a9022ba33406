"""Student errors in one linear congruence in two unknowns; common practice of the trade.

One function a mistake: from the row with least residues and the modulus to wrong pairs with what
is said, or None where it cannot be made.
"""

from collections.abc import Callable, Iterator
from math import gcd

from itembank.kinds.base import Remark, Slip, sentences
from itembank.kinds.linear_in_two.method import Pair, Row, TooManyPairs, solve
from itembank.languages import say
from itembank.languages.lettering import relettered

_MOST = 128
"""A wrong set is left out when it is larger than this."""

Found = tuple[tuple[Pair, ...], Remark] | None


def _pairs_of(row: Row, m: int) -> tuple[Pair, ...]:
    try:
        return solve(row, m).answer.pairs
    except TooManyPairs:
        return ()


def _one_pair_for_each_residue(row: Row, m: int) -> Found:
    g = gcd(row[0], row[1], m)
    pairs = _pairs_of(row, m)
    if g == 1 or not pairs:
        return None
    return pairs[:m], say(
        "If you counted one pair for each residue: $gcd({a}, {b}, {m}) = {g}$, so there "
        "are {g} times as many.",
        a=row[0],
        b=row[1],
        m=m,
        g=g,
    )


def _not_lifted(row: Row, m: int) -> Found:
    a, b, c = row
    g = gcd(a, b, m)
    if g == 1 or c % g:
        return None
    return _pairs_of((a // g, b // g, c // g), m // g), say(
        "If you divided by {g} and counted modulo {n}: modulo {m} each of these pairs "
        "stands for ${square}$.",
        g=g,
        n=m // g,
        m=m,
        square=g * g,
    )


def _only_one(row: Row, m: int) -> Found:
    pairs = _pairs_of(row, m)
    return (
        (pairs[:1], say("One unknown may be chosen: how many choices are there for it?"))
        if len(pairs) > 1
        else None
    )


def _none_for_a_common_divisor(row: Row, m: int) -> Found:
    a, b, c = row
    if gcd(a, b, m) > 1 and c % gcd(a, b, m) == 0:
        return (), say(
            "A common divisor of the coefficients and the modulus prevents a solution only if it "
            "does not divide the right side. Here $gcd({a}, {b}, {m}) = {g}$ divides {c}.",
            a=a,
            b=b,
            m=m,
            g=gcd(a, b, m),
            c=c,
        )
    return None


def _divisor_overlooked(row: Row, m: int) -> Found:
    a, b, c = row
    g = gcd(a, b, m)
    if c % g == 0:
        return None
    return _pairs_of((a // g, b // g, c), m), say(
        "There is no solution: {g} divides the left side and the modulus, and does not divide {c}.",
        g=g,
        c=c,
    )


def _unknowns_exchanged(row: Row, m: int) -> Found:
    a, b, c = row
    return _pairs_of((b, a, c), m), say("Check which coefficient belongs to which unknown.")


def _sign_of_the_right_side(row: Row, m: int) -> Found:
    a, b, c = row
    return _pairs_of((a, b, -c % m), m), say("Check the sign of the right side.")


MISTAKES: dict[str, Callable[[Row, int], Found]] = {
    "divisor-overlooked": _divisor_overlooked,
    "none-for-a-common-divisor": _none_for_a_common_divisor,
    "one-pair-for-each-residue": _one_pair_for_each_residue,
    "not-lifted": _not_lifted,
    "only-one": _only_one,
    "unknowns-exchanged": _unknowns_exchanged,
    "sign-of-the-right-side": _sign_of_the_right_side,
}
"""In the order of the method."""


def slips_of(row: Row, m: int, letters: tuple[str, str]) -> Iterator[Slip]:
    """The slips that can be made here."""
    least = (row[0] % m, row[1] % m, row[2] % m)
    if m < 2 or m * gcd(*least[:2], m) > _MOST:
        return
    for name, mistake in MISTAKES.items():
        found = mistake(least, m)
        if found is not None and len(found[0]) <= _MOST:
            said = relettered(sentences(found[1]), dict(zip("xy", letters, strict=True)))
            yield Slip((name,), tuple(sorted(found[0])), (said,))
