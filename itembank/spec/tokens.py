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
from itembank.values.worded import laid_out, worded

MOST_CHARACTERS = 1000
_MOST_TOKENS = 400
_MOST_BRACKETS = 30

LOGIC = ("and", "or", "not")
CHOICE = ("if", "else")
_WORDS = (*LOGIC, *CHOICE)
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


_TOKEN = re.compile(
    r"(?P<decimal>[0-9]+[.][0-9]+)|(?P<number>[0-9]+)|(?P<name>[A-Za-z_][A-Za-z_0-9]*)"
    r"|(?P<odd>&&|[|][|]|<>|=<|=>)|(?P<sign>\*\*|//|\.\.|[<>=!]=|[-+*^%<>=(),\[\]])"
    r"|(?P<space>[^\S\u00a0\u2007\u202f]+)|(?P<other>.)"
)
_WRITTEN = {
    "/": worded("//, which leaves out the remainder"),
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
    "≡": worded("= in a congruence, == in a condition"),
    "\u00a0": worded("an ordinary space"),
    "\u2007": worded("an ordinary space"),
    "\u202f": worded("an ordinary space"),
    "!": "not",
    "&": "and",
    "&&": "and",
    "|": worded("or; that b divides a is a % b == 0"),
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
        raise Misread(
            [
                (
                    0,
                    worded(
                        "expected at most {most_characters} characters, found {n}",
                        most_characters=MOST_CHARACTERS,
                        n=len(text),
                    ),
                )
            ]
        )
    found, faults = [], []
    for match in _TOKEN.finditer(text):
        kind, piece, start = match.lastgroup, match[0], match.start()
        if kind == "decimal":
            faults.append((start, worded("'{piece}' is no whole number", piece=short(piece))))
        elif kind in ("odd", "other"):
            message = worded("{sign} is not part of an expression", sign=_named(piece))
            if piece in _WRITTEN:
                message = worded(
                    "{sign} is not part of an expression; write {written}",
                    sign=_named(piece),
                    written=_WRITTEN[piece],
                )
            faults.append((start, message))
        elif kind == "number" and len(piece) > MOST_DIGITS:
            faults.append(
                (
                    start,
                    worded(
                        "expected at most {most_digits} digits, found {n}",
                        most_digits=MOST_DIGITS,
                        n=len(piece),
                    ),
                )
            )
        elif kind == "number" and piece != "0" and piece[0] == "0":
            faults.append(
                (
                    start,
                    worded(
                        "expected a number without leading zeros, found {piece}", piece=short(piece)
                    ),
                )
            )
        elif kind != "space":
            found.append(Token(kind, piece, start))  # type: ignore[arg-type]
    if len(found) > _MOST_TOKENS:
        faults.append(
            (
                0,
                worded(
                    "expected at most {most_tokens} numbers, names and signs",
                    most_tokens=_MOST_TOKENS,
                ),
            )
        )
    if faults:
        raise Misread(faults)
    return found


def _named(piece: str) -> str:
    """A character as a message shows it; by its number where it cannot be seen."""
    return (
        laid_out("'{piece}'", piece=piece)
        if piece.isprintable()
        else worded("the character U+{ord}", ord=format(ord(piece), "04X"))
    )


def check_order(line: Sequence[Token]) -> None:
    """Raises Misread at the first token that cannot stand where it stands."""
    opened: list[Token] = []
    before: Token | None = None
    value_next = True
    for token in line:
        if fault := _order_fault(token, before, value_next, bool(opened)):
            raise Misread([(token.start, fault)])
        if token.text == "(":
            opened.append(token)
        elif token.text == ")":
            opened.pop()
        if len(opened) > _MOST_BRACKETS:
            raise Misread(
                [
                    (
                        token.start,
                        worded(
                            "expected at most {most_brackets} brackets within brackets",
                            most_brackets=_MOST_BRACKETS,
                        ),
                    )
                ]
            )
        value_next = (token.kind == "sign" and token.text != ")") or token.text in _WORDS
        before = token
    if opened:
        raise Misread([(opened[-1].start, worded("this bracket is never closed"))])
    if before is None:
        raise Misread([(0, worded("expected an expression, found nothing"))])
    if value_next:
        raise Misread([(before.start, worded("expected a value after '{text}'", text=before.text))])


def _order_fault(token: Token, before: Token | None, value_next: bool, within: bool) -> str | None:
    """What is wrong with a token in its place; None if nothing is."""
    if token.kind == "name" and iskeyword(token.text) and token.text not in _WORDS:
        return worded("'{text}' is not part of an expression", text=token.text)
    if token.text == "=":
        return worded("expected == for a comparison, found =")
    if token.text == "..":
        return worded("a range a..b stands only after 'in', as in 'solutions in 2..6'")
    if token.text in ("[", "]"):
        return worded("a list [a, b] stands only after 'in', as in 'p in [2, 3, 5]'")
    if token.text == "mod" and not value_next:
        return worded("expected % for the remainder, found 'mod'; write b % 2")
    value = token.kind == "number" or (token.kind == "name" and token.text not in _WORDS)
    if value_next:
        if token.text == "not" and before and before.text == "not":
            return worded("'not not' says nothing: leave out both, or write one of them")
        if token.text == "not" and before and before.text not in ("(", ",", *_WORDS):
            return worded(
                "expected a value after '{text}'; put 'not ...' in brackets", text=before.text
            )
        if value or token.text in ("(", "-", "+", "not"):
            return None
        return worded("expected a value before '{text}'", text=token.text)
    if token.text == "(":
        call = before is not None and before.kind == "name"
        return (
            None if call else worded("expected an operator before '('; a product is written with *")
        )
    if value or token.text == "not":
        return worded(
            "expected an operator before '{text}'; a product is written with *", text=token.text
        )
    if token.text == ")" and not within:
        return worded("this bracket was never opened")
    if token.text == "," and not within:
        return worded("a comma stands only between the arguments of a function")
    return None
