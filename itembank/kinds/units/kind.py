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
from typing import ClassVar

from itembank.kinds.about_modulus import ENTRY_OF_A_NUMBER, FACTOR_MEASURES, AboutModulus, named
from itembank.kinds.base import Phrases, Slip, Solution, distinct_slips
from itembank.kinds.modular import words_and_modulus
from itembank.kinds.units import slips, solve
from itembank.kinds.units.worked import TOLD
from itembank.kinds.wording import Tellers, listing
from itembank.languages import say
from itembank.languages.words import _, ngettext
from itembank.values.answer import Pairs, ResidueSet, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["Inverses", "NumberOfZeroDivisors", "Units", "ZeroDivisors", "read"]

WRITTEN = 250
"""The most residues that a worked solution writes out."""


# ------------------------------------------------------------ units


@dataclass(frozen=True, kw_only=True)
class Units(AboutModulus):
    """The set of units."""

    kind: ClassVar[str] = "units"
    telling: ClassVar[Tellers] = TOLD
    signature: ClassVar[KindSignature] = KindSignature(
        name="units",
        given={"modulus": "integer"},
        asks=("all solutions", "the largest"),
        slips=tuple(slips.UNITS),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def asked(self, ask: str) -> str:
        if ask == "the largest":
            text = _("Find the **largest** unit modulo {m}.")
        else:
            text = _("Find **all** units modulo {m}.")
        definition = _(
            "A unit modulo {m} is a residue $a$ for which some residue $b$ has $ab ≡ 1 (mod {n})$."
        )
        return f"{text} {definition}".format(m=self.prose_modulus, n=self.modulus_text)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            tick=say(
                "Tick every least residue ($0$ to ${last}$) that is a unit modulo {m}. If there "
                "is none, tick only “no units”.",
                last=self.modulus - 1,
                m=self.modulus_math,
            ),
            none=say("no units"),
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve.units(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.factor_measures(solution)}

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


def zero_divisor(problem: AboutModulus) -> str:
    """What a zero divisor is, as a stem says it."""
    return _(
        "A zero divisor modulo {m} is a residue $a$ other than 0 for which some residue $b$ "
        "other than 0 has $ab ≡ 0 (mod {n})$."
    ).format(m=problem.prose_modulus, n=problem.modulus_text)


@dataclass(frozen=True, kw_only=True)
class ZeroDivisors(AboutModulus):
    """The set of zero divisors; empty for a prime modulus."""

    kind: ClassVar[str] = "zero_divisors"
    telling: ClassVar[Tellers] = TOLD
    signature: ClassVar[KindSignature] = KindSignature(
        name="zero_divisors",
        given={"modulus": "integer"},
        asks=("all solutions", "whether any", "the largest"),
        slips=tuple(slips.ZERO_DIVISORS),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def asked(self, ask: str) -> str:
        texts = {
            "all solutions": _("Find **all** zero divisors modulo {m}."),
            "whether any": _("Decide whether there is a zero divisor modulo {m}."),
            "the largest": _("Find the **largest** zero divisor modulo {m}."),
        }
        return f"{texts[ask].format(m=self.prose_modulus)} {zero_divisor(self)}"

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            tick=say(
                "Tick every least residue ($0$ to ${last}$) that is a zero divisor modulo {m}. If "
                "there is none, tick only “no zero divisors”.",
                last=self.modulus - 1,
                m=self.modulus_math,
            ),
            none=say("no zero divisors"),
            claim=say("True or false: there is a zero divisor modulo {m}.", m=self.modulus_math),
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve.zero_divisors(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.factor_measures(solution)}

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
class NumberOfZeroDivisors(AboutModulus):
    """How many zero divisors there are."""

    kind: ClassVar[str] = "number_of_zero_divisors"
    telling: ClassVar[Tellers] = TOLD
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_zero_divisors",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.NUMBERS),
        measures=FACTOR_MEASURES,
    )

    def asked(self, ask: str) -> str:
        text = _("Find the number of zero divisors modulo {m}.").format(m=self.prose_modulus)
        return f"{text} {zero_divisor(self)}"

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no number"),
            entry=ENTRY_OF_A_NUMBER,
        )

    def solve(self) -> Solution[Value]:
        return solve.number_of_zero_divisors(self.modulus, self.factors)

    def measures(self, solution: Solution[Value]) -> Mapping[str, int]:
        return self.factor_measures(solution)

    def slips(self, solution: Solution[Value]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_number(self.modulus, self.factors), solution.answer)

    def answer_text(self, answer: Value) -> str:
        return number_text(answer.value, self.modulus_text)


# ------------------------------------------------------------ the table of inverses


@dataclass(frozen=True, kw_only=True)
class Inverses(AboutModulus):
    """Every unit with its inverse."""

    kind: ClassVar[str] = "inverses"
    telling: ClassVar[Tellers] = TOLD
    signature: ClassVar[KindSignature] = KindSignature(
        name="inverses",
        given={"modulus": "integer"},
        asks=("all solutions",),
        slips=tuple(slips.INVERSES),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def asked(self, ask: str) -> str:
        return _(
            "Find the table of inverses modulo {m}: **all** pairs $(a, b)$ of least residues with "
            "$ab ≡ 1 (mod {n})$."
        ).format(m=self.prose_modulus, n=self.modulus_text)

    @property
    def phrases(self) -> Phrases:
        return Phrases(
            none=say("no pairs"),
        )

    def solve(self) -> Solution[Pairs]:
        return solve.inverses(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[Pairs]) -> Mapping[str, int]:
        return {"solutions": len(solution.answer.pairs), **self.factor_measures(solution)}

    def slips(self, solution: Solution[Pairs]) -> tuple[Slip, ...]:
        return distinct_slips(slips.of_the_inverses(self.modulus, self.factors), solution.answer)

    def answer_text(self, answer: Pairs) -> str:
        n = len(answer.pairs)
        if n > WRITTEN:
            return _("The table has {n} pairs.").format(n=n)
        pairs = ", ".join(f"({a}, {b})" for a, b in answer.pairs)
        return _("The units with their inverses: ${pairs}$.").format(pairs=pairs)


# ------------------------------------------------------------ reading

FORMS: tuple[tuple[re.Pattern[str], type[AboutModulus]], ...] = (
    (re.compile(r"(?:all |the )*units", re.IGNORECASE), Units),
    (re.compile(r"(?:all |the )*zero divisors", re.IGNORECASE), ZeroDivisors),
    (re.compile(r"(?:the )?number of zero divisors", re.IGNORECASE), NumberOfZeroDivisors),
    (re.compile(r"(?:the )?(?:table of |all )?inverses", re.IGNORECASE), Inverses),
)


def read(statements: Sequence[str]) -> AboutModulus | None:
    """The problem of "units mod 12" and the like; None for statements of another form."""
    parts = words_and_modulus(statements)
    if parts is None:
        return None
    words, modulus = parts
    return named(FORMS, words, modulus, statements[0])
