"""What a reviewer can check by hand of a linear congruence: how many solutions it must have.

Source: Niven, Zuckerman & Montgomery, 5th ed., section 2.2, Theorem 2.17.
"""

from math import gcd

from itembank.languages import Telling, lead, say


def number_of_solutions(a: int, b: int, m: int) -> Telling:
    """ax = b (mod m) has d = gcd(a, m) solutions, m/d apart, if d divides b, and else none."""
    d = gcd(a, m)
    yield lead("Number of solutions.")
    if b % d:
        yield say("$gcd({a}, {m}) = {d}$ does not divide ${b}$: no solution.", a=a, m=m, d=d, b=b)
    elif d == 1:
        yield say("$gcd({a}, {m}) = 1$: exactly one solution.", a=a, m=m)
    else:
        yield say(
            "$gcd({a}, {m}) = {d}$ divides ${b}$: {d} solutions, ${step}$ apart.",
            a=a,
            m=m,
            d=d,
            b=b,
            step=m // d,
        )
