"""The units and the zero divisors modulo m: which they are, how many, the table of inverses.

A unit is a residue with an inverse, a residue coprime to m; their number is phi(m). A zero
divisor is a residue a other than 0 with ab = 0 (mod m) for some residue b other than 0: by
this convention, said in every stem, 0 is not counted as one, and every residue is 0, a
unit or a zero divisor. (Modulo 1 the residue 0 is a unit.)

`solve` finds them, `worked` tells it, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar, Self

from itembank.answer import Pairs, ResidueSet, Value
from itembank.arithmetic.primes import Factors, Unfactored, factorisation
from itembank.errors import StatementError
from itembank.notation.reading import formula, paragraph
from itembank.notation.tree import Blocks, Math
from itembank.problems.base import Given, Phrases, Slip, Solution, distinct_slips
from itembank.problems.modular import Modular, given_modulus, typed_modulus, words_and_modulus
from itembank.problems.units import slips, solve
from itembank.problems.units.worked import told
from itembank.problems.wording import listing
from itembank.vocabulary import KindSignature
from itembank.words import _, ngettext

__all__ = ["Inverses", "NumberOfZeroDivisors", "Units", "ZeroDivisors", "read"]

WRITTEN = 250
"""The most residues that a worked solution writes out."""


@dataclass(frozen=True, kw_only=True)
class AboutUnits(Modular):
    """What the kinds share: they are about the residues modulo `modulus`."""

    kind: ClassVar[str]
    signature: ClassVar[KindSignature]

    @classmethod
    def from_given(cls, given: Given, letter: str = "x") -> Self:
        return cls(modulus=given_modulus(given))

    @cached_property
    def factors(self) -> Factors:
        """The factorisation of the modulus; StatementError where it is not factored."""
        try:
            return factorisation(self.modulus, self.known_factors)
        except Unfactored as reason:
            raise StatementError(f"{self.statement[0]}: {reason}") from None

    @property
    def words(self) -> str:
        """The statement before its modulus: the name of the kind, in words."""
        return self.kind.replace("_", " ")

    @property
    def statement(self) -> tuple[str, ...]:
        return (f"{self.words} mod {self.modulus_text}",)

    @property
    def shown(self) -> tuple[Math, ...]:
        return (formula(f'"{self.words} modulo" {self.modulus_text}'),)

    @property
    def canonical(self) -> tuple[object, ...]:
        return (self.kind, self.modulus)

    @property
    def twin(self) -> tuple[object, ...]:
        return self.canonical

    @property
    def m(self) -> str:
        """The modulus as prose holds it."""
        return f"${self.modulus_text}$"

    @property
    def definition(self) -> str:
        """The convention, as a stem says it."""
        text = _(
            "A unit modulo {m} is a residue $a$ for which some residue $b$ has $ab ≡ 1 (mod {n})$."
        )
        return text.format(m=self.m, n=self.modulus_text)

    def general_measures(self, solution: Solution[Any]) -> dict[str, int]:
        return {
            "steps": solution.effort,
            "prime_powers": len(self.factors),
            "digits": len(str(self.modulus)),
        }

    def worked(self, solution: Solution[Any]) -> Blocks:
        blocks = [block for step in solution.steps for block in told(step)]
        answer = paragraph(self.answer_text(solution.answer), _("Answer."))
        return (*self.conventions(), *blocks, answer)

    def answer_text(self, answer: Any) -> str:
        """The answer as a sentence."""
        raise NotImplementedError


MEASURES = ("steps", "prime_powers", "digits")

# ------------------------------------------------------------ units


@dataclass(frozen=True, kw_only=True)
class Units(AboutUnits):
    """The set of units."""

    kind: ClassVar[str] = "units"
    signature: ClassVar[KindSignature] = KindSignature(
        name="units",
        given={"modulus": "integer"},
        asks=("all solutions", "the largest"),
        slips=tuple(slips.UNITS),
        measures=("solutions", *MEASURES),
    )

    def question(self, ask: str) -> Blocks:
        if ask == "the largest":
            text = _("Find the **largest** unit modulo {m}.")
        else:
            text = _("Find **all** units modulo {m}.")
        return (paragraph(f"{text.format(m=self.m)} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a unit modulo {m}").format(m=self.m),
            none=_("no units"),
            claim=_("there is a unit modulo {m}").format(m=self.m),
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve.units(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.general_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.of_a_set(self.modulus, self.factors, slips.UNITS)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: ResidueSet) -> str:
        n = answer.count
        if n > WRITTEN:
            return _("There are {n} units modulo ${m}$: the residues coprime to it.").format(
                n=n, m=self.modulus_text
            )
        return ngettext(
            "The unit modulo ${m}$ is ${r}$.", "The units modulo ${m}$ are ${r}$: {n} of them.", n
        ).format(m=self.modulus_text, r=listing(answer.residues()), n=n)


# ------------------------------------------------------------ zero divisors


class AboutZeroDivisors(AboutUnits):
    """What the set of zero divisors and its number share."""

    @property
    def definition(self) -> str:
        text = _(
            "A zero divisor modulo {m} is a residue $a$ other than 0 for which some residue $b$ "
            "other than 0 has $ab ≡ 0 (mod {n})$."
        )
        return text.format(m=self.m, n=self.modulus_text)


@dataclass(frozen=True, kw_only=True)
class ZeroDivisors(AboutZeroDivisors):
    """The set of zero divisors; empty for a prime modulus."""

    kind: ClassVar[str] = "zero_divisors"
    signature: ClassVar[KindSignature] = KindSignature(
        name="zero_divisors",
        given={"modulus": "integer"},
        asks=("all solutions", "whether any", "the largest"),
        slips=tuple(slips.ZERO_DIVISORS),
        measures=("solutions", *MEASURES),
    )

    def question(self, ask: str) -> Blocks:
        texts = {
            "all solutions": _("Find **all** zero divisors modulo {m}."),
            "whether any": _("Decide whether there is a zero divisor modulo {m}."),
            "the largest": _("Find the **largest** zero divisor modulo {m}."),
        }
        return (paragraph(f"{texts[ask].format(m=self.m)} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a zero divisor modulo {m}").format(m=self.m),
            none=_("no zero divisors"),
            claim=_("there is a zero divisor modulo {m}").format(m=self.m),
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve.zero_divisors(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.general_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.of_a_set(self.modulus, self.factors, slips.ZERO_DIVISORS)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: ResidueSet) -> str:
        n, m = answer.count, self.modulus_text
        if n == 0 or n > WRITTEN:
            return number_text(n, m)
        return ngettext(
            "The zero divisor modulo ${m}$ is ${r}$.",
            "The zero divisors modulo ${m}$ are ${r}$: {n} of them.",
            n,
        ).format(m=m, r=listing(answer.residues()), n=n)


def number_text(n: int, m: str) -> str:
    if n == 0:
        return _("There are no zero divisors modulo ${m}$.").format(m=m)
    return ngettext(
        "There is {n} zero divisor modulo ${m}$.", "There are {n} zero divisors modulo ${m}$.", n
    ).format(n=n, m=m)


@dataclass(frozen=True, kw_only=True)
class NumberOfZeroDivisors(AboutZeroDivisors):
    """How many zero divisors there are."""

    kind: ClassVar[str] = "number_of_zero_divisors"
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_zero_divisors",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.NUMBERS),
        measures=MEASURES,
    )

    def question(self, ask: str) -> Blocks:
        text = _("Find the number of zero divisors modulo {m}.").format(m=self.m)
        return (paragraph(f"{text} {self.definition}"),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("the number of zero divisors"),
            none=_("no number"),
            claim=_("there is a zero divisor modulo {m}").format(m=self.m),
            entry=_(
                "Count them among the least residues. Type the number in digits; if there is none, "
                "type 0."
            ),
        )

    def solve(self) -> Solution[Value]:
        return solve.number_of_zero_divisors(self.modulus, self.factors)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return self.general_measures(solution)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_number(self.modulus, self.factors), solution.answer)

    def answer_text(self, answer: Value) -> str:
        return number_text(answer.value, self.modulus_text)


# ------------------------------------------------------------ the table of inverses


@dataclass(frozen=True, kw_only=True)
class Inverses(AboutUnits):
    """Every unit with its inverse."""

    kind: ClassVar[str] = "inverses"
    signature: ClassVar[KindSignature] = KindSignature(
        name="inverses",
        given={"modulus": "integer"},
        asks=("all solutions",),
        slips=tuple(slips.INVERSES),
        measures=("solutions", *MEASURES),
    )

    def question(self, ask: str) -> Blocks:
        text = _(
            "Find the table of inverses modulo {m}: **all** pairs $(a, b)$ of least residues with "
            "$ab ≡ 1 (mod {n})$."
        )
        return (paragraph(text.format(m=self.m, n=self.modulus_text)),)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            member=_("a pair of inverses modulo {m}").format(m=self.m),
            none=_("no pairs"),
            claim=_("there is a unit modulo {m}").format(m=self.m),
        )

    def solve(self) -> Solution[Pairs]:
        return solve.inverses(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[Pairs]) -> Mapping[str, int]:
        return {"solutions": len(solution.answer.pairs), **self.general_measures(solution)}

    def slips(self, solution: Solution[Pairs]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_inverses(self.modulus, self.factors), solution.answer)

    def answer_text(self, answer: Pairs) -> str:
        n = len(answer.pairs)
        if n > WRITTEN:
            return _("The table has {n} pairs.").format(n=n)
        pairs = ", ".join(f"({a}, {b})" for a, b in answer.pairs)
        return _("The units with their inverses: ${pairs}$.").format(pairs=pairs)


# ------------------------------------------------------------ reading

FORMS: tuple[tuple[re.Pattern[str], type[AboutUnits]], ...] = (
    (re.compile(r"(?:all |the )*units", re.IGNORECASE), Units),
    (re.compile(r"(?:all |the )*zero divisors", re.IGNORECASE), ZeroDivisors),
    (re.compile(r"(?:the )?number of zero divisors", re.IGNORECASE), NumberOfZeroDivisors),
    (re.compile(r"(?:the )?(?:table of |all )?inverses", re.IGNORECASE), Inverses),
)


def read(statements: Sequence[str]) -> AboutUnits | None:
    """The problem of "units mod 12" and the like; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None:
        return None
    words, modulus = parts
    for form, kind in FORMS:
        if form.fullmatch(words):
            return kind(**typed_modulus(modulus, statements[0]))
    return None
