"""The steps that show whether there is a root, and no more.  Notation as in `steps`."""

from dataclasses import dataclass

from itembank.kinds.base import Step
from itembank.kinds.power_root.steps import Factors, LocalStep


@dataclass(frozen=True)
class OneRoot(LocalStep):
    """p does not divide a, and gcd(k, phi(p^e)) = 1: there is one root, whatever a is."""

    name = "one root for every right side"


@dataclass(frozen=True)
class Lifts(LocalStep):
    """Neither a nor k is divisible by p: a root modulo p leads to one modulo p^e."""

    name = "every root lifts"


@dataclass(frozen=True)
class Exists(Step):
    """There is a root modulo each prime power of m, and so one modulo m."""

    name = "answer"
    effort = 0
    modulus: int
    factors: Factors
