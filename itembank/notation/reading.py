"""The reader of plain notation: a formula.

Plain notation is what is typed (`3x^3 - x = 5 mod 49`) and what stands on a
board (`9 · 7 = 63 ≡ 11`).  One grammar reads both:

    line       clauses with words between them: `or`, `and`, "in quotes"
    clause     relations or terms separated by commas, then `mod m` or `(mod m)`
    relation   sums with signs between them; a row that begins with a sign goes on
    sum        signed terms: + - ±
    term       factors side by side, or with `*`, `·`, `/` between them
    factor     an atom, then `!`, then `^` or superscript digits
    atom       number, letter, f(...), gcd(...), symbol(a, p), (...), {...}, ...

Letters are single: `ab` is a times b.  A letter before a bracket is a factor,
unless it is f, g, h or carries a prime.  `*` leaves no trace where factors can
stand side by side (`2*x` is 2x) and is a dot where they cannot (`7*11^2`); `·`,
or `*.` in ASCII, is a dot everywhere.
Within a clause that has a modulus `=` means `≡`, unless `≡` (or `==`) stands
there too: then the line distinguishes them, as `9 · 7 = 63 ≡ 11 (mod 13)` does.

A sign is folded (`a + -3` is a - 3) and a factor 1 before a letter or a bracket
is dropped; for the rest the reader keeps what it is told and computes nothing.
"""

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal, NoReturn

from itembank.notation.layout import NOTHING, names_a_function, part_clearly
from itembank.notation.signs import as_congruence, relations_of
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
from itembank.values.errors import NotationError, StatementError
from itembank.values.worded import worded

LONGEST = 2000
"""The longest text of one formula, in characters."""

DEEPEST = 50
"""The deepest nesting of brackets and exponents."""

DIGITS = 400
"""The longest integer that is typed, in digits."""

_DIGITS_IN_PROSE = 4000
"""The longest integer in prose, which may be of our own making."""

_NAMES = frozenset({"gcd", "lcm", "phi", "lambda", "ind", "ord", "symbol"})
_GREEK = {"phi": "φ", "lambda": "λ"}
_MOD = frozenset({"mod", "modulo"})
RESERVED = _NAMES | _MOD | {"or", "and", "in"}
_SIGNS = {
    "=": "=", "!=": "≠", "≠": "≠",
    "==": "≡", "≡": "≡", "!==": "≢", "≢": "≢",
    "<": "<", "<=": "≤", "≤": "≤", ">": ">", ">=": "≥", "≥": "≥",
    "|": "∣", "∣": "∣", "!|": "∤", "∤": "∤",
    "in": "∈", "∈": "∈",
}  # fmt: skip
_SAME = {
    "\N{MINUS SIGN}": "-", "×": "·", "\N{DOT OPERATOR}": "·", "*.": "·", "**": "^", "+/-": "±",
    "\N{PRIME}": "'", "…": "...", "ϕ": "phi", "φ": "phi", "λ": "lambda", "∅": "{}",
}  # fmt: skip
_SUPERSCRIPTS = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "-01234567890123456789")
_RAISED = frozenset("⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_LOWERED = frozenset("₀₁₂₃₄₅₆₇₈₉")
_LETTERS = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
SLOTS = "".join(map(chr, range(0xE000, 0xE080)))
"""Letters for private use: places that are to be filled, which nobody types."""
_FIGURES = frozenset("0123456789")
_PREFIXES = frozenset("+-±")
_ENDS = frozenset({"", ",", ")", "}", "or", "and", *_PREFIXES, *_SIGNS, *_MOD})
"""What can only stand after a term that is complete."""

_RUN_OF_FIGURES = re.compile(r"[0-9]+")

_Signed = tuple[Literal[1, -1], Math]

_TOKEN = re.compile(
    r"""[0-9]+ | [A-Za-z]+ | "[^"]*" | \.\.\. | \*\* | \*\. | \+/- | !== | != | !\| """
    r"| == | <= | >= | ⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+ | [₀₁₂₃₄₅₆₇₈₉]+ | [^\s\u2061\u2062]",
    re.VERBOSE,
)


@lru_cache(maxsize=2048)
def formula(text: str) -> Math:
    """The formula that the text is in plain notation.

    Raises StatementError, one line with the text, the column (from 1), what was
    expected and what was found; also beyond LONGEST, DEEPEST or DIGITS.

    >>> formula("2x = 4 mod 6").modulus
    Number(value=6)
    """
    if len(text) > LONGEST:
        raise StatementError(
            worded(
                '"{shortened}": expected at most {longest} characters, got {n}',
                shortened=shortened(text),
                longest=LONGEST,
                n=len(text),
            )
        )
    return _Reader(text, DIGITS).line()


def longest_integer(text: str) -> int:
    """How many digits the longest integer of a text has.

    >>> longest_integer("x = 10^500 mod 7"), longest_integer("9" * 401)
    (3, 401)
    """
    return max(map(len, _RUN_OF_FIGURES.findall(text)), default=0)


@lru_cache(maxsize=2048)
def formula_in_prose(text: str) -> Math:
    """As `formula`, but as long as it may be: worked solutions list long solutions."""
    return _Reader(text, _DIGITS_IN_PROSE).line()


def formula_with_slots(text: str) -> Math:
    """As `formula_in_prose`, of a text in which characters of SLOTS stand for terms."""
    return _ReaderOfSlots(text, _DIGITS_IN_PROSE).line()


_CLOSINGS = {c: worded('an operator, "," or "{closing}"', closing=c) for c in ")]}|"}
_CLOSED = worded('an operator or ")"')
"""What is expected where a bracket may close."""


class _Reader:
    """One pass over the tokens of one text, by recursive descent."""

    __slots__ = ("depth", "digits", "i", "text", "token", "tokens")

    letters = _LETTERS

    def __init__(self, text: str, digits: int) -> None:
        self.text = text
        self.digits = digits
        self.tokens = [_SAME.get(token, token) for token in split(text)]
        self.tokens.append("")
        self.i = 0
        self.depth = 0
        self.token = self.tokens[0]

    # ---------------------------------------------------------- tokens

    def advance(self) -> str:
        """The present token, leaving it behind."""
        token = self.token
        self.i += 1
        self.token = self.tokens[self.i]
        return token

    def next_is_mod(self) -> bool:
        return self.tokens[self.i + 1] in _MOD

    def back(self) -> None:
        self.i -= 1
        self.token = self.tokens[self.i]

    def take(self, token: str, expected: str) -> None:
        if self.token != token:
            self.fail(expected)
        self.advance()

    def deeper(self) -> None:
        self.depth += 1
        if self.depth > DEEPEST:
            self.fail(worded("brackets and exponents at most {deepest} deep", deepest=DEEPEST))

    def fail(self, expected: str) -> NoReturn:
        raise _refusal(self.text, self.i, expected)

    # ---------------------------------------------------------- lines and clauses

    def line(self) -> Math:
        parts: list[Math | str] = []
        while self.token:
            parts.append(self.words() if self.at_words() else self.clauses())
        if not parts:
            self.fail(worded("a formula"))
        return _whole(parts)

    def at_words(self) -> bool:
        """Whether words come next; a comma before words in quotes is part of them."""
        token = self.tokens[self.i + 1] if self.token == "," else self.token
        return token[:1] == '"' or token in {"or", "and"}

    def words(self) -> str:
        comma = self.advance() if self.token == "," else ""
        text = comma + " " * bool(comma) + self.advance().strip('"').strip()
        if not text:
            self.back()
            self.fail(worded("words between the quotation marks"))
        return text

    def clauses(self) -> Math:
        found = [self.clause()]
        while isinstance(found[-1], Modulo) and self.token == "," and not self.at_words():
            self.advance()
            found.append(self.clause())
        if self.token and not self.at_words():
            self.fail(worded("an operator, a relation sign or the end"))
        return found[0] if len(found) == 1 else Listing(tuple(found))

    def clause(self) -> Math:
        items = [self.relation()]
        while self.token == "," and not self.at_words() and not self.next_is_mod():
            self.advance()
            items.append(self.relation())
        inside = _listed(items)
        if self.token == "," and self.next_is_mod():
            self.advance()
        if self.token in _MOD:
            self.advance()
            return Modulo(inside, self.sum())
        if self.token == "(" and self.next_is_mod():
            self.advance()
            self.advance()
            modulus = self.sum()
            self.take(")", _CLOSED)
            return Modulo(inside, modulus)
        return inside

    def relation(self) -> Math:
        sides: list[Math] = [NOTHING if self.token in _SIGNS else self.sum()]
        signs: list[str] = []
        while self.token in _SIGNS:
            signs.append(_SIGNS[self.advance()])
            sides.append(self.sum())
        return Relation(tuple(sides), tuple(signs)) if signs else sides[0]

    # ---------------------------------------------------------- sums and products

    def sum(self) -> Math:
        terms = [self.signed()]
        while self.token in _PREFIXES:
            terms.append(self.signed())
        if len(terms) > 1:
            return Sum(tuple(terms))
        sign, term = terms[0]
        return term if sign == 1 else _negated(term)

    def signed(self) -> _Signed:
        """A term with the product of the signs before it; any ± among them makes it ±."""
        if self.token not in _PREFIXES:
            return 1, self.term()
        sign, both = self.signs()
        term = self.term()
        return (1, PlusMinus(term)) if both else (sign, term)

    def signs(self) -> tuple[Literal[1, -1], bool]:
        """The product of the signs that come next, and whether a ± is among them."""
        minuses, both = 0, False
        while self.token in _PREFIXES:
            token = self.advance()
            minuses += token == "-"
            both = both or token == "±"
        return (-1 if minuses % 2 else 1), both

    def term(self) -> Math:
        if self.is_atom_alone():
            return self.atom()
        first = self.side_by_side()
        if self.token not in {"*", "·", "/"}:
            return first
        parts, dot = [first], False
        while self.token in {"*", "·", "/"}:
            operator = self.advance()
            if operator == "/":
                parts[-1] = self.quotient(parts[-1])
            else:
                parts.append(self.operand())
                dot = dot or operator == "·"
        if len(parts) == 1:
            return parts[0]
        if dot or not all(map(can_stand_side_by_side, parts, parts[1:])):
            return Product(tuple(parts), dot=True)
        flat = [f for part in parts for f in (part.factors if type(part) is Product else (part,))]
        return Product(tuple(flat))

    def is_atom_alone(self) -> bool:
        """Whether a number or a letter is the whole term, as it is of most."""
        token = self.token
        return (token in self.letters or token.isdecimal()) and self.tokens[self.i + 1] in _ENDS

    def operand(self) -> Math:
        """What follows a multiplication sign; a signed one is set in brackets."""
        sign, both = self.signs()
        factor = self.side_by_side()
        if both:
            return Group(PlusMinus(factor))
        return factor if sign == 1 else Group(_negated(factor))

    def quotient(self, num: Math) -> Math:
        if type(num) is Quotient:
            self.back()
            self.fail(worded("brackets that say which quotient comes first"))
        den = self.factor()
        if self.begins_a_factor() or self.token[:1] in _FIGURES:
            self.fail(worded('brackets round the whole denominator, or "*"'))
        return Quotient(_without_brackets(num), _without_brackets(den))

    def side_by_side(self) -> Math:
        factors = [self.factor()]
        while self.begins_a_factor():
            factors.append(self.factor())
        if self.token[:1] in _FIGURES:
            self.fail(worded("an operator"))
        if len(factors) == 1:
            return factors[0]
        first = factors[0]
        if type(first) is Number and first.value == 1:
            del factors[0]
        return Product(tuple(factors)) if len(factors) > 1 else factors[0]

    def begins_a_factor(self) -> bool:
        """Whether the token can follow a factor with no sign between them."""
        token = self.token
        if token == "(":
            return not self.next_is_mod()
        return token in self.letters or token in _NAMES

    # ---------------------------------------------------------- factors and atoms

    def factor(self) -> Math:
        node = self.atom()
        if self.token == "!":
            self.advance()
            node = Factorial(node)
        if self.token == "^":
            self.advance()
            return Power(node, self.exponent())
        if self.token[:1] in _RAISED:
            return Power(node, self.number(self.token.translate(_SUPERSCRIPTS)))
        return node

    def exponent(self) -> Math:
        self.deeper()
        if self.token in {"-", "+"}:
            sign = self.advance()
            node = self.factor()
            node = _negated(node) if sign == "-" else node
        else:
            node = _without_brackets(self.factor())
        self.depth -= 1
        return node

    def number(self, literal: str) -> Number:
        if len(literal) > self.digits:
            self.fail(
                worded(
                    "an integer of at most {digits} digits (write a larger one as a product)",
                    digits=self.digits,
                )
            )
        self.advance()
        return _numeral(literal)

    def atom(self) -> Math:
        token = self.token
        if token[:1] in _FIGURES:
            return self.number(token)
        if token in self.letters or token in _NAMES:
            return self.named()
        if token == "(" and not self.next_is_mod():
            return Group(_listed(self.bracketed("(", ")")))
        if token == "{":
            return SetOf(tuple(self.bracketed("{", "}")))
        if token == "{}":
            self.advance()
            return SetOf(())
        if token == "...":
            self.advance()
            return Dots()
        self.fail(worded('a number, a letter or "("'))

    def named(self) -> Math:
        """A letter with its primes and index, or a function at its arguments."""
        name = self.advance()
        if name == "symbol":
            return self.symbol()
        primes = 0
        while self.token == "'":
            self.advance()
            primes += 1
        letter = _letter_named(_GREEK.get(name, name), primes)
        if self.token == "(" and names_a_function(letter) and not self.next_is_mod():
            return Call(letter, tuple(self.bracketed("(", ")")))
        if name in _NAMES and name not in _GREEK:
            self.fail(worded('"(" after {name}', name=name))
        if self.token == "_":
            self.advance()
            return Subscript(letter, self.index())
        if self.token[:1] in _LOWERED:
            return Subscript(letter, self.number(self.token.translate(_SUPERSCRIPTS)))
        return letter

    def index(self) -> Math:
        token = self.token
        if token[:1] in _FIGURES:
            return self.number(token)
        if token in self.letters:
            return Letter(self.advance())
        if token == "(":
            return _listed(self.bracketed("(", ")"))
        self.fail(worded("a number, a letter or an expression in brackets as the index"))

    def symbol(self) -> Math:
        if self.token != "(":
            self.fail(worded('"(" after symbol'))
        start = self.i
        arguments = self.bracketed("(", ")")
        if len(arguments) != 2:
            self.i, self.token = start, self.tokens[start]
            self.fail(worded("two numbers in brackets, symbol(a, p)"))
        return Symbol(*arguments)

    def bracketed(self, opening: str, closing: str) -> list[Math]:
        """Sums separated by commas between brackets; a set may be empty, a call may not."""
        self.deeper()
        self.take(opening, f'"{opening}"')
        items: list[Math] = []
        if self.token != closing or opening == "(":
            items.append(self.sum())
            while self.token == ",":
                self.advance()
                items.append(self.sum())
        self.take(closing, _CLOSINGS[closing])
        self.depth -= 1
        return items


class _ReaderOfSlots(_Reader):
    """Reads what may hold slots."""

    __slots__ = ()

    letters = _LETTERS | frozenset(SLOTS)


# -------------------------------------------------------------- pieces


@lru_cache(maxsize=2048)
def _numeral(digits: str) -> Number:
    return Number(int(digits))


@lru_cache(maxsize=256)
def _letter_named(name: str, primes: int) -> Letter:
    return Letter(name, primes)


def split(text: str) -> list[str]:
    """The tokens, a run of letters as single letters unless it is a reserved name.

    Raises StatementError at a run that looks like a word or hides a name.
    """
    found: list[str] = []
    for token in _TOKEN.findall(text):
        if len(token) == 1 or token[0] not in _LETTERS or token in RESERVED:
            found.append(token)
        elif len(token) > 3 or any(name in token for name in RESERVED if len(name) > 2):
            raise _refusal(text, len(found), _word_refusal(token), token)
        else:
            found.extend(token)
    return found


def _word_refusal(run: str) -> str:
    hidden = next((n for n in sorted(RESERVED, key=len, reverse=True) if n in run), "")
    if len(hidden) > 2:
        return worded("a space on either side of {hidden}", hidden=hidden)
    return worded("single letters, or a space between letters that are multiplied")


def _refusal(text: str, index: int, expected: str, found: str | None = None) -> NotationError:
    """The error at the token of this index; beyond the last one, at the end of the text."""
    places: list[tuple[int, str]] = []
    for match in _TOKEN.finditer(text):
        token, column = match[0], match.start() + 1
        if len(token) == 1 or token[0] not in _LETTERS or token in RESERVED:
            places.append((column, token))
        else:
            places.extend((column + i, letter) for i, letter in enumerate(token))
    column, source = places[index] if index < len(places) else (len(text.rstrip()) + 1, "")
    got = found or source
    got = f'"{shortened(got)}"' if got else worded("the end")
    told = {"excerpt": _excerpt(text, column), "column": column, "expected": expected, "got": got}
    return NotationError(
        worded('"{excerpt}", column {column}: expected {expected}, found {got}', **told)
    )


def _on_one_line(text: str) -> str:
    """The text with a single space for each run of blanks and of what cannot be printed."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def shortened(text: str) -> str:
    return _on_one_line(text if len(text) <= 30 else text[:27] + "...")


def _excerpt(text: str, column: int) -> str:
    """The text on one line; of a long one the part around the column."""
    start = max(0, column - 30) if len(text) > 60 else 0
    part = _on_one_line(text[start : start + 60])
    return "..." * (start > 0) + part + "..." * (start + 60 < len(text))


def _negated(term: Math) -> Math:
    return Number(-term.value) if type(term) is Number else Minus(term)


def _without_brackets(node: Math) -> Math:
    """What an exponent, or a part of a quotient, is: each dialect sets the brackets it needs."""
    return node.inside if type(node) is Group else node


def can_stand_side_by_side(left: Math, right: Math) -> bool:
    """Whether `left * right` needs no dot: `2*x` is 2x, but `7*11` is 7 · 11."""
    return Quotient not in {type(left), type(right)} and part_clearly(left, right)


def _listed(items: Sequence[Math]) -> Math:
    """Items that commas separate: the list is a side of the one relation among them.

    `x = 7, 20` is x = (7, 20), but `f(7) = 0, f(20) = 0` is a list of two relations.
    """
    if len(items) == 1:
        return items[0]
    relations = [i for i, item in enumerate(items) if type(item) is Relation]
    if len(relations) != 1:
        return Listing(tuple(items))
    at = relations[0]
    relation = items[at]
    assert isinstance(relation, Relation)
    first, *middle, last = relation.sides
    left = Listing((*items[:at], first)) if at else first
    right = Listing((last, *items[at + 1 :])) if at + 1 < len(items) else last
    return Relation((left, *middle, right), relation.signs)


def _whole(parts: Sequence[Math | str]) -> Math:
    """One formula from clauses and the words between them.

    A modulus after the last clause holds for all of them, if no other has one.
    """
    first, *others = parts
    if not others and not isinstance(first, str):
        return _settled(first)
    clauses = [i for i, part in enumerate(parts) if not isinstance(part, str)]
    last = parts[clauses[-1]] if len(clauses) > 1 else ""
    if isinstance(last, Modulo) and not any(_has_modulus(parts[i]) for i in clauses[:-1]):
        spoken_for = Words((*parts[: clauses[-1]], last.inside))
        parts = (Modulo(spoken_for, last.modulus), *parts[clauses[-1] + 1 :])
    settled_parts = tuple(p if isinstance(p, str) else _settled(p) for p in parts)
    only = settled_parts[0]
    return Words(settled_parts) if len(settled_parts) > 1 or isinstance(only, str) else only


def _has_modulus(node: Math | str) -> bool:
    return type(node) is Modulo or (type(node) is Listing and type(node.items[0]) is Modulo)


def _settled(node: Math) -> Math:
    """The clause with `=` read as `≡` where only its modulus says that it is a congruence."""
    if type(node) is Listing and type(node.items[0]) is Modulo:
        return Listing(tuple(_settled(item) for item in node.items))
    if type(node) is not Modulo:
        return node
    signs = {sign for relation in relations_of(node.inside) for sign in relation.signs}
    if not signs <= {"=", "≠"}:
        return node
    return Modulo(as_congruence(node.inside), node.modulus)
