"""Indices (discrete logarithms): of one number, and congruences that indices solve.

The index of a to the base g modulo m is the least k >= 0 with g^k = a (mod m), so the
index of 1 is 0. The base is coprime to m and need not be a primitive root: then some
units have no index.

`solve` finds an index with its steps, `worked` tells them; `logarithm` is the kind of one
index, `exponential` that of a*b^x = c, `by_indices` that of a*x^n = c.
"""

from collections.abc import Sequence

from itembank.kinds.base import Problem
from itembank.kinds.index import by_indices, exponential, logarithm
from itembank.kinds.index.by_indices import PowerByIndices
from itembank.kinds.index.exponential import ExponentialCongruence
from itembank.kinds.index.logarithm import IndexModulo

__all__ = ["ExponentialCongruence", "IndexModulo", "PowerByIndices", "read"]


def read(statements: Sequence[str]) -> Problem | None:
    """The problem of "index of 5 base 3 mod 17", "3^x = 5 mod 17" or
    "7x^5 = 3 mod 17 by indices"; None for statements of another form."""
    for reader in (logarithm.read, by_indices.read, exponential.read):
        problem = reader(statements)
        if problem is not None:
            return problem
    return None
