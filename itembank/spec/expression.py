"""Expressions in the parameters of a family: read, checked, and evaluated exactly.

Grammar: integers in decimal, names, + - * // % ^ (also **), comparisons (also in
a chain, a < b <= c), and / or / not, a if c else b, round brackets, and calls of
FUNCTIONS; in a condition on the answer also of ASKING (`answered.py`).
Precedence and rounding are Python's: ^ binds tighter than a minus sign before it
and groups to the right, // rounds down, % takes the sign of the divisor.

A text is cut into tokens, whose order is checked so that every complaint names a
character; then `ast` parses it, and the tree is held against a whitelist.
Only what passed is compiled (`evaluating.py`), to code that sees nothing but the
parameters and these operators and functions.  Every size is bounded before work is
done on it: `2^10^9` is a fault, not a wait.  A part without names is evaluated when
it is read, so that what can never have a value is told there.
"""

import ast
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cached_property, partial
from itertools import pairwise
from typing import Any, Literal

from itembank.maths.polynomials import Poly
from itembank.spec.answered import ANSWER, ASKING
from itembank.spec.evaluating import (
    UNKNOWN,
    Env,
    Evaluate,
    Expand,
    evaluation,
    expansion,
    of_answer,
    polynomial_of,
    value_of,
)
from itembank.spec.functions import FUNCTIONS, TooLarge, Undefined
from itembank.spec.nodes import short, unknown
from itembank.spec.tokens import CHOICE, Misread, Token, check_order, tokens
from itembank.values.errors import Fault, NoValue, SpecError
from itembank.values.worded import laid_out, worded

_MOST_DEPTH = 100

Part = Literal["number", "condition", "polynomial"]

# ------------------------------------------------------------ trees


@dataclass(frozen=True)
class Scope:
    """The names an expression may use, and why others that exist are not among them."""

    names: Collection[str]
    elsewhere: Mapping[str, str] = field(default_factory=dict)


def _parsed(line: Sequence[Token]) -> ast.expr:
    """The tree of tokens in good order; a node's col_offset is the index of its character."""
    check_order(line)
    source, starts = "", {}
    for token in line:
        starts[len(source)] = token.start
        source += ("**" if token.text == "^" else token.text) + " "
    try:
        tree = ast.parse(source.strip(), mode="eval").body
    except SyntaxError:
        choice = next((token for token in line if token.text in CHOICE), None)
        if choice:
            raise Misread([(choice.start, worded("expected 'a if condition else b'"))]) from None
        raise Misread([(0, worded("nested too deeply"))]) from None
    except (RecursionError, MemoryError):
        raise Misread([(0, worded("nested too deeply"))]) from None
    for node in ast.walk(tree):
        if isinstance(node, ast.expr):
            node.col_offset = starts[node.col_offset]
    if _is_deeper(tree, _MOST_DEPTH):
        raise Misread([(0, worded("nested too deeply"))])
    return tree


def _operands(node: ast.expr) -> list[ast.expr]:
    """The expressions directly under one; a function's name is none."""
    if isinstance(node, ast.Call):
        return node.args
    return [child for child in ast.iter_child_nodes(node) if isinstance(child, ast.expr)]


def _is_deeper(tree: ast.expr, most: int) -> bool:
    level = [tree]
    for _ in range(most):
        level = [child for node in level for child in _operands(node)]
    return bool(level)


def names_in(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Name):
        yield node.id
    for child in _operands(node):
        yield from names_in(child)


def _name_faults(node: ast.expr, scope: Scope) -> Iterator[tuple[int, str]]:
    """The names and the calls that the scope does not know, each with its character."""
    match node:
        case ast.Name(id=name) if name not in scope.names:
            yield node.col_offset, _wrong_name(name, scope)
        case ast.Call(func=ast.Name(id=name), args=args):
            function = FUNCTIONS.get(name)
            if ANSWER in scope.names and (of_answer(node) or (name in ASKING and not function)):
                if not of_answer(node):
                    yield (
                        node.col_offset,
                        worded(
                            "expected {name}({arguments}), found other arguments",
                            name=name,
                            arguments=ASKING[name].arguments,
                        ),
                    )
            elif function is None and name in (*scope.names, *scope.elsewhere, UNKNOWN):
                message = worded("'{name}' is no function; a product is written with *", name=name)
                yield node.col_offset, message
            elif function is None:
                yield node.col_offset, unknown("function", name, FUNCTIONS)
            elif not function.takes(len(args)):
                message = worded(
                    "expected {name}({arguments}), found {n} of its arguments",
                    name=name,
                    arguments=function.arguments,
                    n=len(args),
                )
                yield node.col_offset, message
    for child in _operands(node):
        yield from _name_faults(child, scope)


def _wrong_name(name: str, scope: Scope) -> str:
    if name in scope.elsewhere:
        return laid_out("'{name}' {why}", name=name, why=scope.elsewhere[name])
    if name == UNKNOWN:
        return worded("'{name}' is the unknown; it stands only in an equation", name=UNKNOWN)
    if name in FUNCTIONS:
        return worded(
            "expected {name}({arguments}), found no arguments",
            name=name,
            arguments=FUNCTIONS[name].arguments,
        )
    if product := _side_by_side(name, scope.names):
        return worded(
            "unknown name '{name}'; did you mean {meant}? A product is written with *",
            name=name,
            meant=product,
        )
    if power := _POWER.fullmatch(name):
        letter, exponent = power.groups()
        if letter in (*scope.names, UNKNOWN):
            meant = laid_out("{letter}^{exponent}", letter=letter, exponent=exponent)
            return worded(
                "unknown name '{name}'; did you mean {meant}? A power is written with ^",
                name=name,
                meant=meant,
            )
    return unknown("name", name, scope.names)


_POWER = re.compile("([A-Za-z]+)([2-9])")
"""A letter with its exponent beside it."""


def _side_by_side(name: str, names: Collection[str]) -> str:
    """The product that two names written side by side mean, "" if they mean none: bx, b*x.

    The unknown may be one of them.
    """
    known = {*names, UNKNOWN}
    for n in range(1, len(name)):
        first, second = name[:n], name[n:]
        if first != second and {first, second} <= known:
            return f"{first}*{second}"
    return ""


def _part(node: ast.expr) -> Part:
    """What a tree is; raises Misread at the first part that cannot stand where it stands."""
    match node:
        case ast.Constant(value=int()):
            return "number"
        case ast.Name(id=name):
            return "polynomial" if name == UNKNOWN else "number"
        case ast.UnaryOp(op=ast.Not()) | ast.BoolOp():
            return _made_of("condition", _operands(node), "condition")
        case ast.Compare():
            return _made_of("number", _operands(node), "condition")
        case ast.Call(func=ast.Name(id=name)) if asking := of_answer(node):
            return _made_of("number", node.args, "condition" if asking.condition else "number")
        case ast.Call(func=ast.Name(id=name)):
            gives: Part = "condition" if FUNCTIONS[name].condition else "number"
            return _made_of("number", node.args, gives)
        case ast.IfExp(test=test, body=a, orelse=b):
            _made_of("condition", [test], "condition")
            return (
                _made_of(_part(a), [a, b], _part(a))
                if _part(a) != "polynomial"
                else _sum_of([a, b])
            )
        case ast.BinOp(op=ast.FloorDiv() | ast.Mod()):
            return _made_of("number", _operands(node), "number")
        case ast.BinOp(left=a, op=ast.Pow(), right=b):
            _made_of("number", [b], "number")
            return _sum_of([a])
        case ast.UnaryOp() | ast.BinOp(op=ast.Add() | ast.Sub() | ast.Mult()):
            return _sum_of(_operands(node))
    raise Misread([(node.col_offset, worded("expected one value in brackets, found several"))])


def _made_of(wanted: Part, nodes: Sequence[ast.expr], whole: Part) -> Part:
    """`whole`, if every node is what is wanted."""
    for node in nodes:
        _check_part(node, _part(node), wanted)
    return whole


def _sum_of(nodes: Sequence[ast.expr]) -> Part:
    """A number, or a polynomial if the unknown is in one of the nodes."""
    parts = [_part(node) for node in nodes]
    for node, found in zip(nodes, parts, strict=True):
        if found != "polynomial":
            _check_part(node, found, "number")
    return "polynomial" if "polynomial" in parts else "number"


def _check_part(node: ast.expr, found: Part, wanted: Part) -> None:
    if found == "polynomial":
        raise Misread(
            [
                (
                    node.col_offset,
                    worded("'{unknown}' stands only in sums, products and powers", unknown=UNKNOWN),
                )
            ]
        )
    if found != wanted:
        raise Misread(
            [
                (
                    node.col_offset,
                    worded("expected a {wanted}, found a {found}", wanted=wanted, found=found),
                )
            ]
        )


def _constant_faults(node: ast.expr) -> Iterator[tuple[int, str]]:
    """The parts without parameters that have no value, or too large a one."""
    names = set(names_in(node))
    if names - {UNKNOWN}:
        for child in _operands(node):
            yield from _constant_faults(child)
        return
    try:
        polynomial_of(node, {}) if names else value_of(node, {})
    except (Undefined, TooLarge) as e:
        yield node.col_offset, worded("no value: {why}", why=e)


# ------------------------------------------------------------ degrees


def degree(node: ast.expr) -> int:
    """The degree of a checked tree as it is written; an exponent with parameters counts as 1."""
    match node:
        case ast.Name(id=name) if name == UNKNOWN:
            return 1
        case ast.UnaryOp() | ast.BinOp(op=ast.Add() | ast.Sub()):
            return max(map(degree, _operands(node)))
        case ast.BinOp(left=a, op=ast.Mult(), right=b):
            return degree(a) + degree(b)
        case ast.BinOp(left=a, op=ast.Pow(), right=b):
            return degree(a) * (1 if any(names_in(b)) else value_of(b, {}))
    return 0


def beyond_degree(node: ast.expr, most: int) -> ast.expr | None:
    """The first smallest part of a checked tree of a degree beyond `most`."""
    if degree(node) <= most:
        return None
    parts = (beyond_degree(part, most) for part in _operands(node))
    return next(filter(None, parts), node)


# ------------------------------------------------------------ expressions


@dataclass(frozen=True)
class Place:
    """Where an author wrote something: file, line, column, and the dotted name of the field."""

    path: str = "<text>"
    line: int = 1
    column: int = 1
    name: str = ""

    def fault(self, message: str) -> Fault:
        return Fault(self.path, self.line, self.column, self.named(message))

    def named(self, message: str) -> str:
        if not self.name:
            return message
        return laid_out("{field}: {message}", field=self.name, message=message)


NOWHERE = Place()

_NO_VALUE = worded("has no value")


@dataclass(frozen=True, kw_only=True)
class Written:
    """What an author wrote.

    canonical: equal for two texts that differ only in their spaces.
    names: the parameters and measures in it.
    """

    text: str = field(compare=False)
    canonical: str
    names: frozenset[str]
    place: Place = field(compare=False, repr=False)

    def __getstate__(self) -> dict[str, Any]:
        """What another process needs, where its code is compiled anew."""
        return {f.name: getattr(self, f.name) for f in fields(self)}

    def beyond_bounds(self, env: Env, reason: object) -> SpecError:
        """The error that this is too large to evaluate: a fault of the file."""
        return SpecError([self.place.fault(self.at(env, _NO_VALUE, reason))])

    def unusable(self, env: Env, what: str, reason: object) -> NoValue:
        """The error that these parameters give no variant, since this `what` ("has no value")."""
        fault = self.place.fault(self.at(env, what, reason))
        told = laid_out("'{text}' {what}", text=short(self.text), what=what)
        return NoValue(fault, self.place.named(told))

    def at(self, env: Env, what: str, reason: object) -> str:
        values = ", ".join(f"{n} = {short(str(env[n]))}" for n in sorted(self.names))
        told = {"text": short(self.text), "what": what, "why": reason}
        if not values:
            return laid_out("'{text}' {what}: {why}", **told)
        return worded("'{text}' {what} at {values}: {why}", values=values, **told)


@dataclass(frozen=True, kw_only=True)
class Expression(Written):
    """A number, or a condition, in the parameters."""

    tree: ast.expr = field(compare=False, repr=False)

    @cached_property
    def value(self) -> Evaluate:
        """What gives its value; of a condition, whether it holds.  Raises Undefined or TooLarge."""
        return evaluation(self.tree)

    def required(self, env: Env) -> int:
        """As `value`, where there must be one, or else the place and the parameters are told.

        Raises NoValue where there is none, SpecError where it is too large.
        """
        try:
            return self.value(env)
        except Undefined as e:
            raise self.unusable(env, _NO_VALUE, e) from None
        except TooLarge as e:
            raise self.beyond_bounds(env, e) from None


@dataclass(frozen=True, kw_only=True)
class Equation(Written):
    """polynomial = polynomial in the unknown x."""

    left: ast.expr = field(compare=False, repr=False)
    right: ast.expr = field(compare=False, repr=False)

    @cached_property
    def _expansions(self) -> tuple[Expand, Expand]:
        """What gives each side."""
        return expansion(self.left), expansion(self.right)

    def sides(self, env: Env) -> tuple[Poly, Poly]:
        """Both sides as coefficients, constant term first, no zero last (() is 0).

        Raises NoValue where one has no value, SpecError where one is too large; both tell the
        place and the parameters.
        """
        try:
            left, right = self._expansions
            return left(env), right(env)
        except Undefined as e:
            raise self.unusable(env, _NO_VALUE, e) from None
        except TooLarge as e:
            raise self.beyond_bounds(env, e) from None


def number(text: str, scope: Scope, place: Place = NOWHERE) -> Expression:
    """A number in the names of the scope; raises Misread with all that is wrong."""
    line = tokens(text)
    return expression(text, line, checked(line, scope, "number"), place)


def condition(text: str, scope: Scope, place: Place = NOWHERE) -> Expression:
    """A condition on the names of the scope; raises Misread with all that is wrong."""
    line = tokens(text)
    return expression(text, line, checked(line, scope, "condition"), place)


def equation(text: str, scope: Scope, place: Place = NOWHERE) -> Equation:
    """An equation in x; raises Misread with all that is wrong.

    >>> f = equation("x^2 + b*x = c", Scope(["b", "c"]))
    >>> f.sides({"b": 9, "c": -5})
    ((0, 9, 1), (-5,))
    """
    line = tokens(text)
    _check_congruence(line)
    signs = [i for i, token in enumerate(line) if token.text == "="]
    if not signs:
        raise Misread([(0, worded("expected 'polynomial = polynomial', found no ="))])
    if len(signs) > 1:
        raise Misread([(line[signs[1]].start, worded("expected one =, found a second one"))])
    sides = line[: signs[0]], line[signs[0] + 1 :]
    if not all(sides):
        raise Misread([(line[signs[0]].start, worded("expected a polynomial on both sides of ="))])
    left, right = all_read(*(partial(checked, side, scope, "polynomial") for side in sides))
    names = {*names_in(left), *names_in(right)}
    if UNKNOWN not in names:
        raise Misread(
            [(0, worded("expected an equation in {unknown}, found none", unknown=UNKNOWN))]
        )
    return Equation(
        text=text,
        canonical=_canonical(line),
        names=frozenset(names - {UNKNOWN}),
        place=place,
        left=left,
        right=right,
    )


def _check_congruence(line: Sequence[Token]) -> None:
    """Raises Misread where a congruence is written as a comparison, or with its modulus."""
    compared = all(token.text != "=" for token in line)
    for before, token in pairwise(line):
        if token.text == "==" and compared:
            raise Misread([(token.start, worded("expected = between the sides, found =="))])
        if token.text == "mod" and before.kind != "sign":
            message = worded(
                "expected the congruence alone, found 'mod'; its modulus stands in `modulus`"
            )
            raise Misread([(token.start, message)])


def checked(line: Sequence[Token], scope: Scope, wanted: Part) -> ast.expr:
    """The tree of the tokens, in which everything is known and stands in its place."""
    tree = _parsed(line)
    if wanted == "polynomial":
        scope = Scope((*scope.names, UNKNOWN), scope.elsewhere)
    if faults := list(_name_faults(tree, scope)):
        raise Misread(faults)
    if wanted == "polynomial":
        _sum_of([tree])
    else:
        _made_of(wanted, [tree], wanted)
    if faults := list(_constant_faults(tree)):
        raise Misread(faults)
    return tree


def all_read(*readings: Callable[[], ast.expr]) -> list[ast.expr]:
    """The trees of several readings; raises Misread with the faults of all."""
    trees: list[ast.expr] = []
    faults: list[tuple[int, str]] = []
    for reading in readings:
        try:
            trees.append(reading())
        except Misread as e:
            faults += e.faults
    if faults:
        raise Misread(faults)
    return trees


def expression(text: str, line: Sequence[Token], tree: ast.expr, place: Place) -> Expression:
    return Expression(
        text=text,
        canonical=_canonical(line),
        names=frozenset(names_in(tree)),
        place=place,
        tree=tree,
    )


def _canonical(line: Sequence[Token]) -> str:
    return " ".join("^" if token.text == "**" else token.text for token in line)
