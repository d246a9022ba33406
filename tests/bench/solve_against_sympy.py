"""`solve` in process against sympy's own functions, a line a kind and a size of modulus: one run.

    python -m tests.bench.solve_against_sympy

Of each line (a) the solution alone, with its steps, (b) the telling of its working, and (c) the
whole run of sympy's function, as CPU milliseconds: the least of a few passes over different
questions of one size, each pass with nothing kept of the one before. (a) and (b) are given as parts
of (c) too. Then x^2 = 17 modulo ever larger powers of 2, which ours alone solves and tells. Run by
hand; figures in DEVELOPERS.md.
"""

import statistics
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import gcd

from sympy import Poly, Symbol
from sympy.ntheory import (
    discrete_log,
    nthroot_mod,
    polynomial_congruence,
    primitive_root,
    sqrt_mod,
)

from itembank.kinds.statement import problem_from
from itembank.languages import Speaker
from itembank.maths import lifting

PASSES = 7

QUESTIONS = 12
"""Of each line."""

POWERS = (512, 1000, 2000, 4000)

X = Symbol("x")


@dataclass(frozen=True)
class Question:
    """A plain statement, and sympy's run on the same."""

    statement: str
    theirs: Callable[[], object]


# ------------------------------------------------------------ the questions


def polynomial(coefficients: tuple[int, ...], m: int) -> Question:
    """Coefficients with the leading one first."""
    n = len(coefficients) - 1
    terms = (f"({c})*x^{n - i}" for i, c in enumerate(coefficients))
    expression = Poly(coefficients, X).as_expr()
    statement = f"{' + '.join(terms)} = 0 mod {m}"
    return Question(statement, lambda: polynomial_congruence(expression, m))


def quadratics(m: int) -> Iterator[Question]:
    return (polynomial((1, 2 * i + 1, 3 * i + 2), m) for i in range(QUESTIONS))


def cubics(m: int) -> Iterator[Question]:
    return (polynomial((1, 0, i + 1, 2 * i + 3), m) for i in range(QUESTIONS))


def square_roots(m: int) -> Iterator[Question]:
    return (square_root(pow(i + 2, 2, m), m) for i in range(QUESTIONS))


def square_root(a: int, m: int) -> Question:
    return Question(f"x^2 = {a} mod {m}", lambda: sqrt_mod(a, m, all_roots=True))


def roots(k: int, p: int) -> Iterator[Question]:
    return (root(pow(i + 2, k, p), k, p) for i in range(QUESTIONS))


def root(a: int, k: int, p: int) -> Question:
    return Question(f"x^{k} = {a} mod {p}", lambda: nthroot_mod(a, k, p, all_roots=True))


def least_roots(*moduli: int) -> Iterator[Question]:
    return (least_root(m) for m in moduli)


def least_root(m: int) -> Question:
    return Question(f"least primitive root mod {m}", lambda: primitive_root(m))


def indices(base: int, p: int) -> Iterator[Question]:
    powers = (pow(base, 3 * i + 2, p) for i in range(QUESTIONS))
    return (index(a, base, p) for a in powers if gcd(a, p) == 1)


def index(a: int, base: int, p: int) -> Question:
    return Question(f"index of {a} base {base} mod {p}", lambda: discrete_log(p, a, base))


LINES: dict[str, Iterable[Question]] = {
    **{f"quadratics mod {m}": quadratics(m) for m in (35, 117, 175, 1001, 10403, 1_000_003)},
    **{f"cubics mod {m}": cubics(m) for m in (27, 6125, 7**5 * 11)},
    **{f"square roots mod {m}": square_roots(m) for m in (17, 101, 1009, 1_000_003)},
    **{f"square roots mod {m}": square_roots(m) for m in (7**3, 11**4, 2**10, 2**40, 10**9 + 7)},
    **{
        f"{k}-th roots mod {p}": roots(k, p) for k, p in ((3, 31), (5, 101), (5, 10007), (6, 10009))
    },
    "least primitive roots, two digits": least_roots(11, 17, 23, 31, 41, 47, 53, 71, 83, 97),
    "least primitive roots, three digits": least_roots(101, 191, 311, 409, 601, 769, 881, 997),
    "least primitive roots, seven digits": least_roots(1_000_003, 1_000_033, 1_000_037, 1_000_039),
    **{f"indices mod {p}": indices(g, p) for g, p in ((3, 17), (2, 101), (11, 1009), (5, 10007))},
}


# ------------------------------------------------------------ the runs


def milliseconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return 1000 * (time.process_time() - start)


def compared(questions: tuple[Question, ...]) -> tuple[float, float, float]:
    """Milliseconds a question: solved, told, and by sympy; the least of the passes."""
    problems = [problem_from([q.statement]) for q in questions]
    a = b = c = float("inf")
    for _pass in range(PASSES):
        lifting.forget()
        solved = milliseconds(lambda: [problem.solve() for problem in problems])
        solutions = [problem.solve() for problem in problems]
        told = milliseconds(
            lambda: [
                Speaker().blocks(problem.worked(solution))
                for problem, solution in zip(problems, solutions, strict=True)  # noqa: B023
            ]
        )
        theirs = milliseconds(lambda: [q.theirs() for q in questions])
        a, b, c = min(a, solved), min(b, told), min(c, theirs)
    n = len(questions)
    return a / n, b / n, c / n


def main() -> None:
    slower = []
    for name, questions in LINES.items():
        a, b, c = compared(tuple(questions))
        if a > c:
            slower.append(name)
        print(
            f"{name}: solved {a:.3f} ms, told {b:.3f}, sympy {c:.3f}: "
            f"{a / c:.2f} and {b / c:.2f} of it"
        )
    print(f"slower than sympy without the telling: {', '.join(slower) or 'none'}")
    for e in POWERS:
        found = [milliseconds(lambda: worked(f"x^2 = 17 mod 2^{e}")) for _pass in range(PASSES)]  # noqa: B023
        print(f"x^2 = 17 mod 2^{e}: {statistics.median(found):.1f} ms with working")


def worked(statement: str) -> None:
    problem = problem_from([statement])
    Speaker().blocks(problem.worked(problem.solve()))


if __name__ == "__main__":
    main()
