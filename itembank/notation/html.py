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

SHORT = 4
"""The most terms or factors that are kept on one line."""

Parts: TypeAlias = list[Child]


def nodes(node: Math, e: Maker) -> Parts:
    """The formula as text and elements; neighbouring texts are joined, and so are letters."""
    return joined(parts(node, e), e)


def joined(parts: Iterable[Child], e: Maker) -> Parts:
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


def parts(node: Math, e: Maker) -> Parts:
    return HTML[type(node)](node, e)


def between(nodes: Sequence[Math], joint: str, e: Maker) -> Parts:
    """The nodes with the joint between them."""
    content = parts(nodes[0], e)
    for node in nodes[1:]:
        content += [joint, *parts(node, e)]
    return content


def soft(n: int) -> str:
    """The space before a sign in a sum or product of n parts."""
    return NBSP if n <= SHORT else " "


# -------------------------------------------------------------- atoms


def number(node: Number, e: Maker) -> Parts:
    return [str(node.value) if node.value >= 0 else f"{MINUS}{-node.value}"]


def letter(node: Letter, e: Maker) -> Parts:
    name = e("i", node.name) if len(node.name) == 1 else node.name
    return [name, "\N{PRIME}" * node.primes]


def subscript(node: Subscript, e: Maker) -> Parts:
    return [*parts(layout.closed(node.base), e), e("sub", *nodes(node.index, e))]


def group(node: Group, e: Maker) -> Parts:
    return ["(", *parts(node.inside, e), ")"]


def call(node: Call, e: Maker) -> Parts:
    return [*parts(node.function, e), "(", *between(node.arguments, ", ", e), ")"]


def symbol(node: Symbol, e: Maker) -> Parts:
    bottom = layout.denominator(Quotient(node.top, node.bottom))
    return ["(", *parts(layout.top(node), e), "/", *parts(bottom, e), ")"]


def dots(node: Dots, e: Maker) -> Parts:
    return ["…"]


def set_of(node: SetOf, e: Maker) -> Parts:
    return ["{", *between(node.items, ", ", e), "}"] if node.items else ["∅"]


# -------------------------------------------------------------- sums and products


def sum_(node: Sum, e: Maker) -> Parts:
    (sign, first), *rest = layout.terms(node)
    content = parts(first, e) if sign == 1 else [MINUS, *parts(first, e)]
    space = soft(len(node.terms))
    for sign, term in rest:
        if type(term) is PlusMinus:
            content += [f"{space}±{NBSP}", *parts(layout.bare(term.term), e)]
        else:
            content += [f"{space}{'+' if sign == 1 else MINUS}{NBSP}", *parts(term, e)]
    return content


def minus(node: Minus, e: Maker) -> Parts:
    return [MINUS, *parts(layout.bare(node.term), e)]


def plus_minus(node: PlusMinus, e: Maker) -> Parts:
    return ["±", *parts(layout.bare(node.term), e)]


def product(node: Product, e: Maker) -> Parts:
    factors, dot = layout.factors(node)
    if dot:
        return between(factors, f"{soft(len(factors))}·{NBSP}", e)
    return between(factors, NBSP if any(map(layout.named, factors)) else "", e)


def quotient(node: Quotient, e: Maker) -> Parts:
    return [*parts(layout.numerator(node), e), "/", *parts(layout.denominator(node), e)]


def power(node: Power, e: Maker) -> Parts:
    return [*parts(layout.base(node), e), e("sup", *nodes(node.exponent, e))]


def factorial(node: Factorial, e: Maker) -> Parts:
    return [*parts(layout.closed(node.term), e), "!"]


# -------------------------------------------------------------- relations


def listing(node: Listing, e: Maker) -> Parts:
    return between(node.items, ", ", e)


def relation(node: Relation, e: Maker) -> Parts:
    first, *others = node.sides
    content = [] if first == layout.NOTHING else parts(first, e)
    space = "" if not content else NBSP if len(plain.math(first)) <= plain.BESIDE else " "
    for sign, side in zip(node.signs, others, strict=True):
        content += [f"{space}{sign}{NBSP}", *parts(side, e)]
        space = " "
    return content


def modulo(node: Modulo, e: Maker) -> Parts:
    return [*parts(node.inside, e), f" (mod{NBSP}", *parts(node.modulus, e), ")"]


def words(node: Words, e: Maker) -> Parts:
    content: Parts = []
    for part in node.parts:
        if content and not (isinstance(part, str) and part[:1] in PUNCTUATION):
            content.append(" ")
        content += [part] if isinstance(part, str) else parts(part, e)
    return content


HTML: dict[type, Callable[..., Parts]] = {
    Number: number,
    Letter: letter,
    Sum: sum_,
    Minus: minus,
    PlusMinus: plus_minus,
    Product: product,
    Quotient: quotient,
    Power: power,
    Subscript: subscript,
    Factorial: factorial,
    Group: group,
    Call: call,
    Symbol: symbol,
    Listing: listing,
    Dots: dots,
    SetOf: set_of,
    Relation: relation,
    Modulo: modulo,
    Words: words,
}
