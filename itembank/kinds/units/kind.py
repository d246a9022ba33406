"""The units and the zero divisors modulo m: which they are, how many, the table of inverses.

A unit is a residue with an inverse, a residue coprime to m; their number is phi(m). A zero
divisor is a residue a other than 0 with ab = 0 (mod m) for some residue b other than 0: by
this convention, said in every stem, 0 is not counted as one, and every residue is 0, a
unit or a zero divisor. (Modulo 1 the residue 0 is a unit.)

`solve` finds them, `telling` tells it, `slips` goes wrong on purpose.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import gcd
from typing import ClassVar

from itembank.kinds.about_modulus import ENTRY_OF_A_NUMBER, FACTOR_MEASURES, AboutModulus, named
from itembank.kinds.base import Kind, Phrases, Slip, Solution, distinct_slips
from itembank.kinds.modular import words_and_modulus
from itembank.kinds.units import slips, solve
from itembank.kinds.units.certificate import coprime_counted, products
from itembank.kinds.units.steps import FactorModulus
from itembank.kinds.units.telling import TELLING
from itembank.kinds.wording import Tellers, told
from itembank.languages import Said, Telling, counted, say
from itembank.notation.building import listed
from itembank.notation.tree import Group, Listing, Math, Number
from itembank.values.answer import Pairs, ResidueSet, Value
from itembank.values.vocabulary import KindSignature

__all__ = ["Inverses", "NumberOfZeroDivisors", "Units", "ZeroDivisors", "read"]

_WRITTEN = 250
"""The most residues that a worked solution writes out."""


# ------------------------------------------------------------ units


@dataclass(frozen=True, kw_only=True)
class Units(AboutModulus):
    """The set of units."""

    kind: ClassVar[str] = "units"
    telling: ClassVar[Tellers] = TELLING
    signature: ClassVar[KindSignature] = KindSignature(
        name="units",
        given={"modulus": "integer"},
        asks=("all solutions", "the largest"),
        slips=tuple(slips.UNITS),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def question(self, ask: str) -> Telling:
        definition = say(
            "A unit modulo {m} is a residue $a$ for which some residue $b$ has $ab ≡ 1 (mod {m})$.",
            m=self.modulus_math,
        )
        return (self.asked(ask), definition)

    def asked(self, ask: str) -> Said:
        if ask == "the largest":
            return say("Find the **largest** unit modulo {m}.", m=self.modulus_math)
        return say("Find **all** units modulo {m}.", m=self.modulus_math)

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
            some=True,
        )

    def solve(self) -> Solution[ResidueSet]:
        return solve.units(self.modulus, self.factors, self.statement[0])

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.factor_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.of_a_set(self.modulus, self.factors, slips.UNITS)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        n, m = answer.count, self.modulus_math
        if n > _WRITTEN:
            return say("There are {n} units modulo {m}: the residues coprime to it.", n=n, m=m)
        return counted(
            "The unit modulo {m} is ${r}$.",
            "The units modulo {m} are ${r}$: {n} of them.",
            n,
            m=m,
            r=listed(answer.residues()),
        )


# ------------------------------------------------------------ zero divisors


def _zero_divisor(problem: AboutModulus) -> Said:
    """What a zero divisor is, as a stem says it."""
    return say(
        "A zero divisor modulo {m} is a residue $a$ other than 0 for which some residue $b$ "
        "other than 0 has $ab ≡ 0 (mod {m})$.",
        m=problem.modulus_math,
    )


@dataclass(frozen=True, kw_only=True)
class ZeroDivisors(AboutModulus):
    """The set of zero divisors; empty for a prime modulus."""

    kind: ClassVar[str] = "zero_divisors"
    telling: ClassVar[Tellers] = TELLING
    signature: ClassVar[KindSignature] = KindSignature(
        name="zero_divisors",
        given={"modulus": "integer"},
        asks=("all solutions", "an example", "whether any", "the largest"),
        slips=tuple(slips.ZERO_DIVISORS),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def question(self, ask: str) -> Telling:
        return (self.asked(ask), _zero_divisor(self))

    def asked(self, ask: str) -> Said:
        m = self.modulus_math
        if ask == "whether any":
            return say("Decide whether there is a zero divisor modulo {m}.", m=m)
        if ask == "an example":
            return say("Find a zero divisor modulo {m}.", m=m)
        if ask == "the largest":
            return say("Find the **largest** zero divisor modulo {m}.", m=m)
        return say("Find **all** zero divisors modulo {m}.", m=m)

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

    example_alone: ClassVar[bool] = True

    def example(self, n: int) -> Telling:
        """What it has in common with the modulus, and what it is multiplied by."""
        m = self.modulus
        d = gcd(n, m)
        yield from told((FactorModulus(m, self.factors),), self.telling)
        yield say(
            "$gcd({a}, {m}) = {d}$, and with $b = {m}/{d} = {b}$ the product is "
            "${a} * {b} = {product} = {k} * {m}$. So {a} is a zero divisor modulo {m}.",
            a=n,
            m=m,
            d=d,
            b=m // d,
            product=n * (m // d),
            k=n // d,
        )

    def measures(self, solution: Solution[ResidueSet]) -> Mapping[str, int]:
        return {"solutions": solution.answer.count, **self.factor_measures(solution)}

    def slips(self, solution: Solution[ResidueSet]) -> tuple[Slip, ...]:
        found = slips.of_a_set(self.modulus, self.factors, slips.ZERO_DIVISORS)
        return distinct_slips(found, solution.answer)

    def answer_text(self, answer: ResidueSet) -> Said:
        n, m = answer.count, self.modulus_math
        if n == 0 or n > _WRITTEN:
            return _number_sentence(n, m)
        return counted(
            "The zero divisor modulo {m} is ${r}$.",
            "The zero divisors modulo {m} are ${r}$: {n} of them.",
            n,
            m=m,
            r=listed(answer.residues()),
        )


def _number_sentence(n: int, m: Math) -> Said:
    if n == 0:
        return say("There are no zero divisors modulo {m}.", m=m)
    return counted(
        "There is {n} zero divisor modulo {m}.", "There are {n} zero divisors modulo {m}.", n, m=m
    )


@dataclass(frozen=True, kw_only=True)
class NumberOfZeroDivisors(AboutModulus):
    """How many zero divisors there are."""

    kind: ClassVar[str] = "number_of_zero_divisors"
    telling: ClassVar[Tellers] = TELLING
    signature: ClassVar[KindSignature] = KindSignature(
        name="number_of_zero_divisors",
        given={"modulus": "integer"},
        asks=("the value",),
        slips=tuple(slips.NUMBERS),
        measures=FACTOR_MEASURES,
    )

    def question(self, ask: str) -> Telling:
        return (self.asked(ask), _zero_divisor(self))

    def asked(self, ask: str) -> Said:
        return say("Find the number of zero divisors modulo {m}.", m=self.modulus_math)

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

    def answer_text(self, answer: Value) -> Said:
        return _number_sentence(answer.value, self.modulus_math)


# ------------------------------------------------------------ the table of inverses


@dataclass(frozen=True, kw_only=True)
class Inverses(AboutModulus):
    """Every unit with its inverse."""

    kind: ClassVar[str] = "inverses"
    telling: ClassVar[Tellers] = TELLING
    signature: ClassVar[KindSignature] = KindSignature(
        name="inverses",
        given={"modulus": "integer"},
        asks=("all solutions",),
        slips=tuple(slips.INVERSES),
        measures=("solutions", *FACTOR_MEASURES),
    )

    def asked(self, ask: str) -> Said:
        return say(
            "Find the table of inverses modulo {m}: **all** pairs $(a, b)$ of least residues with "
            "$ab ≡ 1 (mod {m})$.",
            m=self.modulus_math,
        )

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

    def answer_text(self, answer: Pairs) -> Said:
        n = len(answer.pairs)
        if n > _WRITTEN:
            return say("The table has {n} pairs.", n=n)
        pairs = tuple(Group(Listing((Number(a), Number(b)))) for a, b in answer.pairs)
        return counted(
            "The unit with its inverse: ${pairs}$.",
            "The units with their inverses: ${pairs}$.",
            n,
            pairs=pairs[0] if n == 1 else Listing(pairs),
        )


# ------------------------------------------------------------ reading

_FORMS: tuple[tuple[re.Pattern[str], type[AboutModulus]], ...] = (
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
    return named(_FORMS, words, modulus, statements[0])


KINDS = (
    Kind(
        problem=Units,
        read=read,
        about="The units modulo m: the residues coprime to m, all of them or the largest.",
        title=say("Multiplication modulo a number"),
        next_steps={
            "all solutions": say(
                "Find the greatest common divisor of each residue and the modulus: which of them "
                "have none but 1?"
            ),
            "the largest": say(
                "Begin with the largest residue: what is its greatest common divisor with the "
                "modulus?"
            ),
        },
        samples=(
            "units mod 12",
            "the units (mod 13)",
            "units mod 27",
            "Units modulo 2*3*5*7",
            "units mod -12",
            "units mod 1000",
            "units mod 2",
            "units mod 1",
        ),
        certificate=coprime_counted,
    ),
    Kind(
        problem=ZeroDivisors,
        read=read,
        about="The zero divisors modulo m, 0 not counted: all, the largest, or whether there are.",
        title=say("Multiplication modulo a number"),
        next_steps={
            "all solutions": say(
                "Find the greatest common divisor of each residue other than 0 and the modulus: "
                "which of them have one above 1?"
            ),
            "the largest": say(
                "Go down from the largest residue, and find the greatest common divisor with the "
                "modulus each time. Where is the first that is above 1?"
            ),
            "whether any": say(
                "Try to write the modulus as a product of two smaller numbers. What does that say "
                "about their residues?"
            ),
        },
        samples=(
            "zero divisors mod 12",
            "all zero divisors (mod 30)",
            "zero divisors mod 4",
            "zero divisors mod 13",
            "zero divisors mod 2000",
            "zero divisors mod -9",
            "zero divisors mod 1",
        ),
        certificate=coprime_counted,
    ),
    Kind(
        problem=NumberOfZeroDivisors,
        read=read,
        value="count",
        about="How many zero divisors there are modulo m, 0 not counted.",
        title=say("Multiplication modulo a number"),
        next_steps={
            "the value": say(
                "Find φ of the modulus from its prime powers. The residues other than 0 are the "
                "units and the zero divisors."
            ),
        },
        samples=(
            "number of zero divisors mod 360",
            "the number of zero divisors (mod 4)",
            "number of zero divisors mod 13",
            "number of zero divisors mod 10^20",
            "number of zero divisors mod 1",
        ),
    ),
    Kind(
        problem=Inverses,
        read=read,
        about="The table of inverses modulo m: every unit with its inverse.",
        title=say("Multiplication modulo a number"),
        next_steps={
            "all solutions": say(
                "Multiply the two numbers of each pair: the product must leave 1 modulo the "
                "modulus. Is every unit there?"
            ),
        },
        samples=(
            "inverses mod 12",
            "table of inverses mod 5",
            "all inverses (mod 60)",
            "inverses mod 257",
            "inverses mod -7",
            "inverses mod 2",
            "inverses mod 1",
        ),
        certificate=products,
    ),
)
"""What the house knows of these kinds."""
