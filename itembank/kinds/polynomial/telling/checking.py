"""The check of a worked solution: solutions put in, and paired off."""

from collections.abc import Iterator, Sequence

from itembank.kinds.chains import sum_of
from itembank.kinds.polynomial.steps import PairOff, Substitute
from itembank.kinds.polynomial.telling.phrases import (
    X,
    multiple_shown,
    related,
    short_modulus,
)
from itembank.kinds.wording import (
    IN_A_SENTENCE,
)
from itembank.languages import BREAK, Said, Told, each, lead, say, shown
from itembank.maths.remainders import nearest_residue
from itembank.notation.building import (
    added,
    applied,
    difference,
    dotted,
    equal,
)
from itembank.notation.tree import (
    Math,
    Minus,
    Number,
    Relation,
)

_REDUCED = 10**9
"""Up to this modulus a long substitution is reduced step by step ..."""

_MOST_PRODUCTS = 6
"""... if it takes at most this many multiplications."""


def substitute(step: Substitute) -> Iterator[Told]:
    yield lead("Check.")
    if step.values is not None:
        yield _values_told(step, step.values)
    elif step.modulus > _REDUCED or len(step.f) - 1 > _MOST_PRODUCTS:
        yield say(
            "Each of them, substituted for $x$, makes $f(x) ≡ 0 (mod {m})$.",
            m=short_modulus(step.modulus, step.factors),
        )
    else:
        yield from _reduced_on_the_way(step)


def _values_told(step: Substitute, values: Sequence[int]) -> Said:
    """f(7) = 117 and f(101) ≡ f(-16) = 117."""
    shown = each(
        related(_value_at(r, step.modulus), "=", multiple_shown(v, step.modulus))
        for r, v in zip(step.solutions, values, strict=True)
    )
    if step.complete:
        return say("{values}.", values=shown)
    return say("For example, {values}.", values=shown)


def _value_at(r: int, m: int) -> Math:
    """f(7); f(101) ≡ f(-16) where the residue nearest to 0 is put in."""
    near = applied("f", r)
    return near if r >= 0 else related(applied("f", r % m), "≡", near)


def _reduced_on_the_way(step: Substitute) -> Iterator[Told]:
    """f(x) multiplied out from the leading coefficient, each product reduced modulo m."""
    x, m = step.solutions[0], step.modulus
    yield say("For example $x = {x}$, reduced modulo {m} after each multiplication:", x=x, m=m)
    rows: list[Math] = []
    y = step.f[-1]
    for c in reversed(step.f[:-1]):
        value = y * x + c
        product = Number(x) if y == 1 else dotted((y, x))
        calculation = sum_of(product, *([Number(c)] if c else []))
        if (y, c) != (1, 0):
            rows.append(related(calculation, "=", _residue_near(value, m)))
        y = nearest_residue(value, m)
    yield shown(*rows)
    yield say("The last number is $f({x})$ modulo {m}.", x=x, m=m)


def _residue_near(value: int, m: int) -> Math:
    """3364 ≡ -38, or 7 alone where it is the residue nearest to 0 itself."""
    least = nearest_residue(value, m)
    return Number(value) if value == least else related(Number(value), "≡", Number(least))


def pair_off(step: PairOff) -> Iterator[Told]:
    if max(s for _r, s in step.pairs) > IN_A_SENTENCE:
        return
    b = -step.b
    yield BREAK
    yield say(
        "And the solutions pair off: ${chain}$, as they must, since ${partner}$ solves the "
        "congruence whenever $x$ does.",
        chain=_pairs_shown(step.pairs, b),
        partner=difference(b, X) if b else Minus(X),
    )


def _pairs_shown(pairs: Sequence[tuple[int, int]], b: int) -> Math:
    """7 + 101 = 20 + 88 = 108 ≡ -9; 1 + 8 ≡ 4 + 14 ≡ 0: the pairs, whose sums are all b."""
    sums = [added(pair) for pair in pairs]
    totals = {sum(pair) for pair in pairs}
    if len(totals) > 1:
        return Relation((*sums, Number(b)), ("≡",) * len(sums))
    (total,) = totals
    chain = equal(*sums, total)
    if total == b:
        return chain
    return Relation((*sums, Number(total), Number(b)), (*("=",) * len(sums), "≡"))
