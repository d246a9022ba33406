"""Conditions that every variant of a family satisfies, as an instructor writes them.

    gcd(p, q) == 1            an expression in parameters and measures that holds
    solutions in 2..6         a measure (or any number) of a range, bounds included
    p % 8 in [3, 5]           a number that is one of a list
    min(answer) > 20          something of the answer (`answered.py`)
    no singular root          a measure that is 0
    some singular roots       a measure that is at least 1

A measure is a number that the solution of a problem has (KindSignature.measures).
After no, some and before in it may be written with spaces or hyphens, and without its
plural s; in an expression it is a name, singular_roots.
"""

import ast
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

from itembank.spec.answered import ANSWER
from itembank.spec.evaluating import Env, value_of
from itembank.spec.expression import (
    NOWHERE,
    Expression,
    Place,
    Scope,
    all_read,
    checked,
    expression,
    names_in,
)
from itembank.spec.functions import TooLarge, Undefined
from itembank.spec.nodes import unknown
from itembank.spec.tokens import LOGIC, Misread, Token, tokens
from itembank.values.worded import worded


@dataclass(frozen=True)
class Condition:
    """A condition; `measures` are the measures in it, and the answer: without any, it needs no
    solution."""

    expression: Expression
    measures: frozenset[str]

    def holds(self, env: Env) -> bool:
        """Whether it holds for these parameters and measures.

        A condition without a value (a division by 0, the inverse of a non-unit) does not
        hold.  One that is too large to evaluate is a fault of the family: SpecError.
        """
        try:
            return bool(self.expression.value(env))
        except Undefined:
            return False
        except TooLarge as e:
            raise self.expression.beyond_bounds(env, e) from None


def read_condition(
    text: str, scope: Scope, measures: Collection[str], place: Place = NOWHERE
) -> Condition:
    """The condition that a text states; raises Misread with all that is wrong.

    `scope` holds the parameters; the measures are added to it.
    """
    line = tokens(text)
    scope = Scope((*scope.names, *measures, ANSWER), scope.elsewhere)
    tree = _condition_tree(line, scope, measures)
    if not any(names_in(tree)):
        if value_of(tree, {}):
            message = worded("this holds for every variant: no parameter or measure is in it")
        else:
            message = worded("this never holds: no parameter or measure is in it")
        raise Misread([(0, message)])
    whole = expression(text, line, tree, place)
    return Condition(whole, whole.names & {*measures, ANSWER})


def _condition_tree(line: Sequence[Token], scope: Scope, measures: Collection[str]) -> ast.expr:
    words = [token.text for token in line]
    if words[:1] == ["no"]:
        return _count_tree(line, ast.Eq(), measures)
    if words[:1] == ["some"]:
        return _count_tree(line, ast.Gt(), measures)
    if "in" in words:
        return _range_tree(line, words.index("in"), scope, measures)
    return checked(line, scope, "condition")


def _count_tree(line: Sequence[Token], op: ast.cmpop, measures: Collection[str]) -> ast.expr:
    """`no MEASURE` or `some MEASURE`: the measure compared with 0."""
    if other := next((token for token in line[1:] if not _is_word(token)), None):
        raise _stands_alone(other, worded("a measure after '{text}'", text=line[0].text))
    if len(line) == 1:
        raise Misread(
            [(line[0].start, worded("expected a measure after '{text}'", text=line[0].text))]
        )
    measure = ast.Name(id=_measure_named(line[1:], measures))
    return ast.Compare(left=measure, ops=[op], comparators=[ast.Constant(value=0)])


def _range_tree(
    line: Sequence[Token], at: int, scope: Scope, measures: Collection[str]
) -> ast.expr:
    """`LEFT in a..b`: a <= LEFT <= b."""
    left, bounds = line[:at], line[at + 1 :]
    if other := next((token for token in line if token.text in LOGIC), None):
        raise _stands_alone(other, worded("a range after 'in'"))
    if [token.text for token in bounds[:1]] == ["["]:
        return _list_tree(left, bounds, scope, measures)
    if [token.text for token in bounds] == [ANSWER]:
        return _checked_member(left, bounds[0], scope)
    dots = [i for i, token in enumerate(bounds) if token.text == ".."]
    if len(dots) != 1:
        message = worded(
            "expected a range such as 'solutions in 2..6', or a list as in 'p in [2, 3, 5]'"
        )
        raise Misread([(line[at].start, message)])
    middle, low, high = all_read(
        partial(_middle_tree, left, scope, measures),
        partial(checked, bounds[: dots[0]], scope, "number"),
        partial(checked, bounds[dots[0] + 1 :], scope, "number"),
    )
    constant = not any(names_in(low)) and not any(names_in(high))
    if constant and value_of(low, {}) > value_of(high, {}):
        raise Misread([(bounds[0].start, worded("expected a range a..b with a at most b"))])
    return ast.Compare(left=low, ops=[ast.LtE(), ast.LtE()], comparators=[middle, high])


def _list_tree(
    left: Sequence[Token], bounds: Sequence[Token], scope: Scope, measures: Collection[str]
) -> ast.expr:
    """`LEFT in [a, b, c]`: LEFT is one of them."""
    if bounds[-1].text != "]":
        raise Misread(
            [(bounds[0].start, worded("expected a list such as [2, 3, 5], closed by ']'"))]
        )
    middle, *values = all_read(
        partial(_middle_tree, left, scope, measures),
        *(partial(checked, part, scope, "number") for part in _between_commas(bounds)),
    )
    equal = [ast.Compare(left=middle, ops=[ast.Eq()], comparators=[value]) for value in values]
    return equal[0] if len(equal) == 1 else ast.BoolOp(op=ast.Or(), values=[*equal])


def _between_commas(bounds: Sequence[Token]) -> list[Sequence[Token]]:
    """The tokens between the brackets of a list, cut at the commas that no round bracket holds."""
    cuts, depth = [0], 0
    for i, token in enumerate(bounds):
        depth += (token.text == "(") - (token.text == ")")
        if token.text == "," and not depth:
            cuts.append(i)
    cuts.append(len(bounds) - 1)
    parts = [bounds[a + 1 : b] for a, b in pairwise(cuts)]
    if not all(parts):
        raise Misread([(bounds[0].start, worded("expected a number between the commas of a list"))])
    return parts


def _checked_member(left: Sequence[Token], answer: Token, scope: Scope) -> ast.expr:
    """`LEFT in answer`: LEFT is a solution."""
    name = ast.Name(id=ANSWER, col_offset=answer.start)
    member = ast.Name(id="member", col_offset=answer.start)
    return ast.Call(func=member, args=[checked(left, scope, "number"), name], keywords=[])


def _stands_alone(other: Token, expected: str) -> Misread:
    """The fault of a condition that goes on after one of the phrases."""
    advice = worded("write what else must hold as a condition of its own")
    return Misread(
        [
            (
                other.start,
                worded("expected only {expected}: {advice}", expected=expected, advice=advice),
            )
        ]
    )


def _middle_tree(left: Sequence[Token], scope: Scope, measures: Collection[str]) -> ast.expr:
    """What is said to be in a range: a measure in words, or any number."""
    several_words = len(left) > 1 and all(token.kind == "name" for token in left)
    if several_words or _spelled(left, measures):
        return ast.Name(id=_measure_named(left, measures))
    return checked(left, scope, "number")


def _measure_named(words: Sequence[Token], measures: Collection[str]) -> str:
    """The measure that these words name; raises Misread if there is none."""
    if measure := _spelled(words, measures):
        return measure
    said = " ".join(token.text for token in words if token.kind == "name")
    spoken = [measure.replace("_", " ") for measure in measures]
    raise Misread([(words[0].start, unknown("measure", said, spoken))])


def _spelled(words: Sequence[Token], measures: Collection[str]) -> str | None:
    """The measure so written: its words with spaces, hyphens or underscores, s or no s."""
    if not all(_is_word(token) for token in words):
        return None
    name = "_".join(token.text for token in words if token.kind == "name")
    return next((m for m in (name, name + "s") if m in measures), None)


def _is_word(token: Token) -> bool:
    return token.text == "-" or (token.kind == "name" and token.text not in LOGIC)
