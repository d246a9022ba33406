"""The tree as presentation MathML, with the spoken form as its `alttext`.

Only elements and attributes that MathML 2 and 3 share are written (QTI 2.x takes
version 2, QTI 3.0 version 3), with the namespace as the default on `math`:
browsers' readers do not draw a prefixed one.  Factors side by side are joined by
U+2062 and a function and its arguments by U+2061, as the MathML recommendation
asks, so that software which speaks the markup need not guess.

A quotient stays on one line, as in the other dialects; a Legendre or Jacobi
symbol is set over and under, as in print.
"""

from collections.abc import Callable, Iterable
from functools import lru_cache

from itembank.languages.catalogue import ENGLISH
from itembank.notation import layout, spoken
from itembank.notation.elements import Child, Element, Maker, Markup, written
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

NS = "http://www.w3.org/1998/Math/MathML"
APPLY, TIMES = "\N{FUNCTION APPLICATION}", "\N{INVISIBLE TIMES}"
PRIMES = {1: "\N{PRIME}", 2: "\N{DOUBLE PRIME}", 3: "\N{TRIPLE PRIME}"}

m = Maker(NS)


def math(
    node: Math, display: bool = False, alttext: str | None = None, language: str = ENGLISH
) -> Element:
    """The `math` element; `alttext` is the spoken form in the language unless another is given."""
    attributes = {"display": "block"} if display else {}
    attributes["alttext"] = spoken.math(node, language) if alttext is None else alttext
    return m("math", attributes, markup(node))


def markup(node: Math) -> Child:
    """The formula as one element."""
    return MATHML[type(node)](node)


# -------------------------------------------------------------- elements


@lru_cache(maxsize=4096)
def leaf(tag: str, text: str = "", **attributes: str) -> Markup:
    """An element that holds text alone: most of a formula are such, few of them new."""
    content = (attributes, text) if text else (attributes,)
    return Markup(written([m(tag, *content)], NS))


def mi(name: str) -> Child:
    return leaf("mi", name)


def mn(digits: str) -> Child:
    return leaf("mn", digits)


def mo(sign: str) -> Child:
    return leaf("mo", sign)


def tight(sign: str, after: str = "0em") -> Child:
    """An operator with no space before it, and this much after it."""
    return leaf("mo", sign, lspace="0em", rspace=after)


def mspace(width: str) -> Child:
    return leaf("mspace", width=width)


def mrow(*children: Child) -> Child:
    """One element for several; for a single child, the child itself."""
    return children[0] if len(children) == 1 else m("mrow", *children)


def bracketed(opening: str, inside: Child, closing: str) -> Child:
    """Brackets of a line keep its height, whatever exponents stand between them."""
    return mrow(
        leaf("mo", opening, stretchy="false"), inside, leaf("mo", closing, stretchy="false")
    )


def commas(nodes: Iterable[Math], space: str = "0.2em") -> Child:
    """The nodes with a comma, and this much space, after each but the last."""
    children: list[Child] = []
    for node in nodes:
        children += [tight(",", space), markup(node)] if children else [markup(node)]
    return mrow(*children)


# -------------------------------------------------------------- atoms


def number(node: Number) -> Child:
    if node.value < 0:
        return mrow(mo(MINUS), mn(str(-node.value)))
    return mn(str(node.value))


def letter(node: Letter) -> Child:
    name = mi(node.name)
    if not node.primes:
        return name
    return m("msup", name, mo(PRIMES.get(node.primes, PRIMES[1] * node.primes)))


def subscript(node: Subscript) -> Child:
    return m("msub", markup(layout.closed(node.base)), markup(node.index))


def group(node: Group) -> Child:
    return bracketed("(", markup(node.inside), ")")


def call(node: Call) -> Child:
    arguments = bracketed("(", commas(node.arguments), ")")
    return mrow(markup(node.function), mo(APPLY), arguments)


def symbol(node: Symbol) -> Child:
    fraction = m("mfrac", markup(node.top), markup(node.bottom))
    return mrow(mo("("), fraction, mo(")"))


def dots(node: Dots) -> Child:
    return mi("…")


def set_of(node: SetOf) -> Child:
    return bracketed("{", commas(node.items, "0.4em"), "}") if node.items else mi("∅")


# -------------------------------------------------------------- sums and products


def sum_(node: Sum) -> Child:
    (sign, first), *rest = layout.terms(node)
    children = [markup(first)] if sign == 1 else [mo(MINUS), markup(first)]
    for sign, term in rest:
        if type(term) is PlusMinus:
            children += [mo("±"), markup(layout.bare(term.term))]
        else:
            children += [mo("+" if sign == 1 else MINUS), markup(term)]
    return mrow(*children)


def minus(node: Minus) -> Child:
    return mrow(mo(MINUS), markup(layout.bare(node.term)))


def plus_minus(node: PlusMinus) -> Child:
    return mrow(mo("±"), markup(layout.bare(node.term)))


def product(node: Product) -> Child:
    factors, dot = layout.factors(node)
    named = any(map(layout.named, factors))
    children = [markup(factors[0])]
    for factor in factors[1:]:
        joint = mo("·") if dot else tight(TIMES, "0.2em") if named else mo(TIMES)
        children += [joint, markup(factor)]
    return mrow(*children)


def quotient(node: Quotient) -> Child:
    num, den = layout.numerator(node), layout.denominator(node)
    return mrow(markup(num), tight("/"), markup(den))


def power(node: Power) -> Child:
    base, exponent = layout.base(node), markup(node.exponent)
    if type(base) is Subscript:
        return m("msubsup", markup(layout.closed(base.base)), markup(base.index), exponent)
    return m("msup", markup(base), exponent)


def factorial(node: Factorial) -> Child:
    return mrow(markup(layout.closed(node.term)), mo("!"))


# -------------------------------------------------------------- relations


def listing(node: Listing) -> Child:
    """With wide commas: 88, 101 are two numbers, and no thousands."""
    return commas(node.items, "0.4em")


def relation(node: Relation) -> Child:
    first, *others = node.sides
    children = [] if first == layout.NOTHING else [markup(first)]
    for sign, side in zip(node.signs, others, strict=True):
        children += [mo(sign), markup(side)]
    return mrow(*children)


def modulo(node: Modulo) -> Child:
    return mrow(
        markup(node.inside),
        mspace("0.6em"),
        bracketed("(", mrow(mi("mod"), mspace("0.3em"), markup(node.modulus)), ")"),
    )


def words(node: Words) -> Child:
    n = len(node.parts)
    return mrow(
        *(
            leaf("mtext", between(part, i, n)) if isinstance(part, str) else markup(part)
            for i, part in enumerate(node.parts)
        )
    )


def between(text: str, i: int, n: int) -> str:
    """The i-th of n parts with its spaces, hard ones, since ends of mtext are trimmed."""
    before = NBSP if i and text[:1] not in PUNCTUATION else ""
    return before + text + (NBSP if i + 1 < n else "")


MATHML: dict[type, Callable[..., Child]] = {
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
