"""What a reviewer can check by hand about a symbol: Euler's criterion for each prime below.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 3.1.
"""

from collections.abc import Iterator
from typing import Any

from itembank.languages import Told, lead, say
from itembank.maths.primes import Unfactored, factorisation
from itembank.values.answer import Value


def euler_for_each_prime(problem: Any, _answer: Value) -> Iterator[Told]:
    """Legendre's and Jacobi's symbols; nothing for a bottom that is not factored."""
    if not problem.is_ordinary:
        return
    try:
        factors = factorisation(problem.bottom)
    except Unfactored:
        return
    for p, k in factors:
        yield from euler(problem.top, p)
        if k > 1:
            yield say("The exponent of the prime {p} in {n} is {k}.", p=p, n=problem.bottom, k=k)


def euler(a: int, p: int) -> Iterator[Told]:
    """a^((p - 1)/2) modulo an odd prime p: 1, -1 or 0."""
    r = pow(a, (p - 1) // 2, p)
    yield lead("Euler's criterion.")
    yield say(
        "The power of ${a}$ with the exponent $({p} - 1)/2 = {e}$ is ${s}$ modulo {p}.",
        a=a,
        p=p,
        e=(p - 1) // 2,
        s=r if r < 2 else -1,
    )
