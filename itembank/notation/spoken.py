"""The tree in words, as a person would read it aloud to someone who cannot see it.

"x squared plus 9 x plus 5 is congruent to 0, modulo 117": the sign ≡ is never
"identical to", which is what software says of it unasked.  What could be heard
two ways is closed in words: brackets are spoken, and an exponent that is more
than an integer opens with "to the power of" and ends in "end power".

Each construction is one phrase with places for its parts, so that a language may
put them in any order; what holds the places is a tree, or what was read before.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from numbers import Rational
from typing import TYPE_CHECKING, cast

from itembank.languages.catalogue import (
    ENGLISH,
    in_halves,
    joints,
    last_joint,
    number_word,
    translated,
)
from itembank.languages.saying import Each, Either, Said, Slot, Spelled, counted, say
from itembank.notation import layout
from itembank.notation.plain import spaced
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

if TYPE_CHECKING:
    from fractions import Fraction

_REMEMBERED = 2048
"""How many formulas are kept as they were read: most stand several times in an item."""


@lru_cache(maxsize=_REMEMBERED)
def math(node: Math, language: str = ENGLISH) -> str:
    """The formula in words; LanguageError for a language without a catalogue.

    >>> from itembank.notation.reading import formula
    >>> math(formula("x^2 = 2 mod 7"))
    'x squared is congruent to 2, modulo 7'
    """
    return _aloud(node, language)


def _aloud(node: Math, language: str) -> str:
    return _WORDS[type(node)](node, language)


def _phrase(said: Said, language: str) -> str:
    """The phrase in the language, the trees in its places read aloud, texts as they are."""
    template = translated(language, said.template, said.plural, said.n)
    return template.format(**{name: _place(value, language) for name, value in said.slots})


def _place(value: Slot, language: str) -> str:
    match value:
        case int() | str():
            return str(value)
        case tuple():
            return _inlines(value, language)
        case Rational():
            return in_halves(language, cast("Fraction", value))
        case Spelled(n):
            return number_word(language, n)
        case Each(items):
            return _enumeration(items, language)
        case Either(items):
            return _enumeration(items, language, "or")
    return _aloud(value, language)


# -------------------------------------------------------------- lists


def _listed(texts: Sequence[str], language: str, style: str = "standard") -> str:
    """a, b and c; in the style "or" a, b or c."""
    *most, last = texts
    if not most:
        return last
    before = joints(language, style)[0].join(most)
    return f"{before}{last_joint(language, style, last)}{last}"


def _enumeration(items: Sequence[Math], language: str, style: str = "standard") -> str:
    """Items with the link before the last; dots are "and so on up to"."""
    texts = [_aloud(item, language) for item in items]
    at = next((i for i, item in enumerate(items) if type(item) is Dots), None)
    if at is None or at == 0:
        return _listed(texts, language, style)
    before = joints(language, style)[0].join(texts[:at])
    if at == len(items) - 1:
        return _phrase(say("{items}, and so on", items=before), language)
    last = _enumeration(items[at + 1 :], language, style)
    return _phrase(say("{items}, and so on up to {last}", items=before, last=last), language)


# -------------------------------------------------------------- mathematics


def _number(node: Number, language: str) -> str:
    return str(node.value) if node.value >= 0 else _negative(-node.value, language)


def _negative(n: int, language: str) -> str:
    return _phrase(say("negative {n}", n=n), language)


def _letter(node: Letter, language: str) -> str:
    named = _NAMES.get(node.name)
    name = _phrase(named, language) if named else node.name
    return _primed(name, node.primes, language)


_NAMES = {"φ": say("phi"), "λ": say("lambda"), "y": say("y")}
"""The letters that have a name of their own in some language: Spanish says "y" for and."""


def _primed(name: str, primes: int, language: str) -> str:
    match primes:
        case 0:
            return name
        case 1:
            said = say("{f} prime", f=name)
        case 2:
            said = say("{f} double prime", f=name)
        case 3:
            said = say("{f} triple prime", f=name)
        case _:
            said = counted("{f} with {n} prime", "{f} with {n} primes", primes, f=name)
    return _phrase(said, language)


def _sum_(node: Sum, language: str) -> str:
    (sign, first), *rest = layout.terms(node)
    text = _aloud(first, language) if sign == 1 else _opposite(first, language)
    for sign, term in rest:
        if type(term) is PlusMinus:
            said = say("{a} plus or minus {b}", a=text, b=layout.bare(term.term))
        elif sign == 1:
            said = say("{a} plus {b}", a=text, b=term)
        else:
            said = say("{a} minus {b}", a=text, b=term)
        text = _phrase(said, language)
    return text


def _opposite(term: Math, language: str) -> str:
    """A term with a minus before it: "negative 3", but "minus x"."""
    if type(term) is Number:
        return _negative(term.value, language)
    return _phrase(say("minus {a}", a=term), language)


def _minus(node: Minus, language: str) -> str:
    return _opposite(layout.bare(node.term), language)


def _plus_minus(node: PlusMinus, language: str) -> str:
    return _phrase(say("plus or minus {a}", a=layout.bare(node.term)), language)


def _product(node: Product, language: str) -> str:
    factors, dot = layout.factors(node)
    first, *others = (_aloud(factor, language) for factor in factors)
    if not dot:
        return " ".join((first, *others))
    for factor in others:
        first = _phrase(say("{a} times {b}", a=first, b=factor), language)
    return first


def _quotient(node: Quotient, language: str) -> str:
    top, bottom = layout.numerator(node), layout.denominator(node)
    return _phrase(say("{a} over {b}", a=top, b=bottom), language)


def _symbol(node: Symbol, language: str) -> str:
    top, bottom = _argument(node.top), _argument(node.bottom)
    return _phrase(say("the symbol {a} over {b}", a=top, b=bottom), language)


def _power(node: Power, language: str) -> str:
    base, k = layout.base(node), node.exponent
    if type(base) is Call:
        base = Group(base)  # "f of x squared" could be f(x^2)
    match k:
        case Number(2):
            said = say("{base} squared", base=base)
        case Number(3):
            said = say("{base} cubed", base=base)
        case Number():
            said = say("{base} to the power {n}", base=base, n=k)
        case _:
            said = say("{base} to the power of {k}, end power", base=base, k=k)
    return _phrase(said, language)


def _subscript(node: Subscript, language: str) -> str:
    base, index = layout.closed(node.base), _argument(node.index)
    return _phrase(say("{a} sub {n}", a=base, n=index), language)


def _factorial(node: Factorial, language: str) -> str:
    return _phrase(say("{a} factorial", a=layout.closed(node.term)), language)


def _group(node: Group, language: str) -> str:
    return _phrase(say("open bracket {a} close bracket", a=node.inside), language)


def _call(node: Call, language: str) -> str:
    texts = [_aloud(_argument(a), language) for a in node.arguments]
    known = _FUNCTIONS.get(node.function.name) if not node.function.primes else None
    said = known or _with_places(say("{f} of {list}"), f=_aloud(node.function, language))
    return _phrase(_with_places(said, list=_listed(texts, language)), language)


_FUNCTIONS = {
    "φ": say("Euler phi of {list}"),
    "λ": say("Carmichael lambda of {list}"),
    "gcd": say("g c d of {list}"),
    "lcm": say("l c m of {list}"),
    "ind": say("index of {list}"),
    "ord": say("order of {list}"),
}
"""The functions that have a name of their own, at what they are of."""


def _with_places(said: Said, **places: Slot) -> Said:
    """The phrase with more of its places held."""
    return replace(said, slots=(*said.slots, *places.items()))


def _argument(node: Math) -> Math:
    """What a function is of: in brackets unless it is one number or one letter."""
    return node if type(node) in {Number, Dots} else layout.closed(node)


def _listing(node: Listing, language: str) -> str:
    return _enumeration(node.items, language)


def _dots(_node: Dots, language: str) -> str:
    return _phrase(say("and so on"), language)


def _set_of(node: SetOf, language: str) -> str:
    if not node.items:
        return _phrase(say("no solutions"), language)
    return _phrase(say("the set {list}", list=Each(node.items)), language)


# -------------------------------------------------------------- relations

_RELATIONS = {
    "=": (
        say("{left} equals {right}"),
        say("{left}, which equals {right}"),
        say("equals {right}"),
    ),
    "≠": (
        say("{left} is not equal to {right}"),
        say("{left}, which is not equal to {right}"),
        say("is not equal to {right}"),
    ),
    "≡": (
        say("{left} is congruent to {right}"),
        say("{left}, which is congruent to {right}"),
        say("is congruent to {right}"),
    ),
    "≢": (
        say("{left} is not congruent to {right}"),
        say("{left}, which is not congruent to {right}"),
        say("is not congruent to {right}"),
    ),
    "<": (
        say("{left} is less than {right}"),
        say("{left}, which is less than {right}"),
        say("is less than {right}"),
    ),
    "≤": (
        say("{left} is at most {right}"),
        say("{left}, which is at most {right}"),
        say("is at most {right}"),
    ),
    ">": (
        say("{left} is greater than {right}"),
        say("{left}, which is greater than {right}"),
        say("is greater than {right}"),
    ),
    "≥": (
        say("{left} is at least {right}"),
        say("{left}, which is at least {right}"),
        say("is at least {right}"),
    ),
    "∣": (
        say("{left} divides {right}"),
        say("{left}, which divides {right}"),
        say("divides {right}"),
    ),
    "∤": (
        say("{left} does not divide {right}"),
        say("{left}, which does not divide {right}"),
        say("does not divide {right}"),
    ),
    "∈": (
        say("{left} is in {right}"),
        say("{left}, which is in {right}"),
        say("is in {right}"),
    ),
}
"""Each sign between two sides, going on from what was read, and with nothing before it."""


def _relation(node: Relation, language: str, before: str = "") -> str:
    """A chain: "a equals b, which is congruent to c"; one thing is 1, 2 or 5, not all of them.

    `before` is the row that a row without a left side goes on with.
    """
    first, *sides = node.sides
    several = isinstance(first, Listing)
    text = before or _aloud(first, language)
    going_on = bool(before)
    for sign, side in zip(node.signs, sides, strict=True):
        between, which, alone = _RELATIONS[sign]
        right = Either(side.items) if isinstance(side, Listing) and not several else side
        said = which if going_on else between if text else alone
        text = _phrase(_with_places(said, left=text, right=right), language)
        going_on = True
    return text


def _modulo(node: Modulo, language: str) -> str:
    return _in_modulus(_aloud(node.inside, language), node, language)


def _in_modulus(text: str, node: Modulo, language: str) -> str:
    return _phrase(say("{a}, modulo {m}", a=text, m=node.modulus), language)


def _words(node: Words, language: str) -> str:
    return spaced(_parts(node.parts, language))


def _parts(parts: Sequence[Math | str], language: str) -> list[str]:
    return [part if isinstance(part, str) else _aloud(part, language) for part in parts]


_WORDS: dict[type, Callable[..., str]] = {
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

# -------------------------------------------------------------- prose


def _inlines(content: Inlines, language: str = ENGLISH) -> str:
    """A line of prose with its formulas in words."""
    return "".join(
        math(part.math, language)
        if isinstance(part, Formula)
        else part.text
        if isinstance(part, Strong)
        else part
        for part in content
    )


def blocks(blocks: Blocks, language: str = ENGLISH) -> str:
    """Prose as one running text: a colon leads from a sentence to its display.

    >>> from itembank.notation.prose import display, paragraph
    >>> blocks((paragraph("Find all solutions of"), display("x^2 = 2 mod 7")))
    'Find all solutions of: x squared is congruent to 2, modulo 7.'
    """
    text = ""
    for block in blocks:
        if text and text[-1] not in ".:;?!":
            text += ":" if isinstance(block, Display) else "."
        text += " " * bool(text) + _spoken_block(block, language)
    return text


def _spoken_block(block: Block, language: str) -> str:
    match block:
        case Paragraph(content, lead):
            return " ".join(filter(None, (lead, _inlines(content, language))))
        case Display(rows):
            return _display(rows, language)
        case Table():
            return _table(block, language)


def _display(rows: Sequence[Math], language: str) -> str:
    """One sentence; a row that begins with its sign goes on with the row before."""
    text = ""
    for row in rows:
        if not text:
            text = math(row, language)
        elif layout.continues(row):
            text = _continued(text, row, language)
        else:
            text = f"{text}; {math(row, language)}"
    return text if text.endswith(".") else text + "."


def _continued(text: str, row: Math, language: str) -> str:
    """A row that begins with its sign, read on from the text before it."""
    match row:
        case Modulo(inside):
            return _in_modulus(_continued(text, inside, language), row, language)
        case Words((first, *others)) if not isinstance(first, str):
            return spaced([_continued(text, first, language), *_parts(others, language)])
        case Relation():
            return _relation(row, language, before=text)
    raise TypeError(f"expected a row that begins with a relation sign, got {row!r}")


def _table(block: Table, language: str) -> str:
    """The size, then each row with the head of the column before each cell."""
    head = [_inlines(cell, language) for cell in block.head]
    size = counted("Table of {n} row.", "Table of {n} rows.", len(block.rows))
    lines = [_phrase(size, language)]
    for i, row in enumerate(block.rows, 1):
        texts = (_inlines(cell, language) for cell in row)
        cells = [
            _phrase(say("{head}: {cell}", head=h, cell=text), language) if h else text
            for h, text in zip(head, texts, strict=True)
        ]
        lines.append(_phrase(say("Row {i}: {cells}.", i=i, cells="; ".join(cells)), language))
    return " ".join(lines)
