"""The tokens of an expression, and the order they can stand in.

The order is checked here and not left to a parser, so that every complaint names
the character and says what to write.
"""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from keyword import iskeyword
from typing import Literal

from itembank.spec.nodes import MOST_DIGITS, short
from itembank.values.errors import ItemBankError

MOST_CHARACTERS = 1000
MOST_TOKENS = 400
MOST_BRACKETS = 30

LOGIC = ("and", "or", "not")
CHOICE = ("if", "else")
WORDS = (*LOGIC, *CHOICE)
"""Words after which a value comes."""


class Misread(ItemBankError):
    """A text that is no expression: each fault with the index of its character."""

    def __init__(self, faults: Collection[tuple[int, str]]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__("; ".join(message for _, message in self.faults))


@dataclass(frozen=True)
class Token:
    kind: Literal["number", "name", "sign"]
    text: str
    start: int


TOKEN = re.compile(
    r"(?P<decimal>[0-9]+[.][0-9]+)|(?P<number>[0-9]+)|(?P<name>[A-Za-z_][A-Za-z_0-9]*)"
    r"|(?P<odd>&&|[|][|]|<>|=<|=>)|(?P<sign>\*\*|//|\.\.|[<>=!]=|[-+*^%<>=(),\[\]])"
    r"|(?P<space>[^\S\u00a0\u2007\u202f]+)|(?P<other>.)"
)
WRITTEN = {
    "/": "//, which leaves out the remainder",
    "−": "-",
    "–": "-",
    "·": "*",
    "×": "*",
    "÷": "//",
    "²": "^2",
    "³": "^3",
    "≤": "<=",
    "≥": ">=",
    "≠": "!=",
    "≡": "= in a congruence, == in a condition",
    "\u00a0": "an ordinary space",
    "\u2007": "an ordinary space",
    "\u202f": "an ordinary space",
    "!": "not",
    "&": "and",
    "&&": "and",
    "|": "or; that b divides a is a % b == 0",
    "||": "or",
    "<>": "!=",
    "=<": "<=",
    "=>": ">=",
    ";": ",",
}
"""What to write for characters that look like an operator."""


def tokens(text: str) -> list[Token]:
    """The tokens of a text; raises Misread on what cannot be one."""
    if len(text) > MOST_CHARACTERS:
        raise Misread([(0, f"expected at most {MOST_CHARACTERS} characters, found {len(text)}")])
    found, faults = [], []
    for match in TOKEN.finditer(text):
        kind, piece, start = match.lastgroup, match[0], match.start()
        if kind == "decimal":
            faults.append((start, f"'{short(piece)}' is no whole number"))
        elif kind in ("odd", "other"):
            advice = f"; write {WRITTEN[piece]}" if piece in WRITTEN else ""
            faults.append((start, f"{named(piece)} is not part of an expression{advice}"))
        elif kind == "number" and len(piece) > MOST_DIGITS:
            faults.append((start, f"expected at most {MOST_DIGITS} digits, found {len(piece)}"))
        elif kind == "number" and piece != "0" and piece[0] == "0":
            faults.append((start, f"expected a number without leading zeros, found {short(piece)}"))
        elif kind != "space":
            found.append(Token(kind, piece, start))  # type: ignore[arg-type]
    if len(found) > MOST_TOKENS:
        faults.append((0, f"expected at most {MOST_TOKENS} numbers, names and signs"))
    if faults:
        raise Misread(faults)
    return found


def named(piece: str) -> str:
    """A character as a message shows it; by its number where it cannot be seen."""
    return f"'{piece}'" if piece.isprintable() else f"the character U+{ord(piece):04X}"


def check_order(line: Sequence[Token]) -> None:
    """Raises Misread at the first token that cannot stand where it stands."""
    opened: list[Token] = []
    before: Token | None = None
    value_next = True
    for token in line:
        if fault := order_fault(token, before, value_next, bool(opened)):
            raise Misread([(token.start, fault)])
        if token.text == "(":
            opened.append(token)
        elif token.text == ")":
            opened.pop()
        if len(opened) > MOST_BRACKETS:
            raise Misread(
                [(token.start, f"expected at most {MOST_BRACKETS} brackets within brackets")]
            )
        value_next = (token.kind == "sign" and token.text != ")") or token.text in WORDS
        before = token
    if opened:
        raise Misread([(opened[-1].start, "this bracket is never closed")])
    if before is None:
        raise Misread([(0, "expected an expression, found nothing")])
    if value_next:
        raise Misread([(before.start, f"expected a value after '{before.text}'")])


def order_fault(token: Token, before: Token | None, value_next: bool, within: bool) -> str | None:
    """What is wrong with a token in its place; None if nothing is."""
    if token.kind == "name" and iskeyword(token.text) and token.text not in WORDS:
        return f"'{token.text}' is not part of an expression"
    if token.text == "=":
        return "expected == for a comparison, found ="
    if token.text == "..":
        return "a range a..b stands only after 'in', as in 'solutions in 2..6'"
    if token.text in ("[", "]"):
        return "a list [a, b] stands only after 'in', as in 'p in [2, 3, 5]'"
    if token.text == "mod" and not value_next:
        return "expected % for the remainder, found 'mod'; write b % 2"
    value = token.kind == "number" or (token.kind == "name" and token.text not in WORDS)
    if value_next:
        if token.text == "not" and before and before.text == "not":
            return "'not not' says nothing: leave out both, or write one of them"
        if token.text == "not" and before and before.text not in ("(", ",", *WORDS):
            return f"expected a value after '{before.text}'; put 'not ...' in brackets"
        if value or token.text in ("(", "-", "+", "not"):
            return None
        return f"expected a value before '{token.text}'"
    if token.text == "(":
        call = before is not None and before.kind == "name"
        return None if call else "expected an operator before '('; a product is written with *"
    if value or token.text == "not":
        return f"expected an operator before '{token.text}'; a product is written with *"
    if token.text == ")" and not within:
        return "this bracket was never opened"
    if token.text == "," and not within:
        return "a comma stands only between the arguments of a function"
    return None
