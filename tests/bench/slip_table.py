"""How often each slip of each kind gives a wrong answer of its own, over the shipped families.

    python -m tests.bench.slip_table [VARIANTS]

Up to VARIANTS (1,000) variants of each kind, shared among its families: in how many of them the
slip can be made, and in how many no other slip leads to the same answer, so that its feedback is
the only one.  Percentages, printed kind by kind.  Run by hand.
"""

import sys
from collections import Counter, defaultdict
from itertools import islice

from itembank.kinds.table import SIGNATURES
from itembank.pipeline.selection import fits
from itembank.pipeline.variants import Stream
from itembank.spec import Family, find_families, library, load_family


def families_by_kind() -> dict[str, list[Family]]:
    found: dict[str, list[Family]] = defaultdict(list)
    for path in find_families([library() / "families"]).values():
        family = load_family(path, SIGNATURES)
        found[family.kind].append(family)
    return dict(sorted(found.items()))


def main() -> None:
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for kind, families in families_by_kind().items():
        made, alone, total = Counter[str](), Counter[str](), 0
        for family in families:
            share = -(-wanted // len(families))
            for variant in islice(Stream(family, "slip table", fits(family)), share):
                total += 1
                for slip in variant.slips:
                    made.update(slip.names)
                    alone.update(slip.names if len(slip.names) == 1 else ())
        print(f"{kind}: {total} variants of {len(families)} families")
        for name, n in made.most_common():
            print(f"  {name:36}{n / total:7.0%} made{alone[name] / total:7.0%} alone")


if __name__ == "__main__":
    main()
