"""How much work the second way does for one question; beyond it the question is undecided.

Work is counted, never timed: the same question is decided, or not, on every machine. The unit
is one product of two numbers of a machine word, reduced modulo a third; `size` says for how
many of them a product of longer numbers counts. What a file tries or lists of its own method
(all residues up to a modulus, say) stands there; here is what they share.
"""

from dataclasses import dataclass, field

from itembank.second_way.verdict import Undecided

MODULUS_BITS = 4_096
"""Binary digits of the largest modulus that is computed with: 1,233 decimal digits."""

PRODUCTS = 20_000_000
"""Products of small numbers for one question: some seconds."""

FIELD_BITS = 1_024
"""Binary digits of the largest prime modulo which an independent library is asked for roots."""

FACTORED_BITS = 400
"""Binary digits, 120 decimal ones, of the largest composite number that is searched for factors
beyond `DIVIDED`; larger ones must be given as a product."""

DIVIDED = 10_000
"""Divisors tried in a factorisation ..."""
STEPS = 50_000
"""... then steps of Pollard's rho ..."""
CURVES = 30
"""... then elliptic curves, each with the bounds of `CURVE` ..."""
CURVE = (2_000, 100_000)
"""... of its two stages."""

EXPANDED = 2_000_000
"""Products of coefficients in multiplying out one statement: (x + 1)^1000 takes half of them."""

_WRITTEN_BITS = 200
"""Binary digits of a number that a message writes out; of a longer one it says the length."""


def size(m: int) -> int:
    """For how many products of small numbers one product modulo m counts.

    >>> size(10**9), size(2**2048)
    (1, 65)
    """
    return 1 + (m.bit_length() ** 2 >> 16)


def shown(n: int) -> str:
    """A number in a message: itself, or how long it is."""
    return str(n) if n.bit_length() <= _WRITTEN_BITS else f"a number of {n.bit_length()} bits"


def refuse_large(m: int | None) -> None:
    """Undecided for a modulus that is not computed with; None where there is none."""
    if m is not None and m.bit_length() > MODULUS_BITS:
        raise Undecided(
            f"the modulus has {m.bit_length()} binary digits, at most {MODULUS_BITS} are checked"
        )


@dataclass
class Work:
    """Counts the products made for one purpose; Undecided once they are more than PRODUCTS."""

    purpose: str
    spent: int = field(default=0)

    def power(self, exponent: int, m: int) -> None:
        """One power modulo m."""
        self.spend(exponent.bit_length(), m)

    def spend(self, products: int, m: int = 1) -> None:
        """So many products of numbers as large as m."""
        self.spent += products * size(m)
        if self.spent > PRODUCTS:
            raise Undecided(f"{self.purpose} takes more than {PRODUCTS} multiplications")
