"""What is told where only the existence of a root is asked for."""

from collections.abc import Iterator

from itembank.kinds.polynomial.telling.phrases import short_power
from itembank.kinds.power_root.decision_steps import Exists, Lifts, OneRoot
from itembank.kinds.power_root.wording import modulo
from itembank.languages import Told, each, lead, say

__all__ = ["exists", "lifts", "one_root"]


def one_root(step: OneRoot) -> Iterator[Told]:
    k, p = step.k, step.p
    yield modulo(p, 1)
    yield say(
        "$gcd({k}, {p} - 1) = 1$, so every number has exactly one root of degree {k} modulo the "
        "prime {p}.",
        k=k,
        p=p,
    )


def lifts(step: Lifts) -> Iterator[Told]:
    yield say(
        "{p} divides neither the exponent nor the right side, so a root modulo {p} lifts to one "
        "modulo ${q}$.",
        p=step.p,
        q=short_power(step.p, step.e),
    )


def exists(step: Exists) -> Iterator[Told]:
    yield lead("Answer.")
    if len(step.factors) == 1:
        yield say("The congruence has a solution.")
        return
    yield say(
        "There is a solution modulo {moduli}, so by the Chinese remainder theorem there is one "
        "modulo {m}: the congruence has a solution.",
        moduli=each(short_power(p, e) for p, e in step.factors),
        m=step.modulus,
    )
