"""Questions in words, each with the plain statement that asks the same.

A pattern is a row of words: `[word]` may be missing, `a|b` is one of several, `{a}` a number (any
expression without a relation sign), `{c}` a congruence or several, `{list}` numbers with commas
or "and" between them.  The first pattern that the whole text fits is taken.
"""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from itembank.kinds.asked.tokens import (
    CLOSING,
    IN_A_NUMBER,
    OPENING,
    RELATIONS,
    Token,
    tokens,
)


class Phrase(NamedTuple):
    """A way to ask: its pattern, the plain statement, and what is asked where that says it not."""

    pattern: str
    statement: str
    ask: str = ""


_MOD = "[of|for|mod] {m}"

PHRASES = (
    # orders and inverses
    Phrase("[multiplicative] order [of] {a} mod {m}", "order of {a} mod {m}"),
    Phrase("ord _ {m} ( {a} )", "order of {a} mod {m}"),
    Phrase("ord _ {m} {a}", "order of {a} mod {m}"),
    Phrase("ord [of] {a} mod {m}", "order of {a} mod {m}"),
    Phrase("ord ( {a} , {m} )", "order of {a} mod {m}"),
    Phrase("[multiplicative|modular] inverse [of] {a} mod {m}", "inverse of {a} mod {m}"),
    Phrase("inv [of] {a} mod {m}", "inverse of {a} mod {m}"),
    Phrase("inv ( {a} , {m} )", "inverse of {a} mod {m}"),
    Phrase("{a} inverse mod {m}", "inverse of {a} mod {m}"),
    Phrase("1 / {a} mod {m}", "inverse of {a} mod {m}"),
    Phrase("square of {a} mod {m}", "({a})^2 mod {m}"),
    Phrase("cube of {a} mod {m}", "({a})^3 mod {m}"),
    Phrase("pow|powmod|power ( {a} , {k} , {m} )", "({a})^({k}) mod {m}"),
    Phrase("[table|all] [of] [all] [the] inverses mod {m}", "inverses mod {m}"),
    # roots
    Phrase("square root|roots [of] {a} mod {m}", "x^2 = {a} mod {m}"),
    Phrase("sqrt {a} mod {m}", "x^2 = {a} mod {m}"),
    Phrase("cube|cubic root|roots [of] {a} mod {m}", "x^3 = {a} mod {m}"),
    Phrase("fourth root|roots [of] {a} mod {m}", "x^4 = {a} mod {m}"),
    Phrase("fifth root|roots [of] {a} mod {m}", "x^5 = {a} mod {m}"),
    Phrase("{k} [-] th|rd|nd root|roots [of] {a} mod {m}", "x^{k} = {a} mod {m}"),
    # primitive roots
    Phrase(f"primitive roots {_MOD}", "primitive roots mod {m}"),
    Phrase(f"[least|smallest] primitive root {_MOD}", "least primitive root mod {m}"),
    Phrase(f"number [of] primitive roots {_MOD}", "number of primitive roots mod {m}"),
    Phrase(f"how many primitive roots [are] [there] {_MOD}", "number of primitive roots mod {m}"),
    Phrase("how many primitive roots does {m} have", "number of primitive roots mod {m}"),
    Phrase(f"is there a|any primitive root {_MOD}", "is there a primitive root mod {m}"),
    Phrase("does {m} have a|any primitive root|roots", "is there a primitive root mod {m}"),
    Phrase("has {m} a primitive root", "is there a primitive root mod {m}"),
    Phrase(f"is {{a}} a primitive root {_MOD}", "is {a} a primitive root mod {m}"),
    # remainders
    Phrase("remainder [of|when] {a} [is] divided by {m}", "{a} mod {m}"),
    Phrase("remainder [of] {a} mod {m}", "{a} mod {m}"),
    Phrase("remainder {a} leaves on division by {m}", "{a} mod {m}"),
    Phrase("[least] residue of {a} mod {m}", "{a} mod {m}"),
    Phrase("value of {a} mod {m}", "{a} mod {m}"),
    Phrase("last|units|unit|ones|final digit of {a}", "{a} mod 10"),
    Phrase("last|final {digits} digits of {a}", "{a} mod {digits}"),
    # divisors and functions
    Phrase("gcd|hcf|gcf [of] {list}", "gcd({list})"),
    Phrase("greatest common divisor|factor [of] {list}", "gcd({list})"),
    Phrase("highest common factor|divisor [of] {list}", "gcd({list})"),
    Phrase("lcm [of] {list}", "lcm({list})"),
    Phrase("least|lowest common multiple [of] {list}", "lcm({list})"),
    Phrase("[euler|euler's] phi|totient|φ [function] [of] {a}", "phi({a})"),
    Phrase("carmichael|carmichael's [function] [of] {a}", "lambda({a})"),
    Phrase("carmichael|carmichael's lambda|λ [function] [of] {a}", "lambda({a})"),
    Phrase("how many units [are] [there] mod {m}", "phi({m})"),
    Phrase("legendre|legendre's [symbol] [of] {a} over|mod|by {m}", "legendre ({a}/{m})"),
    Phrase("jacobi|jacobi's [symbol] [of] {a} over|mod|by {m}", "jacobi ({a}/{m})"),
    # squares
    Phrase("is {a} a qr mod|of {m}", "is {a} a quadratic residue mod {m}"),
    Phrase("is {a} a quadratic residue of {m}", "is {a} a quadratic residue mod {m}"),
    Phrase("how many squares [are] [there] mod {m}", "number of squares mod {m}"),
    Phrase(
        "how many quadratic residues [are] [there] mod|of {m}",
        "number of quadratic residues mod {m}",
    ),
    Phrase(f"zero divisors {_MOD}", "zero divisors mod {m}"),
    Phrase("how many zero divisors [are] [there] mod {m}", "number of zero divisors mod {m}"),
    # indices
    Phrase("log|ind _ {b} ( {a} ) mod {m}", "index of {a} base {b} mod {m}"),
    Phrase("log|ind _ {b} {a} mod {m}", "index of {a} base {b} mod {m}"),
    Phrase("[discrete] log|logarithm base {b} of {a} mod {m}", "index of {a} base {b} mod {m}"),
    Phrase(
        "discrete log|logarithm [of] {a} [to] [the] base {b} mod {m}",
        "index of {a} base {b} mod {m}",
    ),
    Phrase("index|ind [of] {a} [to] [the] base {b} mod {m}", "index of {a} base {b} mod {m}"),
    # equations over the integers
    *(
        Phrase(pattern.format(words=words), f"number of {which} solutions of {{c}}")
        for words, which in (
            ("positive|natural", "positive"),
            ("non - negative", "non-negative"),
            ("nonnegative", "non-negative"),
        )
        for pattern in (
            "how many {words} solutions [integer] does {{c}} have",
            "how many {words} [integer] solutions [has|have|of|to|for] {{c}}",
            "[the] number of {words} [integer] solutions [of|to|for|has] {{c}}",
            "{words} [integer] solutions [of|to|for] {{c}}",
            "how many solutions does {{c}} have in {words} integers|numbers",
            "how many solutions in {words} integers|numbers [has|of] {{c}}",
            "{{c}} in {words} integers|numbers",
        )
    ),
    # congruences
    Phrase("how many solutions does|do {c} have", "{c}", "how many"),
    Phrase("how many solutions [has|have|of|to|for] {c}", "{c}", "how many"),
    Phrase("how many solutions [are] [there] [of|to|for] {c}", "{c}", "how many"),
    Phrase("how many integers|numbers x mod {m} satisfy|solve {c}", "{c}", "how many"),
    Phrase("[the] number of solutions [of|to|for|has] {c}", "{c}", "how many"),
    Phrase("count [the|all] solutions [of|to|for] {c}", "{c}", "how many"),
    Phrase("is {c} solvable|soluble", "{c}", "whether any"),
    Phrase("is there [a|any] solution [of|to|for] {c}", "{c}", "whether any"),
    Phrase("are there [any] solutions [of|to|for] {c}", "{c}", "whether any"),
    Phrase("does|do {c} have [a|any] solution|solutions", "{c}", "whether any"),
    Phrase("has|have {c} [a|any] solution|solutions", "{c}", "whether any"),
    Phrase("{c} [solve|find] for {a}", "{c}"),
    Phrase("for {a} : {c}", "{c}"),
    Phrase("{c} find|solve [the] [value|values] [of] {a}", "{c}"),
    Phrase("{c} what is {a}", "{c}"),
    Phrase("{c} over|in the integers", "{c}"),
    Phrase("{c} in integers", "{c}"),
    Phrase("[integers|numbers] {a} such that {c}", "{c}"),
    Phrase("[integers|numbers] {a} so that {c}", "{c}"),
    Phrase("[integers|numbers] {a} if|where|with|satisfying {c}", "{c}"),
    Phrase("for which|what {a} is {c}", "{c}"),
    Phrase("which {a} satisfy|satisfies|solve|solves {c}", "{c}"),
)

Found = dict[str, str]


class _Piece(NamedTuple):
    """A piece of a pattern: words of which one comes next, or a slot."""

    words: frozenset[str]
    slot: str
    optional: bool


@cache
def _pieces(pattern: str) -> tuple[_Piece, ...]:
    return tuple(map(_piece, pattern.split()))


def _piece(text: str) -> _Piece:
    if text.startswith("{"):
        return _Piece(frozenset(), text[1:-1], False)
    if text.startswith("["):
        return _Piece(frozenset(text[1:-1].split("|")), "", True)
    return _Piece(frozenset(text.split("|")), "", False)


def fitted(text: str) -> tuple[Phrase, Found] | None:
    """The first phrase that the whole text fits, with what stands in its slots."""
    found = tokens(text)
    for phrase in PHRASES:
        slots = _fit(_pieces(phrase.pattern), found, text)
        if slots is not None:
            return phrase, slots
    return None


def _fit(pattern: tuple[_Piece, ...], row: tuple[Token, ...], text: str) -> Found | None:
    """What stands in the slots of a pattern that fits the whole row; None if it does not."""
    if not pattern:
        return {} if not row else None
    first, *rest = pattern
    others = tuple(rest)
    if first.slot:
        for n in _lengths(first.slot, row):
            found = _fit(others, row[n:], text)
            if found is not None:
                return {first.slot: text[row[0].start : row[n - 1].end], **found}
        return None
    if row and row[0].text.lower() in first.words:
        found = _fit(others, row[1:], text)
        if found is not None:
            return found
    return _fit(others, row, text) if first.optional else None


def _lengths(slot: str, row: tuple[Token, ...]) -> Iterator[int]:
    """How many tokens may fill a slot, the fewest first."""
    depth, relations = 0, 0
    for n, token in enumerate(row, 1):
        depth += (token.text in OPENING) - (token.text in CLOSING)
        relations += token.text in RELATIONS
        if depth < 0 or not _belongs(slot, token, depth):
            return
        if depth == 0 and (slot != "c" or relations):
            yield n


def _belongs(slot: str, token: Token, depth: int) -> bool:
    """Whether a token can stand in a slot."""
    if slot == "c":
        return True
    if slot == "digits":
        return token.text.isdecimal() or token.text.lower() in NUMBER_WORDS
    if slot == "list" and token.text in {",", "and", "&"}:
        return True
    if token.text in RELATIONS or (token.text == "," and depth == 0):
        return False
    return not token.is_word or token.text.lower() in IN_A_NUMBER


NUMBER_WORDS = {
    word: n
    for n, word in enumerate(
        ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"],
        1,
    )
}
