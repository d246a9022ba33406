"""Patterns of response processing, matched in time linear in the response.

The subset of XML Schema regular expressions that such patterns need: literals
and escapes, ., \\s \\d \\w and their complements, [classes], (groups), |, and the
quantifiers ? * + {n} {n,} {n,m}.  As readers do, ^ at the beginning and $ at the
end are read as anchors; the whole response is matched in any case.

A pattern becomes the automaton of its positions: nothing backtracks, so no
pattern of a hostile package can hold the audit up.  Patterns that differ in
their digits alone ("0*7" and "0*8") have one automaton, which is made once.

Sources: XML Schema 1.0 part 2, appendix F; Glushkov, "The abstract theory of
automata", Russian Mathematical Surveys 16 (1961).
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache, reduce
from operator import or_

from itembank.audit.budget import MOVES, PATTERN_DEEP, PATTERN_STEPS, POSITIONS, REPEATED

_KEPT = 256
"""Moves of one automaton, and characters of one pattern, that are kept."""
_START = -1
"""The set of positions before the first character."""
_DIGIT = "\0"
"""Stands for a digit of a pattern in what patterns have in common; no document holds it."""
_TOKEN = re.compile(r"\\.|\[(?:[^\\\[\]]|\\.)*\]|\{[^}]*\}|([0-9])", re.S)
"""What digits may stand in, and each other one: those of escapes, classes and counts stay."""

_CLASS = re.compile(r"(?:[^\\\[\]]|\\.)*\]", re.S)
"""A class up to its end, with none in it."""

_COUNT = re.compile(r"[0-9]{1,4}")


class UnknownPattern(ValueError):
    """A pattern outside the subset, with the reason."""


@dataclass(frozen=True)
class Part:
    """A piece of the pattern: may it match nothing, and where its matches begin and end."""

    nullable: bool
    first: tuple[int, ...]
    last: tuple[int, ...]


@dataclass(frozen=True)
class Automaton:
    """Positions with what follows each; a set of them is a number with bit i for position i.

    Position i matches the characters of `accepts[i]`, `examples[i]` among them, or, where it is in
    `digits`, the digit of the pattern whose place stands there.
    """

    accepts: tuple[Callable[[str], bool], ...]
    examples: tuple[str, ...]
    digits: tuple[tuple[int, int], ...]
    follow: tuple[int, ...]
    whole: Part
    last: int
    moves: dict[int, tuple[int, int]] = field(default_factory=dict, compare=False, repr=False)
    accepted: dict[str, int] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def size(self) -> int:
        """Positions, and moves from one to the next."""
        return len(self.follow) + sum(map(int.bit_count, self.follow))

    def moved(self, state: int) -> tuple[int, int]:
        """What follows a set of positions, and the steps that it takes; kept, up to _KEPT."""
        if state == _START:
            move = _bits(self.whole.first), 0
        else:
            following = [self.follow[i] for i in _positions(state)]
            move = reduce(or_, following, 0), sum(map(int.bit_count, following)) // MOVES
        if len(self.moves) < _KEPT:
            self.moves[state] = move
        return move

    def accepting(self, c: str) -> int:
        """The positions that match a character, but for the digits of a pattern."""
        found = self.accepted.get(c)
        if found is None:
            found = _bits(i for i, accepts in enumerate(self.accepts) if accepts(c))
            if len(self.accepted) < _KEPT:
                self.accepted[c] = found
        return found

    @cached_property
    def shortest(self) -> tuple[int, ...]:
        """The positions of a shortest text that matches; UnknownPattern if none does."""
        if self.whole.nullable:
            return ()
        paths: list[tuple[int, ...]] = [(i,) for i in self.whole.first]
        reached = set(self.whole.first)
        for path in paths:  # grows while it is read: breadth first
            if path[-1] in self.whole.last:
                return path
            for j in _positions(self.follow[path[-1]]):
                if j not in reached:
                    reached.add(j)
                    paths.append((*path, j))
        raise UnknownPattern("expected a pattern that some text matches")


def _bits(places: Iterable[int]) -> int:
    """The set of these positions."""
    return reduce(or_, (1 << i for i in places), 0)


def _positions(state: int) -> Iterator[int]:
    """The positions of a set, in order."""
    while state:
        lowest = state & -state
        yield lowest.bit_length() - 1
        state ^= lowest


class Pattern:
    """An automaton with the digits of one pattern, in their order."""

    def __init__(self, automaton: Automaton, digits: list[str]) -> None:
        self.automaton = automaton
        self.digits = digits
        self.size = automaton.size
        self.accepted = dict(automaton.accepted)
        """The positions that match a character; kept, up to _KEPT."""
        for i, place in automaton.digits:
            d = digits[place]
            self.accepted[d] = self.accepting(d) | 1 << i

    def accepting(self, c: str) -> int:
        """The positions that match a character."""
        found = self.accepted.get(c)
        if found is None:
            found = self.automaton.accepting(c)
            if len(self.accepted) < _KEPT:
                self.accepted[c] = found
        return found

    def matches(self, text: str, spend: Callable[[int], None] = lambda steps: None) -> bool:
        """Whether the whole text matches; each character takes steps, which are spent."""
        moves, accepted = self.automaton.moves, self.accepted
        state = _START
        for c in text:
            following, steps = moves.get(state) or self.automaton.moved(state)
            if steps:
                spend(steps)
            here = accepted.get(c)
            state = following & (self.accepting(c) if here is None else here)
            if not state:
                return False
        if state == _START:
            return self.automaton.whole.nullable
        return state & self.automaton.last != 0

    def sample(self) -> str:
        """A shortest text that matches: what an author of the pattern had in mind."""
        digits = dict(self.automaton.digits)
        examples = self.automaton.examples
        return "".join(
            self.digits[digits[i]] if i in digits else examples[i] for i in self.automaton.shortest
        )


@lru_cache(maxsize=128)
def pattern(source: str) -> Pattern:
    """The pattern; UnknownPattern if it is outside the subset.

    >>> p = pattern(r"^\\s*3(\\s*[,;]\\s*|\\s+)9\\s*$")
    >>> [p.matches(t) for t in ("3, 9", "3  9 ", "39", "9, 3")], p.sample()
    ([True, True, False, False], '3,9')
    """
    if _DIGIT in source:
        raise UnknownPattern("a character that no document holds")
    digits: list[str] = []

    def apart(token: re.Match[str]) -> str:
        if token[1] is None:
            return token[0]
        digits.append(token[1])
        return _DIGIT

    return Pattern(_automaton(_TOKEN.sub(apart, source)), digits)


@lru_cache(maxsize=128)
def _automaton(source: str) -> Automaton:
    """The automaton of a pattern with _DIGIT for its digits."""
    return _Compiler(source.removeprefix("^").removesuffix("$")).compiled()


class _Compiler:
    """alternatives = branch ("|" branch)*; branch = (atom quantifier?)*."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.at = 0
        self.depth = 0
        self.steps = 0
        self.accepts: list[Callable[[str], bool]] = []
        self.examples: list[str] = []
        self.digits: list[tuple[int, int]] = []
        self.follow: list[int] = []
        self.classes: dict[str, tuple[Callable[[str], bool], str]] = {}

    def compiled(self) -> Automaton:
        whole = self.alternatives()
        if self.at < len(self.source):
            raise UnknownPattern(f"unexpected '{self.source[self.at]}'")
        return Automaton(
            tuple(self.accepts),
            tuple(self.examples),
            tuple(self.digits),
            tuple(self.follow),
            whole,
            _bits(whole.last),
        )

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
        following = _bits(starts)
        for i in ends:
            self.follow[i] |= following

    def counted(self, atom: Part, start: int, end: int) -> Part:
        """{n}, {n,} and {n,m}: the atom is read again for each copy."""
        close = self.source.find("}", self.at)
        least, comma, most = self.source[self.at : close].partition(",")
        if close < 0 or not _COUNT.fullmatch(least) or not _COUNT.fullmatch(most or "0"):
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
        if c == _DIGIT:
            self.digits.append((len(self.accepts), self.source.count(_DIGIT, 0, self.at - 1)))
            return self.position(lambda _c: False, c)
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
        self.follow.append(0)
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
        if whole := _CLASS.match(self.source, start):
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
                accepts = _between(c, self.class_end())
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


def _between(low: str, high: str) -> Callable[[str], bool]:
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
