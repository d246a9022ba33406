"""Random statements of systems, pairs, lifting steps, roots and counts, the same on every run."""

from collections.abc import Callable
from random import Random

from itembank.notation.building import plain_polynomial

PRIMES = [17, 23, 29, 31, 37, 41, 61, 73, 97, 101, 109, 113, 257, 641, 1009, 10007]

Lines = tuple[str, ...]


def modulus(r: Random) -> int:
    return r.choice([r.randrange(1, 30), 4, 5, 6, 7, 8, 9, 12, 15, 16])


def power_root(r: Random) -> Lines:
    m = r.choice(
        [
            r.randrange(1, 400),
            2 ** r.randrange(1, 9) * r.choice([1, 3, 5, 7]),
            3 ** r.randrange(1, 6),
            5 ** r.randrange(1, 4) * r.choice([1, 7, 49]),
            r.choice(PRIMES),
        ]
    )
    k = r.choice([2, 2, 2, 3, 3, 4, 5, 6, 7, 9, 16])
    planted = r.random() < 0.7
    a = pow(r.randrange(m), k, m) if planted else r.randrange(-3, m)
    return (f"x^{k} = {a} mod {m}",)


def one_congruence(r: Random) -> str:
    m, kind = modulus(r), r.random()
    if kind < 0.5:
        return f"x = {r.randrange(-3, m + 3)} mod {m}"
    if kind < 0.75:
        left = plain_polynomial((r.randrange(9), r.randrange(1, 9)))
        return f"{left} = {r.randrange(m)} mod {m}"
    if kind < 0.9:
        return f"x^{r.choice([2, 3])} = {r.randrange(m)} mod {m}"
    return f"{plain_polynomial((r.randrange(1, 9), r.randrange(1, 9), 1))} = 0 mod {m}"


def system(r: Random) -> Lines:
    return tuple(one_congruence(r) for _ in range(r.choice([2, 2, 3])))


def linear_pair(r: Random) -> Lines:
    m = r.choice([r.randrange(2, 40), 6, 8, 9, 10, 12, 101])
    d = r.choice([1, 1, 1, 2, 3])

    def line() -> str:
        a, b = (d * r.randrange(1, m + 2) for _ in "ab")
        return f"{plain_polynomial((0, a))} - {b}y = {r.choice([1, d]) * r.randrange(m)} mod {m}"

    return line(), line()


def lifting_step(r: Random) -> Lines:
    while True:
        p, k = r.choice([2, 3, 5, 7, 11]), r.choice([1, 1, 2, 3])
        f = tuple(r.randrange(-9, 20) for _ in range(r.choice([3, 3, 4])))
        root, q = r.randrange(p**k), p**k
        if f[-1] and sum(c * root**i for i, c in enumerate(f)) % q == 0:
            return (f"lift x = {root} mod {q} to {plain_polynomial(f)} = 0 mod {p * q}",)


def solution_count(r: Random) -> Lines:
    congruence = power_root(r)[0] if r.random() < 0.6 else one_congruence(r)
    return (f"number of solutions of {congruence}",)


KINDS: dict[str, Callable[[Random], Lines]] = {
    "power_root": power_root,
    "system": system,
    "linear_pair": linear_pair,
    "lifting_step": lifting_step,
    "solution_count": solution_count,
}


def statements(kind: str, count: int) -> list[Lines]:
    chance = Random(kind)
    return [KINDS[kind](chance) for _ in range(count)]
