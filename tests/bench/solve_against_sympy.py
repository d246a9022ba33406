"""`solve` with its working against sympy's answer alone, for the same congruences: one run.

    python -m tests.bench.solve_against_sympy

Each congruence is solved and told a few times, and solved by sympy's `polynomial_congruence`;
medians of milliseconds and their ratio are printed. Run by hand; figures in DEVELOPERS.md.
"""

import statistics
import time
from collections.abc import Callable

from sympy import Symbol, sympify
from sympy.ntheory import polynomial_congruence

from itembank.kinds.statement import problem_from
from itembank.languages import Speaker

ROUNDS = 7

CONGRUENCES = (
    ("x**2 + 9*x + 5", 117),
    ("x**2 + 20*x + 14", 175),
    ("x**3 + 3*x + 5", 27),
    ("x**2 - 17", 2**10),
    ("x**4 + 4*x**3 + 2*x**2 + 2*x + 12", 625),
    ("x**6 - 2*x**5 - 35", 6125),
    ("x**3 + x + 57", 7**5 * 11),
)


def milliseconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return 1000 * (time.perf_counter() - start)


def main() -> None:
    x = Symbol("x")
    for text, m in CONGRUENCES:
        expression = sympify(text, locals={"x": x})
        ours, theirs = [], []
        for _round in range(ROUNDS):
            ours.append(milliseconds(lambda: worked(f"{text} = 0 mod {m}")))  # noqa: B023
            theirs.append(milliseconds(lambda: polynomial_congruence(expression, m)))  # noqa: B023
        a, b = statistics.median(ours), statistics.median(theirs)
        print(f"{text} mod {m}: {a:.2f} ms with working, sympy {b:.2f} ms, ratio {a / b:.2f}")


def worked(statement: str) -> None:
    problem = problem_from([statement])
    Speaker().blocks(problem.worked(problem.solve()))


if __name__ == "__main__":
    main()
