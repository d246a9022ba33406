r"""The tree in TeX: formulas for \( \); `latex` sets prose and formulas as a document.

Formulas use amsmath (`\pmod`, `\operatorname`, `aligned`) and, for ∤ alone,
`\nmid` of amssymb; TeX renderers in browsers know all of these.  A quotient
stays on one line, as in the other dialects.
"""

import re
from collections.abc import Callable, Sequence
from itertools import pairwise

from itembank.notation import layout
from itembank.notation.plain import PUNCTUATION
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

_SIGNS = {
    "≠": r"\ne", "≡": r"\equiv", "≢": r"\not\equiv", "≤": r"\le", "≥": r"\ge",
    "∣": r"\mid", "∤": r"\nmid", "∈": r"\in",
}  # fmt: skip
_NAMES = {
    "φ": r"\varphi",
    "λ": r"\lambda",
    "gcd": r"\gcd",
    "lcm": r"\operatorname{lcm}",
    "ind": r"\operatorname{ind}",
    "ord": r"\operatorname{ord}",
}
SPECIAL = {
    "\\": r"\textbackslash{}", "~": r"\textasciitilde{}", "^": r"\textasciicircum{}",
    **{character: "\\" + character for character in "&%$#_{}"},
}  # fmt: skip
_ESCAPES = str.maketrans(SPECIAL)
_ENDS_IN_A_COMMAND = re.compile(r"\\[A-Za-z]+$")


def math(node: Math) -> str:
    r"""The formula in TeX's mathematics mode, without delimiters.

    >>> math(Modulo(Relation((Letter("x"), Number(-2)), ("≡",)), Number(7)))
    'x \\equiv -2 \\pmod{7}'
    """
    return _TEX[type(node)](node)


# -------------------------------------------------------------- mathematics


def _number(node: Number) -> str:
    return str(node.value)


def _letter(node: Letter) -> str:
    return _NAMES.get(node.name, node.name) + "'" * node.primes


def _commas(nodes: Sequence[Math]) -> str:
    return ", ".join(map(math, nodes))


def _wide_commas(nodes: Sequence[Math]) -> str:
    """As `_commas`, with more space: 88, 101 are two numbers, and no thousands."""
    return r",\; ".join(map(math, nodes))


def _sum_(node: Sum) -> str:
    (sign, first), *rest = layout.terms(node)
    text = math(first) if sign == 1 else "-" + math(first)
    for sign, term in rest:
        if type(term) is PlusMinus:
            text += rf" \pm {math(layout.bare(term.term))}"
        else:
            text += f" {'+' if sign == 1 else '-'} {math(term)}"
    return text


def _minus(node: Minus) -> str:
    return "-" + math(layout.bare(node.term))


def _plus_minus(node: PlusMinus) -> str:
    return rf"\pm {math(layout.bare(node.term))}"


def _product(node: Product) -> str:
    factors, dot = layout.factors(node)
    texts = list(map(math, factors))
    return r" \cdot ".join(texts) if dot else _side_by_side(texts)


def _side_by_side(texts: Sequence[str]) -> str:
    r"""Texts one after another; a command does not run on into a letter: `\varphi x`."""
    written = texts[0]
    for left, right in pairwise(texts):
        written += " " * bool(_ENDS_IN_A_COMMAND.search(left) and right[0].isalpha()) + right
    return written


def _quotient(node: Quotient) -> str:
    return f"{math(layout.numerator(node))}/{math(layout.denominator(node))}"


def _power(node: Power) -> str:
    return f"{math(layout.base(node))}^{_braced(node.exponent)}"


def _subscript(node: Subscript) -> str:
    return f"{math(layout.closed(node.base))}_{_braced(node.index)}"


def _braced(node: Math) -> str:
    text = math(node)
    return text if len(text) == 1 else f"{{{text}}}"


def _factorial(node: Factorial) -> str:
    return math(layout.closed(node.term)) + "!"


def _group(node: Group) -> str:
    return f"({math(node.inside)})"


def _call(node: Call) -> str:
    return f"{math(node.function)}({_commas(node.arguments)})"


def _symbol(node: Symbol) -> str:
    return rf"\left(\frac{{{math(node.top)}}}{{{math(node.bottom)}}}\right)"


def _listing(node: Listing) -> str:
    return _wide_commas(node.items)


def _dots(node: Dots) -> str:
    return r"\dots"


def _set_of(node: SetOf) -> str:
    return rf"\{{{_wide_commas(node.items)}\}}" if node.items else r"\emptyset"


def _relation(node: Relation) -> str:
    text = math(node.sides[0])
    for sign, side in zip(node.signs, node.sides[1:], strict=True):
        text += f" {_SIGNS.get(sign, sign)} {math(side)}"
    return text.lstrip()


def _modulo(node: Modulo) -> str:
    return rf"{math(node.inside)} \pmod{{{math(node.modulus)}}}"


def _words(node: Words) -> str:
    r"""Words in \text, with a space on either side but none before punctuation."""
    text = ""
    for i, part in enumerate(node.parts):
        if not isinstance(part, str):
            text += math(part)
            continue
        before = " " if i and part[:1] not in PUNCTUATION else ""
        after = " " if i + 1 < len(node.parts) else ""
        text += rf"\text{{{before}{escaped(part)}{after}}}"
    return text


_TEX: dict[type, Callable[..., str]] = {
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

# -------------------------------------------------------------- words and rows


def escaped(text: str) -> str:
    """Prose with the characters that TeX takes as its own made plain."""
    return text.translate(_ESCAPES)


def aligned_row(row: Math) -> str:
    left, rest = layout.halves(row)
    return f"{math(left)} &{math(rest)}".lstrip() if rest else f"&{math(left)}"
