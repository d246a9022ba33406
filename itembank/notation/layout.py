"""How a tree is set: where it needs brackets, where signs fold, where rows align.

The reader and the builders put a `Group` wherever one is written.  A tree made
by hand may lack one: a product with a sum among its factors, a negative number
under an exponent.  Every dialect asks here for the parts of a node, so that no
dialect prints `2x + 1` for 2(x + 1), `-3^2` for (-3)^2, `a + -3` for a - 3 or
`23` for 2 · 3, and so that all of them agree.
"""

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

_FUNCTIONS = frozenset("fgh")
"""The letters that a bracket turns into a call: f(x) is a value, x(x + 1) a product."""

NOTHING = Words(())
"""The missing left side of a row that begins with a relation sign."""

_CLOSED = frozenset({Letter, Subscript, Group, Call, Symbol, Dots, SetOf})
_LOOSE = frozenset({Sum, Minus, PlusMinus, Relation, Modulo, Listing, Words})


def closed(node: Math) -> Math:
    """The node as one thing that an exponent or a factorial sign can follow."""
    if type(node) in _CLOSED or (type(node) is Number and node.value >= 0):
        return node
    return Group(node)


def base(node: Power) -> Math:
    return node.base if type(node.base) is Factorial else closed(node.base)


def terms(node: Sum) -> list[tuple[int, Math]]:
    """(sign, term) in order, no term beginning with a sign: ((1, -3),) becomes ((-1, 3),)."""
    return [_folded(sign, term) for sign, term in node.terms]


def _folded(sign: int, term: Math) -> tuple[int, Math]:
    match term:
        case Number(value) if value < 0:
            return -sign, Number(-value)
        case Minus(inside):
            return -sign, bare(inside)
        case PlusMinus():
            return 1, term
    return sign, bare(term)


def bare(term: Math) -> Math:
    """What can stand after a plus, a minus or a plus-minus sign."""
    return Group(term) if type(term) in _LOOSE or _begins_with_a_minus(term) else term


def _begins_with_a_minus(node: Math) -> bool:
    match node:
        case Number(value):
            return value < 0
        case Product((first, *_)):
            return _begins_with_a_minus(first)
    return False


def factors(node: Product) -> tuple[list[Math], bool]:
    """The factors, and whether dots stand between them.

    They do if the node says so, and wherever side by side would be read otherwise:
    before a digit (2 · 3), or between f and a bracket.
    """
    dot = node.dot or not all(map(part_clearly, node.factors, node.factors[1:]))
    return [
        factor if i == 0 and type(factor) is Number else _operand(factor, dot)
        for i, factor in enumerate(node.factors)
    ], dot


def _operand(factor: Math, dot: bool) -> Math:
    loose = type(factor) is Quotient or (type(factor) is Product and factors(factor)[1])
    return Group(factor) if loose and not dot else bare(factor)


def part_clearly(left: Math, right: Math) -> bool:
    """Whether two factors side by side are read as two: not 2 before 3, nor f before (x)."""
    if _begins_with_a_digit(right):
        return False
    return not (names_a_function(left) and _begins_with_a_bracket(right))


def _begins_with_a_digit(node: Math) -> bool:
    match node:
        case Number(value):
            return value >= 0
        case Power(first) | Factorial(first) | Product((first, *_)):
            return _begins_with_a_digit(first)
    return False


def _begins_with_a_bracket(node: Math) -> bool:
    """Whether the node, as a factor, is set with a bracket first."""
    match node:
        case Power():
            return _begins_with_a_bracket(base(node))
        case Factorial(first):
            return type(closed(first)) is Group
        case Product((first, *_)) if _operand(node, False) is node:
            return _begins_with_a_bracket(first)
    return type(_operand(node, False)) is Group


def names_a_function(node: Math) -> bool:
    """Whether a bracket after the node would be read as the argument of a function."""
    match node:
        case Letter(name, primes):
            return primes > 0 or name in _FUNCTIONS or name in "φλ" or len(name) > 1
        case Power(_, last) | Product((*_, last)):
            return names_a_function(last)
    return False


def named(node: Math) -> bool:
    """Whether the node is a function whose name is a word, such as gcd, at its arguments."""
    return type(node) is Call and len(node.function.name) > 1


def numerator(node: Quotient) -> Math:
    num = node.num
    if type(num) is Quotient or (type(num) is Product and factors(num)[1]):
        return Group(num)
    return bare(num)


def top(node: Symbol) -> Math:
    """The top of a symbol after its bracket: a number needs none of its own, as in (-2/15)."""
    return node.top if type(node.top) is Number else numerator(Quotient(node.top, node.bottom))


def denominator(node: Quotient) -> Math:
    return node.den if type(node.den) in {Power, Factorial} else closed(node.den)


# -------------------------------------------------------------- rows


def halves(row: Math) -> tuple[Math, Math | None]:
    """What stands before the first relation sign of a row, and the row from that sign on.

    Rows of a display are aligned between the two.  A row without a relation has no
    second half.
    """
    match row:
        case Relation((first, *others), signs):
            return first, Relation((NOTHING, *others), signs)
        case Modulo(inside, modulus):
            first, rest = halves(inside)
            return (first, Modulo(rest, modulus)) if rest else (row, None)
        case Words((part, *parts)) if not isinstance(part, str):
            first, rest = halves(part)
            return (first, Words((rest, *parts))) if rest else (row, None)
    return row, None


def continues(row: Math) -> bool:
    """Whether the row begins with a relation sign, going on with the row before it."""
    first, rest = halves(row)
    return rest is not None and first == NOTHING
