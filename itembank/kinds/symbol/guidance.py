"""The way to a symbol as questions ask about it: one rule a line, then the value."""

from collections.abc import Iterator, Sequence

from itembank.kinds.derivation import StepLine, told
from itembank.kinds.symbol.steps import (
    CommonFactor,
    Flip,
    MinusOne,
    ReduceTop,
    Rewrite,
    SquareTop,
    TakeOutTwos,
)
from itembank.languages import Said, say
from itembank.notation.building import equal
from itembank.notation.tree import Math, Minus, Number, Symbol

_LARGEST = 10**6
"""Up to this bottom the way is asked about: its numbers are written by hand."""


def outline(top: int, bottom: int, steps: Sequence[object], value: int) -> tuple[StepLine, ...]:
    """The rules in the order in which each takes up what the one before it left."""
    if not 1 < bottom <= _LARGEST:
        return ()
    rules = [step for step in steps if isinstance(step, Rewrite)]
    if len({(r.a, r.n) for r in rules}) < len(rules):
        return ()
    return told(_outlined(top, bottom, rules, value))


def _outlined(
    top: int, bottom: int, rules: Sequence[Rewrite], value: int
) -> Iterator[tuple[str, Said]]:
    for i, rule in enumerate(rules, 1):
        line = _rewritten(rule)
        match rule:
            case ReduceTop():
                yield f"reduce {i}", say("Reduce the top: {line}.", line=line)
            case TakeOutTwos():
                yield f"twos {i}", say("Take the factors 2 out of the top: {line}.", line=line)
            case Flip():
                yield f"turn {i}", say("Turn the symbol over by reciprocity: {line}.", line=line)
            case MinusOne():
                yield f"minus one {i}", say("Use the rule for −1 at the top: {line}.", line=line)
            case SquareTop():
                yield f"square {i}", say("See a square at the top: {line}.", line=line)
            case CommonFactor():
                yield f"factor {i}", say("See a common factor: {line}.", line=line)
            case _:
                yield f"one {i}", say("See 1 at the bottom: {line}.", line=line)
    signs = equal(_symbol(top, bottom), Number(value))
    yield "value", say("Put the signs together: {line}.", line=signs)


def _symbol(a: int, n: int) -> Math:
    return Symbol(Number(a), Number(n))


def _rewritten(rule: Rewrite) -> Math:
    """(a/n) and what it is equal to: a symbol, its negative, or a number."""
    left = _symbol(rule.a, rule.n)
    if rule.after is None:
        return equal(left, Number(rule.factor))
    right = _symbol(*rule.after)
    return equal(left, right if rule.factor == 1 else Minus(right))
