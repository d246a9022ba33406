"""What a checked tree is worth: compiled once to a code object, run for each set of parameters.

The code is made of the checked tree alone: names become look-ups among the parameters, operators
and functions those of `functions.py`, with their bounds; it sees nothing else, no builtins.  A
polynomial that is a sum of terms such as `(b - 1)*x^2` is compiled to the code of its
coefficients; others are worked out as they stand.
"""

import ast
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from operator import itemgetter
from typing import Any, NamedTuple, cast

from itembank.maths import polynomials
from itembank.maths.polynomials import Poly
from itembank.spec.answered import ANSWER, ASKING, Answered, Asking, value
from itembank.spec.functions import (
    FUNCTIONS,
    MOST_BITS,
    PREFIXES,
    TooLarge,
    Undefined,
    power,
    within,
)
from itembank.values.worded import worded

UNKNOWN = "x"
"""The unknown of every equation; no parameter has this name."""

_MOST_DEGREE = 64

Env = Mapping[str, int]
Evaluate = Callable[[Env], int]
Expand = Callable[[Env], Poly]

_A_VALUE = worded("a value")
_A_COEFFICIENT = worded("a coefficient")


@cache
def _value_of_function(name: str) -> str:
    return worded("a value of {name}", name=name)


# ------------------------------------------------------------ numbers and conditions


def value_of(node: ast.expr, env: Env) -> int:
    """The value of a checked tree, which is evaluated once; of a condition, whether it holds."""
    if isinstance(node, ast.Constant):
        return cast(int, node.value)
    return evaluation(node)(env)


def evaluation(node: ast.expr) -> Evaluate:
    """What gives the value of a checked tree; of a condition, whether it holds.

    It raises Undefined or TooLarge, as the first part that has no value in the order of Python.
    """
    match node:
        case ast.Constant(value=int(n)):
            return lambda _env: n
        case ast.Name(id=name) if name != ANSWER:
            return cast(Evaluate, itemgetter(name))
    return cast(Evaluate, _run(_code(node)))


def _run(body: ast.expr) -> Callable[[Env], Any]:
    """The function of the parameters that a tree of `_code` is."""
    takes = ast.arguments(
        posonlyargs=[], args=[ast.arg("env")], kwonlyargs=[], kw_defaults=[], defaults=[]
    )
    tree = ast.fix_missing_locations(ast.Expression(ast.Lambda(takes, body)))
    return cast(Callable[[Env], Any], eval(compile(tree, "<family>", "eval"), dict(_SEEN)))


def _answer_in(env: Env) -> Answered:
    """The answer of a variant, which stands among its values only where a condition asks for it."""
    return cast(Answered, cast(Any, env)[ANSWER])


def of_answer(node: ast.expr) -> Asking | None:
    """What a call asks of the answer, whose last argument it is; None if it asks nothing."""
    match node:
        case ast.Call(func=ast.Name(id=name), args=[*others, ast.Name(id="answer")]):
            asking = ASKING.get(name)
            return asking if asking and len(others) == asking.arguments.count(",") else None
    return None


def _divisor(op: str) -> Callable[[int], int]:
    """What lets every divisor but 0 pass."""

    def other_than_zero(b: int) -> int:
        if b == 0:
            raise Undefined(_BY_ZERO[op])
        return b

    return other_than_zero


def _too_large(function: str) -> int:
    """Raises TooLarge, for the value of a function; of none, for any other."""
    what = _value_of_function(function) if function else _A_VALUE
    raise TooLarge(worded("{what} is beyond {bits} bits", what=what, bits=MOST_BITS))


_BOUND = 1 << MOST_BITS
_BY_ZERO = {"FloorDiv": worded("a division by 0"), "Mod": worded("a remainder modulo 0")}

_SEEN: dict[str, Any] = {
    "__builtins__": {},
    "low": -_BOUND,
    "high": _BOUND,
    "too_large": _too_large,
    "answer_in": _answer_in,
    "value": value,
    "power": power,
    **{f"divisor_{op}": _divisor(op) for op in _BY_ZERO},
    **{f"of_{name}": function.value for name, function in FUNCTIONS.items()},
    **{f"asked_{name}": asking.value for name, asking in ASKING.items()},
}
"""All that compiled code can name."""


def _code(node: ast.expr) -> ast.expr:
    """A checked tree as Python evaluates it."""
    match node:
        case ast.Constant(value=int(n)):
            return ast.Constant(n)
        case ast.Name(id=name):
            if name == ANSWER:
                return _called("value", _ENV_ANSWER)
            return ast.Subscript(_loaded("env"), ast.Constant(name), ast.Load())
        case ast.IfExp(test=test, body=a, orelse=b):
            return ast.IfExp(_code(test), _code(a), _code(b))
        case ast.UnaryOp(op=op, operand=a):
            return ast.UnaryOp(op, _code(a))
        case ast.BinOp(left=a, op=ast.Pow(), right=b):
            return _bounded(_called("power", _code(a), _code(b)))
        case ast.BinOp(left=a, op=ast.FloorDiv() | ast.Mod() as op, right=b):
            by = _called(f"divisor_{type(op).__name__}", _code(b))
            return _bounded(ast.BinOp(_code(a), op, by))
        case ast.BinOp(left=a, op=op, right=b):
            return _bounded(ast.BinOp(_code(a), op, _code(b)))
        case ast.BoolOp(op=op, values=parts):
            return ast.BoolOp(op, [*map(_code, parts)])
        case ast.Compare(left=a, ops=ops, comparators=rest):
            return ast.Compare(_code(a), ops, [*map(_code, rest)])
        case ast.Call(func=ast.Name(id=name), args=args) if of_answer(node):
            return _called(f"asked_{name}", *map(_code, args[:-1]), _ENV_ANSWER)
        case ast.Call(func=ast.Name(id=name), args=args):
            return _bounded(_called(f"of_{name}", *map(_code, args)), name)
    raise AssertionError(f"{type(node).__name__} passed the whitelist")


def _loaded(name: str) -> ast.Name:
    return ast.Name(name, ast.Load())


def _called(name: str, *args: ast.expr) -> ast.Call:
    return ast.Call(_loaded(name), [*args], [])


_ENV_ANSWER = _called("answer_in", _loaded("env"))


def _bounded(node: ast.expr, function: str = "") -> ast.expr:
    """`(n if low < (n := NODE) < high else too_large(FUNCTION))`."""
    found = ast.NamedExpr(ast.Name("n", ast.Store()), node)
    test = ast.Compare(_loaded("low"), [ast.Lt(), ast.Lt()], [found, _loaded("high")])
    return ast.IfExp(test, _loaded("n"), _called("too_large", ast.Constant(function)))


# ------------------------------------------------------------ polynomials


class _Term(NamedTuple):
    """A term of a sum: its sign, the degree of its power of x, and its coefficient, 1 if None."""

    sign: int
    degree: int
    number: ast.expr | None


def expansion(node: ast.expr) -> Expand:
    """What gives the polynomial in the unknown that a checked tree is; it raises as numbers do."""
    terms = _terms_of(node)
    return _worked_out(node) if terms is None else _sum_of_terms(terms)


def _sum_of_terms(terms: Sequence[_Term]) -> Expand:
    numbers = [term.number or ast.Constant(1) for term in terms]
    values = _run(ast.Tuple([*map(_code, numbers)], ast.Load()))
    size = 1 + max(term.degree for term in terms)
    places = [(term.sign, term.degree) for term in terms]

    def expanded(env: Env) -> Poly:
        coefficients = [0] * size
        for (sign, degree), n in zip(places, values(env), strict=True):
            coefficients[degree] += sign * n
        return polynomials.trimmed(tuple(coefficients))

    return expanded


def _worked_out(node: ast.expr) -> Expand:
    """The polynomial that a product, a power or a sum of such things is."""
    match node:
        case ast.UnaryOp(op=op, operand=a):
            f, sign = expansion(a), PREFIXES[type(op)](1)
            return lambda env: polynomials.scaled(f(env), sign)
        case ast.BinOp(left=a, op=ast.Pow(), right=b):
            f, e = expansion(a), evaluation(b)
            return lambda env: _power_of(f(env), e(env))
        case ast.BinOp(left=a, op=ast.Add(), right=b):
            f, g = expansion(a), expansion(b)
            return lambda env: polynomials.sum_of(f(env), g(env))
        case ast.BinOp(left=a, op=ast.Sub(), right=b):
            f, g = expansion(a), expansion(b)
            return lambda env: polynomials.sum_of(f(env), polynomials.scaled(g(env), -1))
        case ast.BinOp(left=a, op=ast.Mult(), right=b):
            f, g = expansion(a), expansion(b)
            return lambda env: _product_of(f(env), g(env))
    raise AssertionError(f"{type(node).__name__} passed the whitelist")


def _terms_of(node: ast.expr, sign: int = 1) -> list[_Term] | None:
    """The terms of a sum, in their order; None where a part is none."""
    match node:
        case ast.UnaryOp(op=ast.USub(), operand=a) if _has_unknown(a):
            return _terms_of(a, -sign)
        case ast.BinOp(left=a, op=ast.Add() | ast.Sub() as op, right=b) if _has_unknown(node):
            first = _terms_of(a, sign)
            others = _terms_of(b, sign if isinstance(op, ast.Add) else -sign)
            return None if first is None or others is None else first + others
        case ast.BinOp(left=a, op=ast.Mult(), right=b) if _has_unknown(b) and not _has_unknown(a):
            found = _power_of_unknown(b)
            return None if found is None else [_Term(sign, found, a)]
    if not _has_unknown(node):
        return [_Term(sign, 0, node)]
    found = _power_of_unknown(node)
    return None if found is None else [_Term(sign, found, None)]


def _power_of_unknown(node: ast.expr) -> int | None:
    """n where a tree is x^n; None where it is something else."""
    match node:
        case ast.Name(id=name) if name == UNKNOWN:
            return 1
        case ast.BinOp(left=ast.Name(id=name), op=ast.Pow(), right=ast.Constant(value=int(n))):
            return n if name == UNKNOWN and 0 <= n <= _MOST_DEGREE else None
    return None


def _has_unknown(node: ast.expr) -> bool:
    return any(isinstance(part, ast.Name) and part.id == UNKNOWN for part in ast.walk(node))


def polynomial_of(node: ast.expr, env: Env) -> Poly:
    """The polynomial in the unknown that a checked tree is, which is evaluated once."""
    return expansion(node)(env)


def _power_of(f: Poly, e: int) -> Poly:
    """f^e, whose degree is bounded before it is computed."""
    if len(f) < 2:
        return polynomials.trimmed((power(sum(f), e),))
    if e < 0:
        raise Undefined(worded("an exponent is at least 0, got {error}", error=e))
    _check_degree((len(f) - 1) * e)
    result: Poly = (1,)
    for _ in range(e):
        result = _product_of(result, f)
    return result


def _product_of(f: Poly, g: Poly) -> Poly:
    _check_degree(len(f) + len(g) - 2)
    return tuple(within(c, MOST_BITS, _A_COEFFICIENT) for c in polynomials.product(f, g))


def _check_degree(n: int) -> None:
    if n > _MOST_DEGREE:
        raise TooLarge(worded("a degree is beyond {most_degree}", most_degree=_MOST_DEGREE))
