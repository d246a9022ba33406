"""Patterns of response processing, matched in time linear in the response.

The subset of XML Schema regular expressions that such patterns need: literals
and escapes, ., \\s \\d \\w and their complements, [classes], (groups), |, and the
quantifiers ? * + {n} {n,} {n,m}.  As readers do, ^ at the beginning and $ at the
end are read as anchors; the whole response is matched in any case.

A pattern becomes the automaton of its positions: nothing backtracks, so no
pattern of a hostile package can hold the audit up.

Sources: XML Schema 1.0 part 2, appendix F; Glushkov, "The abstract theory of
automata", Russian Mathematical Surveys 16 (1961).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache

from itembank.audit.budget import MOVES, PATTERN_DEEP, PATTERN_STEPS, POSITIONS, REPEATED

KEPT = 256
"""Moves of one pattern that are kept."""
START = frozenset([-1])
"""Before the first character."""

CLASS = re.compile(r"(?:[^\\\[\]]|\\.)*\]", re.S)
"""A class up to its end, with none in it."""

COUNT = re.compile(r"[0-9]{1,4}")


class UnknownPattern(ValueError):
    """A pattern outside the subset, with the reason."""


@dataclass(frozen=True)
class Part:
    """A piece of the pattern: may it match nothing, and where its matches begin and end."""

    nullable: bool
    first: tuple[int, ...]
    last: tuple[int, ...]


@dataclass(frozen=True)
class Pattern:
    """An automaton; position i matches the characters of `accepts[i]`, `examples[i]` among them."""

    accepts: tuple[Callable[[str], bool], ...]
    examples: tuple[str, ...]
    follow: tuple[tuple[int, ...], ...]
    whole: Part
    moves: dict[tuple[frozenset[int], str], tuple[frozenset[int], int]] = field(
        default_factory=dict, compare=False, repr=False
    )

    @property
    def size(self) -> int:
        """Positions, and moves from one to the next."""
        return len(self.follow) + sum(map(len, self.follow))

    def matches(self, text: str, spend: Callable[[int], None] = lambda steps: None) -> bool:
        """Whether the whole text matches; each character takes steps, which are spent."""
        state = START
        for c in text:
            move = self.moves.get((state, c))
            if move is None:
                move = self.moved(state, c)
            state, steps = move
            spend(steps)
            if not state:
                return False
        return self.whole.nullable if state is START else not state.isdisjoint(self.whole.last)

    def moved(self, state: frozenset[int], c: str) -> tuple[frozenset[int], int]:
        """The positions after one more character, and the steps that it takes; kept, up to KEPT."""
        if state is START:
            reached, steps = frozenset(self.whole.first), 0
        else:
            reached = frozenset(j for i in state for j in self.follow[i])
            steps = sum(len(self.follow[i]) for i in state) // MOVES
        move = frozenset(j for j in reached if self.accepts[j](c)), steps
        if len(self.moves) < KEPT:
            self.moves[state, c] = move
        return move

    def sample(self) -> str:
        """A shortest text that matches: what an author of the pattern had in mind."""
        if self.whole.nullable:
            return ""
        paths: list[tuple[int, ...]] = [(i,) for i in self.whole.first]
        reached = set(self.whole.first)
        for path in paths:  # grows while it is read: breadth first
            if path[-1] in self.whole.last:
                return "".join(self.examples[i] for i in path)
            for j in self.follow[path[-1]]:
                if j not in reached:
                    reached.add(j)
                    paths.append((*path, j))
        raise UnknownPattern("expected a pattern that some text matches")


@lru_cache(maxsize=128)
def pattern(source: str) -> Pattern:
    """The pattern; UnknownPattern if it is outside the subset.

    >>> p = pattern(r"^\\s*3(\\s*[,;]\\s*|\\s+)9\\s*$")
    >>> [p.matches(t) for t in ("3, 9", "3  9 ", "39", "9, 3")], p.sample()
    ([True, True, False, False], '3,9')
    """
    return Compiler(source.removeprefix("^").removesuffix("$")).compiled()


class Compiler:
    """alternatives = branch ("|" branch)*; branch = (atom quantifier?)*."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.at = 0
        self.depth = 0
        self.steps = 0
        self.accepts: list[Callable[[str], bool]] = []
        self.examples: list[str] = []
        self.follow: list[set[int]] = []
        self.classes: dict[str, tuple[Callable[[str], bool], str]] = {}

    def compiled(self) -> Pattern:
        whole = self.alternatives()
        if self.at < len(self.source):
            raise UnknownPattern(f"unexpected '{self.source[self.at]}'")
        follow = tuple(tuple(sorted(f)) for f in self.follow)
        return Pattern(tuple(self.accepts), tuple(self.examples), follow, whole)

    def next(self) -> str:
        """The next character, "" at the end; it is not passed over."""
        return self.source[self.at : self.at + 1]

    def take(self, c: str) -> bool:
        found = self.next() == c
        self.at += found
        return found

    def alternatives(self) -> Part:
        whole = self.branch()
        while self.take("|"):
            other = self.branch()
            whole = Part(
                whole.nullable or other.nullable,
                whole.first + other.first,
                whole.last + other.last,
            )
        return whole

    def branch(self) -> Part:
        whole = Part(True, (), ())
        while self.next() not in ("", "|", ")"):
            whole = self.joined(whole, self.quantified())
        return whole

    def joined(self, a: Part, b: Part) -> Part:
        self.connect(a.last, b.first)
        return Part(
            a.nullable and b.nullable,
            a.first + b.first if a.nullable else a.first,
            b.last + a.last if b.nullable else b.last,
        )

    def quantified(self) -> Part:
        start = self.at
        atom = self.atom()
        end = self.at
        if self.take("?"):
            part = Part(True, atom.first, atom.last)
        elif self.take("*"):
            part = Part(True, *self.repeated(atom))
        elif self.take("+"):
            part = Part(atom.nullable, *self.repeated(atom))
        elif self.take("{"):
            part = self.counted(atom, start, end)
        else:
            return atom
        if self.next() in ("?", "*", "+", "{") and self.next():
            raise UnknownPattern("two quantifiers together")
        return part

    def repeated(self, atom: Part) -> tuple[tuple[int, ...], tuple[int, ...]]:
        self.connect(atom.last, atom.first)
        return atom.first, atom.last

    def connect(self, ends: tuple[int, ...], starts: tuple[int, ...]) -> None:
        self.steps += len(ends) * len(starts)
        if self.steps > PATTERN_STEPS:
            raise UnknownPattern(f"more than {PATTERN_STEPS} steps")
        for i in ends:
            self.follow[i].update(starts)

    def counted(self, atom: Part, start: int, end: int) -> Part:
        """{n}, {n,} and {n,m}: the atom is read again for each copy."""
        close = self.source.find("}", self.at)
        least, comma, most = self.source[self.at : close].partition(",")
        if close < 0 or not COUNT.fullmatch(least) or not COUNT.fullmatch(most or "0"):
            raise UnknownPattern("a quantifier that is no {n}, {n,} or {n,m}")
        after = close + 1
        low = int(least)
        high = int(most) if most else low if not comma else max(low, 1)
        if not max(low, 1) <= high <= REPEATED:
            raise UnknownPattern(f"a quantifier beyond {REPEATED}")
        whole, copy = Part(True, (), ()), atom
        for n in range(high):
            if n:
                self.at = start
                copy = self.atom()
            if comma and not most and n == high - 1:
                self.repeated(copy)
            whole = self.joined(whole, copy if n < low else Part(True, copy.first, copy.last))
        self.at = after
        return whole

    # ---------------------------------------------------------- atoms

    def atom(self) -> Part:
        c = self.next()
        self.at += 1
        if c == "(":
            return self.group()
        if c == "[":
            return self.position(*self.character_class())
        if c == "\\":
            return self.position(*self.escaped())
        if c == ".":
            return self.position(lambda c: c not in "\n\r", "a")
        if c in "?*+{}]^$":
            raise UnknownPattern(f"unexpected '{c}'")
        return self.position(c.__eq__, c)

    def group(self) -> Part:
        self.depth += 1
        if self.depth > PATTERN_DEEP or self.next() == "?":
            raise UnknownPattern("a group that is nested too deeply or of a special kind")
        inside = self.alternatives()
        if not self.take(")"):
            raise UnknownPattern("a bracket that is not closed")
        self.depth -= 1
        return inside

    def position(self, accepts: Callable[[str], bool], example: str) -> Part:
        if len(self.accepts) == POSITIONS:
            raise UnknownPattern(f"more than {POSITIONS} characters")
        self.accepts.append(accepts)
        self.examples.append(example)
        self.follow.append(set())
        i = len(self.accepts) - 1
        return Part(False, (i,), (i,))

    def escaped(self) -> tuple[Callable[[str], bool], str]:
        c = self.next()
        self.at += 1
        if c in KINDS:
            return KINDS[c]
        if c in "ntr" and c:
            c = {"n": "\n", "t": "\t", "r": "\r"}[c]
        elif not c or c.isalnum():
            raise UnknownPattern(f"the escape \\{c}")
        return c.__eq__, c

    def character_class(self) -> tuple[Callable[[str], bool], str]:
        """The class that begins here; the same one stands many times in a pattern."""
        start = self.at
        if whole := CLASS.match(self.source, start):
            known = self.classes.get(whole[0])
            if known is None:
                known = self.classes[whole[0]] = self.one_class()
            self.at = whole.end()
            return known
        return self.one_class()

    def one_class(self) -> tuple[Callable[[str], bool], str]:
        negated = self.take("^")
        tests: list[Callable[[str], bool]] = []
        example = ""
        while not self.take("]"):
            c = self.next()
            self.at += 1
            if not c or c == "[":
                raise UnknownPattern("a class that is not closed, or one in another")
            if c == "\\":
                accepts, c = self.escaped()
            else:
                accepts = c.__eq__
            if self.next() == "-" and self.source[self.at + 1 : self.at + 2] not in ("]", ""):
                self.at += 1
                accepts = between(c, self.class_end())
            tests.append(accepts)
            example = example or c
        if negated:
            example = next(c for c in "a0 ~,é" if not any(t(c) for t in tests))
            return lambda c: not any(t(c) for t in tests), example
        if len(tests) == 1:
            return tests[0], example
        return lambda c: any(t(c) for t in tests), example

    def class_end(self) -> str:
        c = self.next()
        self.at += 1
        return self.escaped()[1] if c == "\\" else c


def between(low: str, high: str) -> Callable[[str], bool]:
    return lambda c: low <= c <= high


KINDS: dict[str, tuple[Callable[[str], bool], str]] = {
    "s": (lambda c: c in " \t\n\r", " "),
    "S": (lambda c: c not in " \t\n\r", "a"),
    "d": (str.isdecimal, "0"),
    "D": (lambda c: not c.isdecimal(), "a"),
    "w": (str.isalnum, "a"),
    "W": (lambda c: not c.isalnum(), " "),
}
"""The kinds of character with an example of each."""
