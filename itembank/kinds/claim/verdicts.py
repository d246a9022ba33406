"""Why a claim of the catalogue is always, sometimes or never true: a function a claim.

Each takes the numbers of the claim, and gives the verdict with its reason. Notation: m, n moduli,
p prime, k exponent, r, s residues.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed.,
sections 2.1 to 2.8 and 3.1.
"""

from math import gcd, lcm, prod

from itembank.languages import Said, say
from itembank.maths.groups import carmichael
from itembank.maths.primes import factorisation, is_prime
from itembank.notation.building import listed

ALWAYS, SOMETIMES, NEVER = 2, 1, 0

Found = tuple[int, Said | None]
"""The verdict, and why; None where examples say it."""

_EXAMPLES: Found = (SOMETIMES, None)


# ------------------------------------------------------------ congruences from congruences


def residue_known(m: int, r: int, n: int, s: int) -> Found:
    d = gcd(m, n)
    if (r - s) % d and m == n:
        return NEVER, say("The two congruences modulo {m} contradict each other.", m=m)
    if (r - s) % d:
        return NEVER, say(
            "Both congruences hold modulo {d} too, a common divisor of {m} and {n}, and there they "
            "contradict each other.",
            d=d,
            m=m,
            n=n,
        )
    return (ALWAYS, _divisor_of_modulus(m, n)) if m % n == 0 else _EXAMPLES


def _divisor_of_modulus(m: int, n: int) -> Said:
    return say(
        "{n} divides {m}: what is congruent modulo {m} is congruent modulo {n}, and so are sums "
        "and products.",
        n=n,
        m=m,
    )


def difference_known(m: int, r: int, n: int) -> Found:
    return residue_known(m, r, n, 0)


def squares(m: int, n: int) -> Found:
    if m * gcd(2, m) % n:
        return _EXAMPLES
    return ALWAYS, say(
        "With $a = b + {m}t$ the difference $a^2 - b^2$ is ${m}t(2b + {m}t)$, a multiple of {k}, "
        "and so of {n}.",
        m=m,
        k=m * gcd(2, m),
        n=n,
    )


def cancel(m: int, c: int, n: int) -> Found:
    d = gcd(c, m)
    if m // d % n:
        return _EXAMPLES
    return ALWAYS, say(
        "{m} divides ${c}(a - b)$. With the common divisor {d} of {m} and {c} taken out, {k} "
        "divides $a - b$, and {n} divides {k}.",
        m=m,
        c=c,
        d=d,
        k=m // d,
        n=n,
    )


def zero_product(m: int) -> Found:
    if not is_prime(m):
        return _EXAMPLES
    return ALWAYS, say("{p} is a prime: if it divides a product, it divides a factor.", p=m)


def zero_power(m: int, k: int, n: int) -> Found:
    least = prod(p ** -(-e // k) for p, e in factorisation(m))
    if least % n:
        return _EXAMPLES
    return ALWAYS, say(
        "Compare the powers of each prime: {m} divides $a^{k}$ if and only if {d} divides $a$; "
        "and {n} divides {d}.",
        m=m,
        k=k,
        d=least,
        n=n,
    )


def equal_squares(m: int) -> Found:
    factors = factorisation(m)
    odd = [p for p, _e in factors if p > 2]
    if any(e > 1 for _p, e in factors) or len(odd) > 1:
        return _EXAMPLES
    if odd and m % 2 == 0:
        return ALWAYS, say(
            "{m} divides $(a - b)(a + b)$. Its odd prime divides one of the two factors; and the "
            "two are both even or both odd, so both are even, and {m} divides that factor.",
            m=m,
        )
    return ALWAYS, say(
        "{m} divides $(a - b)(a + b)$, and a prime that divides a product divides a factor.", m=m
    )


def two_moduli(m: int, n: int, k: int) -> Found:
    whole = lcm(m, n)
    if whole % k:
        return _EXAMPLES
    return ALWAYS, say(
        "$a - b$ is a multiple of {m} and of {n}, so of their least common multiple {w}, and {k} "
        "divides {w}.",
        m=m,
        n=n,
        w=whole,
        k=k,
    )


def products_of_classes(m: int, n: int) -> Found:
    return _EXAMPLES if m % n else (ALWAYS, _divisor_of_modulus(m, n))


def sum_of_classes(m: int, r: int, s: int, n: int, t: int) -> Found:
    d = gcd(m, n)
    if (r + s - t) % d:
        return NEVER, say(
            "Modulo {d}, a common divisor of {m} and {n}, the sum is congruent to {u}, and not "
            "to {t}.",
            d=d,
            m=m,
            n=n,
            u=(r + s) % d,
            t=t,
        )
    return _EXAMPLES if m % n else (ALWAYS, _divisor_of_modulus(m, n))


def product_of_classes(m: int, r: int, s: int, n: int, t: int) -> Found:
    values = {(r + m * i) * (s + m * j) % n for i in range(n) for j in range(n)}
    if t % n not in values:
        return NEVER, say(
            "Modulo {n} the product of numbers of these two classes is one of ${values}$, and {t} "
            "is not among them.",
            n=n,
            t=t,
            values=listed(sorted(values)),
        )
    if values != {t % n}:
        return _EXAMPLES
    return ALWAYS, say(
        "Whatever is added to the two residues in multiples of {m}, the product stays congruent to "
        "{t} modulo {n}.",
        m=m,
        t=t,
        n=n,
    )


# ------------------------------------------------------------ powers


def power_of_residue(m: int, r: int, k: int, s: int) -> Found:
    v = pow(r, k, m)
    said = say("Congruent numbers have congruent powers: $a^{k} ≡ {v} (mod {m})$.", k=k, v=v, m=m)
    return (ALWAYS if v == s % m else NEVER), said


def unit_power(m: int, k: int, s: int) -> Found:
    if gcd(s, m) > 1:
        return NEVER, say(
            "A power of a number coprime to {m} is coprime to {m}, and {s} is not.", m=m, s=s
        )
    values = {pow(a, k, m) for a in range(m) if gcd(a, m) == 1}
    if s % m not in values:
        return NEVER, say(
            "For $a$ coprime to {m} the power $a^{k}$ is one of ${values}$ modulo {m}, and {s} is "
            "not among them.",
            m=m,
            k=k,
            s=s,
            values=listed(sorted(values)),
        )
    if values != {s % m}:
        return _EXAMPLES
    return ALWAYS, say(
        "Every number coprime to {m} satisfies $a^{e} ≡ 1 (mod {m})$, and {e} divides {k}.",
        m=m,
        e=carmichael(m),
        k=k,
    )


def square_value(m: int, r: int) -> Found:
    values = {a * a % m for a in range(m)}
    if r % m in values:
        return _EXAMPLES
    return NEVER, say(
        "The squares modulo {m} are ${values}$, and {r} is not among them.",
        m=m,
        r=r,
        values=listed(sorted(values)),
    )


def two_squares(m: int, r: int) -> Found:
    squares = {a * a % m for a in range(m)}
    sums = {(a + b) % m for a in squares for b in squares}
    if r % m in sums:
        return _EXAMPLES
    return NEVER, say(
        "The squares modulo {m} are ${values}$, and no two of them have a sum congruent to {r}.",
        m=m,
        r=r,
        values=listed(sorted(squares)),
    )


def equal_powers(m: int, k: int) -> Found:
    if any(e > 1 or gcd(k, p - 1) > 1 for p, e in factorisation(m)):
        return _EXAMPLES
    return ALWAYS, say(
        "For each prime $p$ that divides {m} the exponent {k} has no factor in common with "
        "$p - 1$: raising to the power {k} only exchanges the residues modulo $p$, so no two have "
        "the same power; and {m} is a product of different primes.",
        m=m,
        k=k,
    )


def fermat(m: int, k: int) -> Found:
    if any(e > 1 or (k - 1) % (p - 1) for p, e in factorisation(m)):
        return _EXAMPLES
    return ALWAYS, say(
        "For each prime $p$ that divides {m}, $p - 1$ divides {e}, so by Fermat's theorem "
        "$a^{k} ≡ a (mod p)$; and {m} is a product of different primes.",
        m=m,
        k=k,
        e=k - 1,
    )


def non_zero_power(m: int, k: int) -> Found:
    if not is_prime(m) or k % (m - 1):
        return _EXAMPLES
    return ALWAYS, say(
        "{p} is a prime, so by Fermat's theorem $a^{e} ≡ 1 (mod {p})$, and {e} divides {k}.",
        p=m,
        e=m - 1,
        k=k,
    )


def opposite_power(m: int, k: int) -> Found:
    if k % 2 and 2 % m:
        return _EXAMPLES
    if k % 2:
        return ALWAYS, say("Modulo {m} each number is congruent to its opposite.", m=m)
    return ALWAYS, say("The exponent {k} is even, so $(-b)^{k} = b^{k}$.", k=k)


def idempotent(m: int) -> Found:
    if len(factorisation(m)) > 1:
        return _EXAMPLES
    return ALWAYS, say(
        "{m} divides $a(a - 1)$. The two factors have no common divisor, and {m} is a power of a "
        "prime, so it divides one of them.",
        m=m,
    )


def square_one(m: int) -> Found:
    roots = [a for a in range(m) if (a * a - 1) % m == 0]
    if len(roots) > 2:
        return _EXAMPLES
    if is_prime(m):
        return ALWAYS, say(
            "{m} divides $a^2 - 1 = (a - 1)(a + 1)$, and a prime that divides a product divides a "
            "factor.",
            m=m,
        )
    return ALWAYS, say(
        "$x^2 ≡ 1 (mod {m})$ has no solutions but ${roots}$.", m=m, roots=listed(roots)
    )


def zero_sum_of_squares(m: int) -> Found:
    if any(e > 1 or p % 4 != 3 for p, e in factorisation(m)):
        return _EXAMPLES
    return ALWAYS, say(
        "Every prime $p$ that divides {m} leaves 3 when divided by 4, so −1 is not a square "
        "modulo $p$: if $p$ did not divide $b$, then $a$ divided by $b$ would be a square root of "
        "−1. So $p$ divides $b$ and $a$; and {m} is a product of different primes.",
        m=m,
    )


def consecutive(m: int, r: int) -> Found:
    values = {a * (a + 1) % m for a in range(m)}
    if r % m not in values:
        return NEVER, say(
            "Modulo {m} the product takes the values ${values}$ alone.",
            m=m,
            values=listed(sorted(values)),
        )
    if len(values) > 1:
        return _EXAMPLES
    return ALWAYS, say("Of two numbers in succession one is even.")


def three_consecutive(m: int, r: int) -> Found:
    values = {a * (a + 1) * (a + 2) % m for a in range(m)}
    if r % m not in values:
        return NEVER, say(
            "Modulo {m} the product takes the values ${values}$ alone.",
            m=m,
            values=listed(sorted(values)),
        )
    if len(values) > 1:
        return _EXAMPLES
    return ALWAYS, say(
        "Of three numbers in succession one is a multiple of 3, and at least one is even."
    )


# ------------------------------------------------------------ coprime numbers


def sum_of_units(m: int) -> Found:
    if m % 2:
        return _EXAMPLES
    return NEVER, say("{m} is even, so both numbers are odd, and their sum is even.", m=m)


def product_of_units(m: int, n: int) -> Found:
    return _primes_of_both(m, n)


def _primes_of_both(m: int, n: int) -> Found:
    if any(m % p for p, _e in factorisation(n)):
        return _EXAMPLES
    return ALWAYS, say(
        "Every prime that divides {n} divides {m} too. A number without a factor in common with "
        "{m} has none in common with {n}, and neither has a product of such numbers.",
        n=n,
        m=m,
    )


def invertible(m: int, n: int) -> Found:
    if any(m % p for p, _e in factorisation(n)):
        return _EXAMPLES
    return ALWAYS, say(
        "$a$ has an inverse modulo {m}, so it has no factor in common with {m}; and every prime "
        "that divides {n} divides {m}.",
        n=n,
        m=m,
    )


def unit_of_class(m: int, r: int, n: int) -> Found:
    primes = [p for p, _e in factorisation(n)]
    shared = [p for p in primes if m % p == 0]
    if any(r % p == 0 for p in shared):
        return NEVER, say(
            "{p} divides {m}, {n} and {r}, so it divides every such $a$.",
            p=next(p for p in shared if r % p == 0),
            m=m,
            n=n,
            r=r,
        )
    if shared != primes:
        return _EXAMPLES
    return ALWAYS, say(
        "Every prime that divides {n} divides {m}, and none of them divides {r}: so none divides "
        "$a$.",
        n=n,
        m=m,
        r=r,
    )


# ------------------------------------------------------------ numbers of solutions


def _of_counts(counts: set[int], n: int, why: Said) -> Found:
    if n not in counts:
        return NEVER, why
    return _EXAMPLES if len(counts) > 1 else (ALWAYS, why)


def number_of_roots(m: int, n: int) -> Found:
    counts = {sum((x * x - a) % m == 0 for x in range(m)) for a in range(m) if gcd(a, m) == 1}
    return _of_counts(
        counts,
        n,
        say(
            "For numbers coprime to {m} the possible numbers of solutions are ${counts}$.",
            m=m,
            counts=listed(sorted(counts)),
        ),
    )


def linear_count(m: int, r: int, c: int, n: int) -> Found:
    d = gcd(c, m)
    count = 0 if r % d else d
    if d == 1:
        why = say("$gcd({c}, {m}) = 1$, so for every $a$ there is exactly one solution.", c=c, m=m)
        return (ALWAYS if n == 1 else NEVER), why
    why = say(
        "The number of solutions modulo {m} is $gcd({c}, {m}) = {d}$ where {d} divides $a$, and 0 "
        "where it does not.",
        c=c,
        m=m,
        d=d,
    )
    return (ALWAYS if count == n else NEVER), why


def coefficient_count(m: int, r: int, n: int) -> Found:
    why = say("$a$ has an inverse modulo {m}, so there is exactly one solution.", m=m)
    return (ALWAYS if n == 1 else NEVER), why


def any_count(m: int, r: int, n: int) -> Found:
    counts = {gcd(a, m) if r % gcd(a, m) == 0 else 0 for a in range(m)}
    return _of_counts(
        counts,
        n,
        say(
            "There are no solutions, or as many as the greatest common divisor of $a$ and {m}, "
            "which must divide {r}. The possible numbers are ${counts}$.",
            m=m,
            r=r,
            counts=listed(sorted(counts)),
        ),
    )
