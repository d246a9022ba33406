r"""Patterns of what is said, looked for only where the longest words stand that each must hold.

Hundreds of sentences are known of a language and a stem says two or three of them: that a text
holds certain words is told some twenty times sooner than where a pattern with numbers matches.
The words are read from the pattern itself, and never more than any text that it matches holds.
"""

import re
from collections.abc import Iterable

_SIMPLE = re.compile(
    r"""\\(?P<sign>[^\w\s])      # an escaped sign stands for itself
    |(?P<other>\\.)              # a kind of character, or a place between two
    |(?P<class>\[\^?\]?(?:[^\\\]]|\\.)*\])
    |(?P<count>[?*+]|\{[^}]*\})
    |(?P<character>.)""",
    re.VERBOSE | re.DOTALL,
)


class Said:
    """A compiled pattern; `words` stand in every text that it matches, "" where none are sure."""

    def __init__(self, source: str, flags: re.RegexFlag = re.RegexFlag.NOFLAG) -> None:
        self.compiled = re.compile(source, flags)
        self.words = "" if self.compiled.flags & re.IGNORECASE else words_of(source)
        self.match, self.fullmatch = self.compiled.match, self.compiled.fullmatch
        self.sub, self.split = self.compiled.sub, self.compiled.split

    def search(self, text: str) -> re.Match[str] | None:
        return self.compiled.search(text) if self.words in text else None

    def finditer(self, text: str) -> Iterable[re.Match[str]]:
        return self.compiled.finditer(text) if self.words in text else ()


def words_of(source: str) -> str:
    r"""The longest run of characters, outside brackets, that every text holds which matches.

    >>> words_of(r"\bfind the (?:sum|number) of all squares? modulo ([0-9]+)(?=\.)")
    ' of all square'
    >>> words_of("one|two"), words_of(r"(a|b) \(mod [^)]+\)")
    ('', ' (mod ')
    """
    runs, depth = [""], 0
    for token in _SIMPLE.finditer(source):
        c = token["character"]
        if c == "|" and not depth:
            return ""
        if token["count"]:
            runs[-1] = runs[-1][:-1]
        depth += (c == "(") - (c == ")")
        literal = token["sign"] or (c if c and c not in "().^$|" else "")
        if literal and not depth:
            runs[-1] += literal
        else:
            runs.append("")
    return max(runs, key=len)
