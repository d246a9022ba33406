"""The tree of a stem or a label as one line of text, as this room's readers want it.

Nodes are told by the name of their class, so that no dialect of the notation is shared.
"""

from collections.abc import Iterator
from typing import Any

_SIGNS = {"≡": "=", "=": "="}


def _math(node: Any) -> str:
    """A formula: `x^2+9*x+5=0 (mod 117)`."""
    match type(node).__name__:
        case "Number":
            return str(node.value)
        case "Letter":
            return f"{node.name}" + "'" * int(node.primes)
        case "Sum":
            signed = (("+" if sign > 0 else "-") + _summand(term) for sign, term in node.terms)
            return "".join(signed).removeprefix("+")
        case "Minus":
            return "-" + _summand(node.term)
        case "Product":
            return "*".join(map(_factor, node.factors))
        case "Power":
            return f"{_factor(node.base)}^{_factor(node.exponent)}"
        case "Group":
            return f"({_math(node.inside)})"
        case "Relation":
            signs = [*(_SIGNS.get(sign, sign) for sign in node.signs), ""]
            pairs = zip(map(_math, node.sides), signs, strict=True)
            return "".join(text + sign for text, sign in pairs)
        case "Modulo":
            return f"{_math(node.inside)} (mod {_math(node.modulus)})"
        case "SetOf":
            return "{" + ", ".join(map(_math, node.items)) + "}"
        case "Listing":
            return ", ".join(map(_math, node.items))
        case "Words":
            return "".join(p if isinstance(p, str) else _math(p) for p in node.parts)
        case "Call":
            return f"{_math(node.function)}({', '.join(map(_math, node.arguments))})"
        case "Quotient":
            return f"{_factor(node.num)}/{_factor(node.den)}"
        case "Symbol":
            return f"({_math(node.top)}/{_math(node.bottom)})"
        case "Factorial":
            return f"{_factor(node.term)}!"
        case "PlusMinus":
            return f"±{_factor(node.term)}"
        case "Subscript":
            return f"{_math(node.base)}_{_math(node.index)}"
        case name:
            return "..." if name == "Dots" else ""


def _factor(node: Any) -> str:
    """In brackets where it is a sum, a product or negative."""
    return f"({_math(node)})" if type(node).__name__ == "Product" else _summand(node)


def _summand(node: Any) -> str:
    """In brackets where it is a sum or negative."""
    name = type(node).__name__
    negative = name == "Number" and node.value < 0
    return f"({_math(node)})" if negative or name in ("Sum", "Minus") else _math(node)


def inline(content: Any) -> str:
    return "".join(map(_piece, content))


def _piece(part: Any) -> str:
    if isinstance(part, str):
        return part
    return _math(part.math) if type(part).__name__ == "Formula" else str(part.text)


def rows(blocks: Any) -> Iterator[str]:
    """The formulas that stand on lines of their own."""
    for block in blocks:
        if type(block).__name__ == "Display":
            yield from map(_math, block.rows)


def formulas(blocks: Any) -> Iterator[str]:
    """The formulas within the lines of the prose."""
    for block in blocks:
        if type(block).__name__ == "Paragraph":
            yield from (_piece(p) for p in block.content if type(p).__name__ == "Formula")
