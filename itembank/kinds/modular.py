"""What the kinds about residues share: the modulus as typed, and statements in words.

`inverse of 7 mod 26`, `order of 7 (mod 48)`: a few words with numbers in them, then a
modulus. A number may be an expression (3^40, 7*11^2); a negative modulus means its
absolute value, since both have the same multiples.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import ClassVar, Self, TypedDict

from itembank.kinds.base import Given, integer_of
from itembank.kinds.typed import integer, integers, walk
from itembank.kinds.wording import FITS_ON_THE_BOARD
from itembank.languages import Said, counted, each, say
from itembank.maths.primes import Factors, Unfactored, factorisation
from itembank.notation import plain
from itembank.notation.building import congruence
from itembank.notation.reading import formula
from itembank.notation.tree import Group, Letter, Math, Modulo, Number, Power, Product
from itembank.values.errors import StatementError
from itembank.values.worded import laid_out, worded


class TypedModulus(TypedDict):
    """A modulus of at least 1, as it was typed, and numbers that may be factors of it."""

    modulus: int
    typed_modulus: str
    known_factors: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Modular:
    """A problem modulo `modulus`, at least 1."""

    modulus: int
    typed_modulus: str = field(default="", compare=False)
    known_factors: tuple[int, ...] = field(default=(), compare=False)

    @property
    def modulus_text(self) -> str:
        """The modulus as it is shown: a large one as its author typed it."""
        return modulus_shown(self.modulus, self.typed_modulus)

    @property
    def modulus_math(self) -> Math:
        """The modulus as a formula, a large one as its author typed it."""
        return modulus_formula(self.modulus, self.modulus_text)

    @property
    def modulus_told(self) -> int | Math:
        """The modulus as a sentence holds it: digits, or the formula that its author typed."""
        m = self.modulus_math
        return m.value if isinstance(m, Number) else m

    def conventions(self) -> Iterator[Said]:
        """What has to be said of an unusual modulus before anything is worked."""
        if self.typed_modulus.startswith("-"):
            yield say(
                "Modulo ${typed}$ means modulo ${m}$: both have the same multiples, so "
                "congruences modulo one hold modulo the other.",
                typed=formula(self.typed_modulus),
                m=self.modulus_math,
            )
        if self.modulus == 1:
            yield say("Modulo 1 any two integers are congruent, and 0 is the only least residue.")

    def least_residues(self, *numbers: int) -> Iterator[Said]:
        """The numbers that are not least residues, with the residues that stand for them."""
        others = [a for a in numbers if not 0 <= a < self.modulus]
        if others:
            yield counted(
                "The least residue is taken: {residues}.",
                "Least residues are taken: {residues}.",
                len(others),
                residues=each(self.reduced(a) for a in others),
            )

    def reduced(self, a: int) -> Modulo:
        """a ≡ r (mod m), r the least residue of a."""
        return congruence(Number(a), Number(a % self.modulus), self.modulus_math)


def modulus_shown(m: int, typed: str) -> str:
    """m in digits, or as it was typed where it is large; a typed sign is never shown."""
    return typed if m >= FITS_ON_THE_BOARD and typed[:1] not in ("", "-") else str(m)


def modulus_formula(m: int, shown: str) -> Math:
    """The modulus m, shown as it was typed."""
    return Number(m) if shown == str(m) else formula(shown)


def factored(n: int, hints: Sequence[int], statement: str) -> Factors:
    """The factorisation of n; StatementError where it takes too long."""
    try:
        return factorisation(n, hints)
    except Unfactored as reason:
        raise StatementError(
            laid_out("{statement}: {reason}", statement=statement, reason=reason)
        ) from None


def given_modulus(given: Given) -> int:
    """The modulus of a family's variant."""
    m = integer_of(given, "modulus")
    if m < 1:
        raise StatementError(
            worded("given.modulus: expected a modulus of at least 1, got {m}", m=m)
        )
    return m


@dataclass(frozen=True, kw_only=True)
class AboutResidue(Modular):
    """A question about one number that is the same for every number of its residue class."""

    kind: ClassVar[str]
    number: int

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(number=integer_of(given, "number"), modulus=given_modulus(given))

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.number % self.modulus, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical


# ------------------------------------------------------------ statements in words

_BEFORE_MODULUS = re.compile(r"(?P<words>.*?),?\s*(?P<open>\()?\s*\bmod(?:ulo)?\b(?P<modulus>.*)")


def words_and_modulus(statements: Sequence[str]) -> tuple[str, str] | None:
    """What stands before and after `mod` in the one statement; None if that is not its form."""
    if len(statements) != 1:
        return None
    match = _BEFORE_MODULUS.fullmatch(" ".join(statements[0].split()))
    if match is None:
        return None
    words, modulus = match["words"].strip(), match["modulus"].strip()
    if match["open"]:
        if not modulus.endswith(")"):
            return None
        modulus = modulus[:-1].strip()
    return words, modulus


def matched_words(
    form: re.Pattern[str], statements: Sequence[str]
) -> tuple[re.Match[str], str] | None:
    """The words before `mod` as the form matches them, and what follows it; None if it does not."""
    parts = words_and_modulus(statements)
    match = parts and form.fullmatch(parts[0])
    return (match, parts[1]) if parts and match else None


def typed_modulus(text: str, statement: str) -> TypedModulus:
    """The modulus that a text is; StatementError for 0 and for what is no number."""
    node = formula(text)
    if isinstance(node, Group):
        node = node.inside
    m = integer_typed(text, "a modulus", statement)
    if m == 0:
        raise StatementError(
            worded("{statement}: expected a modulus other than 0", statement=repr(statement))
        )
    return TypedModulus(
        modulus=abs(m),
        typed_modulus=plain.typed(node),
        known_factors=tuple(sorted({*integers(node), *_factors_written(node, statement)} - {0, 1})),
    )


def _factors_written(node: Math, statement: str) -> Iterator[int]:
    """The values of the factors of a product: (10^20 + 39)(10^20 + 129) gives both."""
    match node:
        case Product(factors):
            for factor in factors:
                yield from _factors_written(factor, statement)
        case Power(base):
            yield from _factors_written(base, statement)
        case _:
            yield integer(node, statement)


def integer_typed(text: str, what: str, statement: str) -> int:
    """The integer that a text is; StatementError if it is none."""
    node = formula(text)
    if any(isinstance(part, Letter) for part in walk(node)):
        raise StatementError(
            worded(
                "{statement}: expected {what} in numbers, found {text}",
                statement=repr(statement),
                what=what,
                text=repr(text),
            )
        )
    return integer(node, statement)
