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
_PRIMES = {1: "\N{PRIME}", 2: "\N{DOUBLE PRIME}", 3: "\N{TRIPLE PRIME}"}

_m = Maker(NS)


def math(
    node: Math, display: bool = False, alttext: str | None = None, language: str = ENGLISH
) -> Element:
    """The `math` element; `alttext` is the spoken form in the language unless another is given."""
    attributes = {"display": "block"} if display else {}
    attributes["alttext"] = spoken.math(node, language) if alttext is None else alttext
    return _m("math", attributes, markup(node))


def markup(node: Math) -> Child:
    """The formula as one element."""
    return _MATHML[type(node)](node)


# -------------------------------------------------------------- elements


@lru_cache(maxsize=4096)
def _leaf(tag: str, text: str = "", **attributes: str) -> Markup:
    """An element that holds text alone: most of a formula are such, few of them new."""
    content = (attributes, text) if text else (attributes,)
    return Markup(written([_m(tag, *content)], NS))


def _mi(name: str) -> Child:
    return _leaf("mi", name)


def _mn(digits: str) -> Child:
    return _leaf("mn", digits)


def _mo(sign: str) -> Child:
    return _leaf("mo", sign)


def _tight(sign: str, after: str = "0em") -> Child:
    """An operator with no space before it, and this much after it."""
    return _leaf("mo", sign, lspace="0em", rspace=after)


def _mspace(width: str) -> Child:
    return _leaf("mspace", width=width)


def _mrow(*children: Child) -> Child:
    """One element for several; for a single child, the child itself."""
    return children[0] if len(children) == 1 else _m("mrow", *children)


def _bracketed(opening: str, inside: Child, closing: str) -> Child:
    """Brackets of a line keep its height, whatever exponents stand between them."""
    return _mrow(
        _leaf("mo", opening, stretchy="false"), inside, _leaf("mo", closing, stretchy="false")
    )


def _commas(nodes: Iterable[Math], space: str = "0.2em") -> Child:
    """The nodes with a comma, and this much space, after each but the last."""
    children: list[Child] = []
    for node in nodes:
        children += [_tight(",", space), markup(node)] if children else [markup(node)]
    return _mrow(*children)


# -------------------------------------------------------------- atoms


def _number(node: Number) -> Child:
    if node.value < 0:
        return _mrow(_mo(MINUS), _mn(str(-node.value)))
    return _mn(str(node.value))


def _letter(node: Letter) -> Child:
    name = _mi(node.name)
    if not node.primes:
        return name
    return _m("msup", name, _mo(_PRIMES.get(node.primes, _PRIMES[1] * node.primes)))


def _subscript(node: Subscript) -> Child:
    return _m("msub", markup(layout.closed(node.base)), markup(node.index))


def _group(node: Group) -> Child:
    return _bracketed("(", markup(node.inside), ")")


def _call(node: Call) -> Child:
    arguments = _bracketed("(", _commas(node.arguments), ")")
    return _mrow(markup(node.function), _mo(APPLY), arguments)


def _symbol(node: Symbol) -> Child:
    fraction = _m("mfrac", markup(node.top), markup(node.bottom))
    return _mrow(_mo("("), fraction, _mo(")"))


def _dots(node: Dots) -> Child:
    return _mi("…")


def _set_of(node: SetOf) -> Child:
    return _bracketed("{", _commas(node.items, "0.4em"), "}") if node.items else _mi("∅")


# -------------------------------------------------------------- sums and products


def _sum_(node: Sum) -> Child:
    (sign, first), *rest = layout.terms(node)
    children = [markup(first)] if sign == 1 else [_mo(MINUS), markup(first)]
    for sign, term in rest:
        if type(term) is PlusMinus:
            children += [_mo("±"), markup(layout.bare(term.term))]
        else:
            children += [_mo("+" if sign == 1 else MINUS), markup(term)]
    return _mrow(*children)


def _minus(node: Minus) -> Child:
    return _mrow(_mo(MINUS), markup(layout.bare(node.term)))


def _plus_minus(node: PlusMinus) -> Child:
    return _mrow(_mo("±"), markup(layout.bare(node.term)))


def _product(node: Product) -> Child:
    factors, dot = layout.factors(node)
    named = any(map(layout.named, factors))
    children = [markup(factors[0])]
    for factor in factors[1:]:
        joint = _mo("·") if dot else _tight(TIMES, "0.2em") if named else _mo(TIMES)
        children += [joint, markup(factor)]
    return _mrow(*children)


def _quotient(node: Quotient) -> Child:
    num, den = layout.numerator(node), layout.denominator(node)
    return _mrow(markup(num), _tight("/"), markup(den))


def _power(node: Power) -> Child:
    base, exponent = layout.base(node), markup(node.exponent)
    if type(base) is Subscript:
        return _m("msubsup", markup(layout.closed(base.base)), markup(base.index), exponent)
    return _m("msup", markup(base), exponent)


def _factorial(node: Factorial) -> Child:
    return _mrow(markup(layout.closed(node.term)), _mo("!"))


# -------------------------------------------------------------- relations


def _listing(node: Listing) -> Child:
    """With wide commas: 88, 101 are two numbers, and no thousands."""
    return _commas(node.items, "0.4em")


def _relation(node: Relation) -> Child:
    first, *others = node.sides
    children = [] if first == layout.NOTHING else [markup(first)]
    for sign, side in zip(node.signs, others, strict=True):
        children += [_mo(sign), markup(side)]
    return _mrow(*children)


def _modulo(node: Modulo) -> Child:
    return _mrow(
        markup(node.inside),
        _mspace("0.6em"),
        _bracketed("(", _mrow(_mi("mod"), _mspace("0.3em"), markup(node.modulus)), ")"),
    )


def _words(node: Words) -> Child:
    n = len(node.parts)
    return _mrow(
        *(
            _leaf("mtext", _between(part, i, n)) if isinstance(part, str) else markup(part)
            for i, part in enumerate(node.parts)
        )
    )


def _between(text: str, i: int, n: int) -> str:
    """The i-th of n parts with its spaces, hard ones, since ends of mtext are trimmed."""
    before = NBSP if i and text[:1] not in PUNCTUATION else ""
    return before + text + (NBSP if i + 1 < n else "")


_MATHML: dict[type, Callable[..., Child]] = {
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
