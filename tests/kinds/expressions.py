"""Expressions as they are printed: read, and worked out with numbers for their letters.

For `printed`, which reads worked solutions; like it, it knows nothing of what it reads.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import factorial, gcd, lcm

RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹"
LOWERED = "₀₁₂₃₄₅₆₇₈₉"
SIGNS = "=≡≢≠<>≤≥∣∤"
FUNCTIONS = "fghGHF"
NAMED = {"gcd": gcd, "lcm": lcm}
ALPHABETIC = rf"[^\W\d_{RAISED}{LOWERED}]"
TOKEN = re.compile(
    rf"(?P<mod>\(?\bmod\b|\b[Mm]odulo\b)|(?P<raised>[{RAISED}⁺⁻]+)|(?P<lowered>[{LOWERED}]+|_\d+)"
    rf"|(?P<word>{ALPHABETIC}{{2,}})|(?P<number>\d+)|(?P<letter>{ALPHABETIC}′*)"
    rf"|(?P<sign>[{SIGNS}])|(?P<dots>…|\.\.\.)|(?P<other>\S)"
)
LONGEST_POWER = 20_000


class Unread(Exception):
    """No expression, or one with letters that have no value."""


# ------------------------------------------------------------ expressions


@dataclass
class Values:
    """What is worked out with: the letters that have a value, the functions defined, a modulus."""

    letters: dict[str, int] = field(default_factory=dict)
    functions: dict[str, tuple[str, "Node"]] = field(default_factory=dict)
    symbols: bool = False
    """Whether (a/p) is the symbol of Legendre and Jacobi."""


Node = tuple
"""A node: a name, and numbers or nodes."""


@dataclass
class Parser:
    """An expression at the beginning of some tokens; `at` is where it ends."""

    tokens: Sequence[tuple[str, str]]
    at: int = 0

    def peek(self) -> tuple[str, str]:
        return self.tokens[self.at] if self.at < len(self.tokens) else ("end", "")

    def take(self, *texts: str) -> bool:
        if self.peek()[1] in texts and self.peek()[0] == "other":
            self.at += 1
            return True
        return False

    def sum(self) -> Node:
        negative = self.take("−", "-")
        node = self.product()
        if negative:
            node = ("neg", node)
        while self.peek() in (("other", "+"), ("other", "−"), ("other", "-")):
            minus = self.peek()[1] != "+"
            before, self.at = self.at, self.at + 1
            try:
                term = self.product()
            except Unread:
                self.at = before
                break
            node = ("add", node, ("neg", term) if minus else term)
        return node

    def product(self) -> Node:
        node = self.quotient()
        while True:
            before = self.at
            try:
                self.take("·")
                factor = self.quotient()
            except Unread:
                self.at = before
                return node
            node = ("mul", node, factor)

    def quotient(self) -> Node:
        node = self.power()
        while self.take("/"):
            node = ("div", node, self.power())
        return node

    def power(self) -> Node:
        node = self.atom()
        while True:
            kind, text = self.peek()
            if kind == "raised":
                self.at += 1
                value = text.translate(str.maketrans(RAISED + "⁻⁺", "0123456789-+"))
                node = ("pow", node, ("num", int(value)))
            elif self.take("^"):
                minus = self.take("−", "-")
                exponent = self.atom()
                node = ("pow", node, ("neg", exponent) if minus else exponent)
            elif self.take("!"):
                node = ("fac", node)
            else:
                return node

    def atom(self) -> Node:
        kind, text = self.peek()
        if kind == "number":
            self.at += 1
            return ("num", int(text))
        if kind == "word" and text in NAMED:
            self.at += 1
            return ("call", text, *self.bracketed())
        if kind == "letter":
            self.at += 1
            if self.peek()[0] == "lowered":
                text += "_" + self.peek()[1].translate(str.maketrans(LOWERED, "0123456789", "_"))
                self.at += 1
            elif (text[0] in FUNCTIONS or text == "φ") and self.peek() == ("other", "("):
                return ("call", text, *self.bracketed())
            return ("let", text)
        if (kind, text) == ("other", "("):
            inside = self.bracketed()
            if len(inside) > 1:
                raise Unread("a pair")
            return ("group", *inside)
        raise Unread(text)

    def bracketed(self) -> list[Node]:
        if not self.take("("):
            raise Unread(self.peek()[1])
        inside = [self.sum()]
        while self.take(","):
            inside.append(self.sum())
        if not self.take(")"):
            raise Unread(self.peek()[1])
        return inside


def whole(tokens: Sequence[tuple[str, str]]) -> Node | None:
    """The expression that all of these tokens are."""
    parser = Parser(tokens)
    try:
        node = parser.sum()
    except Unread:
        return None
    return node if parser.at == len(tokens) else None


def tokens_of(text: str) -> list[tuple[str, str]]:
    return [(m.lastgroup or "", m[0]) for m in TOKEN.finditer(text)]


def letters_in(node: Node) -> set[str]:
    if node[0] == "let":
        return {node[1]}
    return set().union(*(letters_in(part) for part in node[1:] if isinstance(part, tuple)))


def value(node: Node, given: Values, m: int = 0) -> Fraction:
    """The value, or one congruent to it modulo m; Unread for a letter without a value."""
    kind, *parts = node
    if kind == "num":
        return Fraction(parts[0])
    if kind == "let":
        if parts[0] not in given.letters:
            raise Unread(parts[0])
        return Fraction(given.letters[parts[0]])
    if kind == "group" and given.symbols and (symbol := symbol_in(parts[0])):
        a, n = (value(part, given) for part in symbol)
        return Fraction(kronecker(int(a), int(n)))
    if kind == "group":
        return value(parts[0], given, m)
    if kind == "neg":
        return -value(parts[0], given, m)
    if kind == "fac":
        of = int(value(parts[0], given))
        if not 0 <= of <= 2000:
            raise Unread(node)
        return Fraction(factorial(of))
    if kind == "call":
        return called(parts[0], parts[1:], given, m)
    if kind == "pow":
        return powered(parts[0], parts[1], given, m)
    a, b = (value(part, given, 0 if kind == "div" else m) for part in parts)
    if kind == "div":
        if not b:
            raise Unread(node)
        return a / b
    return a + b if kind == "add" else a * b


def symbol_in(node: Node) -> tuple[Node, Node] | None:
    """The top and the bottom of a symbol, whose top may be negative."""
    if node[0] == "div":
        return node[1], node[2]
    if node[0] == "neg" and node[1][0] == "div":
        return ("neg", node[1][1]), node[1][2]
    return None


def powered(base: Node, exponent: Node, given: Values, m: int) -> Fraction:
    b, e = value(base, given, m), value(exponent, given)
    if e.denominator != 1:
        raise Unread(exponent)
    if m and b.denominator == 1:
        if e < 0 and gcd(int(b), m) != 1:
            raise Unread(base)
        return Fraction(pow(int(b), int(e), m))
    if abs(e) > LONGEST_POWER or (e < 0 and not b):
        raise Unread(exponent)
    return b ** int(e)


def called(name: str, arguments: Sequence[Node], given: Values, m: int) -> Fraction:
    if name in NAMED:
        return Fraction(NAMED[name](*(int(value(a, given)) for a in arguments)))
    if name == "φ":
        return Fraction(totient(int(value(arguments[0], given))))
    letter, body = given.functions.get(name[0], ("", ("let", "?")))
    at = value(arguments[0], given, 0)
    known = {**given.letters, letter: int(at)}
    if "′" in name:
        return slope(body, letter, int(at), given)
    return value(body, Values(known, given.functions), m)


def slope(body: Node, letter: str, at: int, given: Values) -> Fraction:
    """The derivative, of the polynomial through as many points as it needs: f is small."""
    points = 12
    xs = range(at - points, at + points + 1)
    ys = [value(body, Values({**given.letters, letter: x}, given.functions)) for x in xs]
    total = Fraction(0)
    differences = list(ys)
    for k in range(1, len(xs)):  # Newton's series at the first point, differentiated
        differences = [b - a for a, b in pairwise(differences)]
        if not any(differences):
            return total
        total += differences[0] * falling_slope(k, points)
    raise Unread(body)


def falling_slope(k: int, s: int) -> Fraction:
    """The derivative of s(s - 1)...(s - k + 1)/k! at s."""
    total = Fraction(0)
    for left_out in range(k):
        term = Fraction(1)
        for i in range(k):
            if i != left_out:
                term *= s - i
        total += term
    return total / factorial(k)


def totient(n: int) -> int:
    result, rest, p = n, n, 2
    while p * p <= rest:
        if rest % p == 0:
            result -= result // p
            while rest % p == 0:
                rest //= p
        p += 1
        if p > 10**6:
            raise Unread(n)
    return result - result // rest if rest > 1 else result


def kronecker(a: int, n: int) -> int:
    """The symbol of Kronecker for n other than 0: that of Jacobi, (a/-1) and (a/2)."""
    if n == 0:
        raise Unread(n)
    sign = -1 if n < 0 and a < 0 else 1
    n = abs(n)
    while n % 2 == 0:
        n //= 2
        sign *= 0 if a % 2 == 0 else 1 if a % 8 in (1, 7) else -1
    return sign * jacobi(a, n)


def jacobi(a: int, n: int) -> int:
    """Cohen, A Course in Computational Algebraic Number Theory, algorithm 1.4.10."""
    if n <= 0 or n % 2 == 0:
        raise Unread(n)
    a, sign = a % n, 1
    while a:
        while a % 2 == 0:
            a //= 2
            sign = -sign if n % 8 in (3, 5) else sign
        a, n = n, a
        if a % 4 == n % 4 == 3:
            sign = -sign
        a %= n
    return sign if n == 1 else 0
