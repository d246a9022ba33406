"""Claims about congruences: is what is said to follow always true, sometimes, or never?

"If a = b (mod 4) then a^2 = b^2 (mod 8)": the same sentence with other numbers may be another
thing.  `catalogue` holds the sentences with their verdicts and why, `conditions` what they say as
formulas, `telling` the worked solution.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar, Self

from itembank.kinds.base import Given, Kind, Phrases, Slip, Solution, distinct_slips, integer_of
from itembank.kinds.claim.catalogue import CATALOGUE, Claim
from itembank.kinds.claim.conditions import Condition, condition
from itembank.kinds.claim.solve import TooManyChoices, solved
from itembank.kinds.claim.telling import claimed, slips_of, worked
from itembank.languages import Telling, say
from itembank.notation.tree import Math
from itembank.values.answer import Value
from itembank.values.errors import StatementError
from itembank.values.vocabulary import KindSignature
from itembank.values.worded import laid_out, worded

__all__ = ["KINDS", "Generality", "read"]

_LARGEST = 100
"""The largest number in a claim."""


@dataclass(frozen=True, kw_only=True)
class Generality:
    """The claim of the catalogue with the number `claim`, with `numbers` in its places."""

    kind: ClassVar[str] = "claim"
    signature: ClassVar[KindSignature] = KindSignature(
        name="claim",
        given={"claim": "integer", "numbers": "integers"},
        asks=("always, sometimes or never",),
        slips=("pattern-trusted", "both-not-shown", "one-failure-enough"),
        measures=("verdict", "steps", "claim"),
    )
    modulus: ClassVar[None] = None
    claim: int
    numbers: tuple[int, ...]

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        """Of the numbers as many are taken as the claim has places."""
        n, said = integer_of(given, "claim"), given["numbers"]
        if not 1 <= n <= len(CATALOGUE):
            raise StatementError(
                worded("given.claim: expected 1 to {n}, got {got}", n=len(CATALOGUE), got=n)
            )
        least = CATALOGUE[n - 1].least
        taken = tuple(k for k in said if isinstance(k, int)) if isinstance(said, tuple) else ()
        if len(taken) < len(least):
            raise StatementError(
                worded(
                    "given.numbers: expected {n} or more, got {got}", n=len(least), got=len(taken)
                )
            )
        numbers = _within(taken[: len(least)], least, "given.numbers")
        if any(numbers[i] >= numbers[j] for i, j in CATALOGUE[n - 1].reduced):
            raise StatementError(worded("given.numbers: expected residues below their moduli"))
        return cls(claim=n, numbers=numbers)

    @property
    def said(self) -> Claim:
        return CATALOGUE[self.claim - 1]

    @cached_property
    def _given_conditions(self) -> tuple[Condition, ...]:
        return tuple(condition(text.format(*self.numbers)) for text in self.said.given)

    @cached_property
    def follows(self) -> tuple[Condition, ...]:
        return tuple(condition(text.format(*self.numbers)) for text in self.said.follows)

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"claim: {_plain(self.said).format(*self.numbers)}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return tuple(c.shown for c in (*self._given_conditions, *self.follows))

    def question(self, ask: str) -> Telling:
        yield claimed(self._given_conditions, self.follows)
        yield say(
            "Is this claim about integers **always** true, **sometimes** true and sometimes false, "
            "or **never** true?"
        )

    @property
    def phrases(self) -> Phrases:
        return Phrases(none=say("no value"))

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.claim, self.numbers)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    def solve(self) -> Solution[Value]:
        """Raises StatementError where nothing fits the conditions."""
        try:
            return solved(self.said, self.numbers, self._given_conditions, self.follows)
        except TooManyChoices as reason:
            raise StatementError(
                laid_out("{statement}: {reason}", statement=self.statement[0], reason=reason)
            ) from None

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return {"verdict": solution.answer.value, "steps": solution.effort, "claim": self.claim}

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips_of(), solution.answer)

    def worked(self, solution: Solution[Value]) -> Telling:
        return worked(solution, self._given_conditions, self.follows)


def _plain(claim: Claim) -> str:
    """The claim as it is typed, with places for its numbers."""
    follows = " or ".join(claim.follows)
    return f"if {' and '.join(claim.given)} then {follows}" if claim.given else follows


def _within(numbers: tuple[int, ...], least: tuple[int, ...], where: str) -> tuple[int, ...]:
    for n, low in zip(numbers, least, strict=True):
        if not low <= n <= _LARGEST:
            raise StatementError(
                worded(
                    "{where}: expected {low} to {largest}, got {n}",
                    where=where,
                    low=low,
                    largest=_LARGEST,
                    n=n,
                )
            )
    return numbers


# ------------------------------------------------------------ reading


def _pattern(claim: Claim) -> re.Pattern[str]:
    """Reads the claim with numbers in its places; a place that comes again holds the same."""
    parts = re.split(r"\{(\d)\}", re.sub(" +", " ", _plain(claim)))
    found, seen = "", set()
    for i, part in enumerate(parts):
        if i % 2 == 0:
            found += re.escape(part)
        elif part in seen:
            found += f"(?P=n{part})"
        else:
            seen.add(part)
            found += rf"(?P<n{part}>\d{{1,3}})"
    return re.compile(found)


_FORMS = tuple(map(_pattern, CATALOGUE))


def read(statements: Sequence[str]) -> Generality | None:
    """The claim of "claim: if a = b mod 4 then a^2 = b^2 mod 8"; None for another statement."""
    if len(statements) != 1 or not statements[0].lower().startswith("claim:"):
        return None
    text = " ".join(statements[0].split()[1:]).replace("≡", "=").replace("²", "^2")
    for n, (claim, form) in enumerate(zip(CATALOGUE, _FORMS, strict=True), 1):
        if match := form.fullmatch(text):
            numbers = tuple(int(match[f"n{i}"]) for i in range(len(claim.least)))
            return Generality(claim=n, numbers=_within(numbers, claim.least, repr(statements[0])))
    raise StatementError(
        worded(
            "{statements}: expected a claim of the catalogue, such as 'claim: if a = b mod "
            "4 then a^2 = b^2 mod 8'",
            statements=repr(statements[0]),
        )
    )


KINDS = (
    Kind(
        problem=Generality,
        read=read,
        about="A claim of the catalogue with numbers in it: always true, sometimes, or never.",
        title=say("A claim"),
        value="verdict",
        digits=lambda _problem, verdict: ("never", "sometimes", "always")[verdict],
        samples=(
            "claim: if a = b mod 4 then a^2 = b^2 mod 8",
            "claim: if a = b mod 5 then a^2 = b^2 mod 10",
            "claim: if ab = 0 mod 15 then a = 0 mod 15 or b = 0 mod 15",
            "claim: if 6a = 6b mod 9 then a = b mod 3",
            "claim: if a = 5 mod 6 then a = 3 mod 4",
            "claim: if a = 5 mod 6 then a = 2 mod 4",
            "claim: a^2 = 3 mod 4",
            "claim: if gcd(a, 8) = 1 then x^2 = a mod 8 has exactly 4 solutions",
            "claim: if gcd(a, 10) = 1 and gcd(b, 10) = 1 then gcd(a + b, 10) = 1",
            "claim: a^5 = a mod 30",
            "claim: if a != 0 mod 7 then a^6 = 1 mod 7",
            "claim: if a = b mod 6 and c = d mod 6 then ac = bd mod 4",
        ),
    ),
)
"""What the house knows of this kind."""
