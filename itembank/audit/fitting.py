"""Whether a remark fits the answer that it is shown to, and whether it tells the truth.

What is said to a wrong answer says things of that answer: "35 is the opposite of 22", "put 55 into
the last congruence".  Each of these is a pattern of the language, under `feedback.claims`, and a
function in CLAIMS that holds its numbers against the answer; `feedback.truths` are said of numbers
alone.  A remark that says nothing of the sort is not judged here.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from itembank.audit import claims
from itembank.audit.phrases import Answers, Remarks
from itembank.audit.seen import Response, SeenItem
from itembank.audit.unsupported import Unsupported

Numbers = tuple[int, ...]


@dataclass(frozen=True)
class Given:
    """A wrong answer: the integers of it, or the pairs; the key of the question, and its modulus.

    The modulus is 0 where the question has none.
    """

    integers: Numbers
    pairs: tuple[tuple[int, int], ...]
    key: Numbers
    modulus: int

    def holds(self, n: int) -> bool:
        """Whether an integer, or one that is the same modulo the modulus, is in the answer."""
        return any(n == g or (self.modulus and (n - g) % self.modulus == 0) for g in self.integers)


def given(told: str, key: Numbers, modulus: int, answer: Answers) -> Given | None:
    """What an answer says, by its label or as it was typed; None for no set of integers."""
    text = " ".join(told.replace("\u00a0", " ").split()).strip("“”„\"'")
    if text.lower() in answer.none:
        return Given((), (), key, modulus)
    if text.endswith(".") or ("{" in text and "(" in text):
        try:
            return Given((), claims.pairs(text, answer), key, modulus)
        except Unsupported:
            pass
    try:
        return Given(claims.residues(text, modulus or 1, answer), (), key, modulus)
    except Unsupported:
        return None


# ------------------------------------------------------------ what is said of an answer


def _right_here(found: Given, n: Numbers) -> bool:
    """Each residue of it is one of the key modulo n1."""
    return bool(found.integers) and all(
        any(_same_class(g, k, n[0]) for k in found.key) for g in found.integers
    )


def _same_class(a: int, b: int, m: int) -> bool:
    """Whether integers are congruent; modulo 0, which a remark may say, if they are the same."""
    return (a - b) % m == 0 if m else a == b


CLAIMS: dict[str, Callable[[Given, Numbers], bool]] = {
    "right here": _right_here,
    "none": lambda found, _n: not found.integers and not found.pairs,
    "holds": lambda found, n: found.holds(n[0]),
    "one of two": lambda found, n: found.holds(n[0]) or found.holds(n[1]),
    "one less": lambda found, n: found.holds(n[0] - 1),
    "pair": lambda found, n: (n[0], n[1]) in found.pairs,
    "in a class": lambda found, n: any(_same_class(g, *n[:2]) for g in found.integers),
    "all of a class": lambda found, n: all(_same_class(g, *n[:2]) for g in found.integers),
}
"""By what the remark says of the answer."""

TRUTHS: dict[str, Callable[[Numbers], bool]] = {
    "divides": lambda n: n[0] != 0 and n[1] % n[0] == 0,
    "does not divide": lambda n: n[0] == 0 or n[1] % n[0] != 0,
}
"""By what is said of two numbers."""


def _numbers(match: re.Match[str]) -> Numbers:
    """The groups n1, n2, ... of a match."""
    named = match.groupdict()
    told = (named[f"n{i}"] for i in range(1, 5) if named.get(f"n{i}"))
    return tuple(int(n.replace("−", "-").replace(" ", "")) for n in told)


_OF_SETS = frozenset(["right here", "in a class", "pair"])
"""What is said of solutions: the number of them, or the least, may come from others."""


def unfit(text: str, found: Given, said: Remarks, solutions: bool) -> Iterator[str]:
    """What a remark says that is not so of the answer; `solutions`: the answer is all of them."""
    for name, match in _claimed(text, said):
        if name in _OF_SETS and not solutions:
            continue
        if not CLAIMS[name](found, _numbers(match)):
            yield match[0].strip()[:100]


@lru_cache(maxsize=64)
def _claimed(text: str, said: Remarks) -> tuple[tuple[str, re.Match[str]], ...]:
    """What a remark says of the answer, which is the same to whomever it is shown."""
    words = " ".join(text.split()).lower()
    return tuple(
        (name, match)
        for name, patterns in said.claims.items()
        for pattern in patterns
        for match in pattern.finditer(words)
        if len(match[0]) < _LONGEST
    )


def false(text: str, said: Remarks) -> Iterator[str]:
    """What is said of numbers that is not so."""
    words = " ".join(text.split()).lower()
    for name, patterns in said.truths.items():
        for match in (m for pattern in patterns for m in pattern.finditer(words)):
            if len(match[0]) < _LONGEST and not TRUTHS[name](_numbers(match)):
                yield match[0].strip()


_LONGEST = 200
"""Characters of what is said with two numbers."""


# ------------------------------------------------------------ which answer is told what

_WHOLE = ("any", "one", "text", "entries")
"""The forms in which one answer is given, as a whole."""


def told_to(
    item: SeenItem, shown: Iterable[tuple[str, Response]], said: Remarks
) -> Iterator[tuple[str, str, str]]:
    """Each remark with the answer that is told it: its place, the words of the answer, the text.

    `shown`: the names of feedback with an answer that shows it.  Where remarks on all answers
    stand in one text, each begins with the words that name its answer.
    """
    labels = {o.identifier: o.label for o in item.options}
    for name, response in shown:
        if name in item.feedback and item.form in _WHOLE:
            told = ", ".join(labels.get(r, r) for r in response if r)
            yield name, told, item.feedback[name].text()
    for name, read in item.feedback.items():
        answer = ""
        remarks: list[str] = []
        for words in read.text().split("\n"):
            if named := said.answered.fullmatch(words.lower()):
                if answer and remarks:
                    yield name, answer, " ".join(remarks)
                answer, remarks = words[named.start(1) : named.end(1)], []
            elif answer:
                remarks.append(words)
        if answer and remarks:
            yield name, answer, " ".join(remarks)
