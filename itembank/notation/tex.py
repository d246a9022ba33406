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

SIGNS = {
    "≠": r"\ne", "≡": r"\equiv", "≢": r"\not\equiv", "≤": r"\le", "≥": r"\ge",
    "∣": r"\mid", "∤": r"\nmid", "∈": r"\in",
}  # fmt: skip
NAMES = {
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
ESCAPES = str.maketrans(SPECIAL)
ENDS_IN_A_COMMAND = re.compile(r"\\[A-Za-z]+$")


def math(node: Math) -> str:
    r"""The formula in TeX's mathematics mode, without delimiters.

    >>> math(Modulo(Relation((Letter("x"), Number(-2)), ("≡",)), Number(7)))
    'x \\equiv -2 \\pmod{7}'
    """
    return TEX[type(node)](node)


# -------------------------------------------------------------- mathematics


def number(node: Number) -> str:
    return str(node.value)


def letter(node: Letter) -> str:
    return NAMES.get(node.name, node.name) + "'" * node.primes


def commas(nodes: Sequence[Math]) -> str:
    return ", ".join(map(math, nodes))


def wide_commas(nodes: Sequence[Math]) -> str:
    """As `commas`, with more space: 88, 101 are two numbers, and no thousands."""
    return r",\; ".join(map(math, nodes))


def sum_(node: Sum) -> str:
    (sign, first), *rest = layout.terms(node)
    text = math(first) if sign == 1 else "-" + math(first)
    for sign, term in rest:
        if type(term) is PlusMinus:
            text += rf" \pm {math(layout.bare(term.term))}"
        else:
            text += f" {'+' if sign == 1 else '-'} {math(term)}"
    return text


def minus(node: Minus) -> str:
    return "-" + math(layout.bare(node.term))


def plus_minus(node: PlusMinus) -> str:
    return rf"\pm {math(layout.bare(node.term))}"


def product(node: Product) -> str:
    factors, dot = layout.factors(node)
    texts = list(map(math, factors))
    return r" \cdot ".join(texts) if dot else side_by_side(texts)


def side_by_side(texts: Sequence[str]) -> str:
    r"""Texts one after another; a command does not run on into a letter: `\varphi x`."""
    written = texts[0]
    for left, right in pairwise(texts):
        written += " " * bool(ENDS_IN_A_COMMAND.search(left) and right[0].isalpha()) + right
    return written


def quotient(node: Quotient) -> str:
    return f"{math(layout.numerator(node))}/{math(layout.denominator(node))}"


def power(node: Power) -> str:
    return f"{math(layout.base(node))}^{braced(node.exponent)}"


def subscript(node: Subscript) -> str:
    return f"{math(layout.closed(node.base))}_{braced(node.index)}"


def braced(node: Math) -> str:
    text = math(node)
    return text if len(text) == 1 else f"{{{text}}}"


def factorial(node: Factorial) -> str:
    return math(layout.closed(node.term)) + "!"


def group(node: Group) -> str:
    return f"({math(node.inside)})"


def call(node: Call) -> str:
    return f"{math(node.function)}({commas(node.arguments)})"


def symbol(node: Symbol) -> str:
    return rf"\left(\frac{{{math(node.top)}}}{{{math(node.bottom)}}}\right)"


def listing(node: Listing) -> str:
    return wide_commas(node.items)


def dots(node: Dots) -> str:
    return r"\dots"


def set_of(node: SetOf) -> str:
    return rf"\{{{wide_commas(node.items)}\}}" if node.items else r"\emptyset"


def relation(node: Relation) -> str:
    text = math(node.sides[0])
    for sign, side in zip(node.signs, node.sides[1:], strict=True):
        text += f" {SIGNS.get(sign, sign)} {math(side)}"
    return text.lstrip()


def modulo(node: Modulo) -> str:
    return rf"{math(node.inside)} \pmod{{{math(node.modulus)}}}"


def words(node: Words) -> str:
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


TEX: dict[type, Callable[..., str]] = {
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

# -------------------------------------------------------------- words and rows


def escaped(text: str) -> str:
    """Prose with the characters that TeX takes as its own made plain."""
    return text.translate(ESCAPES)


def aligned_row(row: Math) -> str:
    left, rest = layout.halves(row)
    return f"{math(left)} &{math(rest)}".lstrip() if rest else f"&{math(left)}"
