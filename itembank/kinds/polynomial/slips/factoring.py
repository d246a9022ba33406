"""Slips in using a factorisation: of the polynomial, and of the modulus.

Notation as in `work`.
"""

from itertools import product
from math import prod

from itembank.kinds.mistakes import MOST, SetFound
from itembank.kinds.polynomial.prime import zero_product
from itembank.kinds.polynomial.slips.work import Work, quadratic
from itembank.languages import say
from itembank.maths.remainders import crt_weights


def zero_product_rule(w: Work) -> SetFound:
    """ab = 0 read as a = 0 or b = 0, where the modulus is no prime."""
    roots = zero_product(w.f)
    if roots is None or (len(w.locals) == 1 and w.locals[0].k == 1):
        return None
    return roots, say(
        "A product may be divisible by {m} though no factor is: {m} is not prime, so each factor "
        "can supply a part of it.",
        m=w.m,
    )


def one_pair_only(w: Work) -> SetFound:
    if not quadratic(w) or w.f[2] != 1 or w.key.count <= 2 or len(w.locals) < 2:
        return None
    r = w.key.least() or 0
    return (r, -w.f[1] - r), say(
        "If you gave one pair, as for a prime modulus: {m} is composite. Solve modulo each of its "
        "prime powers and combine every choice.",
        m=w.m,
    )


def factor_dropped(w: Work) -> SetFound:
    if len(w.locals) < 2 or not w.key:
        return None
    dropped = min(w.locals, key=lambda loc: loc.q)
    kept = [loc for loc in w.locals if loc is not dropped]
    if prod(len(loc.residues) for loc in kept) > MOST:
        return None
    weights = crt_weights([loc.q for loc in kept])
    n = w.m // dropped.q
    wrong = {
        sum(a.e * r for a, r in zip(weights, choice, strict=True)) % n
        for choice in product(*(loc.residues for loc in kept))
    }
    return wrong, say(
        "Multiply the prime powers together: the product must be {m}, not {n}. Is the factor {q} "
        "left out?",
        n=n,
        q=dropped.q,
        m=w.m,
    )
