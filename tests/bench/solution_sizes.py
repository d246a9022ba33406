"""How long worked solutions are, and how large the numbers in them.

    python -m tests.bench.solution_sizes [VARIANTS] [KIND ...]

Of each shipped family the first VARIANTS problems (12 if not said) are solved and told as their
family asks.  Printed are, by kind, the median and the maximum of the words of a solution (what
spaces part in the plain text, tables included) and of the largest number written in one.
"""

import re
import sys
from collections import defaultdict
from dataclasses import dataclass, field
from itertools import islice
from statistics import median

from itembank.kinds.base import worked_for
from itembank.kinds.table import SIGNATURES
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family, find_families, library, load_family

SEED = "solution-sizes"

RULE = "\N{BOX DRAWINGS LIGHT HORIZONTAL}"
"""What the line below the head of a table is made of."""


@dataclass
class Sizes:
    """Of each solution of a kind: its words, and the largest number in it."""

    words: list[int] = field(default_factory=list)
    largest: list[int] = field(default_factory=list)

    def add(self, text: str) -> None:
        self.words.append(len(text.replace(RULE, "").split()))
        self.largest.append(max(map(int, re.findall(r"\d+", text)), default=0))

    def row(self, kind: str) -> str:
        numbers = sorted(self.largest)
        middle = numbers[len(numbers) // 2]
        return (
            f"{kind:28} {len(self.words):5} {median(self.words):8.0f} {max(self.words):8} "
            f"{shortly(middle):>12} {shortly(numbers[-1]):>24}"
        )


def shortly(n: int) -> str:
    """The number, or how many digits it has."""
    return str(n) if n < 10**18 else f"({len(str(n))} digits)"


def told(variant: Variant, family: Family) -> str:
    """The worked solution of a variant as plain text."""
    way = worked_for(variant.problem, variant.solution, family.ask)
    return plain.blocks(Speaker().blocks(way))


def main(arguments: list[str]) -> None:
    variants = int(arguments[0]) if arguments else 12
    sizes: dict[str, Sizes] = defaultdict(Sizes)
    for name, path in find_families([library() / "families"]).items():
        family = load_family(path, SIGNATURES)
        if len(arguments) > 1 and family.kind not in arguments[1:]:
            continue
        for variant in islice(Stream(family, SEED, fits(family)), variants):
            sizes[family.kind].add(told(variant, family))
        assert sizes[family.kind].words, name
    print(f"{'kind':28} {'items':>5} {'words':>8} {'most':>8} {'largest no.':>12} {'most':>24}")
    for kind in sorted(sizes):
        print(sizes[kind].row(kind))


if __name__ == "__main__":
    main(sys.argv[1:])
