"""Questions about a modulus alone: its units, its squares, its primitive roots.

`units mod 12`, `number of squares mod 13`, `is there a primitive root mod 8`: a few words,
then the modulus. A kind says what is asked, solves it, and puts the answer in a sentence; the
rest is here.
"""

import re
from abc import abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Self, TypeVar

from itembank.kinds.base import Given, Solution
from itembank.kinds.frame import Framed, Sentences, sentences
from itembank.kinds.modular import Modular, factored, given_modulus, typed_modulus
from itembank.kinds.order.solve import phi_step
from itembank.kinds.order.steps import Phi
from itembank.languages import Telling, say
from itembank.maths.primes import Factors
from itembank.notation.tree import Math, Words
from itembank.values.vocabulary import KindSignature

FACTOR_MEASURES = ("steps", "prime_powers", "digits")
"""What `factor_measures` tells."""


@dataclass(frozen=True, kw_only=True)
class AboutModulus(Modular, Framed):
    """A question in which the modulus is all that is given."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(modulus=given_modulus(given))

    @cached_property
    def factors(self) -> Factors:
        """The factorisation of the modulus; StatementError where it is not factored."""
        return factored(self.modulus, self.known_factors, self.statement[0])

    @cached_property
    def phi(self) -> Phi:
        """phi of the modulus, factored too; StatementError where it is not."""
        return phi_step(self.modulus, self.known_factors, self.statement[0])

    @property
    def words(self) -> str:
        """The statement before its modulus: the name of the kind, in words."""
        return self.kind.replace("_", " ")

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.words} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (Words((f"{self.words} modulo", self.modulus_math)),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.modulus)

    def question(self, ask: str) -> Telling:
        return sentences(self.asked(ask))

    @abstractmethod
    def asked(self, ask: str) -> Sentences:
        """What the student is asked, and the definition that it rests on."""

    def factor_measures(self, solution: Solution[Any]) -> dict[str, int]:
        """The profile of a problem that is as hard as the modulus has prime powers."""
        return {
            "steps": solution.effort,
            "prime_powers": len(self.factors),
            "digits": len(str(self.modulus)),
        }


ENTRY_OF_A_NUMBER = say(
    "Count them among the least residues. Type the number in digits; if there is none, type 0."
)
"""What is typed where residues are counted of which there may be none."""


K = TypeVar("K", bound=AboutModulus)


def named(
    forms: Iterable[tuple[re.Pattern[str], type[K]]], words: str, modulus: str, statement: str
) -> K | None:
    """The kind whose form the words have, of the modulus typed; None if no form fits."""
    for form, kind in forms:
        if form.fullmatch(words):
            return kind(**typed_modulus(modulus, statement))
    return None
