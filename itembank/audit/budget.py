"""How much of a package is read, and how much work is done for one item; beyond it, no verdict.

A package comes from anywhere. What is larger than these limits is refused as a whole, or its
item is unchecked, with the limit. Work is counted in steps, never in seconds, so that the
report on a package is the same on every machine. Digits, degrees and moduli of a question are
bounded where the question is decided, in `itembank.second_way.budget`; every other limit of the
audit stands here.
"""

from dataclasses import dataclass, field

from itembank.audit.unsupported import Unsupported

# ------------------------------------------------------------ the package

MEMBERS = 100_000
"""Members of a package."""
DIRECTORY = 1 << 26
"""Bytes of the directory of a zip, in which each member takes about 100."""
MEMBER = 1 << 29
"""Bytes of one member, unpacked."""
DOCUMENT = 1 << 24
"""Bytes of a document, or of one item in a document of several, that is read as a whole."""
TAGS = 1_000_000
"""Tags of a document, or of one item in a document of several."""
PAGE = 1 << 28
"""Bytes of a printed page."""
PAGE_TAGS = 4_000_000
"""Tags of a printed page."""
TOTAL = 1 << 31
"""Bytes of all members, unpacked."""
RATIO = 250
"""How far a member may be compressed; text such as ours stays below 60."""
SMALL = 1 << 20
"""Below this size a member may be compressed to any degree."""

# ------------------------------------------------------------ one item, as it is read

CHARACTERS = 4_000
"""Characters of a stem, an option, a number or a typed answer: fewer than the digits of a number
that Python reads."""
LINE = 1_000
"""Characters of a line of an outline."""
MARKUP_DEEP = 100
"""Elements, or the groups of a formula, within one another."""
CHAIN_LENGTH = 300
"""Characters of a chain of relations; a longer one is not worked out."""
PRODUCT = 10**40
"""The largest product in a chain that is worked out."""
TRIED = 10**6
"""The largest number that is factored, counted up to or divided by trial."""
WEIGHED = 40
"""The most options that are weighed as guessers do."""

# ------------------------------------------------------------ one item, as it is tried

RULES = 6_000
"""Rules and expressions of the processing of QTI 2 and 3."""
RULES_DEEP = 60
"""Rules and expressions within one another."""
CONDITIONS = 2_000
"""Conditions of an item of QTI 1, with all that is in them."""
POSITIONS = 4_000
"""Characters that one pattern names."""
PATTERN_STEPS = 200_000
"""Moves of one pattern from a character to the next, all together."""
PATTERN_DEEP = 50
"""Groups of a pattern within one another."""
REPEATED = 100
"""The most that a quantifier may ask for."""
OPTIONS = 60
"""The most options that are tried one by one."""
INTERACTIONS = 60
"""The most entries or stages of an item."""
_STEPS = 4_000_000
"""Rules and expressions run, or moves of a pattern (MOVES of them to a step), for one item."""
MOVES = 16
PATTERNS = 1_000_000
"""Characters that the patterns of an item name, and moves from one to the next."""


def refuse_many(what: str, n: int, most: int) -> None:
    """Unsupported where an item has more of something than are read, before they are."""
    if n > most:
        raise Unsupported(f"{n} {what}, {most} are read")


@dataclass
class Work:
    """Counts the steps in which an item's scoring is tried."""

    spent: int = field(default=0)

    def spend(self, steps: int = 1) -> None:
        self.spent += steps
        if self.spent > _STEPS:
            raise Unsupported(f"a scoring that takes more than {_STEPS} steps to try")
