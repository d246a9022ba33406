"""Indices (discrete logarithms): of one number, and congruences that indices solve.

The index of a to the base g modulo m is the least k >= 0 with g^k = a (mod m), so the
index of 1 is 0. The base is coprime to m and need not be a primitive root: then some
units have no index.

`solve` finds an index with its steps, `telling` tells them; `logarithm` is the kind of one
index, `exponential` that of a*b^x = c, `by_indices` that of a*x^n = c.
"""

from collections.abc import Iterator, Sequence
from heapq import merge

from itembank.kinds.base import Kind, Problem
from itembank.kinds.index import logarithm
from itembank.kinds.index.by_indices import kind as by_indices
from itembank.kinds.index.by_indices.kind import PowerByIndices
from itembank.kinds.index.certificate import power_of_the_base, substituted
from itembank.kinds.index.exponential import kind as exponential
from itembank.kinds.index.exponential.kind import ExponentialCongruence
from itembank.kinds.index.logarithm import IndexModulo
from itembank.languages import Telling, say
from itembank.values.answer import Absent, ResidueSet, Value

__all__ = ["ExponentialCongruence", "IndexModulo", "PowerByIndices", "read"]


def read(statements: Sequence[str]) -> Problem | None:
    """The problem of "index of 5 base 3 mod 17", "3^x = 5 mod 17" or
    "7x^5 = 3 mod 17 by indices"; None for statements of another form."""
    for reader in (logarithm.read, by_indices.read, exponential.read):
        problem = reader(statements)
        if problem is not None:
            return problem
    return None


def _certificate_of_index(problem: IndexModulo, answer: Value | Absent) -> Telling:
    if isinstance(answer, Absent):
        return ()
    return power_of_the_base(problem.base, answer.value, problem.number, problem.modulus)


def _solutions_of(answer: ResidueSet) -> Iterator[int]:
    """The solutions, increasing; they may be more than can be listed."""
    return merge(*(range(r, answer.modulus, d) for r, d in answer.classes()))


def _certificate_of_exponents(problem: ExponentialCongruence, answer: ResidueSet) -> Telling:
    powers = ((problem.base, x) for x in _solutions_of(answer))
    return substituted(problem.factor, powers, problem.value, problem.m)


def _certificate_by_indices(problem: PowerByIndices, answer: ResidueSet) -> Telling:
    powers = ((x, problem.exponent) for x in _solutions_of(answer))
    return substituted(problem.factor, powers, problem.value, problem.modulus)


KINDS = (
    Kind(
        problem=IndexModulo,
        read=read,
        value="exponent",
        about="The index (discrete logarithm) of a number to a base modulo m, or none.",
        title=say("Indices"),
        next_steps={
            "the value": say(
                "Compute the power of the base with the exponent that was given, and compare. Then "
                "write out the powers of the base one by one, from the exponent 0 on."
            ),
            "whether any": say(
                "Write out the powers of the base one by one until 1 comes back: is the number "
                "among them?"
            ),
        },
        samples=(
            "index of 5 base 3 mod 17",
            "the index of -5 to the base -3 mod 17",
            "discrete logarithm of 210 base 71 mod 251",
            "index of 2 base 3 mod 9765625",
            "index of 77 base 5 mod 2^20",
            "index of 3 base 2 mod 7",
            "index of 5 base 2 mod 983",
            "index of 3 base 5 mod 2^20",
            "index of 6 base 2 mod 3",
            "index of 10 base 3 mod -17",
            "index of 4 base 9 mod 1",
        ),
        certificate=_certificate_of_index,
    ),
    Kind(
        problem=ExponentialCongruence,
        read=read,
        about="A congruence a * b^x = c modulo m: the exponents that solve it, modulo phi(m).",
        title=say("A congruence"),
        next_steps={
            "all solutions": say(
                "Write out the powers of the base one by one, from the exponent 0 on, until 1 "
                "comes back. At which exponents does the right side appear?"
            ),
            "the solution": say(
                "Write out the powers of the base one by one, from the exponent 0 on, until 1 "
                "comes back. At which exponents does the right side appear?"
            ),
            "how many": say(
                "Write out the powers of the base until 1 comes back: how long is the period, and "
                "how often does it fit into the range of exponents?"
            ),
            "the least": say(
                "Write out the powers of the base one by one, from the exponent 0 on: where does "
                "the right side appear first?"
            ),
            "the largest": say(
                "Write out the powers of the base until 1 comes back, and go on by this period: "
                "what is the last exponent in the range?"
            ),
            "whether any": say(
                "Write out the powers of the base until 1 comes back: is the right side among them?"
            ),
        },
        samples=(
            "3^x = 5 mod 17",
            "2 * 3^x = 7 mod 17",
            "5 = 3^t (mod 17)",
            "-2 * (-3)^k = 5 mod 17",
            "4 * 3^x = 8 mod 20",
            "6 * 5^x = 3 mod 14",
            "2**x = 3 mod 7",
            "9^x = 9 mod 80",
            "1^x = 1 mod 5",
            "2 * 3^x = 4 mod 9765625",
            "7^x = 1 mod 1",
        ),
        certificate=_certificate_of_exponents,
    ),
    Kind(
        problem=PowerByIndices,
        read=read,
        about="A congruence a x^n = c modulo m with a primitive root as base: solved by indices.",
        title=say("A congruence"),
        next_steps={
            "all solutions": say(
                "Take the power of each residue that was given and compare. Then check the linear "
                "congruence for the index: its modulus is φ of the modulus."
            ),
            "how many": say(
                "Write the linear congruence for the index of the unknown, modulo φ of the "
                "modulus. The greatest common divisor of its coefficient and its modulus decides."
            ),
            "whether any": say(
                "Write the linear congruence for the index of the unknown, modulo φ of the "
                "modulus. The greatest common divisor of its coefficient and its modulus decides."
            ),
        },
        samples=(
            "7x^5 = 3 mod 17 by indices",
            "7y^5 = 3 mod 17 by indices base 5",
            "-7x^5 = -3 mod 17 by indices to the base 3",
            "x^4 = 3 mod 17 by indices",
            "6x^50 = 6 mod 101 by indices",
            "3t^12 = 5 mod 10007 by indices",
            "x^16 = 1 mod 17 by indices",
            "5x = 3 mod 17 by indices",
            "x^3 = 5 mod 2*3^20 by indices",
            "x^3 = 1 mod 2 by indices",
        ),
        certificate=_certificate_by_indices,
    ),
)
"""What the house knows of these kinds."""
