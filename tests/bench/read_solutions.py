"""Worked solutions read as they are printed: every number in them worked out anew.

    python -m tests.bench.read_solutions [VARIANTS] [KIND ...]

Of each shipped family the first VARIANTS problems (18 if not said: over 2,000 solutions) are
solved, told as their family asks, printed as plain text and read by `tests/kinds/printed.py`,
which knows no step and no solver. Printed are what was checked, and each line that is false or
has a congruence without a modulus; the exit status is 1 if there is one.
"""

import sys
from collections import Counter
from itertools import islice

from itembank.kinds.base import worked_for
from itembank.kinds.table import SIGNATURES
from itembank.languages import Speaker
from itembank.notation import plain
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream, Variant
from itembank.spec import Family, find_families, library, load_family
from tests.kinds.printed import Reader, read_printed

SEED = "read-solutions"


def read(variant: Variant, family: Family) -> Reader:
    way = worked_for(variant.problem, variant.solution, family.ask)
    return read_printed(plain.blocks(Speaker().blocks(way)))


def main(arguments: list[str]) -> int:
    variants = int(arguments[0]) if arguments else 18
    checked: Counter[str] = Counter()
    solutions = faults = 0
    for name, path in find_families([library() / "families"]).items():
        family = load_family(path, SIGNATURES)
        if len(arguments) > 1 and family.kind not in arguments[1:]:
            continue
        for variant in islice(Stream(family, SEED, fits(family)), variants):
            reader = read(variant, family)
            checked += reader.checked
            solutions += 1
            for fault in reader.faults:
                faults += 1
                print(f"{name} {'; '.join(variant.problem.statement)}: {fault}")
    print(f"{solutions} solutions: {', '.join(f'{n} {what}' for what, n in checked.items())}")
    print(f"{faults} faults")
    return int(faults > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
