"""How the steps to phi(n) and lambda(n) are told."""

from collections.abc import Iterator, Sequence

from itembank.kinds.factoring import factored_told
from itembank.kinds.totient.steps import ByFormula, Combine, Exponent, FactorNumber, LocalValues
from itembank.kinds.wording import Tellers
from itembank.languages import Told, each, lead, say, shown
from itembank.notation.building import difference, dotted, equal, power
from itembank.notation.tree import Call, Group, Letter, Math, Number, Quotient

PHI, LAMBDA = Letter("φ"), Letter("λ")


def _factor_number(step: FactorNumber) -> Iterator[Told]:
    n = step.n
    yield lead("Factor.")
    if n == 1:
        yield say("1 has no prime factor, so nothing is left to combine: the value is 1.")
    elif step.factors == ((n, 1),):
        yield say("{n} is prime.", n=n)
    else:
        yield from factored_told(n, step.factors)


def _local_values(step: LocalValues) -> Iterator[Told]:
    yield lead("Prime powers.")
    if step.function == "phi":
        if all(k == 1 for _p, k, _value in step.values):
            yield say(
                "All of the numbers 1, ..., $p - 1$ are coprime to a prime $p$, so $φ(p) = p - 1$:"
            )
        else:
            yield say(
                "For a prime $p$ the numbers from 1 to $p^k$ that are not coprime to it are the "
                "$p^(k - 1)$ multiples of $p$, so $φ(p^k) = p^k - p^(k - 1) = p^(k - 1) (p - 1)$:"
            )
        yield shown(*(_phi_row(PHI, *value) for value in step.values))
        return
    if all(p > 2 for p, _k, _value in step.values):
        yield say(
            "For an odd prime $p$ there is a primitive root modulo $p^k$, so $λ(p^k) = φ(p^k) = "
            "p^(k - 1) (p - 1)$:"
        )
    else:
        yield say(
            "For an odd prime $p$ there is a primitive root modulo $p^k$, so $λ(p^k) = φ(p^k) = "
            "p^(k - 1) (p - 1)$."
        )
        yield say(
            "Powers of 2: $λ(2) = 1$, $λ(4) = 2$, and $λ(2^k) = 2^(k - 2)$ from $k = 3$ on, since "
            "there is no primitive root modulo 8."
        )
    yield shown(*(_lambda_row(*value) for value in step.values))


def _phi_row(function: Letter, p: int, k: int, value: int) -> Math:
    """φ(5) = 5 - 1 = 4, φ(5^3) = 5^2 · (5 - 1) = 5^2 · 4 = 100."""
    left = Call(function, (power(p, k),))
    if k == 1:
        return equal(left, difference(p, 1), value)
    below = power(p, k - 1)
    written = dotted([below, Group(difference(p, 1))])
    if p == 2:
        return equal(left, written, value)
    return equal(left, written, dotted([below, p - 1]), value)


def _lambda_row(p: int, k: int, value: int) -> Math:
    if p > 2:
        return _phi_row(LAMBDA, p, k, value)
    left = Call(LAMBDA, (power(2, k),))
    return equal(left, power(2, k - 2), value) if k > 3 else equal(left, value)


def _combine(step: Combine) -> Iterator[Told]:
    yield lead("Combine.")
    if step.function == "phi":
        yield say(
            "The prime powers have no factor in common, so the values are multiplied: "
            "$φ({n}) = {product} = {result}$.",
            n=step.n,
            product=dotted(step.values),
            result=step.result,
        )
    else:
        yield say(
            "A power of a unit is 1 modulo {n} if and only if it is 1 modulo each of the prime "
            "powers, so the exponent has to be a multiple of each value: "
            "$λ({n}) = {multiple} = {result}$.",
            n=step.n,
            multiple=Call(Letter("lcm"), tuple(map(Number, step.values))),
            result=step.result,
        )


def _by_formula(step: ByFormula) -> Iterator[Told]:
    yield lead("Check.")
    yield say(
        "The product formula $φ({n}) = {n} · {product}$ gives the same, prime by prime: {chain}.",
        n=step.n,
        product=dotted(_share_coprime_to(p) for p, _left in step.rows),
        chain=each(_prime_by_prime(step.n, step.rows)),
    )


def _share_coprime_to(p: int) -> Math:
    """(1 - 1/p)."""
    return Group(difference(1, Quotient(Number(1), Number(p))))


def _prime_by_prime(n: int, rows: Sequence[tuple[int, int]]) -> Iterator[Math]:
    """36/2 · 1 = 18, 18/3 · 2 = 12."""
    before = n
    for p, left in rows:
        yield equal(dotted([Quotient(Number(before), Number(p)), p - 1]), left)
        before = left


def _exponent(step: Exponent) -> Iterator[Told]:
    yield lead("Check.")
    if step.phi == step.value:
        yield say("$φ({n})$ has the same value.", n=step.n)
    else:
        yield say(
            "It divides $φ({n}) = {phi} = {quotient} · {value}$, as it must.",
            n=step.n,
            phi=equal(dotted(step.values), step.phi) if len(step.values) > 1 else step.phi,
            quotient=step.phi // step.value,
            value=step.value,
        )


TELLING: Tellers = {
    FactorNumber: _factor_number,
    LocalValues: _local_values,
    Combine: _combine,
    ByFormula: _by_formula,
    Exponent: _exponent,
}
"""How each step is told."""
