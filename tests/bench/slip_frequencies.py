"""How often each slip gives a wrong answer of its own: a table for those who write families.

    python -m tests.bench.slip_frequencies [VARIANTS]

Over VARIANTS (1,000) congruences of each shape a course uses, from a fixed seed: in how many
the slip can be made, and in how many it leads to an answer that no other slip leads to, so
that its feedback is the only one. Percentages; a dot stands for never.
"""

import sys
from collections import Counter
from random import Random

from itembank.kinds.statement import problem_from
from itembank.kinds.table import SIGNATURES

SHAPES = {
    "linear": lambda r: f"{r(2, 40)}x = {r(1, 40)} mod {r(6, 60)}",
    "prime": lambda r: f"x^2 + {r(1, 20)}x + {r(1, 20)} = 0 mod {r.choice([7, 11, 13, 17, 19])}",
    "prime power": lambda r: f"x^2 + {r(1, 20)}x + {r(1, 20)} = 0 mod {r.choice([9, 25, 27, 49])}",
    "two powers": lambda r: (
        f"x^2 + {r(1, 20)}x + {r(1, 20)} = 0 mod {r.choice([5, 7, 11, 13])}^2*{r.choice([3, 4, 9])}"
    ),
    "squares": lambda r: f"x^2 = {r(1, 60)} mod {r.choice([16, 21, 32, 35, 40, 45, 63, 91, 99])}",
    "cubic": lambda r: (
        f"{r(1, 3)}x^3 + {r(1, 9)}x + {r(1, 9)} = 0 mod {r.choice([27, 50, 63, 75])}"
    ),
}
"""A statement of each shape, from a drawer of integers."""

VARIANTS = 1000


class Drawer:
    def __init__(self, seed: str) -> None:
        self.random = Random(seed)
        self.choice = self.random.choice

    def __call__(self, least: int, most: int) -> int:
        return self.random.randint(least, most)


def frequencies(shape: str, variants: int) -> tuple[int, Counter[str], Counter[str]]:
    """How many solvable variants there were; per slip, in how many it applies, and alone."""
    drawer = Drawer(shape)
    applies: Counter[str] = Counter()
    alone: Counter[str] = Counter()
    solvable = 0
    for _ in range(variants):
        problem = problem_from([SHAPES[shape](drawer)])
        solution = problem.solve()
        solvable += bool(solution.answer)
        for slip in problem.slips(solution):
            applies.update(slip.names)
            alone.update(slip.names if len(slip.names) == 1 else ())
    return solvable, applies, alone


def percent(n: int, of: int) -> str:
    return f"{100 * n / of:.0f}" if n else "."


def main() -> None:
    variants = int(sys.argv[1]) if len(sys.argv) > 1 else VARIANTS
    found = {shape: frequencies(shape, variants) for shape in SHAPES}
    width = max(map(len, SHAPES)) + 2
    print(f"{'':28}" + "".join(f"{shape:>{width}}" for shape in SHAPES))
    cells = (percent(solvable, variants) for solvable, _applies, _alone in found.values())
    print(f"{'solvable':28}" + "".join(f"{cell:>{width}}" for cell in cells))
    names = dict.fromkeys(SIGNATURES["linear"].slips + SIGNATURES["polynomial"].slips)
    for name in names:
        cells = (
            f"{percent(applies[name], variants)} / {percent(alone[name], variants)}"
            for _solvable, applies, alone in found.values()
        )
        print(f"{name:28}" + "".join(f"{cell:>{width}}" for cell in cells))


if __name__ == "__main__":
    main()
