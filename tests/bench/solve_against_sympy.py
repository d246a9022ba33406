"""`solve` with its working against sympy's answer alone, for the same congruences: one run.

    python -m tests.bench.solve_against_sympy

Each congruence is solved and told a few times, and solved by sympy's `polynomial_congruence`;
medians of milliseconds of CPU and their ratio are printed. Then x^2 = 17 modulo ever larger powers
of 2, which ours alone solves and tells. Run by hand; figures in DEVELOPERS.md.
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

POWERS = (512, 1000, 2000, 4000)


def milliseconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return 1000 * (time.process_time() - start)


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
        prose = statistics.median(told(f"{text} = 0 mod {m}") for _round in range(ROUNDS))
        print(f"  of ours the prose {prose:.2f} ms, {prose / b:.2f} of sympy's whole run")
    for e in POWERS:
        found = [milliseconds(lambda: worked(f"x^2 = 17 mod 2^{e}")) for _round in range(ROUNDS)]  # noqa: B023
        print(f"x^2 = 17 mod 2^{e}: {statistics.median(found):.1f} ms with working")


def worked(statement: str) -> None:
    problem = problem_from([statement])
    Speaker().blocks(problem.worked(problem.solve()))


def told(statement: str) -> float:
    """Milliseconds to tell the working of what is solved."""
    problem = problem_from([statement])
    solution = problem.solve()
    return milliseconds(lambda: Speaker().blocks(problem.worked(solution)))


if __name__ == "__main__":
    main()
