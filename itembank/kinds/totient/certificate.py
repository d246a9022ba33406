"""What a reviewer can check by hand about phi(n): the value at each prime power.

Source: Niven, Zuckerman & Montgomery, An Introduction to the Theory of Numbers, 5th ed., 2.1.
"""

from typing import Any

from itembank.kinds.totient.solve import phi_of_prime_power
from itembank.languages import Telling, lead, say
from itembank.notation.building import dotted, factored_modulus
from itembank.values.answer import Value


def by_prime_powers(problem: Any, answer: Value) -> Telling:
    n, factors = problem.number, problem.factors
    if not factors:
        return
    yield lead("By prime powers.")
    if factors == ((n, 1),):
        yield say("{n} is prime, and ${n} - 1 = {value}$.", n=n, value=answer.value)
        return
    yield say("${n} = {product}$.", n=n, product=factored_modulus(factors))
    if len(factors) == 1:
        [(p, _k)] = factors
        yield say("${n} - {multiples} = {value}$.", n=n, multiples=n // p, value=answer.value)
        return
    yield say(
        "The product of the values is ${values} = {value}$.",
        values=dotted(phi_of_prime_power(p, k) for p, k in factors),
        value=answer.value,
    )
