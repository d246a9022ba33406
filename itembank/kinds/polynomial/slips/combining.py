"""Slips in putting the residues modulo the prime powers together.

Notation as in `work`; a weight is 1 modulo its own modulus and 0 modulo the others.
"""

from itembank.kinds.mistakes import MOST, SetFound
from itembank.kinds.polynomial.slips.work import Work, told
from itembank.languages import say


def _several(w: Work) -> bool:
    """Whether there is something to combine."""
    return len(w.locals) > 1 and bool(w.key)


def matched_pairs_only(w: Work) -> SetFound:
    if not _several(w) or min(len(loc.residues) for loc in w.locals) < 2:
        return None
    wrong: list[int] = []
    for choice in zip(*(loc.residues for loc in w.locals), strict=False):
        wrong += w.combined([(r,) for r in choice]) or ()
    return wrong, say(
        "Check the combinations: every root modulo one factor goes with every root modulo the "
        "others.",
    )


def residues_added(w: Work) -> SetFound:
    if not _several(w):
        return None
    return told(
        w.weighted([1] * len(w.locals), [loc.residues for loc in w.locals]),
        say(
            "If you added the residues: each term of the sum must vanish modulo the other moduli. "
            "Multiply each residue by a number that is 1 modulo its own modulus and 0 modulo the "
            "others."
        ),
    )


def inverses_left_out(w: Work) -> SetFound:
    if not _several(w):
        return None
    q = next((loc.q for loc in w.locals if w.m // loc.q % loc.q != 1), None)
    if q is None:
        return None
    return told(
        w.weighted([w.m // loc.q for loc in w.locals], [loc.residues for loc in w.locals]),
        say(
            "If you multiplied each residue by the product of the other moduli: {others} leaves "
            "{remainder} modulo {q}, and it must be made 1 by an inverse.",
            others=w.m // q,
            remainder=w.m // q % q,
            q=q,
        ),
    )


def weights_swapped(w: Work) -> SetFound:
    if not _several(w) or len(w.locals) != 2:
        return None
    first, second = w.weights
    return told(
        w.weighted([second.e, first.e], [loc.residues for loc in w.locals]),
        say(
            "Check which multiplier goes with which residue: {e} is 1 modulo {q} and 0 modulo {n}, "
            "so it belongs to the residue modulo {q}.",
            e=first.e,
            q=first.modulus,
            n=second.modulus,
        ),
    )


def unsolvable_factor_ignored(w: Work) -> SetFound:
    empty = [loc for loc in w.locals if not loc.residues]
    if len(empty) != 1 or len(w.locals) < 2 or empty[0].q > MOST:
        return None
    (loc,) = empty
    return told(
        w.with_local({loc.p: range(loc.q)}),
        say(
            "Look at the congruence modulo {q} again: whatever solves it modulo {m} solves it "
            "modulo {q} too.",
            q=loc.q,
            m=w.m,
        ),
    )
