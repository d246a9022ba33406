"""Random statements about units modulo m, by kind, the same on every run."""

from collections.abc import Callable
from math import gcd
from random import Random

PRIMES = [p for p in range(3, 260) if all(p % d for d in range(2, p))]
WITH_ROOTS = [*PRIMES, 4, 6, 9, 10, 14, 18, 25, 27, 49, 50, 54, 81, 98]


def modulus(r: Random) -> int:
    return r.choice([r.randrange(1, 30), r.randrange(2, 150), r.randrange(2, 1200)])


def unit(r: Random, m: int) -> int:
    a = r.randrange(1, m + 1)
    while gcd(a, m) > 1:
        a = r.randrange(1, m + 1)
    return a


def inverse(r: Random) -> str:
    return f"inverse of {r.randrange(-50, 2000)} mod {modulus(r)}"


def power(r: Random) -> str:
    e = r.choice(
        [r.randrange(0, 20), r.randrange(0, 900), -r.randrange(1, 60), r.randrange(10**30)]
    )
    return f"({r.randrange(-20, 200)})^({e}) mod {modulus(r)}"


def tower(r: Random) -> str:
    a, b, c, d = r.randrange(-9, 50), r.randrange(12), r.randrange(7), r.randrange(6)
    top = r.choice([f"{b}^{c}", f"{b}^({c}^{d})"])
    return f"({a})^({top}) mod {modulus(r)}"


def factorial(r: Random) -> str:
    m = r.choice([r.choice(PRIMES), modulus(r)])
    return f"{r.choice([r.randrange(0, 50), max(0, m - r.randrange(0, 9))])}! mod {m}"


def order(r: Random) -> str:
    return f"order of {r.randrange(-50, 2000)} mod {modulus(r)}"


def primitive_roots(r: Random) -> str:
    return f"primitive roots mod {r.choice([r.choice(WITH_ROOTS), r.randrange(1, 120)])}"


def least_primitive_root(r: Random) -> str:
    return f"least primitive root mod {r.choice([r.choice(WITH_ROOTS), modulus(r)])}"


def primitive_root_count(r: Random) -> str:
    return f"number of primitive roots mod {r.choice([r.choice(WITH_ROOTS), modulus(r)])}"


def primitive_root_existence(r: Random) -> str:
    return f"is there a primitive root mod {r.choice([r.choice(WITH_ROOTS), modulus(r)])}"


def primitive_root_test(r: Random) -> str:
    m = r.choice([r.choice(WITH_ROOTS), modulus(r)])
    return f"is {r.randrange(-5, m + 3)} a primitive root mod {m}"


def index(r: Random) -> str:
    m = modulus(r)
    g = unit(r, m)
    a = r.choice([r.randrange(-3, m), pow(g, r.randrange(m), m)])
    return f"index of {a} base {g} mod {m}"


def exponential(r: Random) -> str:
    m = modulus(r)
    g, a = unit(r, m), r.randrange(1, 9)
    c = r.choice([r.randrange(m), a * pow(g, r.randrange(m), m) % m])
    return f"{a} * {g}^x = {c} mod {m}"


def power_by_indices(r: Random) -> str:
    m = r.choice(WITH_ROOTS)
    return f"{unit(r, m)}x^{r.randrange(1, 15)} = {unit(r, m)} mod {m} by indices"


KINDS: dict[str, Callable[[Random], str]] = {
    f.__name__: f
    for f in (
        inverse,
        power,
        tower,
        factorial,
        order,
        primitive_roots,
        least_primitive_root,
        primitive_root_count,
        primitive_root_existence,
        primitive_root_test,
        index,
        exponential,
        power_by_indices,
    )
}


def statements(kind: str, count: int) -> list[str]:
    r = Random(f"{kind} samples")
    return [KINDS[kind](r) for _ in range(count)]
