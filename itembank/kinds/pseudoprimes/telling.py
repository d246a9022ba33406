"""How the steps of testing a number are told."""

from collections.abc import Iterator
from math import gcd

from itembank.kinds.chains import division
from itembank.kinds.factoring import trial_told
from itembank.kinds.powering import as_congruence, chain_to_nearest, joined, power_told
from itembank.kinds.pseudoprimes.steps import (
    Compose,
    Korselt,
    RaiseToTest,
    SquareToTest,
    square_free,
)
from itembank.kinds.wording import Tellers
from itembank.languages import Told, grid, lead, say, shown
from itembank.notation.building import (
    difference,
    dotted,
    equal,
    factored_modulus,
    power,
)
from itembank.notation.tree import Math


def _compose(step: Compose) -> Iterator[Told]:
    yield lead("Is it composite?")
    if step.is_prime:
        yield say("{n} is prime.", n=step.n)
        return
    yield from trial_told(step.n, step.factors)
    yield say("${n} = {product}$ is composite.", n=step.n, product=factored_modulus(step.factors))


def _raise_to_test(step: RaiseToTest) -> Iterator[Told]:
    yield lead("The power.")
    if (d := gcd(step.a, step.n)) > 1:
        yield say(
            "$gcd({a}, {n}) = {d}$ divides every power of {a}, so none of them is 1 modulo {n}.",
            a=step.a,
            n=step.n,
            d=d,
        )
        return
    yield from power_told(step.a, step.n - 1, step.n, least=False)
    if pow(step.a, step.n - 1, step.n) != 1:
        yield say("This is not 1.")


def _square_to_test(step: SquareToTest) -> Iterator[Told]:
    a, n, s, d = step.a, step.n, step.s, step.d
    yield lead("Halve the exponent.")
    yield say("${m} = {product}$.", m=n - 1, product=dotted((power(2, s), d)))
    yield lead("The first power.")
    yield from power_told(a, d, n, least=False)
    if step.values[0] in (1, -1):
        return
    if s == 1:
        yield say("This is neither 1 nor $-1$, and half of ${n} - 1$ is odd.", n=n)
        return
    told = step.values[: step.values.index(-1) + 1] if -1 in step.values else step.values
    if len(told) > 1:
        yield lead("Its squares.")
        yield shown(
            *(_squared(power(a, d << i), before, n) for i, before in enumerate(told[:-1], 1))
        )
    if -1 not in told:
        yield say("The first power is not 1, and none of them is $-1$.")


def _squared(left: Math, before: int, n: int) -> Math:
    """a^2d ≡ before^2 = its square ≡ the residue nearest to 0."""
    chain = chain_to_nearest(power(before, 2), before**2, n)
    return as_congruence(joined(left, chain), n)


def _korselt(step: Korselt) -> Iterator[Told]:
    n = step.n
    yield lead("Korselt's criterion.")
    if not square_free(step.factors):
        p = next(p for p, k in step.factors if k > 1)
        yield say("The square of {p} divides {n}.", p=p, n=n)
        return
    yield say(
        "No square of a prime divides {n}. For each prime $p$ that divides it, $p - 1$ has to "
        "divide ${n} - 1 = {m}$:",
        n=n,
        m=n - 1,
    )
    yield grid(
        (say("prime"), say("one less"), say("division")),
        [(p, equal(difference(p, 1), p - 1), division(n - 1, p - 1)) for p, _k in step.factors],
    )


TELLING: Tellers = {
    Compose: _compose,
    RaiseToTest: _raise_to_test,
    SquareToTest: _square_to_test,
    Korselt: _korselt,
}
