"""Slips of reading the congruence as an equation between integers or real numbers."""

from itembank.kinds.mistakes import SetFound
from itembank.kinds.polynomial.slips.work import told
from itembank.kinds.power_root.slips.work import PowerWork
from itembank.languages import say


def _integer_root(k: int, a: int) -> int | None:
    """The b >= 0 with b^k = a; None if there is none.  Requires a >= 0."""
    low, high = 0, 1 << (a.bit_length() // k + 1)
    while low < high:
        middle = (low + high) // 2
        if middle**k < a:
            low = middle + 1
        else:
            high = middle
    return low if low**k == a else None


def perfect_powers_only(w: PowerWork) -> SetFound:
    """No integer has this power, and the congruence was taken for an equation."""
    if not w.parts.key or _integer_root(w.k, w.a) is not None:
        return None
    return (), say(
        "{a} is not the power of an integer with the exponent {k}, but a congruence asks for less: "
        "one of {a}, {next}, {after}, … may be.",
        a=w.a,
        k=w.k,
        next=w.a + w.m,
        after=w.a + 2 * w.m,
    )


def integer_root_only(w: PowerWork) -> SetFound:
    b = _integer_root(w.k, w.a)
    if b is None or not b:
        return None
    return {b, -b} if w.k % 2 == 0 else {b}, say(
        "If you solved the **equation** $x^{k} = {a}$: the congruence has the solutions of $x^{k} "
        "= {a} + {m}n$ too, for every integer $n$.",
        k=w.k,
        a=w.a,
        m=w.m,
    )


def one_pair_only(w: PowerWork) -> SetFound:
    """As modulo a prime, though m is composite: the least solution and its negative."""
    if w.k != 2 or w.parts.key.count <= 2 or len(w.locals) < 2:
        return None
    r = w.parts.key.least() or 0
    return (r, -r), say(
        "If you gave one pair, as for a prime modulus: {m} is composite. Solve modulo each of its "
        "prime powers and combine every choice.",
        m=w.m,
    )


def negative_forgotten(w: PowerWork) -> SetFound:
    """Of each pair r, -r modulo the last odd prime power only one taken."""
    if w.k % 2:
        return None
    loc = next((loc for loc in reversed(w.locals) if loc.p > 2 and any(loc.roots)), None)
    if loc is None:
        return None
    return told(
        w.with_local(loc.p, [x for x in loc.residues if 2 * (x % loc.p) < loc.p]),
        say(
            "The exponent {k} is even, so numbers with opposite signs have the same power: with "
            "each solution $x$ modulo {q} also $-x$ is one.",
            k=w.k,
            q=loc.q,
        ),
    )


def as_over_the_reals(w: PowerWork) -> SetFound:
    """Modulo a prime with more roots only one is taken, or one and its negative."""
    most = 2 if w.k % 2 == 0 else 1
    loc = next((loc for loc in w.locals if loc.p > 2 and len(loc.roots) > most), None)
    if loc is None:
        return None
    first = loc.roots[0]
    kept = {first, loc.p - first} if most == 2 else {first}
    return told(
        w.with_local(loc.p, [x for x in loc.residues if x % loc.p in kept]),
        say(
            "Modulo {p} a power with the exponent {k} does not behave as over the real numbers: "
            "there are $gcd({k}, {p} - 1)$ roots, or none.",
            p=loc.p,
            k=w.k,
        ),
    )
