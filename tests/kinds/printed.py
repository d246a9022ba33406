"""A reader of worked solutions as they are printed, who takes nothing on trust.

It is given the plain text that a student reads and nothing else: no tree, no step, no solver. It
finds each equation, congruence, divisibility, comparison, table and range of numbers, and works
it out anew. `faults` are lines: what is false, and each congruence between numbers for which
nothing printed before it names a modulus.
"""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import gcd

from tests.kinds.expressions import (
    FUNCTIONS,
    NAMED,
    Node,
    Parser,
    Unread,
    Values,
    letters_in,
    tokens_of,
    value,
    whole,
)

RULE = "─"
WORDS_OF_FUNCTIONS = ("ind", "log", "ord")
"""Functions of words, whose values are checked by the power that stands beside them."""

# ------------------------------------------------------------ chains


@dataclass
class Chain:
    """a = b ≡ c (mod m): its sides, the signs between them, and the modulus if it has one."""

    sides: list[Node | None]
    signs: list[str]
    modulus: Node | None
    text: str


def chains(text: str) -> Iterator[Chain]:
    """Every chain of relations in a text."""
    tokens = tokens_of(text)
    at = 0
    while at < len(tokens):
        if tokens[at][0] != "sign":
            at += 1
            continue
        start, node = left_of(tokens, at)
        sides: list[Node | None] = [node]
        signs: list[str] = []
        while at < len(tokens) and tokens[at][0] == "sign":
            signs.append(tokens[at][1])
            parser = Parser(tokens, at + 1)
            try:
                sides.append(parser.sum())
            except Unread:
                sides.append(None)
            at = max(parser.at, at + 1)
            if ("dots", "...") in tokens[at : at + 2] or ("dots", "…") in tokens[at : at + 2]:
                sides[-1] = None  # 1 · 2 · ... · 12 is no product of two numbers
            if sides[-1] is None:
                break
        modulus, end = modulus_after(tokens, at)
        shown = " ".join(text for _kind, text in tokens[start:end])
        yield Chain(sides, signs, modulus, shown)


def left_of(tokens: Sequence[tuple[str, str]], sign: int) -> tuple[int, Node | None]:
    """The longest expression that ends before a sign."""
    found: tuple[int, Node | None] = (sign, None)
    named = False
    for start in range(sign - 1, -1, -1):
        kind, text = tokens[start]
        if kind in ("word", "sign", "mod", "dots") and text not in NAMED:
            named = kind == "word" and tokens[start + 1 : start + 2] == [("other", "(")]
            break
        if (kind, text) in (("other", "."), ("other", ":"), ("other", ";")):
            break
        node = whole(tokens[start:sign])
        if node is not None:
            found = (start, node)
    return (sign, None) if named and text in WORDS_OF_FUNCTIONS else found


def modulus_after(tokens: Sequence[tuple[str, str]], at: int) -> tuple[Node | None, int]:
    """The modulus of a chain, which may stand behind a list of residues."""
    end = at
    while end < len(tokens) and tokens[end][0] != "mod":
        kind, text = tokens[end]
        if kind not in ("number", "dots") and text not in (",", "−", "-", "+"):
            return None, at
        end += 1
    return modulus_at(tokens, end) if end < len(tokens) else (None, at)


def modulus_at(tokens: Sequence[tuple[str, str]], at: int) -> tuple[Node | None, int]:
    if at >= len(tokens):
        return None, at
    parser = Parser(tokens, at + 1)
    try:
        return parser.sum(), parser.at
    except Unread:
        return None, at


def moduli_in(text: str) -> set[int]:
    """The moduli that a text names."""
    tokens = tokens_of(text)
    found: set[int] = set()
    for at, (kind, _word) in enumerate(tokens):
        if kind != "mod":
            continue
        node, end = modulus_at(tokens, at)
        found |= positive(node)
        while end + 1 < len(tokens) and tokens[end][1] in (",", "and", "or"):  # modulo 9, 7 and 13
            parser = Parser(tokens, end + 1)
            try:
                found |= positive(parser.sum())
            except Unread:
                break
            end = parser.at
    return found


def positive(node: Node | None) -> set[int]:
    try:
        n = value(node, Values()) if node is not None else Fraction(0)
    except Unread:
        return set()
    return {abs(int(n))} if n and n.denominator == 1 else set()


# ------------------------------------------------------------ the reader


@dataclass
class Reader:
    """What is in force while one reads on, what was checked, and what is wrong."""

    symbols: bool = False
    functions: dict[str, tuple[str, Node]] = field(default_factory=dict)
    named: dict[str, int] = field(default_factory=dict)
    moduli: set[int] = field(default_factory=set)
    checked: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    @property
    def given(self) -> Values:
        return Values(dict(self.named), self.functions, self.symbols)

    def read(self, printed: str) -> None:
        for block in re.split(r"\n\s*\n", printed):
            if RULE in block:
                self.table(block.strip("\n").splitlines())
            elif block.strip():
                lines = block.splitlines()
                if all(line.startswith("    ") for line in lines if line.strip()):
                    for line in lines:
                        self.sentence(line.strip(), self.moduli)
                else:
                    self.paragraph(" ".join(block.split()))

    def paragraph(self, text: str) -> None:
        here = moduli_in(text)
        for sentence in re.split(r"(?<=[.:;?])\s+(?=[^\d\s])", text):
            own = moduli_in(sentence)
            self.sentence(sentence, own or here or self.moduli, here)
        self.moduli = here or self.moduli

    def sentence(self, text: str, moduli: set[int], wider: AbstractSet[int] = frozenset()) -> None:
        self.ranges(text)
        own = moduli_in(text)
        for chain in chains(text):
            self.learn(chain)
            self.chain(chain, own | moduli | wider)

    # -------------------------------------------------------- what a chain says

    def learn(self, chain: Chain) -> None:
        """f(x) = x² + 9x + 5 says what f is, e_1 = 91 what e_1 is."""
        first, second = chain.sides[:2]
        if first is None or second is None or chain.signs[0] != "=":
            return
        if first[0] == "call" and first[1][0] in FUNCTIONS and "′" not in first[1]:
            argument = first[2]
            of_one = len(first) == 3 and argument[0] == "let" and second[0] != "call"
            if of_one and letters_in(second) <= {argument[1]}:
                self.functions[first[1]] = (argument[1], second)
        if first[0] == "let" and "_" in first[1]:
            try:
                self.named[first[1]] = int(value(second, self.given))
            except Unread:
                return

    def chain(self, chain: Chain, moduli: set[int], letters: dict[str, int] | None = None) -> None:
        own = positive(chain.modulus)
        for left, sign, right in zip(chain.sides, chain.signs, chain.sides[1:], strict=False):
            if left is None or right is None:
                continue
            try:
                self.pair(left, sign, right, own or moduli, chain, letters or {})
            except Unread:
                self.identity(left, sign, right, own, chain)

    def pair(self, left: Node, sign: str, right: Node, moduli: set[int], chain: Chain,
             letters: dict[str, int]) -> None:  # fmt: skip
        """Two numbers, one beside the other."""
        given = self.given
        given.letters |= letters
        if sign in "≡≢":
            self.congruence(left, sign, right, moduli, chain, given)
            return
        a, b = value(left, given), value(right, given)
        self.checked["comparisons" if sign in "<>≤≥" else "equations"] += 1
        if not COMPARED[sign](a, b):
            self.faults.append(f"{chain.text}: {a} {sign} {b} is false")

    def congruence(self, left: Node, sign: str, right: Node, moduli: set[int], chain: Chain,
                   given: Values) -> None:  # fmt: skip
        value(left, given, 1), value(right, given, 1)  # Unread unless both are numbers
        if not moduli:
            self.faults.append(f"{chain.text}: no modulus is named")
            return
        held = {m for m in moduli if congruent(left, right, m, given)}
        self.checked["congruences"] += 1
        if not held if sign == "≡" else held == moduli:
            self.faults.append(f"{chain.text}: false modulo {sorted(moduli)}")

    def identity(self, left: Node, sign: str, right: Node, own: set[int], chain: Chain) -> None:
        """Two polynomials in one letter that are said to be equal, f(x) among them or a square."""
        letters = letters_in(left)
        if len(letters) != 1 or letters_in(right) != letters or "let" in (left[0], right[0]):
            return
        if not (left[0] == "call" or right[0] == "call" or left[0] in ("pow", "mul", "add")):
            return
        if sign == "≡" and not (left[0] == "call" and own):
            return
        if sign not in "=≡":
            return
        if "φ" in chain.text:
            return  # of a prime p, as the sentence says
        (letter,) = letters
        for n in (-7, -2, 0, 1, 3, 11, 40, 101):
            given = Values({**self.named, letter: n}, self.functions)
            try:
                difference = value(left, given) - value(right, given)
            except Unread:
                return
            if (sign == "=" and difference) or (sign == "≡" and all(difference % m for m in own)):
                self.faults.append(f"{chain.text}: not the same for {letter} = {n}")
                return
        self.checked["identities"] += 1

    # -------------------------------------------------------- ranges

    def ranges(self, text: str) -> None:
        """1 to 6; 2, 5, 8, ..., 23."""
        for low, high in re.findall(r"(?<![\d^·] )\b(\d+) to (\d+)\b", text):
            self.checked["ranges"] += 1
            if int(low) >= int(high):
                self.faults.append(f"{low} to {high}: no range")
        for listed, last in re.findall(
            r"((?:[−-]?\d+, ){2,})(?:\.\.\.|…), ([−-]?\d+)(?![\d^/·⁰¹²³⁴⁵⁶⁷⁸⁹]| ·)", text
        ):
            numbers = [int(n.replace("−", "-")) for n in re.findall(r"[−-]?\d+", listed)]
            step = numbers[-1] - numbers[-2]
            end = int(last.replace("−", "-"))
            even = all(b - a == step for a, b in pairwise(numbers))
            if even and len(numbers) > 2:
                self.checked["ranges"] += 1
                if step == 0 or (end - numbers[-1]) % step or (end - numbers[-1]) // step < 1:
                    self.faults.append(f"{listed}..., {last}: no progression")

    # -------------------------------------------------------- tables

    def table(self, lines: Sequence[str]) -> None:
        rule = next(i for i, line in enumerate(lines) if RULE in line)
        spans = [m.span() for m in re.finditer(f"{RULE}+", lines[rule])]
        ends = [start for start, _end in spans[1:]] + [10**6]
        columns = [(0 if i == 0 else start, end) for i, ((start, _), end) in
                   enumerate(zip(spans, ends, strict=True))]  # fmt: skip
        head = [cells(line, columns) for line in lines[:rule]]
        heads = [" ".join(part for part in column if part) for column in zip(*head, strict=True)]
        rows = [cells(line, columns) for line in lines[rule + 1 :]]
        moduli = set().union(*map(moduli_in, heads)) or self.moduli
        if heads and all(re.fullmatch(r"[−-]?\d+", h) for h in heads[1:]) and len(heads) > 1:
            for row in rows:
                self.values_row(heads, row, moduli)
            return
        for row in rows:
            self.row(heads, row, moduli)

    def values_row(self, heads: Sequence[str], row: Sequence[str], moduli: set[int]) -> None:
        """x over 0, 1, 2, ... and, below, f(x) modulo 13."""
        letter, name = tokens_of(heads[0]), row[0]
        expression = whole(tokens_of(re.split(r",? mod(?:ulo)? ", name)[0]))
        own = moduli_in(name) or moduli
        if len(letter) != 1 or letter[0][0] != "letter" or expression is None:
            return
        for head, cell in zip(heads[1:], row[1:], strict=True):
            given = self.given
            given.letters[letter[0][1]] = int(head.replace("−", "-"))
            self.cell(expression, cell, own, given, f"{name} at {head}")

    def row(self, heads: Sequence[str], row: Sequence[str], moduli: set[int]) -> None:
        given = self.given
        for head, cell in zip(heads, row, strict=True):
            tokens = tokens_of(head)
            node = whole(tokens) if len(tokens) <= 2 else None
            if node and node[0] == "let" and re.fullmatch(r"[−-]?\d+", cell):
                given.letters[node[1]] = int(cell.replace("−", "-"))
        for head, cell in zip(heads, row, strict=True):
            here = moduli_in(head) or moduli
            if head.startswith("condition"):
                self.condition(head, heads, row, cell, here)
                continue
            for chain in chains(cell):
                self.chain(chain, moduli_in(cell) or here, given.letters)
            expression = whole(tokens_of(re.split(r",? mod(?:ulo)? ", head)[0]))
            if expression is not None and expression[0] != "let":
                self.cell(expression, cell, here, given, f"row {row}: {head}")

    def condition(
        self, head: str, heads: Sequence[str], row: Sequence[str], cell: str, moduli: set[int]
    ) -> None:
        """2 + 2t ≡ 0, and behind it the t for which that holds: one, every, or none."""
        (p,) = moduli
        (chain,) = chains(cell)
        left, right = chain.sides[0], chain.sides[-1]
        letter = head.removeprefix("condition on ")[0]
        told = row[[*heads].index(letter)]
        met = {
            t
            for t in range(min(p, 400))
            if congruent(left, right, p, Values({**self.given.letters, letter: t}))
        }
        expected = {"none": set(), f"every {letter}": set(range(min(p, 400)))}.get(told)
        self.checked["conditions"] += 1
        if expected is None:
            t = int(told.replace("−", "-"))
            right_one = congruent(left, right, p, Values({letter: t})) and len(met) <= 1
            expected = met if right_one else {-1}
        if met != expected:
            self.faults.append(f"{cell} modulo {p}: expected t in {sorted(met)}, got {told}")

    def cell(
        self, expression: Node, cell: str, moduli: set[int], given: Values, where: str
    ) -> None:
        """Under f(r)/3 stands its value, or a chain that begins with it."""
        tokens = tokens_of(cell)
        first = Parser(tokens)
        try:
            shown = value(first.sum(), given)
            rest = first.at < len(tokens) and tokens[first.at][0] != "sign"
            if rest:
                return
            expected = value(expression, given)
        except Unread:
            return
        self.checked["cells"] += 1
        if shown != expected and not any((shown - expected) % m == 0 for m in moduli):
            self.faults.append(f"{where}: expected {expected}, got {cell}")


def cells(line: str, columns: Sequence[tuple[int, int]]) -> list[str]:
    return [line[start:end].strip() for start, end in columns]


def congruent(left: Node, right: Node, m: int, given: Values) -> bool:
    difference = value(left, given, m) - value(right, given, m)
    if difference.denominator != 1 and gcd(difference.denominator, m) > 1:
        return False
    return difference.numerator % m == 0


def divides(a: Fraction, b: Fraction) -> bool:
    return b % a == 0 if a else b == 0


COMPARED = {
    "=": lambda a, b: a == b,
    "≠": lambda a, b: a != b,
    "<": lambda a, b: a < b,
    ">": lambda a, b: a > b,
    "≤": lambda a, b: a <= b,
    "≥": lambda a, b: a >= b,
    "∣": divides,
    "∤": lambda a, b: not divides(a, b),
}


SYMBOLS = re.compile("[Ss]ymbol|[Rr]eciprocity|Legendre|Jacobi|Kronecker")
"""Words of a text in which (a/p) is no fraction."""


def read_printed(printed: str) -> Reader:
    """What is checked in the plain text of a worked solution, and its faults."""
    reader = Reader(symbols=SYMBOLS.search(printed) is not None)
    reader.read(printed)
    return reader
