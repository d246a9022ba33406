"""What proves an inverse by hand: the product, divided by the modulus, leaves 1."""

from collections.abc import Iterator
from math import gcd

from itembank.kinds.modular import AboutResidue
from itembank.languages import Told, lead, say
from itembank.values.answer import Absent, Value


def certificate(problem: AboutResidue, answer: Value | Absent) -> Iterator[Told]:
    """The product with its remainder, or the factor that leaves no inverse."""
    a, m = problem.number, problem.modulus
    if isinstance(answer, Absent):
        yield lead("No inverse.")
        yield say("$gcd({a}, {m}) = {d}$.", a=a, m=m, d=gcd(a, m))
        return
    product = a * answer.value
    yield lead("Product.")
    yield say(
        "${a} · {v} = {n} = {k} · {m} + {r}$.",
        a=a,
        v=answer.value,
        n=product,
        k=product // m,
        m=m,
        r=product % m,
    )
