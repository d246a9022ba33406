"""Random trees: formulas as the reader makes them, and arithmetic as a hand might make it."""

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from math import factorial, prod
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from itembank.notation.layout import part_clearly
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

Draw = Callable[[st.SearchStrategy], Any]


# ------------------------------------------------------------ as the reader makes them

naturals = st.integers(0, 200).map(Number)
# among the letters are those that spell or, in, ind, mod and gcd when side by side
letters = st.sampled_from("abxyordinmgcfhφλ").map(Letter)
primed = st.builds(Letter, st.sampled_from("fx"), st.integers(1, 3))
named = st.sampled_from(["f", "g", "h", "gcd", "lcm", "ind", "ord", "φ", "λ"]).map(Letter)
signs = st.sampled_from([1, -1])


def chosen(draw: Draw, *kinds: str) -> str:
    return draw(st.sampled_from(kinds))


def several(draw: Draw, items: st.SearchStrategy, least: int, most: int = 2) -> tuple[Any, ...]:
    return tuple(draw(st.lists(items, min_size=least, max_size=most)))


@st.composite
def closed(draw: Draw, depth: int) -> Math:
    """What can follow a factor side by side."""
    simple = ("letter", "letter", "letter", "primed", "index")
    deep = ("call", "group", "group", "listing", "symbol", "long index") if depth else ()
    match chosen(draw, *simple, *deep):
        case "primed":
            return draw(primed)
        case "index":
            return Subscript(draw(letters), draw(naturals | st.just(Letter("n"))))
        case "call":
            return Call(draw(named | primed), several(draw, sums(depth - 1), 1))
        case "group":
            return Group(draw(sums(depth - 1)))
        case "listing":
            return Group(draw(listings(depth - 1)))
        case "symbol":
            return Symbol(draw(sums(depth - 1)), draw(sums(depth - 1)))
        case "long index":
            return Subscript(draw(letters), draw(open_sums(depth - 1)))
    return draw(letters)


@st.composite
def factors(draw: Draw, depth: int, first: bool = True) -> Math:
    """A factor; one that is not the first does not begin with a digit."""
    node = draw(naturals) if first and draw(st.booleans()) else draw(closed(depth))
    if chosen(draw, "plain", "plain", "plain", "factorial") == "factorial":
        node = Factorial(node)
    match chosen(draw, "plain", "plain", "number", "letter", "sum"):
        case "number":
            return Power(node, Number(draw(st.integers(-9, 99))))
        case "letter":
            return Power(node, draw(letters))
        case "sum" if depth:
            return Power(node, draw(bare_sums(depth - 1)))
    return node


@st.composite
def products(draw: Draw, depth: int) -> Math:
    """Factors side by side: none is a 1 that would be dropped, no bracket an argument."""
    parts = (draw(factors(depth)), *several(draw, factors(depth, first=False), 1))
    assume(parts[0] != Number(1))
    assume(all(part_clearly(a, b) for a, b in pairwise(parts)))
    return Product(parts)


@st.composite
def terms(draw: Draw, depth: int) -> Math:
    match chosen(draw, "factor", "product", *(("quotient", "dotted") if depth else ())):
        case "product":
            return draw(products(depth))
        case "quotient":
            return Quotient(draw(bare_sums(depth - 1)), draw(bare_sums(depth - 1)))
        case "dotted":
            part = terms(depth - 1).filter(lambda node: not is_dotted(node))
            return Product(several(draw, part, 2), dot=True)
    return draw(factors(depth))


def is_dotted(node: Math) -> bool:
    return isinstance(node, Product) and node.dot


@st.composite
def sums(draw: Draw, depth: int) -> Math:
    match chosen(draw, "term", "term", "opposite", "both", "sum", "sum"):
        case "opposite":
            term = draw(terms(depth))
            return Number(-term.value) if isinstance(term, Number) else Minus(term)
        case "both":
            return PlusMinus(draw(terms(depth)))
        case "sum":
            return Sum(several(draw, signed_terms(depth), 2))
    return draw(terms(depth))


@st.composite
def signed_terms(draw: Draw, depth: int) -> tuple[int, Math]:
    term = draw(terms(depth))
    if chosen(draw, "sign", "sign", "sign", "both") == "both":
        return 1, PlusMinus(term)
    return draw(signs), term


def bare_sums(depth: int) -> st.SearchStrategy[Math]:
    """Sums whose brackets, if any, the reader would not take off in an exponent."""
    return sums(depth).filter(lambda node: not isinstance(node, Group))


def open_sums(depth: int) -> st.SearchStrategy[Math]:
    return sums(depth).filter(lambda node: isinstance(node, Sum))


@st.composite
def listings(draw: Draw, depth: int) -> Math:
    return Listing(several(draw, sums(depth) | st.just(Dots()), 2, 4))


@st.composite
def sides(draw: Draw, depth: int) -> Math:
    if chosen(draw, "sum", "sum", "sum", "set") == "set":
        return SetOf(several(draw, sums(0) | st.just(Dots()), 0))
    return draw(sums(depth))


@st.composite
def relations(draw: Draw, depth: int) -> Math:
    marks = several(draw, st.sampled_from("=≠≡≢<≤>≥∣∤∈"), 1)
    return Relation(tuple(draw(sides(depth)) for _ in range(len(marks) + 1)), marks)


@st.composite
def clauses(draw: Draw, depth: int) -> Math:
    match chosen(draw, "side", "list", "relation", "relation", "to list", "of list", "row", "many"):
        case "side":
            return draw(sides(depth))
        case "list":
            return draw(listings(depth))
        case "many":
            return Listing(several(draw, relations(depth), 2))
        case end:
            relation = draw(relations(depth))
            first, *middle, last = relation.sides
            if end == "to list":
                last = draw(listings(depth))
            elif end == "of list":
                first = draw(listings(depth))
            elif end == "row":
                first = Words(())
            return Relation((first, *middle, last), relation.signs)


@st.composite
def congruences(draw: Draw, depth: int, worded: bool = True) -> Math:
    inside = draw(clauses(depth))
    if worded and draw(st.booleans()):
        inside = Words((inside, draw(between), draw(clauses(depth))))
    marks = set(signs_of(inside))
    assume(not marks or not marks <= {"=", "≠"})  # the modulus would turn them into ≡ and ≢
    return Modulo(inside, draw(sums(depth)))


between = st.sampled_from(["or", "and", "that is", ", so that"])


@st.composite
def formulas(draw: Draw, depth: int = 1) -> Math:
    """Trees that `formula` makes of some text."""
    match chosen(draw, "clause", "congruence", "congruence", "system", "words", "worded system"):
        case "congruence":
            return draw(congruences(depth))
        case "system":
            return Listing(several(draw, congruences(depth, worded=False), 2))
        case "words":
            parts = draw(clauses(depth)), draw(between), draw(clauses(depth))
            return Words((*parts, *draw(st.sampled_from([(), (".",)]))))
        case "worded system":
            return Words(
                (
                    draw(congruences(depth, worded=False)),
                    draw(between),
                    draw(congruences(depth, worded=False)),
                )
            )
    return draw(clauses(depth))


def signs_of(node: Math | str) -> list[str]:
    match node:
        case Relation(_, found):
            return list(found)
        case Listing(parts) | Words(parts):
            return [sign for part in parts for sign in signs_of(part)]
    return []


# ------------------------------------------------------------ as a hand might make them


@st.composite
def arithmetic(draw: Draw, depth: int = 3) -> Math:
    """Numbers, with no thought for brackets: sums as factors, negative bases, sums of sums."""
    inner = arithmetic(depth - 1)
    deep = ("group", "minus", "sum", "sum", "product", "product", "power", "quotient")
    match chosen(draw, "number", "factorial", *(deep if depth else ())):
        case "group":
            return Group(draw(inner))
        case "minus":
            return Minus(draw(inner))
        case "sum":
            return Sum(several(draw, st.tuples(signs, inner), 2))
        case "product":
            return Product(several(draw, inner, 2), draw(st.booleans()))
        case "power":
            return Power(draw(inner), Number(draw(st.integers(0, 3))))
        case "quotient":
            return Quotient(draw(inner), draw(inner))
        case "factorial":
            return Factorial(Number(draw(st.integers(0, 5))))
    return Number(draw(st.integers(-9, 9)))


def value(node: Math) -> Fraction:
    """What an arithmetic tree comes to.  ZeroDivisionError where it comes to nothing."""
    match node:
        case Number(n):
            return Fraction(n)
        case Group(inside):
            return value(inside)
        case Minus(term):
            return -value(term)
        case Sum(terms):
            return sum((sign * value(term) for sign, term in terms), Fraction(0))
        case Product(parts):
            return prod(map(value, parts), start=Fraction(1))
        case Power(base, exponent):
            return value(base) ** int(value(exponent))
        case Quotient(num, den):
            return value(num) / value(den)
        case Factorial(term):
            return Fraction(factorial(int(value(term))))
    raise TypeError(f"no value for {node}")
