"""The tree as text with `sup`, `sub` and `i`: mathematics that every browser sets.

It reads right with nothing but `sup` and `sub` ("x² + 9x + 5 ≡ 0 (mod 117)"): `i`
only slopes the letters, as print does, and says nothing that `em` would say
aloud.  A line may break before a relation sign (but not after a short left side),
before "(mod" and in a long sum; elsewhere the spaces are hard.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from itembank.notation import layout, plain
from itembank.notation.elements import Child, Maker
from itembank.notation.plain import MINUS, NBSP, PUNCTUATION
from itembank.notation.tree import (
    Call,
    Dots,
    Factorial,
    Group,
    Letter,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    SetOf,
    Subscript,
    Sum,
    Symbol,
    Words,
)

_SHORT = 4
"""The most terms or factors that are kept on one line."""

Parts: TypeAlias = list[Child]


def nodes(node: Math, e: Maker) -> Parts:
    """The formula as text and elements; neighbouring texts are joined, and so are letters."""
    return _joined(_parts(node, e), e)


def _joined(parts: Iterable[Child], e: Maker) -> Parts:
    found: Parts = []
    for part in parts:
        last = found[-1] if found else None
        if isinstance(part, str) and isinstance(last, str):
            found[-1] = last + part
        elif isinstance(part, tuple) and isinstance(last, tuple) and part[1] == last[1] == "i":
            found[-1] = e("i", *last[2], *part[2])
        elif part:
            found.append(part)
    return found


def _parts(node: Math, e: Maker) -> Parts:
    return _HTML[type(node)](node, e)


def _between(nodes: Sequence[Math], joint: str, e: Maker) -> Parts:
    """The nodes with the joint between them."""
    content = _parts(nodes[0], e)
    for node in nodes[1:]:
        content += [joint, *_parts(node, e)]
    return content


def _soft(n: int) -> str:
    """The space before a sign in a sum or product of n parts."""
    return NBSP if n <= _SHORT else " "


# -------------------------------------------------------------- atoms


def _number(node: Number, e: Maker) -> Parts:
    return [str(node.value) if node.value >= 0 else f"{MINUS}{-node.value}"]


def _letter(node: Letter, e: Maker) -> Parts:
    name = e("i", node.name) if len(node.name) == 1 else node.name
    return [name, "\N{PRIME}" * node.primes]


def _subscript(node: Subscript, e: Maker) -> Parts:
    return [*_parts(layout.closed(node.base), e), e("sub", *nodes(node.index, e))]


def _group(node: Group, e: Maker) -> Parts:
    return ["(", *_parts(node.inside, e), ")"]


def _call(node: Call, e: Maker) -> Parts:
    return [*_parts(node.function, e), "(", *_between(node.arguments, ", ", e), ")"]


def _symbol(node: Symbol, e: Maker) -> Parts:
    bottom = layout.denominator(Quotient(node.top, node.bottom))
    return ["(", *_parts(layout.top(node), e), "/", *_parts(bottom, e), ")"]


def _dots(node: Dots, e: Maker) -> Parts:
    return ["…"]


def _set_of(node: SetOf, e: Maker) -> Parts:
    return ["{", *_between(node.items, ", ", e), "}"] if node.items else ["∅"]


# -------------------------------------------------------------- sums and products


def _sum_(node: Sum, e: Maker) -> Parts:
    (sign, first), *rest = layout.terms(node)
    content = _parts(first, e) if sign == 1 else [MINUS, *_parts(first, e)]
    space = _soft(len(node.terms))
    for sign, term in rest:
        if type(term) is PlusMinus:
            content += [f"{space}±{NBSP}", *_parts(layout.bare(term.term), e)]
        else:
            content += [f"{space}{'+' if sign == 1 else MINUS}{NBSP}", *_parts(term, e)]
    return content


def _minus(node: Minus, e: Maker) -> Parts:
    return [MINUS, *_parts(layout.bare(node.term), e)]


def _plus_minus(node: PlusMinus, e: Maker) -> Parts:
    return ["±", *_parts(layout.bare(node.term), e)]


def _product(node: Product, e: Maker) -> Parts:
    factors, dot = layout.factors(node)
    if dot:
        return _between(factors, f"{_soft(len(factors))}·{NBSP}", e)
    return _between(factors, NBSP if any(map(layout.named, factors)) else "", e)


def _quotient(node: Quotient, e: Maker) -> Parts:
    return [*_parts(layout.numerator(node), e), "/", *_parts(layout.denominator(node), e)]


def _power(node: Power, e: Maker) -> Parts:
    return [*_parts(layout.base(node), e), e("sup", *nodes(node.exponent, e))]


def _factorial(node: Factorial, e: Maker) -> Parts:
    return [*_parts(layout.closed(node.term), e), "!"]


# -------------------------------------------------------------- relations


def _listing(node: Listing, e: Maker) -> Parts:
    return _between(node.items, ", ", e)


def _relation(node: Relation, e: Maker) -> Parts:
    first, *others = node.sides
    content = [] if first == layout.NOTHING else _parts(first, e)
    space = "" if not content else NBSP if len(plain.math(first)) <= plain.BESIDE else " "
    for sign, side in zip(node.signs, others, strict=True):
        content += [f"{space}{sign}{NBSP}", *_parts(side, e)]
        space = " "
    return content


def _modulo(node: Modulo, e: Maker) -> Parts:
    return [*_parts(node.inside, e), f" (mod{NBSP}", *_parts(node.modulus, e), ")"]


def _words(node: Words, e: Maker) -> Parts:
    content: Parts = []
    for part in node.parts:
        if content and not (isinstance(part, str) and part[:1] in PUNCTUATION):
            content.append(" ")
        content += [part] if isinstance(part, str) else _parts(part, e)
    return content


_HTML: dict[type, Callable[..., Parts]] = {
    Number: _number,
    Letter: _letter,
    Sum: _sum_,
    Minus: _minus,
    PlusMinus: _plus_minus,
    Product: _product,
    Quotient: _quotient,
    Power: _power,
    Subscript: _subscript,
    Factorial: _factorial,
    Group: _group,
    Call: _call,
    Symbol: _symbol,
    Listing: _listing,
    Dots: _dots,
    SetOf: _set_of,
    Relation: _relation,
    Modulo: _modulo,
    Words: _words,
}
