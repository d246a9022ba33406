"""The relations between numbers that a text states, each worked out: 57·94 = 5358 ≡ 2 (mod 103).

A chain of sums, products and powers of integers joined by = and ≡ that stands by itself.  Beside a
letter, a quotient or another bracket it is part of a larger formula, and is not judged here; nor is
a congruence whose modulus stands elsewhere.
"""

import re
from collections.abc import Iterator

from itembank.audit.budget import CHAIN_LENGTH, PRODUCT, Work
from itembank.audit.squeezed import DIGITS, RAISED

_TERM = r"[0-9(+*^) -]"
_BESIDE = r"[\w+*/^)=≡≢≠<>≤≥∣!(′'’-]"
_CHAIN = re.compile(
    rf"([0-9(-](?<!{_BESIDE}[0-9(-])(?<!{_BESIDE} [0-9(-]){_TERM}*(?:[=≡]{_TERM}+)+?)"
    r"(?:\(mod ([0-9]+)\)|(?=$|[.,:;?”)]|\s[^\W\d_]{2}))",
    re.MULTILINE,
)
"""It is looked for at its first character, and what stands before it after that."""
_SIGNS = {"−": "-", "·": "*", "⋅": "*", "×": "*", "\u00a0": " "}
_TOKEN = re.compile(r"[0-9]+|[-+*^()]")


class _Unread(Exception):
    """No sum of products of powers of integers, or one that is too large."""


def untrue(text: str, work: Work) -> Iterator[str]:
    """The chains of a text that do not hold."""
    if "=" not in text and "≡" not in text:
        return
    text = _level(text)
    for sign, plain in _SIGNS.items():
        text = text.replace(sign, plain)
    for match in _CHAIN.finditer(text):
        chain, m = match[1].strip(), match[2]
        work.spend(len(chain))
        if len(chain) <= CHAIN_LENGTH and not _holds(chain, int(m[:40]) if m else 0):
            yield match[0].strip()


def _level(text: str) -> str:
    """The text with raised digits on the line, after ^: what is raised would count as letters."""
    return RAISED.sub(lambda found: "^" + found[1].translate(DIGITS), text)


_TORN = re.compile(
    r"(?=[=≡≢≠≤≥∣∤·+^(])(?:\(\s*\)|\(\s*[=≡≢≠≤≥∣∤·+]"
    r"|[=≡≢≠≤≥∣∤·+]\s*(?:[=≡≢≠≤≥∣∤·+)]|[^\W\d_]{4}|(?=$|[.,;:)]))"
    r"|[≡≢=+·](?:(?<=[^\W\d_]{3} .)|(?<=[^\W\d_]{3}.))"
    r"|[≡≢+·](?:(?<=[,;:.] .)|(?<=[,;:.].)|(?<=^.))"
    r"|\^(?<![^\s(+−·=≡,].))"
)
"""A sign without what belongs on both sides of it, and brackets with nothing in them."""
OPENING, CLOSING = "([{", ")]}"
_BRACKET = re.compile(r"[][(){}]")


def torn(text: str) -> Iterator[str]:
    """The lines of a text with a formula from which something was lost, or in which it is twice.

    >>> list(torn("So x ≡ ≡ 6.")), list(torn("gcd((4, 6) = 2")), list(torn("3 ≡ 10 (mod 7)"))
    (['So x ≡ ≡ 6.'], ['gcd((4, 6) = 2'], [])
    >>> list(torn("Hence ≡ 6.")), list(torn("x ≡ hence 6")), list(torn("so ^2 + 1"))
    (['Hence ≡ 6.'], ['x ≡ hence 6'], ['so ^2 + 1'])
    >>> list(torn("So 4⁶⁰⁴ ≡ 4¹⁰ (mod 27)."))
    []
    """
    for line in text.split("\n"):
        if _TORN.search(line if line.isascii() else _level(line)) or _unbalanced(line):
            yield line


def _unbalanced(line: str) -> bool:
    """Whether a bracket is not closed, or not opened."""
    open_: list[str] = []
    for c in _BRACKET.findall(line):
        if c in OPENING:
            open_.append(c)
        elif not open_ or open_.pop() != OPENING[CLOSING.index(c)]:
            return True
    return bool(open_)


def _holds(chain: str, m: int) -> bool:
    """Whether each link of a chain that can be worked out is so.

    >>> _holds("57*94 = 5358 ≡ 2", 103), _holds("2^3 = 9", 0), _holds("2(3) = 7", 0)
    (True, False, True)
    """
    sides = re.split("[=≡]", chain)
    links = re.findall("[=≡]", chain)
    try:
        values = [_value(side) for side in sides]
    except _Unread:
        return True
    for link, a, b in zip(links, values, values[1:], strict=False):
        if a != b and (link == "=" or (m and (a - b) % m)):
            return False
    return True


def _value(side: str) -> int:
    """The integer that a side is; Unread for anything else."""
    tokens = _TOKEN.findall(side)[::-1]
    found = _total(tokens)
    if tokens:
        raise _Unread
    return found


def _total(tokens: list[str]) -> int:
    found = sign = 0
    while sign == 0 or (tokens and tokens[-1] in "+-"):
        sign = -1 if tokens and tokens[-1] == "-" else 1
        if tokens and tokens[-1] in "+-":
            tokens.pop()
        found += sign * _product(tokens)
    return found


def _product(tokens: list[str]) -> int:
    found = _power(tokens)
    while tokens and tokens[-1] == "*":
        tokens.pop()
        found *= _power(tokens)
        if abs(found) > PRODUCT:
            raise _Unread
    return found


def _power(tokens: list[str]) -> int:
    base = _atom(tokens)
    if not tokens or tokens[-1] != "^":
        return base
    tokens.pop()
    exponent = _atom(tokens)
    if exponent < 0 or exponent * max(1, abs(base).bit_length()) > 130:
        raise _Unread
    return int(base**exponent)


def _atom(tokens: list[str]) -> int:
    token = tokens.pop() if tokens else ""
    if token.isdecimal() and len(token) <= 40:
        return int(token)
    if token == "-":
        return -_atom(tokens)
    if token != "(":
        raise _Unread
    inside = _total(tokens)
    if not tokens or tokens.pop() != ")":
        raise _Unread
    return inside
