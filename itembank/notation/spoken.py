"""The tree in words, as a person would read it aloud to someone who cannot see it.

"x squared plus 9 x plus 5 is congruent to 0, modulo 117": the sign ≡ is never
"identical to", which is what software says of it unasked.  What could be heard
two ways is closed in words: brackets are spoken, and an exponent that is more
than an integer opens with "to the power of" and ends in "end power".

`read` turns the words of a polynomial congruence back into its tree, so that
the spoken form can be checked against what is printed.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache, lru_cache

from itembank.languages import words as speech
from itembank.languages.words import _, ngettext
from itembank.notation import layout
from itembank.notation.plain import spaced
from itembank.notation.reading import formula
from itembank.notation.tree import (
    Block,
    Blocks,
    Call,
    Display,
    Dots,
    Factorial,
    Formula,
    Group,
    Inlines,
    Letter,
    Listing,
    Math,
    Minus,
    Modulo,
    Number,
    Paragraph,
    PlusMinus,
    Power,
    Product,
    Quotient,
    Relation,
    SetOf,
    Strong,
    Subscript,
    Sum,
    Symbol,
    Table,
    Words,
)


def math(node: Math) -> str:
    """The formula in words, in the language spoken.

    >>> math(formula("x^2 = 2 mod 7"))
    'x squared is congruent to 2, modulo 7'
    """
    return said(node, speech.language)


@lru_cache(maxsize=2048)
def said(node: Math, language: str) -> str:
    """The formula in words; `language` is the one spoken, and part of the key."""
    return say(node)


def say(node: Math) -> str:
    return WORDS[type(node)](node)


@cache
def phrases(language: str) -> Mapping[str, str]:
    """What is said for each sign and construction, in the language spoken."""
    return {
        "negative": _("negative {n}"),
        "minus": _("minus {a}"),
        "plus or minus": _("plus or minus {a}"),
        "a plus b": _("{a} plus {b}"),
        "a minus b": _("{a} minus {b}"),
        "a plus or minus b": _("{a} plus or minus {b}"),
        "times": _("{a} times {b}"),
        "over": _("{a} over {b}"),
        "symbol": _("the symbol {a} over {b}"),
        "squared": _("{a} squared"),
        "cubed": _("{a} cubed"),
        "power": _("{a} to the power {n}"),
        "long power": _("{a} to the power of {k}, end power"),
        "sub": _("{a} sub {n}"),
        "factorial": _("{a} factorial"),
        "brackets": _("open bracket {a} close bracket"),
        "prime": _("{f} prime"),
        "double prime": _("{f} double prime"),
        "triple prime": _("{f} triple prime"),
        "primes": _("{f} with {n} primes"),
        "call": _("{f} of {a}"),
        "last": _("{a} and {b}"),
        "one of": _("{a} or {b}"),
        "and so on": _("and so on"),
        "and so on up to": _("{a}, and so on up to {b}"),
        "no solutions": _("no solutions"),
        "the set": _("the set {a}"),
        "modulo": _("{a}, modulo {m}"),
        "and which": _("{a}, which {b}"),
        "φ": _("phi"),
        "φ of": _("Euler phi"),
        "λ": _("lambda"),
        "λ of": _("Carmichael lambda"),
        "gcd": _("g c d"),
        "lcm": _("l c m"),
        "ind": _("index"),
        "ord": _("order"),
        "=": _("equals {b}"),
        "≠": _("is not equal to {b}"),
        "≡": _("is congruent to {b}"),
        "≢": _("is not congruent to {b}"),
        "<": _("is less than {b}"),
        "≤": _("is at most {b}"),
        ">": _("is greater than {b}"),
        "≥": _("is at least {b}"),
        "∣": _("divides {b}"),
        "∤": _("does not divide {b}"),
        "∈": _("is in {b}"),
    }


def phrase(key: str, **parts: object) -> str:
    return phrases(speech.language)[key].format(**parts)


# -------------------------------------------------------------- mathematics


def number(node: Number) -> str:
    return str(node.value) if node.value >= 0 else phrase("negative", n=-node.value)


def letter(node: Letter) -> str:
    name = phrase(node.name) if node.name in {"φ", "λ"} else node.name
    return primed(name, node.primes)


def primed(name: str, primes: int) -> str:
    if primes == 0:
        return name
    known = {1: "prime", 2: "double prime", 3: "triple prime"}
    return phrase(known.get(primes, "primes"), f=name, n=primes)


def sum_(node: Sum) -> str:
    (sign, first), *rest = layout.terms(node)
    text = say(first) if sign == 1 else opposite(first)
    for sign, term in rest:
        if type(term) is PlusMinus:
            text = phrase("a plus or minus b", a=text, b=say(layout.bare(term.term)))
        else:
            text = phrase("a plus b" if sign == 1 else "a minus b", a=text, b=say(term))
    return text


def opposite(term: Math) -> str:
    """A term with a minus before it: "negative 3", but "minus x"."""
    if type(term) is Number:
        return phrase("negative", n=term.value)
    return phrase("minus", a=say(term))


def minus(node: Minus) -> str:
    return opposite(layout.bare(node.term))


def plus_minus(node: PlusMinus) -> str:
    return phrase("plus or minus", a=say(layout.bare(node.term)))


def product(node: Product) -> str:
    factors, dot = layout.factors(node)
    if not dot:
        return " ".join(map(say, factors))
    text = say(factors[0])
    for factor in factors[1:]:
        text = phrase("times", a=text, b=say(factor))
    return text


def quotient(node: Quotient) -> str:
    return phrase("over", a=say(layout.numerator(node)), b=say(layout.denominator(node)))


def symbol(node: Symbol) -> str:
    return phrase("symbol", a=argument(node.top), b=argument(node.bottom))


def power(node: Power) -> str:
    base, k = layout.base(node), node.exponent
    a = say(Group(base) if type(base) is Call else base)  # "f of x squared" could be f(x^2)
    if type(k) is not Number:
        return phrase("long power", a=a, k=say(k))
    if k.value in {2, 3}:
        return phrase("squared" if k.value == 2 else "cubed", a=a)
    return phrase("power", a=a, n=number(k))


def subscript(node: Subscript) -> str:
    return phrase("sub", a=say(layout.closed(node.base)), n=argument(node.index))


def factorial(node: Factorial) -> str:
    return phrase("factorial", a=say(layout.closed(node.term)))


def group(node: Group) -> str:
    return phrase("brackets", a=say(node.inside))


def call(node: Call) -> str:
    arguments = [argument(a) for a in node.arguments]
    return phrase("call", f=function(node.function), a=enumerated(arguments))


def function(node: Letter) -> str:
    known = {"φ": "φ of", "λ": "λ of", "gcd": "gcd", "lcm": "lcm", "ind": "ind", "ord": "ord"}
    name = phrase(known[node.name]) if node.name in known else node.name
    return primed(name, node.primes)


def argument(node: Math) -> str:
    """What a function is of: in brackets unless it is one number or one letter."""
    return say(node if type(node) in {Number, Dots} else layout.closed(node))


def listing(node: Listing) -> str:
    return enumeration(node.items)


def enumeration(items: Sequence[Math], link: str = "last") -> str:
    """Items with commas, and the link before the last; dots are "and so on up to"."""
    at = next((i for i, item in enumerate(items) if type(item) is Dots), None)
    if at is None or at == 0:
        return enumerated(list(map(say, items)), link)
    before = ", ".join(map(say, items[:at]))
    if at == len(items) - 1:
        return f"{before}, {phrase('and so on')}"
    return phrase("and so on up to", a=before, b=enumeration(items[at + 1 :], link))


def enumerated(texts: Sequence[str], link: str = "last") -> str:
    *most, last = texts
    return phrase(link, a=", ".join(most), b=last) if most else last


def dots(node: Dots) -> str:
    return phrase("and so on")


def set_of(node: SetOf) -> str:
    return phrase("the set", a=enumeration(node.items)) if node.items else phrase("no solutions")


def relation(node: Relation) -> str:
    """A chain: "a equals b, which is congruent to c"; one thing is 1, 2 or 5, not all of them."""
    text = say(node.sides[0])
    several = isinstance(node.sides[0], Listing)
    for i, (sign, side) in enumerate(zip(node.signs, node.sides[1:], strict=True)):
        among = side.items if isinstance(side, Listing) and not several else ()
        link = phrase(sign, b=enumeration(among, "one of") if among else say(side))
        text = phrase("and which", a=text, b=link) if i else f"{text} {link}".lstrip()
    return text


def modulo(node: Modulo) -> str:
    return phrase("modulo", a=say(node.inside), m=say(node.modulus))


def words(node: Words) -> str:
    return spaced([part if isinstance(part, str) else say(part) for part in node.parts])


WORDS: dict[type, Callable[..., str]] = {
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

# -------------------------------------------------------------- prose


def inlines(content: Inlines) -> str:
    """A line of prose with its formulas in words."""
    return "".join(
        math(part.math)
        if isinstance(part, Formula)
        else part.text
        if isinstance(part, Strong)
        else part
        for part in content
    )


def blocks(blocks: Blocks) -> str:
    """Prose as one running text: a colon leads from a sentence to its display.

    >>> from itembank.notation.prose import display, paragraph
    >>> blocks((paragraph("Find all solutions of"), display("x^2 = 2 mod 7")))
    'Find all solutions of: x squared is congruent to 2, modulo 7.'
    """
    text = ""
    for block in blocks:
        if text and text[-1] not in ".:;?!":
            text += ":" if isinstance(block, Display) else "."
        text += " " * bool(text) + spoken_block(block)
    return text


def spoken_block(block: Block) -> str:
    match block:
        case Paragraph(content, lead):
            return " ".join(filter(None, (lead, inlines(content))))
        case Display(rows):
            return display(rows)
        case Table():
            return table(block)


def display(rows: Sequence[Math]) -> str:
    """One sentence; a row that begins with its sign goes on with the row before."""
    text = ""
    for row in rows:
        if not text:
            text = math(row)
        elif layout.continues(row):
            text = phrase("and which", a=text, b=math(row))
        else:
            text = f"{text}; {math(row)}"
    return text if text.endswith(".") else text + "."


def table(block: Table) -> str:
    """The size, then each row with the head of the column before each cell."""
    n = len(block.rows)
    head = [inlines(cell) for cell in block.head]
    lines = [ngettext("Table of {n} row.", "Table of {n} rows.", n).format(n=n)]
    for i, row in enumerate(block.rows, 1):
        cells = zip(head, map(inlines, row), strict=True)
        text = "; ".join(_("{head}: {cell}").format(head=h, cell=c) if h else c for h, c in cells)
        lines.append(_("Row {i}: {cells}.").format(i=i, cells=text))
    return " ".join(lines)


# -------------------------------------------------------------- back from words

# Longer phrases first.  English alone: the check is of the tree, not of a translation.
SIGNS = (
    (", which ", " "),
    ("is not congruent to", "≢"),
    ("is congruent to", "≡"),
    ("is not equal to", "≠"),
    ("equals", "="),
    ("plus or minus", "±"),
    ("plus", "+"),
    ("minus", "-"),
    ("negative", "-"),
    ("times", "·"),
    ("over", "/"),
    (", modulo", " mod"),
    ("to the power of", "^("),
    (", end power", ")"),
    ("to the power", "^"),
    ("squared", "^2"),
    ("cubed", "^3"),
    ("of open bracket", "("),
    ("open bracket", "("),
    ("close bracket", ")"),
    ("triple prime", "'''"),
    ("double prime", "''"),
    ("prime", "'"),
    ("factorial", "!"),
    (" sub ", "_"),
    (" and ", ", "),
    (" or ", ", "),
)
SPOKEN = re.compile("|".join(re.escape(words) for words, _sign in SIGNS))
SIGN_OF = dict(SIGNS)
ARGUMENT = re.compile(r"(?<!power )\bof (negative \d+|\d+|[a-zA-Z])\b")


def read(text: str) -> Math:
    """The tree of a polynomial congruence from its words in English.

    Reads sums, products, powers, brackets, values such as "f prime of 2", and chains of
    relations between them, with a list of numbers on either side.  Raises StatementError.

    >>> read("x squared is congruent to 2, modulo 7") == formula("x^2 = 2 mod 7")
    True
    """
    text = ARGUMENT.sub(r"(\1)", text)
    return formula(SPOKEN.sub(lambda match: SIGN_OF[match[0]], text))
