"""What kinds share that ask about the solutions of one congruence, and not for them."""

from dataclasses import dataclass
from typing import Self

from itembank.kinds import one_unknown
from itembank.kinds.base import Given, equation_of, integer_of
from itembank.kinds.one_unknown import OneUnknown
from itembank.notation.tree import Math


@dataclass(frozen=True, kw_only=True)
class AboutSolutions:
    """A question about the solutions of `congruence`: how many there are, what they add up to."""

    congruence: OneUnknown

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """The question of a family's `given`: congruence and modulus."""
        left, right = equation_of(given, "congruence")
        m = integer_of(given, "modulus")
        return cls(congruence=one_unknown.of_sides(left, right, m, letter))

    @property
    def modulus(self) -> int:
        return self.congruence.modulus

    @property
    def letter(self) -> str:
        return self.congruence.letter

    @property
    def shown(self) -> tuple[Math, ...]:
        return self.congruence.shown
